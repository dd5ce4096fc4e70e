"""Rings and settings from readings, by hand."""

from __future__ import annotations

import math

import pytest
from samples import classroom

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.settings import Top, by_number, curve_radius, return_path, settings
from shellcheck_earth.geometry.survey import CourseReading, radius_of_reading, ring_of

PLAN = build_dome(classroom())


def ring(*readings: tuple[float, float]):  # type: ignore[no-untyped-def]
    return ring_of(CourseReading(3, 0.4, tuple((math.radians(at), radius) for at, radius in readings)), 0.27)


def test_a_ring_pushed_aside() -> None:
    """Four bearings by hand: mean 1.80, 15 mm towards 90 degrees."""
    found = ring((0, 1.8), (90, 1.815), (180, 1.8), (270, 1.785))
    assert (found.mean, found.shift, found.oval) == pytest.approx((1.8, 0.015, 0.0), abs=1e-12)
    assert found.shift_to == pytest.approx(math.pi / 2) and found.rest < 1e-12


def test_an_oval_ring() -> None:
    """Longer along 0 and 180 by 10 mm, shorter across by 10 mm: no shift."""
    found = ring((0, 1.81), (90, 1.79), (180, 1.81), (270, 1.79))
    assert (found.mean, found.shift, found.oval) == pytest.approx((1.8, 0.0, 0.01), abs=1e-12)
    assert found.radius_at(0.0) == pytest.approx(1.81) and found.radius_at(math.pi / 2) == pytest.approx(1.79)


def test_few_bearings_say_less() -> None:
    assert ring((40, 1.83)).mean == 1.83 and ring((40, 1.83)).shift == 0.0
    two = ring((30, 1.82), (210, 1.78))
    assert (two.mean, two.shift) == pytest.approx((1.8, 0.02))
    assert ring((0, 1.82), (90, 1.78)).shift == 0.0  # not opposite: could be an oval just as well


def test_three_bearings_that_are_not_even() -> None:
    angles = (0.0, 70.0, 200.0)
    found = ring(*((at, 1.8 + 0.02 * math.cos(math.radians(at - 50))) for at in angles))
    assert (found.mean, found.shift, math.degrees(found.shift_to)) == pytest.approx((1.8, 0.02, 50.0))


def test_what_a_compass_reads() -> None:
    assert radius_of_reading(1.5, 1.2, 0.3) == pytest.approx(1.2)  # 9, 12, 15
    assert math.isnan(radius_of_reading(1.0, 1.2, 0.1))


def test_the_way_back_is_the_least_largest_step() -> None:
    """From 30 mm outside: with n courses to go, no way can have a largest step under (start - end)/n."""
    top = Top(16, 16 * 0.135, curve_radius(PLAN, 15.5 * 0.135) + 0.03, 0.135)
    for returns in (1, 2, 4):
        path = return_path(PLAN, top, returns)
        end = curve_radius(PLAN, path.steps[returns - 1].z_mid)
        assert path.returns_at is not None and path.returns_at <= 16 + returns
        assert path.steps[returns - 1].radius == pytest.approx(end, abs=1e-6)
        steps = [step.step_in for step in path.steps[:returns]]
        assert max(steps) >= (top.radius - end) / returns - 1e-9
        drawn = [curve_radius(PLAN, step.z_mid - 0.135) - curve_radius(PLAN, step.z_mid) for step in path.steps]
        assert max(steps) <= max(max(drawn[:returns]), (top.radius - end) / returns) + 0.031 / returns
        assert all(step.step_in >= 0.0 for step in path.steps)
    one, four = (max(s.step_in for s in return_path(PLAN, top, n).steps[:n]) for n in (1, 4))
    assert four < one


def test_a_wall_inside_its_curve_goes_straight_up() -> None:
    top = Top(10, 1.35, curve_radius(PLAN, 1.2825) - 0.06, 0.135)
    path = return_path(PLAN, top, 1)
    assert path.steps[0].step_in == 0.0 and path.returns_at == 12
    assert [round(s.radius, 6) for s in path.steps[2:]] == [
        round(curve_radius(PLAN, s.z_mid), 6) for s in path.steps[2:]
    ]


def test_a_wall_like_the_plan_goes_by_its_numbers() -> None:
    course = PLAN.course(16)
    path = by_number(PLAN, Top(16, course.z_top, course.inner_radius, 0.135))
    assert [s.radius for s in path.steps] == pytest.approx([c.inner_radius for c in PLAN.courses if c.number > 16])
    assert path.out_of_reach is None


def test_the_table_reads_on_between_its_lines() -> None:
    """A wall 10 mm higher than a line: the line and its change give the curve's own setting, to a tenth of a mm."""
    course = PLAN.course(16)
    table = settings(PLAN, by_number(PLAN, Top(16, course.z_top, course.inner_radius, 0.135)))
    for one in table[:6]:
        mid = one.height + 0.01 + 0.0675
        assert one.compass + 0.01 * one.change == pytest.approx(math.hypot(curve_radius(PLAN, mid), mid), abs=2e-4)
