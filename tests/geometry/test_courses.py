"""The stack of courses against numbers worked by hand for the orchard classroom."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.design.design import DomeShape
from shellcheck_earth.geometry.courses import TUBE_END_ALLOWANCE, build_dome
from shellcheck_earth.geometry.profile import closing_height


def test_first_course_by_hand() -> None:
    # R = 3.6 + 0.385 = 3.985, a = 1.8 + 0.385 = 2.185, z = 0.0675.
    stack = build_dome(classroom())
    first = stack.course(1)
    assert stack.fixed_compass == pytest.approx(3.985)
    assert first.inner_radius == pytest.approx(math.sqrt(3.985**2 - 0.0675**2) - 2.185, rel=1e-12)
    assert first.compass == pytest.approx(math.hypot(first.inner_radius, 0.0675), rel=1e-12)
    assert first.tube_length == pytest.approx(2 * math.pi * (first.inner_radius + 0.1925) + TUBE_END_ALLOWANCE)
    assert first.fill_volume == pytest.approx(2 * math.pi * (first.inner_radius + 0.1925) * 0.385 * 0.135)


def test_courses_go_on_until_the_crown_opening() -> None:
    # Half the opening is 0.15 m: sqrt(3.985^2 - 2.335^2) = 3.2292 m; the last mid-height below it is 23.5 x 0.135.
    stack = build_dome(classroom())
    assert stack.top_number == 24
    assert stack.course(24).inner_radius >= 0.15
    assert closing_height(classroom().dome) == pytest.approx(3.22924, abs=1e-5)
    assert 24.5 * 0.135 > 3.2292


def test_planes_and_buried_courses() -> None:
    stack = build_dome(classroom())
    assert [course.kind for course in stack.courses[:3]] == ["buried", "buried", "arc"]
    assert [course.number for course in stack.courses[:3]] == [-1, 0, 1]
    assert stack.base == pytest.approx(-0.27)
    assert stack.floor == 0.0
    assert stack.ground == pytest.approx(-0.15)
    assert all(course.inner_radius == 1.8 for course in stack.courses[:2])


def test_stem_courses_lift_the_springing() -> None:
    design = classroom()
    stack = build_dome(replace(design, dome=replace(design.dome, springing_above_floor=0.27)))
    assert [course.kind for course in stack.courses[:4]] == ["buried", "buried", "stem", "stem"]
    assert stack.floor == pytest.approx(-0.27)
    assert stack.base == pytest.approx(-0.54)


def test_bed_is_the_overlap_less_the_rounded_edges() -> None:
    stack = build_dome(classroom())
    for below, above in zip(stack.courses, stack.courses[1:], strict=False):
        step = below.inner_radius - above.inner_radius
        assert above.step_in == pytest.approx(step)
        assert above.bed_width == pytest.approx(0.385 - 0.06 - step)


def test_round_dome() -> None:
    design = classroom(dome=DomeShape(3.6, "round", 0.0, 0.30, 0.0, 0.15, 0.0))
    stack = build_dome(design)
    for course in stack.courses[2:]:
        assert course.compass == pytest.approx(1.8, rel=1e-12)  # a sphere: the centre compass never changes
    assert stack.top_number == 13  # (n - 1/2) 0.135 <= sqrt(1.8^2 - 0.15^2) = 1.7937


def test_measured_profile_takes_the_radii_as_they_are() -> None:
    radii = (1.80, 1.78, 1.74)
    design = classroom(dome=DomeShape(3.6, "measured", 0.385, 0.30, 0.0, 0.15, 0.0, radii))
    stack = build_dome(design)
    assert tuple(course.inner_radius for course in stack.courses if course.kind == "arc") == radii


def test_no_wire_under_the_lowest_course() -> None:
    stack = build_dome(classroom())
    assert not stack.courses[0].has_wire
    assert all(course.has_wire for course in stack.courses[1:])
    assert stack.courses[1].wire_length == pytest.approx(2 * 2 * math.pi * 1.9925)
