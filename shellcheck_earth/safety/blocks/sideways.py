"""Loads from one side on blocks: the worst direction, and how many times it is held."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.blocks import Layout, cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.joint import PLAIN, Row, fits, ground_limits
from shellcheck_earth.loads.side_loads import DIRECTIONS, SideLoad, each_once, turned, wind_beside
from shellcheck_earth.mechanics.blocks.assembly import Shares, WetHalf, block_problem
from shellcheck_earth.mechanics.blocks.conic import Assembled, ConeAnswer, assemble, solve_cone
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED, solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer, BlockProblem
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.safety.blocks.cuts import (
    ALIKE,
    Found,
    Moving,
    in_order,
    ring_symmetric,
    still_finer,
    with_answer,
    without_answer,
)
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import opening_forces
from shellcheck_earth.safety.blocks.result import MOST_FACTOR, BlockResult, CutResult, Press, drop_of

__all__ = ["REFINED", "Asked", "Question", "press_at_the_load", "sideways_case"]

NEEDED = 1.05
"""Of a load that does not settle so much is looked for, as a multiple of what is enough."""

REFINED, LESS = 2, 1e-3
"""How often the step between directions is halved about the worst, and the least share that counts as less held."""


@dataclass(frozen=True)
class Asked:
    """One load at one row of factors."""

    load: SideLoad
    row: Row = PLAIN

    @property
    def title(self) -> str:
        return f"{self.load.title}, {self.row.name}" if self.row.name else self.load.title


@dataclass(frozen=True)
class _Tried:
    """One load at one row, the bearings it stands for, and what its cuts gave with ordinary friction, coarser first."""

    asked: Asked
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
    """The loads of one job on one dome; `most`: the largest multiplier looked for.

    A multiplier is of the load times its factor in the row, so that 1 is what the row asks for.
    """

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

    def problem(self, layout: Layout, asked: Asked) -> BlockProblem:
        """The dead load with the row's factors beside the load with its own, every capacity divided by the row's."""
        job, load, row = self.job, asked.load, asked.row
        standing = job.beside(row)
        # An earthquake shakes what there is, without factors; snow all around moves what moments are about.
        of = job.beside(row, 1.0) if load.kind == "earthquake" else standing if row.snow > 0 else job.case
        live = row.load * side_wrench(self.dome, of, layout, load, job.heavier)
        wind = wind_beside(load)
        if wind is not None:
            live = live + row.wind * side_wrench(self.dome, of, layout, wind)
        wet = WetHalf(job.heavier, load.bearing) if load.kind == "rain" and job.heavier else None
        return block_problem(
            self.dome,
            standing,
            layout,
            live,
            shares=Shares.of(row, ground=ground_limits(self.design, row, sideways=True)),
            most=self.most,
            wet=wet,
        )

    @cached_property
    def solved(self) -> dict[Asked, tuple[Assembled, ConeAnswer]]:
        """What the coarser cut gave with ordinary friction: the scheme for friction without dilation starts there."""
        return {}

    @cached_property
    def motions(self) -> dict[tuple[Asked, int], Floats]:
        """Of the blocks of every cut, by what was asked and the number of cuts (n, 6)."""
        return {}

    def line(self, layout: Layout, asked: Asked) -> CutResult:
        assembled = assemble(self.problem(layout, asked))
        answer = solve_cone(assembled)
        if layout is self.layouts[0]:
            self.solved[asked] = assembled, answer
        self.motions[asked, layout.cuts] = answer.motions
        held = answer.multiplier if answer.solved else 0.0 if answer.infeasible else None
        return CutResult(layout.cuts, len(layout.blocks), held)

    def without_dilation(self, asked: Asked) -> BlockAnswer:
        """Both kinds of friction, coarser cut; once for each load. What does not settle is looked for no further than
        it is needed, then on the finer cut."""
        solved = self.solved.pop(asked, None)
        answer = solve_blocks(solved[0].problem if solved else self.problem(self.layouts[0], asked), solved=solved)
        needed = min(NEEDED * self.job.required(self.design) / OVERSTATED, self.most)
        for layout, most in ((self.layouts[0], needed), *((layout, self.most) for layout in self.layouts[1:])):
            if answer.status == "cannot say":
                again = solve_blocks(replace(self.problem(layout, asked), most=most))
                answer = replace(again, motions=None, forces=None)
        return answer

    def tried(self) -> list[_Tried]:
        """Every load with all cuts, the one that leaves least first: what is alike with few blocks need not be with
        more. One that
        the coarser cut holds to the end of the search, many times what is asked for, is asked no further unless all
        are."""
        rows = self.job.rows
        each = [
            (Asked(load, row), tuple(bearings)) for load, bearings in self._loads() for row in rows if fits(load, row)
        ]
        first = [_Tried(asked, bearings, (self.line(self.layouts[0], asked),)) for asked, bearings in each]
        first.sort(key=lambda one: round(one.known[0] / self.most, ALIKE))
        out = [
            self._finer(one) if k == 0 or one.known[0] < self.most * (1 - 1e-6) else one for k, one in enumerate(first)
        ]
        out.sort(key=self._order)
        out = sorted([self._finest(out[0]), *out[1:]], key=self._order)
        between = self._between(out[0])
        return out if between is None else sorted([self._finest(self._finer(between)), *out], key=self._order)

    def _between(self, worst: _Tried) -> _Tried | None:
        """A direction between those of the design that holds less than the worst of them, on the coarser cut: first
        half-way to the next ones, then half of that again about the least. None where none does, or none is left to
        move towards.
        """
        asked, held = worst.asked, worst.known[0]
        if asked.load.kind == "worker" or not 0.0 < held < self.most * (1 - 1e-6):
            return None
        best, step = asked, math.pi / DIRECTIONS
        for _ in range(REFINED):
            for off in (-step, step):
                one = replace(asked, load=turned(asked.load, best.load.bearing + off))
                line = self.line(self.layouts[0], one)
                if line.multiplier is not None and line.multiplier < held * (1 - LESS):
                    held, nearest = line.multiplier, one
                    break
            else:
                nearest = best
            best, step = nearest, step / 2
        line = self.line(self.layouts[0], best)
        return None if best is asked else _Tried(best, (best.load.bearing,), (line,))

    def _loads(self) -> list[tuple[SideLoad, list[float]]]:
        return each_once(self.design, self.job.loads)

    def _order(self, one: _Tried) -> float:
        return round(one.left / self.most, ALIKE)

    def _finer(self, one: _Tried) -> _Tried:
        found = replace(one, table=(*one.table, *(self.line(layout, one.asked) for layout in self.layouts[1:])))
        return self._finest(found) if math.isinf(drop_of(found.known)) else found

    def _finest(self, one: _Tried) -> _Tried:
        """The load with the finest cut too; the one that governs always has it, and one finer still where the finest
        takes off over a tenth of what would be enough."""
        if len(one.table) > len(self.layouts):
            return one
        found = replace(one, table=(*one.table, self.line(self.finest, one.asked)))
        if math.isinf(drop_of(found.known)) and min(found.known) >= self.job.required(self.design):
            last = self._cut(still_finer(self.cuts)[1])
            return replace(found, table=(*found.table, self.line(last, one.asked)))
        return found


def sideways_case(dome: Dome, job: Job, cuts: tuple[int, ...]) -> BlockResult:
    """The worst of the loads of one kind; every one of them without dilation too, for what that takes off differs
    from one direction to another: 4.35 for all four of an earthquake with ordinary friction became 4.35, 4.35, 4.35
    and less than 2 in one dome. One that falls short decides before one that does not settle."""
    required = job.required(dome.design)
    if ring_symmetric(dome, job.case) < 1.0:
        why = "the dead load alone is not held by the ring-symmetric check"
        return without_answer(dome, job, why, associated=0.0)
    question = Question(dome, job, cuts, MOST_FACTOR * required)
    tried = question.tried()
    found = [(one, _of_one(question, one, tried)) for one in tried]
    one, worst = min(found, key=lambda pair: in_order(pair[1]))
    return replace(worst, forces=() if job.joint else press_at_the_load(dome, job, one.asked.load, cuts))


def press_at_the_load(dome: Dome, job: Job, load: SideLoad, cuts: tuple[int, ...]) -> tuple[Press, ...]:
    """What presses where in a state that carries the load itself, not its multiple; () where none does."""
    question = Question(dome, job, cuts, 1.0)
    answer = solve_cone(assemble(question.problem(question.layouts[0], Asked(load))))
    held = answer.solved and answer.multiplier >= 1.0 - 1e-6
    return opening_forces(dome, job.case, question.layouts[0], answer.forces.normal if held else None)


def _of_one(question: Question, one: _Tried, tried: list[_Tried]) -> BlockResult:
    """The result of one load at one row, with what the others gave beside it."""
    stage = f", {question.job.case.title.lower()}" if question.job.case.building else ""
    dome, named = question.dome, replace(question.job, title=one.asked.title + stage)
    if one.undecided:
        return without_answer(dome, named, f"the solver decided neither way: {one.asked.title}", table=one.table)
    # The direction itself first, for the pictures.
    others = sorted(tried, key=lambda other: other is not one)
    directions = tuple((bearing, min(other.known)) for other in others for bearing in other.bearings)
    answer = question.without_dilation(one.asked)
    if answer.status == "cannot say":
        known = min(one.known)
        # What ordinary friction does not hold, friction without dilation does not either.
        short = known < question.job.required(dome.design)
        if not short:
            why = f"{one.asked.title}: {answer.why}"
            return without_answer(dome, named, why, associated=known, table=one.table, directions=directions)
        answer = replace(answer, multiplier=known)
    numbers = Found(one.table, min(one.known), answer.multiplier or 0.0, directions)
    return with_answer(dome, named, numbers, _decided(question, one, answer))


def _decided(question: Question, one: _Tried, answer: BlockAnswer) -> Moving:
    """What moves in the discretisation that decided: a finer one only where ordinary friction leaves less there than
    friction without dilation on the coarser."""
    least = min(one.known)
    if least < one.known[0] and least < OVERSTATED * (answer.multiplier or 0.0):
        cuts = one.table[one.known.index(least)].cuts
        layout = question._cut(cuts)
        motions = question.motions.get((one.asked, cuts))
        largest = 0.0 if motions is None else float(np.abs(motions[:, :3]).max(initial=0.0))
        if motions is not None and largest > 0:
            return Moving(layout, motions / largest)
    return Moving(question.layouts[0], answer.motions)
