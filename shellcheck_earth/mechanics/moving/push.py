"""Pushed slowly from rest: the dead load comes on, then the live load grows a little at a time, with a rest after each.

After each piece of load the blocks move until they rest or until they are gone. A piece that they do not survive is
taken back, halved and tried again, down to the fineness asked for. Small displacements: contacts stay where they were.

What it says. A rest at a multiplier is a state of forces that balances, presses, and slides nowhere beyond Coulomb's
limit, as ordinary limit analysis finds one too; beyond that it was *reached*, from nothing, by motions that obey
friction without dilation. That is stronger evidence than the existence of a state, and still no proof that every
history ends at rest: another stiffness, order of loads or setting may end elsewhere, so several are to be asked. Where
they are gone, one history under which the load is not held has been found. On walls the size of the pieces moves
nothing; on domes whose head blocks work loose it does (a high window was lost at 0.55 of the sequential scheme's number
in twelfths and in fortieths of the load, at 0.63 to 0.67 in thirds): ask several there too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.moving.body import USUAL, Stiffness, bodies_of
from shellcheck_earth.mechanics.moving.step import State, Stepper, unloaded
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["GONE", "RESTS", "Pushed", "push", "settle"]

RESTS = 5e-6
"""Largest force left over on a block that counts as at rest, over the mean weight of a block."""

GONE = 1e5
"""Blocks that have moved by so many times the sinking of a bed since the last rest, and still gain speed, are gone."""

FIRST_STEP, LEAST_STEP, LONGEST_STEP = 0.02, 1e-5, 4.0
"""Lengths of a time step [s]: each is longer than the one before, for rest is looked for with long ones."""

GROWTH, SLOW_GROWTH, REGAINED = 4.0, 1.5, 1.4
"""By how much a step is longer than the one before; after one without an answer, and how that is made up again."""

MOST_STEPS = 300

DEAD_PIECES = 5
"""Pieces in which the dead load comes on."""

Ended = Literal["rest", "gone", "no answer"]


@dataclass(frozen=True)
class Pushed:
    """held: largest multiplier at which the blocks came to rest, every smaller piece before it too; None: not under
    the dead load. fails: least at which they did not. ended: how the last piece that was not held ended.
    path: (multiplier, largest displacement [m]) at each rest. state: the last rest; going: the state they were left in.
    """

    held: float | None
    fails: float
    ended: Ended
    path: tuple[tuple[float, float], ...]
    state: State
    going: State | None
    steps: int


class _Clock:
    """Counts steps, so that a search ends."""

    def __init__(self) -> None:
        self.steps = 0


def settle(
    stepper: Stepper, state: State, load: Floats, gone: float, clock: _Clock | None = None
) -> tuple[Ended, State]:
    """Let the blocks move under a constant load (6 n,) until they rest, or have moved by `gone` [m] and gain speed."""
    h, growth, start, before = FIRST_STEP, GROWTH, state.moved, math.inf
    clock = clock or _Clock()
    for _ in range(MOST_STEPS):
        following = stepper.step(state, load, h)
        clock.steps += 1
        if following is None:
            h, growth = h / GROWTH, SLOW_GROWTH
            if h < LEAST_STEP:
                return "no answer", state
            continue
        state = following
        left = stepper.worst(stepper.left(load, state.force, state.tension))
        if left <= RESTS:
            return "rest", state
        moved = float(np.abs((state.moved - start) * stepper.length).max())
        speed = float(np.abs(state.speed * stepper.length).max())
        if moved > gone and speed > 0.0 and left >= 0.2 * before:
            return "gone", state
        before = left
        h, growth = min(growth * h, LONGEST_STEP), min(REGAINED * growth, GROWTH)
    return "no answer", state


def push(
    problem: BlockProblem,
    *,
    give: Stiffness = USUAL,
    piece: float,
    fine: float,
    most: float = math.inf,
    together: bool = False,
) -> Pushed:
    """Pushed slowly from rest, in pieces of `piece` down to `fine` of the live load, up to the multiplier `most`.

    together: the live load comes on in step with the dead load, to the share `piece` of it, so that it is never alone.
    """
    stepper = Stepper(bodies_of(problem, give))
    dead, live = problem.dead.ravel(), problem.live.ravel()
    gone, clock = GONE * give.sinking, _Clock()
    state, held = unloaded(stepper.bodies), piece if together else 0.0
    for part in np.linspace(0, 1, DEAD_PIECES + 1)[1:]:
        ended, following = settle(stepper, state, part * (dead + held * live), gone, clock)
        if ended != "rest":
            return Pushed(None, held, ended, (), state, following, clock.steps)
        state = following
    path = [(held, float(np.abs(state.moved).max()))]
    fails, last, going = math.inf, ended, None
    while held < most and piece >= fine * (1 - 1e-9):
        target = min(held + piece, most)
        if target >= fails:
            piece /= 2
            continue
        ended, following = settle(stepper, state, dead + target * live, gone, clock)
        if ended == "rest":
            state, held = following, target
            path.append((held, float(np.abs(state.moved).max())))
        else:
            fails, last, going = target, ended, following
            piece /= 2
    return Pushed(held, fails, last, tuple(path), state, going, clock.steps)
