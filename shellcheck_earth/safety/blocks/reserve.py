"""The dead load alone on blocks: by how much every capacity can be divided."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row, ground_limits
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.spare import Spare, only_whether, solve_spare
from shellcheck_earth.safety.blocks.cuts import (
    Found,
    Moving,
    States,
    in_order,
    ring_symmetric,
    rounded_rows,
    rows_found,
    still_finer,
    with_answer,
    without_answer,
)
from shellcheck_earth.safety.blocks.edge import CLOSE, LEAST_RESERVE, RESERVE_STEP, Edge, find_edge
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import mechanism_of, opening_forces
from shellcheck_earth.safety.blocks.result import NOT_CONVERGED, BlockResult, CutResult, drop_of

__all__ = ["ENOUGH", "dead_problem", "largest_reserve", "reserve_case"]

AMPLE = 1.1
"""A reserve this many times what is required is not looked for more closely on the finest cut, which takes longest."""

WITHOUT = (0.97, 0.85)
"""Shares of the edge at which friction without dilation is asked, in turn."""

ENOUGH = 0.05
"""The dead load grows by up to this share while its own reserve is asked for: a solver needs something to maximise."""


def dead_problem(dome: Dome, case: Case, layout: Layout, q: float, row: Row = PLAIN) -> BlockProblem:
    """The dead load with every capacity divided by q, and by a row of factors; its live load is the dead load again,
    with what is handed in, up to ENOUGH of it. The row's factors on loads are in the case."""
    nothing = np.zeros((len(layout.blocks), 6))
    ground = ground_limits(dome.design, row, sideways=False)
    problem = block_problem(dome, case, layout, nothing, shares=Shares.of(row, q, ground), most=ENOUGH)
    return replace(problem, live=problem.dead)


def largest_reserve(
    dome: Dome,
    case: Case,
    layout: Layout,
    offers: Sequence[float],
    *,
    first: float | None = None,
    row: Row = PLAIN,
    expected: bool = False,
) -> Edge:
    """The edge of one cut; offers, first, expected: as `find_edge` has them."""

    def ask(q: float, told: bool) -> tuple[BlockProblem, Spare]:
        problem = dead_problem(dome, case, layout, q, row)
        return problem, solve_spare(problem) if told else only_whether(problem)

    return find_edge(ask, offers, first, expected=expected)


@dataclass(frozen=True)
class _Asked:
    """A dead load at one row of factors; `required` of it, and the most that is looked for."""

    dome: Dome
    job: Job
    row: Row
    case: Case
    required: float
    most: float

    @staticmethod
    def of(dome: Dome, job: Job, row: Row) -> _Asked:
        required, case = job.required(dome.design), job.beside(row)
        most = min(ring_symmetric(dome, case, row), job.most(dome.design, row))
        return _Asked(dome, job, row, case, required, most)

    @property
    def first(self) -> float:
        """Where the search begins: at what is required."""
        return self.most if self.row.name == ON_THE_GROUND else min(self.required, self.most)

    def enough(self, known: list[float]) -> float:
        """What of a finer cut is not looked further up for: where AMPLE of what is required is left once its friction
        without dilation and its distance from the cut before are taken off; never so low that the two would count as
        too far apart."""
        ample = (AMPLE * self.required + known[-1]) / (1.0 + WITHOUT[0])
        return max(ample, known[-1] * (1.0 - NOT_CONVERGED) * (1.0 + 1e-6))

    def offers(self, known: list[float], *, finer: bool, finest: bool) -> list[float]:
        """What a cut is asked first, and not further up where it holds that: the end of the search on the coarsest,
        what the one before holds on another, `enough` on the finer one. The finest, which takes longest, is asked
        within a step of the one before, then `enough`."""
        if not known:
            return [self.most]
        start, enough = known[-1] or LEAST_RESERVE, self.enough(known)
        near = [CLOSE * start] if finest else [start]
        if finer and LEAST_RESERVE <= enough < start:
            return [enough]
        return [*near, enough] if finest and LEAST_RESERVE <= enough < near[0] else near

    def problem(self, layout: Layout, q: float) -> BlockProblem:
        return dead_problem(self.dome, self.case, layout, q, self.row)


def _edges(asked: _Asked, cuts: tuple[int, ...]) -> list[tuple[Layout, Edge]]:
    """Every cut with its edge, coarsest first; the finest only where the one before it still takes off over a tenth
    of what would be enough."""
    finer, finest = still_finer(cuts)
    found: list[tuple[Layout, Edge]] = []
    for count in (*cuts, finer, finest):
        known = [edge.reserve or 0.0 for _, edge in found]
        if count == finest and (math.isfinite(drop_of(known)) or known[-1] < asked.required):
            break
        layout = cut_blocks(asked.dome, count, len(asked.case.states), founded=asked.row.grounded)
        offers = asked.offers(known, finer=count == finer, finest=count == finest)
        first = None if known else asked.first
        found.append(
            (
                layout,
                largest_reserve(
                    asked.dome, asked.case, layout, offers, first=first, row=asked.row, expected=count == cuts[-1]
                ),
            )
        )
    return found


def reserve_case(dome: Dome, job: Job, cuts: tuple[int, ...], states: States | None = None) -> BlockResult:
    """The dead load alone: by how much every capacity can be divided; of several rows of factors the worst. `states`:
    what held the most on the finest cut is added to it, for the proofs."""
    kept: States = {} if states is None else states
    found = [(row, _row_case(_Asked.of(dome, job, row), cuts, kept)) for row in job.rows]
    worst = min((one for _, one in found), key=in_order)
    return replace(worst, rows=rows_found([(row, None, one) for row, one in found], worst))


def _row_case(asked: _Asked, cuts: tuple[int, ...], states: States) -> BlockResult:
    dome, required = asked.dome, asked.required
    job = replace(asked.job, title=asked.job.titled(asked.row))
    if asked.most <= 0.0:
        return without_answer(dome, job, "the ring-symmetric check already finds no force path", associated=0.0)
    by_cut = _edges(asked, cuts)
    layouts, edges = [layout for layout, _ in by_cut], [edge for _, edge in by_cut]
    if edges[-1].state is not None and edges[-1].reserve:
        states[None, asked.row] = layouts[-1], edges[-1].reserve, *edges[-1].state
    table = tuple(
        CutResult(
            layout.cuts,
            len(layout.blocks),
            edge.reserve,
            edge.at_least,
            edge.fails if math.isfinite(edge.fails) else None,
        )
        for layout, edge in by_cut
    )
    known = [edge.reserve for edge in edges if edge.reserve is not None]
    if len(known) < len(edges):
        return without_answer(dome, job, "the solver decided neither way", table=table)
    least = min(*known, asked.most)
    moving = _decided(asked, by_cut, least)
    # The ground's yes or no is relied on with its slack, which pays for what a proof leaves unbalanced.
    for q in _without_dilation(least, asked.most if asked.row.name == ON_THE_GROUND else required):
        answer = solve_blocks(asked.problem(layouts[0], q))
        if answer.status == "solved" and (answer.associated or 0.0) > 0.0:
            # the state carries up to ENOUGH more than the dead load: less by that it carries the load itself
            normal = None if answer.forces is None else answer.forces.normal / (1.0 + (answer.associated or 0.0))
            forces = opening_forces(dome, asked.case, layouts[0], normal)
            return with_answer(dome, job, Found(table, least, q), moving, forces, asked.row)
    why = "nothing is held, whatever the friction" if least <= 0 else "friction without dilation did not settle"
    return replace(
        without_answer(dome, job, why, associated=max(least, 0.0), table=table),
        mechanism=mechanism_of(dome, moving.layout, moving.motions),
        motions=rounded_rows(moving.motions),
        drawn=0 if moving.motions is None else moving.layout.cuts,
    )


def _decided(asked: _Asked, by_cut: list[tuple[Layout, Edge]], least: float) -> Moving:
    """What moves in the discretisation that decided: the coarsest one that holds no more than the least, else the
    coarsest that was seen to fail."""
    failed = [(layout, edge.failing, edge.reserve or 0.0) for layout, edge in by_cut if edge.failing is not None]
    failed.sort(key=lambda one: one[2] > least * (1 + RESERVE_STEP))
    for layout, failing, _ in failed[:1]:
        return Moving(layout, _largest_motion(failing))
    return Moving(by_cut[0][0], _failing(asked, by_cut[0][0], max(least, LEAST_RESERVE)))


def _without_dilation(least: float, required: float) -> list[float]:
    """Reserves at which friction without dilation is asked, in turn: a little under the edge, for at the edge itself
    the scheme cannot settle; what is required first where it lies between the two."""
    between = [required] if WITHOUT[0] * least < required <= least else []
    return [q for q in (*between, *(share * least for share in WITHOUT), required) if 0.0 < q <= least]


def _largest_motion(motions: np.ndarray) -> np.ndarray:
    largest = float(np.abs(motions[:, :3]).max(initial=0.0))
    return motions / largest if largest > 0 else motions


def _failing(asked: _Asked, layout: Layout, q: float) -> np.ndarray | None:
    """Motions of the blocks just past the reserve: the solver's proof that nothing holds them."""
    for more in (1.05, 1.15, 1.4):
        answer = solve_cone(assemble(asked.problem(layout, q * more)))
        if answer.infeasible:
            return _largest_motion(answer.motions)
    return None
