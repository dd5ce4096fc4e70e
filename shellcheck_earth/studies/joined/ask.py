"""What blocks hold: the reserve of their dead load, and the multiple of a load from one side, with both bounds.

The rules are those of `safety.blocks`, on any problem that can be posed at several cuts: the least of the cuts counts,
less once more what the finest one took, and a still finer one is asked where that is over a tenth; friction without
dilation is asked on the coarsest one; under a load from one side a share of its number is relied on. No proof is made
and no verdict is given.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED, solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from shellcheck_earth.mechanics.blocks.spare import Spare, only_whether, solve_spare
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.safety.blocks.edge import LEAST_RESERVE, RESERVE_STEP, Edge, find_edge
from shellcheck_earth.safety.blocks.reserve import ENOUGH, WITHOUT
from shellcheck_earth.safety.blocks.result import MOST_FACTOR, MOST_RESERVE, drop_of, outcome
from shellcheck_earth.safety.blocks.sideways import GAP, ROOM

__all__ = ["Cut", "Held", "Pose", "held_to", "holds_dead", "largest_multiple", "largest_reserve"]

Pose = Callable[[int, Shares], BlockProblem]
"""The problem at a cut (0 the coarsest, then finer, MOST_CUTS of them) with capacities multiplied; its live load is the
load asked of, or nothing where the dead load alone is."""

MOST_CUTS = 3

Key = TypeVar("Key", bound=Hashable)

WIDE_GAP = 1e-5
"""How near to the largest multiple forces have to come where they cannot be had nearer: they hold a little less."""

FAILS_AT = (1.05, 1.15, 1.4)
"""Past a reserve that was not seen to fail, where a mechanism is looked for."""


@dataclass(frozen=True)
class Cut:
    """One discretisation: blocks, the bound from below by forces, that from above by a mechanism (None: not found)."""

    blocks: int
    below: float | None
    above: float | None


@dataclass(frozen=True)
class Held:
    """What a load or the dead load is held by.

    relied      what is relied on, a multiple or a reserve; None where it could not be established, with `why`
    required    the factor that the criteria ask for
    ordinary    least over the cuts, ordinary friction; without: friction without dilation, coarser cut
    at_least    the search ended there
    motions     (n, 6) of the blocks of cut `drawn`; None where nothing moves yet
    """

    relied: float | None
    required: float
    ordinary: float | None
    without: float | None
    cuts: tuple[Cut, ...]
    at_least: bool
    why: str
    motions: Floats | None
    drawn: int = 0

    @property
    def above(self) -> float | None:
        """The least that a mechanism was found for."""
        return min((cut.above for cut in self.cuts if cut.above is not None), default=None)

    @property
    def enough(self) -> bool | None:
        """Whether what is relied on reaches what is required; None where nothing is established."""
        return None if self.relied is None else self.relied >= self.required


def held_to(held: Held) -> tuple[int, float]:
    """What decides comes first: what falls short, what is not established, the share of what is required."""
    if held.relied is None:
        return 1, 0.0
    return (2 if held.enough else 0), round(held.relied / held.required, 6)


def _dead(problem: BlockProblem) -> BlockProblem:
    return replace(problem, live=problem.dead, most=ENOUGH)


def holds_dead(pose: Pose, cut: int, shares: Shares) -> tuple[bool | None, ConeAnswer]:
    """Whether the dead load is held with these capacities; None where the solver decided neither way."""
    found = only_whether(_dead(pose(cut, shares)))
    return found.holds, found.answer


def _edge(pose: Pose, cut: int, most: float, first: float | None = None) -> Edge:
    """The largest reserve up to `most`, looked for as `find_edge` does."""

    def ask(q: float, told: bool) -> tuple[BlockProblem, Spare]:
        problem = _dead(pose(cut, Shares.reserve(q)))
        return problem, solve_spare(problem) if told else only_whether(problem)

    return find_edge(ask, [most], first)


def _largest_motion(motions: Floats) -> Floats | None:
    largest = float(np.abs(motions[:, :3]).max(initial=0.0))
    return motions / largest if largest > 0 else None


def largest_reserve(pose: Pose, required: float, cap: float = MOST_RESERVE) -> Held:
    """By how much every capacity can be divided under the dead load; cap: what is known to be its end, as by the
    ring-symmetric check."""
    most = min(cap, MOST_RESERVE)
    if most <= 0.0:
        why = "the ring-symmetric check already finds no force path"
        return Held(0.0, required, 0.0, 0.0, (), False, why, None)
    edges = [_edge(pose, 0, most, required)]
    while len(edges) < 2 or (len(edges) < MOST_CUTS and _apart([edge.reserve for edge in edges])):
        before = edges[-1].reserve
        edges.append(_edge(pose, len(edges), most if before is None else max(before, LEAST_RESERVE)))
    cuts = tuple(
        Cut(pose(cut, Shares()).blocks, edge.reserve, edge.fails if math.isfinite(edge.fails) else None)
        for cut, edge in enumerate(edges)
    )
    known = [edge.reserve for edge in edges if edge.reserve is not None]
    if len(known) < len(edges):
        return Held(None, required, None, None, cuts, False, "the solver decided neither way", None)
    least = min(known)
    without = 0.0 if least <= 0.0 else _without_dilation(pose, least, required)
    said = outcome(least, without, known, required, sideways=False, most=most)
    motions, drawn = _fails(pose, edges, least)
    why = said.why or ("friction without dilation did not settle" if without is None else "")
    return Held(said.relied, required, least, without, cuts, said.at_least, why, motions, drawn)


def _apart(known: list[float | None]) -> bool:
    """Whether the finest cut so far takes off more than it may."""
    return None not in known and math.isinf(drop_of([one or 0.0 for one in known]))


def _without_dilation(pose: Pose, least: float, required: float) -> float | None:
    """The largest reserve of those asked at which friction without dilation holds the dead load, coarser cut."""
    between = [required] if WITHOUT[0] * least < required <= least else []
    for q in [one for one in (*between, *(share * least for share in WITHOUT), required) if 0.0 < one <= least]:
        answer = solve_blocks(_dead(pose(0, Shares.reserve(q))))
        if answer.status == "solved" and (answer.associated or 0.0) > 0.0:
            return q
    return None


def _fails(pose: Pose, edges: list[Edge], least: float) -> tuple[Floats | None, int]:
    """What moves first: in the coarsest cut that holds no more than the least and was seen to fail."""
    for cut, edge in enumerate(edges):
        if edge.failing is not None and (edge.reserve or 0.0) <= least * (1 + RESERVE_STEP):
            return _largest_motion(edge.failing), cut
    for more in FAILS_AT:
        held, answer = holds_dead(pose, 0, Shares.reserve(max(least, LEAST_RESERVE) * more))
        if held is False:
            return _largest_motion(answer.motions), 0
    return None, 0


@dataclass(frozen=True)
class _Line:
    """One cut with ordinary friction."""

    assembled: Assembled
    answer: ConeAnswer
    cut: Cut


def _line(pose: Pose, cut: int, most: float) -> _Line:
    posed = replace(pose(cut, Shares()), most=ROOM * most)
    for one, gap in ((posed, GAP), (posed.shaved(), GAP), (posed, WIDE_GAP), (posed.shaved(), WIDE_GAP)):
        assembled = assemble(one)
        answer = solve_cone(assembled, gap=gap)
        if answer.solved or answer.infeasible:
            break
    held = min(answer.multiplier, most) if answer.solved else 0.0 if answer.infeasible else None
    moves = None if held is None or held >= most * (1 - 1e-6) else max(answer.mechanism, held)
    return _Line(assembled, answer, Cut(assembled.problem.blocks, held, moves))


def largest_multiple(poses: Mapping[Key, Pose], required: float) -> tuple[Key, Held]:
    """How many times the loads of a direction are held: all of them with ordinary friction on the coarser cut; the one
    that holds the least on the finer one and without dilation too. Only that one is handed back, with its key.

    poses: the problem under each load, as its live load.
    """
    most = MOST_FACTOR * required / OVERSTATED
    lines = {key: _line(pose, 0, most) for key, pose in poses.items()}
    key = min(lines, key=lambda one: _first(lines[one], required))
    return key, _multiple(poses[key], lines[key], required, most)


def _first(line: _Line, required: float) -> tuple[int, float]:
    """What was not established hides nothing that falls short, and comes before what is held."""
    held = line.cut.below
    if held is None:
        return 1, 0.0
    return (0 if held < required else 2), round(held, 6)


def _multiple(pose: Pose, coarse: _Line, required: float, most: float) -> Held:
    lines = [coarse, _line(pose, 1, most)]
    while len(lines) < MOST_CUTS and _apart([line.cut.below for line in lines]):
        lines.append(_line(pose, len(lines), most))
    cuts = tuple(line.cut for line in lines)
    known = [cut.below for cut in cuts if cut.below is not None]
    if len(known) < len(lines):
        return Held(None, required, None, None, cuts, False, "the solver decided neither way", None)
    least = min(known)
    if least == 0.0:
        why, drawn = "the blocks do not hold the dead load alone", known.index(0.0)
        return Held(0.0, required, 0.0, 0.0, cuts, False, why, _largest_motion(lines[drawn].answer.motions), drawn)
    found = solve_blocks(coarse.assembled.problem, solved=(coarse.assembled, coarse.answer), beyond=True)
    without = None if found.status == "cannot say" else min(found.multiplier or 0.0, most)
    if without is None and least < required:
        without = least  # what ordinary friction does not hold, friction without dilation does not either
    said = outcome(least, without, known, required, sideways=True, most=most)
    motions = None if said.at_least else found.motions
    return Held(said.relied, required, least, without, cuts, said.at_least, said.why or found.why, motions, 0)
