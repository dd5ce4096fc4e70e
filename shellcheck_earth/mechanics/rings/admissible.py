"""The admissible set of a lune, exactly: a convex polygon of states (H, G) carried down bed by bed.

Going down through a course the polygon is enlarged by what the closed ring may add (Minkowski sum with the ring's
polygon), by what the wire under it may hold back (sum with a segment), shifted by the course's weight, and clipped by
the half-planes of the bed (contact, crushing, sliding). Empty at a bed: no admissible thrust line, and that bed fails.
All of it is derived from statics in DEVELOPERS.md ("Equilibrium of a lune"); no optimiser is involved.

The functions marked `compiled` are one source for both ways of running: by numba, or, with NUMBA_DISABLE_JIT=1, by
the interpreter; they use only + - * / and sqrt on doubles, in a fixed order, so both give the same bits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.rings.convex import clip, minkowski_sum
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["AVAILABLE", "CHORDS", "Polygons", "Scales", "carry", "failing_bed", "holds", "pack", "polygons"]

CHORDS = np.array([0.0, 1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0])
"""C/C_max at which the curved bound of a ring's moment is replaced by chords (a polygon inside the true set)."""

MOST_NEW_CORNERS = 20
"""Corners that one course may add to the polygon: 14 of its ring, 2 of its wire, 4 of the half-planes of its bed."""

UNBOUNDED_RING = 1.0e4
"""A ring without a strength limit is capped at this many times the whole weight: far past any force that statics
allows between two beds, and small enough to keep the doubles accurate."""


@dataclass(frozen=True)
class Scales:
    """Factors on the available capacities, all 1 for the dome as designed.

    friction   on the friction and cohesion of every bed; `friction_value` replaces the coefficients by one number
    strength   on the crushing strength of every bed and ring
    wire       on the counted tension; `wire_value` replaces it (kN) wherever there may be wire
    half_width on the half-width of every bed (the stress blocks then fit the reduced bed)
    contact    on the half-width within which the resultant must stay, stress blocks using the whole bed
    strength_value  one strength (kPa) in place of all, of beds and of the rings that are closed
    """

    friction: float = 1.0
    strength: float = 1.0
    wire: float = 1.0
    half_width: float = 1.0
    contact: float = 1.0
    friction_value: float = -1.0
    wire_value: float = -1.0
    strength_value: float = -1.0

    def as_array(self) -> Floats:
        return np.array(
            [
                self.friction,
                self.strength,
                self.wire,
                self.half_width,
                self.contact,
                self.friction_value,
                self.wire_value,
                self.strength_value,
            ]
        )


AVAILABLE = Scales()


def pack(lune: Lune) -> Floats:
    """The lune as one array, the same one each time: `Lune.rows`, whose columns are numbered in the code below."""
    return lune.rows


@compiled
def resultant_range(a, w, b, f_in, f_out, V):  # type: ignore[no-untyped-def]
    """Innermost and outermost radius at which stress blocks on [a, w] (f_in) and [w, b] (f_out) carry V.

    From a uniform stress f over a band [p, q] of one radian: force f (q^2 - p^2)/2, moment f (q^3 - p^3)/3.
    Returns (1, 0), an empty range, when the whole bed cannot carry V.
    """
    if b <= a:
        return 1.0, 0.0
    if V <= 0.0:
        return a, b
    w = min(max(w, a), b)
    cap_in = f_in * (w * w - a * a) / 2 if w > a else 0.0
    cap_out = f_out * (b * b - w * w) / 2 if b > w else 0.0
    if cap_in + cap_out < V:
        return 1.0, 0.0
    if cap_in >= V:
        c = np.sqrt(a * a + 2 * V / f_in)
        low = 2 * (c * c + c * a + a * a) / (3 * (c + a))
    else:
        c = np.sqrt(w * w + 2 * (V - cap_in) / f_out)
        low = f_in * (w * w * w - a * a * a) / 3 if cap_in > 0.0 else 0.0
        low = (low + (V - cap_in) * 2 * (c * c + c * w + w * w) / (3 * (c + w))) / V
    if cap_out >= V:
        c = np.sqrt(max(b * b - 2 * V / f_out, 0.0))
        high = 2 * (c * c + c * b + b * b) / (3 * (c + b))
    else:
        c = np.sqrt(max(w * w - 2 * (V - cap_out) / f_in, 0.0))
        high = f_out * (b * b * b - w * w * w) / 3 if cap_out > 0.0 else 0.0
        high = (high + (V - cap_out) * 2 * (c * c + c * w + w * w) / (3 * (c + w))) / V
    return low, high


@compiled
def ring_polygon(low, high, c_max, curve, chords, qx, qy):  # type: ignore[no-untyped-def]
    """Vertices (C, K), counter-clockwise, of what a closed ring may add; returns their number.

    low C + curve C^2 <= K <= high C - curve C^2 (the stress block of depth C/(f t) anywhere in the section).
    """
    k = len(chords)
    count = 0
    for i in range(k):
        c = chords[i] * c_max
        qx[count] = c
        qy[count] = low * c + curve * c * c
        count += 1
    # The bounds meet at C_max. Without curvature (no strength limit), and where the chords end sooner, the far end is
    # an edge, not a point.
    far = k - 1 if (curve == 0.0 and high > low) or chords[k - 1] < 1.0 else k - 2
    for i in range(far, 0, -1):
        c = chords[i] * c_max
        qx[count] = c
        qy[count] = high * c - curve * c * c
        count += 1
    return count


@compiled
def bed_limits(rows, i, scales):  # type: ignore[no-untyped-def]
    """(x_low, x_high, H_limit) of bed i; x_low > x_high when the bed is crushed whatever the line does."""
    V = rows[i, 3]
    mid = (rows[i, 5] + rows[i, 6]) / 2
    half = (rows[i, 6] - rows[i, 5]) / 2
    a = max(mid - half * scales[3], 1e-6 * mid)  # a bed widened by a reserve below 1 must not pass the axis
    b = mid + half * scales[3]
    wet = rows[i, 7]
    if wet >= rows[i, 6]:
        wet = b
    f_in = scales[7] if scales[7] >= 0.0 else rows[i, 8] * scales[1]
    f_out = scales[7] if scales[7] >= 0.0 else rows[i, 9] * scales[1]
    low, high = resultant_range(a, wet, b, f_in, f_out, V)
    contact = half * scales[4] * max(scales[3], 1.0)  # a bed widened by a reserve below 1 takes its contact limit along
    low = max(low, mid - contact)
    high = min(high, mid + contact)
    mu = scales[5] if scales[5] >= 0.0 else rows[i, 10] * scales[0]
    return low, high, mu * V + rows[i, 11] * scales[0]


@compiled
def ring_limits(rows, i, scales):  # type: ignore[no-untyped-def]
    """(C_max, curve) of the ring of course i: C_max = f h t, curve = 1/(2 f t)."""
    f = scales[7] if scales[7] >= 0.0 else rows[i, 12] * scales[1]
    t = rows[i, 13]
    if f <= 0.0 or t <= 0.0:
        return 0.0, 0.0
    if np.isinf(f):
        return UNBOUNDED_RING * rows[len(rows) - 1, 3], 0.0
    return f * t * (rows[i, 2] - rows[i, 1]), 1.0 / (2.0 * f * t)


@compiled
def wire_limit(rows, i, scales):  # type: ignore[no-untyped-def]
    """Greatest tension of the wire in bed i [kN]: what is counted, and no more than its bond in the bed passes on.

    Without a pull test the bond is friction times the weight on the bed: the strand is held by nothing else (derived).
    """
    tension = scales[6] * rows[i, 15] if scales[6] >= 0.0 else rows[i, 14] * scales[2]
    if tension <= 0.0:
        return 0.0
    if rows[i, 16] >= 0.0:
        return min(tension, rows[i, 16] * (scales[2] if scales[6] < 0.0 else 1.0))
    mu = scales[5] if scales[5] >= 0.0 else rows[i, 10] * scales[0]
    return min(tension, mu * rows[i, 3])


@compiled
def room(n):  # type: ignore[no-untyped-def]
    """Length of buffers that hold the polygon of n courses, whatever it goes through."""
    return MOST_NEW_CORNERS * n + 32


@compiled
def reached(px, a, m, c_max, chords, most):  # type: ignore[no-untyped-def]
    """How many chords of a ring can matter: no more compression is left between the polygon of row `a` and the thrust
    `most` that the bed below lets through. What lies beyond is cut off there whatever the ring may take.
    """
    if np.isinf(most):
        return len(chords)
    least = px[a, 0]
    for i in range(1, m):
        least = min(least, px[a, i])
    k = 2
    while k < len(chords) and chords[k - 1] * c_max <= most - least:
        k += 1
    return k


@compiled
def between(px, py, a, m, z, low, high):  # type: ignore[no-untyped-def]
    """(row, number) of the part of the polygon in row `a` with low <= G - z H <= high; untouched where all of it is."""
    least = np.inf
    most = -np.inf
    for i in range(m):
        s = py[a, i] - z * px[a, i]
        least = min(least, s)
        most = max(most, s)
    if most > high:
        m = clip(px, py, a, m, -z, 1.0, high)
        a = 1 - a
    if least < low:
        m = clip(px, py, a, m, z, -1.0, -low)
        a = 1 - a
    return a, m


@compiled
def held_back(px, py, a, m, z, T):  # type: ignore[no-untyped-def]
    """The sum of the polygon in row `a` and the segment from nothing to (-T, -z T), into the other row; its corners.

    Along the segment G - z H stays: the corners from the greatest of it round to the least go along, the others stay.
    """
    o = 1 - a
    first = 0
    last = 0
    most = py[a, 0] - z * px[a, 0]
    least = most
    for i in range(1, m):
        s = py[a, i] - z * px[a, i]
        if s > most:
            most = s
            first = i
        if s < least:
            least = s
            last = i
    count = 0
    i = last
    while True:  # counter-clockwise up to the greatest: these stay
        px[o, count] = px[a, i]
        py[o, count] = py[a, i]
        count += 1
        if i == first:
            break
        i = i + 1 if i + 1 < m else 0
    while True:  # and on to the least
        px[o, count] = px[a, i] - T
        py[o, count] = py[a, i] - z * T
        count += 1
        if i == last:
            return count
        i = i + 1 if i + 1 < m else 0


@compiled
def carry(rows, scales, chords, keep_x, keep_y, keep_n):  # type: ignore[no-untyped-def]
    """Carry the polygon down the dome.

    rows (n, 17), scales (8,), chords (k,); keep_x, keep_y (n, capacity) and keep_n (n,) receive the polygon at every
    bed, or have no rows if nobody wants it. Returns the index of the bed that leaves nothing, or -1.
    """
    n = len(rows)
    px = np.empty((2, room(n)))
    py = np.empty((2, room(n)))
    qx = np.empty(2 * len(chords) + 1)
    qy = np.empty(2 * len(chords) + 1)
    a = 0  # the row that holds the polygon: every clip moves it to the other one
    px[0, 0] = 0.0
    py[0, 0] = 0.0
    m = 1
    for i in range(n):
        z = rows[i, 0]
        V = rows[i, 3]
        low, high, limit = bed_limits(rows, i, scales)
        if low > high:
            return i
        T = wire_limit(rows, i, scales)
        c_max, curve = ring_limits(rows, i, scales)
        if c_max > 0.0:
            k = reached(px, a, m, c_max, chords, limit + T)
            k = ring_polygon(rows[i, 1], rows[i, 2], c_max, curve, chords[:k], qx, qy)
            m = minkowski_sum(px, py, a, m, qx, qy, k)
        for j in range(m):
            py[a, j] += rows[i, 4]
        # The wire does not move a resultant along its own level: the contact is looked at first, and leaves less to do.
        a, m = between(px, py, a, m, z, low * V, high * V)
        if m == 0:
            return i
        if T > 0.0:
            m = held_back(px, py, a, m, z, T)
            a = 1 - a
        if not np.isinf(limit):
            m = clip(px, py, a, m, 1.0, 0.0, limit)
            m = clip(px, py, 1 - a, m, -1.0, 0.0, limit)
            if m == 0:
                return i
        if len(keep_n) > 0:
            keep_n[i] = m
            for j in range(m):
                keep_x[i, j] = px[a, j]
                keep_y[i, j] = py[a, j]
    return -1


_NOTHING = np.empty((0, 0))
_NO_COUNT = np.empty(0, dtype=np.int64)


def failing_bed(rows: Floats, scales: Scales = AVAILABLE) -> int:
    """Index (top first) of the first bed that no admissible state crosses, or -1 when a thrust line exists."""
    return int(carry(rows, scales.as_array(), CHORDS, _NOTHING, _NOTHING, _NO_COUNT))


def holds(rows: Floats, scales: Floats) -> bool:
    """Whether a thrust line exists; `scales` (8,) in the order of `Scales`."""
    return bool(carry(rows, scales, CHORDS, _NOTHING, _NOTHING, _NO_COUNT) < 0)


@dataclass(frozen=True)
class Polygons:
    """The admissible polygon at every bed, top first: `H[i]`, `G[i]` are its vertices. Empty from `failing` on."""

    failing: int
    H: tuple[Floats, ...]
    G: tuple[Floats, ...]


def polygons(rows: Floats, scales: Scales = AVAILABLE) -> Polygons:
    """All polygons of the lune; `failing` is -1 when a thrust line exists."""
    n = len(rows)
    keep_x = np.empty((n, room(n)))
    keep_y = np.empty((n, room(n)))
    keep_n = np.zeros(n, dtype=np.int64)
    failing = int(carry(rows, scales.as_array(), CHORDS, keep_x, keep_y, keep_n))
    last = n if failing < 0 else failing
    return Polygons(
        failing,
        tuple(keep_x[i, : keep_n[i]].copy() for i in range(last)),
        tuple(keep_y[i, : keep_n[i]].copy() for i in range(last)),
    )
