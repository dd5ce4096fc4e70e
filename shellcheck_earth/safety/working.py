"""The working of one bed, with the numbers put in, so that a reader can repeat it by hand."""

from __future__ import annotations

import math

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, bed_limits, pack
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.result import CaseResult, Working

__all__ = ["working_for_bed"]


def _shape(dome: Dome, number: int) -> list[Working]:
    course = dome.course(number)
    if dome.design.dome.profile == "measured":
        radius = Working("Inner radius", "r_i, measured", "", f"r_i = {course.inner_radius:.4f} m", "design file")
    else:
        radius = Working(
            "Inner radius at mid-height",
            "r = sqrt(R^2 - z^2) - a",
            f"sqrt({dome.fixed_compass:.4f}^2 - {course.z_mid:.4f}^2) - {dome.pivot_radius:.4f}",
            f"r = {course.inner_radius:.4f} m",
            "circle drawn by the fixed compass (derived)",
        )
    pivot = dome.design.dome.centre_pivot_above_springing
    compass = Working(
        "Centre compass",
        "c = hypot(r, z - z_p)",
        f"hypot({course.inner_radius:.4f}, {course.z_mid:.4f} - {pivot:.4f})",
        f"c = {course.compass:.4f} m",
        "right triangle from the centre pivot (derived)",
    )
    return [radius, compass] if course.kind == "arc" else []


def working_for_bed(dome: Dome, case: Case, lune: Lune, result: CaseResult, number: int) -> tuple[Working, ...]:
    """The bed under course `number` in one case; the middlemost line is used where the result holds one."""
    index = round(float(lune.number[0]) - number)
    course, state = dome.course(number), next(s for s in case.states if s.number == number)
    body = state.parts[0]
    V = float(lune.vertical[index])
    low, high, limit = bed_limits(pack(lune), index, AVAILABLE.as_array())
    out = _shape(dome, number)
    out += [
        Working(
            "Weight of the fill of this course, per radian",
            "W = gamma h (r_o^2 - r_i^2)/2",
            f"{body.unit_weight:.3f} x {body.height:.3f} x ({body.outer:.4f}^2 - {body.inner:.4f}^2)/2",
            f"W = {body.weight:.4f} kN",
            "weight of a sector (derived)",
        ),
        Working(
            "Its line of action",
            "x_g = (2/3)(r_o^3 - r_i^3)/(r_o^2 - r_i^2)",
            f"(2/3)({body.outer:.4f}^3 - {body.inner:.4f}^3)/({body.outer:.4f}^2 - {body.inner:.4f}^2)",
            f"x_g = {body.moment / body.weight:.4f} m",
            "centroid of a sector (derived)",
        ),
        Working(
            "Weight handed down to the bed, per radian",
            "V = sum of the weights above",
            f"sum over courses {number} to {case.stage}, plaster and loads included",
            f"V = {V:.4f} kN",
            "equilibrium (derived)",
        ),
        Working(
            "Ends of the bed",
            "from max(r_i, r_below) + rho to min(r_i, r_below) + t - rho",
            f"t = {course.width:.3f} m, rho = {dome.design.wall.edge_rounding:.3f} m",
            f"{course.bed_inner:.4f} m to {course.bed_outer:.4f} m",
            "overlap of two rings (derived)",
        ),
        Working(
            "Where the resultant may cross",
            "stress block f over a band that carries V",
            f"f = {state.strength:.4g} kPa: c = sqrt({course.bed_inner:.4f}^2 + 2 x {V:.4f}/{state.strength:.4g})"
            if math.isfinite(state.strength) and state.strength > 0
            else "no strength",
            f"{low:.4f} m to {high:.4f} m" if low <= high else "the bed is crushed",
            "rigid-plastic stress block (derived)",
        ),
        Working(
            "Sideways force the bed can hold, per radian",
            "|H| <= mu V + c A",
            f"{float(lune.friction[index]):.3f} x {V:.4f}",
            f"|H| <= {limit:.4f} kN",
            "dry friction (Coulomb, any statics text)",
        ),
    ]
    for line in result.lines:
        if line.kind == "middlemost":
            H, x = line.H[index], line.x[index]
            out.append(
                Working(
                    "The middlemost thrust line here",
                    "x = (G - z H)/V",
                    f"H = {H:.4f} kN, V = {V:.4f} kN",
                    f"x = {x:.4f} m, |H|/V = {abs(H) / V:.3f}",
                    "equilibrium of the lune (derived)",
                )
            )
    return tuple(out)
