"""A dome with openings without its wire, and with its base soaked: asked of its blocks, by program and checker."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from certificates import DOOR, SHELTER
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.design.file import parse_design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.earth import in_wet_ground
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.mechanics.proof.block_cases import Demand, block_demands, block_faults
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.proof.rebuild import rebuild
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.cuts import States
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proven
from shellcheck_earth.safety.blocks.reserve import reserve_case
from shellcheck_earth.safety.blocks.sideways import sideways_case
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.shortfalls import shortfalls

TEXT = SHELTER + DOOR
SEED_BANK = (Path(__file__).parents[3] / "reports/seed-bank/design.toml").read_text()


def _jobs(text: str) -> dict[str, Job]:
    return {job.id: job for job in jobs(build_dome(parse_design(text)))}


def _demands(text: str) -> dict[str, Demand]:
    return {demand.name: demand for demand in block_demands(read(text))}


def test_both_are_asked_and_the_dome_without_wire_of_one_thing_only() -> None:
    design = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.8, "lintel"),))
    asked = {job.id: job for job in jobs(build_dome(design))}
    bare, soaked = asked["three-d-wire-gone"], asked["three-d-base-soaked"]
    assert bare.criterion == "standing without wire" and bare.required(design) == 1.0
    assert joint_job(design, bare) is None
    assert soaked.criterion == "overall reserve"
    together = joint_job(design, soaked)
    assert together is not None and [row.name for row in together.rows] == ["on the ground"]
    without = replace(design, beds=replace(design.beds, wire_strands=0))
    assert "three-d-wire-gone" not in {job.id for job in jobs(build_dome(without))}


def test_the_checker_demands_both() -> None:
    found = _demands(TEXT)
    assert found["three-d-wire-gone"].least == 1 and not found["three-d-wire-gone"].sideways
    assert found["three-d-base-soaked"].least == Fraction(5, 4)
    assert found["three-d-base-soaked-joint, on the ground"].least == 1
    assert not any(name.startswith("three-d-wire-gone-joint") for name in found)
    bare = TEXT.replace('wire_breaking_load = { value = "3.0 kN", source = "measured" }', "wire_strands = 0")
    assert "three-d-wire-gone" not in _demands(bare)
    missing = block_faults(read(TEXT), [], wanted=True)
    assert "block case three-d-wire-gone is not proven" in missing
    assert "block case three-d-base-soaked is not proven" in missing


def test_no_bed_keeps_wire_or_the_friction_that_it_lent() -> None:
    """Damp beds have 0.65 with wire and 0.60 without."""
    found = _demands(TEXT)
    damp, bare = found["three-d-finished-damp"].wall, found["three-d-wire-gone"].wall
    assert any(layer.wire > 0 for layer in damp.layers) and not any(layer.wire for layer in bare.layers)
    assert {layer.friction for layer in damp.layers} == {0.65}
    assert {layer.friction for layer in bare.layers} == {0.60}
    assert [layer.weight for layer in damp.layers] == [layer.weight for layer in bare.layers]


def test_only_courses_at_and_below_the_ground_and_the_lowest_are_soaked() -> None:
    """One course of 0.14 m lies under the springing, which is the floor and stands 0.15 m over the ground: no course
    begins at or under that, from -0.14 m on, and the lowest is soaked all the same; with the floor on the ground, the
    buried one and the one that stands on it."""
    text = TEXT.replace("[site]\n", '[site]\nsplash_height = "0 m"\n')
    found = _demands(text)
    dry, base = found["three-d-finished-dry"].wall, found["three-d-base-soaked"].wall
    at_ground = _demands(text.replace("[dome]\n", '[dome]\nfloor_above_ground = "0 m"\n'))["three-d-base-soaked"].wall
    assert [a.bottom for a in dry.layers[:3]] == pytest.approx([-0.14, 0.0, 0.14])
    for index, (a, b, c) in enumerate(zip(dry.layers, base.layers, at_ground.layers, strict=True)):
        assert a.friction == 0.65 and a.strength == 3000.0
        assert (b.friction, b.strength) == ((0.55, 1000.0) if index < 1 else (0.65, 3000.0))
        assert (c.friction, c.strength) == ((0.55, 1000.0) if index < 2 else (0.65, 3000.0))
        assert (c.weight > a.weight) == (index < 2)


@pytest.mark.parametrize("buried", [0, 1])
def test_a_foot_that_is_nothing_when_wet_never_meets_because_it_stands_over_the_ground(buried: int) -> None:
    """Unstabilised fill, whose strength when wet nobody gives: program and checker ask it of the lowest course."""
    text = TEXT.replace("buried_courses = 1", f"buried_courses = {buried}")
    text = text.replace("[site]\n", '[site]\nsplash_height = "0 m"\n')
    text = "\n".join(line for line in text.splitlines() if not line.startswith(("stabiliser", "strength_wet")))
    design = parse_design(text)
    stack = build_dome(design)
    assert stack.courses[0].z_bottom > stack.ground
    lowest = case_of(stack, "base-soaked").states[0]
    assert lowest.strength == 0.0 and case_of(stack, "base-soaked").states[1].strength > 0.0
    assert _demands(text)["three-d-base-soaked"].wall.layers[0].strength == 0.0
    assert "base-soaked" in {short.case_id for short in shortfalls(design)}


@pytest.mark.parametrize(("last", "short"), [(0, {1, 2}), (1, {2}), (2, set())])
def test_a_stabilised_foot_has_to_reach_as_high_as_splash(last: int, short: set[int]) -> None:
    """Courses of 0.14 m from -0.14 m on, the ground at -0.15 m: course 1 begins 0.15 m over it and course 2 0.29 m,
    both within splash, course 3 not. Unstabilised fill, whose strength when wet nobody gives, is nothing there."""
    silent = ("stabiliser", "strength_wet")
    plain = "\n".join(line for line in TEXT.splitlines() if not line.startswith(silent))
    foot = f'[[wall.courses]]\nto = {last}\nstabiliser = "cement"\nstrength_wet = "1 MPa"\n'
    text = plain.replace("[beds]\n", foot + "[beds]\n")
    case = case_of(build_dome(parse_design(text)), "base-soaked")
    assert {state.number for state in case.states if state.strength == 0.0} == short
    assert ("base-soaked" in {one.case_id for one in shortfalls(parse_design(text))}) == bool(short)
    layers = _demands(text)["three-d-base-soaked"].wall.layers
    numbers = [state.number for state in case.states]
    assert {n for n, layer in zip(numbers, layers, strict=True) if layer.strength == 0.0} == short


@pytest.mark.parametrize(("friction", "meets"), [(0.45, True), (0.2, False)])
def test_rings_that_stand_without_wire_are_not_enough_where_there_are_openings(friction: float, meets: bool) -> None:
    """With 0.2 of friction once the wire is gone the rings of the seed bank hold more than is asked, its blocks
    less than that: its door spreads."""
    text = SEED_BANK.replace("friction_no_wire = { value = 0.45", f"friction_no_wire = {{ value = {friction}")
    stack = build_dome(parse_design(text))
    job = _jobs(text)["three-d-wire-gone"]
    assert (reserve_of(cut_lune(stack, job.case)) or 0.0) > 1.02
    states: States = {}
    found = reserve_case(stack, job, (8, 12), states)
    assert found.meets is meets
    shown = proven(stack, job, found, states, {})
    assert bool(shown.proofs) == meets
    if meets:
        wall = _demands(text)["three-d-wire-gone"]
        assert wall.least == 1
        faults = block_faults(read(text), [json.loads(one) for one in shown.proofs], wanted=True)
        assert not any("three-d-wire-gone " in line for line in faults)


def test_snow_lies_on_a_soaked_foot_too() -> None:
    """Wet fill of 0.12 MPa bears the shelter and not 12 kPa of snow on it: program and checker ask both together."""
    said = 'snow = { value = "none", reason = "no snow lies in this valley" }'
    weak = 'strength_wet = { value = "1 MPa"', 'strength_wet = { value = "0.12 MPa"'
    text = TEXT.replace(said, 'snow = "12 kPa"').replace(*weak)
    assert text.count("12 kPa") == text.count("0.12 MPa") == 1
    short = {one.case_id for one in shortfalls(parse_design(text))}
    assert "base-soaked-snow" in short and not {"base-soaked", "finished-snow", "finished-damp-snow"} & short
    cases = {case.id: case for case in rebuild(read(text)).cases}
    assert {"base-soaked", "base-soaked-snow"} <= set(cases) and cases["base-soaked-snow"].counts
    alone, snowed = (cases[name].beds for name in ("base-soaked", "base-soaked-snow"))
    assert not any(bed.imposed[0] for bed in alone) and any(bed.imposed[0] for bed in snowed)
    assert [bed.strength_in for bed in alone] == [bed.strength_in for bed in snowed]
    found = _demands(text)
    assert found["three-d-base-soaked-snow"].wall.layers[0].strength == 120.0
    assert "three-d-base-soaked-snow" not in _demands(TEXT)


COHESIVE = """[beds]
cohesion = { value = "4 kPa", source = "measured" }
cohesion_wet = { value = "1 kPa", source = "measured" }"""
SHAKEN = (
    SHELTER.replace('strength_wet = { value = "1 MPa"', 'strength_wet = { value = "0.12 MPa"')
    .replace(
        'earthquake = { value = "none", reason = "no shaking, invented example" }',
        'earthquake = 0.2\nearthquake_basis = "strength level"',
    )
    .replace("[building]", "[building]\ncourses_per_day = 0.2")
)


def test_an_earthquake_finds_the_foot_soaked() -> None:
    """Wet fill of 0.12 MPa bears the shelter, and the damp shelter bears the earthquake: 1.13 of 1.1. Both at once it
    does not, though nothing is heavier than it was."""
    dome, shaken = build_dome(parse_design(SHAKEN)), _jobs(SHAKEN)["three-d-earthquake"]
    assert not shortfalls(dome.design) and shaken.case.wetting == "base"
    damp = replace(shaken, case=case_of(dome, "finished-damp"))
    dry, soaked = (sideways_case(dome, job, (8, 12)) for job in (damp, shaken))
    assert dry.meets and soaked.meets is False and (soaked.relied or 0.0) < 1.1 < (dry.relied or 0.0)
    assert [one.weight for one in shaken.case.states] == [one.weight for one in damp.case.states]


@pytest.mark.parametrize("text", [SHAKEN, SHELTER.replace("[beds]", COHESIVE)])
def test_every_load_from_one_side_finds_it_and_no_stage_does(text: str) -> None:
    """Program and checker alike: of the soaked state capacities, of the case's own what weighs."""
    windy = text.replace(
        'wind_pressure = { value = "none", reason = "walled orchard, invented example" }', 'wind_pressure = "0.4 kPa"'
    )
    snowy = windy.replace('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "1 kPa"')
    dome, demands = build_dome(parse_design(snowy)), _demands(snowy)
    soaked = {state.number: state for state in case_of(dome, "base-soaked").states[:3]}
    asked = [job for job in jobs(dome) if job.loads]
    assert {job.loads[0].kind for job in asked} >= {"wind", "snow"}
    for job in asked:
        at_foot = job.case.kind == "finished"
        plain = (
            case_of(dome, {"service": "finished-dry", "placed": "finished-damp"}[job.case.moisture])
            if at_foot
            else None
        )
        for one in job.case.states[:3] if at_foot else ():
            assert (one.strength, one.friction, one.cohesion) == (
                soaked[one.number].strength, soaked[one.number].friction, soaked[one.number].cohesion
            )  # fmt: skip
        if plain is not None:
            assert [one.weight for one in job.case.states] == [one.weight for one in plain.states]
            assert job.case.states[3:] == plain.states[3:]
        named = [demand for name, demand in demands.items() if name.startswith(f"{job.id}, ")]
        assert named
        for demand in named:
            lowest = demand.wall.layers[0]
            assert (lowest.strength == pytest.approx(soaked[dome.courses[0].number].strength)) == at_foot


@pytest.mark.parametrize(("strength_wet", "falls_short"), [("0.16 MPa", True), ("0.5 MPa", False)])
def test_the_trench_is_soaked_while_the_wall_is_built(strength_wet: str, falls_short: bool) -> None:
    """A dome of 3 m with its floor at the ground, six courses a day: finished its foot may be soaked, weeks later; on
    its second day it may not, under whatever cover."""
    text = SHELTER.replace('"2.0 m"', '"3.0 m"').replace(
        'strength_wet = { value = "1 MPa"', f'strength_wet = {{ value = "{strength_wet}"'
    )
    text = text.replace("[dome]", '[dome]\nfloor_above_ground = "0 m"').replace(
        "[building]", "[building]\ncourses_per_day = 6"
    )
    for said in (text, text.replace('cover_after = "2 h"', 'cover_after = "0 h"')):
        short = {one.case_id for one in shortfalls(parse_design(said))}
        assert "base-soaked" not in short and any("-rain" in name for name in short) == falls_short
        beds = {case.id: case.beds for case in rebuild(read(said)).cases}["day-002-stage-11-rain"]
        dome = build_dome(parse_design(said))
        soaked = [bed.number for bed in beds if bed.wet_from <= bed.inner and bed.ring_depth == 0]
        assert {course.number for course in dome.courses if in_wet_ground(dome, course)} <= set(soaked)
