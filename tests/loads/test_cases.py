"""The table of cases: which there are, which count, and what weighs, holds and carries in each. Expected by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.design.design import CourseGroup, Design, Plaster
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import Case, CourseState, plastered_heights
from shellcheck_earth.loads.materials import saturated_moisture, strength_at
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.mechanics.rings.discretise import cut_lune

BASE = classroom()


def site(**changes: Any) -> Design:
    return replace(BASE, site=replace(BASE.site, **changes))


def beds(**changes: Any) -> Design:
    return replace(BASE, beds=replace(BASE.beds, **changes))


def body_weight(state: CourseState) -> float:
    return state.parts[0].unit_weight


def finished(model: Model) -> dict[str, Case]:
    return {case.id: case for case in model.cases if case.kind == "finished"}


def test_every_case_says_what_it_is() -> None:
    model = build_model(site(snow=1.0))
    found = finished(model)
    assert {name: (case.moisture, case.snow, case.wire, case.wetting) for name, case in found.items()} == {
        "finished-dry": ("service", False, True, "none"),
        "finished-damp": ("placed", False, True, "none"),
        "soaked-through": ("saturated", False, True, "saturated"),
        "finished-snow": ("service", True, True, "none"),
        "finished-damp-snow": ("placed", True, True, "none"),
        "wire-gone": ("placed", False, False, "none"),
        "base-soaked": ("base saturated", False, True, "base"),
        "base-soaked-snow": ("base saturated", True, True, "base"),
    }
    for case in model.cases:
        assert (case.kind == "finished") is not case.building
        assert (case.kind == "rain") is (case.wetting == "rain")
        assert case.crew is bool(case.states[-1].loads)
    assert {case.kind for case in model.cases} == {"finished", "stage", "rain"}


def test_cases_that_a_design_has_no_use_for_are_not_there() -> None:
    assert {"finished-snow", "finished-damp-snow"}.isdisjoint(finished(build_model(BASE)))
    assert "wire-gone" not in finished(build_model(beds(wire_strands=0)))
    idle = replace(BASE, building=replace(BASE.building, worker=0.0))
    assert not any(case.crew for case in build_model(idle).cases)


@pytest.mark.parametrize(
    ("design", "counts"),
    [
        (BASE, False),
        (replace(BASE, plaster=Plaster(0.0, 0.02, 18.0)), True),
        (replace(site(roof=True), plaster=Plaster(0.0, 0.02, 18.0)), False),
        (site(left_unprotected=True), True),
        (site(roof=True, left_unprotected=True), True),
    ],
)
def test_a_soaked_dome_counts_unless_plaster_or_a_roof_keeps_the_rain_out(design: Design, counts: bool) -> None:
    assert finished(build_model(design))["soaked-through"].counts is counts


@pytest.mark.parametrize("cover", [None, 2.0, 24.0])
def test_rain_always_counts_and_silence_is_the_whole_rain(cover: float | None) -> None:
    def widest(hours: float | None) -> float:
        design = replace(BASE, building=replace(BASE.building, cover_after=hours))
        rained = [case for case in build_model(design).cases if case.kind == "rain"]
        assert rained and all(case.counts for case in rained)
        dome = build_dome(design)
        return max(dome.course(state.number).outer_radius - state.wet_from for case in rained for state in case.states)

    assert widest(cover) <= widest(None)
    assert (widest(cover) == widest(None)) is (cover is None or cover >= BASE.site.rain_hours)


def test_every_other_case_counts() -> None:
    assert {case.id for case in build_model(site(snow=1.0)).cases if not case.counts} == {"soaked-through"}


def test_without_its_wire_a_dome_has_no_wire_no_cohesion_and_the_lesser_friction() -> None:
    design = beds(friction=0.55, friction_no_wire=0.40, cohesion=3.0, cohesion_wet=1.0)
    model = build_model(design)
    gone, damp = cut_lune(model.dome, model.case("wire-gone")), cut_lune(model.dome, model.case("finished-damp"))
    assert (gone.wire == 0.0).all() and damp.wire.max() > 0.0
    assert (gone.cohesion == 0.0).all() and damp.cohesion.min() > 0.0
    assert gone.friction == pytest.approx(0.40) and damp.friction == pytest.approx(0.55)
    assert (gone.weight == damp.weight).all() and (gone.crush_inner == damp.crush_inner).all()
    assert model.case("wire-gone").only == "standing without wire"
    unsaid = build_model(beds(friction=0.3, friction_wet=0.3, friction_no_wire=None))
    assert cut_lune(unsaid.dome, unsaid.case("wire-gone")).friction == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("splash", "expected"),
    [(0.0, {-1}), (0.0149, {-1}), (0.0151, {-1, 0}), (0.15, {-1, 0}), (0.16, {-1, 0, 1}), (0.3, {-1, 0, 1, 2})],
)
def test_the_foot_of_the_wall_is_soaked_as_high_as_splash_reaches(splash: float, expected: set[int]) -> None:
    """Two buried courses of 0.135 m, the ground 0.15 m under the springing: course -1 begins 0.12 m under it, course 0
    15 mm over it, course 1 0.15 m, course 2 0.285 m, course 3 0.42 m. One that begins just where splash ends is dry."""
    site = replace(BASE.site, splash_height=splash)
    design = replace(BASE, fill=replace(BASE.fill, strength_wet=20.0), site=site)
    model = build_model(design)
    full = saturated_moisture(design.fill)
    assert {s.number for s in model.case("base-soaked").states if s.moisture == pytest.approx(full)} == expected


def test_nothing_said_of_splash_is_thirty_centimetres() -> None:
    text = "[dome]\ninside_diameter = '3 m'\n[wall]\ncourse_height = '135 mm'\nfilled_width = '0.4 m'\n"
    silent, said = parse_design(text), parse_design(text + "[site]\nsplash_height = '300 mm'\n")
    assert silent.site.splash_height == said.site.splash_height == 0.3
    assert (silent.basis("site.splash_height"), said.basis("site.splash_height")) == ("assumed", "stated")


def test_courses_at_and_below_the_ground_are_soaked() -> None:
    """Two buried courses, floor and springing 0.15 m above the ground: courses -1 (-0.27 m) and 0 (-0.135 m)
    begin below -0.15 m or not: the ground is 0.15 m under the springing, so only course -1 begins under it."""
    design = replace(BASE, fill=replace(BASE.fill, strength_wet=20.0), site=replace(BASE.site, splash_height=0.0))
    model = build_model(design)
    case = model.case("base-soaked")
    full = saturated_moisture(design.fill)
    soaked = {state.number for state in case.states if state.moisture == pytest.approx(full)}
    assert soaked == {course.number for course in model.dome.courses if course.z_bottom <= model.dome.ground + 1e-9}
    assert soaked == {-1}
    lowest, dry = case.states[0], case.states[-1]
    assert (lowest.strength, lowest.friction) == (20.0, BASE.beds.friction_wet)
    assert dry.moisture == design.fill.service_moisture and dry.strength == design.fill.strength_dry
    assert body_weight(lowest) == pytest.approx(1750.0 * (1 + full) * 9.80665 / 1000)
    lune = cut_lune(model.dome, case)
    assert lune.friction[-2] == BASE.beds.friction_wet  # the bed between a soaked course and a dry one is soaked
    assert lune.friction[-3] == BASE.beds.friction


def test_a_bed_at_the_very_ground_is_soaked_whatever_floats_say() -> None:
    """Three courses of 0.1 m up from -0.3 m end 5e-17 m off the ground: the course upon it begins at the ground."""
    design = replace(
        BASE,
        wall=replace(BASE.wall, course_height=0.1, buried_courses=3),
        dome=replace(BASE.dome, springing_above_floor=0.0, floor_above_ground=0.1 + 0.2 - 0.3),
        site=replace(BASE.site, splash_height=0.0),
    )
    model = build_model(design)
    soaked = {s.number for s in model.case("base-soaked").states if s.moisture > design.fill.placing_moisture}
    assert soaked == {-2, -1, 0, 1}


@pytest.mark.parametrize("shift", [-1e-12, 0.0, 1e-12])
def test_a_course_that_ends_at_the_ground_gets_no_plaster(shift: float) -> None:
    """2 x 0.135 m buried and the ground 0.135 m below the springing: course -1 ends there, to the last bit or not."""
    design = replace(BASE, dome=replace(BASE.dome, floor_above_ground=0.135 + shift))
    dome = build_dome(design)
    assert dome.course(-1).z_top == pytest.approx(dome.ground, abs=1e-11)
    state = next(s for s in build_model(design).case("finished-dry").states if s.number == -1)
    assert len(state.parts) == 1
    above = next(s for s in build_model(design).case("finished-dry").states if s.number == 0)
    # The outer face, and the ledge under course 1; the inner face of course 0 lies below the floor.
    course, upper = dome.course(0), dome.course(1)
    assert [(part.inner, part.outer) for part in above.parts[1:]] == [
        pytest.approx((course.outer_radius, course.outer_radius + 0.03)),
        pytest.approx((upper.outer_radius, course.outer_radius)),
    ]


def test_plaster_covers_only_what_stands_above_the_ground_and_the_floor() -> None:
    """The ground 0.05 m under the top of course 0: a band of 0.05 m outside, no more, and none under the floor."""
    design = replace(BASE, dome=replace(BASE.dome, floor_above_ground=0.05), plaster=Plaster(0.03, 0.02, 18.0))
    model = build_model(design)
    dome, course, upper = model.dome, model.dome.course(0), model.dome.course(1)
    assert course.z_top == pytest.approx(dome.floor)
    finished = {state.number: state for state in model.case("finished-dry").states}
    parts = finished[0].parts[1:]
    assert [(part.inner, part.outer, part.height) for part in parts] == [
        pytest.approx((course.outer_radius, course.outer_radius + 0.03, 0.05)),
        pytest.approx((upper.outer_radius, course.outer_radius, 0.03)),
    ]
    # By hand: 18 kN/m3 on the outer band, per radian.
    r = course.outer_radius
    assert parts[0].weight == pytest.approx(18.0 * 0.05 * ((r + 0.03) ** 2 - r**2) / 2, rel=1e-12)
    assert finished[1].parts[1].height == upper.height
    # A measured wall may have its floor anywhere: 0.04 m of course 1 above it, and its underside below.
    sunk = replace(dome, floor=upper.z_top - 0.04)
    assert plastered_heights(sunk, upper) == pytest.approx((upper.height, 0.04))
    assert plastered_heights(replace(dome, floor=upper.z_top - 1e-12), upper)[1] == 0.0


def test_cohesion_counts_dry_over_the_dry_part_of_a_bed_and_wet_over_the_wet_part() -> None:
    design = beds(cohesion=3.0, cohesion_wet=1.0)
    model = build_model(design)
    wet = 0
    for case in model.cases:
        lune = cut_lune(model.dome, case)
        for i in range(lune.size):
            course = model.dome.course(int(lune.number[i]))
            a, b = course.bed_inner, course.bed_outer
            pair = [state for state in case.states if state.number in (course.number, course.number - 1)]
            if case.id == "wire-gone":
                want = 0.0
            elif any(state.moisture > design.fill.placing_moisture + 1e-9 for state in pair):
                want = 1.0 * (b * b - a * a) / 2
            else:
                w = min(max(min(state.wet_from for state in pair), a), b)
                want = 3.0 * (w * w - a * a) / 2 + 1.0 * (b * b - w * w) / 2
                wet += w < b
            assert lune.cohesion[i] == pytest.approx(want, rel=1e-12)
    assert wet > 10


def test_cohesion_tested_dry_alone_is_nothing_in_a_soaked_bed() -> None:
    model = build_model(beds(cohesion=3.0))
    assert (cut_lune(model.dome, model.case("soaked-through")).cohesion == 0.0).all()


def test_a_group_of_courses_has_its_own_fill_everywhere() -> None:
    own = replace(
        BASE.fill, dry_density=1900.0, stabiliser="cement", placing_moisture=0.08, service_moisture=0.02,
        strength_dry=2000.0, strength_as_placed=300.0, strength_wet=900.0,
    )  # fmt: skip
    design = replace(BASE, groups=(CourseGroup(None, 2, own),))
    model = build_model(design)
    for case in model.cases:
        plain = build_model(BASE).case(case.id) if case.id in ("finished-dry", "stage-05") else None
        for index, state in enumerate(case.states):
            fill = own if state.number <= 2 else BASE.fill
            assert design.fill_of(state.number) == fill
            if case.moisture == "service":
                assert (state.moisture, state.strength) == (fill.service_moisture, fill.strength_dry)
            if case.kind == "stage":
                assert state.strength == fill.strength_as_placed
            if case.moisture == "saturated":
                assert state.strength == fill.strength_wet
            if plain is not None and state.number > 2:
                assert state == plain.states[index]
    rained = next(case for case in model.cases if case.kind == "rain" and case.stage == 10)
    by_number = {state.number: state for state in rained.states}
    assert by_number[1].strength > by_number[5].strength == BASE.fill.strength_as_placed


def test_snow_lies_on_damp_walls_too() -> None:
    model = build_model(site(snow=1.5))
    damp, dry = model.case("finished-damp-snow"), model.case("finished-damp")
    added = 2 * math.pi * sum(a.weight - b.weight for a, b in zip(damp.states, dry.states, strict=True))
    outer = max(course.outer_radius for course in model.dome.courses if course.kind != "buried")
    assert added == pytest.approx(1.5 * math.pi * outer**2, rel=1e-9)  # the ledges together are the whole plan
    assert damp.states[0].strength == BASE.fill.strength_as_placed


# -- strength by moisture, the anchors worked out by hand ------------------------------------------------------------

LOG = math.log


@pytest.mark.parametrize(
    ("placing", "moisture", "want"),
    [
        (0.10, 0.10, 100.0),  # just laid: as placed
        (0.04, 0.04, 100.0),
        (0.03, 0.03, 100.0),  # drier than the dry limit, and fresh all the same
        (0.10, 0.04, 500.0),  # dried to the dry limit
        (0.10, 0.01, 500.0),
        (0.10, 0.07, math.exp((LOG(500) + LOG(100)) / 2)),  # halfway from 4 % to 10 %
        (0.04, 0.02, 500.0),  # half the placing water has left
        (0.04, 0.03, math.exp((LOG(500) + LOG(100)) / 2)),
        (0.10, 0.30, 10.0),
        (0.10, (0.10 + 0.9 * 0.194070) / 2, math.exp((LOG(100) + LOG(10)) / 2)),  # full at 1/1.75 - 1/2.65 = 19.4070 %
        (0.18, 0.18, 10.0),  # placed wetter than nine tenths full: the wet strength
    ],
)
def test_strength_by_moisture(placing: float, moisture: float, want: float) -> None:
    fill = replace(BASE.fill, placing_moisture=placing, strength_wet=10.0)
    assert strength_at(fill, moisture) == pytest.approx(want, rel=1e-5)
    assert strength_at(fill, moisture, hardened=True) == strength_at(fill, moisture)


def test_hardened_stabilised_fill_goes_from_dry_to_wet() -> None:
    fill = replace(BASE.fill, stabiliser="cement", strength_wet=50.0)
    wet_from = 0.9 * saturated_moisture(fill)
    assert strength_at(fill, 0.10, hardened=True) > strength_at(fill, 0.10) == 100.0
    assert strength_at(fill, 0.04, hardened=True) == 500.0
    assert strength_at(fill, (0.04 + wet_from) / 2, hardened=True) == pytest.approx(math.sqrt(500.0 * 50.0))
    assert strength_at(fill, wet_from, hardened=True) == 50.0


# -- what the block model is for -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["wind_pressure", "earthquake", "snow"])
def test_every_load_from_one_side_needs_blocks(name: str) -> None:
    assert not build_model(BASE).needs_blocks and BASE.building.scaffold_above == 0.0
    assert build_model(site(**{name: 0.2})).needs_blocks


def test_an_unknown_case_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        build_model(BASE).case("finished")
