"""Loads from one side on blocks: the worst direction, and how many times it is held."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.joint import PLAIN, Row, fits, ground_limits
from shellcheck_earth.loads.side_loads import DIRECTIONS, SideLoad, each_once, turned, wind_beside
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares, WetHalf
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED, solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer, BlockProblem
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.spare import only_whether
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.safety.blocks.cuts import (
    ALIKE,
    Found,
    Moving,
    States,
    in_order,
    ring_symmetric,
    rows_found,
    still_finer,
    with_answer,
    without_answer,
)
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import opening_forces
from shellcheck_earth.safety.blocks.reserve import ENOUGH
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Press, drop_of

__all__ = ["REFINED", "Asked", "Question", "between", "press_at_the_load", "sideways_case"]

NEEDED = 1.05
"""Of a load that does not settle so much is looked for, as a multiple of what is enough."""

ROOM = 1.5
"""Ordinary friction is looked for up to so many times the largest multiple that is told. The scheme without dilation
starts from what that finds, and where the search ended a little below what is held it stays there, in three rounds: a
worker on a top ring was told 2.0 of him with the search ended at 2.0, and is told 1.83 where it goes on to 2.13."""

GAP = 1e-7
"""How near to the largest multiple of a load its forces come, as a share of it."""

DEAD_LOAD_ALONE = "the blocks do not hold the dead load alone"

DRIVING = 3
"""So many loads are asked first where the dead load alone is not held."""

REFINED, LESS = 2, 1e-3
"""How often the step between directions is halved about the worst, and the least share that counts as less held."""


def between(load: SideLoad, steps: int) -> SideLoad:
    """The load about a bearing so many steps from its own, under a name that says so."""
    step = math.pi / DIRECTIONS / 2 ** (REFINED - 1)
    name = f"{load.id} turned {math.degrees(step) * steps:+g} deg"
    return replace(turned(load, load.bearing + step * steps), id=name)


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
    """One load at one row, the bearings it stands for, and what its cuts gave with ordinary friction, coarser first.
    `turned`: as `BlockResult.between`, where it is none of the design's."""

    asked: Asked
    bearings: tuple[float, ...]
    table: tuple[CutResult, ...]
    turned: tuple[tuple[str, str, int], ...] = ()

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
    """The loads of one job on one dome; `most`: the largest multiplier told, `room` times it the largest looked for.

    A multiplier is of the load times its factor in the row, so that 1 is what the row asks for.
    """

    dome: Dome
    job: Job
    cuts: tuple[int, ...]
    most: float
    room: float = 1.0

    @property
    def design(self) -> Design:
        return self.dome.design

    def _cut(self, count: int) -> Layout:
        return cut_blocks(self.dome, count, len(self.job.case.states), founded=True)

    @cached_property
    def layouts(self) -> tuple[Layout, ...]:
        return tuple(self._cut(count) for count in self.cuts)

    @cached_property
    def finest(self) -> Layout:
        return self._cut(still_finer(self.cuts)[0])

    def problem(self, layout: Layout, asked: Asked) -> BlockProblem:
        """The dead load with the row's factors beside the load with its own, every capacity divided by the row's."""
        job, load, row = self.job, asked.load, asked.row
        key = layout.cuts, row, load.bearing if load.kind == "rain" else None
        if key not in self.unloaded:
            wet = WetHalf(job.heavier, load.bearing) if load.kind == "rain" and job.heavier else None
            self.unloaded[key] = block_problem(
                self.dome,
                job.beside(row),
                layout,
                np.zeros((len(layout.blocks), 6)),
                shares=Shares.of(row, ground=ground_limits(self.design, row, sideways=True)),
                most=self.room * self.most,
                wet=wet,
            )
        # An earthquake shakes what there is, without factors; snow all around moves what moments are about.
        of = job.beside(row, 1.0) if load.kind == "earthquake" else job.beside(row) if row.snow > 0 else job.case
        live = row.load * side_wrench(self.dome, of, layout, load, job.heavier)
        wind = wind_beside(load)
        if wind is not None:
            live = live + row.wind * side_wrench(self.dome, of, layout, wind)
        return replace(self.unloaded[key], live=live)

    @cached_property
    def unloaded(self) -> dict[tuple[int, Row, float | None], BlockProblem]:
        """Blocks, faces, ties and dead load, which all directions of a load share (but for water in one half), by
        number of cuts."""
        return {}

    @cached_property
    def solved(self) -> dict[Asked, tuple[Assembled, ConeAnswer]]:
        """What the coarser cut gave with ordinary friction: the scheme for friction without dilation starts there, and
        its forces are a proof."""
        return {}

    @cached_property
    def motions(self) -> dict[tuple[Asked, int], Floats]:
        """Of the blocks of every cut, by what was asked and the number of cuts (n, 6)."""
        return {}

    @cached_property
    def lines(self) -> dict[tuple[Asked, int], CutResult]:
        """What was asked already, by number of cuts."""
        return {}

    def line(self, layout: Layout, asked: Asked) -> CutResult:
        key = asked, layout.cuts
        if key not in self.lines:
            self.lines[key] = self._line(layout, asked)
        return self.lines[key]

    def _line(self, layout: Layout, asked: Asked) -> CutResult:
        assembled = assemble(self.problem(layout, asked))
        answer = solve_cone(assembled, gap=GAP)
        if layout is self.layouts[0]:
            self.solved[asked] = assembled, answer
        self.motions[asked, layout.cuts] = answer.motions
        held = min(answer.multiplier, self.most) if answer.solved else 0.0 if answer.infeasible else None
        if held and asked.load.kind == "rain":
            # Fill stays weak when the water has run off: no question of the dead load alone has a half that is weak.
            drained = only_whether(replace(assembled.problem, live=assembled.problem.dead, most=ENOUGH))
            if drained.holds is not True:
                self.motions[asked, layout.cuts] = drained.answer.motions
                return CutResult(layout.cuts, len(layout.blocks), 0.0 if drained.holds is False else None)
        # At the optimum the solver's multipliers are a mechanism; where the search ended nothing moves yet.
        moves = None if held is None or held >= self.most * (1 - 1e-6) else max(answer.mechanism, held)
        return CutResult(layout.cuts, len(layout.blocks), held, fails=moves)

    def not_held(self) -> _Tried | None:
        """A load of which nothing is held where the dead load alone is not: with it the worst of all loads is known.
        None where every cut holds the dead load, or where those loads that drive its mechanism the most are held, and
        where one load is asked one question: that tells it."""
        if len(self.job.loads) == len(self.job.rows) == 1:
            return None
        for layout in self.layouts:
            for row in self.job.rows:
                asked = [(Asked(load, row), bearings) for load, bearings in self._loads() if fits(load, row)]
                for one, bearings in self._driving(layout, asked):
                    if self.line(layout, one).multiplier == 0.0:
                        first = _Tried(one, tuple(bearings), (self.line(self.layouts[0], one),))
                        return self._finest(self._finer(first))
        return None

    def _driving(self, layout: Layout, asked: list[tuple[Asked, list[float]]]) -> list[tuple[Asked, list[float]]]:
        """Of loads at one row those that work most in the mechanism of the dead load; none where that is held."""
        if not asked:
            return []
        alone = self.problem(layout, asked[0][0])
        dead = alone.dead
        answer = only_whether(replace(alone, live=dead, most=ENOUGH)).answer
        if not answer.infeasible:
            return []
        way = math.copysign(1.0, float((dead * answer.motions).sum()))
        works = [way * float((self.problem(layout, one).live * answer.motions).sum()) for one, _ in asked]
        scale = max(map(abs, works)) or 1.0
        order = sorted(range(len(works)), key=lambda k: -round(works[k] / scale, ALIKE))
        return [asked[k] for k in order[:DRIVING]]

    def without_dilation(self, asked: Asked) -> BlockAnswer:
        """Both kinds of friction, coarser cut; once for each load. What does not settle is looked for no further than
        it is needed, where ordinary friction holds ROOM times that, then on the finer cut."""
        solved = self.solved.get(asked)
        problem = solved[0].problem if solved else self.problem(self.layouts[0], asked)
        answer = solve_blocks(problem, solved=solved, beyond=self.room > 1.0)
        needed, reach = min(NEEDED * self.job.required(self.design) / OVERSTATED, self.most), self.room * self.most
        far = (answer.associated or 0.0) >= self.room * needed * (1 - 1e-6)
        again = [(self.layouts[0], needed)] if far else []
        for layout, most in (*again, *((layout, reach) for layout in self.layouts[1:])):
            if answer.status == "cannot say":
                found = solve_blocks(replace(self.problem(layout, asked), most=most))
                answer = replace(found, motions=None, forces=None)
        return answer

    def tried(self) -> list[_Tried]:
        """Every load with all cuts, the one that leaves least first: what is alike with few blocks need not be with
        more. One that the coarser cut holds to the end of the search, many times what is asked for, is asked no further
        unless all are."""
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
        best, found, step = 0, None, 2 ** (REFINED - 1)
        while step:
            for steps in (best - step, best + step):
                one = replace(asked, load=between(asked.load, steps))
                line = self.line(self.layouts[0], one)
                if line.multiplier is not None and line.multiplier < held * (1 - LESS):
                    held, best = line.multiplier, steps
                    found = _Tried(one, (one.load.bearing,), (line,), ((asked.load.id, asked.row.name, steps),))
                    break
            step //= 2
        return found

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


def sideways_case(dome: Dome, job: Job, cuts: tuple[int, ...], states: States | None = None) -> BlockResult:
    """The worst of the loads of one kind; every one of them without dilation too, for what that takes off differs
    from one direction to another: 4.35 for all four of an earthquake with ordinary friction became 4.35, 4.35, 4.35
    and less than 2 in one dome. One that falls short decides before one that does not settle. `states`: what held each
    load with ordinary friction on the coarser cut is added to it, for the proofs."""
    if ring_symmetric(dome, job.case) < 1.0:
        why = "the dead load alone is not held by the ring-symmetric check"
        return without_answer(dome, job, why, associated=0.0)
    question = Question(dome, job, cuts, job.most(dome.design), ROOM)
    nothing = question.not_held()
    tried = question.tried() if nothing is None else [nothing]
    found = list(_until_nothing(question, tried))
    one, worst = min(found, key=lambda pair: in_order(pair[1]))
    rows = rows_found(((of.asked.row, of.asked.load.bearing, result) for of, result in found), worst)
    if any(line.multiplier == 0.0 for line in worst.convergence):
        worst = replace(worst, why=DEAD_LOAD_ALONE)
    worst = replace(worst, rows=rows, between=tuple(steps for other in tried for steps in other.turned))
    if states is not None and worst.meets:
        for asked, (of, answer) in question.solved.items():
            states[asked.load, asked.row] = question.layouts[0], 1.0, of.problem, answer
    return replace(worst, forces=() if job.joint else press_at_the_load(dome, job, one.asked.load, cuts))


def _until_nothing(question: Question, tried: list[_Tried]) -> Iterator[tuple[_Tried, BlockResult]]:
    """Every load with its result, up to one of which nothing is held: no other can be less."""
    for one in tried:
        result = _of_one(question, one, tried)
        yield one, result
        if result.relied == 0.0:
            return


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
    known = min(one.known)
    if known == 0.0:  # nor without dilation, then
        return with_answer(dome, named, Found(one.table, 0.0, 0.0, directions), _first_cut_moving(question, one))
    answer = question.without_dilation(one.asked)
    if answer.status == "cannot say":
        # What ordinary friction does not hold, friction without dilation does not either.
        short = known < question.job.required(dome.design)
        if not short:
            why = f"{one.asked.title}: {answer.why}"
            return without_answer(dome, named, why, associated=known, table=one.table, directions=directions)
        answer = replace(answer, multiplier=known)
    numbers = Found(one.table, min(one.known), min(answer.multiplier or 0.0, question.most), directions)
    return with_answer(dome, named, numbers, _decided(question, one, answer))


def _first_cut_moving(question: Question, one: _Tried) -> Moving:
    """What moves in the coarsest discretisation that holds nothing."""
    cuts = next(line.cuts for line in one.table if line.multiplier == 0.0)
    motions = question.motions[one.asked, cuts]
    largest = float(np.abs(motions[:, :3]).max(initial=0.0))
    return Moving(question._cut(cuts), motions / largest if largest > 0 else None)


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
