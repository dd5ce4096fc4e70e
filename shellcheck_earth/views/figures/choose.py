"""The worst margin of a design against the amount of each change."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import UNITS, unit_name
from shellcheck_earth.studies.choice import Choice
from shellcheck_earth.views.figures.charts import CEILING, GREY, INK, ORANGE, drawing, falls_short_below_one
from shellcheck_earth.views.text.choose import NAMES
from shellcheck_earth.views.text.language import _, mark

__all__ = ["change_curves"]


def change_curves(choice: Choice) -> str:
    """The worst margin against the amount of each change that can be larger or smaller."""
    shown = [one for one in choice.singles if len(one.curve) > 1]
    rows = math.ceil(len(shown) / 3)
    height = 0.45 + 1.3 * rows
    with drawing(6.85, height) as (figure, write):
        grid = figure.subplots(rows, 3, squeeze=False, sharey=True)
        figure.subplots_adjust(
            left=0.075, right=0.98, bottom=0.42 / height, top=1 - 0.32 / height, wspace=0.12, hspace=0.85
        )
        for axes, one in zip(grid.flat, shown, strict=False):
            name, one_of = _axis(one.name, choice.design.unit_system)
            points = [(amount / one_of, min(share, CEILING)) for amount, share in one.curve if share is not None]
            missing = [amount / one_of for amount, share in one.curve if share is None]
            axes.plot(
                [x for x, _ in points],
                [y for _, y in points],
                "-o",
                color=ORANGE,
                markersize=3.2,
                markerfacecolor="white",
                linewidth=1.3,
                zorder=3,
            )
            axes.plot(missing, [0.1] * len(missing), "x", color=GREY, markersize=4, zorder=3)
            falls_short_below_one(axes, 1.2)
            if one.least is not None:
                axes.axvline(one.least / one_of, color=INK, linewidth=0.8, linestyle="--", zorder=2)
            axes.set_title(_(NAMES[one.name]), fontsize=8)
            axes.set_xlabel(name, fontsize=8)
            axes.tick_params(labelsize=8)
            axes.locator_params(axis="x", nbins=5)
            if one.curve[0][0] > one.curve[-1][0]:
                axes.invert_xaxis()
        grid[0, 0].set_ylim(
            0, max(1.3, min(CEILING, 1.1 * max(share or 0.0 for one in shown for _, share in one.curve)))
        )
        for axes in grid.flat[len(shown) :]:
            axes.set_visible(False)
        for axes in grid[:, 0]:
            axes.set_ylabel(_("factor over the required one"), fontsize=8)
        return write()


LENGTHS = {
    "smaller diameter": mark("inside diameter"),
    "pivot farther out": mark("pivot beyond inner face"),
    "wider crown opening": mark("crown opening"),
    "wider tube": mark("filled width"),
}


def _axis(change: str, system: str) -> tuple[str, float]:
    """(name of the axis, one of its unit in SI), in the user's own system."""
    if change in LENGTHS:
        unit = unit_name("length", system)
        return f"{_(LENGTHS[change])} [{unit}]", UNITS["length"][unit]
    return {
        "drier fill": (_("placing moisture [%]"), 0.01),
        "more wire": (_("strands in a bed"), 1.0),
        "slower pace": (_("courses a day"), 1.0),
    }.get(change, ("", 1.0))
