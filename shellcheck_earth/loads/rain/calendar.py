"""The calendar of the work as cases: which courses stand on a day, how old and damp each is, how far rain has
wetted it.

Two departures from what happens keep the margins monotone, so that slower work and less rain never read
worse:
- while building, every course weighs what it weighed when placed. Drying makes it stronger here, never
lighter;
- a rain is looked at twice, once with the water's weight in the wetted bands and once without, and the worse
counts.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from shellcheck_earth.basics.values import fixed, fixed_pairs
from shellcheck_earth.design.design import Building, Design, Fill
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.earth import in_wet_ground
from shellcheck_earth.loads.cases import NEAR, Case, CourseState, Part, moist_unit_weight, stages_to_come
from shellcheck_earth.loads.confinement import (
    confined_cohesion,
    confined_strength,
    fabric_tension_left,
    passive_coefficient,
)
from shellcheck_earth.loads.materials import WET_SATURATION, cohesion_at, friction_at, saturated_moisture, strength_at
from shellcheck_earth.loads.phases import porosity
from shellcheck_earth.loads.rain.drying import (
    CLIMATES,
    DryingTable,
    dried_moisture,
    laying_day,
    table_moisture,
)
from shellcheck_earth.loads.rain.wetting import (
    WettingSoil,
    catch_intensity,
    covered_hours,
    exposed_ledge,
    infiltrated,
    redistributed_depth,
    soaked_width,
    wetted_band,
)

__all__ = [
    "FILL_FRICTION_ANGLE",
    "StageDay",
    "Wetted",
    "course_moisture",
    "course_strength",
    "day_laid",
    "dry_case",
    "early_share",
    "fallen_pair",
    "front_depth",
    "rain_bands",
    "rain_case",
    "rain_on_ground",
    "rain_on_wall",
    "rain_pair",
    "stage_day",
    "stage_days",
    "stage_on_day",
    "wetted_bands",
]

FILL_FRICTION_ANGLE = fixed("fill.friction_angle")
"""Friction angle of the fill inside the tube, for its confinement by the fabric only (proposed)."""

_EARLY = fixed_pairs("fill.early_strength", "ages", "shares")
"""Age [days] and share of the 28-day strength of stabilised fill (proposed; under 7 days 0.3 to 0.5)."""


@dataclass(frozen=True)
class StageDay:
    """Courses up to number `stage` are laid on calendar day `day` (0 is the first); ages [days], lowest
    course first."""

    stage: int
    day: int
    ages: tuple[int, ...]


@dataclass(frozen=True)
class Wetted:
    """Widths [m] of the outer parts of a course that water has reached: of the `bed` under it, and of its
    `section`."""

    bed: float
    section: float


DRY = Wetted(0.0, 0.0)


def day_laid(building: Building, index: int) -> int:
    """Calendar day on which course `index` (0 is the lowest) is laid: as it was, then at the stated pace."""
    known = building.laid_on
    if index < len(known):
        return known[index]
    start, first = (known[-1], len(known) - 1) if known else (0, 0)
    return start + laying_day(index - first, building.courses_per_day, building.rest_days)


def stage_day(dome: Dome, stage: int, waited: int = 0) -> StageDay:
    """Courses up to number `stage`, so many days after the one on which it is laid."""
    building = dome.design.building
    last = stage - dome.courses[0].number
    on = day_laid(building, last) + waited
    return StageDay(stage, on, tuple(on - day_laid(building, i) for i in range(last + 1)))


def stage_days(dome: Dome) -> tuple[StageDay, ...]:
    """Every stage, standing or to come, that ends with a course above the springing, on the day it is laid."""
    return tuple(stage_day(dome, course.number) for course in stages_to_come(dome))


def stage_on_day(dome: Dome, day: int) -> StageDay:
    """What stands in the evening of a calendar day; on rest days everything is older and nothing is new."""
    building = dome.design.building
    laid = [(course.number, day_laid(building, index)) for index, course in enumerate(dome.courses)]
    number, on = max(pair for pair in laid if pair[1] <= day)
    return stage_day(dome, number, day - on)


def course_moisture(design: Design, age_days: float, fill: Fill | None = None) -> float:
    """Mean moisture of a course [-]: the user's table, else the climate's drying, else as placed; never over
    as placed. `fill`: of the course's group, where it is not that of the dome."""
    building, fill = design.building, fill or design.fill
    if building.drying:
        first_age, first = building.drying[0]
        # before the user's first age: in a line from the moisture it was placed at
        start = () if first_age <= 0.0 else ((0.0, max(fill.placing_moisture, first)),)
        ages, moistures = zip(*start, *building.drying, strict=True)
        return min(table_moisture(DryingTable(ages, moistures), age_days), fill.placing_moisture)
    climate = CLIMATES[building.climate]
    return dried_moisture(climate, fill.placing_moisture, age_days, design.wall.filled_width, fill.dry_density)


def early_share(age_days: float) -> float:
    """Share of its 28-day strength that stabilised fill has at an age: straight lines between the points of
    _EARLY."""
    for (a0, s0), (a1, s1) in itertools.pairwise(_EARLY):
        if age_days <= a1:
            return s0 + (s1 - s0) * (max(age_days, a0) - a0) / (a1 - a0)
    return 1.0


def _fabric_strength(design: Design, course: Course, age_days: float) -> float:
    """What the tube's fabric adds to the strength of unwetted fill [kPa]; 0 unless the design asks for it."""
    if not design.building.count_fabric:
        return 0.0
    kp = passive_coefficient(FILL_FRICTION_ANGLE)
    tension = fabric_tension_left(design.wall.fabric_strength, age_days, design.building.fabric_loss)
    return confined_strength(confined_cohesion(tension, course.width, course.height, kp), kp)


def course_strength(design: Design, course: Course, age_days: float) -> float:
    """Strength of an unwetted course at an age [kPa], by its moisture, its stabiliser's age and its
    fabric."""
    fill = design.fill_of(course.number)
    moisture = course_moisture(design, age_days, fill)
    moist = strength_at(fill, moisture, hardened=True)
    if fill.stabiliser != "none":
        # From the strength as placed to that at 28 days, along the early shares.
        first = _EARLY[0][1]
        grown = (early_share(age_days) - first) / (1.0 - first)
        moist = min(fill.strength_as_placed, moist) * (1.0 - grown) + moist * grown
    return moist + _fabric_strength(design, course, age_days)


def _light(design: Design, course: Course, age: int, wet: Wetted) -> CourseState:
    """One course, wetted, without the water's weight."""
    fill, beds = design.fill_of(course.number), design.beds
    moisture = course_moisture(design, age, fill)
    placed = moist_unit_weight(fill, fill.placing_moisture)
    strength = course_strength(design, course, age)
    # without this, early stabilised fill could count for more wet than dry
    wet_share = 1.0 if fill.stabiliser == "none" else early_share(age)
    return CourseState(
        number=course.number,
        parts=(Part(course.inner_radius, course.outer_radius, course.height, placed),),
        loads=(),
        moisture=moisture,
        strength=strength,
        friction=friction_at(beds, fill, moisture),
        strength_wet=min(wet_share * fill.strength_wet, strength),
        friction_wet=beds.friction_wet,
        cohesion=cohesion_at(beds, fill, moisture),
        cohesion_wet=beds.cohesion_wet,
        wet_from=course.outer_radius - wet.bed,
        ring_to=course.outer_radius - wet.section,
        age_days=float(age),
    )


def _heavy(design: Design, course: Course, wet: Wetted, light: CourseState) -> CourseState:
    """The same course with the water's weight in what it has soaked."""
    if wet.section <= 0.0:
        return light
    fill = design.fill_of(course.number)
    soaked_from = course.outer_radius - wet.section
    dry = Part(course.inner_radius, soaked_from, course.height, light.parts[0].unit_weight)
    full = moist_unit_weight(fill, saturated_moisture(fill))
    return replace(light, parts=(dry, Part(soaked_from, course.outer_radius, course.height, full)))


def _case(at: StageDay, states: Iterable[CourseState]) -> Case:
    return Case(
        id=f"day-{at.day + 1:03d}-stage-{at.stage:02d}",
        title=f"Building, day {at.day + 1}, courses up to {at.stage} laid",
        stage=at.stage,
        kind="stage",
        moisture="by age",
        wetting="none",
        counts=True,
        states=tuple(states),
    )


def dry_case(dome: Dome, at: StageDay) -> Case:
    """The stage on its day, without rain but what has wetted it already."""
    courses, dry = dome.up_to(at.stage), not any(dome.design.building.wetted)
    bands = (DRY,) * len(courses) if dry else wetted_bands(dome, at, 0.0)
    return _case(at, (_light(dome.design, *one) for one in zip(courses, at.ages, bands, strict=True)))


@lru_cache(maxsize=100_000)
def front_depth(fill: Fill, moisture: float, catch: float, hours: float) -> float:
    """Depth [m] that counts as wet after hours of `catch` [m/h] on a face of that moisture.

    Kept: most courses catch the same in every stage, and each stage is looked at at the same hours.
    """
    n = porosity(fill.dry_density, fill.particle_density)
    start = min(moisture / saturated_moisture(fill), 1.0)
    if start >= WET_SATURATION:
        return math.inf if catch > 0.0 and hours > 0.0 else 0.0
    soil = WettingSoil(3600.0 * fill.hydraulic_conductivity, fill.suction_head, n * (1.0 - start))
    return redistributed_depth(infiltrated(soil, catch, hours), n, start, WET_SATURATION)


def _in_the_ground(dome: Dome, courses: Iterable[Course], bands: Iterable[Wetted]) -> tuple[Wetted, ...]:
    """The bands, with what the wet ground soaks soaked through."""
    return tuple(
        Wetted(course.width, course.width) if in_wet_ground(dome, course) else band
        for course, band in zip(courses, bands, strict=True)
    )


def wetted_bands(dome: Dome, at: StageDay, hours: float) -> tuple[Wetted, ...]:
    """How far every course is wetted, lowest first, after hours of the site's rain: by what falls on it (`rain_bands`),
    and through and through by the ground it lies in, which no cover of the wall keeps dry."""
    courses, fallen = dome.up_to(at.stage), hours > 0.0 and dome.design.site.rain_intensity > 0.0
    bands = rain_bands(dome, at, hours)
    if not fallen and not any(dome.design.building.wetted):
        return bands
    return _in_the_ground(dome, courses, bands)


def rain_bands(dome: Dome, at: StageDay, hours: float) -> tuple[Wetted, ...]:
    """How far rain that falls on every course wets it, lowest first, after hours of the site's rain.

    What rain has wetted already (`building.wetted`) is deeper by that much. None falls on a course that lies wholly
    below ground. `building.cover_after` ends the wetting at its hour.
    """
    hours = covered_hours(hours, dome.design.building.cover_after)
    rain = 3600.0 * dome.design.site.rain_intensity
    bands, already = [], dome.design.building.wetted
    for index, (course, age) in enumerate(zip(dome.up_to(at.stage), at.ages, strict=True)):
        if course.z_top <= dome.ground + NEAR:
            bands.append(DRY)
            continue
        ledge, fill = exposed_ledge(dome, course.number, at.stage), dome.design.fill_of(course.number)
        moisture = course_moisture(dome.design, age, fill)
        front = front_depth(fill, moisture, catch_intensity(rain, ledge, course.height), hours)
        # new rain enters as if the course were dry: it then takes up no less than it really does
        front += already[index] if index < len(already) else 0.0
        bands.append(Wetted(wetted_band(course, ledge, front), soaked_width(course, ledge, front)))
    return tuple(bands)


def _pair(dome: Dome, at: StageDay, bands: tuple[Wetted, ...]) -> tuple[Case, Case]:
    """The stage with its courses wetted so far, with the water's weight and without it."""
    design, courses = dome.design, dome.up_to(at.stage)
    light = [_light(design, *one) for one in zip(courses, at.ages, bands, strict=True)]
    heavy = [_heavy(design, *one) for one in zip(courses, bands, light, strict=True)]
    return _case(at, heavy), _case(at, light)


def rain_pair(dome: Dome, at: StageDay, hours: float) -> tuple[Case, Case]:
    """The stage after hours of the site's rain, with the water's weight and without it, until it is covered: never,
    where the design says nothing of a cover.
    """
    heavy, light = _pair(dome, at, wetted_bands(dome, at, hours))
    return _rained_on(heavy, hours), _rained_on(light, hours)


def rain_on_wall(dome: Dome, at: StageDay, hours: float) -> tuple[Case, Case]:
    """As `rain_pair`, of what falls on the wall alone: what a cover can keep out."""
    heavy, light = _pair(dome, at, rain_bands(dome, at, hours))
    return _rained_on(heavy, hours), _rained_on(light, hours)


def rain_on_ground(dome: Dome, at: StageDay) -> tuple[Case, Case]:
    """As `rain_pair`, of the ground alone, which no cover of the wall keeps dry: on the wall what fell so far."""
    hours, courses = dome.design.site.rain_hours, dome.up_to(at.stage)
    heavy, light = _pair(dome, at, _in_the_ground(dome, courses, rain_bands(dome, at, 0.0)))
    return _rained_on(heavy, hours), _rained_on(light, hours)


def fallen_pair(dome: Dome, at: StageDay) -> tuple[Case, Case]:
    """The stage as wet as the rain that has fallen left it, and no more; with the water's weight and without it."""
    heavy, light = _pair(dome, at, wetted_bands(dome, at, 0.0))
    return _as_wet_as_it_is(heavy), _as_wet_as_it_is(light)


def _as_wet_as_it_is(case: Case) -> Case:
    title = f"{case.title}, as wet as the rain so far left it"
    return replace(case, id=f"{case.id}-wetted", title=title, kind="rain", wetting="rain so far")


def rain_case(dome: Dome, at: StageDay, hours: float, *, heavy: bool) -> Case:
    """One of `rain_pair`."""
    return rain_pair(dome, at, hours)[0 if heavy else 1]


def _rained_on(case: Case, hours: float) -> Case:
    return replace(
        case,
        id=f"{case.id}-rain",
        title=f"{case.title}, {hours:.3g} h of rain",
        kind="rain",
        wetting="rain",
    )
