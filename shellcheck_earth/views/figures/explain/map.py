"""The map of the teaching report: demand for friction and geometric factor over wall width and pivot, with and without
the wire.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.studies.explain.map import DomeMap
from shellcheck_earth.views.figures.charts import INK, ORANGE, drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["map_svg"]

Floats = NDArray[np.float64]

FRICTION_LEVELS = (0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)
FACTOR_LEVELS = (1.0, 1.5, 2.0, 3.0, 5.0, 10.0, 20.0, 50.0)

THUMB = (8.0, 10.0)
"""Per cent of the inside diameter: practised, and the rule."""

LIMIT_WIDTH = 2.2

WHITE: Any = {"facecolor": "white", "edgecolor": "none", "pad": 0.8, "alpha": 0.85}


def _hatch(axes: Axes, x: Floats, y: Floats, where: NDArray[np.bool_], pattern: str, words: str) -> None:
    """The cells `where` under strokes, named once where they lie thickest."""
    if not where.any():
        return
    axes.contourf(x, y, where.astype(float), levels=[0.5, 1.5], colors=["none"], hatches=[pattern], zorder=3)
    if not where.all():
        axes.contour(x, y, where.astype(float), levels=[0.5], colors=[INK], linewidths=[0.7], zorder=3)
    runs = where.sum(axis=1)
    wide = np.flatnonzero(runs >= max(3, int(0.8 * runs.max())))
    wide = wide[(wide > 0) & (wide < len(y) - 1)]
    if len(wide):
        row = int(wide[len(wide) // 2])
        columns = np.flatnonzero(where[row])
        axes.text(
            float(x[columns].mean()), float(y[row]), words, fontsize=6.5, ha="center", va="center", bbox=WHITE, zorder=6
        )


def _lines(axes: Axes, x: Floats, y: Floats, values: Floats, levels: tuple[float, ...], limit: float) -> str:
    """Contour lines and the limit line; returns a word on where the limit lies when it crosses nothing."""
    known = values[np.isfinite(values)]
    if not len(known):
        return "nothing to draw"
    shown = np.ma.masked_invalid(values)
    inside = [level for level in levels if known.min() < level < known.max()]
    if inside:
        lines = axes.contour(x, y, shown, levels=inside, colors=[INK], linewidths=[0.5], zorder=4)
        axes.clabel(lines, fmt="%g", fontsize=6)
    if known.min() < limit < known.max():
        axes.contour(x, y, shown, levels=[limit], colors=[ORANGE], linewidths=[LIMIT_WIDTH], zorder=5)
        return ""
    return "all drawn is below it" if known.max() <= limit else "all drawn is above it"


def _frame(axes: Axes, found: DomeMap, x: Floats, y: Floats) -> None:
    """Rule of thumb, usual places of the pivot, this dome."""
    for share in THUMB:
        axes.axvline(share, color=INK, linewidth=0.9, linestyle=(0, (5, 2)), zorder=4)
        axes.text(share, float(y[-1]), f"{share:g} %", fontsize=6.5, ha="center", va="bottom", zorder=6)
    axes.axhline(0.0, color=INK, linewidth=0.5, linestyle=":", zorder=4)
    axes.text(float(x[-1]), 0.4, "pivot on inner face ", fontsize=6, ha="right", va="bottom", zorder=6, bbox=WHITE)
    axes.plot(x, x, color=INK, linewidth=0.5, linestyle="-.", zorder=4)
    axes.text(
        float(x[-1]), float(x[-1]) + 1.5, "on outer face ", fontsize=6, ha="right", va="bottom", zorder=6, bbox=WHITE
    )
    axes.plot(
        [100 * found.here[0]],
        [100 * found.here[1]],
        "o",
        color=ORANGE,
        markersize=7,
        markeredgecolor=INK,
        zorder=7,
        clip_on=False,
    )
    axes.set_xlim(float(x[0]), float(x[-1]))
    axes.set_ylim(float(y[0]), float(y[-1]))


def _panel(axes: Axes, found: DomeMap, name: str, title: str, *, wire: bool) -> None:
    from matplotlib.colors import LogNorm, Normalize

    x, y = 100 * np.array(found.widths), 100 * np.array(found.pivots)
    values = found.grid(name)
    friction = name.startswith("friction")
    norm: Any = Normalize(0.0, 1.0) if friction else LogNorm(1.0, 20.0)
    # more demand and less factor are both the dark end
    mesh = axes.pcolormesh(
        x,
        y,
        np.ma.masked_invalid(values),
        norm=norm,
        cmap="cividis_r" if friction else "cividis",
        shading="nearest",
        edgecolors="face",
        linewidth=0.1,
        zorder=1,
    )
    limit = found.most_friction if friction else found.least_factor
    where = _lines(axes, x, y, values, FRICTION_LEVELS if friction else FACTOR_LEVELS, limit)
    state = "state" if wire else "state_no_wire"
    states = np.array([[getattr(cell, state) for cell in row] for row in found.cells])
    _hatch(axes, x, y, states == "no line", "xxx", "no line")
    _hatch(axes, x, y, states == "not buildable", "///", "not buildable")
    _frame(axes, found, x, y)
    said = f"{title}\nlimit {limit:.3g}" + (f": {where}" if where else " (thick line)")
    axes.set_title(said, fontsize=7.5, pad=9.0)
    bar = axes.figure.colorbar(mesh, ax=axes, pad=0.02, fraction=0.05, extend="max")
    ticks = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0] if friction else [1.0, 2.0, 5.0, 10.0, 20.0]
    bar.set_ticks(ticks, labels=[f"{tick:g}" for tick in ticks])
    bar.ax.minorticks_off()
    bar.ax.tick_params(labelsize=6.5)


def map_svg(found: DomeMap, *, wired: bool) -> str:
    """Two panels with the wire and two without (only the latter where there is none to take away)."""
    panels = (
        [("friction", "demand for friction, with the wire", True), ("factor", "geometric factor, with the wire", True)]
        if wired
        else []
    )
    last = ", no wire" if wired else ""
    panels += [
        ("friction_no_wire", f"demand for friction{last}", False),
        ("factor_no_wire", f"geometric factor{last}", False),
    ]
    with drawing(6.85, 2.95 * len(panels) / 2) as (figure, write):
        grid = figure.subplots(len(panels) // 2, 2, sharex=True, sharey=True, squeeze=False)
        figure.subplots_adjust(
            left=0.075,
            right=0.965,
            bottom=0.085 if wired else 0.15,
            top=0.92 if wired else 0.84,
            wspace=0.14,
            hspace=0.34,
        )
        for axes, (name, title, wire) in zip(grid.flat, panels, strict=True):
            _panel(axes, found, name, title, wire=wire)
        for axes in grid[-1]:
            axes.set_xlabel("wall width, % of the inside diameter", fontsize=7.5)
        for axes in grid[:, 0]:
            axes.set_ylabel("pivot beyond inner face, % of diameter", fontsize=7.5)
        return write()
