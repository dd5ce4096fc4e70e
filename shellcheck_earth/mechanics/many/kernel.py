"""Yes or no, for one of very many domes: is there a line, and which checks fall short?"""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.many.followed import GAIN, NEVER, failing, follow
from shellcheck_earth.mechanics.many.ground import largest_contact, presses, slides
from shellcheck_earth.mechanics.many.lunes import WIDTH, case_rows, fill_sets, overlaps
from shellcheck_earth.mechanics.rings.capacity import CONTACT, HALF_WIDTH, WIRE

__all__ = ["CHECK_COUNT", "ONLY", "RESERVE", "WET", "ask_dome", "on_wet_ground", "together"]

CHECK_COUNT = 8
RESERVE, SLIDING, BEARING, WITHOUT_WIRE = 4, 5, 6, 7

CREW, WET, ONLY = 2, 3, 4
"""Columns of a case: the crew on its top ring, the ground under it wet, asked whether it stands without its wire and
nothing else."""


@compiled
def on_wet_ground(shape):  # type: ignore[no-untyped-def]
    """The shape with friction and bearing of the ground as they are when it is wet."""
    wet = shape.copy()
    wet[7] = shape[11]
    wet[8] = shape[12]
    return wet


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

    radii (n,) [m]; state: columns of `batch.STATE`, then those of a fill again for each group. cases (m, 5): top
    course, set, then crew, wet ground and asked without its wire alone, 1 or 0; those last come first. sets (k, 4):
    material 0..4, plastered, snow, bare. asked (m, 5, 8). profiles (m, p, n, 3). short_case (8,), short_bed (8,)
    receive the first case and bed (row, top first) in which each check falls short, gone (2,) those of cases with their
    wire without any line; -1 where none.
    """
    for q in range(CHECK_COUNT):
        short_case[q] = NEVER
        short_bed[q] = NEVER
    gone[0] = NEVER
    gone[1] = NEVER
    width = state[WIDTH]
    if overlaps(radii, width, shape[0]) >= 0:
        return False
    fill_sets(wholes, courses, radii, state, shape, sets)
    trial = np.empty(len(available))
    wet = on_wet_ground(shape)
    for c in range(len(cases)):
        size = cases[c, 0] + 1
        case_rows(wholes[cases[c, 1]], cases[c, 0], shape[6] * cases[c, CREW], width, rows)
        if cases[c, ONLY] > 0:
            bed, _ = failing(rows[:size], asked[c, RESERVE], chords, profiles[c, :, :size, :], nothing, no_count)
            if bed >= 0 and short_case[WITHOUT_WIRE] == NEVER:
                short_case[WITHOUT_WIRE] = c
                short_bed[WITHOUT_WIRE] = bed
            continue
        _ask_case(
            rows[:size],
            chords,
            available,
            asked[c],
            trial,
            profiles[c, :, :size, :],
            wet if cases[c, WET] > 0 else shape,
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
        if gone[0] != NEVER and short_case[:WITHOUT_WIRE].min() != NEVER:
            break  # the later cases can add nothing
    return True
