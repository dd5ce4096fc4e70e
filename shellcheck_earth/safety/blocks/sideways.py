"""Loads from one side on blocks: the worst direction, and how many times it is held."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.blocks import Layout, cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.side_loads import SideLoad, each_once
from shellcheck_earth.mechanics.blocks.assembly import Shares, WetHalf, block_problem
from shellcheck_earth.mechanics.blocks.conic import Assembled, ConeAnswer, assemble, solve_cone
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer, BlockProblem
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.safety.blocks.cuts import (
    Found,
    ring_symmetric,
    still_finer,
    with_answer,
    without_answer,
)
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.result import MOST_FACTOR, BlockResult, CutResult, drop_of

__all__ = ["Question", "sideways_case"]

ALIKE = 6
"""Decimals of the share of the most looked for by which loads are put in order: alike to that, they stay as the
design has them.
"""


@dataclass(frozen=True)
class _Tried:
    """One load, the bearings it stands for, and what its cuts gave with ordinary friction, coarser first."""

    load: SideLoad
    bearings: tuple[float, ...]
    table: tuple[CutResult, ...]

    @property
    def known(self) -> list[float]:
        return [line.multiplier or 0.0 for line in self.table]

    @property
    def undecided(self) -> bool:
        return any(line.multiplier is None for line in self.table)

    @property
    def left(self) -> float:
        """What ordinary friction leaves once the cuts' difference is taken off again."""
        return max(min(self.known) - drop_of(self.known), 0.0)


@dataclass(frozen=True)
class Question:
    """The loads of one job on one dome; `most`: the largest multiplier looked for."""

    dome: Dome
    job: Job
    cuts: tuple[int, ...]
    most: float

    @property
    def design(self) -> Design:
        return self.dome.design

    def _cut(self, count: int) -> Layout:
        return cut_blocks(self.dome, count, len(self.job.case.states))

    @cached_property
    def layouts(self) -> tuple[Layout, ...]:
        return tuple(self._cut(count) for count in self.cuts)

    @cached_property
    def finest(self) -> Layout:
        return self._cut(still_finer(self.cuts)[0])

    def problem(self, layout: Layout, load: SideLoad) -> BlockProblem:
        design, job = self.design, self.job
        live = side_wrench(self.dome, job.case, layout, load, job.heavier)
        wet = WetHalf(job.heavier, load.bearing) if load.kind == "rain" and job.heavier else None
        return block_problem(
            self.dome,
            job.case,
            layout,
            live,
            shares=Shares(base_friction=design.site.ground_friction),
            most=self.most,
            wet=wet,
        )

    @cached_property
    def solved(self) -> dict[SideLoad, tuple[Assembled, ConeAnswer]]:
        """What the coarser cut gave with ordinary friction: the scheme for friction without dilation starts there."""
        return {}

    def line(self, layout: Layout, load: SideLoad) -> CutResult:
        assembled = assemble(self.problem(layout, load))
        answer = solve_cone(assembled)
        if layout is self.layouts[0]:
            self.solved[load] = assembled, answer
        held = answer.multiplier if answer.solved else 0.0 if answer.infeasible else None
        return CutResult(layout.cuts, len(layout.blocks), held)

    def without_dilation(self, load: SideLoad) -> BlockAnswer:
        """Both kinds of friction, coarser cut; once for each load."""
        solved = self.solved.pop(load, None)
        return solve_blocks(solved[0].problem if solved else self.problem(self.layouts[0], load), solved=solved)

    def tried(self) -> list[_Tried]:
        """Every load with all cuts, the one that leaves least first: what is alike with few blocks need not be with
        more. One that
        the coarser cut holds to the end of the search, many times what is asked for, is asked no further unless all
        are."""
        first = [
            _Tried(load, tuple(bearings), (self.line(self.layouts[0], load),))
            for load, bearings in each_once(self.design, self.job.loads)
        ]
        first.sort(key=lambda one: round(one.known[0] / self.most, ALIKE))
        out = [
            self._finer(one) if k == 0 or one.known[0] < self.most * (1 - 1e-6) else one for k, one in enumerate(first)
        ]
        out.sort(key=self._order)
        return sorted([self._finest(out[0]), *out[1:]], key=self._order)

    def _order(self, one: _Tried) -> float:
        return round(one.left / self.most, ALIKE)

    def _finer(self, one: _Tried) -> _Tried:
        found = replace(one, table=(*one.table, *(self.line(layout, one.load) for layout in self.layouts[1:])))
        return self._finest(found) if math.isinf(drop_of(found.known)) else found

    def _finest(self, one: _Tried) -> _Tried:
        """The load with the finest cut too; the one that governs always has it."""
        if len(one.table) > len(self.layouts):
            return one
        return replace(one, table=(*one.table, self.line(self.finest, one.load)))


def sideways_case(dome: Dome, job: Job, cuts: tuple[int, ...]) -> BlockResult:
    """The worst of the loads of one kind; every one of them without dilation too, for what that takes off differs
    from one direction to
    another: 4.35 for all four of an earthquake with ordinary friction became 4.35, 4.35, 4.35 and less than 2 in one
    dome."""
    required = dome.design.criteria.required[job.criterion]
    if ring_symmetric(dome, job.case) < 1.0:
        why = "the dead load alone is not held by the ring-symmetric check"
        return without_answer(job, required, why, associated=0.0)
    question = Question(dome, job, cuts, MOST_FACTOR * required)
    tried = question.tried()
    for one in tried:
        if one.undecided:
            return without_answer(job, required, f"the solver decided neither way: {one.load.title}", table=one.table)
    found = []
    for one in tried:
        # The direction itself first, for the pictures.
        others = sorted(tried, key=lambda other: other is not one)
        directions = tuple((bearing, min(other.known)) for other in others for bearing in other.bearings)
        answer = question.without_dilation(one.load)
        if answer.status == "cannot say":
            why = f"{one.load.title}: {answer.why}"
            return without_answer(
                job, required, why, associated=answer.associated, table=one.table, directions=directions
            )
        numbers = Found(one.table, min(one.known), answer.multiplier or 0.0, directions)
        named = replace(job, title=one.load.title)
        found.append(with_answer(dome, named, numbers, answer, question.layouts[0], answer.motions))
    return min(found, key=lambda result: -math.inf if result.relied is None else round(result.relied / required, ALIKE))
