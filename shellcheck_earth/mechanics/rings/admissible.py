"""The admissible set of a lune, exactly: a convex polygon of states (H, G) carried down bed by bed.

Going down through a course the polygon is enlarged by what the closed ring may add (Minkowski sum with the ring's
polygon), by what the wire under it may hold back (sum with a segment), shifted by the course's weight, and clipped by
the half-planes of the bed (contact, crushing, sliding): see `chains`. Empty at a bed: no admissible thrust line, and
that bed fails. All of it is derived from statics in DEVELOPERS.md ("Equilibrium of a lune"); no optimiser is involved.

The functions marked `compiled` are one source for both ways of running: by numba, or, with NUMBA_DISABLE_JIT=1, by
the interpreter; they use only + - * / and sqrt on doubles, in a fixed order, so both give the same bits.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.rings.chains import added, ends, raised, ringed, step_of, trimmed
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["AVAILABLE", "CHORDS", "Polygons", "Scales", "carry", "failing_bed", "holds", "pack", "polygons", "table"]

CHORDS = np.array([0.0, 1 / 64, 1 / 32, 1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0])
"""C/C_max at which the curved bound of a ring's moment is replaced by chords (a polygon inside the true set)."""

MOST_NEW_CORNERS = 20
"""Corners that one course may add to the polygon: 14 of its ring, 2 of its wire, 4 of the limits of its bed."""

USUAL_COURSES = 40
"""A table for so many courses does for most domes."""

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
        """Shape (8,), the same array each time: not to be written to, though the compiled code wants it writable."""
        return self._array

    @cached_property
    def _array(self) -> Floats:
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


@compiled(inline=True)
def resultant_range(a, w, b, f_in, f_out, V):  # type: ignore[no-untyped-def]
    """Innermost and outermost radius at which stress blocks on [a, w] (f_in) and [w, b] (f_out) carry V.

    From a uniform stress f over a band [p, q] of one radian: force f (q^2 - p^2)/2, moment f (q^3 - p^3)/3.
    Returns (1, 0), an empty range, when the whole bed cannot carry V.
    """
    if b <= a or V < 0.0:  # nothing holds a bed that is lifted
        return 1.0, 0.0
    if V == 0.0:
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


@compiled(takes="dddd111", gives="i")
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


@compiled(inline=True, takes="2i1", gives="ddd")
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


@compiled(inline=True, takes="2i1", gives="dd")
def ring_limits(rows, i, scales):  # type: ignore[no-untyped-def]
    """(C_max, curve) of the ring of course i: C_max = f h t, curve = 1/(2 f t)."""
    f = scales[7] if scales[7] >= 0.0 else rows[i, 12] * scales[1]
    t = rows[i, 13]
    if f <= 0.0 or t <= 0.0:
        return 0.0, 0.0
    if np.isinf(f):
        return UNBOUNDED_RING * rows[len(rows) - 1, 3], 0.0
    return f * t * (rows[i, 2] - rows[i, 1]), 1.0 / (2.0 * f * t)


@compiled(inline=True, takes="2i1", gives="d")
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


@compiled(takes="i", gives="i")
def room(n):  # type: ignore[no-untyped-def]
    """Length of buffers that hold the polygon of n courses, whatever it goes through."""
    return MOST_NEW_CORNERS * n + 32


@compiled(inline=True)
def _reached(least, c_max, chords, most):  # type: ignore[no-untyped-def]
    """How many chords of a ring can matter: no more compression is left between the `least` thrust above it and the
    thrust `most` that the bed below lets through. What lies beyond is cut off there whatever the ring may take.
    """
    if not c_max > 0.0:
        return 1
    k = 2
    while k < len(chords) and chords[k - 1] * c_max <= most - least:
        k += 1
    return k


@compiled
def carry(rows, scales, chords, keep_x, keep_y, keep_n):  # type: ignore[no-untyped-def]
    """As `carried`, with a table of its own."""
    return carried(rows, scales, chords, np.empty((15, room(len(rows)))), keep_x, keep_y, keep_n)


@compiled(takes="211222n", gives="i")
def carried(rows, scales, chords, t, keep_x, keep_y, keep_n):  # type: ignore[no-untyped-def]
    """Carry the polygon down the dome.

    rows (n, 18), scales (8,), chords (k,), t (15, `room` of n or more) to work in; keep_x, keep_y (n, capacity) and
    keep_n (n,) receive the polygon at every bed, or have no rows if nobody wants it. Returns the index of the bed that
    leaves nothing, or -1.
    """
    n = len(rows)
    step = 12  # five chains: the lower and the upper in use, those they become, and one course's step
    r = 0  # the lower chain in use; the upper one follows it
    t[0, 0] = t[1, 0] = t[3, 0] = t[4, 0] = 0.0
    begin = begin_over = 0
    m = m_over = 1
    for i in range(n):
        z = rows[i, 0]
        low, high, limit = bed_limits(rows, i, scales)
        if low > high:
            return i
        low *= rows[i, 3]
        high *= rows[i, 3]
        T = wire_limit(rows, i, scales)
        c_max, curve = ring_limits(rows, i, scales)
        push = rows[i, 17]
        ring = (c_max, curve, _reached(t[r, begin], c_max, chords, limit + T - push))
        to = 6 - r
        k = step_of(t, step, rows[i, 1], ring, chords, (z, T), (push, rows[i, 4]))
        m = added(t, r, begin, m, step, k, to)
        k = step_of(t, step, -rows[i, 2], ring, chords, (-z, T), (push, -rows[i, 4]))
        m_over = added(t, r + 3, begin_over, m_over, step, k, to + 3)
        r = to
        least, most = ends(t, r, m, z, high, -limit, limit)
        least, most = ends(t, r + 3, m_over, -z, -low, least, most)
        if not least <= most:
            return i
        begin, m = trimmed(t, r, m, least, most)
        begin_over, m_over = trimmed(t, r + 3, m_over, least, most)
        m = raised(t, r, begin, m, z, low)
        m_over = raised(t, r + 3, begin_over, m_over, -z, -high)
        if len(keep_n) > 0:
            keep_n[i] = ringed(t, (r, begin, m), (r + 3, begin_over, m_over), keep_x[i], keep_y[i])
    return -1


NOTHING = np.empty((0, 0))
NO_COUNT = np.empty(0, dtype=np.int64)
"""In the place of polygons that nobody wants."""

_tables = threading.local()


def table(n: int) -> Floats:
    """What `carried` works in, for n courses: of this thread alone, and used again."""
    if getattr(_tables, "courses", 0) < n:
        _tables.courses = max(n, USUAL_COURSES)
        _tables.found = np.empty((15, room(_tables.courses)))
    found: Floats = _tables.found
    return found


def failing_bed(rows: Floats, scales: Scales = AVAILABLE) -> int:
    """Index (top first) of the first bed that no admissible state crosses, or -1 when a thrust line exists."""
    return int(carried(rows, scales.as_array(), CHORDS, table(len(rows)), NOTHING, NOTHING, NO_COUNT))


def holds(rows: Floats, scales: Floats) -> bool:
    """Whether a thrust line exists; `scales` (8,) in the order of `Scales`."""
    return bool(carried(rows, scales, CHORDS, table(len(rows)), NOTHING, NOTHING, NO_COUNT) < 0)


@dataclass(frozen=True)
class Polygons:
    """The admissible polygon at every bed, top first: `H[i]`, `G[i]` are its vertices. Empty from `failing` on."""

    failing: int
    H: tuple[Floats, ...]
    G: tuple[Floats, ...]


def polygons(rows: Floats, scales: Scales = AVAILABLE) -> Polygons:
    """All polygons of the lune; `failing` is -1 when a thrust line exists."""
    n = len(rows)
    keep_x, keep_y = np.empty((n, room(n))), np.empty((n, room(n)))
    keep_n = np.zeros(n, dtype=np.int64)
    failing = int(carried(rows, scales.as_array(), CHORDS, table(n), keep_x, keep_y, keep_n))
    last = n if failing < 0 else failing
    return Polygons(
        failing,
        tuple(keep_x[i, : keep_n[i]].copy() for i in range(last)),
        tuple(keep_y[i, : keep_n[i]].copy() for i in range(last)),
    )
