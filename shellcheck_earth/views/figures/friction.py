"""What holds the dome up: demand for bed friction against counted wire tension."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shellcheck_earth.basics.units import UNITS, unit_name
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures.charts import BLUE, INK, ORANGE, WIDTH, drawing, left_of_labels, spread
from shellcheck_earth.views.text.language import _

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["what_holds_it_up"]

HATCH = "#b9b1a3"


@dataclass(frozen=True)
class _Frame:
    """Ends of the axes, and the factor required on friction."""

    right: float
    top: float
    required: float


def _curves(axes: Axes, known: Sequence[tuple[float, float]], frame: _Frame) -> None:
    """Where the dome just stands, what is required, and the ground under the curve, where no thrust line exists."""
    right, top = frame.right, frame.top
    x, y = [p[0] for p in known], [p[1] for p in known]
    wanted = [frame.required * value for value in y]
    axes.fill_between(
        [0.0, x[0], *x],
        [top, top, *y] if x[0] > 0 else [y[0], y[0], *y],
        0.0,
        facecolor="none",
        edgecolor=HATCH,
        hatch="///",
        linewidth=0.0,
        zorder=1,
    )
    axes.plot(x, y, "-", color=INK, linewidth=1.6, zorder=3)
    axes.plot(x, wanted, "--", color=BLUE, linewidth=1.2, zorder=3)
    places = spread([min(y[-1], top), min(wanted[-1], top)], 0.075 * top, 0.03 * top, top)
    for words, value, place, colour in (
        (_("just stands"), y[-1], places[0], INK),
        (_("required\n({times:g} times)", times=frame.required), wanted[-1], places[1], BLUE),
    ):
        axes.annotate(
            words,
            xy=(x[-1], min(value, top)),
            xytext=(right * 1.02, place),
            fontsize=8,
            color=colour,
            va="center",
            annotation_clip=False,
            arrowprops={"arrowstyle": "-", "color": colour, "linewidth": 0.4, "shrinkA": 0, "shrinkB": 0},
        )
    axes.text(
        0.03 * right,
        0.045 * top,
        _("not enough: no thrust line exists"),
        fontsize=8,
        zorder=4,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
    )


def _nowhere(axes: Axes, frame: _Frame) -> None:
    """No friction is enough."""
    axes.axhspan(0.0, frame.top, facecolor="none", edgecolor=HATCH, hatch="///", linewidth=0.0)
    axes.text(
        0.5 * frame.right,
        0.5 * frame.top,
        _("no friction is enough, whatever the wire"),
        ha="center",
        fontsize=8,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.5},
    )


def _this_design(axes: Axes, wire: float, friction: float, unit: str, frame: _Frame) -> None:
    """The design's point, named on the side with room."""
    axes.plot([wire], [friction], "o", color=ORANGE, markersize=7, markeredgecolor=INK, zorder=5)
    axes.annotate(
        _("this design: friction {friction:.3g}, {wire:.3g} {unit} of wire", friction=friction, wire=wire, unit=unit),
        fontsize=8,
        xy=(wire, friction),
        xytext=(wire, 0.94 * frame.top),
        va="center",
        ha="right" if wire > 0.55 * frame.right else "left",
        fontweight="bold",
        zorder=6,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8},
        arrowprops={"arrowstyle": "-", "color": INK, "linewidth": 0.5, "shrinkA": 4, "shrinkB": 4},
    )


def what_holds_it_up(assessment: Result) -> str:
    """Demand for bed friction against counted wire tension, with the point of this design."""
    unit = unit_name("force", assessment.design.unit_system)
    points = [(p.wire_tension / UNITS["force"][unit], p.needed_friction) for p in assessment.friction_chart]
    beds, required = assessment.design.beds, assessment.design.criteria.required["bed friction"]
    wire = beds.wire_tension / UNITS["force"][unit]
    known = [(x, y) for x, y in points if y is not None]
    top = max([1.35 * beds.friction, 0.6, *(min(y * required, 1.5) * 1.15 for _x, y in (known[:1] + known[-1:]))])
    frame = _Frame(max([wire * 1.15, *(x for x, _y in points)], default=1.0), top, required)
    with drawing(WIDTH, 3.3) as (figure, write):
        axes = figure.subplots()
        beside = (_("just stands"), _("required\n({times:g} times)", times=required))
        figure.subplots_adjust(left=0.09, right=left_of_labels(beside, 0.80), bottom=0.15, top=0.90)
        axes.set_title(_("What holds up the finished, dry dome: friction or wire?"))
        axes.set_xlim(0, frame.right)
        axes.set_ylim(0, frame.top)
        if known:
            _curves(axes, known, frame)
        else:
            _nowhere(axes, frame)
        _this_design(axes, wire, beds.friction, unit, frame)
        axes.set_xlabel(_("wire tension counted in each bed [{unit}]", unit=unit))
        axes.set_ylabel(_("bed friction [-]"))
        return write()
