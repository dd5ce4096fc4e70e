"""The cases that are checked: which courses stand, how wet each is, and what rests on it.

A case holds, for every course that stands, the annular parts that weigh on it (fill, plaster, snow), the loads at one
radius (a worker), and the strength and friction its moisture leaves. The statics above read nothing else.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design, Fill
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.earth import soaked_by_the_ground
from shellcheck_earth.loads.course_state import CourseState, Part, RadialLoad
from shellcheck_earth.loads.materials import cohesion_at, friction_at, saturated_moisture, strength_at
from shellcheck_earth.loads.phases import bulk_density, unit_weight
from shellcheck_earth.loads.ring_loads import Carried, carried_states

__all__ = [
    "NEAR",
    "WORKER_ARC",
    "Case",
    "CourseState",
    "Kind",
    "MoistureState",
    "Part",
    "RadialLoad",
    "carrying",
    "case_of",
    "course_state",
    "dead_cases",
    "finished_cases",
    "moist_unit_weight",
    "ring_weight",
    "stage_cases",
    "stages_to_come",
]

NEAR = 1e-9
"""Levels closer than this are the same [m]: sums of floats differ in their last bits."""

WORKER_ARC = fixed("crew.arc")
"""Arc of the top ring that carries one worker [rad]: the ring-symmetric check puts one worker's whole weight on every
radian, a crew of six around the ring. One person alone on one side is a case of the three-dimensional check."""


Kind = Literal["finished", "stage", "rain"]
"""The finished dome, a stage of building, a stage that was rained on."""

MoistureState = Literal["service", "placed", "saturated", "base saturated", "by age"]
"""How damp the courses of a case are; "by age": as the calendar of the work and its rain leave each of them."""


@dataclass(frozen=True)
class Case:
    """`states` run from the lowest course up to the top one of the stage. `counts`: the verdict relies on it.

    Nobody reads what a case is from its `id`: that is a name, these are the facts.

    kind       finished, stage or rain
    moisture   how damp its courses are
    wetting    "none", or what wets it ("saturated", "base", "rain", "rain so far"): the ground is then wet as well
    only       the one check that is asked of it, where it is not all of them
    wire       its wire is still there
    plastered  as designed; snow: all around; crew: on the top ring, crew_area: of that ring, for each kN of it [m2/kN]
    permanent  what its permanent loads were multiplied by
    carries    something else hands loads into its rings
    """

    id: str
    title: str
    stage: int
    kind: Kind
    moisture: MoistureState
    wetting: str
    counts: bool
    states: tuple[CourseState, ...]
    only: str = ""
    wire: bool = True
    plastered: bool = False
    snow: bool = False
    crew: bool = False
    crew_area: float = 0.0
    permanent: float = 1.0
    carries: bool = False

    @property
    def building(self) -> bool:
        """Is it a state of the work, under which nobody lives yet?"""
        return self.kind != "finished"


def moist_unit_weight(fill: Fill, moisture: float) -> float:
    """Unit weight of a fill [kN/m3] at a moisture [-]."""
    return unit_weight(bulk_density(fill.dry_density, moisture))


def course_state(
    design: Design, course: Course, moisture: float, extra: Iterable[Part] = (), *, hardened: bool = False
) -> CourseState:
    """A course of one moisture throughout, with whatever else rests on it; `hardened`: at least 28 days old."""
    fill, beds = design.fill_of(course.number), design.beds
    body = Part(course.inner_radius, course.outer_radius, course.height, moist_unit_weight(fill, moisture))
    strength = strength_at(fill, moisture, hardened=hardened)
    friction = friction_at(beds, fill, moisture)
    cohesion = cohesion_at(beds, fill, moisture)
    return CourseState(
        number=course.number,
        parts=(body, *extra),
        loads=(),
        moisture=moisture,
        strength=strength,
        friction=friction,
        strength_wet=strength,
        friction_wet=friction,
        cohesion=cohesion,
        cohesion_wet=cohesion,
        wet_from=course.outer_radius,
    )


def plastered_heights(dome: Dome, course: Course) -> tuple[float, float]:
    """Height [m] of a course's faces that plaster covers: outside what is above the ground, inside above the floor."""
    return _above(course, dome.ground), _above(course, dome.floor)


def _above(course: Course, level: float) -> float:
    """How much of a course [m] stands above a level; planes nearer than `NEAR` are one plane."""
    if course.z_bottom >= level - NEAR:
        return course.height
    return course.z_top - level if course.z_top > level + NEAR else 0.0


def _plaster(dome: Dome, index: int) -> tuple[Part, ...]:
    """Plaster of one course: a band on each face, the outer ledge on its top, the underside of its step-in."""
    course, plaster = dome.courses[index], dome.design.plaster
    above = dome.courses[index + 1] if index + 1 < len(dome.courses) else None
    below = dome.courses[index - 1] if index > 0 else None
    outside, inside = plastered_heights(dome, course)
    parts = []
    if plaster.outside > 0 and outside > 0:
        parts.append(Part(course.outer_radius, course.outer_radius + plaster.outside, outside, plaster.unit_weight))
        ledge_from = course.inner_radius if above is None else above.outer_radius
        if ledge_from < course.outer_radius:
            parts.append(Part(ledge_from, course.outer_radius, plaster.outside, plaster.unit_weight))
    if plaster.inside > 0 and inside > 0:
        from_radius = max(course.inner_radius - plaster.inside, 0.0)
        parts.append(Part(from_radius, course.inner_radius, inside, plaster.unit_weight))
        uncovered = course.z_bottom > dome.floor + NEAR  # an underside on or under the floor is never plastered
        if below is not None and below.inner_radius > course.inner_radius and uncovered:
            parts.append(Part(course.inner_radius, below.inner_radius, plaster.inside, plaster.unit_weight))
    return tuple(parts)


def _snow(dome: Dome, index: int) -> tuple[Part, ...]:
    """Snow on the plan area of a course's ledge; the full ground value, not reduced for slope (cautious)."""
    course = dome.courses[index]
    above = dome.courses[index + 1] if index + 1 < len(dome.courses) else None
    inner = 0.0 if above is None else above.outer_radius
    if course.kind == "buried" or inner >= course.outer_radius:
        return ()
    return (Part(inner, course.outer_radius, 1.0, dome.design.site.snow, imposed=True),)


def _finished(
    dome: Dome, moisture: MoistureState, *, plastered: bool = True, snow: bool = False
) -> tuple[CourseState, ...]:
    states = []
    for index, course in enumerate(dome.courses):
        extra = _plaster(dome, index) if plastered else ()
        if snow:
            extra += _snow(dome, index)
        damp = _MOISTURE[moisture](dome, course)
        states.append(course_state(dome.design, course, damp, extra, hardened=True))
    return tuple(states)


def _service(dome: Dome, course: Course) -> float:
    return dome.design.fill_of(course.number).service_moisture


def _placing(dome: Dome, course: Course) -> float:
    return dome.design.fill_of(course.number).placing_moisture


def _full(dome: Dome, course: Course) -> float:
    return saturated_moisture(dome.design.fill_of(course.number))


def _base_soaked(dome: Dome, course: Course) -> float:
    """Every void of a course that the ground may soak full; the others at service moisture."""
    return (_full if soaked_by_the_ground(dome, course) else _service)(dome, course)


_MOISTURE: Mapping[MoistureState, Callable[[Dome, Course], float]] = MappingProxyType(
    {"service": _service, "placed": _placing, "saturated": _full, "base saturated": _base_soaked}
)
"""The moisture of a course of the finished dome [-]."""


def _with_worker(dome: Dome, case: Case) -> Case:
    """One worker's weight on every WORKER_ARC of the top ring, at the middle of its width."""
    top = dome.course(case.stage)
    load = RadialLoad(dome.design.building.worker / WORKER_ARC, (top.inner_radius + top.outer_radius) / 2)
    last = replace(case.states[-1], loads=(*case.states[-1].loads, load))
    return replace(
        case,
        id=f"{case.id}-worker",
        title=f"{case.title}, crew on the top ring",
        states=(*case.states[:-1], last),
        crew=True,
        crew_area=(top.outer_radius**2 - top.inner_radius**2) / 2 / load.weight if load.weight > 0 else 0.0,
    )


def _stage(number: int, states: tuple[CourseState, ...]) -> Case:
    title = f"Building, courses 1 to {number} laid"
    return Case(f"stage-{number:02d}", title, number, "stage", "placed", "none", counts=True, states=states)


@dataclass(frozen=True)
class _Row:
    """One load case of the finished dome: which moisture, what rests on it, whether there is such a case and it
    counts.
    """

    id: str
    title: str
    moisture: MoistureState
    wetting: str = "none"
    snow: bool = False
    plastered: Callable[[Design], bool] = lambda _: True
    exists: Callable[[Design], bool] = lambda _: True
    counts: Callable[[Design], bool] = lambda _: True
    only: str = ""
    wire: bool = True


FINISHED = (
    _Row("finished-dry", "Finished, service moisture", "service"),
    _Row("finished-damp", "Finished, as damp as placed", "placed"),
    _Row(
        "soaked-through",
        "Soaked through, every void full",
        "saturated",
        wetting="saturated",
        plastered=lambda design: not design.site.left_unprotected,
        counts=lambda design: not design.protected,
    ),
    _Row(
        "finished-snow",
        "Finished, service moisture, snow all around",
        "service",
        snow=True,
        exists=lambda design: design.site.snow > 0,
    ),
    _Row(
        "finished-damp-snow",
        "Finished, as damp as placed, snow all around",
        "placed",
        snow=True,
        exists=lambda design: design.site.snow > 0,
    ),
    _Row(
        "wire-gone",
        "Finished, wire and its interlock gone",
        "placed",
        exists=lambda design: design.beds.wire_strands > 0,
        only="standing without wire",
        wire=False,
    ),
    _Row("base-soaked", "Finished, the foot of the wall soaked", "base saturated", wetting="base"),
    _Row(
        "base-soaked-snow",
        "Finished, the foot of the wall soaked, snow all around",
        "base saturated",
        wetting="base",
        snow=True,
        exists=lambda design: design.site.snow > 0,
    ),
)
"""Every load case of the finished dome, one row each."""


def _finished_case(dome: Dome, row: _Row) -> Case:
    counts = row.counts(dome.design)
    plastered = row.plastered(dome.design)
    states = _finished(dome, row.moisture, plastered=plastered, snow=row.snow)
    if not row.wire:
        bare = dome.design.beds.friction_without_wire
        states = tuple(
            replace(
                state,
                friction=min(state.friction, bare),
                friction_wet=min(state.friction_wet, bare),
                cohesion=0.0,
                cohesion_wet=0.0,
            )
            for state in states
        )
    title = row.title + ("" if counts else " (what if; does not count)")
    return Case(
        id=row.id,
        title=title,
        stage=dome.top_number,
        kind="finished",
        moisture=row.moisture,
        wetting=row.wetting,
        counts=counts,
        states=states,
        only=row.only,
        wire=row.wire,
        plastered=plastered,
        snow=row.snow,
    )


def carrying(case: Case, state: Carried) -> Case:
    """A finished case with one state of what is handed in on it; one that does not count still does not."""
    states = tuple(
        replace(one, handed=state.by_course[one.number]) if one.number in state.by_course else one
        for one in case.states
    )
    title = f"{case.title}, {state.words}"
    return replace(case, id=f"{case.id}{state.suffix}", title=title, states=states, carries=True)


def stages_to_come(dome: Dome) -> tuple[Course, ...]:
    """The courses above the springing that end a stage which stands now or is still to come."""
    now = dome.design.building.laid or 1
    return tuple(course for course in dome.courses if course.kind == "arc" and course.number >= now)


def finished_cases(dome: Dome) -> Iterator[Case]:
    """The rows of FINISHED that the design has, each made when it is asked for, then each with every state of the ring
    loads and the earth against the wall; none where the dome is unfinished."""
    rows = () if dome.design.building.unfinished else FINISHED
    handed = dome.design.ring_loads or dome.design.earth is not None
    bare = [_finished_case(dome, row) for row in rows if row.exists(dome.design)] if handed else []
    yield from bare or (_finished_case(dome, row) for row in rows if row.exists(dome.design))
    for state in carried_states(dome) if bare else ():
        yield from (carrying(case, state) for case in bare)


def stage_cases(dome: Dome, *, from_top: bool = False) -> Iterator[Case]:
    """Every stage that stands or is to come, bare and with the crew, made when asked for; `from_top`: the tallest
    first."""
    placed = tuple(course_state(dome.design, course, _placing(dome, course)) for course in dome.courses)
    lowest = dome.courses[0].number
    for course in sorted(stages_to_come(dome), key=lambda course: course.number, reverse=from_top):
        stage = _stage(course.number, placed[: course.number - lowest + 1])
        yield stage
        if dome.design.building.worker > 0:
            yield _with_worker(dome, stage)


def dead_cases(dome: Dome) -> tuple[Case, ...]:
    """The rows of FINISHED that the design has, then every stage of building, bare and with the crew.

    Stages that are past are left out, and so is the finished dome where nothing stands above the courses given.
    """
    return (*finished_cases(dome), *stage_cases(dome))


def case_of(dome: Dome, case_id: str) -> Case:
    """The one of `dead_cases` with that id, without making the others; KeyError if there is none."""
    rows = () if dome.design.building.unfinished else FINISHED
    row = next((row for row in rows if row.id == case_id and row.exists(dome.design)), None)
    if row is not None:
        return _finished_case(dome, row)
    for case in finished_cases(dome) if "-carrying-" in case_id or "-earth-" in case_id else stage_cases(dome):
        if case.id == case_id:
            return case
    raise KeyError(case_id)


def ring_weight(state: CourseState) -> float:
    """Weight of a whole ring [kN]: 2 pi times that of a radian."""
    return 2 * math.pi * state.weight
