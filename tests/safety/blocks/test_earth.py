"""Earth against the wall on blocks: by hand, against the rings, and in proofs that no forgery passes."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from forged import OF_HANDED, turned_round
from samples import classroom

from shellcheck_earth.design.design import Backfill, Design, Fill, Opening, RingLoad
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import Case, carrying, case_of
from shellcheck_earth.loads.joint import PLAIN
from shellcheck_earth.loads.ring_loads import block_states
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.weights import block_weights, handed_wrench
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.proofs import proven, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem, largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.doubts import doubts_of
from validation.one_ring import rings

BERM = Backfill(height=0.5, surcharge=0.0, drained="gravel and a pipe that ends in the open")
DOOR = Opening("door", 0.0, 0.0, 0.8, 1.7, "pointed")
OFF = Opening("window", 2.0, 1.1, 0.4, 0.5, "round")


def _design(earth: Backfill | None = BERM, openings: tuple[Opening, ...] = (DOOR,), **site: Any) -> Design:
    design = classroom(openings=openings)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site = {"ground_friction": 0.6, "friction_wet": 0.6, "ground_bearing": 150.0, "bearing_wet": 150.0} | site
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, backfill=earth,
        site=replace(design.site, **site), building=replace(design.building, worker=1.0, scaffold_above=None),
    )  # fmt: skip


def _pressed(dome: Dome, state: int = 1, name: str = "finished-dry") -> Case:
    return next(carrying(case_of(dome, name), one) for one in block_states(dome) if one.earth == state)


# -- by hand ---------------------------------------------------------------------------------------------------------


def test_every_block_has_the_pressure_of_its_angle_and_whole_rings_none_in_all() -> None:
    dome = build_dome(_design(openings=()))
    layout, case = cut_blocks(dome, 18), _pressed(dome)
    centre, _ = block_weights(dome, case, layout)
    found = handed_wrench(case, layout, centre)
    assert found[:, :3].sum(axis=0) == pytest.approx([0.0, 0.0, 0.0], abs=1e-12)
    for k, block in enumerate(layout.blocks):
        pushed = sum(one.thrust for one in case.states[block.course].handed)
        angle, middle = block.end - block.start, (block.start + block.end) / 2
        inward = found[k, 0] * math.sin(middle) + found[k, 1] * math.cos(middle)
        assert inward == pytest.approx(pushed * 2 * math.sin(angle / 2)) and found[k, 2] == 0.0
    assert sum(any(row) for row in found) == 18 * len([one for one in case.states if one.handed])


def test_the_earth_that_a_door_keeps_off_is_missing() -> None:
    """What is left over pushes towards the door, due north: the pressure times the chord of what it cuts out."""
    dome = build_dome(_design())
    layout, case = cut_blocks(dome, 18), _pressed(dome)
    centre, _ = block_weights(dome, case, layout)
    found = handed_wrench(case, layout, centre)
    by_hand = 0.0
    for course, state in zip(dome.courses, case.states, strict=True):
        if course.z_top > dome.floor + 1e-9:  # the door begins at the floor
            chord = 2 * (0.4 / course.inner_radius)
            by_hand -= sum(one.thrust for one in state.handed) * chord
    assert by_hand > 0.5
    assert found[:, :3].sum(axis=0) == pytest.approx([0.0, by_hand, 0.0], abs=1e-9)


RING = """[backfill]
height = "0.5 m"
unit_weight = { value = "18 kN/m3", source = "measured" }
friction_angle = { value = "30 deg", source = "measured" }
compacted = false
surcharge = "0 kPa"
"""


@pytest.mark.parametrize("by", [0.999, 1.001])
def test_one_ring_slides_inward_where_statics_say(by: float) -> None:
    """It needs P/W of friction, in blocks too, for both go with sin b/b."""
    own = 1800 * 9.80665e-3 * 0.5 * (1.9**2 - 1.5**2) / 2
    friction = 1.9 * 0.5 * 18.0 * 0.5**2 / 2 / own * by
    text = rings(friction, level_floor=True) + RING
    dome = build_dome(parse_design(text))
    assert solve_cone(assemble(dead_problem(dome, _pressed(dome), cut_blocks(dome, 24), 1.0))).solved == (by > 1)


@pytest.mark.parametrize("state", [1, 2, 3])
def test_whole_rings_of_blocks_come_to_the_rings_from_the_safe_side(state: int) -> None:
    dome = build_dome(_design(replace(BERM, height=1.6), openings=()))
    case = _pressed(dome, state, "soaked-through")
    exact = reserve_of(cut_lune(dome, case))
    assert exact is not None
    edge = largest_reserve(dome, case, cut_blocks(dome, 36), [exact * 1.2], first=exact)
    assert edge.reserve is not None and 0.95 * exact < edge.reserve <= exact * 1.001


# -- which states, and what the checker demands ----------------------------------------------------------------------


def test_blocks_are_asked_the_corners_of_the_whole_earth() -> None:
    states = list(block_states(build_dome(_design())))
    assert [one.suffix for one in states] == ["-earth-1", "-earth-2", "-earth-3"]
    loaded = list(block_states(build_dome(_design(replace(BERM, surcharge=5.0)))))
    assert [one.suffix for one in loaded] == ["-earth-4", "-earth-5", "-earth-6"]
    assert all("loaded" in one.words and "light" not in one.words for one in loaded)
    cap = RingLoad("Skylight", build_dome(_design()).top, (1.0, 1.0), (0.0, 0.0), (0.1, 0.1))
    beside = [one.suffix for one in block_states(build_dome(replace(_design(), ring_loads=(cap,))))]
    assert beside[:3] == ["-carrying-1", "-earth-1", "-earth-1-carrying-1"] and len(beside) == 7


@pytest.mark.parametrize(
    ("height", "opening", "reaches"),
    [(0.5, DOOR, False), (1.2, DOOR, True), (0.7, replace(DOOR, head="lintel"), False), (0.9, OFF, False),
     (1.45, OFF, True), (1.65, replace(DOOR, head="lintel"), False), (1.75, replace(DOOR, head="lintel"), True)],
)  # fmt: skip
def test_earth_on_what_carries_an_opening_is_no_pass(height: float, opening: Opening, reaches: bool) -> None:
    design = _design(replace(BERM, height=height), openings=(opening,))
    found = [one for one in doubts_of(build_dome(design)) if one.kind == "earth over an opening"]
    assert bool(found) == reaches and all(one.path == "opening[1].height" for one in found)
    said = [one for one in doubts(read(design_toml(design))) if "earth reaches" in one]
    assert bool(said) == reaches


# -- proofs ----------------------------------------------------------------------------------------------------------


def _claim(job: Job, relied: float) -> BlockResult:
    """As if the search had ended at a number that meets."""
    return BlockResult(
        job.id, job.title, job.criterion, relied, relied, relied, relied, "solved", "", False, None, (),
        (CutResult(12, 1, relied),), ((0.0, relied),) if job.loads else (), (), len(job.case.states),
    )  # fmt: skip


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(_design(wind_pressure=0.5))


@pytest.fixture(scope="module")
def proofs(dome: Dome) -> dict[str, tuple[Job, dict[str, Any]]]:
    """A proof of the dead load with the ledges' weight, and of one direction of the wind, both with the earth."""
    out = {}
    for kind, relied in (("finished-dry-earth-2", 1.02), ("wind-earth-1", 0.5)):
        job = next(job for job in jobs(dome) if job.id == f"three-d-{kind}")
        job = replace(job, loads=job.loads[:1])
        found = proven(dome, job, _claim(job, relied))
        assert found.why == "" and found.relied == pytest.approx(relied, rel=1e-5)
        out[kind] = job, json.loads(found.proofs[0])
    return out


FORGERIES: dict[str, Callable[[dict[str, Any]], Any]] = OF_HANDED | {
    "outward": turned_round,
    "ledges bare": lambda d: [row.__setitem__(2, 0) for row in d["handed"]],
}


@pytest.mark.parametrize("name", FORGERIES)
def test_no_forgery_of_it_is_taken(dome: Dome, proofs: dict[str, tuple[Job, dict[str, Any]]], name: str) -> None:
    job, data = proofs["finished-dry-earth-2"]
    assert check_block_proof(data, wall_of(dome, job)).proven is not None
    forged = copy.deepcopy(data)
    FORGERIES[name](forged)
    assert forged != data
    finding = check_block_proof(forged, wall_of(dome, job))
    assert finding.proven is None and finding.why


def test_the_proof_holds_before_the_wall_that_the_checker_rebuilds(
    proofs: dict[str, tuple[Job, dict[str, Any]]],
) -> None:
    demanded = {one.name: one for one in block_demands(read(design_toml(_design(wind_pressure=0.5))))}
    for job, data in proofs.values():
        name = ", ".join([job.id, *(load.id for load in job.loads)])
        assert data["case"] == name and check_block_proof(data, demanded[name].wall).proven is not None
        bare = name.replace("-earth-2", "").replace("-earth-1", "")
        assert check_block_proof(data, demanded[bare].wall).proven is None


def test_other_earth_needs_another_proof(proofs: dict[str, tuple[Job, dict[str, Any]]]) -> None:
    data = proofs["finished-dry-earth-2"][1]
    for changes in ({"height": 0.49}, {"compacted": False}, {"unit_weight": (12.0, 22.5)}, {"surcharge": 0.1}):
        other = build_dome(_design(replace(BERM, **changes), wind_pressure=0.5))
        there = next(one for one in jobs(other) if one.id.startswith("three-d-finished-dry-earth-")
                     and "on ledges" in one.title and "most" in one.title)  # fmt: skip
        finding = check_block_proof(data, wall_of(other, replace(there, loads=there.loads[:1])))
        assert finding.proven is None and "handed" in finding.why, changes


def test_with_the_wind_beside_it(dome: Dome, proofs: dict[str, tuple[Job, dict[str, Any]]]) -> None:
    job, data = proofs["wind-earth-1"]
    assert check_block_proof(data, wall_of(dome, job, PLAIN, job.loads[0])).proven is not None
    assert np.array(data["handed"]).any()
