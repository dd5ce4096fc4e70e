"""What the courses above a bed weigh, and what a bed that is wet in part has: numbers to be repeated by hand."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shellcheck_earth.design.criteria import Combination
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.earth import in_wet_ground
from shellcheck_earth.loads.cases import NEAR, Case, CourseState, Part
from shellcheck_earth.loads.materials import WET_SATURATION, saturated_moisture
from shellcheck_earth.loads.phases import porosity
from shellcheck_earth.loads.rain.wetting import (
    WIND_SHARE,
    WettingSoil,
    catch_intensity,
    covered_hours,
    exposed_ledge,
    infiltrated,
)
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.findings import PartKind, Rained, Weighed, WetBed

__all__ = ["carried_by", "weighed", "wet_bed"]

Loads = tuple[tuple[float, float, float], ...]


def carried_by(state: CourseState, more: float, less: float) -> tuple[Loads, Loads]:
    """What is handed into a course: (force, factor, radius) of its weights, (force, factor, level) of its thrusts."""
    weights = ((one.weight, one.factors(more, less)[0], one.radius) for one in state.handed)
    thrusts = ((one.thrust, one.factors(more, less)[1], one.level) for one in state.handed)
    return tuple(one for one in weights if one[0]), tuple(one for one in thrusts if one[0])


def _kind(course: Course, part: Part, first: bool) -> PartKind:
    """What a part of a course is, by where it lies: cases keep no names of them."""
    if part.imposed:
        return "snow"
    if first:
        return "fill"
    if part.inner >= course.outer_radius - NEAR:
        return "outside plaster"
    if part.outer <= course.inner_radius + NEAR:
        return "inside plaster"
    if abs(part.outer - course.outer_radius) <= NEAR:
        return "soaked fill" if abs(part.height - course.height) <= NEAR else "plaster on the ledge"
    return "plaster under the step-in"


def weighed(
    dome: Dome, case: Case, numbers: Iterator[int], permanent: float, imposed: float, carried: tuple[float, float]
) -> tuple[Weighed, ...]:
    """Every part and load of these courses of a case, with the factors of a row on them."""
    states, out = {state.number: state for state in case.states}, []
    for number in numbers:
        state, course = states[number], dome.course(number)
        handed, pushes = carried_by(state, *carried)
        parts = tuple(
            (
                _kind(course, part, k == 0),
                part.unit_weight,
                imposed if part.imposed else permanent,
                part.height,
                part.inner,
                part.outer,
            )
            for k, part in enumerate(state.parts)
        )
        loads = tuple((load.weight, imposed, load.radius) for load in state.loads)
        out.append(Weighed(number, parts, (*loads, *handed), pushes))
    return tuple(out)


def _rained(dome: Dome, case: Case, state: CourseState) -> Rained | None:
    """How deep rain wets a course of a case; None where no rain of the site is asked about."""
    if case.wetting != "rain":
        return None
    design, course = dome.design, dome.course(state.number)
    fill, site, known = design.fill_of(state.number), design.site, design.building.wetted
    index = state.number - dome.courses[0].number
    hours = covered_hours(site.rain_hours, design.building.cover_after)
    ledge, n = exposed_ledge(dome, state.number, case.stage), porosity(fill.dry_density, fill.particle_density)
    start = min(state.moisture / saturated_moisture(fill), 1.0)
    rain, taken_in = 3600.0 * site.rain_intensity, math.inf
    if start < WET_SATURATION:
        soil = WettingSoil(3600.0 * fill.hydraulic_conductivity, fill.suction_head, n * (1.0 - start))
        taken_in = infiltrated(soil, catch_intensity(rain, ledge, course.height), hours)
    return Rained(
        number=state.number,
        outer_radius=course.outer_radius,
        width=course.width,
        height=course.height,
        ledge=ledge,
        intensity=rain,
        hours=hours,
        wind_share=WIND_SHARE,
        conductivity=3600.0 * fill.hydraulic_conductivity,
        suction=fill.suction_head,
        porosity=n,
        start=start,
        wet=WET_SATURATION,
        taken_in=taken_in,
        already=known[index] if index < len(known) else 0.0,
        in_ground=in_wet_ground(dome, course),
    )


def wet_bed(dome: Dome, case: Case, lune: Lune, bed: int, row: Combination | None) -> WetBed | None:
    """The bed at this place of a lune: of the course over it and the one below the wetter decides; None where no part
    of it is wet."""
    if lune.wet_from[bed] >= lune.bed_outer[bed]:
        return None
    number = int(lune.number[bed])
    near = [state for state in case.states if state.number in (number, number - 1)]
    wetter = min(near, key=lambda state: state.wet_from)
    strength = 1.0
    if row is not None:
        tested = dome.design.strengths_tested(building=case.building)
        strength = row.strength_factor(building=case.building, tested=tested)
    friction, wet = (min(values) for values in zip(*((one.friction, one.friction_wet) for one in near), strict=True))
    return WetBed(
        friction=(friction, min(friction, wet)),
        cohesion=(min(one.cohesion for one in near), min(one.cohesion_wet for one in near)),
        strength=(min(one.strength for one in near), min(one.strength_wet for one in near)),
        divided=(1.0, 1.0, 1.0) if row is None else (row.friction, row.cohesion, strength),
        rained=_rained(dome, case, wetter),
    )
