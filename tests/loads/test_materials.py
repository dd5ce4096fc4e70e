"""Strength, friction and cohesion by moisture, by hand: the anchors, the middles between them, and where each ends."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt

import pytest
from samples import classroom

from shellcheck_earth.design.design import Beds, Fill
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import _plaster, _snow, dead_cases
from shellcheck_earth.loads.materials import cohesion_at, friction_at, saturated_moisture, strength_at
from shellcheck_earth.loads.rain import calendar
from shellcheck_earth.loads.rain.calendar import Wetted

FILL: Fill = replace(
    classroom().fill, dry_density=1800.0, placing_moisture=0.09, strength_dry=3000.0, strength_as_placed=500.0,
    strength_wet=100.0,
)  # fmt: skip
"""Of grains of 2650 kg/m3: 17.82 % fill every void, the wet values hold from 16.04 %."""
FULL = 1 / 1.8 - 1 / 2.65
WET = 0.9 * FULL
BEDS: Beds = replace(classroom().beds, friction=0.6, friction_wet=0.3, cohesion=4.0, cohesion_wet=1.0)


def between(x: float, x0: float, x1: float, y0: float, y1: float) -> float:
    return exp(log(y0) + (x - x0) / (x1 - x0) * (log(y1) - log(y0)))


@pytest.mark.parametrize("hardened", [True, False])
@pytest.mark.parametrize(
    ("moisture", "strength"),
    [
        (0.0, 3000.0),
        (0.04, 3000.0),
        (0.065, between(0.065, 0.04, 0.09, 3000.0, 500.0)),
        (0.09, 500.0),
        (0.11, between(0.11, 0.09, WET, 500.0, 100.0)),
        (0.1605, 100.0),
        (0.17, 100.0),
    ],
)
def test_strength_without_stabiliser(moisture: float, strength: float, hardened: bool) -> None:
    assert saturated_moisture(FILL) == pytest.approx(FULL)
    assert strength_at(FILL, moisture, hardened=hardened) == pytest.approx(strength, rel=1e-9)


@pytest.mark.parametrize(
    ("moisture", "hard", "young"),
    [
        (0.03, 3000.0, 3000.0),
        (0.09, between(0.09, 0.04, WET, 3000.0, 100.0), 500.0),
        (0.12, between(0.12, 0.04, WET, 3000.0, 100.0), between(0.12, 0.09, WET, 500.0, 100.0)),
        (0.1605, 100.0, 100.0),
    ],
)
def test_stabilised_fill_hardens_from_dry_to_wet(moisture: float, hard: float, young: float) -> None:
    fill = replace(FILL, stabiliser="cement")
    assert strength_at(fill, moisture, hardened=True) == pytest.approx(hard, rel=1e-9)
    assert strength_at(fill, moisture) == pytest.approx(young, rel=1e-9)


def test_fill_placed_nearly_dry_or_past_the_wet_end() -> None:
    """Dry from half of 4 % down; placed at 17 %, all below the wet end is drier than placed."""
    dry = replace(FILL, placing_moisture=0.04)
    assert strength_at(dry, 0.04) == 500.0 and strength_at(dry, 0.02) == 3000.0
    assert strength_at(dry, 0.03) == pytest.approx(sqrt(3000.0 * 500.0))
    late = replace(FILL, placing_moisture=0.17)
    assert strength_at(late, (0.04 + WET) / 2) == pytest.approx(sqrt(3000.0 * 500.0))
    assert strength_at(late, 0.17) == 100.0


def test_towards_no_strength_the_curve_is_a_line() -> None:
    fill = replace(FILL, strength_wet=0.0)
    assert strength_at(fill, (0.09 + WET) / 2) == pytest.approx(250.0)
    assert strength_at(fill, 0.09 + (WET - 0.09) / 4) == pytest.approx(375.0)


@pytest.mark.parametrize(
    ("moisture", "friction"),
    [(0.0, 0.6), (0.09, 0.6), ((0.09 + WET) / 2, 0.45), (0.09 + 0.8 * (WET - 0.09), 0.36), (0.1605, 0.3), (0.3, 0.3)],
)
def test_friction_falls_in_a_line_past_the_placing_moisture(moisture: float, friction: float) -> None:
    assert friction_at(BEDS, FILL, moisture) == pytest.approx(friction, rel=1e-9)


def test_the_wet_end_itself_is_wet() -> None:
    wet_from = 0.9 * saturated_moisture(FILL)
    assert friction_at(BEDS, FILL, wet_from) == 0.3 and strength_at(FILL, wet_from) == 100.0
    placed_there = replace(FILL, placing_moisture=wet_from)
    assert friction_at(BEDS, placed_there, wet_from) == 0.3


@pytest.mark.parametrize(("moisture", "cohesion"), [(0.0, 4.0), (0.09, 4.0), (0.09 * (1 + 1e-10), 4.0), (0.0901, 1.0)])
def test_cohesion_is_the_wet_one_past_the_placing_moisture(moisture: float, cohesion: float) -> None:
    assert cohesion_at(BEDS, FILL, moisture) == cohesion


def test_plaster_inside_a_narrow_crown_ends_at_the_axis() -> None:
    design = classroom()
    dome = build_dome(replace(design, plaster=replace(design.plaster, inside=0.28)))
    top = len(dome.courses) - 1
    assert dome.courses[top].inner_radius < 0.28
    bands = [part for part in _plaster(dome, top) if part.outer == dome.courses[top].inner_radius]
    assert bands and min(part.inner for part in bands) == 0.0


def test_snow_alone_is_imposed() -> None:
    design = classroom()
    dome = build_dome(replace(design, site=replace(design.site, snow=1.0)))
    assert all(part.imposed for index in range(len(dome.courses)) for part in _snow(dome, index))
    assert not any(part.imposed for index in range(len(dome.courses)) for part in _plaster(dome, index))


def test_snow_lies_on_what_stands_out_and_not_on_buried_courses() -> None:
    """1.2 kPa on the ring between the outer radius of a course and of that above; on the whole disc at the top."""
    design = classroom()
    dome = build_dome(replace(design, site=replace(design.site, snow=1.2)))
    for index, course in enumerate(dome.courses):
        above = 0.0 if index + 1 == len(dome.courses) else dome.courses[index + 1].outer_radius
        weight = sum(part.weight for part in _snow(dome, index))
        expected = 1.2 * (course.outer_radius**2 - above**2) / 2 if course.kind != "buried" else 0.0
        assert weight == pytest.approx(expected, abs=1e-12)
    out = replace(dome.courses[5], outer_radius=dome.courses[6].outer_radius - 0.01)
    assert _snow(replace(dome, courses=(*dome.courses[:5], out, *dome.courses[6:])), 5) == ()


def test_a_crew_stands_on_the_middle_of_the_top_ring() -> None:
    design = classroom()
    dome = build_dome(replace(design, building=replace(design.building, worker=1.3)))
    cases = {case.id: case for case in dead_cases(dome)}
    bare, crewed = cases["stage-07"], cases["stage-07-worker"]
    top = dome.course(7)
    middle = (top.inner_radius + top.outer_radius) / 2
    assert [(load.weight, load.radius) for load in crewed.states[-1].loads] == [(1.3, pytest.approx(middle))]
    assert crewed.states[:-1] == bare.states[:-1] and crewed.states[-1].parts == bare.states[-1].parts
    assert crewed.states[-1].weight == pytest.approx(bare.states[-1].weight + 1.3)
    assert crewed.states[-1].moment == pytest.approx(bare.states[-1].moment + 1.3 * middle)


@pytest.mark.parametrize(("bed", "section"), [(0.0, 0.0), (0.05, 0.08), (0.12, 0.12)])
def test_a_rained_course_by_hand(bed: float, section: float) -> None:
    """Wet from the outer face in: the bed by one band, the section by another, soaked fill in the heavy case alone."""
    design = replace(classroom(), fill=FILL)
    dome = build_dome(design)
    course, wet = dome.course(4), Wetted(bed, section)
    light = calendar._light(design, course, 2, wet)
    assert light.wet_from == pytest.approx(course.outer_radius - bed)
    assert light.ring_to == pytest.approx(course.outer_radius - section)
    assert (light.strength, light.strength_wet, light.friction_wet) == (500.0, 100.0, design.beds.friction_wet)
    assert (light.cohesion, light.cohesion_wet) == (design.beds.cohesion, design.beds.cohesion_wet)
    heavy = calendar._heavy(design, course, wet, light)
    r, a, w, h = course.outer_radius, course.inner_radius, course.outer_radius - section, course.height
    placed, soaked = (1800 * (1 + m) * 9.80665e-3 for m in (0.09, FULL))
    assert light.weight == pytest.approx(h * placed * (r * r - a * a) / 2, rel=1e-6)
    assert heavy.weight == pytest.approx(h * (placed * (w * w - a * a) + soaked * (r * r - w * w)) / 2, rel=1e-6)
    assert heavy.moment == pytest.approx(h * (placed * (w**3 - a**3) + soaked * (r**3 - w**3)) / 3, rel=1e-6)


@pytest.mark.parametrize(("age", "share"), [(0, 0.3), (7, 0.5), (28, 1.0)])
def test_young_stabilised_fill_is_no_stronger_wet_than_dry(age: int, share: float) -> None:
    """Its wet strength of 2000 kPa grows with its age, and never counts for more than the fill has unwetted."""
    fill = replace(FILL, stabiliser="cement", strength_wet=2000.0)
    design = replace(classroom(), fill=fill)
    dome = build_dome(design)
    light = calendar._light(design, dome.course(4), age, Wetted(0.1, 0.1))
    hard = between(0.09, 0.04, WET, 3000.0, 2000.0)
    grown = (share - 0.3) / 0.7
    dry = 500.0 * (1 - grown) + hard * grown
    assert light.strength == pytest.approx(dry, rel=1e-9)
    assert light.strength_wet == pytest.approx(min(share * 2000.0, dry), rel=1e-9)
