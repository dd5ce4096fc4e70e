"""The cases of a design, rebuilt: what has to be proven of it, and the questions of each case.

Part of the checker: standard library only, no code shared with the solver. STATEMENT.md, sections 5 and 6.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import NamedTuple

from shellcheck_earth.mechanics.proof.backfill import Footing
from shellcheck_earth.mechanics.proof.carried import CarriedBy, carried_states
from shellcheck_earth.mechanics.proof.combinations import once_each
from shellcheck_earth.mechanics.proof.courses import UNIT, Course, grid
from shellcheck_earth.mechanics.proof.quantities import RefusedError
from shellcheck_earth.mechanics.proof.reading import Design
from shellcheck_earth.mechanics.proof.states import Bed, State, WallStates

__all__ = ["STANDS", "Case", "Question", "Rebuilt", "Spread", "WallCases", "rebuild", "rebuild_trial", "spread_of"]

MICRON = 1_100_000  # 1e-6 m: a course whose top lies that near to the scaffold's height is stood on
STANDS = "thrust line"
"""The first question of every case: does a line exist with everything as it is?"""
OF_THE_GROUND = tuple(f"site.ground_{limit}{state}" for limit in ("friction", "bearing") for state in ("", "_wet"))
"""What is asked of the base and of nothing above it: it stands in questions alone."""


@dataclass(frozen=True)
class Spread:
    """A footing: the width over which it presses on the ground, and its depth (whole numbers of 2^-40 m); its least and
    greatest weight a radian [kN]; the share of what presses down that is counted to tip it."""

    width: int
    depth: int
    light: Fraction
    heavy: Fraction
    holds: Fraction


def spread_of(footing: Footing | None, course: Course, holds: Fraction) -> Spread | None:
    """The footing under the lowest course, its middle under that of the bed; spread 2 down to 1 across."""
    if footing is None:
        return None
    width, depth = grid(footing.width), grid(footing.depth)
    if width >= course.bed_inner + course.bed_outer:
        raise RefusedError("footing.width: expected a ring, whose inner edge does not reach the axis")
    area = Fraction((course.bed_inner + course.bed_outer) * width * depth, 2 * UNIT**3)
    reach = min(width, course.bed_outer - course.bed_inner + depth)
    return Spread(reach, depth, footing.lightest * area, footing.heaviest * area, holds)


@dataclass(frozen=True)
class Question:
    """Does a line exist with capacities multiplied by these shares and loads by their factors?

    `rows`: asked under a row of factors, which counts what is handed in as such rows have it. `base_friction`: the base
    may slide at that share of V; `base_stress` [kPa]: greatest edge stress on the ground; `spread`: the footing.
    """

    name: str
    friction: Fraction = Fraction(1)
    cohesion: Fraction = Fraction(1)
    strength: Fraction = Fraction(1)
    wire: Fraction = Fraction(1)
    width: Fraction = Fraction(1)
    contact: Fraction = Fraction(1)
    dead: Fraction = Fraction(1)
    imposed: Fraction = Fraction(1)
    base_friction: Fraction | None = None
    base_stress: Fraction | None = None
    rows: bool = False
    spread: Spread | None = None

    @property
    def loads(self) -> tuple[Fraction, Fraction, bool]:
        """Under which loads it is asked."""
        return self.dead, self.imposed, self.rows


class Kind(NamedTuple):
    """What the questions of a case hang on besides the design. `imposed`: the column of the factor on what is imposed
    on the case, "" where nothing is; `crew`: square metres that a kilonewton of it stands on."""

    building: bool = False
    wet: bool = False
    imposed: str = ""
    crew: Fraction = Fraction(0)


@dataclass(frozen=True)
class Case:
    """`beds` from the top course down. `counts`: a verdict rests on it. `kind`: None where its questions are its
    own."""

    id: str
    beds: tuple[Bed, ...]
    questions: tuple[Question, ...]
    counts: bool = True
    kind: Kind | None = None


@dataclass(frozen=True)
class Rebuilt:
    design: Design
    cases: tuple[Case, ...]


class WallCases(WallStates):
    """The cases of one design."""

    def cases(self) -> Iterable[Case]:
        """Every case that counts, in the order of the certificate; section 5 of the statement."""
        d = self.d
        if not d["building.unfinished"]:
            yield from self.finished_cases()
        now = max(int(d["building.laid"] or 1), 1)
        first = next(index for index, course in enumerate(self.courses) if course.number >= now)
        for top in range(first, len(self.courses)):
            states = self.stage_states(top + 1)
            name = f"stage-{self.courses[top].number:02d}"
            yield self.case(name, states, building=True)
            if d["building.worker"] > 0:
                course, load = self.courses[top], grid(d["building.worker"]) * UNIT**3
                worker = 6 * load, 3 * load * (course.inner + course.outer)
                crewed = [*states[:-1], replace(states[-1], imposed=worker)]
                area = Fraction(course.outer**2 - course.inner**2, 2 * UNIT**2) / d["building.worker"]
                yield self.case(f"{name}-worker", crewed, building=True, imposed="imposed", crew=area)
        yield from self.rain_cases(first)

    def stood_on(self, course: Course) -> bool:
        """Whether the crew stands on a course: on none whose top lies where it is said to work off a scaffold."""
        height = self.d["building.scaffold_above"]
        low = height is None or course.z_top - self.floor <= grid(height) + MICRON
        return bool(self.d["building.worker"] > 0 and low)

    def rings_stood_on(self) -> list[int]:
        """Of the rings that end a stage which stands or is to come those that the crew stands on: how many courses."""
        now = max(int(self.d["building.laid"] or 1), 1)
        tops = range(1, len(self.courses) + 1)
        return [k for k in tops if self.courses[k - 1].number >= now and self.stood_on(self.courses[k - 1])]

    def finished_cases(self) -> Iterable[Case]:
        """Bare, then with each state of what is handed in all around."""
        d = self.d
        protected = (d["plaster.outside"] > 0 or d["site.roof"]) and not d["site.left_unprotected"]
        dry, damp, soaked, base = (self.finished_states(name) for name in ("dry", "damp", "soaked", "base"))
        under = ("dry", "damp", "base") if d["site.snow"] > 0 else ()
        snowed = [self.finished_states(name, snow=True) for name in under]
        for suffix, carried in (("", {}), *carried_states(d, self.courses, self.ground)):

            def on(states: list[State], carried: CarriedBy = carried) -> list[State]:
                pairs = ((state, carried.get(index)) for index, state in enumerate(states))
                return [replace(s, carried=c[0], carried_rows=c[1]) if c else s for s, c in pairs]

            yield self.case(f"finished-dry{suffix}", on(dry))
            yield self.case(f"finished-damp{suffix}", on(damp))
            case = self.case(f"soaked-through{suffix}", on(soaked), wet=True)
            yield replace(case, counts=False, questions=case.questions[:1], kind=None) if protected else case
            for name, states in zip(("finished-snow", "finished-damp-snow"), snowed, strict=False):
                yield self.case(f"{name}{suffix}", on(states), imposed="snow")
            if d["beds.wire_strands"] > 0:
                beds = self.beds(on(damp), wireless=True)
                yield Case(f"wire-gone{suffix}", beds, (Question(STANDS), _reserve("standing without wire", d)))
            yield self.case(f"base-soaked{suffix}", on(base), wet=True)
            for states in snowed[2:]:
                yield self.case(f"base-soaked-snow{suffix}", on(states), wet=True, imposed="snow")

    def rain_cases(self, first: int) -> Iterable[Case]:
        days = [self.laying_day(index) for index in range(len(self.courses))]
        last = -1
        for day in range(days[first], days[-1] + 1):
            top = max(index for index, on in enumerate(days) if on <= day)
            if top == last:
                continue  # a day of rest
            for heavy in (True, False) if last < 0 and any(self.d["building.wetted"]) else ():
                states = [self.rained(i, top, day - days[i], heavy, more=False) for i in range(top + 1)]
                name = f"day-{day + 1:03d}-stage-{self.courses[top].number:02d}-wetted" + ("" if heavy else "-light")
                yield self.case(name, states, building=True, wet=True)
            last = top
            for heavy in (True, False):
                states = [self.rained(i, top, day - days[i], heavy) for i in range(top + 1)]
                name = f"day-{day + 1:03d}-stage-{self.courses[top].number:02d}-rain" + ("" if heavy else "-light")
                yield self.case(name, states, building=True, wet=True)

    def case(
        self,
        name: str,
        states: list[State],
        *,
        building: bool = False,
        wet: bool = False,
        imposed: str = "",
        crew: Fraction = Fraction(0),
    ) -> Case:
        """One case, with the questions of its kind."""
        kind = Kind(building, wet, imposed, crew)
        return Case(name, self.beds(states), tuple(self.questions(*kind)), kind=kind)

    def questions(self, building: bool, wet: bool, imposed: str, crew: Fraction = Fraction(0)) -> Iterable[Question]:
        """Each check of a case at what the criteria ask for; section 6 of the statement."""
        d, need = self.d, self.d.required
        strength = "strength while building" if building else "strength"
        part = {check: 1 / need[check] for check in ("bed friction", "geometric factor", strength, "wire tension")}
        yield Question(STANDS)
        slide, bear = (d[f"site.ground_{key}" + ("_wet" if wet else "")] for key in ("friction", "bearing"))
        yield Question("bed friction", friction=part["bed friction"], cohesion=part["bed friction"])
        yield Question("geometric factor", contact=part["geometric factor"])
        yield Question(strength, strength=part[strength])
        yield Question("wire tension", wire=part["wire tension"])
        yield _reserve("overall reserve", d)
        holds = slide / need["base sliding"]
        under = spread_of(d["footing"], self.courses[0], holds)
        yield Question("base sliding", base_friction=holds, spread=under)
        # on a footing what tips it is all that the ground may hold, and no more than that
        capped = None if under is None else holds
        yield Question("ground bearing", base_friction=capped, base_stress=bear / need["ground bearing"], spread=under)
        yield from self.combined(building, imposed, crew)

    def combined(self, building: bool, imposed: str, crew: Fraction) -> Iterable[Question]:
        """The joint questions: every factor of a row at once."""
        check = "strength while building" if building else "strength"
        column = check.replace(" while", "").replace(" ", "_") + ("_tested" if check in self.d.tested else "")
        for row, load in once_each(self.d.rows, column, imposed, crew):
            f, c, s, w = (1 / row[key] for key in ("friction", "cohesion", column, "wire"))
            name = f"combined factors, {row.name}"
            yield Question(name, f, c, s, w, dead=row["permanent"], imposed=load, rows=True)


def _reserve(check: str, d: Design) -> Question:
    """Every capacity divided together."""
    share = 1 / d.required.get(check, Fraction(1))
    return Question(check, friction=share, cohesion=share, strength=share, wire=share, width=share)


def rebuild(design: Design) -> Rebuilt:
    """Everything that a certificate of this design has to prove; RefusedError when no such dome can be built."""
    return Rebuilt(design, tuple(WallCases(design).cases()))


def rebuild_trial(rebuilt: Rebuilt, trial: Design) -> Iterable[Case]:
    """The cases of a trial of that design: with the same beds where it changes nothing but what the ground holds."""
    if (
        replace(trial, values={**trial.values, **{path: rebuilt.design[path] for path in OF_THE_GROUND}})
        != rebuilt.design
    ):
        yield from rebuild(trial).cases
        return
    wall = WallCases(trial)
    for case in rebuilt.cases:
        yield case if case.kind is None else replace(case, questions=tuple(wall.questions(*case.kind)))
