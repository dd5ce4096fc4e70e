"""Which states and loads the block model is asked about: finished, with the forms out, and every load that comes from
one side.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design, Opening
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.heads import head_ring, lintel_course
from shellcheck_earth.geometry.openings import levels, opening_label
from shellcheck_earth.loads.cases import Case, carrying, dead_cases
from shellcheck_earth.loads.crew import highest_stood_on
from shellcheck_earth.loads.joint import (
    COMBINED,
    ON_THE_GROUND,
    PLAIN,
    Row,
    dead_rows,
    fits,
    multiplied,
    required_of,
    side_rows,
)
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.loads.ring_loads import block_states
from shellcheck_earth.loads.side_loads import SideLoad, side_loads, workers
from shellcheck_earth.loads.soaked_foot import with_soaked_foot
from shellcheck_earth.safety.blocks.rained import rained_stage
from shellcheck_earth.safety.blocks.result import GROUND_SLACK, MOST_FACTOR, MOST_RESERVE

__all__ = ["Job", "forms_out", "jobs", "joint_job", "needed_jobs", "whole_load"]

MOST_STAGES = round(fixed("blocks.stages"))
"""Stages of building that are looked at: the lowest ones, and always the one at which the last form comes out."""


TITLES: Mapping[str, str] = MappingProxyType(
    {
        "wind": "Wind",
        "earthquake": "Earthquake",
        "snow": "Snow on one half",
        "rain": "Water in one half of the dome",
        "worker": "One worker on the top ring",
    }
)


@dataclass(frozen=True)
class Job:
    """One state of the dome with the loads of one kind (none: its dead load alone), at one or more rows of factors.

    `rows`: as it is (the multiple of the load, or the overall reserve), or every capacity divided at once. `snowed`:
    the case with snow all around, for rows that have it beside the load; `drifted`: of snow on one half the loads of
    its joint question, those with wind beside it too. `answers`: the
    multiple at which a joint question answers the plain one too; 0 where it never does. `only_joint`: its plain
    question is that of a job before it.
    """

    id: str
    title: str
    criterion: str
    case: Case
    loads: tuple[SideLoad, ...] = ()
    heavier: Case | None = None
    rows: tuple[Row, ...] = (PLAIN,)
    snowed: Case | None = None
    drifted: tuple[SideLoad, ...] = ()
    answers: float = 0.0
    only_joint: bool = False

    def beside(self, row: Row, permanent: float | None = None) -> Case:
        """What stands while the load of a row acts, permanent weight times its factor (or another, and what is handed
        in then as it is), snow times its."""
        weight, carried = (row.permanent, (row.more, row.less)) if permanent is None else (permanent, (1.0, 1.0))
        if row.snow > 0:
            if self.snowed is None:
                raise ValueError(f"{self.id}: snow beside the load needs the case with it")
            return multiplied(self.snowed, weight, row.snow, carried)
        return multiplied(self.case, weight, 1.0 if self.loads else row.load, carried)

    def asked(self) -> tuple[tuple[SideLoad, Row], ...]:
        """Every load with each row it is asked at."""
        return tuple((load, row) for load in self.loads for row in self.rows if fits(load, row))

    def required(self, design: Design) -> float:
        """The factor that is asked for."""
        return required_of(design.criteria, self.criterion)

    def most(self, design: Design, row: Row = PLAIN) -> float:
        """Up to where the multiple of a load from one side, or the reserve of a dead load at a row, is looked for."""
        if self.loads:
            return MOST_FACTOR * max(self.required(design), self.answers)
        return self.required(design) * GROUND_SLACK if row.name == ON_THE_GROUND else MOST_RESERVE

    def titled(self, row: Row) -> str:
        """The title of what is asked at a row."""
        return f"{self.title}, {row.name}" if row.name else self.title

    @property
    def joint(self) -> bool:
        """Whether it asks for every capacity at once beside the load as it is."""
        return self.criterion == COMBINED


def joint_job(design: Design, job: Job) -> Job | None:
    """The same state and loads with every capacity divided at once; None where the plain question is that one, or all
    that its case is asked."""
    if job.case.only:
        return None
    rows = (
        side_rows(design, job.loads[0].kind, job.criterion, building=job.case.building, carries=job.case.carries)
        if job.loads
        else dead_rows(design, job.case)
    )
    if not rows:
        return None
    divided = any(row.name != ON_THE_GROUND for row in rows)
    title = f"{job.title}, every capacity divided at once" if divided else job.title
    loads = job.drifted or job.loads
    together = replace(job, id=f"{job.id}-joint", title=title, criterion=COMBINED, rows=rows, loads=loads)
    asked = {load for load, _ in together.asked()}
    times = whole_load(rows) if job.loads else 0.0
    answers = job.required(design) / times if times else 0.0
    return replace(together, loads=tuple(load for load in loads if load in asked), answers=answers)


def whole_load(rows: tuple[Row, ...]) -> float:
    """The largest factor on the load of a row that leaves all else as it is; 0 where there is none."""
    return max((row.load for row in rows if row.as_it_is), default=0.0)


def needed_jobs(dome: Dome) -> list[Job]:
    """What a verdict needs of the block model: everything, or where one person on one side of the top ring is all that
    rings cannot be asked, that; nothing where nobody stands on the wall."""
    more = needs_more_than_crew(dome.design)
    return [job for job in jobs(dome) if more or (job.loads and job.loads[0].kind == "worker")]


def jobs(dome: Dome) -> list[Job]:
    """Everything that the block model may be asked about one design, in the order of the report; joint questions
    apart."""
    cases = {case.id: case for case in dead_cases(dome) if not case.carries}
    if dome.design.building.unfinished:
        return _standing(dome, cases)
    out = _dead(dome.design, cases) + _stages(dome, cases) + _from_one_side(dome, cases)
    bare = {name: case for name, case in cases.items() if case.kind == "finished"}
    for state in block_states(dome):
        there = {name: carrying(case, state) for name, case in bare.items()}
        found = _dead(dome.design, there)
        found += [] if state.dead else _from_one_side(dome, there, state.suffix, f", {state.words}")
        found = [replace(job, only_joint=state.again) for job in found]
        out += [job for job in found if not job.only_joint or joint_job(dome.design, job)]
    return out


def _dead(design: Design, cases: dict[str, Case]) -> list[Job]:
    """The dead load of the finished dome; the cases by their names without what they carry. The one check of a case
    that is asked no more of the rings is the one that its blocks are asked."""
    said = "with its openings" if design.openings else "in three dimensions"
    return [
        Job(f"three-d-{case.id}", f"{case.title}, {said}", case.only or "overall reserve", case)
        for case in cases.values()
        if case.kind == "finished" and case.counts
    ]


def _from_one_side(dome: Dome, cases: dict[str, Case], suffix: str = "", said: str = "") -> list[Job]:
    """Every load from one side of the finished dome, the foot of its wall soaked; suffix, said: of their names and
    titles, what it carries."""
    through = ("finished-dry", "finished-damp", "finished-snow", "finished-damp-snow")
    cases = {name: with_soaked_foot(dome, case) if name in through else case for name, case in cases.items()}
    dry, damp, soaked = cases["finished-dry"], cases["finished-damp"], cases["soaked-through"]
    out: list[Job] = []
    wet = soaked.states[0].weight / dry.states[0].weight - 1
    heavier = {"snow": cases.get("finished-damp-snow"), "rain": soaked}
    # Wind lifts: the dry dome, which is lightest, and the damp one, which is weaker. Everything else finds the damp one
    # weaker at the same share of its weight; water in one half makes its own half weaker.
    bases = {"wind": dry, "rain": dry}
    loads = _stood_on(dome, side_loads(dome.design, wet), dome.top_number)
    for kind, title in TITLES.items():
        case = bases.get(kind, damp)
        name, called = f"three-d-{kind}{suffix}", f"{title}{said}"
        out += _with_snow(cases, _of_kind(name, called, kind, case, loads, heavier.get(kind)))
        if kind == "wind" and _dries(dome.design):
            name, called = f"three-d-wind-damp{suffix}", f"{title} on the damp dome{said}"
            out += _with_snow(cases, _of_kind(name, called, kind, damp, loads))
    return out


def _dries(design: Design) -> bool:
    """Whether any course is drier in service than it was placed."""
    fills = (design.fill, *(group.fill for group in design.groups))
    return any(fill.service_moisture != fill.placing_moisture for fill in fills)


def _with_snow(cases: dict[str, Case], found: list[Job]) -> list[Job]:
    """The jobs with the case of the same moisture with snow all around, which their rows may ask beside the load."""
    snowed = {case.moisture: case for case in cases.values() if case.snow}
    return [replace(job, snowed=snowed.get(job.case.moisture)) for job in found]


def _of_kind(
    job_id: str, title: str, kind: str, case: Case, loads: tuple[SideLoad, ...], heavier: Case | None = None
) -> list[Job]:
    """The job of the loads of one kind; none where there are no such loads."""
    of_kind = tuple(load for load in loads if load.kind == kind)
    alone = tuple(load for load in of_kind if load.beside is None)
    drifted = of_kind if len(alone) < len(of_kind) else ()
    return [Job(job_id, title, alone[0].criterion, case, alone, heavier, drifted=drifted)] if alone else []


def _standing(dome: Dome, cases: dict[str, Case]) -> list[Job]:
    """What stands of an unfinished dome: its dead load, and every load from one side that needs no finished dome."""
    case = cases[f"stage-{dome.top_number:02d}"]
    name = f"three-d-{case.id}"
    out = [Job(name, f"{case.title}, in three dimensions", "overall reserve", case)]
    out += _in_rain(dome, case, name, "in three dimensions")
    loads = _stood_on(dome, side_loads(dome.design, 0.0, open_top=True), dome.top_number)
    for kind in ("wind", "earthquake", "worker"):
        out += _of_kind(f"three-d-{kind}", f"{TITLES[kind]}, {case.title.lower()}", kind, case, loads)
    return out


def _stages(dome: Dome, cases: dict[str, Case]) -> list[Job]:
    """The forms come out of a head as soon as a ring is closed above it; each such stage is a state of its own, and so
    is that with every course laid and nothing hardened: what lies between has less on it than that and is whole rings.
    Of each its dead load, dry and in the rain, a worker over each head that is closed, and wind into its open top."""
    out: list[Job] = []
    closing = forms_out(dome)
    for number in _stages_to_ask(dome):
        closed = tuple(index for index, at in closing.items() if at <= number)
        every = len(closed) == len(dome.design.openings)
        name = "three-d-forms-out" + ("" if every else f"-{number:02d}")
        standing = "every opening" if every else " and ".join(opening_label(dome.design, index) for index in closed)
        out += _stage(dome, cases[f"stage-{number:02d}"], name, f"forms out of {standing}", closed)
    last = cases[f"stage-{dome.top_number:02d}"]  # which closes no head: that is closed by a ring above it
    return [
        *out,
        *_highest_stood_on(dome, cases, closing),
        *_stage(dome, last, "three-d-all-laid", "in three dimensions", tuple(closing)),
    ]


def _highest_stood_on(dome: Dome, cases: dict[str, Case], closing: dict[int, int]) -> list[Job]:
    """One worker on the highest ring that the crew stands on where a scaffold takes its place above, over each head
    that is closed: of all rings the highest holds the least of him. None where that stage is asked already."""
    stood = highest_stood_on(dome)
    if stood in (None, dome.top_number, *_stages_to_ask(dome)):
        return []
    stage = cases[f"stage-{stood:02d}"]
    over = workers(dome.design, tuple(index for index, at in closing.items() if at <= stage.stage))
    loads = over or side_loads(dome.design, 0.0, open_top=True)
    title = f"One worker, {stage.title}, in three dimensions"
    return _of_kind(f"three-d-{stage.id}-worker", title, "worker", stage, loads)


def _stood_on(dome: Dome, loads: tuple[SideLoad, ...], number: int) -> tuple[SideLoad, ...]:
    """The loads without one worker where the crew does not stand on the course of that number."""
    stood = highest_stood_on(dome)
    return loads if stood is not None and number <= stood else tuple(one for one in loads if one.kind != "worker")


def _stage(dome: Dome, stage: Case, name: str, said: str, closed: tuple[int, ...]) -> list[Job]:
    """All that is asked of one stage; closed: the openings over which a worker may stand. Without openings and
    buttresses the rings are asked its dead load."""
    title, loads = f"{stage.title}, {said}", side_loads(dome.design, 0.0, open_top=True)
    crew = _stood_on(dome, workers(dome.design, closed) if dome.design.openings else loads, stage.stage)
    dead = [Job(name, title, "overall reserve", stage), *_in_rain(dome, stage, name, said)]
    return [
        *(dead if dome.design.openings or dome.design.buttresses else ()),
        *_of_kind(f"{name}-worker", f"One worker, {title}", "worker", stage, crew),
        *_of_kind(f"{name}-wind", f"Wind, {title}", "wind", stage, loads),
    ]


def _in_rain(dome: Dome, stage: Case, name: str, said: str) -> list[Job]:
    """The dead load of a stage in the rain; name, said: of the stage."""
    return [
        Job(f"{name}{suffix}", f"{case.title}, {said}", "overall reserve", case)
        for suffix, case in rained_stage(dome, stage)
    ]


def _stages_to_ask(dome: Dome) -> list[int]:
    """Numbers of the courses that close a ring over a head while no other opening is half built: there the courses lean
    on a form, which the blocks do not have. The lowest few, and always the last. Of a wall that stands higher already
    the forms come out now, at the soonest."""
    closing, now = forms_out(dome), dome.design.building.laid or 1
    whole = []
    for number in sorted({max(number, now) for number in closing.values()}):
        z_top = next(course.z_top for course in dome.courses if course.number == number)
        begun = [index for index, opening in enumerate(dome.design.openings) if levels(dome, opening)[0] < z_top - 1e-6]
        if all(closing.get(index, number + 1) <= number for index in begun):
            whole.append(number)
    return whole if len(whole) <= MOST_STAGES else [*whole[: MOST_STAGES - 1], whole[-1]]


def forms_out(dome: Dome) -> dict[int, int]:
    """Opening -> number of the course that closes a ring above its head; without those that close only when the dome
    does.
    """
    out: dict[int, int] = {}
    for top in range(2, len(dome.courses)):
        number = dome.courses[top - 1].number
        for index, opening in enumerate(dome.design.openings):
            if index not in out and number >= 1 and _closed(dome, opening, top - 1):
                out[index] = number
    return out


def _closed(dome: Dome, opening: Opening, top: int) -> bool:
    if opening.head == "lintel":
        return lintel_course(dome, opening, top) is not None
    return (
        head_ring(dome, opening, top) is not None or levels(dome, opening)[1] <= dome.courses[top - 1].z_bottom + 1e-6
    )
