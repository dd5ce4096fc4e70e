"""Rain that has fallen, by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from samples import classroom

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.survey import RainFallen
from shellcheck_earth.loads.rain.drying import CLIMATES
from shellcheck_earth.loads.rain.fallen import carried, dried_depth, moisture_depth, water_held, wet_days

PLAN = build_dome(classroom())
DAYS = [date(2026, 5, 1)] * len(PLAN.courses)


def test_light_rain_on_the_top_course_by_hand() -> None:
    """2 mm in 2 h, under what the fill drinks: F = i (w + h/2)/(w + h) t, and L = F/(n (0.9 - S_0))."""
    depths = carried(PLAN, DAYS, [RainFallen(date(2026, 5, 2), 2.0, 0.002)], date(2026, 5, 2))
    n = 1 - 1750 / 2650
    full = 1000 / 1750 - 1000 / 2650
    held = n * (0.9 - 0.10 / full)
    caught = 0.001 * (0.385 + 0.0675) / (0.385 + 0.135) * 2.0
    assert water_held(PLAN, 24) == pytest.approx(held)
    assert depths[-1] == pytest.approx(caught / held, rel=1e-9)
    sunk = replace(PLAN, ground=0.0)
    under = carried(sunk, DAYS, [RainFallen(date(2026, 5, 2), 2.0, 0.002)], date(2026, 5, 2))
    assert under[:2] == (0.0, 0.0) and under[2] > 0.0  # the two buried courses


def test_under_other_courses_only_the_ledge_is_rained_on() -> None:
    """By hand as above, with the ledge that the course above leaves, while that one stands and not before."""
    depths = carried(PLAN, DAYS, [RainFallen(date(2026, 5, 2), 2.0, 0.002)], date(2026, 5, 2))
    index = next(k for k, one in enumerate(PLAN.courses) if one.number == 20)
    course, above = PLAN.courses[index : index + 2]
    ledge = course.outer_radius - above.outer_radius
    assert 0.0 < ledge < 0.3
    held = water_held(PLAN, 20)
    covered = 0.001 * (ledge + 0.0675) / (ledge + 0.135) * 2.0 / held
    bare = 0.001 * (0.385 + 0.0675) / (0.385 + 0.135) * 2.0 / held
    assert depths[index] == pytest.approx(covered, rel=1e-9)
    later = [*DAYS[: index + 1], *[date(2026, 5, 3)] * (len(DAYS) - index - 1)]
    open_top = carried(PLAN, later, [RainFallen(date(2026, 5, 2), 2.0, 0.002)], date(2026, 5, 2))
    assert open_top[index] == pytest.approx(bare, rel=1e-9) and set(open_top[index + 1 :]) == {0.0}


def test_two_rains_add_up_and_a_course_not_yet_laid_stays_dry() -> None:
    one, two = (RainFallen(date(2026, 5, day), 2.0, 0.002) for day in (2, 4))
    both = carried(PLAN, DAYS, [two, one], date(2026, 5, 4))
    assert both[-1] == pytest.approx(2 * carried(PLAN, DAYS, [one], date(2026, 5, 4))[-1])
    late = [*DAYS[:-1], date(2026, 5, 3)]
    assert carried(PLAN, late, [one, two], date(2026, 5, 4))[-1] == pytest.approx(both[-1] / 2)
    assert carried(PLAN, DAYS, [two], date(2026, 5, 3))[-1] == 0.0  # not fallen yet


def test_drying_is_no_faster_than_the_air_takes_it() -> None:
    """1.5 mm a day from a band that holds 10 % of its depth: 30 mm lose 15 mm a day at most; without a climate none."""
    climate = CLIMATES["temperate"]
    assert climate.evaporation == 0.0015
    assert dried_depth(climate, 0.030, 0.1, 1.0) >= 0.030 - 0.015 - 1e-12
    assert dried_depth(CLIMATES["none"], 0.030, 0.1, 100.0) == 0.030
    falling = [dried_depth(climate, 0.030, 0.1, days) for days in (0, 1, 2, 5, 20)]
    assert falling == sorted(falling, reverse=True) and falling[-1] < falling[0]


def test_nothing_dries_without_a_climate() -> None:
    assert wet_days(PLAN, [0.02] * len(PLAN.courses), 30) is None
    assert wet_days(PLAN, [0.0] * len(PLAN.courses), 30) == 0


def test_moisture_as_a_band() -> None:
    """Half way from as placed to wet is half the wall; drier than placed is none."""
    full = 1000 / 1750 - 1000 / 2650
    course = PLAN.course(5)
    assert moisture_depth(PLAN, course, (0.10 + 0.9 * full) / 2) == pytest.approx(0.385 / 2)
    assert moisture_depth(PLAN, course, 0.06) == 0.0 and moisture_depth(PLAN, course, 0.5) == pytest.approx(0.385)
