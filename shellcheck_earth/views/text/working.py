"""The working of one bed, line by line: formula, the numbers put in, result, where it comes from."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.safety.findings import BedWorking
from shellcheck_earth.views.text.language import _

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
        yield WorkingLine(
            _("Inner radius"), _("r_i, measured"), "", f"r_i = {bed.inner_radius:.4f} m", _("design file")
        )
    else:
        yield WorkingLine(
            _("Inner radius at mid-height"),
            "r = sqrt(R^2 - z^2) - a",
            f"sqrt({bed.fixed_compass:.4f}^2 - {bed.z_mid:.4f}^2) - {bed.pivot_radius:.4f}",
            f"r = {bed.inner_radius:.4f} m",
            _("circle drawn by the fixed compass (derived)"),
        )
    yield WorkingLine(
        _("Centre compass"),
        "c = hypot(r, z - z_p)",
        f"hypot({bed.inner_radius:.4f}, {bed.z_mid:.4f} - {bed.centre_pivot:.4f})",
        f"c = {bed.compass:.4f} m",
        _("right triangle from the centre pivot (derived)"),
    )


def _weights(bed: BedWorking) -> Iterator[WorkingLine]:
    outer, inner = f"{bed.body_outer:.4f}", f"{bed.body_inner:.4f}"
    yield WorkingLine(
        _("Weight of the fill of this course, per radian"),
        "W = gamma h (r_o^2 - r_i^2)/2",
        f"{bed.body_unit_weight:.3f} x {bed.body_height:.3f} x ({outer}^2 - {inner}^2)/2",
        f"W = {bed.body_weight:.4f} kN",
        _("weight of a sector (derived)"),
    )
    yield WorkingLine(
        _("Its line of action"),
        "x_g = (2/3)(r_o^3 - r_i^3)/(r_o^2 - r_i^2)",
        f"(2/3)({outer}^3 - {inner}^3)/({outer}^2 - {inner}^2)",
        f"x_g = {bed.body_centroid:.4f} m",
        _("centroid of a sector (derived)"),
    )
    yield WorkingLine(
        _("Weight handed down to the bed, per radian"),
        _("V = sum of the weights above"),
        _("sum over courses {first} to {last}, plaster and loads included", first=bed.number, last=bed.stage),
        f"V = {bed.vertical:.4f} kN",
        _("equilibrium (derived)"),
    )


def _capacities(bed: BedWorking) -> Iterator[WorkingLine]:
    yield WorkingLine(
        _("Ends of the bed"),
        _("from max(r_i, r_below) + rho to min(r_i, r_below) + t - rho"),
        f"t = {bed.width:.3f} m, rho = {bed.edge_rounding:.3f} m",
        _("{low:.4f} m to {high:.4f} m", low=bed.bed_inner, high=bed.bed_outer),
        _("overlap of two rings (derived)"),
    )
    f, V = bed.strength, bed.vertical
    yield WorkingLine(
        _("Where the resultant may cross"),
        _("stress block f over a band that carries V"),
        f"f = {f:.4g} kPa: c = sqrt({bed.bed_inner:.4f}^2 + 2 x {V:.4f}/{f:.4g})"
        if math.isfinite(f) and f > 0
        else _("no strength"),
        _("{low:.4f} m to {high:.4f} m", low=bed.low, high=bed.high)
        if bed.low <= bed.high
        else _("the bed is crushed"),
        _("rigid-plastic stress block (derived)"),
    )
    yield WorkingLine(
        _("Sideways force the bed can hold, per radian"),
        "|H| <= mu V + c A",
        f"{bed.friction:.3f} x {V:.4f}",
        f"|H| <= {bed.limit:.4f} kN",
        _("dry friction (Coulomb, any statics text)"),
    )
    if bed.thrust is not None and bed.radius is not None:
        yield WorkingLine(
            _("The middlemost thrust line here"),
            "x = (G - z H)/V",
            f"H = {bed.thrust:.4f} kN, V = {V:.4f} kN",
            f"x = {bed.radius:.4f} m, |H|/V = {abs(bed.thrust) / V:.3f}",
            _("equilibrium of the lune (derived)"),
        )


def working_lines(bed: BedWorking) -> tuple[WorkingLine, ...]:
    """Every line of the working, in the order it is done by hand."""
    return (*_shape(bed), *_weights(bed), *_capacities(bed))
