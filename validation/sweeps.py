"""Published least thicknesses as sweeps: circular arch (rows 1, 4), hemisphere cut into lunes (row 7), pointed dome
(rows 12 to 15).

The curves are the tool's; the marks are printed or computed elsewhere. The second method of the arch and the lunes asks
no linear programme: with the thrust H and the moment G at the crown as the only unknowns, every joint bounds G from
both sides by straight lines in H, so the gap between the bounds is a convex function of H alone, whose least value is
searched by golden section.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np

from validation.joints import Joints, joint_collapse, least_thickness

from .arches import COCCHETTI, radial_arch
from .lunes import _least_level
from .table import Check

__all__ = ["HINGE_JOINTS", "checks", "oculus_lunes", "sweeps_svg"]

HINGE_JOINTS, CURVE_JOINTS = 720, 180
EMBRACES = (30.0, 40.0, 50.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0, 90.0)
FRICTIONS = (0.3095, 0.315, 0.33, 0.35, 0.37, 0.395832, 0.40, 0.45, 0.50)
OPENINGS = (0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0)
POINTED = tuple(round(0.05 * k, 2) for k in range(11))
POINTED_FRICTIONS: tuple[float | None, ...] = (None, 1.0, 0.6, 0.4)


def arch(half_embrace: float) -> Callable[[float], Joints]:
    """Circular arch of a half-embrace [deg], radial joints, weight on the centre line, as a function of t/R."""
    return lambda eta: radial_arch(eta, angles=np.linspace(0.0, math.radians(half_embrace), CURVE_JOINTS + 1))


def oculus_lunes(opening: float) -> Callable[[float], Joints]:
    """Hemisphere with a crown opening of a half-angle [deg], cut into lunes that lean on each other at its rim, as a
    function of t/R.
    """
    b = np.linspace(math.radians(opening), math.pi / 2, CURVE_JOINTS + 1)
    direction = np.column_stack([np.sin(b), np.cos(b)])

    def shape(eta: float) -> Joints:
        low, high = 1 - eta / 2, 1 + eta / 2
        turned = (b - b[0]) / 2 - (np.sin(2 * b) - math.sin(2 * b[0])) / 4  # integral of sin^2
        return Joints(
            low * direction,
            high * direction,
            (high**3 - low**3) / 3 * (math.cos(b[0]) - np.cos(b)),
            (high**4 - low**4) / 4 * turned,
            np.full(len(b), math.nan),
        )

    return shape


def _by_bounds(shape: Callable[[float], Joints], low: float, high: float) -> float:
    """Least t/R by the second method."""
    from scipy.optimize import minimize_scalar

    def gap(eta: float) -> float:
        j = shape(eta)
        span = float(j.vertical[-1])
        at_least, at_most = (
            (j.inner[:, 0] * j.vertical - j.moment, j.inner[:, 1]),
            (j.outer[:, 0] * j.vertical - j.moment, j.outer[:, 1]),
        )

        def least(H: float) -> float:
            return float((at_least[0] + at_least[1] * H).max() - (at_most[0] + at_most[1] * H).min())

        return float(
            minimize_scalar(least, bounds=(0.0, 5 * span), method="bounded", options={"xatol": 1e-10 * span}).fun
        )

    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if gap(middle) <= 0 else (middle, high)
    return high


@cache
def _embraces() -> tuple[float, ...]:
    return tuple(least_thickness(arch(a), 1e-4, 0.3) for a in EMBRACES)


@cache
def _frictions() -> tuple[float, ...]:
    return tuple(least_thickness(arch(90.0), 0.05, 0.3, mu) for mu in FRICTIONS)


@cache
def _openings() -> tuple[float, ...]:
    return tuple(least_thickness(oculus_lunes(a), 1e-3, 0.3) for a in OPENINGS)


@cache
def _pointed(friction: float | None) -> tuple[float, ...]:
    return tuple(_least_level(e, friction) for e in POINTED)


def _hinges(
    shape: Callable[[float], Joints], eta: float, friction: float | None = None
) -> tuple[list[float], list[float], list[float], float]:
    """Angles from the crown [deg] of the hinges at the inner and the outer ends, of slips; weights' work over its
    largest term.
    """
    joints = shape(eta)
    found = joint_collapse(joints, friction)
    if found is None:
        return [], [], [], math.nan
    angle = np.degrees(np.arctan2(*joints.inner.T))

    def where(rates: np.ndarray) -> list[float]:
        return [float(a) for a in angle[rates > 1e-6 * rates.max()]] if rates.max() > 0 else []

    slips = np.maximum(found.slip_outward, found.slip_inward)
    return where(found.hinge_inner), where(found.hinge_outer), where(slips), abs(found.weights) / found.largest_work


def _mechanism_checks() -> list[Check]:
    spacing = f"{HINGE_JOINTS} joints a half: one joint spacing of {90 / HINGE_JOINTS:g} deg"
    fine = np.linspace(0.0, math.pi / 2, HINGE_JOINTS + 1)
    # t/R just under the printed least value, where the tool must find the mechanism
    inner, outer, slips, _ = _hinges(lambda eta: radial_arch(eta, angles=fine), 0.107426 - 1e-6)
    source = f"{COCCHETTI} p. 360 Eq. 4"
    faces = "the arch of five hinges of Couplet 1730 and Heyman 1969: crown and springings open inside"
    out = [
        Check(
            "1 mechanism: hinge at the inner face [deg]",
            source,
            "read",
            54.496,
            inner[0] if len(inner) == 1 else None,
            90 / HINGE_JOINTS,
            spacing,
        ),
        Check(
            "1 mechanism: first hinge at the outer face [deg], the crown",
            faces,
            "memory",
            0.0,
            outer[0] if len(outer) == 2 else None,
            0.0,
            "a joint",
        ),
        Check(
            "1 mechanism: last hinge at the outer face [deg], the springing",
            faces,
            "memory",
            90.0,
            outer[-1] if len(outer) == 2 else None,
            1e-9,
            "a joint",
        ),
        Check("1 mechanism: number of joints that slide", source, "read", 0.0, float(len(slips)), 0.0, "a count"),
    ]
    eta = _embraces()[-1]
    work = _hinges(arch(90.0), eta)[3]
    out.append(
        Check(
            "1 mechanism: work of the weights over its largest term, at the limit",
            "virtual work",
            "derived",
            None,
            work,
            1e-6,
            "the search for t/R ends at the solver's 1e-10; the terms cancel to a thousandth of it at the least",
            recomputed=0.0,
        )
    )
    mixed = f"{COCCHETTI} p. 372"
    eta = least_thickness(lambda t: radial_arch(t, angles=fine), 0.19, 0.21, 0.30923)
    inner, outer, slips, _ = _hinges(lambda t: radial_arch(t, angles=fine), eta, 0.30923)
    out.append(
        Check(
            "4 mechanism near the lowest friction: hinge at the inner face [deg]",
            mixed,
            "read",
            60.5,
            inner[0] if len(inner) == 1 else None,
            0.3,
            "printed as about 60.5; friction 1.5e-5 over the threshold; joint spacing",
        )
    )
    out.append(
        Check(
            "4 mechanism near the lowest friction: joint that slides [deg]",
            "mixed mode of Cocchetti & Rizzi 2020",
            "memory",
            90.0,
            slips[0] if len(slips) == 1 else None,
            1e-9,
            "the springing slides, the crown hinges",
        )
    )
    out.append(
        Check(
            "4 thickness near the lowest friction over that without sliding",
            mixed,
            "read",
            1.87,
            eta / 0.107426,
            0.01,
            "printed as about 1.87; friction 1.5e-5 over the threshold",
        )
    )
    return out


def checks() -> list[Check]:
    out = _mechanism_checks()
    second = "computed here by bounds on the crown's moment, no linear programme"
    for a, ours in zip(EMBRACES, _embraces(), strict=True):
        if a in (40.0, 60.0, 80.0):
            out.append(
                Check(
                    f"1 arch of half-embrace {a:g} deg: thickness over radius",
                    second,
                    "computed",
                    None,
                    ours,
                    1e-7,
                    f"{CURVE_JOINTS} joints a half in both; searches to 1e-9",
                    recomputed=_by_bounds(arch(a), 1e-4, 0.3),
                )
            )
    for a, ours in zip(OPENINGS, _openings(), strict=True):
        if a in (0.0, 10.0, 25.0):
            out.append(
                Check(
                    f"7 lunes with a crown opening of half-angle {a:g} deg: thickness over radius",
                    second,
                    "computed",
                    None,
                    ours,
                    1e-7,
                    f"{CURVE_JOINTS} joints in both; searches to 1e-9",
                    recomputed=_by_bounds(oculus_lunes(a), 1e-3, 0.3),
                )
            )
    out.append(
        Check(
            "4 friction just over the first threshold: no thicker than without sliding",
            f"{COCCHETTI} Tab. 3",
            "read",
            0.107426,
            least_thickness(arch(90.0), 0.05, 0.3, 0.395832 + 1e-3),
            5e-5,
            f"{CURVE_JOINTS} joints a half",
        )
    )
    return out


def _style() -> dict[str, Any]:
    return {
        "svg.hashsalt": "shellcheck_earth",
        "svg.fonttype": "none",
        "font.family": ["DejaVu Sans"],
        "font.size": 8.0,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.titlelocation": "left",
        "axes.titlesize": 9.0,
        "axes.titleweight": "bold",
        "axes.linewidth": 0.6,
        "path.simplify": False,
        "text.parse_math": False,
    }


def sweeps_svg() -> str:
    """The chart: four sweeps, curves of the tool and marks of the sources. Same bytes for the same numbers."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    from shellcheck_earth.views.figures.charts import BLUE, GREEN, INK, ORANGE

    with matplotlib.rc_context(_style()):
        figure = Figure(figsize=(7.6, 6.2))
        FigureCanvasSVG(figure)
        (a, b), (c, d) = figure.subplots(2, 2)
        figure.subplots_adjust(left=0.085, right=0.965, bottom=0.115, top=0.95, wspace=0.26, hspace=0.42)
        read = {"marker": "o", "linestyle": "none", "color": INK, "markersize": 5.5, "zorder": 4}
        computed = {**read, "marker": "D", "markerfacecolor": "white", "markersize": 4.5}
        recalled = {**read, "marker": "^", "markerfacecolor": "white", "markersize": 6.0}
        a.plot(EMBRACES, _embraces(), "-", color=BLUE, linewidth=1.4)
        a.plot([90.0], [0.107426], **read)
        a.annotate("0.1074 (read)", (90.0, 0.107426), (-8, 0), textcoords="offset points", ha="right", va="center")
        a.set(title="How thick must a circular arch be?", xlabel="half-embrace from the crown [deg]")
        b.plot(FRICTIONS, _frictions(), "-", color=BLUE, linewidth=1.4)
        b.plot([0.395832, 0.309215], [0.107426, 0.200637], **read)
        b.annotate(
            "sliding joins in\nbelow 0.3958 (read)",
            (0.395832, 0.107426),
            (4, 8),
            textcoords="offset points",
            ha="left",
            va="bottom",
        )
        b.annotate(
            "nothing stands below\n0.3092, t/R 0.2006 (read)",
            (0.309215, 0.200637),
            (8, 0),
            textcoords="offset points",
            ha="left",
            va="bottom",
        )
        b.axvspan(0.295, 0.309215, facecolor="none", edgecolor="#bdb5a6", hatch="///", linewidth=0.0)
        b.set(
            title="And with less friction? (semicircle)",
            xlabel="friction coefficient",
            xlim=(0.295, 0.505),
            ylim=(0.0, 0.25),
        )
        c.plot(OPENINGS, _openings(), "-", color=BLUE, linewidth=1.4)
        c.plot([0.0], [0.04284], **computed, clip_on=False)
        c.plot([0.0], [0.042], **recalled, clip_on=False)
        c.annotate(
            "diamond 0.0428, computed elsewhere\ntriangle 0.042, Heyman (memory)",
            (0.0, 0.042),
            (4, -10),
            textcoords="offset points",
            ha="left",
            va="top",
        )
        c.set(title="A hemisphere cut into lunes", xlabel="half-angle of the crown opening [deg]")
        looks = {
            None: (BLUE, "-", "any friction"),
            1.0: (GREEN, "-.", "friction 1.0"),
            0.6: (ORANGE, "--", "friction 0.6"),
            0.4: (INK, ":", "friction 0.4"),
        }
        for mu in POINTED_FRICTIONS:
            colour, dash, words = looks[mu]
            values = _pointed(mu)
            d.plot(POINTED, values, dash, color=colour, linewidth=1.4)
            above = mu is not None
            d.annotate(
                words,
                (POINTED[1], values[1]),
                (6, 3) if above else (0, -7),
                textcoords="offset points",
                ha="left",
                va="bottom" if above else "top",
                color=colour,
            )
        d.plot(
            [0.0, 0.1, 0.25, 0.5, 0.0, 0.0, 0.0, 0.5, 0.5, 0.5],
            [0.0429, 0.03664, 0.02858, 0.01739, 0.2335, 0.1726, 0.0987, 0.0844, 0.0489, 0.0181],
            **computed,
            clip_on=False,
        )
        d.set(
            title="Pointed domes with rings, level beds (e/R 0.1: radial)",
            xlabel="centre past the axis, e/R",
            xlim=(0.0, 0.5),
        )
        for axes in (a, b, c, d):
            axes.set_ylabel("least t/R")
            axes.set_ylim(bottom=0.0)
        figure.text(
            0.012,
            0.018,
            "Lines: this tool. Filled circle: printed in a source that was read. Diamond: computed by another"
            " programme. Triangle: recalled from memory.",
            fontsize=7.0,
        )
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
        return out.getvalue()
