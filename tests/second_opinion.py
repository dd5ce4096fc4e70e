"""A second opinion on a case: another linear programme, written from the statics and from nothing of the solver.

It takes a dome's courses and a case's states and works out weights, beds, stress blocks, friction, cohesion and bond by
itself. Unknowns are the thrust H and the moment about the middle of each bed, and the forces of rings and wires; the
package's own programme has the forces alone. Shared with it are only the ring's chords, which are part of the method.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case

__all__ = ["Shares", "stands"]

CHORDS = (0.0, 1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0)


@dataclass(frozen=True)
class Shares:
    """What is left of each capacity."""

    friction: float = 1.0
    strength: float = 1.0
    wire: float = 1.0
    width: float = 1.0
    contact: float = 1.0

    @classmethod
    def all(cls, value: float) -> Shares:
        return cls(value, value, value, value, 1.0)


def reach(bands: list[tuple[float, float, float]], force: float) -> float | None:
    """Mean radius of the force that fills bands (from, to, stress) in their order, each to its stress; None: too weak.

    Between radii p and q of one radian a stress f carries f |q^2 - p^2|/2 with a moment f |q^3 - p^3|/3.
    """
    left, moment = force, 0.0
    for p, q, f in bands:
        here = min(f * abs(q * q - p * p) / 2, left)
        if here <= 0.0:
            continue
        end = math.sqrt(max(p * p + math.copysign(2 * here / f, q - p), 0.0))
        moment += f * abs(end**3 - p**3) / 3
        left -= here
    return moment / force if left <= 1e-12 * force else None


@dataclass(frozen=True)
class _Bed:
    z: float
    top: float
    weight: float
    moment: float
    low: float
    high: float
    slide: float
    ring: float  # stress of the ring above the bed, 0 if it is not counted
    depth: float
    wire: float


def _bed(dome: Dome, case: Case, index: int, vertical: float, share: Shares) -> _Bed | None:
    state, beds = case.states[index], dome.design.beds
    course, below = dome.course(state.number), case.states[max(index - 1, 0)]
    weight = sum(p.unit_weight * p.height * (p.outer**2 - p.inner**2) / 2 for p in state.parts)
    moment = sum(p.unit_weight * p.height * (p.outer**3 - p.inner**3) / 3 for p in state.parts)
    weight += sum(load.weight for load in state.loads)
    moment += sum(load.weight * load.radius for load in state.loads)
    V = vertical + weight
    inner, outer = course.bed_inner, course.bed_outer
    wet = min(max(min(state.wet_from, below.wet_from), inner), outer)
    middle, half = (inner + outer) / 2, (outer - inner) / 2
    a, b = max(middle - share.width * half, 1e-6 * middle), middle + share.width * half  # not past the axis
    edge = b if wet >= outer else min(max(wet, a), b)
    dry = min(state.strength, below.strength) * share.strength
    soft = min(state.strength_wet, below.strength_wet) * share.strength
    low = reach([(a, edge, dry), (edge, b, soft)], V)
    high = reach([(b, edge, soft), (edge, a, dry)], V)
    if low is None or high is None:
        return None
    within = half * share.contact * max(share.width, 1.0)
    whole, wetted = (outer**2 - inner**2) / 2, (outer**2 - wet**2) / 2
    rough, slick = min(state.friction, below.friction), min(state.friction_wet, below.friction_wet)
    mu = (rough * (whole - wetted) + min(slick, rough) * wetted) / whole * share.friction
    sticks = (
        min(state.cohesion, below.cohesion) * (whole - wetted) + min(state.cohesion_wet, below.cohesion_wet) * wetted
    )
    lowest = index == 0
    wire = 0.0
    if course.has_wire and case.wire and not lowest:
        wire = beds.wire_strands * beds.wire_breaking_load * beds.wire_counted_share * share.wire
        held = mu * V if beds.wire_bond is None else beds.wire_strands * beds.wire_bond * middle * share.wire
        wire = min(wire, held)
    dry_to = state.wet_from if state.ring_to is None else state.ring_to
    depth = max(min(dry_to, course.outer_radius) - course.inner_radius, 0.0)
    return _Bed(
        course.z_bottom,
        course.z_top,
        weight,
        moment,
        max(low, middle - within),
        min(high, middle + within),
        mu * V + sticks * share.friction,
        0.0 if lowest or not state.closed else state.strength * share.strength,
        depth,
        wire,
    )


def stands(dome: Dome, case: Case, share: Shares | None = None) -> bool | None:
    """Is there a thrust line? None where the solver does not say."""
    share = share or Shares()
    beds, vertical = [], 0.0
    for index in range(len(case.states) - 1, -1, -1):
        bed = _bed(dome, case, index, vertical, share)
        if bed is None or bed.low > bed.high:
            return False
        beds.append(bed)
        vertical += bed.weight
    n = len(beds)
    # Unknowns of bed i: H, M (moment of the resultant about the axis at the bed's own level), C, K - z C, T.
    H, M, C, K, T = (np.arange(n) * 5 + k for k in range(5))
    equal, right = np.zeros((2 * n, 5 * n)), np.zeros(2 * n)
    rows: list[np.ndarray] = []
    limits: list[float] = []
    bounds: list[tuple[float | None, float | None]] = [(None, None)] * (5 * n)
    vertical = 0.0
    for i, bed in enumerate(beds):
        vertical += bed.weight
        size = vertical
        # H_i = H_(i-1) + C - T;  M_i = M_(i-1) + (z_(i-1) - z_i) H_(i-1) + K + weight's moment (wire acts at z_i).
        equal[2 * i, [H[i], C[i], T[i]]] = 1.0, -1.0, 1.0
        equal[2 * i + 1, [M[i], K[i]]] = 1.0, -1.0
        right[2 * i + 1] = bed.moment
        if i:
            equal[2 * i, H[i - 1]] = -1.0
            equal[2 * i + 1, [M[i - 1], H[i - 1]]] = -1.0, -(beds[i - 1].z - bed.z)
        equal[2 * i : 2 * i + 2] /= size
        right[2 * i : 2 * i + 2] /= size
        bounds[H[i]] = (-bed.slide, bed.slide)
        bounds[M[i]] = (bed.low * vertical, bed.high * vertical)
        bounds[T[i]] = (0.0, bed.wire)
        height = bed.top - bed.z
        most = bed.ring * bed.depth * height
        bounds[C[i]] = (0.0, most)
        if most <= 0.0:
            bounds[K[i]] = (0.0, 0.0)
            continue
        # The block of depth C/(f t) has its middle from C/(2 f t) above the bottom to as much below the top.
        for p, q in itertools.pairwise(CHORDS):
            p, q = p * most, q * most
            lost = (p + q, -p * q)  # C^2 along its chord
            steep, flat = lost[0] / (2 * bed.ring * bed.depth), lost[1] / (2 * bed.ring * bed.depth)
            for sign, lever in ((-1.0, 0.0), (1.0, height)):
                row = np.zeros(5 * n)
                row[K[i]], row[C[i]] = sign, steep - sign * lever * (sign > 0)
                rows.append(row / most)
                limits.append(-flat / most)
    answer = linprog(
        np.zeros(5 * n),
        A_ub=np.array(rows) if rows else None,
        b_ub=np.array(limits) if rows else None,
        A_eq=equal,
        b_eq=right,
        bounds=bounds,
        method="highs",
        options={"primal_feasibility_tolerance": 1e-9, "dual_feasibility_tolerance": 1e-9},
    )
    return {0: True, 2: False}.get(answer.status)
