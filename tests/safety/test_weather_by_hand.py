"""The pages of the weather beside every case asked by itself: marks, curves, days, what a slower pace can help."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest
from samples import classroom

from shellcheck_earth.design.design import Building
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.rain.calendar import StageDay, dry_case, rain_bands, rain_on_wall, stage_days, stage_on_day
from shellcheck_earth.safety.weather import factors, fastest_pace, hour_curve, rain_marks, shortfalls_of, weather
from shellcheck_earth.safety.weather_result import CHECKS, HourMark, Weather


@cache
def store(wet: float = 20.0, hours: float = 12.0) -> Dome:
    """2 m inside, firm when placed; wet it has `wet` kPa. Rain of `hours`."""
    design = classroom()
    return build_dome(
        replace(
            design,
            dome=replace(design.dome, inside_diameter=2.0),
            fill=replace(design.fill, strength_as_placed=200.0, strength_wet=wet),
            site=replace(design.site, rain_hours=hours),
        )
    )


def at(dome: Dome, share: float) -> StageDay:
    days = stage_days(dome)
    return days[round(share * (len(days) - 1))]


def short(dome: Dome, day: StageDay, hour: float) -> dict[str, set[int]]:
    """Every check that falls short after this much rain, with or without the water's weight; the courses named."""
    out: dict[str, set[int]] = {}
    for case in rain_on_wall(dome, day, hour):
        for check, course in shortfalls_of(dome, case).items():
            out.setdefault(check, set()).add(course)
    return out


@pytest.mark.parametrize("share", [0.4, 1.0])
@pytest.mark.parametrize("wet", [0.0, 20.0])
def test_a_mark_is_the_first_hour_that_falls_short(wet: float, share: float) -> None:
    """Short at the hour, met a minute before it, at a course that is short at the next hour looked at."""
    dome = store(wet)
    day = at(dome, share)
    marks = rain_marks(dome, day)
    assert tuple(mark.check for mark in marks) == CHECKS
    step = dome.design.site.rain_hours / 24
    for mark in marks:
        if mark.hour is None:
            assert mark.course is None
            for quarter in (0.0, 0.25, 0.5, 0.75, 1.0):
                assert mark.check not in short(dome, day, quarter * dome.design.site.rain_hours)
            continue
        assert 0.0 < mark.hour <= dome.design.site.rain_hours
        assert mark.check in short(dome, day, mark.hour)
        assert mark.check not in short(dome, day, mark.hour - 1 / 60)
        following = step * math.ceil(mark.hour / step - 1e-9)
        assert mark.course in short(dome, day, following)[mark.check]
    assert any(mark.hour is not None for mark in marks) is (wet == 0.0 or any(short(dome, day, h) for h in (6.0, 12.0)))


def test_what_is_short_when_dry_is_short_from_hour_nought_on() -> None:
    dome = store()
    fill = replace(dome.design.fill, strength_as_placed=12.0, strength_wet=1.0)
    weak = replace(dome, design=replace(dome.design, fill=fill))
    day = at(weak, 1.0)
    dry = shortfalls_of(weak, dry_case(weak, day))
    marks = {mark.check: mark for mark in rain_marks(weak, day)}
    assert "strength while building" in dry
    for check, course in dry.items():
        assert (marks[check].hour, marks[check].course) == (0.0, course)


@pytest.mark.parametrize("wet", [0.0, 20.0])
def test_the_curve_is_the_worst_of_every_hour_so_far(wet: float) -> None:
    dome = store(wet)
    day, steps = at(dome, 0.6), 4
    worst = dict.fromkeys(CHECKS, math.inf)
    for step, point in enumerate(hour_curve(dome, day, steps)):
        hour = dome.design.site.rain_hours * step / steps
        for case in rain_on_wall(dome, day, hour):
            worst = {check: min(value, factors(dome, case)[check][0]) for check, value in worst.items()}
        assert point.hour == hour
        assert dict(point.shares) == pytest.approx(worst, rel=1e-7)
        assert point.deepest_band == max(band.section for band in rain_bands(dome, day, hour))


@cache
def whole() -> Weather:
    return weather(store())


def test_each_stage_says_its_dry_factors_and_what_governs() -> None:
    dome = store()
    for day, one in list(zip(stage_days(dome), whole().stages, strict=True))[::3]:
        case = dry_case(dome, day)
        found = factors(dome, case)
        assert dict(one.dry) == {check: share for check, (share, _) in found.items()}
        assert one.dry[one.governs] == min(one.dry.values())
        assert (one.course, one.age_lowest) == (found[one.governs][1], day.ages[0])
        assert (one.moisture_lowest, one.moisture_top) == (case.states[0].moisture, case.states[-1].moisture)
        assert one.marks == rain_marks(dome, day)


def test_each_day_says_the_worst_of_its_rain_and_the_hour_of_it() -> None:
    dome = store()
    for point in whole().days:
        day = stage_on_day(dome, point.day)
        last = hour_curve(dome, day, 4)[-1].shares
        assert point.dry == min(share for share, _ in factors(dome, dry_case(dome, day)).values())
        assert point.after_rain == pytest.approx(min(last.values()), rel=1e-9)
        assert point.after_rain <= point.dry * (1 + 1e-9)
        assert last[point.check] == pytest.approx(point.after_rain)
        hours = [mark.hour for mark in rain_marks(dome, day) if mark.hour]
        assert point.hours == (min(hours) if hours else None)
    assert whole().hours == hour_curve(dome, stage_on_day(dome, whole().worst_day.day))


def test_a_slower_pace_matters_where_anything_dries_or_hardens() -> None:
    dome = store()
    drying = Building(3.0, 1.5, drying=((0.0, 0.10), (2.0, 0.095), (10.0, 0.04)))
    lime = replace(dome.design.fill, stabiliser="lime", stabiliser_share=0.08)
    assert not whole().pace_matters
    short_rain = replace(dome.design, site=replace(dome.design.site, rain_hours=1.0))
    for changed in (replace(short_rain, building=drying), replace(short_rain, fill=lime)):
        assert weather(replace(dome, design=changed)).pace_matters


def test_the_fastest_pace_that_meets_is_tried_first() -> None:
    assert fastest_pace(store()) == 8.0


def test_the_worst_day_and_the_hour_to_cover_before_are_the_least_of_all() -> None:
    for wet in (0.0, 20.0):
        found = whole() if wet else weather(store(wet, 2.0))
        assert found.worst_day.after_rain == min(point.after_rain for point in found.days)
        hours = [mark.hour for one in found.stages for mark in one.marks if mark.hour]
        assert found.cover_before == (min(hours) if hours else None)
        alike = [point for point in found.days if point.after_rain == found.worst_day.after_rain]
        least = min(alike, key=lambda point: (math.inf if point.hours is None else point.hours, point.day))
        assert found.worst_day == least


def test_what_a_stage_says_of_itself() -> None:
    assert "strength while building" in CHECKS and "strength" not in CHECKS and "bed friction" in CHECKS
    first, second = CHECKS[:2]
    one = replace(whole().stages[0], dry={first: 1.0, second: 1.3}, marks=())
    assert one.meets_dry and not replace(one, dry={first: 0.99, second: 1.3}).meets_dry
    assert one.first_short is None
    marks = (HourMark(first, 3.0, 4), HourMark(second, 2.0, 5), HourMark(CHECKS[-1], None, None))
    assert replace(one, marks=marks).first_short == marks[1]
    alike = (HourMark(second, 2.0, 5), HourMark(first, 2.0, 4))
    assert replace(one, marks=alike).first_short == alike[1]  # in the order of the checks
