"""Beds between two courses that differ in everything: each column of the lune worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, CourseState, Part, RadialLoad
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import FRICTION_BOND, Lune

DESIGN = classroom(wall=replace(classroom().wall, buried_courses=0))
DOME = build_dome(DESIGN)


def state(number: int, **changes: object) -> CourseState:
    course = DOME.course(number)
    parts: dict[str, object] = {
        "number": number,
        "parts": (Part(course.inner_radius, course.outer_radius, course.height, 18.0),),
        "loads": (),
        "moisture": 0.05,
        "strength": 400.0,
        "friction": 0.5,
        "strength_wet": 50.0,
        "friction_wet": 0.3,
        "cohesion": 4.0,
        "cohesion_wet": 1.0,
        "wet_from": course.outer_radius,
    }
    return CourseState(**(parts | changes))  # type: ignore[arg-type]


def lune_of(*states: CourseState, dome: Dome = DOME) -> Lune:
    return cut_lune(dome, Case("x", "x", len(states), "rain", "by age", "rain", counts=True, states=states))


@pytest.mark.parametrize("upper_is_worse", [True, False])
def test_the_worse_of_two_courses_decides_the_bed_between_them(upper_is_worse: bool) -> None:
    worse = {"strength": 300.0, "friction": 0.45, "strength_wet": 20.0, "friction_wet": 0.2, "cohesion": 2.0}
    wet_from = DOME.course(2).bed_outer - 0.1
    worse |= {"cohesion_wet": 0.5, "wet_from": wet_from}
    upper, lower = (worse, {}) if upper_is_worse else ({}, worse)
    lune = lune_of(state(1, **lower), state(2, **upper))
    course = DOME.course(2)
    a, b = course.bed_inner, course.bed_outer
    assert (lune.crush_inner[0], lune.crush_outer[0]) == (300.0, 20.0)
    assert lune.wet_from[0] == pytest.approx(wet_from)
    wet = (b * b - wet_from**2) / (b * b - a * a)
    assert lune.friction[0] == pytest.approx(0.45 * (1 - wet) + 0.2 * wet)
    assert lune.cohesion[0] == pytest.approx(2.0 * (wet_from**2 - a * a) / 2 + 0.5 * (b * b - wet_from**2) / 2)
    # The ring of a course is its own, and only what is dry of it.
    assert lune.ring_strength[0] == (300.0 if upper_is_worse else 400.0)
    depth = (wet_from if upper_is_worse else course.outer_radius) - course.inner_radius
    assert lune.ring_depth[0] == pytest.approx(depth)


def test_a_wet_band_less_slick_than_the_dry_bed_gives_nothing_back() -> None:
    lune = lune_of(state(1), state(2, wet_from=DOME.course(2).bed_outer - 0.1, friction=0.25))
    assert lune.friction[0] == 0.25


def test_the_lowest_course_takes_no_ring_force_and_no_wire_lies_under_it() -> None:
    lune = lune_of(state(1), state(2), state(3, closed=False))
    assert lune.number.tolist() == [3.0, 2.0, 1.0]
    assert (lune.ring_strength[-1], lune.ring_depth[-1], lune.wire[-1]) == (0.0, 0.0, 0.0)
    assert (lune.ring_strength[0], lune.ring_depth[0]) == (0.0, 0.0)  # not closed
    assert lune.ring_strength[1] > 0.0
    assert lune.wire[:-1] == pytest.approx(DESIGN.beds.wire_tension)
    assert (lune.bond == FRICTION_BOND).all()


def test_loads_at_a_radius_add_to_weight_and_moment() -> None:
    bare, crew = lune_of(state(1), state(2)), lune_of(state(1), state(2, loads=(RadialLoad(1.5, 1.9),)))
    assert crew.weight[0] - bare.weight[0] == pytest.approx(1.5)
    assert crew.moment[0] - bare.moment[0] == pytest.approx(1.5 * 1.9)
    assert np.array_equal(crew.weight[1:], bare.weight[1:])


def test_a_ring_counts_up_to_where_its_section_is_soaked() -> None:
    course = DOME.course(2)
    soaked = course.outer_radius - 0.15
    lune = lune_of(state(1), state(2, wet_from=course.outer_radius - 0.05, ring_to=soaked))
    assert lune.ring_depth[0] == pytest.approx(soaked - course.inner_radius)
    whole = lune_of(state(1), state(2, ring_to=course.inner_radius - 0.01))
    assert whole.ring_depth[0] == 0.0  # wet through: nothing, never less
