"""What the two questions of the block model share: how cuts are compared, and how an answer becomes a result."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.blocks import Layout
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import mechanism_of, opening_forces
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, outcome
from shellcheck_earth.safety.checks import reserve_of

__all__ = [
    "Found",
    "ring_symmetric",
    "rounded_rows",
    "still_finer",
    "with_answer",
    "without_answer",
]


def ring_symmetric(dome: Dome, case: Case) -> float:
    """Overall reserve of the ring-symmetric check; 0 when there is no line at all."""
    return reserve_of(cut_lune(dome, case)) or 0.0


def rounded_rows(motions: np.ndarray | None) -> tuple[tuple[float, ...], ...]:
    """The motions as plain numbers of six decimals; () for none."""
    return () if motions is None else tuple(tuple(float(v) for v in row) for row in motions.round(6))


def still_finer(cuts: tuple[int, ...]) -> tuple[int, int]:
    """Twice and four times the finer cuts: every joint of theirs is kept."""
    return cuts[-1] * 2, cuts[-1] * 4


def without_answer(
    job: Job,
    required: float,
    why: str,
    *,
    associated: float | None = None,
    table: tuple[CutResult, ...] = (),
    directions: tuple[tuple[float, float], ...] = (),
) -> BlockResult:
    """A case that ends before its end: nothing is held (associated 0), or it could not be established."""
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
    )


@dataclass(frozen=True)
class Found:
    """The numbers of a case: table of the cuts, ordinary friction (least over the cuts), friction without dilation."""

    table: tuple[CutResult, ...]
    associated: float
    without: float
    directions: tuple[tuple[float, float], ...] = ()


def with_answer(
    dome: Dome, job: Job, found: Found, answer: BlockAnswer, layout: Layout, motions: np.ndarray | None
) -> BlockResult:
    """A case that was solved: what its numbers come to, in words and kN too."""
    required = dome.design.criteria.required[job.criterion]
    known = [line.multiplier for line in found.table if line.multiplier is not None]
    said = outcome(found.associated, found.without, known, required, sideways=bool(job.loads))
    # Where the search stopped at its end nothing moves yet: what the solver gives as motions says nothing.
    motions = None if said.at_least else motions
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
        mechanism=mechanism_of(dome, layout, motions),
        forces=opening_forces(dome, job.case, layout, answer),
        convergence=found.table,
        directions=found.directions,
        motions=rounded_rows(motions),
        course_top=len(job.case.states),
    )
