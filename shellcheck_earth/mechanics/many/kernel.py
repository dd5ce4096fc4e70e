"""Yes or no, for one of very many domes: is there a line, and which checks fall short?

A yes is first sought along a few given profiles of ring and wire force, which costs a tenth of the polygon; only the
polygon of `admissible.carry` says no. The answers are those of `carry` for every profile: a profile that holds is a
state inside the polygon, by more than rounding (SLACK), whatever sampled dome it is tried on.
"""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.many.lunes import case_rows, fill_sets, overlaps
from shellcheck_earth.mechanics.rings.admissible import bed_limits, carry, wire_limit
from shellcheck_earth.mechanics.rings.capacity import CLOSE, CONTACT, GREATEST_GEOMETRIC_FACTOR, HALF_WIDTH, STEPS, WIRE

__all__ = [
    "CHECK_COUNT",
    "GAIN",
    "NEVER",
    "RESERVE",
    "ask_dome",
    "failing",
    "follow",
    "largest_contact",
    "presses",
    "slides",
    "together",
]

SLACK = 1e-9
"""Relative distance a followed profile keeps from every limit: the polygon's own rounding is below 1e-13."""

GAIN = 0.15
"""Share of the drift off the middle of the beds that a followed profile takes back over one course; tried 0 to 0.7:
this settles nineteen of twenty questions whose answer is yes (it only saves time)."""

LARGEST_RING = 100.0
"""A ring without a strength limit is followed up to this many times the weight above it; the polygon allows far more.
"""

CHECK_COUNT = 7
RESERVE, SLIDING, BEARING = 4, 5, 6
NEVER = -1


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
    limits. Beds and rings are of one strength throughout (columns 8 and 9 equal), courses of one height.
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


@compiled
def largest_contact(mean, required, allowable):  # type: ignore[no-untyped-def]
    """Share s of the bed's half-width up to which a resultant keeps the edge stress allowable; negative when none does.

    From `verdict.ground.bearing_stress`: edge/mean = 1 + 6 e/b inside the middle third, 2 b/(3 (b/2 - e)) outside, with
    e = s b/2.
    """
    ratio = allowable / (required * mean)
    return (ratio - 1.0) / 3.0 if ratio <= 2.0 else 1.0 - 4.0 / (3.0 * ratio)


@compiled
def _edge_stress(vertical, x, inner, outer):  # type: ignore[no-untyped-def]
    """`verdict.ground.bearing_stress`, compiled; inf where the resultant leaves the bed."""
    middle = (inner + outer) / 2
    width = outer - inner
    e = abs(x - middle)
    mean = vertical / middle / width
    if e <= width / 6:
        return mean * (1 + 6 * e / width)
    if e >= width / 2:
        return np.inf
    return 2 * (vertical / middle) / (3 * (width / 2 - e))


@compiled
def slides(rows, chords, available, H, shape, keep_x, keep_y, keep_n):  # type: ignore[no-untyped-def]
    """Base sliding falls short: the least |H| that reaches the ground asks for more than its friction."""
    n = len(rows)
    V = rows[n - 1, 3]
    if abs(H) / V * shape[9] <= shape[7] * (1.0 - SLACK):
        return False  # one line is enough to know; not so when H is nan
    carry(rows, available, chords, keep_x, keep_y, keep_n)
    m = keep_n[n - 1]
    least = keep_x[n - 1, :m].min()
    greatest = keep_x[n - 1, :m].max()
    nearest = 0.0 if least <= 0.0 and greatest >= 0.0 else min(abs(least), abs(greatest))
    slide = nearest / V * shape[9]
    return slide >= 1e-9 and slide > shape[7]


@compiled
def _least_contact(rows, chords, available, profiles, low, nothing, no_count):  # type: ignore[no-untyped-def]
    """The bisection of `quantities.least_capacity` for the contact share in [low, 1], step by step the same; 0 if
    `low` does.

    Only the beds down to the one that fails are asked (a few of the top, mostly): a no there is a no of the whole, and
    if the whole has a line at the share so found, every yes of the few was a yes of the whole. If not, a lower bed
    decides.
    """
    trial = available.copy()
    trial[CONTACT] = low
    bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
    if bed < 0:
        return 0.0
    high = 1.0
    while bed >= 0:
        top = rows[: bed + 1]
        below = low
        high = 1.0
        for _ in range(STEPS):
            if high <= below * (1.0 + CLOSE):
                break
            middle = np.sqrt(below * high)
            trial[CONTACT] = middle
            if carry(top, trial, chords, nothing, nothing, no_count) >= 0:
                below = middle
            else:
                high = middle
        if bed + 1 == len(rows):
            break
        trial[CONTACT] = high
        bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
    return high


@compiled
def presses(  # type: ignore[no-untyped-def]
    rows,
    chords,
    available,
    profiles,
    known,
    shape,
    keep_x,
    keep_y,
    keep_n,
    nothing,
    no_count,
):
    """Ground bearing falls short for the middlemost line; `known`: a contact share at which a line is known to exist.

    That line's share s bounds its eccentricity, |e| <= s b/2, and edge stress rises with |e|: a line at a share that
    keeps the stress allowable settles it. So does a mean stress above it. Between them, the search of `base_state`.
    """
    n = len(rows)
    V = rows[n - 1, 3]
    inner = rows[n - 1, 5]
    outer = rows[n - 1, 6]
    least_share = 1.0 / GREATEST_GEOMETRIC_FACTOR
    mean = V / ((inner + outer) / 2) / (outer - inner)
    if mean * shape[10] > shape[8]:
        return True
    share = largest_contact(mean, shape[10], shape[8]) * (1.0 - 4e-6)
    if share >= least_share * 1.01:
        if known <= share:
            return False
        trial = available.copy()
        trial[CONTACT] = share
        bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
        if bed < 0:
            return False
    found = _least_contact(rows, chords, available, profiles, least_share, nothing, no_count)
    trial = available.copy()
    trial[CONTACT] = min(max(found, least_share) * (1.0 + 1e-6), 1.0)
    if carry(rows, trial, chords, keep_x, keep_y, keep_n) >= 0:
        carry(rows, available, chords, keep_x, keep_y, keep_n)
    low = np.inf
    high = -np.inf
    for j in range(keep_n[n - 1]):
        x = (keep_y[n - 1, j] - rows[n - 1, 0] * keep_x[n - 1, j]) / V
        low = min(low, x)
        high = max(high, x)
    return _edge_stress(V, (low + high) / 2, inner, outer) * shape[10] > shape[8]


@compiled
def together(trial, available, asked, short_case, share, leave):  # type: ignore[no-untyped-def]
    """Into `trial`: the least of all capacities that the checks not yet short ask for, check `leave` left out, with the
    resultant as near the middle as the ground asks for. A line there answers all of them at once, for limits are
    monotone."""
    for slot in range(len(available)):
        trial[slot] = available[slot]
    if share > 0.0:
        trial[CONTACT] = min(share, trial[CONTACT])
    for q in range(len(asked)):
        if q != leave and short_case[q] == NEVER:
            for slot in range(WIRE + 1):
                trial[slot] = min(trial[slot], asked[q, slot])
            trial[HALF_WIDTH] = min(trial[HALF_WIDTH], asked[q, HALF_WIDTH])
            trial[CONTACT] = min(trial[CONTACT], asked[q, CONTACT])


@compiled
def _ask_case(  # type: ignore[no-untyped-def]
    rows,
    chords,
    available,
    asked,
    trial,
    profiles,
    shape,
    case,
    short_case,
    short_bed,
    gone,
    keep_x,
    keep_y,
    keep_n,
    nothing,
    no_count,
):
    """One case: which checks, not yet known to fall short, do (into short_*), and whether there is no line (into
    gone).
    """
    last = len(rows) - 1
    no_line = False
    mean = rows[last, 3] / ((rows[last, 5] + rows[last, 6]) / 2) / (rows[last, 6] - rows[last, 5])
    share = largest_contact(mean, shape[10], shape[8]) * (1.0 - 8e-6)
    together(trial, available, asked, short_case, share, NEVER)
    settled, H = follow(rows, trial, chords, profiles[0], GAIN)
    known = trial[CONTACT] if settled else 1.0
    if not settled:
        # The reserve asks for everything at once: mostly it alone stands in the way of the others.
        together(trial, available, asked, short_case, 0.0, RESERVE)
        others, H = follow(rows, trial, chords, profiles[0], GAIN)
        known = trial[CONTACT] if others else 1.0
        if not others:
            bed, H = failing(rows, available, chords, profiles, nothing, no_count)
            no_line = bed >= 0
            if no_line and gone[0] == NEVER:
                gone[0] = case
                gone[1] = bed
        for q in range(len(asked)):
            if short_case[q] == NEVER and (q == RESERVE or not others):
                bed, _ = failing(rows, asked[q], chords, profiles, nothing, no_count)
                if bed >= 0:
                    short_case[q] = case
                    short_bed[q] = bed
    if short_case[SLIDING] == NEVER and (no_line or slides(rows, chords, available, H, shape, keep_x, keep_y, keep_n)):
        short_case[SLIDING] = case
        short_bed[SLIDING] = last
    if short_case[BEARING] == NEVER and (
        no_line or presses(rows, chords, available, profiles, known, shape, keep_x, keep_y, keep_n, nothing, no_count)
    ):
        short_case[BEARING] = case
        short_bed[BEARING] = last


@compiled
def ask_dome(  # type: ignore[no-untyped-def]
    radii,
    state,
    courses,
    shape,
    cases,
    sets,
    asked,
    available,
    chords,
    profiles,
    wholes,
    rows,
    keep_x,
    keep_y,
    keep_n,
    nothing,
    no_count,
    short_case,
    short_bed,
    gone,
):
    """All cases of one dome in their order; False when its courses do not overlap (nothing is asked then).

    radii (n,) [m]; state (12,): unit weights of the three moistures, strengths of the three hardened and of fresh fill,
    three frictions, wire tension, width. cases (m, 3): top course, set, crew 1 or 0. sets (k, 3): material 0..3,
    plastered, snow. asked (m, 5, 8). profiles (m, p, n, 3). short_case (7,), short_bed (7,) receive the first case and
    bed (row, top first) in which each check falls short, gone (2,) those without any line; -1 where none.
    """
    for q in range(CHECK_COUNT):
        short_case[q] = NEVER
        short_bed[q] = NEVER
    gone[0] = NEVER
    gone[1] = NEVER
    width = state[11]
    if overlaps(radii, width, shape[0]) >= 0:
        return False
    fill_sets(wholes, courses, radii, state, shape, sets)
    trial = np.empty(len(available))
    for c in range(len(cases)):
        size = cases[c, 0] + 1
        case_rows(wholes[cases[c, 1]], cases[c, 0], shape[6] * cases[c, 2], width, rows)
        _ask_case(
            rows[:size],
            chords,
            available,
            asked[c],
            trial,
            profiles[c, :, :size, :],
            shape,
            c,
            short_case,
            short_bed,
            gone,
            keep_x,
            keep_y,
            keep_n,
            nothing,
            no_count,
        )
        if gone[0] != NEVER and short_case.min() != NEVER:
            break  # the later cases can add nothing
    return True
