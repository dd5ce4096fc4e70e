"""What is handed into a ring, on blocks: by hand, against the rings, and in proofs that no forgery passes."""

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

from shellcheck_earth.design.design import Design, Fill, Opening, RingLoad
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import Case, carrying, case_of
from shellcheck_earth.loads.joint import PLAIN
from shellcheck_earth.loads.ring_loads import block_states, carried_states
from shellcheck_earth.loads.side_loads import SideLoad, turned
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights, handed_wrench
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.proofs import proven, wall_of
from shellcheck_earth.safety.blocks.reserve import dead_problem, largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.blocks.sideways import Asked, Question
from shellcheck_earth.safety.checks import reserve_of
from validation.one_ring import rings

LOFT = RingLoad("Loft", 1.9, (6.0, 6.0), (2.0, 2.0), (0.1, 0.1))
DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")


def _design(*loads: RingLoad, openings: tuple[Opening, ...] = (DOOR,), **site: Any) -> Design:
    design = classroom(openings=openings)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site = {"ground_friction": 0.6, "friction_wet": 0.6, "ground_bearing": 150.0, "bearing_wet": 150.0} | site
    return replace(
        design, dome=replace(design.dome, inside_diameter=2.6), fill=fill, ring_loads=loads,
        site=replace(design.site, **site), building=replace(design.building, worker=1.0, scaffold_above=None),
    )  # fmt: skip


def _carrying(dome: Dome, name: str = "finished-dry") -> Case:
    (state,) = carried_states(dome)
    return carrying(case_of(dome, name), state)


# -- by hand ---------------------------------------------------------------------------------------------------------


def test_every_block_has_the_load_of_its_angle() -> None:
    """6 kN down and 2 kN outward of the whole ring at 1.9 m: the weights add up, thrust cancels out all around."""
    dome = build_dome(_design(LOFT))
    layout, case = cut_blocks(dome, 18), _carrying(dome)
    centre, _ = block_weights(dome, case, layout)
    found = handed_wrench(case, layout, centre)
    course = next(k for k, one in enumerate(dome.courses) if one.z_bottom < 1.9 <= one.z_top)
    on = [k for k, block in enumerate(layout.blocks) if block.course == course]
    assert not np.delete(found, on, axis=0).any()
    assert found[:, :3].sum(axis=0) == pytest.approx([0.0, 0.0, -6.0], abs=1e-12)
    for k in on:
        block = layout.blocks[k]
        angle, middle = block.end - block.start, (block.start + block.end) / 2
        share = math.sin(angle / 2) / (angle / 2)
        assert found[k, 2] == pytest.approx(-6.0 * angle / (2 * math.pi))
        outward = found[k, 0] * math.sin(middle) + found[k, 1] * math.cos(middle)
        assert outward == pytest.approx(2.0 * angle / (2 * math.pi) * share)
        # about the block's centre, in its own upright plane: weight at the load's radius, thrust at its level
        radius = math.hypot(centre[k, 0], centre[k, 1])
        over = found[k, 3] * math.cos(middle) - found[k, 4] * math.sin(middle)
        lever = (dome.courses[course].inner_radius + 0.1) * share - radius
        assert over == pytest.approx(found[k, 2] * lever - outward * (1.9 - centre[k, 2]))


RING = """[[ring_load]]
name = "Cap"
height = "0.5 m"
weight = "5 kN"
thrust = "THRUST kN"
from_inner_face = "0.1 m"
"""


def _ring_holds(thrust: float, friction: float) -> bool:
    dome = build_dome(parse_design(rings(friction) + RING.replace("THRUST", f"{thrust!r}")))
    layout = cut_blocks(dome, 24)
    return solve_cone(assemble(dead_problem(dome, _carrying(dome), layout, 1.0))).solved


def test_one_ring_on_its_bed_slides_and_tips_where_statics_say() -> None:
    """It weighs 37.7 kN: with 5 kN of cap it slides at 0.3 x (W + 5), in blocks too, for both go with sin b/b. It tips
    where the resultant reaches the outer edge, in blocks on the safe side: about the chord of the edge."""
    own = 1800 * 9.80665e-3 * 0.5 * math.pi * (1.9**2 - 1.5**2)
    slides = 0.3 * (own + 5.0)
    assert _ring_holds(slides * 0.9995, 0.3) and not _ring_holds(slides * 1.0005, 0.3)
    moment = own * 2 / 3 * (1.9**3 - 1.5**3) / (1.9**2 - 1.5**2) + 5.0 * 1.6
    b = math.pi / 24
    tips = (1.9 * math.cos(b) / (math.sin(b) / b) * (own + 5.0) - moment) / 0.5
    assert _ring_holds(tips * 0.998, 1.5) and not _ring_holds(tips * 1.0005, 1.5)
    assert tips < (1.9 * (own + 5.0) - moment) / 0.5  # which is what the ring itself takes


@pytest.mark.parametrize("load", [LOFT, replace(LOFT, weight=(0.0, 0.0), thrust=(9.0, 9.0)),
                                  replace(LOFT, weight=(14.0, 14.0), thrust=(-3.0, -3.0))])  # fmt: skip
def test_whole_rings_of_blocks_come_to_the_rings_from_the_safe_side(load: RingLoad) -> None:
    dome = build_dome(_design(load, openings=()))
    case = _carrying(dome)
    exact = reserve_of(cut_lune(dome, case))
    bare = reserve_of(cut_lune(dome, case_of(dome, "finished-dry")))
    assert exact is not None and bare is not None and abs(exact / bare - 1) > 0.01
    edge = largest_reserve(dome, case, cut_blocks(dome, 36), [exact * 1.2], first=exact)
    assert edge.reserve is not None and 0.95 * exact < edge.reserve <= exact * 1.001


def test_an_earthquake_shakes_what_weighs_where_it_bears() -> None:
    dome = build_dome(_design(replace(LOFT, weight=(-1.0, 6.0)), earthquake=0.1))
    bare, quake = case_of(dome, "finished-damp"), SideLoad("q", "", "earthquake", 0.7, 0.1, "earthquake", vertical=0.03)
    layout = cut_blocks(dome, 12)
    before = side_wrench(dome, bare, layout, quake)
    for state, weighs in zip(carried_states(dome), (0.0, 6.0), strict=True):
        more = side_wrench(dome, carrying(bare, state), layout, quake) - before
        side = 0.1 * weighs
        assert more[:, :3].sum(axis=0) == pytest.approx([side * math.sin(0.7), side * math.cos(0.7), 0.03 * weighs])


# -- what does not depend on how it is looked at ---------------------------------------------------------------------


def test_turned_on_plan_it_holds_as_much() -> None:
    found = []
    for turn in (0.0, 1.1):
        openings = (replace(DOOR, bearing=DOOR.bearing + turn),)
        dome = build_dome(_design(LOFT, openings=openings, wind_pressure=0.5))
        job = next(job for job in jobs(dome) if job.id == "three-d-wind-carrying-1")
        question = Question(dome, job, (18,), 20.0)
        load = turned(job.loads[0], DOOR.bearing + turn + 0.4)
        found.append(solve_cone(assemble(question.problem(question.layouts[0], Asked(load)))).multiplier)
    assert found[0] == pytest.approx(found[1], rel=1e-5) and 0.5 < found[0] < 20.0


def test_what_the_corners_hold_is_held_between_them() -> None:
    """At a reserve that nothing, (1, 14), (9, 4) and (9, 14) have, the corner left out and all within have it."""
    span = replace(LOFT, weight=(1.0, 9.0), thrust=(4.0, 14.0))
    dome = build_dome(_design(span))
    layout, bare = cut_blocks(dome, 12), case_of(dome, "finished-dry")
    asked = [bare, *(carrying(bare, state) for state in block_states(dome))]
    assert len(asked) == 4
    least = min(largest_reserve(dome, case, layout, [8.0], first=1.5).reserve or 0.0 for case in asked)
    assert least > 0.3
    for weight, thrust in ((1.0, 4.0), (1.0, 9.0), (5.0, 8.0), (0.5, 5.0), (0.0, 0.0)):
        inside = build_dome(_design(replace(LOFT, weight=(weight,) * 2, thrust=(thrust,) * 2)))
        problem = dead_problem(inside, _carrying(inside), layout, least * 0.9999)
        assert solve_cone(assemble(problem)).solved, (weight, thrust)


# -- proofs ----------------------------------------------------------------------------------------------------------


def _claim(job: Job, relied: float) -> BlockResult:
    """As if the search had ended at a number that meets."""
    return BlockResult(
        job.id, job.title, job.criterion, relied, relied, relied, relied, "solved", "", False, None, (),
        (CutResult(12, 1, relied),), ((0.0, relied),) if job.loads else (), (), len(job.case.states),
    )  # fmt: skip


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(_design(LOFT, earthquake=0.1, wind_pressure=0.5, snow=0.5))


@pytest.fixture(scope="module")
def proofs(dome: Dome) -> dict[str, tuple[Job, dict[str, Any]]]:
    """A proof of the dead load, and of one direction of each load from one side, all with the loft."""
    out = {}
    for kind, relied in (("finished-dry", 1.02), ("earthquake", 0.5), ("wind", 0.5), ("snow", 0.3), ("worker", 0.7)):
        job = next(job for job in jobs(dome) if job.id == f"three-d-{kind}-carrying-1")
        job = replace(job, loads=job.loads[:1])
        found = proven(dome, job, _claim(job, relied))
        assert found.why == "" and found.relied == pytest.approx(relied, rel=1e-5)
        out[kind] = job, json.loads(found.proofs[0])
    return out


KINDS = ("finished-dry", "earthquake", "wind", "snow", "worker")


@pytest.mark.parametrize("kind", KINDS)
def test_its_proofs_are_confirmed_and_none_without_it_is(
    dome: Dome, proofs: dict[str, tuple[Job, dict[str, Any]]], kind: str
) -> None:
    job, data = proofs[kind]
    wall = wall_of(dome, job, PLAIN, job.loads[0] if job.loads else None)
    assert check_block_proof(data, wall).proven is not None
    bare = next(one for one in jobs(dome) if one.id == f"three-d-{kind}")
    bare = replace(bare, loads=bare.loads[:1])
    without = json.loads(
        proven(dome, bare, _claim(bare, 0.3 if kind == "snow" else 0.5 if bare.loads else 1.02)).proofs[0]
    )
    assert check_block_proof(without, wall).proven is None
    assert check_block_proof(data, wall_of(dome, bare, PLAIN, bare.loads[0] if bare.loads else None)).proven is None


FORGERIES: dict[str, Callable[[dict[str, Any]], Any]] = OF_HANDED | {
    "inward": turned_round,
    "without its moment": lambda d: [row.__setitem__(slice(3, 6), [0] * 3) for row in d["handed"]],
    "on another block": lambda d: d["handed"].reverse(),
    "a row too few": lambda d: d["handed"].pop(),
    "fractions": lambda d: d["handed"][-1].__setitem__(2, -0.5),
}


@pytest.mark.parametrize("name", FORGERIES)
def test_no_forgery_of_it_is_taken(dome: Dome, proofs: dict[str, tuple[Job, dict[str, Any]]], name: str) -> None:
    job, data = proofs["finished-dry"]
    forged = copy.deepcopy(data)
    FORGERIES[name](forged)
    assert forged != data
    finding = check_block_proof(forged, wall_of(dome, job))
    assert finding.proven is None and finding.why


def test_another_load_needs_another_proof(proofs: dict[str, tuple[Job, dict[str, Any]]]) -> None:
    job, data = proofs["finished-dry"]
    for other in (
        replace(LOFT, weight=(7.0, 7.0)), replace(LOFT, thrust=(2.1, 2.1)), replace(LOFT, from_inner_face=(0.2, 0.2)),
        replace(LOFT, height=2.1), replace(LOFT, height=1.95),
    ):  # fmt: skip
        turned_to = build_dome(_design(other, earthquake=0.1, wind_pressure=0.5, snow=0.5))
        there = next(one for one in jobs(turned_to) if one.id == job.id)
        finding = check_block_proof(data, wall_of(turned_to, there))
        assert finding.proven is None and "handed" in finding.why, other


def test_nothing_is_handed_in_over_an_opening(dome: Dome, proofs: dict[str, tuple[Job, dict[str, Any]]]) -> None:
    """The checker by itself: a course with a gap is none, whatever the proof says of its blocks."""
    job, data = proofs["finished-dry"]
    wall = wall_of(dome, job)
    low = tuple(replace(one, course=8, level=dome.courses[8].z_top) for one in wall.handed)
    assert "not whole" in check_block_proof(data, replace(wall, handed=low)).why


def test_less_shaken_is_refused(dome: Dome, proofs: dict[str, tuple[Job, dict[str, Any]]]) -> None:
    job, data = proofs["earthquake"]
    wall = wall_of(dome, job, PLAIN, job.loads[0])
    assert wall.load is not None and wall.load.shaken_with == wall.handed
    lighter = tuple(replace(one, weight=one.weight * 0.99) for one in wall.handed)
    finding = check_block_proof(data, replace(wall, load=replace(wall.load, shaken_with=lighter)))
    assert "live" in finding.why


def test_where_nothing_is_handed_in_nothing_changes() -> None:
    """The same problem to the last bit, without a key in its proof."""
    bare, there = build_dome(_design()), build_dome(_design(LOFT))
    layout, case = cut_blocks(bare, 8), case_of(bare, "finished-dry")
    one, other = (
        block_problem(d, case, layout, np.zeros((len(layout.blocks), 6)), shares=Shares()) for d in (bare, there)
    )
    assert one.handed is None and other.handed is None and (one.dead == other.dead).all()
