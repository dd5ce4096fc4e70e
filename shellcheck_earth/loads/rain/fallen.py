"""Rain that has fallen: how deep it has wetted each course, carried from day to day, and how far that has dried since.

Each rain wets a course as if it were dry before, and its depth is added: the fill then takes up no less than it really
does. Between rains a wetted band loses water through its outer face alone: no faster than the air takes it, and no
faster than it diffuses out of a sheet twice as thick that dries from both faces (Crank, The Mathematics of Diffusion,
1975, eq. 4.18, memory). With no climate stated nothing is counted as drying: it is wet until a reading says otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.survey import CourseReading, RainFallen
from shellcheck_earth.loads.cases import NEAR
from shellcheck_earth.loads.materials import WET_SATURATION, saturated_moisture
from shellcheck_earth.loads.phases import porosity
from shellcheck_earth.loads.rain.calendar import front_depth
from shellcheck_earth.loads.rain.drying import CLIMATES, Drying, remaining_share
from shellcheck_earth.loads.rain.wetting import catch_intensity, covered_hours, exposed_ledge

__all__ = [
    "WetCourse",
    "carried",
    "dried_depth",
    "dried_for",
    "moisture_depth",
    "water_held",
    "wet_courses",
    "wet_days",
]


@dataclass(frozen=True)
class WetCourse:
    """How deep a course is wet [m], square to its exposed faces.

    computed  from the rain that fell and the drying since
    read      the deepest a rod went in; None: not tried. `spots`: at how many places
    counted   what the assessment counts
    """

    number: int
    computed: float
    read: float | None
    spots: int
    counted: float


def water_held(dome: Dome, number: int) -> float:
    """Water that makes a metre of depth wet [m/m]: n (S_wet - S_0), S_0 as placed."""
    fill = dome.design.fill_of(number)
    start = fill.placing_moisture / saturated_moisture(fill)
    return porosity(fill.dry_density, fill.particle_density) * max(WET_SATURATION - start, 0.0)


def dried_depth(climate: Drying, depth: float, held: float, days: float) -> float:
    """What is left [m] of a wetted depth [m] that held `held` metres of water a metre, after days of dry weather."""
    if depth <= 0.0 or days <= 0.0 or climate.diffusivity <= 0.0 or held <= 0.0:
        return depth
    by_diffusion = remaining_share(climate.diffusivity, 2.0 * depth, 86400.0 * days)
    by_air = 1.0 - climate.evaporation * days / (depth * held)
    return depth * max(by_diffusion, by_air, 0.0)


def moisture_depth(dome: Dome, course: Course, moisture: float) -> float:
    """Depth [m] at which a band as wet as counts as wet gives the course the mean moisture that was measured; 0 where
    it is no damper than it was placed."""
    fill = dome.design.fill_of(course.number)
    wet = WET_SATURATION * saturated_moisture(fill)
    if moisture <= fill.placing_moisture:
        return 0.0
    share = (moisture - fill.placing_moisture) / (wet - fill.placing_moisture) if wet > fill.placing_moisture else 1.0
    return min(share, 1.0) * course.width


def _wetted_by(dome: Dome, course: Course, top: int, rain: RainFallen) -> float:
    """Depth [m] that one rain wets a course to, with `top` the highest course laid."""
    if course.z_top <= dome.ground + NEAR:
        return 0.0
    fill = dome.design.fill_of(course.number)
    catch = catch_intensity(rain.intensity, exposed_ledge(dome, course.number, top), course.height)
    depth = front_depth(fill, fill.placing_moisture, catch, covered_hours(rain.hours, rain.covered_after))
    return min(depth, course.width + course.height)


def carried(dome: Dome, laid_on: Sequence[date | None], rains: Sequence[RainFallen], until: date) -> tuple[float, ...]:
    """Depth [m] to which each course of what stands is wet on a day, lowest course first.

    laid_on  of each course; None counts as laid before the first rain. A rain on the day of laying fell on the course.
    """
    climate = CLIMATES[dome.design.building.climate]
    depths = [0.0] * len(dome.courses)
    last: date | None = None
    for rain in sorted(rains, key=lambda one: one.on):
        if rain.on > until:
            continue
        days = (rain.on - last).days if last else 0
        there = [on is None or on <= rain.on for on in laid_on]
        top = max((course.number for course, is_there in zip(dome.courses, there, strict=True) if is_there), default=0)
        for index, course in enumerate(dome.courses):
            if there[index]:
                dried = dried_depth(climate, depths[index], water_held(dome, course.number), days)
                depths[index] = dried + _wetted_by(dome, course, top, rain)
        last = rain.on
    if last is None:
        return tuple(depths)
    return dried_for(dome, depths, (until - last).days)


def dried_for(dome: Dome, depths: Sequence[float], days: float) -> tuple[float, ...]:
    """The depths after so many days of dry weather in the stated climate."""
    climate = CLIMATES[dome.design.building.climate]
    pairs = zip(dome.courses, depths, strict=True)
    return tuple(dried_depth(climate, depth, water_held(dome, course.number), days) for course, depth in pairs)


def wet_courses(
    dome: Dome, readings: Sequence[CourseReading], computed: Sequence[float], enough: int
) -> tuple[WetCourse, ...]:
    """What is counted: the greatest of what was computed and read; the deepest reading alone where a rod was tried at
    `enough` places or more. A moisture over that as placed counts as a wet band."""
    by_number = {reading.number: reading for reading in readings}
    out = []
    for course, depth in zip(dome.courses, computed, strict=True):
        reading = by_number.get(course.number)
        soft = reading.soft_depths if reading else ()
        damp = reading.moisture if reading else None
        read = max(soft, default=None)
        counted = depth if read is None else read if len(soft) >= enough else max(depth, read)
        if damp is not None:
            counted = max(counted, moisture_depth(dome, course, damp))
        out.append(WetCourse(course.number, depth, read, len(soft), min(counted, course.width + course.height)))
    return tuple(out)


def wet_days(dome: Dome, depths: Sequence[float], most: int) -> int | None:
    """Days of dry weather until nothing is wet any more (None: more than `most`, or no drying is counted)."""
    if max(depths, default=0.0) <= 0.0:
        return 0
    for days in range(1, most + 1):
        if math.isclose(max(dried_for(dome, depths, days)), 0.0, abs_tol=1e-4):
            return days
    return None
