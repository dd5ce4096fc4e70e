"""What a study of uncertain inputs asks, as frozen data: its design, its spreads, and the blocks of its work."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import shellcheck_earth
from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_content
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.drawn import VALUES, Inputs, inputs_of
from shellcheck_earth.loads.ring_loads import refuse_ring_loads
from shellcheck_earth.loads.scatter import Scatter
from shellcheck_earth.mechanics.many.batch import Plan, can_sample, make_plan
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.safety.checks import LINE, check_of
from shellcheck_earth.safety.inputs import inherits

__all__ = ["MARGIN_POINTS", "MOST_SAMPLES", "Job", "MarginJob", "Study", "make_study", "own_values"]

MOST_SAMPLES = 10_000_000
BLOCK = 2048
"""Most domes in a block: half a second's work, and a megabyte."""

FEWEST_SCRAMBLINGS = 16
LAYOUT = 6
"""Of the kept blocks; to be raised whenever a block's meaning changes."""

MARGIN_POINTS, MARGIN_SHARE, MARGIN_BLOCK = 2048, 4, 64
"""Base points of the search for margins: at most so many in all, at most the points of the study over MARGIN_SHARE;
most in a block. At each are asked two domes and one more an input, all of the compass being one: fourteen where no
courses have a fill of their own."""


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
class MarginJob:
    """One block of base points at which margins are found: `scrambling`, `first` point in it, `size` points."""

    scrambling: int
    first: int
    size: int

    @property
    def name(self) -> str:
        return f"margins-{self.scrambling:02d}-{self.first:08d}-{self.size}"


@dataclass(frozen=True)
class Study:
    """All that a block's result depends on. `hopeless`: titles of the cases in which a course has no strength at all,
    whatever is drawn; `margin_plan`: what is asked for margins, which those say nothing of."""

    design: Design
    dome: Dome
    inputs: Inputs
    plan: Plan
    seed: int
    scramblings: int
    points: int
    margin_plan: Plan
    hopeless: tuple[str, ...] = ()

    @property
    def samples(self) -> int:
        return self.scramblings * self.points

    @property
    def jobs(self) -> tuple[Job, ...]:
        size = min(self.points, BLOCK)
        return tuple(Job(r, first, size) for r in range(self.scramblings) for first in range(0, self.points, size))

    @property
    def margin_points(self) -> int:
        """Base points of each scrambling at which margins are found: a power of two, or every one of a few."""
        most = max(min(self.points // MARGIN_SHARE, MARGIN_POINTS // self.scramblings), 1)
        return 1 << (most.bit_length() - 1)

    @property
    def margin_jobs(self) -> tuple[MarginJob, ...]:
        size = min(self.margin_points, MARGIN_BLOCK)
        return tuple(
            MarginJob(r, first, size) for r in range(self.scramblings) for first in range(0, self.margin_points, size)
        )

    @property
    def digest(self) -> str:
        said = (
            LAYOUT,
            shellcheck_earth.__version__,
            design_content(self.design),
            self.inputs.names,
            sorted(f"{name}: {one!r}" for name, one in self.inputs.spreads.items()),
            self.seed,
            self.scramblings,
            self.points,
        )
        return hashlib.sha256(repr(said).encode()).hexdigest()[:20]


def _questions(design: Design) -> Callable[[Case], list[Scales]]:
    required = design.criteria.required

    def of(case: Case) -> list[Scales]:
        if case.only:
            return [check_of(case.only).scales(1.0 / required[case.only])] * len(LINE)
        return [check.scales(1.0 / required[check.label(case)]) for check in LINE]

    return of


def own_values(dome: Dome) -> list[set[str]]:
    """Of each group of courses, which values of its fill are its own: all that it does not take over from [fill]; none
    of a group whose courses this dome does not have."""
    design = dome.design
    return [
        {name for name in VALUES if not inherits(design, group, f"fill.{name}")}
        if any(one.holds(course.number) for course in dome.courses)
        else set()
        for group, one in enumerate(design.groups, 1)
    ]


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
    refuse_ring_loads(design, "the study of chance")
    dome = build_dome(design)
    required = design.criteria.required
    cases = [case for case in dead_cases(dome) if case.counts and can_sample(case)]
    ground = required["base sliding"], required["ground bearing"]
    plan = make_plan(dome, cases, _questions(design), *ground)
    hopeless = [case for case in cases if any(state.strength <= 0.0 for state in case.states)]
    left = [case for case in cases if case not in hopeless]
    margins = make_plan(dome, left, _questions(design), *ground) if hopeless and left else plan
    said = tuple(case.title for case in hopeless) if left else ()
    inputs = inputs_of(design, scatter, own_values(dome))
    return Study(design, dome, inputs, plan, seed, -(-samples // points), points, margins, said)
