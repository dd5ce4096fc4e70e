"""Very many domes of one design with uncertain inputs: how often no line exists, or a margin falls short.

A sensitivity study of the model, no failure probability of a building: the distributions are stated, not known, and the
model sees ring-symmetric dead load only. Points are scrambled Sobol points (Joe & Kuo's directions and Owen's
scrambling as in scipy, memory) in 16 to 32 independent scramblings, cut into blocks; a block's result depends on
nothing but the study, so any number of workers, one machine or many, and an interrupted run carried on give the same
bits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.basics.parallel import ALONE, NOTHING_KEPT, Crew, each
from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.combinations import combinations
from shellcheck_earth.loads.crew import highest_stood_on
from shellcheck_earth.loads.sampled import dimensions, draw
from shellcheck_earth.loads.scatter import Scatter
from shellcheck_earth.mechanics.many.batch import Answers, ask_domes, can_sample
from shellcheck_earth.safety.checks import GROUND, LINE, WITHOUT_WIRE
from shellcheck_earth.studies.sample.asked import MOST_SAMPLES, Job, MarginJob, Study, make_study
from shellcheck_earth.studies.sample.kept import keep, known_blocks
from shellcheck_earth.studies.sample.margins import Margins, MarginTally, margin_tally, margins_of
from shellcheck_earth.studies.sample.statistics import (
    BINS,
    OUTCOMES,
    Index,
    Share,
    Tally,
    add_tallies,
    indices,
    share_of,
)

__all__ = [
    "COMPASS_GROUP",
    "MOST_SAMPLES",
    "Chance",
    "Job",
    "LeftOut",
    "Study",
    "block_tally",
    "make_study",
    "run_study",
]

Floats = NDArray[np.float64]
J = TypeVar("J", Job, MarginJob)
T = TypeVar("T")
PAIRED = 16
"""Every so-manieth dome is asked again with everything but its compass errors drawn anew, for the index of that
group.
"""

COMPASS_GROUP = "compass errors"


@dataclass(frozen=True)
class LeftOut:
    """What the domes of a study are not asked: openings and buttresses, loads from one side, one person on one side of
    the top ring, rows of factors on loads and capacities at once, and these counted cases by title.
    """

    openings: bool
    sideways: bool
    crew: bool
    factors: bool
    cases: tuple[str, ...]


@dataclass(frozen=True)
class Chance:
    """The finished study. `first_in`, `first_course`: per check the (name, domes) where it is found short first (the
    finished dome is asked first, then the stages from the last one back), most frequent first; `indices` by outcome
    (no_line, short); `margins`: the same as numbers, from a smaller sample of its own, without the cases `hopeless`, in
    which no dome can meet; `crown`: course number and radial error per unit error of the compass."""

    design: Design
    samples: int
    scramblings: int
    seed: int
    shares: Mapping[str, Share]
    checks: Mapping[str, Share]
    first_in: Mapping[str, tuple[tuple[str, int], ...]]
    first_course: Mapping[str, tuple[tuple[str, int], ...]]
    indices: Mapping[str, tuple[Index, ...]]
    margins: Margins
    scatter: Mapping[str, Scatter]
    crown: tuple[tuple[str, float], ...]
    left_out: LeftOut
    hopeless: tuple[str, ...] = ()

    def __repr__(self) -> str:
        said = ", ".join(f"{name} {share.count} of {share.of}" for name, share in self.shares.items())
        return f"<Chance for {self.design.name!r}, seed {self.seed}: {said}; no failure probability of a building>"


CHECKS = tuple(check.key for check in (*LINE, *GROUND, WITHOUT_WIRE))
"""Checks that are counted, as the kernel numbers them; the two strengths, in service and while building, are one."""


def _sobol(study: Study, job: Job) -> Floats:
    """Points of the block, (size, dimensions + inputs): the dome, and the values it takes the second time."""
    from scipy.stats import qmc

    width = dimensions(study.inputs, len(study.dome.courses)) + len(study.inputs.names)
    engine = qmc.Sobol(width, scramble=True, rng=np.random.default_rng([study.seed, job.scrambling]))
    if job.first:
        engine.fast_forward(job.first)
    return np.asarray(engine.random(job.size))


def _outcomes(answers: Answers) -> Floats:
    """(2, N), 1 or 0: no line, a margin short; a dome that cannot be built counts in both."""
    return np.array([answers.no_line | ~answers.buildable, answers.short | ~answers.buildable], dtype=np.float64)


def block_tally(study: Study, job: Job) -> Tally:
    """The sums over one block."""
    points = _sobol(study, job)
    wide, single = dimensions(study.inputs, len(study.dome.courses)), len(study.inputs.names)
    u = points[:, :wide]
    answers = _ask(study, u)
    y = _outcomes(answers)
    again = u[::PAIRED].copy()
    again[:, :single] = points[::PAIRED, wide:]
    second = _outcomes(_ask(study, again))
    m, n = len(study.plan.case_ids), len(study.plan.numbers)
    lowest = study.plan.numbers[0]
    place = np.minimum((u[:, :single] * BINS).astype(np.int64), BINS - 1)
    bins = np.stack([np.bincount(place[:, i], minlength=BINS) for i in range(single)])
    sums = np.stack(
        [[np.bincount(place[:, i], weights=one, minlength=BINS) for i in range(single)] for one in y]
    ).astype(np.float64)
    check_case, check_course = np.zeros((len(CHECKS), m)), np.zeros((len(CHECKS), n))
    for q in range(len(CHECKS)):
        hit = answers.short_case[:, q] >= 0
        check_case[q] = np.bincount(answers.short_case[hit, q], minlength=m)
        check_course[q] = np.bincount(answers.short_course[hit, q] - lowest, minlength=n)
    gone = answers.no_line_case >= 0
    first = y[:, ::PAIRED]
    return Tally(
        counts=np.array(
            [job.size, (~answers.buildable).sum(), answers.no_line.sum(), answers.short.sum()], dtype=np.float64
        ),
        checks=(answers.short_case >= 0).sum(axis=0).astype(np.float64),
        check_case=check_case,
        check_course=check_course,
        line_course=np.bincount(answers.no_line_course[gone] - lowest, minlength=n).astype(np.float64),
        bins=bins.astype(np.float64),
        bin_sums=sums,
        u_sums=np.stack([(u[:, :single] * one[:, None]).sum(axis=0) for one in y]),
        # The mean of both times estimates the mean of the outcome.
        pairs=np.array([[second.shape[1]] * 2, (first + second).sum(axis=1) / 2, ((first - second) ** 2).sum(axis=1)]),
    )


def _ask(study: Study, u: Floats) -> Answers:
    drawn = draw(study.dome, study.inputs, u)
    return ask_domes(study.plan, drawn.radii, drawn.states)


def run_study(study: Study, progress: Progress, crew: Crew = ALONE, *, keep_in: Path | None = None) -> Chance:
    """All blocks of a study, over threads of this machine or a dask cluster.

    Parameters
    ----------
    study
        What `make_study` gave.
    progress
        Called with what is being done, how many steps are done, and how many there are.
    crew
        Who does the work; never changes a bit of the answer.
    keep_in
        Folder that finished blocks are kept in, and taken from; None keeps none.

    Returns
    -------
    Chance
        Shares of domes with their 95 % limits [-], indices of first order [-]; margins as numbers with indices of first
        and of total order [-].

    Raises
    ------
    InputError
        The cluster cannot be reached.
    RunError
        It was lost meanwhile.

    References
    ----------
    Clopper & Pearson (1934), Jansen (1999), Saltelli et al. (2010), Joe & Kuo's directions and Owen's scrambling: all
    from memory.
    """
    of = len(study.jobs) + len(study.margin_jobs)
    told = partial(_Told, progress, of)
    tallies = _blocks(study, told("sampled domes", 0), crew, keep_in, (study.jobs, Tally, block_tally))
    margins = _blocks(
        study,
        told("margins of sampled domes", len(study.jobs)),
        crew,
        keep_in,
        (study.margin_jobs, MarginTally, margin_tally),
    )
    return _chance(study, tallies, margins_of(study, margins, COMPASS_GROUP))


@dataclass(frozen=True)
class _Told:
    """Says how far the work is: `before` of `of` blocks were done by what went before."""

    progress: Progress
    of: int
    what: str
    before: int

    def __call__(self, done: int) -> None:
        self.progress(self.what, self.before + done, self.of)


def _blocks(
    study: Study,
    told: _Told,
    crew: Crew,
    keep_in: Path | None,
    kind: tuple[tuple[J, ...], type[T], Callable[[Study, J], T]],
) -> list[T]:
    """All blocks of one kind, in order; `kind`: its jobs, what a block is, how it is found."""
    jobs, block, work = kind
    done = known_blocks(keep_in, study.digest, jobs, block)
    missing = [job for job in jobs if job not in done]
    told(len(done))
    if missing:  # one dome first: compiled code is loaded once, not by every thread at the same time
        work(study, replace(missing[0], size=1))
    kept = (
        NOTHING_KEPT if keep_in is None else f"Finished blocks are kept in {keep_in}: the same command goes on there."
    )
    found = each(partial(work, study), missing, crew, threads=True, kept=kept)
    for job, one in zip(missing, found, strict=True):
        done[job] = one
        keep(keep_in, study.digest, job, one)
        told(len(done))
    return [done[job] for job in jobs]


def _most(names: tuple[str, ...], counts: Floats) -> tuple[tuple[str, int], ...]:
    order = sorted(range(len(names)), key=lambda i: (-counts[i], i))
    return tuple((names[i], int(counts[i])) for i in order[:3] if counts[i] > 0)


def _chance(study: Study, blocks: list[Tally], margins: Margins) -> Chance:
    per = len(blocks) // study.scramblings
    runs = [add_tallies(blocks[r * per : (r + 1) * per]) for r in range(study.scramblings)]
    whole = add_tallies(runs)
    sizes = [float(run.counts[0]) for run in runs]
    numbers = tuple(str(number) for number in study.plan.numbers)
    lost = {name: [float(run.bin_sums[i][0].sum()) for run in runs] for i, name in enumerate(OUTCOMES)}
    lost["unbuildable"] = [float(run.counts[1]) for run in runs]
    checks = [(q, check) for q, check in enumerate(CHECKS) if check != WITHOUT_WIRE.key or study.plan.without_wire]
    return Chance(
        design=study.design,
        samples=study.samples,
        scramblings=study.scramblings,
        seed=study.seed,
        shares={name: share_of(counts, sizes) for name, counts in lost.items()},
        checks={check: share_of([float(run.checks[q]) for run in runs], sizes) for q, check in checks},
        first_in={check: _most(study.plan.case_ids, whole.check_case[q]) for q, check in checks},
        first_course={check: _most(numbers, whole.check_course[q]) for q, check in checks}
        | {"no line": _most(numbers, whole.line_course)},
        indices={name: indices(runs, study.inputs.names, COMPASS_GROUP, i) for i, name in enumerate(OUTCOMES)},
        margins=margins,
        scatter=study.inputs.spreads,
        crown=tuple((course.label, course.compass / course.inner_radius) for course in study.dome.courses[-3:]),
        left_out=_left_out(study),
        hopeless=study.hopeless,
    )


def _left_out(study: Study) -> LeftOut:
    """What this study leaves out of what the design's own check examines."""
    design = study.design
    cases = (case for case in dead_cases(study.dome) if case.counts and not can_sample(case))
    return LeftOut(
        openings=bool(design.openings or design.buttresses),
        sideways=design.site.wind_pressure > 0 or design.site.earthquake > 0,
        crew=highest_stood_on(study.dome) is not None,
        factors=bool(combinations(design.criteria)),
        cases=tuple(case.title for case in cases),
    )
