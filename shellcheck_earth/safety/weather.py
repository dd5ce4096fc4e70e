"""Building it in the weather: what is left on every day of the work, dry and in the stated rain, and what to
do about it.

Every answer is one yes/no question to the exact admissible set, asked at the capacity the criteria leave. A
rain is reported by the worst of all its hours so far, so a longer rain never reads better.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case, moist_unit_weight
from shellcheck_earth.loads.rain.calendar import (
    StageDay,
    Wetted,
    dry_case,
    rain_bands,
    rain_on_wall,
    stage_days,
    stage_on_day,
)
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.safety.checks import check_of
from shellcheck_earth.safety.laying import laying_table
from shellcheck_earth.safety.weather_result import CHECKS, DayPoint, HourMark, HourPoint, StageWeather, Weather

__all__ = [
    "CHECKS",
    "FASTEST",
    "HOUR_STEPS",
    "PACES",
    "factors",
    "fastest_pace",
    "hour_curve",
    "rain_marks",
    "shortfalls_of",
    "weather",
]

HOUR_STEPS = 24
"""Hours at which the stated rain is looked at; between the two around the first shortfall the hour is
bisected."""

FASTEST = fixed("building.fastest")
"""Courses a day: the fastest pace that is tried."""

PACES = (FASTEST, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5)
"""Courses a day that are tried for "no more than N courses a day"."""


def _rows(dome: Dome, case: Case) -> tuple[Floats, Floats]:
    lune = cut_lune(dome, case)
    return pack(lune), lune.number


def _share(rows: Floats, label: str, required: float) -> tuple[float, int]:
    """(factor over required, bed): inf where nothing is needed, 0 where no multiple of what there is is enough."""
    check = check_of(label)
    edge = least_capacity(rows, check.slots, check.low, check.high)
    if edge.value is None:
        return 0.0, edge.bed
    return (math.inf if edge.value == 0.0 else 1.0 / edge.value / required), edge.bed


def factors(dome: Dome, case: Case) -> dict[str, tuple[float, int | None]]:
    """check: (factor over what is required, number of the course whose bed decides) of one case."""
    rows, numbers = _rows(dome, case)
    out = {}
    for check in CHECKS:
        share, bed = _share(rows, check, dome.design.criteria.required[check])
        out[check] = (share, int(numbers[bed]) if bed >= 0 else None)
    return out


def shortfalls_of(dome: Dome, case: Case, checks: tuple[str, ...] = CHECKS) -> dict[str, int]:
    """The checks that fall short, each with the course whose bed fails first; one question a check."""
    rows, numbers = _rows(dome, case)
    out = {}
    for check in checks:
        bed = failing_bed(rows, check_of(check).scales(1.0 / dome.design.criteria.required[check]))
        if bed >= 0:
            out[check] = int(numbers[bed])
    return out


def _short_in_rain(dome: Dome, at: StageDay, hour: float, checks: tuple[str, ...]) -> dict[str, int]:
    with_water, without = rain_on_wall(dome, at, hour)
    light = shortfalls_of(dome, without, checks)
    met = tuple(check for check in checks if check not in light)
    heavy = shortfalls_of(dome, with_water, met) if met else {}
    return {**heavy, **light}


def _grid(design: Design) -> list[float]:
    return [design.site.rain_hours * step / HOUR_STEPS for step in range(HOUR_STEPS + 1)]


def _bisect_hour(dome: Dome, at: StageDay, check: str, low: float, high: float) -> float:
    """Hour between a met and an unmet one, to a minute."""
    while high - low > 1.0 / 60.0:
        middle = (low + high) / 2
        if check in _short_in_rain(dome, at, middle, (check,)):
            high = middle
        else:
            low = middle
    return high


def rain_marks(dome: Dome, at: StageDay) -> tuple[HourMark, ...]:
    """For each check the hour of the stated rain at which it first falls short."""
    found: dict[str, tuple[float, int]] = {}
    grid = _grid(dome.design)
    last_bands: tuple[Wetted, ...] | None = None
    for index, hour in enumerate(grid):
        open_checks = tuple(check for check in CHECKS if check not in found)
        bands = rain_bands(dome, at, hour)
        if not open_checks or bands == last_bands:  # covered, or wet through: nothing changes any more
            break
        last_bands = bands
        for check, course in _short_in_rain(dome, at, hour, open_checks).items():
            met = grid[index - 1] if index else 0.0
            found[check] = (_bisect_hour(dome, at, check, met, hour) if index else 0.0, course)
    return tuple(HourMark(check, *found.get(check, (None, None))) for check in CHECKS)


def _stage_weather(dome: Dome, at: StageDay) -> StageWeather:
    case = dry_case(dome, at)
    found = factors(dome, case)
    governs = min(CHECKS, key=lambda check: found[check][0])
    return StageWeather(
        stage=at.stage,
        day=at.day,
        age_lowest=at.ages[0],
        moisture_top=case.states[-1].moisture,
        moisture_lowest=case.states[0].moisture,
        dry={check: share for check, (share, _) in found.items()},
        governs=governs,
        course=found[governs][1],
        marks=rain_marks(dome, at),
    )


def _with_rain(dome: Dome, at: StageDay, hour: float, worst: Mapping[str, float]) -> dict[str, float]:
    """The worst factors over what is required so far, and after this much rain; searched only where one question says
    that they are worse.
    """
    out, required = dict(worst), dome.design.criteria.required
    for case in reversed(rain_on_wall(dome, at, hour)):
        rows, _ = _rows(dome, case)
        for name, least in out.items():
            check = check_of(name)
            known = 0.0 < least < math.inf
            if least == 0.0 or (known and failing_bed(rows, check.scales(1.0 / (least * required[name]))) < 0):
                continue
            out[name] = min(least, _share(rows, name, required[name])[0])
    return out


def hour_curve(dome: Dome, at: StageDay, steps: int = HOUR_STEPS) -> tuple[HourPoint, ...]:
    """Margins of one stage against hours of the stated rain, from none to all of it."""
    points: list[HourPoint] = []
    worst = dict.fromkeys(CHECKS, math.inf)
    for step in range(steps + 1):
        hour = dome.design.site.rain_hours * step / steps
        worst = _with_rain(dome, at, hour, worst)
        points.append(HourPoint(hour, worst, max(band.section for band in rain_bands(dome, at, hour))))
    return tuple(points)


def _day_point(dome: Dome, at: StageDay, marks: tuple[HourMark, ...] | None) -> DayPoint:
    """`marks` are those of the stage that ends on this day, where one does."""
    dry = {check: share for check, (share, _) in factors(dome, dry_case(dome, at)).items()}
    wet = dict(dry)
    for quarter in (
        0.25,
        0.5,
        0.75,
        1.0,
    ):  # the worst of the hours so far; the last one nearly always decides
        wet = _with_rain(dome, at, quarter * dome.design.site.rain_hours, wet)
    check = min(CHECKS, key=lambda name: wet[name])
    hours = [mark.hour for mark in marks or rain_marks(dome, at) if mark.hour]
    return DayPoint(at.day, at.stage, min(dry.values()), wet[check], check, min(hours, default=None))


def _days(dome: Dome, known: Mapping[StageDay, tuple[HourMark, ...]]) -> tuple[DayPoint, ...]:
    stages = stage_days(dome)
    days = (stage_on_day(dome, day) for day in range(stages[0].day, stages[-1].day + 1))
    return tuple(_day_point(dome, at, known.get(at)) for at in days)


def _stages_meet(dome: Dome) -> bool:
    stages = reversed(stage_days(dome))  # the tallest fall short first where any does
    return not any(shortfalls_of(dome, dry_case(dome, at)) for at in stages)


def fastest_pace(dome: Dome) -> float | None:
    """The most courses a day of PACES at which every dry stage meets every check; None when not even the
    slowest does."""
    for pace in PACES:
        if _stages_meet(
            replace(dome, design=replace(dome.design, building=replace(dome.design.building, courses_per_day=pace)))
        ):
            return pace
    return None


def weather(dome: Dome) -> Weather:
    """The whole calendar of a design."""
    on = stage_days(dome)
    stages = tuple(_stage_weather(dome, at) for at in on)
    days = _days(dome, {at: one.marks for at, one in zip(on, stages, strict=True)})
    worst = min(
        days,
        key=lambda point: (point.after_rain, math.inf if point.hours is None else point.hours, point.day),
    )
    # what a tarpaulin can help: checks that the dry stage meets
    marks = [mark.hour for one in stages for mark in one.marks if mark.hour]
    building = dome.design.building
    unit_weight = moist_unit_weight(dome.design.fill, dome.design.fill.placing_moisture)
    return Weather(
        stages=stages,
        days=days,
        worst_day=worst,
        hours=hour_curve(dome, stage_on_day(dome, worst.day)),
        laying=laying_table(
            dome, unit_weight, dome.design.criteria.required["tipping"], building.worker, building.wire_hold
        ),
        pace=fastest_pace(dome),
        pace_matters=building.climate != "none" or bool(building.drying) or dome.design.fill.stabiliser != "none",
        cover_before=min(marks, default=None),
    )
