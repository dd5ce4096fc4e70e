"""The trade's rule of thumb as lines on a map of diameters and walls (common practice, no source)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from shellcheck_earth.basics.units import UNITS
from shellcheck_earth.design.variation import Variation
from shellcheck_earth.studies.compare import Comparison, thumb_axes
from shellcheck_earth.views.figures.charts import INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["draw_rule", "rule_points"]

SHARES: tuple[tuple[float, Any], ...] = ((0.10, (0, (4, 2))), (0.08, (0, (1, 1.5))))
"""Wall over inside diameter, and how its line is drawn: the rule, and where practised."""

FINE = 60
"""Points of a line: cells are drawn evenly, whatever their values."""


def _metres(variation: Variation) -> list[float]:
    assert variation.numbers is not None
    return [number * UNITS["length"][variation.unit] for number in variation.numbers]


def rule_points(comparison: Comparison, share: float) -> list[tuple[float, float]]:
    """(column, row) of the cells' centres along `wall = share x diameter`, inside the map; [] where it has no place."""
    found = thumb_axes(comparison)
    if found is None:
        return []
    diameters, widths = (_metres(comparison.variations[at]) for at in found)
    across, up = (np.argsort(values) for values in (diameters, widths))
    d, w = np.array(diameters)[across], np.array(widths)[up]
    # both ends of either scale, so that the line starts and stops where it leaves the map
    tried = np.unique([*np.linspace(d[0], d[-1], FINE), *np.clip(w / share, d[0], d[-1])])
    kept = [x for x in tried if w[0] - 1e-9 <= share * x <= w[-1] + 1e-9]
    places = [(float(np.interp(x, d, across)), float(np.interp(share * x, w, up))) for x in kept]
    return [(column, row) if found == (0, 1) else (row, column) for column, row in places]


def _apart(point: tuple[float, float]) -> tuple[float, float]:
    """How far a point lies from the middle of its cell, where a number may stand; of points alike the last."""
    x, y = point
    return round(math.hypot(x - round(x), y - round(y)), 1), x


def draw_rule(axes: Axes, comparison: Comparison) -> None:
    """Both lines, each named where it passes farthest from the numbers in the cells; nothing on a map of other keys."""
    for share, dash in SHARES:
        points = rule_points(comparison, share)
        if len(points) < 2:
            continue
        x, y = zip(*points, strict=True)
        axes.plot(x, y, color="white", linewidth=2.6, zorder=6.4)
        axes.plot(x, y, color=INK, linewidth=1.2, linestyle=dash, zorder=6.5)
        axes.annotate(
            f"{100 * share:g} %",
            max(points, key=_apart),
            fontsize=8,
            ha="center",
            va="center",
            zorder=10,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.4, "alpha": 0.85},
        )
