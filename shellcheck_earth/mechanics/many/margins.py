"""How much margin each of very many domes has: a number in place of a yes or no, found with few compiled questions.

The levels are a ladder of equal ratios; a dome's margin is the highest step at which every case still holds. A case is
searched only where one question says that it does not reach the least step of the cases before it, so a dome costs one
question a case and some ten more for each case that turns out to be the worst so far. The step that is found depends on
nothing but the dome: every limit only relaxes as its capacity grows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.many.batch import Plan
from shellcheck_earth.mechanics.many.followed import GAIN, NEVER, failing, follow
from shellcheck_earth.mechanics.many.ground import largest_contact, presses, slides
from shellcheck_earth.mechanics.many.kernel import CHECK_COUNT, ONLY, RESERVE, WET, on_wet_ground, together
from shellcheck_earth.mechanics.many.lunes import WIDTH, case_rows, fill_sets, overlaps
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, CHORDS, room
from shellcheck_earth.mechanics.rings.capacity import CONTACT
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["HALVINGS", "LADDER", "LEAST", "MOST", "Steps", "find_margins"]

HALVINGS = 10
"""Halvings of one search."""

LEAST, MOST = 0.125, 8.0
"""Ends of the ladder: a margin at or past an end is not told from it."""

LADDER: Floats = np.exp2((np.arange(2**HALVINGS + 1) - 2 ** (HALVINGS - 1)) * (6 / 2**HALVINGS))
"""1,025 steps from an eighth to eight, 0.4 % apart; the middle one is 1 exactly."""
LADDER.setflags(write=False)

NEAR = 8
"""Steps about the one of the dome before that are tried first, then four times as many."""


@dataclass(frozen=True)
class Steps:
    """Of N domes, places on `LADDER` (N,), 0 for "there or below", the last for "there or above".

    buildable  courses overlap; where not, both others are 0
    reserve    what all capacities may be divided by together in every case with its wire
    share      least factor over required factor of all checks; 0 where a case has no line
    """

    buildable: NDArray[np.bool_]
    reserve: NDArray[np.int64]
    share: NDArray[np.int64]


@compiled
def _has_reserve(rows, chords, available, joint, trial, divisor, profiles, nothing, no_count):  # type: ignore[no-untyped-def]
    """Whether a line is left when the capacities marked in `joint` (8,) are all divided by `divisor`."""
    for slot in range(len(trial)):
        trial[slot] = available[slot] / divisor if joint[slot] > 0 else available[slot]
    bed, _ = failing(rows, trial, chords, profiles, nothing, no_count)
    return bed < 0


@compiled
def _meets(  # type: ignore[no-untyped-def]
    rows,
    chords,
    available,
    asked,
    trial,
    never,
    profiles,
    shape,
    keep_x,
    keep_y,
    keep_n,
    nothing,
    no_count,
):
    """Whether all checks of one case with its wire hold: the answer of `kernel.ask_dome`, ended at the first no."""
    last = len(rows) - 1
    mean = rows[last, 3] / ((rows[last, 5] + rows[last, 6]) / 2) / (rows[last, 6] - rows[last, 5])
    if mean * shape[10] > shape[8]:
        return False  # not even the mean stress is allowable
    share = largest_contact(mean, shape[10], shape[8]) * (1.0 - 8e-6)
    together(trial, available, asked, never, share, NEVER)
    settled, H = follow(rows, trial, chords, profiles[0], GAIN)
    known = trial[CONTACT] if settled else 1.0
    if not settled:
        for back in range(len(asked)):  # the reserve first: mostly it is the one that fails
            bed, _ = failing(rows, asked[len(asked) - 1 - back], chords, profiles, nothing, no_count)
            if bed >= 0:
                return False
        bed, H = failing(rows, available, chords, profiles, nothing, no_count)
        if bed >= 0:
            return False
    if slides(rows, chords, available, H, shape, keep_x, keep_y, keep_n):
        return False
    return not presses(rows, chords, available, profiles, known, shape, keep_x, keep_y, keep_n, nothing, no_count)


@compiled
def _at_share(asked, divided, share, now, shape, shape_now):  # type: ignore[no-untyped-def]
    """Into `now` and `shape_now`: what one case is asked where only this share of every required factor is."""
    for q in range(len(asked)):
        for slot in range(asked.shape[1]):
            now[q, slot] = asked[q, slot] / share if divided[q, slot] > 0 else asked[q, slot]
    for i in range(len(shape)):
        shape_now[i] = shape[i]
    shape_now[9] *= share
    shape_now[10] *= share


@compiled
def _dome_steps(  # type: ignore[no-untyped-def]
    radii,
    state,
    courses,
    shape,
    cases,
    sets,
    asked,
    divided,
    available,
    chords,
    profiles,
    ladder,
    above,
    wholes,
    rows,
    keep_x,
    keep_y,
    keep_n,
    nothing,
    no_count,
    worst,
    near,
    out,
):
    """Into out (2,): steps of the reserve and of the least share. False where the courses do not overlap.

    Arguments as `kernel.ask_dome`; divided (5, 8): 1 where a check divides; `above`: steps by which the required
    reserve lies above 1, which bounds the share from above; worst (2,): the case that is asked first, here that of the
    dome before, for the next one mostly has the same; near (2,): the steps of the dome before, about which the first
    case is looked for. Both change the time only.
    """
    out[0] = 0
    out[1] = 0
    width = state[WIDTH]
    if overlaps(radii, width, shape[0]) >= 0:
        return False
    fill_sets(wholes, courses, radii, state, shape, sets)
    trial = np.empty(len(available))
    now = np.empty(asked.shape[1:])
    shape_now = np.empty(len(shape))
    wet = on_wet_ground(shape)
    never = np.full(CHECK_COUNT, NEVER)
    for which in range(2):
        best = len(ladder) - 1
        if which == 1 and out[0] < best:
            best = min(max(int(np.ceil(out[0] + 1 - above)), 0), best)
        first = worst[which]
        for turn in range(len(cases)):
            if best == 0:
                break
            c = first if turn == 0 else (turn - 1 if turn <= first else turn)
            if which == 0 and cases[c, ONLY] > 0:
                continue  # what holds without the wire is a check of its own
            size = cases[c, 0] + 1
            case_rows(wholes[cases[c, 1]], cases[c, 0], shape[6] * cases[c, 2], width, rows)
            low = 0
            high = best + 1
            # The first case is looked for about the step of the dome before; of the others one yes is mostly enough.
            middle = best if turn > 0 else min(max(near[which], 1), best)
            stride = NEAR
            while middle > low:
                if which == 0:
                    yes = _has_reserve(
                        rows[:size],
                        chords,
                        available,
                        divided[RESERVE],
                        trial,
                        ladder[middle],
                        profiles[c, :, :size, :],
                        nothing,
                        no_count,
                    )
                else:
                    ground = wet if cases[c, WET] > 0 else shape
                    _at_share(asked[c], divided, ladder[middle], now, ground, shape_now)
                    if cases[c, ONLY] > 0:
                        bed, _ = failing(rows[:size], now[RESERVE], chords, profiles[c, :, :size, :], nothing, no_count)
                        yes = bed < 0
                    else:
                        yes = _meets(
                            rows[:size],
                            chords,
                            available,
                            now,
                            trial,
                            never,
                            profiles[c, :, :size, :],
                            shape_now,
                            keep_x,
                            keep_y,
                            keep_n,
                            nothing,
                            no_count,
                        )
                if yes:
                    low = middle
                else:
                    high = middle
                if turn == 0 and high > best:
                    middle = min(low + stride, best)
                    stride *= 4
                elif turn == 0 and low == 0:
                    middle = max(high - stride, high // 2)
                    stride *= 4
                else:
                    middle = (low + high) // 2
            if low < best:
                worst[which] = c
            best = low
        out[which] = best
        near[which] = best
    return True


@compiled(nogil=True)
def _all_steps(  # type: ignore[no-untyped-def]
    radii,
    states,
    courses,
    shape,
    cases,
    sets,
    asked,
    divided,
    available,
    chords,
    profiles,
    ladder,
    above,
    buildable,
    out,
):
    """Every dome in turn; buffers are made once."""
    n = radii.shape[1]
    wholes = np.zeros((len(sets), n, 19))
    rows = np.zeros((n, 18))
    keep_x = np.empty((n, room(n)))
    keep_y = np.empty((n, room(n)))
    keep_n = np.zeros(n, dtype=np.int64)
    nothing = np.empty((0, 0))
    no_count = np.empty(0, dtype=np.int64)
    worst = np.zeros(2, dtype=np.int64)
    worst[0] = cases[:, ONLY].sum()  # the reserve is asked of none of these, which come first
    near = np.full(2, len(ladder) // 2)
    for d in range(len(radii)):
        buildable[d] = _dome_steps(
            radii[d],
            states[d],
            courses,
            shape,
            cases,
            sets,
            asked,
            divided,
            available,
            chords,
            profiles,
            ladder,
            above,
            wholes,
            rows,
            keep_x,
            keep_y,
            keep_n,
            nothing,
            no_count,
            worst,
            near,
            out[d],
        )


def find_margins(plan: Plan, slots: Sequence[Sequence[int]], required: float, radii: Floats, states: Floats) -> Steps:
    """The margins of N domes.

    Parameters
    ----------
    plan
        Courses, cases and questions of the design.
    slots
        Positions in `Scales` that each of the five checks divides, in the order of the plan; the last is the reserve.
    required
        The reserve that is required [-].
    radii, states
        (N, n) [m], lowest course first; (N, 16 + 13 g) with the columns of `batch.STATE` and of g groups.

    Returns
    -------
    Steps
        Places on LADDER.
    """
    divided = np.zeros(plan.asked.shape[1:], dtype=np.int64)
    for row, places in zip(divided, slots, strict=True):
        row[list(places)] = 1
    buildable = np.zeros(len(radii), dtype=np.bool_)
    out = np.zeros((len(radii), 2), dtype=np.int64)
    _all_steps(
        np.ascontiguousarray(radii),
        np.ascontiguousarray(states),
        plan.courses,
        plan.shape,
        plan.cases,
        plan.sets,
        plan.asked,
        divided,
        AVAILABLE.as_array(),
        CHORDS,
        plan.profiles,
        LADDER,
        float(np.log2(required)) * (2**HALVINGS / 6),
        buildable,
        out,
    )
    return Steps(buildable, out[:, 0], out[:, 1])
