"""Earth against one side of the wall: by hand, whole domes, turned, and what is demanded."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from near import near
from one_side import BANK, DOOR, banked

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import BearingLoad
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.meridians import meridians
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import Case, carrying, case_of, dead_cases
from shellcheck_earth.loads.joint import ON_THE_GROUND, Row, dead_rows
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.loads.ring_loads import block_states, carried_states
from shellcheck_earth.loads.side_loads import directions_to_try, each_once, mirrored
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.weights import block_weights, handed_wrench
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.earth import RELIED_ON
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.proof.rebuild import rebuild
from shellcheck_earth.safety.blocks.jobs import jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import proof_name, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem, largest_reserve
from shellcheck_earth.safety.doubts import doubts_of
from validation.one_ring import rings


def _pressed(dome: Dome, state: int = 1, name: str = "finished-dry") -> Case:
    return next(carrying(case_of(dome, name), one) for one in block_states(dome) if one.earth == state)


# -- by hand ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("half", [20.0, 60.0, 90.0, 150.0])
@pytest.mark.parametrize("cuts", [18, 36])
def test_its_resultant_is_the_pressure_on_its_chord(half: float, cuts: int) -> None:
    """Force 1/0.53 K g z summed over the faces, times 2 sin of half its angle; its moment about the lowest bed too."""
    start, end = (math.radians(200.0 + way * half) for way in (-1, 1))
    dome = build_dome(banked(replace(BANK, from_bearing=start, to_bearing=end), openings=()))
    layout, case = cut_blocks(dome, cuts), _pressed(dome)
    centre, _ = block_weights(dome, case, layout)
    found = handed_wrench(case, layout, centre)
    total = found[:, :3].sum(axis=0)
    surface, force, moment = dome.ground + 0.4, 0.0, 0.0
    for course in dome.courses:
        steps = 400
        for k in range(steps):
            z = course.z_bottom + (k + 0.5) / steps * course.height
            if z < surface:
                face = course.outer_radius + dome.design.plaster.outside
                push = 0.5 * 18.0 * (surface - z) / 0.53 * face * course.height / steps
                force, moment = force + push, moment + push * (z - dome.base)
    middle, chord = math.radians(200.0), 2 * math.sin(math.radians(half))
    assert total[0] == pytest.approx(-force * chord * math.sin(middle), rel=1e-4, abs=1e-9)
    assert total[1] == pytest.approx(-force * chord * math.cos(middle), rel=1e-4, abs=1e-9)
    about = sum(
        x[2] * f[1] - dome.base * f[1] - m[0] for x, f, m in zip(centre, found[:, :3], found[:, 3:], strict=True)
    )
    # moment of the forces' north part about the level of the lowest bed: each block's own moment counts too
    north = sum(f[1] * (x[2] - dome.base) - m[0] for x, f, m in zip(centre, found[:, :3], found[:, 3:], strict=True))
    assert about == pytest.approx(north) and north == pytest.approx(
        -moment * chord * math.cos(middle), rel=1e-3, abs=1e-6
    )


def test_two_halves_are_the_whole() -> None:
    """On two sides that meet it is what lies all around, but for the share that is relied on."""
    whole = build_dome(banked(replace(BANK, from_bearing=None, to_bearing=None), openings=()))
    east, west = (
        build_dome(banked(replace(BANK, from_bearing=a, to_bearing=b), openings=()))
        for a, b in ((0.0, math.pi), (math.pi, 2 * math.pi))
    )
    layout = cut_blocks(east, 18)
    for state, share in ((1, 0.53), (2, 0.53), (3, 1.0)):
        parts = [_pressed(one, state) for one in (east, west)]
        centre, _ = block_weights(east, parts[0], layout)
        around = handed_wrench(_pressed(whole, state), layout, centre)
        both = sum(handed_wrench(one, layout, centre) for one in parts)
        assert both[:, :2] * share == pytest.approx(around[:, :2], abs=1e-12)
        assert both[:, 2] == pytest.approx(around[:, 2], abs=1e-12)


@pytest.mark.parametrize(("by", "held"), [(1.002, True), (0.998, False)])
def test_one_ring_slides_off_as_statics_say(by: float, held: bool) -> None:
    """No block of a single ring presses on its neighbour: those behind the earth slide where P s = mu s V."""
    own = 1800 * 9.80665e-3 * 0.5 * (1.9**2 - 1.5**2) / 2
    push = 1.9 * 0.5 * 18.0 * 0.3**2 / 2 / 0.53
    side = """[backfill]
height = "0.3 m"
unit_weight = { value = "18 kN/m3", source = "measured" }
friction_angle = { value = "30 deg", source = "measured" }
compacted = false
surcharge = "0 kPa"
from_bearing = "90 deg"
to_bearing = "210 deg"
"""
    needed = push / own * 1.5 * by
    ground = f'[site]\nground_friction = 1\nground_friction_wet = {{ value = {needed!r}, source = "measured" }}\n'
    dome = build_dome(parse_design(rings(1.4, level_floor=True) + side + ground))
    row = Row(ON_THE_GROUND, sliding=1.5, bearing=1e-3)
    problem = dead_problem(dome, _pressed(dome), cut_blocks(dome, 18), 1.0, row)
    assert solve_cone(assemble(replace(problem, most=1e-5))).solved == held


@pytest.mark.parametrize(("by", "held"), [(1.01, True), (0.97, False)])
def test_a_whole_dome_slides_where_its_weight_times_friction_does(by: float, held: bool) -> None:
    """Pushed by the resultant, held by friction under all of it; stiff enough to hand it from one side to the other."""
    strong = replace(banked().fill, strength_dry=20_000.0, strength_as_placed=20_000.0, strength_wet=20_000.0)
    design = replace(banked(openings=()), fill=strong, beds=replace(banked().beds, friction=1.4, friction_wet=1.4))
    dome = build_dome(design)
    case = _pressed(dome)
    layout = cut_blocks(dome, 18)
    centre, weight = block_weights(dome, case, layout)
    push = handed_wrench(case, layout, centre)[:, :2].sum(axis=0)
    needed = math.hypot(*push) / weight.sum()
    site = replace(design.site, friction_wet=needed * 1.5 * by, ground_friction=1.4)
    dome = build_dome(replace(design, site=site))
    problem = dead_problem(dome, case, layout, 1.0, Row(ON_THE_GROUND, sliding=1.5, bearing=1e-3))
    assert solve_cone(assemble(replace(problem, most=1e-5))).solved == held


def test_turned_on_plan_the_answer_is_the_same() -> None:
    """Blocks, earth and answer turn with the building."""
    found = []
    for turn in (0.0, 0.7, 2.9):
        bank = replace(
            BANK, from_bearing=math.radians(120.0) + turn, to_bearing=math.radians(240.0) + turn - 2 * math.pi
        )
        dome = build_dome(banked(bank, openings=(replace(DOOR, bearing=turn),)))
        edge = largest_reserve(dome, _pressed(dome), cut_blocks(dome, 18), [6.0], first=1.2)
        found.append(edge.reserve)
    assert all(one == pytest.approx(found[0], rel=1e-6) for one in found) and found[0]


def test_blocks_end_where_it_ends() -> None:
    dome = build_dome(banked(replace(BANK, from_bearing=1.9, to_bearing=3.7)))
    for cuts in (18, 36):
        lines = meridians(dome, cuts)
        assert all(min(abs(line - end) for line in lines) < 1e-9 for end in (1.9, 3.7))


# -- which states, and what the checker demands ----------------------------------------------------------------------


def test_no_ring_knows_it_and_blocks_are_asked_what_no_ring_is() -> None:
    dome = build_dome(banked())
    assert not list(carried_states(dome)) and not any("earth" in case.id for case in dead_cases(dome))
    assert not any("earth" in case.id for case in rebuild(read(design_toml(dome.design))).cases)
    states = list(block_states(dome))
    assert [(one.suffix, one.dead) for one in states] == [
        ("-earth-1", False), ("-earth-2", False), ("-earth-3", False), ("-earth-4", True), ("-earth-7", True),
        ("-earth-8", True),
    ]  # fmt: skip
    assert all(one.words.count("against one side of the wall") == 1 for one in states)
    loaded = list(block_states(build_dome(banked(replace(BANK, surcharge=5.0)))))
    assert [(one.suffix, one.dead) for one in loaded][:4] == [
        ("-earth-1", True), ("-earth-4", False), ("-earth-5", False), ("-earth-6", False),
    ]  # fmt: skip
    assert needs_more_than_crew(banked(openings=())) and read(design_toml(banked(openings=()))).needs_more_than_crew
    assert not needs_more_than_crew(banked(replace(BANK, from_bearing=None, to_bearing=None), openings=()))
    assert float(RELIED_ON) == fixed("blocks.relied_on")


@pytest.mark.parametrize("criteria", ["common practice", "EN 1990"])
@pytest.mark.parametrize("more", [{}, {"wind_pressure": 0.5, "snow": 0.4}, {"openings": (), "wind_pressure": 0.5}])
def test_the_checker_demands_what_the_program_asks(criteria: str, more: dict[str, Any]) -> None:
    earth = replace(BANK, surcharge=3.0, unit_weight=(16.0, 20.0))
    design = banked(earth, **more)
    design = replace(design, criteria=replace(design.criteria, set_name=criteria))
    demanded = {one.name: one.wall for one in block_demands(read(design_toml(design)))}
    dome, asked = build_dome(parse_design(design_toml(design))), {}
    for job in [one for plain in jobs(dome) for one in (plain, joint_job(dome.design, plain)) if one]:
        if job.only_joint and not job.joint:
            continue
        kept = [load for load, _ in each_once(dome.design, job.loads)]
        for load, row in [one for one in job.asked() if one[0] in kept] or [(None, row) for row in job.rows]:
            asked[proof_name(job, load, row)] = wall_of(dome, job, row, load)
    assert set(demanded) == set(asked) and any("-earth-" in name for name in demanded)
    for name, wall in demanded.items():
        mine = asked[name]
        assert len(mine.handed) == len(wall.handed)
        for a, b in zip(sorted(mine.handed, key=vars_of), sorted(wall.handed, key=vars_of), strict=True):
            assert near(vars_of(a), vars_of(b), 1e-6, 1e-9), (name, a, b)


def vars_of(one: Any) -> list[float]:
    return [float(value) for value in vars(one).values()]


def test_the_dry_dome_is_asked_of_the_ground_beside_what_comes_from_one_side() -> None:
    """It is the lightest: its friction is the least, the push the same."""
    dome = build_dome(banked())
    pressed, bare = _pressed(dome), case_of(dome, "finished-dry")
    assert ON_THE_GROUND in [row.name for row in dead_rows(dome.design, pressed)]
    assert ON_THE_GROUND not in [row.name for row in dead_rows(dome.design, bare)]
    around = build_dome(banked(replace(BANK, from_bearing=None, to_bearing=None)))
    assert ON_THE_GROUND not in [row.name for row in dead_rows(around.design, _pressed(around))]
    vault = BearingLoad("Vault", 1.0, dome.ground + 0.9, 0.4, (2.0, 2.0), (3.0, 3.0), (0.1, 0.1))
    for design, name in (
        (banked(), "earth-1"),
        (replace(banked(None), bearing_loads=(vault,)), "carrying-1"),
    ):
        names = [one.name for one in block_demands(read(design_toml(design)))]
        assert f"three-d-finished-dry-{name}-joint, {ON_THE_GROUND}" in names
        assert f"three-d-finished-dry-joint, {ON_THE_GROUND}" not in names


def test_loads_from_one_side_are_mirrored_in_its_own_plane_alone() -> None:
    design = banked(openings=())
    assert mirrored(design, math.pi) and mirrored(design, 0.0) and not mirrored(design, 1.0)
    assert directions_to_try(design)[0] == pytest.approx(math.pi)
    askew = banked(replace(BANK, to_bearing=math.radians(250.0)))
    assert not mirrored(askew, 0.0) and mirrored(banked(), 0.0)
    windy = read(design_toml(banked(replace(BANK, to_bearing=math.radians(250.0)), wind_pressure=0.5)))
    names = [one.name for one in block_demands(windy) if one.name.startswith("three-d-wind, wind-270")]
    assert names  # the mirror image of wind-090 is no mirror image any more


@pytest.mark.parametrize(
    ("bearing", "reaches"), [(180.0, True), (250.0, True), (290.0, True), (296.0, True), (298.0, False), (0.0, False)]
)
def test_an_opening_off_it_may_be_lower_than_it_is_high(bearing: float, reaches: bool) -> None:
    """0.8 m and half a metre more on 1.3 m of radius: 57.3 degrees from where the earth ends, at 240."""
    door = replace(DOOR, bearing=math.radians(bearing))
    design = banked(replace(BANK, height=1.5), openings=(door,))
    assert any(one.kind == "earth over an opening" for one in doubts_of(build_dome(design))) == reaches
    assert any("earth reaches" in one for one in doubts(read(design_toml(design)))) == reaches


def test_water_and_shaking_stay_in_doubt() -> None:
    design = banked(replace(BANK, drained=""), earthquake=0.05)
    kinds = [one.kind for one in doubts_of(build_dome(design))]
    assert {"water against the wall", "earth shaken"} <= set(kinds)
    assert sum("not computed" in one for one in doubts(read(design_toml(design)))) == 2
