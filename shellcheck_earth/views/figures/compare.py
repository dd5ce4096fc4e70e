"""Pictures of a comparison: heat maps with the limit line, or curves where one key varies. Nothing hangs on colour
alone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.design.variation import Variation
from shellcheck_earth.studies.compare import Comparison, Point
from shellcheck_earth.views.figures.charts import (
    BLUE,
    CEILING,
    GREEN,
    INK,
    ORANGE,
    PURPLE,
    drawing,
    falls_short_below_one,
)
from shellcheck_earth.views.figures.letters import advance, wrapped_to
from shellcheck_earth.views.figures.rule_of_thumb import draw_rule
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.compare import design_named
from shellcheck_earth.views.text.language import _, mark

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["MOST_FACETS", "Facet", "comparison_figures", "facets", "not_drawn", "not_mapped"]

MOST_FACETS = 8
"""More small maps than this on a page cannot be read; the rest is in the CSV."""

LEAST = mark("least of all margins")

MOST_NUMBERED = 6
"""Columns of a map in whose cells a number of 8 points has room."""

FEW_CELLS = 100
"""Maps of at most so many cells carry the number in each."""

STYLES = (
    (BLUE, "-", "o"),
    (ORANGE, "--", "s"),
    (GREEN, "-.", "^"),
    (PURPLE, ":", "D"),
    (INK, (0, (1, 1)), "v"),
    (INK, "-", "x"),
)

WHITE: Any = {"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85}

Grid = NDArray[np.float64]


@dataclass(frozen=True)
class Facet:
    """The points that share a design and everything but the two keys drawn."""

    title: str
    points: tuple[Point, ...]


def facets(comparison: Comparison, drawn: int) -> tuple[Facet, ...]:
    """One facet for each design and each combination of the keys after the first `drawn`."""
    groups: dict[tuple[str, tuple[int, ...]], list[Point]] = {}
    for point in comparison.points:
        groups.setdefault((point.design, point.chosen[drawn:]), []).append(point)
    out = []
    for (design, rest), points in groups.items():
        names = [design_named(design)] if len(comparison.designs) > 1 else []
        names += [f"{_short(v.path)} {v.labels[at]}" for v, at in zip(comparison.variations[drawn:], rest, strict=True)]
        out.append(Facet(", ".join(names), tuple(points)))
    return tuple(out)


def not_drawn(comparison: Comparison) -> int:
    """Curves, maps or designs that find no room in the pictures."""
    if not comparison.variations:
        return max(len(comparison.points) - len(STYLES), 0)
    if len(comparison.variations) == 1:
        return max(len(facets(comparison, 1)) - len(STYLES), 0)
    return max(len(facets(comparison, 2)) - MOST_FACETS, 0)


def _short(path: str) -> str:
    return path.split(".", 1)[1].replace("_", " ") if "." in path else path


def _axis_name(variation: Variation) -> str:
    return f"{_short(variation.path)} [{variation.unit}]" if variation.unit else _short(variation.path)


def _value(point: Point, check: str) -> float:
    """Share of what is required; nan where there is none."""
    margin = point.least if check == LEAST else point.margin(check)
    return math.nan if margin is None or not margin.known else min(margin.share, CEILING)


def _grid(points: Sequence[Point], shape: tuple[int, int], check: str) -> tuple[Grid, NDArray[Any]]:
    """(shares, answers) with rows along the second key."""
    values, answers = np.full(shape[::-1], np.nan), np.full(shape[::-1], "", dtype=object)
    for point in points:
        column, row = point.chosen[0], point.chosen[1]
        values[row, column], answers[row, column] = _value(point, check), point.answer
    return values, answers


def _ticks(axes: Axes, variation: Variation, *, along_x: bool) -> None:
    at = list(range(len(variation.values)))
    step = max(1, math.ceil(len(at) / (6 if along_x else 10)))
    # The unit stands in the axis' name
    labels = [f"{number:.4g}" for number in variation.numbers] if variation.numbers else list(variation.labels)
    place = axes.set_xticks if along_x else axes.set_yticks
    place(at[::step], labels[::step], fontsize=8)


def _edges(axes: Axes, met: NDArray[np.bool_], known: NDArray[np.bool_]) -> None:
    """The limit line: along the cells between which the margin crosses what is required."""
    rows, columns = met.shape
    for row in range(rows):
        for column in range(columns):
            for right, up in ((1, 0), (0, 1)):
                r, c = row + up, column + right
                if r < rows and c < columns and known[row, column] and known[r, c] and met[row, column] != met[r, c]:
                    x, y = column + 0.5 * right, row + 0.5 * up
                    axes.plot(
                        [x - 0.5 * up, x + 0.5 * up],
                        [y - 0.5 * right, y + 0.5 * right],
                        "-",
                        color=INK,
                        linewidth=2.2,
                        zorder=6,
                        solid_capstyle="projecting",
                    )


def _overlay(axes: Axes, where: NDArray[np.bool_], pattern: str, face: str) -> None:
    from matplotlib.patches import Rectangle

    for row, column in zip(*np.nonzero(where), strict=True):
        axes.add_patch(
            Rectangle(
                (column - 0.5, row - 0.5),
                1,
                1,
                facecolor=face,
                edgecolor="#8a8378",
                hatch=pattern,
                linewidth=0.0,
                zorder=3,
            )
        )


def _map(axes: Axes, comparison: Comparison, points: Sequence[Point], check: str, title: str) -> Any:
    from matplotlib.colors import TwoSlopeNorm

    first, second = comparison.variations[:2]
    shape = (len(first.values), len(second.values))
    values, answers = _grid(points, shape, check)
    x, y = np.arange(shape[0] + 1) - 0.5, np.arange(shape[1] + 1) - 0.5
    mesh = axes.pcolormesh(
        x,
        y,
        np.ma.masked_invalid(values),
        cmap="PuOr",
        norm=TwoSlopeNorm(1.0, -0.3, 1.5 * CEILING),
        zorder=1,
        edgecolors="face",
        linewidth=0.1,
    )
    known = np.isfinite(values)
    with np.errstate(invalid="ignore"):
        met = values >= 1.0
    _overlay(axes, answers == "not buildable", "xxxx", "#ffffff")
    if check == LEAST:
        _overlay(axes, (answers == "cannot say") & known, "....", "none")
    _edges(axes, met, known)
    if shape[0] * shape[1] <= FEW_CELLS and shape[0] <= MOST_NUMBERED:
        for row, column in zip(*np.nonzero(known), strict=True):
            value = values[row, column]
            axes.text(
                column,
                row,
                f"{value:.2g}" if value < CEILING else f"{CEILING:g}+",
                fontsize=8,
                ha="center",
                va="center",
                zorder=7,
                bbox={**WHITE, "pad": 0.4, "alpha": 0.7},
            )
    _ticks(axes, first, along_x=True)
    _ticks(axes, second, along_x=False)
    draw_rule(axes, comparison)
    axes.set_title(_in_lines(title + _crossing(met, known), 205.0), fontsize=8)
    return mesh


def _in_lines(title: str, width: float) -> str:
    """A title in as many lines as it takes where there is so much room [points] up to the next one."""
    return "\n".join(wrapped_to(title, width, 8.0, bold=True))


def _crossing(met: NDArray[np.bool_], known: NDArray[np.bool_]) -> str:
    if not known.any():
        return ": " + _("nothing to draw")
    return "" if met[known].any() else ": " + _("short everywhere")


def _map_page(comparison: Comparison, panels: Sequence[tuple[str, Sequence[Point], str]]) -> str:
    """Small maps, two a row, one scale for all."""
    rows = math.ceil(len(panels) / 2)
    height = 0.75 + 2.3 * rows
    with drawing(6.85, height) as (figure, write):
        grid = figure.subplots(rows, 2, squeeze=False)
        figure.subplots_adjust(
            left=0.10, right=0.88, bottom=0.5 / height, top=1 - 0.3 / height, wspace=0.34, hspace=0.55
        )
        mesh: Any = None
        for axes, (check, points, title) in zip(grid.flat, panels, strict=False):
            mesh = _map(axes, comparison, points, check, title)
            axes.set_xlabel(_axis_name(comparison.variations[0]), fontsize=8)
            axes.set_ylabel(_axis_name(comparison.variations[1]), fontsize=8)
        for axes in grid.flat[len(panels) :]:
            axes.set_visible(False)
        room = figure.add_axes((0.905, 0.5 / height, 0.018, 1 - 0.8 / height))
        bar = figure.colorbar(mesh, cax=room)
        bar.ax.set_ylim(0.0, CEILING)
        bar.set_ticks([0, 0.5, 1, 2, 3, 4], labels=["0", "0.5", "1", "2", "3", "4+"])
        bar.set_label(_("factor over the required one (thick line: 1)"), fontsize=8)
        bar.ax.tick_params(labelsize=8)
        return write()


def _curve(axes: Axes, comparison: Comparison, check: str) -> None:
    variation = comparison.variations[0]
    where = list(variation.numbers) if variation.numbers else [float(at) for at in range(len(variation.values))]
    for index, facet in enumerate(facets(comparison, 1)[: len(STYLES)]):
        colour, dash, sign = STYLES[index]
        y = [_value(point, check) for point in facet.points]
        axes.plot(
            where,
            y,
            linestyle=dash,
            marker=sign,
            color=colour,
            markersize=3.5,
            markerfacecolor="white",
            linewidth=1.3,
            zorder=3,
            clip_on=False,
            label=facet.title,
        )
        unsure = [
            (x, value)
            for x, value, point in zip(where, y, facet.points, strict=True)
            if check == LEAST and point.answer == "cannot say"
        ]
        for x, value in unsure:
            axes.annotate(
                "?",
                (x, value),
                (0, 3),
                textcoords="offset points",
                color=colour,
                fontsize=8,
                fontweight="bold",
                ha="center",
                zorder=5,
            )
        missing = [x for x, point in zip(where, facet.points, strict=True) if point.answer == "not buildable"]
        axes.plot(
            missing,
            [0.12 + 0.16 * index] * len(missing),
            linestyle="none",
            marker="x",
            color=colour,
            markersize=4,
            zorder=4,
            clip_on=False,
        )
    falls_short_below_one(axes, 1.4)
    axes.set_ylim(0, CEILING)
    axes.set_yticks([0, 1, 2, 3, 4], ["0", "1", "2", "3", "4+"], fontsize=8)
    if variation.numbers:
        axes.tick_params(axis="x", labelsize=8)
        axes.locator_params(axis="x", nbins=6)
    else:
        axes.set_xticks(where, variation.labels, fontsize=8)
    axes.set_title(_in_lines(said_below(check), 150.0), fontsize=8)


def _curve_page(comparison: Comparison) -> str:
    checks = [LEAST, *comparison.checks]
    rows = math.ceil(len(checks) / 3)
    height = 0.85 + 1.75 * rows
    with drawing(6.85, height) as (figure, write):
        grid = figure.subplots(rows, 3, squeeze=False, sharey=True)
        figure.subplots_adjust(
            left=0.075, right=0.975, bottom=0.5 / height, top=1 - 0.55 / height, wspace=0.12, hspace=0.62
        )
        for axes, check in zip(grid.flat, checks, strict=False):
            _curve(axes, comparison, check)
            axes.set_xlabel(_axis_name(comparison.variations[0]), fontsize=8)
        for axes in grid.flat[len(checks) :]:
            axes.set_visible(False)
        for axes in grid[:, 0]:
            axes.set_ylabel(_("factor over the required one"), fontsize=8)
        lines = grid.flat[0].get_lines()
        named = [line for line in lines if line.get_label() and not str(line.get_label()).startswith("_")]
        if len(facets(comparison, 1)) > 1:
            figure.legend(
                handles=named,
                loc="upper left",
                fontsize=8,
                frameon=False,
                ncols=min(len(named), 3),
                bbox_to_anchor=(0.06, 1.0),
            )
        return write()


def _dots(comparison: Comparison) -> str:
    """Designs side by side, nothing varied: one row a check."""
    checks = [LEAST, *comparison.checks]
    names = [said_below(check) for check in checks]
    height = 1.0 + 0.26 * len(checks) + 0.18 * len(comparison.points)
    with drawing(6.85, height) as (figure, write):
        axes = figure.subplots()
        figure.subplots_adjust(
            left=max(0.24, (max(advance(name, 8.0) for name in names) / 72.0 + 0.12) / 6.85),
            right=0.97,
            bottom=0.5 / height,
            top=1 - (0.25 + 0.18 * len(comparison.points)) / height,
        )
        for index, point in enumerate(comparison.points[: len(STYLES)]):
            colour, _dash, sign = STYLES[index]
            y = [-row + 0.12 * (index - (len(comparison.points) - 1) / 2) for row in range(len(checks))]
            axes.plot(
                [_value(point, check) for check in checks],
                y,
                linestyle="none",
                marker=sign,
                color=colour,
                markersize=6,
                markerfacecolor="white",
                label=f"{design_named(point.design)}: {said_below(point.answer)}",
                clip_on=False,
                zorder=3,
            )
        axes.axvline(1.0, color=INK, linewidth=1.4, zorder=2)
        axes.axvspan(0.0, 1.0, facecolor="none", edgecolor="#d8d2c6", hatch="///", linewidth=0.0, zorder=0)
        axes.set_yticks([-row for row in range(len(checks))], names, fontsize=8)
        axes.set_xlim(0, CEILING)
        axes.set_xticks([0, 1, 2, 3, 4], ["0", "1", "2", "3", "4+"])
        axes.set_xlabel(_("factor over the required one (line: 1; hatched: falls short)"))
        figure.legend(loc="upper left", fontsize=8, frameon=False, bbox_to_anchor=(0.02, 1.0))
        return write()


def _panels(comparison: Comparison) -> list[tuple[str, Sequence[Point], str]]:
    """(check, points, title) of every map: each check where there is one facet, else the least margin of each."""
    every = facets(comparison, 2)
    if len(every) == 1:
        return [(check, every[0].points, said_below(check)) for check in (LEAST, *comparison.checks)]
    return [(LEAST, facet.points, facet.title) for facet in every[:MOST_FACETS]]


def _one_colour(points: Sequence[Point], check: str) -> str:
    """What a map would say in one colour: met everywhere, or the same everywhere; "" where it is worth drawing."""
    values = [value for point in points if not math.isnan(value := _value(point, check))]
    if not values:
        return _("nothing to draw")
    if min(values) >= 1.0:
        return _("met everywhere")
    return _("short everywhere, alike") if max(values) - min(values) < 0.01 else ""


def not_mapped(comparison: Comparison) -> dict[str, str]:
    """Title of each map of one colour -> what it would say; a sentence says as much."""
    if len(comparison.variations) < 2:
        return {}
    said = {title: _one_colour(points, check) for check, points, title in _panels(comparison)}
    return {title: words for title, words in said.items() if words}


def comparison_figures(comparison: Comparison) -> dict[str, str]:
    """File name -> SVG, in the order of the pages."""
    if not comparison.variations:
        return {"designs.svg": _dots(comparison)}
    if len(comparison.variations) == 1:
        return {"curves.svg": _curve_page(comparison)}
    left_out = not_mapped(comparison)
    panels = [panel for panel in _panels(comparison) if panel[2] not in left_out]
    pages = [panels[:6], panels[6:]]
    return {f"maps-{index + 1}.svg": _map_page(comparison, page) for index, page in enumerate(pages) if page}
