"""The map of the teaching report: demand for friction and geometric factor over wall width and pivot, with and without
the wire.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.studies.explain.map import DomeMap
from shellcheck_earth.views.figures.charts import INK, ORANGE, drawing
from shellcheck_earth.views.text.language import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["map_svg", "uncrossed"]

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
            float(x[columns].mean()), float(y[row]), words, fontsize=8, ha="center", va="center", bbox=WHITE, zorder=6
        )


def _lines(axes: Axes, x: Floats, y: Floats, values: Floats, levels: tuple[float, ...], limit: float) -> str:
    """Contour lines and the limit line; returns a word on where the limit lies when it crosses nothing."""
    known = values[np.isfinite(values)]
    if not len(known):
        return _("nothing to draw")
    shown = np.ma.masked_invalid(values)
    inside = [level for level in levels if known.min() < level < known.max()]
    if inside:
        lines = axes.contour(x, y, shown, levels=inside, colors=[INK], linewidths=[0.5], zorder=4)
        for written in axes.clabel(lines, fmt="%g", fontsize=8):  # ink on the dark end of the colours cannot be read
            written.set_bbox(WHITE)
    if known.min() < limit < known.max():
        axes.contour(x, y, shown, levels=[limit], colors=[ORANGE], linewidths=[LIMIT_WIDTH], zorder=5)
        return ""
    return _("all drawn is below it") if known.max() <= limit else _("all drawn is above it")


def _frame(axes: Axes, found: DomeMap, x: Floats, y: Floats) -> None:
    """Rule of thumb, usual places of the pivot, this dome."""
    for share in THUMB:
        axes.axvline(share, color=INK, linewidth=0.9, linestyle=(0, (5, 2)), zorder=4)
        axes.text(share, float(y[-1]), f"{share:g} %", fontsize=8, ha="center", va="bottom", zorder=6)
    axes.axhline(0.0, color=INK, linewidth=0.5, linestyle=":", zorder=4)
    on_inner, on_outer = _("pivot on inner face"), _("on outer face")
    axes.text(float(x[-1]), 0.4, f"{on_inner} ", fontsize=8, ha="right", va="bottom", zorder=6, bbox=WHITE)
    axes.plot(x, x, color=INK, linewidth=0.5, linestyle="-.", zorder=4)
    axes.text(
        float(x[-1]),
        float(x[-1]) + 1.5,
        f"{on_outer} ",
        fontsize=8,
        ha="right",
        va="bottom",
        zorder=6,
        bbox=WHITE,
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
    _hatch(axes, x, y, states == "no line", "xxx", _("no line"))
    _hatch(axes, x, y, states == "not buildable", "///", _("not buildable"))
    _frame(axes, found, x, y)
    limited, thick = _("limit {limit:.3g}", limit=limit), _("thick line")
    said = f"{title}\n{limited}" + (f": {where}" if where else f" ({thick})")
    axes.set_title(said, fontsize=8, pad=13.0)
    bar = axes.figure.colorbar(mesh, ax=axes, pad=0.02, fraction=0.05, extend="max")
    ticks = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0] if friction else [1.0, 2.0, 5.0, 10.0, 20.0]
    bar.set_ticks(ticks, labels=[f"{tick:g}" for tick in ticks])
    bar.ax.minorticks_off()
    bar.ax.tick_params(labelsize=8)


def _panels(*, wired: bool) -> list[tuple[str, str, bool]]:
    """Two panels with the wire and two without (only the latter where there is none to take away)."""
    panels = (
        [
            ("friction", _("demand for friction, with the wire"), True),
            ("factor", _("geometric factor, with the wire"), True),
        ]
        if wired
        else []
    )
    panels += [
        ("friction_no_wire", _("demand for friction, no wire") if wired else _("demand for friction"), False),
        ("factor_no_wire", _("geometric factor, no wire") if wired else _("geometric factor"), False),
    ]
    return panels


def uncrossed(found: DomeMap, *, wired: bool) -> dict[str, str]:
    """Title of each map that the limit does not cross -> where all of it lies; a sentence says as much."""
    out = {}
    for name, title, _wire in _panels(wired=wired):
        values = found.grid(name)
        known = values[np.isfinite(values)]
        limit = found.most_friction if name.startswith("friction") else found.least_factor
        if not len(known):
            out[title] = _("nowhere to be drawn")
        elif not known.min() < limit < known.max():
            within = (known.max() <= limit) == name.startswith("friction")
            out[title] = _("within its limit") if within else _("beyond its limit")
    return out


def map_svg(found: DomeMap, *, wired: bool) -> str:
    """The maps that their limit crosses, two a row; ValueError where there is none."""
    left_out = uncrossed(found, wired=wired)
    panels = [one for one in _panels(wired=wired) if one[1] not in left_out]
    if not panels:
        raise ValueError("no map that its limit crosses")
    rows = (len(panels) + 1) // 2
    with drawing(6.85, 2.95 * rows) as (figure, write):
        grid = figure.subplots(rows, 2, sharex=True, sharey=True, squeeze=False)
        figure.subplots_adjust(
            left=0.075,
            right=0.965,
            bottom=0.085 if rows > 1 else 0.15,
            top=0.92 if rows > 1 else 0.84,
            wspace=0.14,
            hspace=0.42,
        )
        for axes in grid.flat[len(panels) :]:
            axes.set_visible(False)
        for axes, (name, title, wire) in zip(grid.flat, panels, strict=False):
            _panel(axes, found, name, title, wire=wire)
        for column, axes in enumerate(grid[-1]):
            if rows > 1 and not axes.get_visible():
                axes = grid[-2, column]
                axes.tick_params(labelbottom=True)
            axes.set_xlabel(_("wall width, % of the inside diameter"), fontsize=8)
        for axes in grid[:, 0]:
            axes.set_ylabel(_("pivot beyond inner face, % of diameter"), fontsize=8)
        return write()
