import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import classroom

from shellcheck_earth.design.design import Building, CourseGroup, Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.rain.calendar import dry_case, rain_case, stage_days
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import FRICTION, STRENGTH, least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.weather import (
    factors,
    fastest_pace,
    hour_curve,
    rain_marks,
    shortfalls_of,
    weather,
)
from shellcheck_earth.safety.weather_result import CHECKS, Weather

DESIGN = classroom()
STACK = build_dome(DESIGN)
STRONG = classroom(fill=replace(DESIGN.fill, strength_as_placed=200.0, strength_wet=20.0))


@pytest.fixture(scope="module")
def whole() -> Weather:
    return weather(STACK)


def test_factors_are_those_of_the_full_search() -> None:
    case = dry_case(STACK, stage_days(STACK)[-1])
    found, rows = factors(STACK, case), pack(cut_lune(STACK, case))
    for label, slot, required in (("bed friction", FRICTION, 1.5), ("strength while building", STRENGTH, 2.0)):
        share = least_capacity(rows, (slot,), 1e-6, 1e6).value
        assert share and found[label][0] == pytest.approx(1 / share / required, rel=1e-8)
    short = shortfalls_of(STACK, case)
    assert set(short) == {check for check, (share, _) in found.items() if share < 1.0}


def test_top_course_wetted_through_stands_on_nothing() -> None:
    # wet strength is 0: the hour at which the front has gone through the top course's height ends every stage; what
    # the wet ground soaks from below would end it before, and is strong here
    foot = replace(DESIGN.fill, stabiliser="cement", strength_dry=2000.0, strength_as_placed=1000.0, strength_wet=900.0)
    dome = build_dome(classroom(groups=(CourseGroup(-1, 0, foot),)))
    first = stage_days(dome)[0]
    marks = {mark.check: mark for mark in rain_marks(dome, first)}
    hour = marks["bed friction"].hour
    assert hour is not None
    assert "bed friction" not in shortfalls_of(dome, rain_case(dome, first, hour - 0.05, heavy=True))
    # the hours are of rain on the wall: the same where the ground would take it at once
    assert {mark.check: mark.hour for mark in rain_marks(STACK, stage_days(STACK)[0])}["bed friction"] == hour
    # by hand, Green-Ampt: 0.135 m of height at n (0.9 - S0); n = 1 - 1750/2650, S0 = 0.10/0.19407
    n, start = 1 - 1750 / 2650, 0.10 / (1000 / 1750 - 1000 / 2650)
    water, storage, k, rain = 0.135 * n * (0.9 - start), 0.21 * n * (1 - start), 0.001, 0.02
    catch = rain * (0.385 + 0.5 * 0.135) / (0.385 + 0.135)
    ponds = k * storage / (catch * (catch - k))
    taken = catch * ponds
    expected = ponds + (water - taken - storage * math.log((storage + water) / (storage + taken))) / k
    assert hour == pytest.approx(expected, abs=1 / 60 + 1e-6)  # bisected to a minute


def test_calendar_of_the_classroom(whole: Weather) -> None:
    assert [one.stage for one in whole.stages] == list(range(1, 25))
    assert [point.day for point in whole.days] == list(range(9))
    assert whole.worst_day in whole.days
    assert whole.worst_day.after_rain == min(point.after_rain for point in whole.days)
    assert whole.cover_before == min(m.hour for one in whole.stages for m in one.marks if m.hour)


def test_pace_is_the_fastest_that_meets() -> None:
    # 100 kPa as placed falls short at any age; drying brings it back when the work is slow enough
    drying = Building(3.0, 1.5, drying=((0.0, 0.10), (2.0, 0.095), (10.0, 0.04)))
    design = classroom(building=drying, fill=replace(DESIGN.fill, strength_as_placed=83.0))
    pace = fastest_pace(replace(STACK, design=design))
    assert pace is not None
    assert pace < 8.0
    assert fastest_pace(STACK) is None


def test_no_rain_and_cover_at_once_change_nothing() -> None:
    for design in (
        classroom(site=replace(DESIGN.site, rain_intensity=0.0)),
        classroom(building=Building(3.0, 1.5, cover_after=0.0)),
    ):
        last = stage_days(replace(STACK, design=design))[-1]
        dry = {
            check
            for check, (share, _) in factors(
                replace(STACK, design=design), dry_case(replace(STACK, design=design), last)
            ).items()
            if share < 1
        }
        assert {mark.check for mark in rain_marks(replace(STACK, design=design), last) if mark.hour is not None} == dry


def test_hour_curve_only_falls() -> None:
    curve = hour_curve(replace(STACK, design=STRONG), stage_days(replace(STACK, design=STRONG))[19], steps=8)
    assert curve[0].deepest_band == 0.0
    for before, after in itertools.pairwise(curve):
        assert all(after.shares[check] <= before.shares[check] for check in CHECKS)
    assert curve[-1].shares["strength while building"] < curve[0].shares["strength while building"]


def _least_hours(design: Design, stage: int) -> dict[str, float]:
    at = stage_days(replace(STACK, design=design))[stage]
    return {
        mark.check: math.inf if mark.hour is None else mark.hour
        for mark in rain_marks(replace(STACK, design=design), at)
    }


@settings(max_examples=12)
@given(st.integers(8, 23), st.floats(1.1, 4.0), st.floats(1.0, 30.0))
def test_harder_rain_never_helps(stage: int, harder: float, millimetres: float) -> None:
    mild = replace(STRONG, site=replace(STRONG.site, rain_intensity=millimetres / 3.6e6))
    hard = replace(STRONG, site=replace(STRONG.site, rain_intensity=harder * millimetres / 3.6e6))
    before, after = _least_hours(mild, stage), _least_hours(hard, stage)
    for check in CHECKS:
        assert after[check] <= before[check] + 1 / 60, check  # hours are bisected to a minute


@settings(max_examples=12)
@given(st.integers(8, 23), st.sampled_from([8.0, 3.0, 1.0]), st.sampled_from(["temperate", "hot and dry"]))
def test_slower_work_never_hurts(stage: int, pace: float, climate: str) -> None:
    def at(speed: float) -> Design:
        return replace(STRONG, building=Building(speed, 1.5, climate=climate))  # type: ignore[arg-type]

    fast, slow = at(pace), at(pace / 2)
    quick = factors(
        replace(STACK, design=fast),
        dry_case(replace(STACK, design=fast), stage_days(replace(STACK, design=fast))[stage]),
    )
    easy = factors(
        replace(STACK, design=slow),
        dry_case(replace(STACK, design=slow), stage_days(replace(STACK, design=slow))[stage]),
    )
    for check in CHECKS:
        assert easy[check][0] >= quick[check][0] * (1 - 1e-8), check  # brackets close at 1e-9
    before, after = _least_hours(fast, stage), _least_hours(slow, stage)
    for check in CHECKS:
        assert after[check] >= before[check] - 1 / 60, check
