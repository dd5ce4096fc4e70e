"""What the two questions of the block model share: how cuts are compared, and how an answer becomes a result."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.joint import PLAIN, Row
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import mechanism_of
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Press, RowFound, outcome
from shellcheck_earth.safety.checks import reserve_of

__all__ = [
    "ALIKE",
    "Found",
    "Moving",
    "States",
    "in_order",
    "ring_symmetric",
    "rounded_rows",
    "rows_found",
    "still_finer",
    "with_answer",
    "without_answer",
]


ALIKE = 6
"""Decimals of a share by which results are put in order: alike to that, they stay as the design has them."""


States = dict[tuple[SideLoad | None, Row], tuple[Layout, float, BlockProblem, ConeAnswer]]
"""What held while it was looked for, by load (None: the dead load alone) and row of factors, for the proofs: blocks,
what capacities were divided by, the problem and its forces."""


def ring_symmetric(dome: Dome, case: Case, row: Row = PLAIN) -> float:
    """Overall reserve of the ring-symmetric check, beyond a row of factors; 0 when there is no line at all."""
    lune = cut_lune(dome, case)
    if row.divides:
        lune = lune.divided(row.friction, row.friction, row.strength, row.wire)
    return reserve_of(lune) or 0.0


def rounded_rows(motions: np.ndarray | None) -> tuple[tuple[float, ...], ...]:
    """The motions as plain numbers of six decimals; () for none."""
    return () if motions is None else tuple(tuple(float(v) for v in row) for row in motions.round(6))


def still_finer(cuts: tuple[int, ...]) -> tuple[int, int]:
    """Twice and four times the finer cuts: every joint of theirs is kept."""
    return cuts[-1] * 2, cuts[-1] * 4


def in_order(result: BlockResult) -> tuple[int, float]:
    """Of several results of one job the least decides: what falls short, what is not established, the share."""
    if result.meets is None:
        return 1, 0.0
    return (2 if result.meets else 0), round((result.relied or 0.0) / result.required, ALIKE)


def rows_found(found: Iterable[tuple[Row, float | None, BlockResult]], worst: BlockResult) -> tuple[RowFound, ...]:
    """Of every row that was asked the load that is held the least, that of the case first, then the least.

    found: the row, the bearing of the load [rad] (None: all around) and what it came to; worst: the one that the case
    relies on.
    """
    each: dict[Row, list[tuple[float | None, BlockResult]]] = {}
    for row, bearing, result in found:
        each.setdefault(row, []).append((bearing, result))
    least = [
        (row, len(of), *min(of, key=lambda one: (one[1] is not worst, in_order(one[1])))) for row, of in each.items()
    ]
    least.sort(key=lambda one: (one[3] is not worst, in_order(one[3])))
    return tuple(
        RowFound(row.name, one.title, bearing, loads, one.relied, one.at_least) for row, loads, bearing, one in least
    )


def without_answer(
    dome: Dome,
    job: Job,
    why: str,
    *,
    associated: float | None = None,
    table: tuple[CutResult, ...] = (),
    directions: tuple[tuple[float, float], ...] = (),
) -> BlockResult:
    """A case that ends before its end: nothing is held (associated 0), or it could not be established."""
    required = job.required(dome.design)
    found = outcome(associated, associated if associated == 0.0 else None, [], required, sideways=False, why=why)
    return BlockResult(
        id=job.id,
        title=job.title,
        criterion=job.criterion,
        associated=associated,
        non_associated=associated if associated == 0.0 else None,
        relied=found.relied,
        required=required,
        status=found.status,
        why=found.why,
        at_least=False,
        mechanism=None,
        forces=(),
        convergence=table,
        directions=directions,
        motions=(),
        course_top=len(job.case.states),
        wetting=job.case.wetting,
        building=job.case.building,
    )


@dataclass(frozen=True)
class Found:
    """The numbers of a case: table of the cuts, ordinary friction (least over the cuts), friction without dilation."""

    table: tuple[CutResult, ...]
    associated: float
    without: float
    directions: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Moving:
    """Motions (n, 6) of the blocks of a layout: what moves first; None where nothing does."""

    layout: Layout
    motions: np.ndarray | None


def with_answer(
    dome: Dome, job: Job, found: Found, moving: Moving, forces: tuple[Press, ...] = (), row: Row = PLAIN
) -> BlockResult:
    """A case that was solved: what its numbers come to, in words and kN too. row: of a dead load, what it was asked
    at."""
    required = job.required(dome.design)
    known = [line.multiplier for line in found.table if line.multiplier is not None]
    most = job.most(dome.design, row)
    said = outcome(found.associated, found.without, known, required, sideways=bool(job.loads), most=most)
    # Where the search stopped at its end nothing moves yet: what the solver gives as motions says nothing.
    motions = None if said.at_least else moving.motions
    return BlockResult(
        id=job.id,
        title=job.title,
        criterion=job.criterion,
        associated=found.associated,
        non_associated=found.without,
        relied=said.relied,
        required=required,
        status=said.status,
        why=said.why,
        at_least=said.at_least,
        mechanism=mechanism_of(dome, moving.layout, motions),
        forces=forces,
        convergence=found.table,
        directions=found.directions,
        motions=rounded_rows(motions),
        course_top=len(job.case.states),
        wetting=job.case.wetting,
        building=job.case.building,
        drawn=0 if motions is None else moving.layout.cuts,
    )
