"""Very many domes of one design with uncertain inputs: how often no line exists, or a margin falls short.

A sensitivity study of the model, no failure probability of a building: the distributions are stated, not known, and the
model sees ring-symmetric dead load only. Points are scrambled Sobol points (Joe & Kuo's directions and Owen's
scrambling as
in scipy, memory) in 16 to 32 independent scramblings, cut into blocks; a block's result depends on nothing but the
study,
so any number of workers, one machine or many, and an interrupted run carried on give the same bits.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import shellcheck_earth
from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.parallel import ALONE, NOTHING_KEPT, Crew, each
from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_content
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.sampled import COMPASS, GLOBALS, dimensions, draw
from shellcheck_earth.loads.scatter import Scatter, design_scatter
from shellcheck_earth.mechanics.many.batch import Answers, Plan, ask_domes, can_sample, make_plan
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.safety.checks import GROUND, LINE
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
MOST_SAMPLES = 10_000_000
BLOCK = 2048
"""Most domes in a block: half a second's work, and a megabyte."""

FEWEST_SCRAMBLINGS = 16
PAIRED = 16
"""Every so-manieth dome is asked again with everything but its compass errors drawn anew, for the index of that
group.
"""

COMPASS_GROUP = "compass errors"
LAYOUT = 2
LARGEST_BLOCK = 20_000_000
"""Of the kept blocks; to be raised whenever a block's meaning changes."""


@dataclass(frozen=True)
class Job:
    """One block: `scrambling`, `first` point in it, `size` domes."""

    scrambling: int
    first: int
    size: int

    @property
    def name(self) -> str:
        return f"{self.scrambling:02d}-{self.first:08d}-{self.size}"


@dataclass(frozen=True)
class Study:
    """All that a block's result depends on."""

    design: Design
    dome: Dome
    scatter: Mapping[str, Scatter]
    plan: Plan
    seed: int
    scramblings: int
    points: int

    @property
    def samples(self) -> int:
        return self.scramblings * self.points

    @property
    def jobs(self) -> tuple[Job, ...]:
        size = min(self.points, BLOCK)
        return tuple(Job(r, first, size) for r in range(self.scramblings) for first in range(0, self.points, size))

    @property
    def digest(self) -> str:
        said = (
            LAYOUT,
            shellcheck_earth.__version__,
            design_content(self.design),
            sorted(repr(one) for one in self.scatter.values()),
            self.seed,
            self.scramblings,
            self.points,
        )
        return hashlib.sha256(repr(said).encode()).hexdigest()[:20]


@dataclass(frozen=True)
class LeftOut:
    """What the domes of a study are not asked: openings and buttresses, loads from one side, and these counted cases
    by title.
    """

    openings: bool
    sideways: bool
    cases: tuple[str, ...]


@dataclass(frozen=True)
class Chance:
    """The finished study. `first_in`, `first_course`: per check the (name, domes) where it is found short first (the
    finished dome
    is asked first, then the stages from the last one back), most frequent first; `indices` by outcome (no_line, short);
    `crown`: course number and radial error per unit error of the compass."""

    design: Design
    samples: int
    scramblings: int
    seed: int
    shares: Mapping[str, Share]
    checks: Mapping[str, Share]
    first_in: Mapping[str, tuple[tuple[str, int], ...]]
    first_course: Mapping[str, tuple[tuple[str, int], ...]]
    indices: Mapping[str, tuple[Index, ...]]
    scatter: Mapping[str, Scatter]
    crown: tuple[tuple[str, float], ...]
    left_out: LeftOut

    def __repr__(self) -> str:
        said = ", ".join(f"{name} {share.count} of {share.of}" for name, share in self.shares.items())
        return f"<Chance for {self.design.name!r}, seed {self.seed}: {said}; no failure probability of a building>"


CHECKS = tuple(check.key for check in (*LINE, *GROUND))
"""Checks that are counted; the two strengths, in service and while building, are one."""


def _questions(design: Design) -> Callable[[Case], list[Scales]]:
    required = design.criteria.required

    def of(case: Case) -> list[Scales]:
        return [check.scales(1.0 / required[check.label(case)]) for check in LINE]

    return of


def make_study(design: Design, scatter: Mapping[str, Scatter], samples: int, seed: int) -> Study:
    """The study of at least `samples` domes: the largest power of two of points that leaves 16 scramblings, and as
    many scramblings as are needed.

    Parameters
    ----------
    design
        A design that can be built.
    scatter
        The spread of each input, by name (`loads.scatter`).
    samples
        At least so many domes, 1 to MOST_SAMPLES.
    seed
        0 to 2^63 - 1.

    Returns
    -------
    Study
        All that an answer depends on.

    Raises
    ------
    InputError
        A number of samples or a seed that cannot be used.
    UnbuildableError
        No such dome can be built.
    """
    check_buildable(design, design.name)
    if not 1 <= samples <= MOST_SAMPLES:
        raise InputError([Problem("--samples", f"a whole number from 1 to {MOST_SAMPLES:,}", f"{samples}")])
    if not 0 <= seed < 2**63:
        raise InputError([Problem("--seed", "a whole number from 0 to 2^63 - 1", f"{seed}")])
    points = 1 << max((samples // FEWEST_SCRAMBLINGS).bit_length() - 1, 0)
    if design.groups:
        raise InputError([Problem("wall.courses", "one fill for all courses: sampled domes know no groups", "groups")])
    dome = build_dome(design)
    required = design.criteria.required
    cases = [case for case in dead_cases(dome) if case.counts and can_sample(dome, case)]
    plan = make_plan(dome, cases, _questions(design), required["base sliding"], required["ground bearing"])
    return Study(design, dome, design_scatter(design, scatter), plan, seed, -(-samples // points), points)


def _sobol(study: Study, job: Job) -> Floats:
    """Points of the block, (size, dimensions + 11): the dome, and the values it takes the second time."""
    from scipy.stats import qmc

    width = dimensions(len(study.dome.courses)) + COMPASS
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
    wide = dimensions(len(study.dome.courses))
    u = points[:, :wide]
    answers = _ask(study, u)
    y = _outcomes(answers)
    again = u[::PAIRED].copy()
    again[:, :COMPASS] = points[::PAIRED, wide:]
    second = _outcomes(_ask(study, again))
    m, n = len(study.plan.case_ids), len(study.plan.numbers)
    lowest = study.plan.numbers[0]
    place = np.minimum((u[:, :COMPASS] * BINS).astype(np.int64), BINS - 1)
    bins = np.stack([np.bincount(place[:, i], minlength=BINS) for i in range(COMPASS)])
    sums = np.stack(
        [[np.bincount(place[:, i], weights=one, minlength=BINS) for i in range(COMPASS)] for one in y]
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
        u_sums=np.stack([(u[:, :COMPASS] * one[:, None]).sum(axis=0) for one in y]),
        # The mean of both times estimates the mean of the outcome.
        pairs=np.array([[second.shape[1]] * 2, (first + second).sum(axis=1) / 2, ((first - second) ** 2).sum(axis=1)]),
    )


def _ask(study: Study, u: Floats) -> Answers:
    drawn = draw(study.dome, study.scatter, u)
    return ask_domes(study.plan, drawn.radii, drawn.states)


def _kept(path: Path) -> Tally | None:
    """A finished block from its file; None when it is not whole."""
    try:
        data = json.loads(read_text(path, "a finished block", LARGEST_BLOCK))
        return Tally(*(np.array(data[name], dtype=np.float64) for name in Tally.__dataclass_fields__))
    except (InputError, ValueError, KeyError, TypeError, RecursionError):
        return None


def _as_text(tally: Tally) -> str:
    return json.dumps({name: getattr(tally, name).tolist() for name in Tally.__dataclass_fields__})


def _known_blocks(study: Study, folder: Path | None) -> dict[Job, Tally]:
    known = {}
    for job in study.jobs if folder is not None and folder.is_dir() else ():
        assert folder is not None
        path = folder / f"{study.digest}-{job.name}.json"
        kept = _kept(path) if path.is_file() else None
        if kept is not None:
            known[job] = kept
    return known


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
        Shares of domes with their 95 % limits [-], and the indices of first order [-].

    Raises
    ------
    InputError
        The cluster cannot be reached.
    RunError
        It was lost meanwhile.

    References
    ----------
    Clopper & Pearson (1934), Jansen (1999), Joe & Kuo's directions and Owen's scrambling: all from memory.
    """
    done = _known_blocks(study, keep_in)
    missing = [job for job in study.jobs if job not in done]
    progress("sampled domes", len(done), len(study.jobs))
    if missing:  # one dome first: compiled code is loaded once, not by every thread at the same time
        _ask(study, np.full((1, dimensions(len(study.dome.courses))), 0.5))
    kept = (
        NOTHING_KEPT if keep_in is None else f"Finished blocks are kept in {keep_in}: the same command goes on there."
    )
    tallies = each(partial(block_tally, study), missing, crew, threads=True, kept=kept)
    for job, tally in zip(missing, tallies, strict=True):
        done[job] = tally
        if keep_in is not None:
            keep_in.mkdir(parents=True, exist_ok=True)
            part = keep_in / f".{study.digest}-{job.name}.part"
            part.write_text(_as_text(tally), encoding="utf-8")
            part.replace(keep_in / f"{study.digest}-{job.name}.json")
        progress("sampled domes", len(done), len(study.jobs))
    return _chance(study, [done[job] for job in study.jobs])


def _most(names: tuple[str, ...], counts: Floats) -> tuple[tuple[str, int], ...]:
    order = sorted(range(len(names)), key=lambda i: (-counts[i], i))
    return tuple((names[i], int(counts[i])) for i in order[:3] if counts[i] > 0)


def _chance(study: Study, blocks: list[Tally]) -> Chance:
    per = len(blocks) // study.scramblings
    runs = [add_tallies(blocks[r * per : (r + 1) * per]) for r in range(study.scramblings)]
    whole = add_tallies(runs)
    sizes = [float(run.counts[0]) for run in runs]
    numbers = tuple(str(number) for number in study.plan.numbers)
    lost = {name: [float(run.bin_sums[i][0].sum()) for run in runs] for i, name in enumerate(OUTCOMES)}
    lost["unbuildable"] = [float(run.counts[1]) for run in runs]
    names = tuple(name for name in GLOBALS[:COMPASS])
    return Chance(
        design=study.design,
        samples=study.samples,
        scramblings=study.scramblings,
        seed=study.seed,
        shares={name: share_of(counts, sizes) for name, counts in lost.items()},
        checks={check: share_of([float(run.checks[q]) for run in runs], sizes) for q, check in enumerate(CHECKS)},
        first_in={check: _most(study.plan.case_ids, whole.check_case[q]) for q, check in enumerate(CHECKS)},
        first_course={check: _most(numbers, whole.check_course[q]) for q, check in enumerate(CHECKS)}
        | {"no line": _most(numbers, whole.line_course)},
        indices={name: indices(runs, names, COMPASS_GROUP, i) for i, name in enumerate(OUTCOMES)},
        scatter=study.scatter,
        crown=tuple((course.label, course.compass / course.inner_radius) for course in study.dome.courses[-3:]),
        left_out=_left_out(study),
    )


def _left_out(study: Study) -> LeftOut:
    """What this study leaves out of what the design's own check examines."""
    design = study.design
    cases = (case for case in dead_cases(study.dome) if case.counts and not can_sample(study.dome, case))
    return LeftOut(
        openings=bool(design.openings or design.buttresses),
        sideways=design.site.wind_pressure > 0 or design.site.earthquake > 0,
        cases=tuple(case.title for case in cases),
    )
