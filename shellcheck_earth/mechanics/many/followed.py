"""Is there a line, for one of very many domes?

A yes is first sought along a few given profiles of ring and wire force, which costs a tenth of the polygon; only the
polygon of `admissible.carry` says no. The answers are those of `carry` for every profile: a profile that holds is a
state inside the polygon, by more than rounding (SLACK), whatever sampled dome it is tried on.
"""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.rings.admissible import bed_limits, carry, wire_limit

__all__ = ["GAIN", "NEVER", "SLACK", "failing", "follow", "narrower"]

SLACK = 1e-9
"""Relative distance a followed profile keeps from every limit: the polygon's own rounding is below 1e-13."""


GAIN = 0.15
"""Share of the drift off the middle of the beds that a followed profile takes back over one course; tried 0 to 0.7:
this settles nineteen of twenty questions whose answer is yes (it only saves time)."""


LARGEST_RING = 100.0
"""A ring without a strength limit is followed up to this many times the weight above it; the polygon allows far more.
"""


NEVER = -1
"""In place of a bed, a case or a check: there is none."""


@compiled
def chord_square(c, c_max, chords):  # type: ignore[no-untyped-def]
    """C^2 along its chords: what the ring's polygon puts in place of the square."""
    for k in range(1, len(chords)):
        low = chords[k - 1] * c_max
        high = chords[k] * c_max
        if c <= high:
            return (low + high) * c - low * high
    return c * c_max


@compiled
def _lost(c, c_full, chords, f, t):  # type: ignore[no-untyped-def]
    """What the stress block of a ring force takes off the moments it can reach on either side: C^2/(2 f t) along its
    chords.
    """
    if c <= 0.0 or np.isinf(c_full):
        return 0.0
    return chord_square(c, c_full, chords) * (1.0 + 2 * SLACK) / (2.0 * f * t)


@compiled
def narrower(rows, i, scales):  # type: ignore[no-untyped-def]
    """(x_low, x_high): radii inside those of `admissible.bed_limits` for a bed of one strength; x_low > x_high:
    cannot say.

    No roots and two divisions: the block [a, c] that carries V has c - a <= V/(f a) and its centroid at a + (c - a)(a +
    2 c)/(3 (a + c)), where c <= b; the block [c, b] has b - c <= 2 V/(f (a + b)) and its centroid past its middle (all
    from c^2 - a^2 = 2 V/f, b^2 - c^2 = 2 V/f).
    """
    V = rows[i, 3]
    mid = (rows[i, 5] + rows[i, 6]) / 2
    half = (rows[i, 6] - rows[i, 5]) / 2
    a = max(mid - half * scales[3], 1e-6 * mid)
    b = mid + half * scales[3]
    f = scales[7] if scales[7] >= 0.0 else rows[i, 8] * scales[1]
    if b <= a or f * (b * b - a * a) <= 2 * V:
        return 1.0, 0.0
    low = a + V * (a + 2 * b) / (3 * f * a * (a + b))
    high = b - V / (f * (a + b))
    return max(low, mid - half * scales[4]), min(high, mid + half * scales[4])


@compiled
def follow(rows, scales, chords, profile, gain):  # type: ignore[no-untyped-def]
    """(holds, H): whether some state with forces near profile (n, 3) times V holds all limits; H at the lowest bed.

    profile holds ring force, wire force and thrust over V. With the forces given, the moments that can be reached are
    an interval, enlarged by the ring's stress block, shifted by the weight, cut by the bed. Where its middle drifts off
    the middle of the bed, `gain` of the thrust that would bring it back over one course is added; forces stay within
    limits. Each bed and each ring is of one strength throughout (columns 8 and 9 equal), courses are of one height.
    """
    H = 0.0
    low = 0.0
    high = 0.0
    drift = 0.0
    back = gain / (rows[0, 2] - rows[0, 1])
    for i in range(len(rows)):
        x_low, x_high = narrower(rows, i, scales)
        exact = x_low > x_high
        if exact:
            x_low, x_high, _ = bed_limits(rows, i, scales)
            if x_low > x_high:
                return False, H
        V = rows[i, 3]
        z = rows[i, 0]
        mu = scales[5] if scales[5] >= 0.0 else rows[i, 10] * scales[0]
        limit = (mu * V + rows[i, 11] * scales[0]) * (1.0 - SLACK)
        f = scales[7] if scales[7] >= 0.0 else rows[i, 12] * scales[1]
        t = rows[i, 13]
        c_full = f * t * (rows[i, 2] - rows[i, 1])
        c_max = min(c_full, LARGEST_RING * V)
        t_max = wire_limit(rows, i, scales) * (1.0 - SLACK)
        C = min(profile[i, 0] * V, c_max)
        T = min(profile[i, 1] * V, t_max)
        wanted = min(max(profile[i, 2] * V + back * drift, -limit), limit)
        short = wanted - (H + C - T)
        if short > 0.0:
            # More ring first: it also widens what moments can be reached, up to half its strength.
            more = min(short, max(0.5 * c_max - C, 0.0))
            C += more
            less = min(short - more, T)
            T -= less
            C = min(C + (short - more - less), c_max)
        else:
            more = min(-short, t_max - T)
            T += more
            C = max(C + (short + more), 0.0)
        inward = low + rows[i, 4]
        outward = high + rows[i, 4]
        lost = _lost(C, c_full, chords, f, t)
        for _ in range(3):
            lacking = z * (H + C) + x_low * V * (1.0 + SLACK) - (outward + rows[i, 2] * C - lost)
            if lacking <= 0.0 or c_max <= C:
                break
            # The line would pass inside the bed: more ring at the top of the course (its block takes
            # C/C_max of the gain), held
            # back by wire where there is some.
            gained = (rows[i, 2] - z) * max(1.0 - C / c_full, 0.1)
            C = min(C + (1.02 * lacking + 1e-6 * V) / gained, c_max)
            T = min(max(T, H + C - wanted), t_max)
            lost = _lost(C, c_full, chords, f, t)
        C *= 1.0 - SLACK
        H += C - T
        if abs(H) > limit:
            return False, H
        low = inward - z * T + rows[i, 1] * C + lost
        high = outward - z * T + rows[i, 2] * C - lost
        if not exact and (high < z * H + x_low * V * (1.0 + SLACK) or low > z * H + x_high * V * (1.0 - SLACK)):
            x_low, x_high, _ = bed_limits(rows, i, scales)
        low = max(low, z * H + x_low * V * (1.0 + SLACK))
        high = min(high, z * H + x_high * V * (1.0 - SLACK))
        if low > high:
            return False, H
        drift = (x_low + x_high) / 2 * V - ((low + high) / 2 - z * H)
    return True, H


@compiled
def failing(rows, scales, chords, profiles, nothing, no_count):  # type: ignore[no-untyped-def]
    """(bed, H): -1 when a line exists (H at the lowest bed where a profile found it, else nan), else the bed that
    fails.
    """
    for p in range(len(profiles)):
        holds, H = follow(rows, scales, chords, profiles[p], GAIN)
        if holds:
            return NEVER, H
    return carry(rows, scales, chords, nothing, nothing, no_count), np.nan
