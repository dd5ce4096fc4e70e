"""Does a piece of a course stand while its ring is still open? Tipping, piece by piece and course by course.

A piece of half-angle b rests on the overlap with the course below, an annular sector from r_a outward. It
tips inward about the chord between the inner corners of that overlap, x = r_a cos b, when its centroid
x = (2/3)(r_o^3 - r_i^3)/(r_o^2 - r_i^2) sin(b)/b lies inside it (derived: edge of the support's convex hull).
A closed ring does not tip. The fill is taken as a rigid block: sagging and squeezing of fresh fill are not
part of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shellcheck_earth.basics.sums import added
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import Course, Dome

__all__ = [
    "LOAD_POSITION",
    "TAMPER_BLOW",
    "LayingRow",
    "centroid_radius",
    "first_needing_hand",
    "laying_table",
    "load_to_tip",
    "needed_hold",
    "piece_centroid",
    "shortest_stable_half_angle",
    "tipping_factor",
    "tipping_moments",
]

LOAD_POSITION = fixed("laying.load_position")
"""Where a foot or a tamper is taken to act: this share of the width in from the inner face (proposed)."""

TAMPER_BLOW = fixed("laying.tamper_blow")
"""Force of a tamper's blow counted as if it lasted [kN]: 5 kg falling 0.3 m and stopped in 20 mm
(proposed)."""

_NODES = 400


def centroid_radius(inner: float, outer: float) -> float:
    """(2/3)(r_o^3 - r_i^3)/(r_o^2 - r_i^2) [m]: the centroid of a very short piece."""
    return 2.0 / 3.0 * (outer * outer + outer * inner + inner * inner) / (outer + inner)


def piece_centroid(inner: float, outer: float, half_angle: float) -> float:
    """Distance of the centroid of a piece from the dome's axis [m]."""
    return centroid_radius(inner, outer) * (math.sin(half_angle) / half_angle if half_angle > 0.0 else 1.0)


def shortest_stable_half_angle(inner: float, outer: float, support: float) -> float:
    """Least half-angle b [rad] of a piece that does not tip; 0 when even the shortest stands; pi for a whole
    ring only.

    g(b) = x(b) - r_a cos b is negative up to one root and positive from there to g(pi) = r_a, so bisection
    finds it.
    """
    if centroid_radius(inner, outer) >= support:
        return 0.0
    low, high = 0.0, math.pi
    for _ in range(60):
        middle = (low + high) / 2
        if piece_centroid(inner, outer, middle) < support * math.cos(middle):
            low = middle
        else:
            high = middle
    return high


def _moment_line(inner: float, outer: float, edge: float, cosine: float) -> float:
    """Integral over r from inner to outer of max(0, edge - r cos) r dr."""
    low, high = inner, outer
    if cosine > 0.0:
        high = min(max(edge / cosine, inner), outer)
    elif cosine < 0.0:
        low = min(max(edge / cosine, inner), outer)
    return edge * (high * high - low * low) / 2 - cosine * (high**3 - low**3) / 3


def tipping_moments(inner: float, outer: float, support: float, half_angle: float) -> tuple[float, float]:
    """(holding, tipping) moments about the tipping edge, per unit of weight and height and per radian of
    piece [m3].

    Tipping: all that lies inside the edge; holding: all that lies outside. Their difference is area times (x
    - r_a cos b).
    """
    if half_angle <= 0.0:
        over = _moment_line(inner, outer, support, 1.0)
        net = (outer**3 - inner**3) / 3 - support * (outer * outer - inner * inner) / 2
        return over + net, over
    edge = support * math.cos(half_angle)
    angles = ((k + 0.5) / _NODES * half_angle for k in range(_NODES))
    over = added(_moment_line(inner, outer, edge, math.cos(angle)) for angle in angles) / _NODES
    area = (outer * outer - inner * inner) / 2
    return over + area * (piece_centroid(inner, outer, half_angle) - edge), over


def tipping_factor(inner: float, outer: float, support: float, half_angle: float = 0.0) -> float:
    """Holding over tipping moment; inf when nothing lies inside the edge. The default is a very short
    piece."""
    holding, over = tipping_moments(inner, outer, support, half_angle)
    return holding / over if over > 0.0 else math.inf


def needed_hold(course: Course, unit_weight: float, required: float) -> float:
    """Force [kN per m of course] the wire's barbs must hold down for the required factor on a very short
    piece.

    Taken at the middle of the overlap: q arm_q = required x tipping - holding. 0 when the weight alone is
    enough.
    """
    holding, over = tipping_moments(course.inner_radius, course.outer_radius, course.bed_inner, 0.0)
    short = unit_weight * course.height * (required * over - holding)
    centre = (course.inner_radius + course.outer_radius) / 2
    return max(short, 0.0) / (course.bed_width / 2) / centre


def load_to_tip(course: Course, unit_weight: float, half_angle: float) -> float:
    """Load [kN] at LOAD_POSITION above the end of a piece that tips it; 0 if it tips alone, inf if it never
    can."""
    inner, outer = course.inner_radius, course.outer_radius
    edge = course.bed_inner * math.cos(half_angle)
    # holding less tipping, without the integrals of either: area times (centroid - edge)
    excess = (outer * outer - inner * inner) / 2 * (piece_centroid(inner, outer, half_angle) - edge)
    net = 2 * half_angle * unit_weight * course.height * excess
    if net <= 0.0:
        return 0.0
    arm = (course.bed_inner - (course.inner_radius + LOAD_POSITION * course.width)) * math.cos(half_angle)
    return net / arm if arm > 0.0 else math.inf


def _half_angle_for_load(course: Course, unit_weight: float, load: float) -> float:
    """Least half-angle of a piece that carries `load` at LOAD_POSITION without tipping; pi when only a ring
    does."""
    low, high = 0.0, math.pi
    at = course.inner_radius + LOAD_POSITION * course.width
    if at >= course.bed_inner and centroid_radius(course.inner_radius, course.outer_radius) >= course.bed_inner:
        return 0.0
    for _ in range(30):
        middle = (low + high) / 2
        if load_to_tip(course, unit_weight, middle) < load:
            low = middle
        else:
            high = middle
    return high


@dataclass(frozen=True)
class LayingRow:
    """One course as it is laid. Lengths along its centre line [m], `factor` of a very short piece (None:
    nothing hangs over).

    length_alone     shortest piece that stands by itself; 0 when any does
    length_required  shortest piece that has the required factor
    length_blow      shortest piece that also bears a tamper's blow
    length_worker    shortest piece that also bears one worker (None: no worker in the design)
    hold_needed      what the wire must hold down for the required factor, very short piece [kN/m]
    factor_held      factor with the stated hold of the wire (the same as `factor` when none is stated)
    """

    number: int
    step_in: float
    step_share: float
    overlap: float
    factor: float | None
    factor_held: float | None
    length_alone: float
    length_required: float
    length_blow: float
    length_worker: float | None
    hold_needed: float
    ring_length: float
    top_third: bool
    needs_hand: bool


def _half_angle_for_factor(course: Course, required: float) -> float:
    if tipping_factor(course.inner_radius, course.outer_radius, course.bed_inner) >= required:
        return 0.0
    low, high = 0.0, math.pi
    for _ in range(30):
        middle = (low + high) / 2
        if tipping_factor(course.inner_radius, course.outer_radius, course.bed_inner, middle) < required:
            low = middle
        else:
            high = middle
    return high


def _row(course: Course, unit_weight: float, required: float, worker: float, hold: float, top_third: bool) -> LayingRow:
    inner, outer, support = course.inner_radius, course.outer_radius, course.bed_inner
    centre = (inner + outer) / 2
    holding, over = tipping_moments(inner, outer, support, 0.0)
    factor = holding / over if over > 0.0 else None
    extra = hold * centre * course.bed_width / 2 / (unit_weight * course.height)
    alone = shortest_stable_half_angle(inner, outer, support)
    needed = _half_angle_for_factor(course, required)
    return LayingRow(
        number=course.number,
        step_in=course.step_in,
        step_share=course.step_in / course.width,
        overlap=course.bed_width,
        factor=factor,
        factor_held=(holding + extra) / over if over > 0.0 else None,
        length_alone=2 * alone * centre,
        length_required=2 * needed * centre,
        length_blow=2 * _half_angle_for_load(course, unit_weight, TAMPER_BLOW) * centre,
        length_worker=2 * _half_angle_for_load(course, unit_weight, worker) * centre if worker > 0.0 else None,
        hold_needed=needed_hold(course, unit_weight, required),
        ring_length=2 * math.pi * centre,
        top_third=top_third,
        needs_hand=factor is not None and factor < 1.0,
    )


def laying_table(
    dome: Dome, unit_weight: float, required: float, worker: float = 0.0, wire_hold: float = 0.0
) -> tuple[LayingRow, ...]:
    """A row for every course that rests on another, lowest first.

    unit_weight of the fill as it is laid [kN/m3]; `required` factor against tipping; worker [kN]; wire_hold:
    force a metre of course that the barbs are tested to hold down [kN/m], 0 unless the user has pulled a
    piece loose and weighed it.
    """
    arcs = [course.number for course in dome.courses if course.kind == "arc"]
    third = arcs[0] + 2 * len(arcs) / 3 if arcs else math.inf
    return tuple(
        _row(
            course,
            unit_weight,
            required,
            worker,
            wire_hold if course.has_wire else 0.0,
            course.number >= third,
        )
        for course in dome.courses[1:]
    )


def first_needing_hand(rows: tuple[LayingRow, ...]) -> int | None:
    """The lowest course of which a short piece tips by itself; None if none does."""
    return next((row.number for row in rows if row.needs_hand), None)
