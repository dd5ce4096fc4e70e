"""The working of one bed, line by line: formula, the numbers put in, result, where it comes from."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.safety.findings import BedWorking

__all__ = ["WorkingLine", "working_lines"]


@dataclass(frozen=True)
class WorkingLine:
    """What is worked out, the formula, the formula with the numbers put in, the result, the source."""

    what: str
    formula: str
    numbers: str
    result: str
    source: str


def _shape(bed: BedWorking) -> Iterator[WorkingLine]:
    if bed.compass is None:
        return
    if bed.fixed_compass is None or bed.pivot_radius is None:
        yield WorkingLine("Inner radius", "r_i, measured", "", f"r_i = {bed.inner_radius:.4f} m", "design file")
    else:
        yield WorkingLine(
            "Inner radius at mid-height",
            "r = sqrt(R^2 - z^2) - a",
            f"sqrt({bed.fixed_compass:.4f}^2 - {bed.z_mid:.4f}^2) - {bed.pivot_radius:.4f}",
            f"r = {bed.inner_radius:.4f} m",
            "circle drawn by the fixed compass (derived)",
        )
    yield WorkingLine(
        "Centre compass",
        "c = hypot(r, z - z_p)",
        f"hypot({bed.inner_radius:.4f}, {bed.z_mid:.4f} - {bed.centre_pivot:.4f})",
        f"c = {bed.compass:.4f} m",
        "right triangle from the centre pivot (derived)",
    )


def _weights(bed: BedWorking) -> Iterator[WorkingLine]:
    outer, inner = f"{bed.body_outer:.4f}", f"{bed.body_inner:.4f}"
    yield WorkingLine(
        "Weight of the fill of this course, per radian",
        "W = gamma h (r_o^2 - r_i^2)/2",
        f"{bed.body_unit_weight:.3f} x {bed.body_height:.3f} x ({outer}^2 - {inner}^2)/2",
        f"W = {bed.body_weight:.4f} kN",
        "weight of a sector (derived)",
    )
    yield WorkingLine(
        "Its line of action",
        "x_g = (2/3)(r_o^3 - r_i^3)/(r_o^2 - r_i^2)",
        f"(2/3)({outer}^3 - {inner}^3)/({outer}^2 - {inner}^2)",
        f"x_g = {bed.body_centroid:.4f} m",
        "centroid of a sector (derived)",
    )
    yield WorkingLine(
        "Weight handed down to the bed, per radian",
        "V = sum of the weights above",
        f"sum over courses {bed.number} to {bed.stage}, plaster and loads included",
        f"V = {bed.vertical:.4f} kN",
        "equilibrium (derived)",
    )


def _capacities(bed: BedWorking) -> Iterator[WorkingLine]:
    yield WorkingLine(
        "Ends of the bed",
        "from max(r_i, r_below) + rho to min(r_i, r_below) + t - rho",
        f"t = {bed.width:.3f} m, rho = {bed.edge_rounding:.3f} m",
        f"{bed.bed_inner:.4f} m to {bed.bed_outer:.4f} m",
        "overlap of two rings (derived)",
    )
    f, V = bed.strength, bed.vertical
    yield WorkingLine(
        "Where the resultant may cross",
        "stress block f over a band that carries V",
        f"f = {f:.4g} kPa: c = sqrt({bed.bed_inner:.4f}^2 + 2 x {V:.4f}/{f:.4g})"
        if math.isfinite(f) and f > 0
        else "no strength",
        f"{bed.low:.4f} m to {bed.high:.4f} m" if bed.low <= bed.high else "the bed is crushed",
        "rigid-plastic stress block (derived)",
    )
    yield WorkingLine(
        "Sideways force the bed can hold, per radian",
        "|H| <= mu V + c A",
        f"{bed.friction:.3f} x {V:.4f}",
        f"|H| <= {bed.limit:.4f} kN",
        "dry friction (Coulomb, any statics text)",
    )
    if bed.thrust is not None and bed.radius is not None:
        yield WorkingLine(
            "The middlemost thrust line here",
            "x = (G - z H)/V",
            f"H = {bed.thrust:.4f} kN, V = {V:.4f} kN",
            f"x = {bed.radius:.4f} m, |H|/V = {abs(bed.thrust) / V:.3f}",
            "equilibrium of the lune (derived)",
        )


def working_lines(bed: BedWorking) -> tuple[WorkingLine, ...]:
    """Every line of the working, in the order it is done by hand."""
    return (*_shape(bed), *_weights(bed), *_capacities(bed))
