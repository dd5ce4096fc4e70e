"""Pictures of a comparison: maps where two keys vary, curves where one does, else designs side by side. Nothing hangs
on colour alone.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from shellcheck_earth.studies.compare import Comparison
from shellcheck_earth.views.figures.charts import (
    CEILING,
    INK,
    drawing,
    falls_short_below_one,
)
from shellcheck_earth.views.figures.comparison.facets import LEAST, STYLES, axis_name, facets, share_at
from shellcheck_earth.views.figures.comparison.maps import in_lines, map_page, not_mapped, panels_of
from shellcheck_earth.views.figures.letters import advance
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.compare import design_named
from shellcheck_earth.views.text.language import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["comparison_figures"]


def _curve(axes: Axes, comparison: Comparison, check: str) -> None:
    variation = comparison.variations[0]
    where = list(variation.numbers) if variation.numbers else [float(at) for at in range(len(variation.values))]
    for index, facet in enumerate(facets(comparison, 1)[: len(STYLES)]):
        colour, dash, sign = STYLES[index]
        y = [share_at(point, check) for point in facet.points]
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
    axes.set_title(in_lines(said_below(check), 150.0), fontsize=8)


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
            axes.set_xlabel(axis_name(comparison.variations[0]), fontsize=8)
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
                [share_at(point, check) for check in checks],
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


def comparison_figures(comparison: Comparison) -> dict[str, str]:
    """File name -> SVG, in the order of the pages."""
    if not comparison.variations:
        return {"designs.svg": _dots(comparison)}
    if len(comparison.variations) == 1:
        return {"curves.svg": _curve_page(comparison)}
    left_out = not_mapped(comparison)
    panels = [panel for panel in panels_of(comparison) if panel[2] not in left_out]
    pages = [panels[:6], panels[6:]]
    return {f"maps-{index + 1}.svg": map_page(comparison, page) for index, page in enumerate(pages) if page}
