"""Heat maps of a comparison over two keys, with the limit line; nothing hangs on colour alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.design.variation import Variation
from shellcheck_earth.studies.compare import Comparison, Point
from shellcheck_earth.views.figures.charts import (
    CEILING,
    INK,
    drawing,
)
from shellcheck_earth.views.figures.comparison.facets import LEAST, MOST_FACETS, axis_name, facets, share_at
from shellcheck_earth.views.figures.comparison.rule_of_thumb import draw_rule
from shellcheck_earth.views.figures.letters import wrapped_to
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["in_lines", "map_page", "not_mapped", "panels_of"]

WHITE: Any = {"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85}

MOST_NUMBERED = 6
"""Columns of a map in whose cells a number of 8 points has room."""


FEW_CELLS = 100
"""Maps of at most so many cells carry the number in each."""


Grid = NDArray[np.float64]


def _grid(points: Sequence[Point], shape: tuple[int, int], check: str) -> tuple[Grid, NDArray[Any]]:
    """(shares, answers) with rows along the second key."""
    values, answers = np.full(shape[::-1], np.nan), np.full(shape[::-1], "", dtype=object)
    for point in points:
        column, row = point.chosen[0], point.chosen[1]
        values[row, column], answers[row, column] = share_at(point, check), point.answer
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
    axes.set_title(in_lines(title + _crossing(met, known), 205.0), fontsize=8)
    return mesh


def in_lines(title: str, width: float) -> str:
    """A title in as many lines as it takes where there is so much room [points] up to the next one."""
    return "\n".join(wrapped_to(title, width, 8.0, bold=True))


def _crossing(met: NDArray[np.bool_], known: NDArray[np.bool_]) -> str:
    if not known.any():
        return ": " + _("nothing to draw")
    return "" if met[known].any() else ": " + _("short everywhere")


def map_page(comparison: Comparison, panels: Sequence[tuple[str, Sequence[Point], str]]) -> str:
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
            axes.set_xlabel(axis_name(comparison.variations[0]), fontsize=8)
            axes.set_ylabel(axis_name(comparison.variations[1]), fontsize=8)
        for axes in grid.flat[len(panels) :]:
            axes.set_visible(False)
        room = figure.add_axes((0.905, 0.5 / height, 0.018, 1 - 0.8 / height))
        bar = figure.colorbar(mesh, cax=room)
        bar.ax.set_ylim(0.0, CEILING)
        bar.set_ticks([0, 0.5, 1, 2, 3, 4], labels=["0", "0.5", "1", "2", "3", "4+"])
        bar.set_label(_("factor over the required one (thick line: 1)"), fontsize=8)
        bar.ax.tick_params(labelsize=8)
        return write()


def panels_of(comparison: Comparison) -> list[tuple[str, Sequence[Point], str]]:
    """(check, points, title) of every map: each check where there is one facet, else the least margin of each."""
    every = facets(comparison, 2)
    if len(every) == 1:
        return [(check, every[0].points, said_below(check)) for check in (LEAST, *comparison.checks)]
    return [(LEAST, facet.points, facet.title) for facet in every[:MOST_FACETS]]


def _one_colour(points: Sequence[Point], check: str) -> str:
    """What a map would say in one colour: met everywhere, or the same everywhere; "" where it is worth drawing."""
    values = [value for point in points if not math.isnan(value := share_at(point, check))]
    if not values:
        return _("nothing to draw")
    if min(values) >= 1.0:
        return _("met everywhere")
    return _("short everywhere, alike") if max(values) - min(values) < 0.01 else ""


def not_mapped(comparison: Comparison) -> dict[str, str]:
    """Title of each map of one colour -> what it would say; a sentence says as much."""
    if len(comparison.variations) < 2:
        return {}
    said = {title: _one_colour(points, check) for check, points, title in panels_of(comparison)}
    return {title: words for title, words in said.items() if words}
