"""Yes or no, for one of very many domes: is there a line, and which checks fall short?

A yes is first sought along a few given profiles of thrust, which costs a tenth of the polygon; only the polygon of
`admissible.carry` says no. The answers are those of `carry` for every profile: a profile that holds is a state inside
the polygon, by more than rounding (SLACK), whatever sampled dome it is tried on.
"""

from __future__ import annotations

import numpy as np

from .admissible import bed_limits, carry, compiled, ring_limits, wire_limit
from .batch_lune import case_rows, fill_rows, overlaps
from .quantities import CLOSE, CONTACT, GREATEST_GEOMETRIC_FACTOR, STEPS, _least

__all__ = ["CHECK_COUNT", "NEVER", "ask_dome", "follow", "largest_contact"]

SLACK = 1e-9
"""Relative distance a followed profile keeps from every limit: the polygon's own rounding is below 1e-13."""

CHECK_COUNT = 7
SLIDING, BEARING = 5, 6
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
def follow(rows, scales, chords, profile):  # type: ignore[no-untyped-def]
    """(holds, H): whether the states with H near profile V at every bed hold all limits, and H at the lowest bed.

    At a given H the moments that can be reached are an interval, enlarged by the ring's stress block, shifted by the
    weight, cut by the bed: the slice of `carry` at that thrust.
    """
    H = 0.0
    low = 0.0
    high = 0.0
    for i in range(len(rows)):
        x_low, x_high, limit = bed_limits(rows, i, scales)
        if x_low > x_high:
            return False, H
        V = rows[i, 3]
        z = rows[i, 0]
        limit = limit * (1.0 - SLACK)
        step = min(max(profile[i] * V, -limit), limit) - H
        if step > 0.0:
            c_max, curve = ring_limits(rows, i, scales)
            C = min(step, c_max * (1.0 - SLACK))
            if C > 0.0:
                lost = curve * chord_square(C, c_max, chords) * (1.0 + SLACK)
                H += C
                low += rows[i, 1] * C + lost
                high += rows[i, 2] * C - lost
        else:
            T = min(-step, wire_limit(rows, i, scales) * (1.0 - SLACK))
            H -= T
            low -= z * T
            high -= z * T
        low += rows[i, 4]
        high += rows[i, 4]
        if abs(H) > limit:
            return False, H
        low = max(low, z * H + x_low * V * (1.0 + SLACK))
        high = min(high, z * H + x_high * V * (1.0 - SLACK))
        if low > high:
            return False, H
    return True, H


@compiled
def _failing(rows, scales, chords, profiles, nothing, no_count):  # type: ignore[no-untyped-def]
    """(bed, H): -1 when a line exists (H at the lowest bed where a profile found it, else nan), else the bed that fails."""
    for p in range(len(profiles)):
        holds, H = follow(rows, scales, chords, profiles[p])
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
def _slides(rows, chords, available, H, shape, keep_x, keep_y, keep_n):  # type: ignore[no-untyped-def]
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
def _presses(rows, chords, available, profiles, known, shape, keep_x, keep_y, keep_n, nothing, no_count):  # type: ignore[no-untyped-def]
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
        bed, _ = _failing(rows, trial, chords, profiles, nothing, no_count)
        if bed < 0:
            return False
    slots = np.full(1, CONTACT)
    state, value, _ = _least(rows, available, slots, least_share, 1.0, CLOSE, STEPS, chords)
    found = value if state == 0 else 0.0
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
def _ask_case(rows, chords, available, asked, combined, profiles, shape, case, short_case, short_bed, gone,
              keep_x, keep_y, keep_n, nothing, no_count):  # type: ignore[no-untyped-def]
    """One case: which checks, not yet known to fall short, do (into short_*), and whether there is no line (into gone)."""
    bed, H = _failing(rows, combined, chords, profiles, nothing, no_count)
    known = combined[CONTACT] if bed < 0 else 1.0
    last = len(rows) - 1
    no_line = False
    if bed >= 0:
        bed, H = _failing(rows, available, chords, profiles, nothing, no_count)
        no_line = bed >= 0
        if no_line and gone[0] == NEVER:
            gone[0] = case
            gone[1] = bed
        for q in range(len(asked)):
            if short_case[q] == NEVER:
                bed, _ = _failing(rows, asked[q], chords, profiles, nothing, no_count)
                if bed >= 0:
                    short_case[q] = case
                    short_bed[q] = bed
    if short_case[SLIDING] == NEVER and (no_line or _slides(rows, chords, available, H, shape, keep_x, keep_y, keep_n)):
        short_case[SLIDING] = case
        short_bed[SLIDING] = last
    if short_case[BEARING] == NEVER and (no_line or _presses(
            rows, chords, available, profiles, known, shape, keep_x, keep_y, keep_n, nothing, no_count)):
        short_case[BEARING] = case
        short_bed[BEARING] = last


@compiled
def ask_dome(radii, state, courses, shape, cases, sets, asked, available, chords, profiles, wholes, rows,
             keep_x, keep_y, keep_n, nothing, no_count, short_case, short_bed, gone):  # type: ignore[no-untyped-def]
    """All cases of one dome in their order; False when its courses do not overlap (nothing is asked then).

    radii (n,) [m]; state (12,): unit weights of the three moistures, strengths of the three hardened and of fresh fill,
    three frictions, wire tension, width, and one unused. cases (m, 3): top course, set, crew 1 or 0. sets (k, 3):
    material 0..3, plastered, snow. asked (m, 5, 8). profiles (m, p, n). short_case (7,), short_bed (7,) receive the first
    case and bed (row, top first) in which each check falls short, gone (2,) those without any line; -1 where none.
    """
    for q in range(CHECK_COUNT):
        short_case[q] = NEVER
        short_bed[q] = NEVER
    gone[0] = NEVER
    gone[1] = NEVER
    width = state[11]
    if overlaps(radii, width, shape[0]) >= 0:
        return False
    for k in range(len(sets)):
        material = sets[k, 0]
        moisture = 1 if material == 3 else material
        fill_rows(wholes[k], courses, radii, width, shape, state[moisture], state[3 + material], state[7 + moisture], state[10],
                  sets[k, 1], sets[k, 2])
    combined = np.empty(len(available))
    for c in range(len(cases)):
        size = cases[c, 0] + 1
        case_rows(wholes[cases[c, 1]], cases[c, 0], shape[6] * cases[c, 2], width, rows)
        for slot in range(len(combined)):
            combined[slot] = available[slot]
        for q in range(asked.shape[1]):
            if short_case[q] == NEVER:
                for slot in range(5):
                    combined[slot] = min(combined[slot], asked[c, q, slot])
        _ask_case(rows[:size], chords, available, asked[c], combined, profiles[c, :, :size], shape, c, short_case, short_bed, gone,
                  keep_x, keep_y, keep_n, nothing, no_count)
    return True
