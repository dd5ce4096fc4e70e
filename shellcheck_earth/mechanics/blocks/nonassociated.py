"""From one cone programme to an answer that can be relied on: the sequential scheme for friction, and the re-check.

Ordinary limit analysis lets a sliding contact open at the friction angle, which real beds do not; the number can be too
high. The scheme of Gilbert, Casapulla & Ahmed 2006 (memory of the scheme) repeats the programme with each point's shear
limit held at mu times the normal force of the rounds before and next to no dilation, until the multiplier settles. The
forces handed out are the re-checked ones of ordinary friction: between them and those of the dead load lies an
admissible state for any lower multiplier.
"""

from __future__ import annotations

import math
import time
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, HeldShear, solve_cone
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer, BlockProblem, Forces
from shellcheck_earth.mechanics.blocks.recheck import check_forces, within_limits
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["DILATION", "MOST_ROUNDS", "OVERSTATED", "SETTLED", "solve_blocks"]

DILATION = fixed("blocks.dilation")
"""Share of the friction left as dilation in the later rounds (an assumption of the scheme; 0 would leave n
undetermined).
"""

MEMORY, MORE_MEMORY, MOST_MEMORY = 0.5, 0.15, 0.9
"""Share of the earlier normal forces kept in the next limit, so that the rounds do not swing; more after a round
without an answer, which is then tried again half-way back."""

SWINGING, LATE_MEMORY = 10, 0.8
"""After so many rounds a scheme that has not settled goes round its end: longer memory damps the swing."""

SETTLED = 5e-3
"""Relative spread of the last three multipliers at which the scheme counts as settled. What is relied on is the least
of them less twice the spread: the rounds come down on their end from above."""

OVERSTATED = fixed("blocks.relied_on")
"""What is relied on under a load from one side is this share of the scheme's number. Without dilation several answers
are possible, and on published walls with windows (Ferris & Tin-Loi 2001, memory) it ends above the mechanisms in which
blocks pushed slowly from rest (`mechanics.moving`) are lost: 0.3981 for 0.35582, 0.3226 for 0.26374, and on walls
without windows 0.6429 for 0.6402, 0.6125 for 0.6042. On domes under an earthquake or wind they are lost at 0.96 to 1.00
of it where no head is lost (four cases), and they rest up to 0.64 (door) and 0.54 (high window) where blocks of a head
fall out. The lowest share of these ten cases decides; it bounds no other dome. With less dilation or none the scheme
came nearer on walls, but did not settle on domes."""

END = 1e-6
"""Share of the end of a search by which an answer there may fall short of it."""

BETWEEN = (0.5, 0.75, 0.25, 1.0, 0.0)
"""Where between two states a third is looked for that a round would have to find, as shares of the way."""

MOST_ROUNDS = 24

MOST_LOST = 5
"""Rounds without an answer after which the scheme gives up: each has cost several tries already."""


def _drawn_in(forces: Forces, mu: Floats) -> Forces:
    """The nearest forces that press and stay within friction: the re-check counts what that leaves unbalanced."""
    normal = np.maximum(forces.normal, 0.0)
    size = np.sqrt((forces.shear**2).sum(axis=2))
    limit = mu[:, None] * normal
    shrink = np.where(size > limit, limit / np.maximum(size, 1e-300), 1.0)
    return Forces(normal, forces.shear * shrink[:, :, None], np.maximum(forces.tension, 0.0))


def _tie_wrench(problem: BlockProblem, tension: Floats) -> Floats:
    out = np.zeros(6 * problem.blocks)
    ties = problem.ties
    if ties.size:
        np.add.at(out, ties.row.astype(np.int64), ties.value * tension[ties.tie.astype(np.int64)])
    return out.reshape(-1, 6)


class _Checked:
    """A programme's answer after the re-check: its forces drawn in, and the multiplier less what that leaves open."""

    def __init__(self, problem: BlockProblem, unit: float, answer: ConeAnswer) -> None:
        patches = problem.patches
        tension = np.minimum(answer.forces.tension, problem.ties.most)
        drawn = _drawn_in(Forces(answer.forces.normal, answer.forces.shear, tension), patches.friction)
        load = problem.dead + answer.multiplier * problem.live + _tie_wrench(problem, drawn.tension)
        left = check_forces(
            problem.centre,
            load,
            (patches.upper, patches.lower),
            patches.points,
            (patches.normal, patches.along),
            (drawn.normal, drawn.shear),
        )
        vectors = drawn.shear[:, :, :1] * patches.along[:, None, :] + drawn.shear[:, :, 1:] * patches.across[:, None, :]
        arm = patches.points - patches.centre[:, None, :]
        turning = np.einsum("mjc,mc->m", np.cross(arm, vectors), patches.normal)
        lever = patches.lever if problem.torsion else np.full(patches.size, np.inf)
        overdrawn = within_limits(
            (drawn.normal, drawn.shear),
            patches.friction,
            patches.strength,
            patches.strips,
            patches.edge_distance,
            turning,
            lever,
        )
        in_unit = np.concatenate([left[:, :3], left[:, 3:] / problem.size[:, None]], axis=1)
        self.forces, self.motions = drawn, answer.motions
        self.imbalance = float(np.abs(in_unit).max(initial=0.0)) / unit
        self.overdrawn = overdrawn / unit
        # The multipliers of the equilibrium equations say what a small unbalanced load costs (to first order).
        self.shaved = float(np.abs(answer.motions * left).sum()) + self.overdrawn * abs(answer.multiplier)
        self.multiplier = max(answer.multiplier - self.shaved, 0.0)


def _largest_motion(problem: BlockProblem, motions: Floats) -> Floats:
    size = np.abs(motions[:, :3]).max(initial=0.0)
    turn = (np.abs(motions[:, 3:]) * problem.size[:, None]).max(initial=0.0)
    largest = max(float(size), float(turn))
    return motions / largest if largest > 0 else motions


@dataclass(frozen=True)
class _Scheme:
    """multipliers round by round; value: the number of the scheme, None with `why` when it did not settle; spread: of
    its last three rounds."""

    multipliers: tuple[float, ...]
    value: float | None
    spread: float
    why: str
    motions: Floats | None


def _held_between(first: Forces, last: Forces, held: Floats, friction: Floats) -> bool:
    """Whether a state between two keeps the shear limits of a round that holds the normal forces `held` (m, 4) [kN].

    All else that a round asks of a state (balance, stress blocks, turning, ties) is convex and the same in every round:
    what lies between two states keeps it (derived).
    """
    for share in BETWEEN:
        normal = (1.0 - share) * np.maximum(first.normal, 0.0) + share * np.maximum(last.normal, 0.0)
        shear = (1.0 - share) * first.shear + share * last.shear
        limit = friction[:, None] * ((1.0 - DILATION) * held + DILATION * normal)
        if (np.sqrt((shear**2).sum(axis=2)) <= limit).all():
            return True
    return False


def _rounds(assembled: Assembled, first: ConeAnswer, *, beyond: bool = False) -> _Scheme:
    before = held = np.maximum(first.forces.normal, 0.0)
    memory, programme = MEMORY, HeldShear(assembled, DILATION)
    # The forces that held the end of the search are an answer of the first round, whose end is no higher: a round.
    ended_there = beyond and first.multiplier >= assembled.problem.most * (1 - END)
    found: list[float] = [first.multiplier] if ended_there else []
    ended, lost = "", 0
    for _ in range(MOST_ROUNDS):
        answer = programme.solve((1.0 - DILATION) * held)
        if not answer.solved:
            ended = f"; a round ended as {answer.status}"
            lost += 1
            if lost > MOST_LOST:
                break
            held, memory = (held + before) / 2, min(memory + MORE_MEMORY, MOST_MEMORY)
            continue
        found.append(answer.multiplier)
        last = found[-3:]
        spread = max(last) - min(last)
        if len(last) == 3 and spread <= SETTLED * max(abs(max(last)), 1e-3):
            return _Scheme(tuple(found), min(last), spread, "", answer.motions)
        if len(found) >= SWINGING:
            memory = max(memory, LATE_MEMORY)
        before, held = held, memory * held + (1.0 - memory) * np.maximum(answer.forces.normal, 0.0)
        # Twice at the end of the search: a state there that the third round may have is its answer.
        ends = ended_there and len(found) == 2 and spread <= END * found[0]
        if ends and _held_between(first.forces, answer.forces, held, assembled.problem.patches.friction):
            return _Scheme((*found, min(found)), min(found), spread, "", answer.motions)
    return _Scheme(
        tuple(found), None, math.inf, f"the friction scheme did not settle in {len(found) + lost} rounds{ended}", None
    )


def solve_blocks(
    problem: BlockProblem,
    *,
    without_dilation: bool = True,
    solved: tuple[Assembled, ConeAnswer] | None = None,
    beyond: bool = False,
) -> BlockAnswer:
    """The largest multiplier of the live load, re-checked; both kinds of friction unless `without_dilation` is
    False. `solved`: the problem's rows and their answer with ordinary friction, where they are there already. `beyond`:
    the search goes well beyond what is asked, so that holding its end counts as one of the scheme's rounds.
    """
    start = time.perf_counter()
    if solved is None:
        assembled = assemble(problem)
        first = solve_cone(assembled)
    else:
        assembled, first = solved
    if first.infeasible:
        return BlockAnswer(
            "solved",
            "the dead load alone cannot be held, whatever the live load",
            0.0,
            0.0,
            0.0,
            None,
            _largest_motion(problem, first.motions),
            0.0,
            0.0,
            0.0,
            (),
            True,
            time.perf_counter() - start,
        )
    if not first.solved:
        return _cannot_say(f"the solver ended as {first.status}", None, (), time.perf_counter() - start)
    ordinary = _Checked(problem, assembled.unit, first)
    at_least = first.multiplier >= problem.most * (1 - 1e-6)
    multiplier, other, motions = ordinary.multiplier, None, ordinary.motions
    rounds: tuple[float, ...] = ()
    if without_dilation:
        scheme = _rounds(assembled, first, beyond=beyond)
        rounds, other = scheme.multipliers, scheme.value
        if other is None or scheme.motions is None:
            return _cannot_say(scheme.why, ordinary.multiplier, rounds, time.perf_counter() - start)
        at_least = at_least and other >= problem.most * (1 - 1e-6)
        lower = max(other - 2 * scheme.spread, 0.0)
        if lower < multiplier:
            multiplier, motions = lower, scheme.motions
    return BlockAnswer(
        "solved",
        "",
        multiplier,
        ordinary.multiplier,
        other,
        ordinary.forces,
        _largest_motion(problem, motions),
        ordinary.imbalance,
        ordinary.overdrawn,
        ordinary.shaved,
        rounds,
        True,
        time.perf_counter() - start,
        at_least,
    )


def _cannot_say(why: str, associated: float | None, rounds: tuple[float, ...], seconds: float) -> BlockAnswer:
    return BlockAnswer(
        "cannot say", why, None, associated, None, None, None, np.inf, np.inf, 0.0, rounds, False, seconds
    )
