"""What the two questions of the block model share: how cuts are compared, and how an answer becomes a result."""

from __future__ import annotations

import math

import numpy as np

from shellcheck_earth.geometry.blocks import Layout
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import mechanism_of, opening_forces
from shellcheck_earth.safety.blocks.result import CutResult, Status, ThreeDResult
from shellcheck_earth.safety.checks import reserve_of

__all__ = [
    "MOST_FACTOR",
    "drop_of",
    "large_drop",
    "ring_symmetric",
    "rounded_rows",
    "still_finer",
    "with_answer",
    "without_answer",
]

MOST_FACTOR = 4.0
"""Multipliers are looked for up to this many times what is asked for; an answer there means "at least"."""

NOT_CONVERGED = 0.25
"""A finer cut may give this share less than the coarser one before the result counts as not established."""


def ring_symmetric(dome: Dome, case: Case) -> float:
    """Overall reserve of the ring-symmetric check; 0 when there is no line at all."""
    return reserve_of(cut_lune(dome, case)) or 0.0


def rounded_rows(motions: np.ndarray | None) -> tuple[tuple[float, ...], ...]:
    return () if motions is None else tuple(tuple(float(v) for v in row) for row in motions.round(6))


def drop_of(known: list[float]) -> float:
    """By how much the finest cut lies below the one before; inf when that is too much to be called converging.
    0 where there is one cut only."""
    if len(known) < 2:
        return 0.0
    drop = max(known[-2] - known[-1], 0.0)
    return drop if drop <= known[-2] * NOT_CONVERGED else math.inf


def large_drop(coarse: float | None, fine: float | None) -> bool:
    """Whether two cuts are too far apart, and a third is worth asking (not where the finer one holds nothing at
    all).
    """
    return bool(coarse and fine) and math.isinf(drop_of([coarse or 0.0, fine or 0.0]))


def still_finer(cuts: tuple[int, ...]) -> int:
    return cuts[-1] * 3 // 2


def without_answer(job: Job, required: float, status: Status, why: str, relied: float | None) -> ThreeDResult:
    return ThreeDResult(
        job.id,
        job.title,
        job.criterion,
        relied,
        relied,
        relied,
        required,
        False,
        status,
        why,
        False,
        None,
        (),
        (),
        (),
        (),
        len(job.case.states),
    )


def with_answer(
    dome: Dome,
    job: Job,
    required: float,
    table: tuple[CutResult, ...],
    associated: float,
    without: float,
    answer: BlockAnswer,
    layout: Layout,
    drop: float,
    directions: tuple[tuple[float, float], ...],
    motions: np.ndarray | None,
) -> ThreeDResult:
    converged = math.isfinite(drop)
    # Dividing capacities for the reserve is a test of its own at each share; a multiple of a load is the scheme's
    # number itself.
    share = OVERSTATED if job.loads else 1.0
    relied = max(min(associated, share * without) - drop, 0.0) if converged else 0.0
    at_least = bool(job.loads) and min(associated, without) >= MOST_FACTOR * required * (1 - 1e-4)
    # Where the search stopped at its end nothing moves yet: what the solver gives as motions says nothing.
    motions = None if at_least else motions
    return ThreeDResult(
        id=job.id,
        title=job.title,
        criterion=job.criterion,
        associated=associated,
        non_associated=without,
        relied=relied if converged else None,
        required=required,
        meets=converged and relied >= required,
        status="solved" if converged else "cannot say",
        why="" if converged else "the finer cut gives notably less than the coarser one: not converged",
        at_least=at_least,
        mechanism=mechanism_of(dome, layout, motions),
        forces=opening_forces(dome, job.case, layout, answer),
        convergence=table,
        directions=directions,
        motions=rounded_rows(motions),
        course_top=len(job.case.states),
    )
