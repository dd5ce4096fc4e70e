"""Sideways loads against the stated envelope and hand sums."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.side_loads import each_once, on_half, side_loads, wind_coefficient
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights


def test_the_envelope_has_the_stated_values() -> None:
    assert wind_coefficient(0.0, 0.0, 0.0) == pytest.approx(0.8)
    assert wind_coefficient(math.pi, 0.0, -0.5) == pytest.approx(-0.5)
    assert wind_coefficient(math.pi, 0.0, 0.0) == pytest.approx(0.0, abs=1e-12)
    for bearing in (0.0, 1.0, math.pi):
        assert wind_coefficient(bearing, math.pi / 2, -0.5) == pytest.approx(-1.2)
    values = [
        wind_coefficient(b, s, lee)
        for b in np.linspace(0, 7, 60)
        for s in np.linspace(0, 1.57, 9)
        for lee in (0.0, -0.5)
    ]
    assert max(values) <= 0.8 + 1e-12
    assert min(values) >= -1.2 - 1e-12


def test_both_cases_of_the_charts_by_hand() -> None:
    """Case B: +0.8 up to 25 deg; at 40 deg a' = (0.41318 - 0.17861)/0.82139 = 0.28558: 0.8 - 2 a' = 0.22884, where case
    A has 0.8 - 2 x 0.41318 = -0.02635. The lee, the flank and the crown are the same in both."""
    even = math.radians(25.0)
    assert wind_coefficient(0.0, math.radians(24.9), 0.0, even) == pytest.approx(0.8)
    assert wind_coefficient(0.0, math.radians(40.0), 0.0, even) == pytest.approx(0.22884, abs=2e-5)
    assert wind_coefficient(0.0, math.radians(40.0), 0.0) == pytest.approx(-0.02635, abs=2e-5)
    for from_wind, slope in ((math.pi, 0.4), (math.pi / 2, 0.7), (0.3, math.pi / 2)):
        assert wind_coefficient(from_wind, slope, -0.5, even) == pytest.approx(wind_coefficient(from_wind, slope, -0.5))
    pushes = [
        wind_coefficient(b, s, -0.5, even) - wind_coefficient(b, s, -0.5)
        for b in np.linspace(-math.pi, math.pi, 41)
        for s in np.linspace(0.0, math.pi / 2, 13)
    ]
    assert min(pushes) > -1e-12 and max(pushes) > 0.3


def test_a_half_is_half() -> None:
    bearings = (np.arange(360) + 0.5) * math.pi / 180
    assert sum(on_half(float(b), 1.0) for b in bearings) == 180


def test_loads_only_where_the_site_has_them() -> None:
    design = classroom()
    assert {load.kind for load in side_loads(design, 0.2)} == {"worker"}
    windy = replace(
        design, site=replace(design.site, wind_pressure=0.8, earthquake=0.1, snow=1.0, left_unprotected=True)
    )
    loads = side_loads(windy, 0.2)
    assert {load.kind for load in loads} == {"worker", "wind", "earthquake", "snow", "rain"}
    assert len({load.id for load in loads}) == len(loads)
    assert {load.criterion for load in loads if load.kind == "wind"} == {"storm"}


def test_sums_of_the_loads_on_the_blocks() -> None:
    design = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.9, "pointed"),))
    design = replace(design, site=replace(design.site, wind_pressure=0.8, earthquake=0.1, snow=1.0))
    stack = build_dome(design)
    cases = {case.id: case for case in dead_cases(stack)}
    dry = cases["finished-dry"]
    layout = cut_blocks(stack, 16)
    _, weight = block_weights(stack, dry, layout)
    for load in side_loads(design, 0.0):
        wrench = side_wrench(stack, dry, layout, load, cases["finished-snow"])
        total = wrench[:, :3].sum(axis=0)
        towards = np.array([math.sin(load.bearing), math.cos(load.bearing), 0.0])
        if load.kind == "earthquake":
            assert total @ towards == pytest.approx(0.1 * weight.sum(), rel=1e-12)
            assert total[2] == pytest.approx(load.vertical * weight.sum(), rel=1e-12)
            assert abs(load.vertical) == pytest.approx(0.3 * 0.1)
        elif load.kind == "worker":
            assert total == pytest.approx([0.0, 0.0, -1.5], abs=1e-12)
        elif load.kind == "wind":
            assert total @ towards > 0.0  # pushes the way it blows
            assert load.inside < 0.0 or total[2] > 0.0  # and lifts, unless the inside sucks
        elif load.kind == "snow":
            # Twice the snow on half of pi r_o^2 of the widest course, less what the door's cut leaves out (a sixth).
            full = math.pi * max(c.outer_radius for c in stack.courses) ** 2
            assert 0.83 * full < -total[2] <= full * 1.001


def test_half_a_load_needs_the_whole_one() -> None:
    design = replace(classroom(), site=replace(classroom().site, snow=1.0))
    stack = build_dome(design)
    load = next(load for load in side_loads(design, 0.0) if load.kind == "snow")
    with pytest.raises(ValueError, match="all around"):
        side_wrench(stack, dead_cases(stack)[0], cut_blocks(stack, 8), load)


def test_pressure_inside_lifts_by_itself_times_the_plan_and_pushes_no_way() -> None:
    design = replace(classroom(), openings=(), site=replace(classroom().site, wind_pressure=0.5))
    stack = build_dome(design)
    case, layout = dead_cases(stack)[0], cut_blocks(stack, 12)
    loads = [
        load
        for load in side_loads(design, 0.0)
        if load.kind == "wind" and load.bearing == load.lee == load.even_to == 0.0
    ]
    assert sorted(load.inside for load in loads) == [-0.3, 0.2]
    sucks, blows = (
        side_wrench(stack, case, layout, load)[:, :3].sum(axis=0) for load in sorted(loads, key=lambda one: one.inside)
    )
    difference = blows - sucks
    # 0.5 x 0.5 kPa on the plan of what stands above ground: at least out to the widest ring less its top course's
    # opening.
    outer = max(course.outer_radius for course in stack.courses)
    assert difference[:2] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert 0.85 < difference[2] / (0.5 * 0.5 * math.pi * (outer**2 - 0.15**2)) < 1.15


def test_a_door_opens_the_inside_to_the_wind() -> None:
    site = replace(classroom().site, wind_pressure=0.5)
    for kind, inside in (("door", {0.55, -0.55}), ("window", {0.2, -0.3})):
        # type: ignore[arg-type]
        design = replace(classroom(), site=site, openings=(Opening(kind, 0.0, 0.0, 0.8, 1.5, "round"),))
        assert {load.inside for load in side_loads(design, 0.0) if load.kind == "wind"} == inside
        stage = {load.inside for load in side_loads(design, 0.0, open_top=True) if load.kind == "wind"}
        assert stage == {0.6, -0.6}


def test_mirror_images_are_asked_once_only_where_they_are_mirror_images() -> None:
    door, left, right = (
        Opening(kind, math.radians(b), 0.5, w, 0.6, "round")  # type: ignore[arg-type]
        for kind, b, w in (("door", 30, 0.9), ("window", 130, 0.5), ("window", 290, 0.5))
    )
    base = replace(classroom(), site=replace(classroom().site, earthquake=0.1))

    def asked(*openings: Opening) -> list[list[int]]:
        design = replace(base, openings=openings)
        loads = tuple(load for load in side_loads(design, 0.0) if load.kind == "earthquake")
        assert len(loads) == 8  # up and down in each direction
        once = [(load, bearings) for load, bearings in each_once(design, loads) if load.vertical > 0]
        assert len(each_once(design, loads)) == 2 * len(once)
        return [[round(math.degrees(bearing)) for bearing in bearings] for _, bearings in once]

    assert asked(door, left, right) == [[30], [120, 300], [210]]
    assert asked(door, left) == [[30], [120], [210], [300]]
    assert asked(door, left, replace(right, width=0.6)) == [[30], [120], [210], [300]]
    assert asked() == [[0, 90, 180, 270]]


def test_loads_that_differ_in_more_than_their_bearing_are_not_each_others_image() -> None:
    design = replace(classroom(), site=replace(classroom().site, wind_pressure=0.5))
    loads = tuple(load for load in side_loads(design, 0.0) if load.kind == "wind")
    once = each_once(design, loads)
    assert len(once) == len({(load.lee, load.inside, load.even_to) for load in loads}) == 8
    assert sorted(bearing for _, bearings in once for bearing in bearings) == sorted(load.bearing for load in loads)
