"""A lintel's tie and a wetted half in the block model: which way each must move the answer, and where a tie is
found.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Beds, Design, Opening
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.assembly import ANCHORAGE, block_problem
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.faces import WetHalf, block_patches
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights


def _tied(tie: float, friction: float, wire: int = 1) -> tuple[Design, Dome, Case]:
    design = classroom(
        openings=(Opening("door", 0.0, 0.0, 1.2, 1.9, "lintel", tie),),
        beds=Beds(friction, friction, 0.0, wire, 4.2, 0.3, wire_bond=100.0),
    )
    stack = build_dome(design)
    case = dead_cases(stack)[0]
    states = tuple(
        replace(s, strength=1e3, strength_wet=1e3, friction=friction, friction_wet=friction) for s in case.states
    )
    return design, stack, replace(case, states=states)


def test_more_tie_never_holds_less_and_here_holds_more() -> None:
    found = []
    for tie in (0.0, 8.0, 40.0):
        _, stack, case = _tied(tie, 0.5, wire=2)
        layout = cut_blocks(stack, 10)
        live = side_wrench(stack, case, layout, SideLoad("push", "", "earthquake", math.pi / 2, 1.0, "earthquake"))
        found.append(solve_cone(assemble(block_problem(stack, case, layout, live, most=3.0))).multiplier)
    assert found[0] + 1e-4 < found[1]
    assert found[1] + 1e-4 < found[2]


def test_a_door_that_needs_its_tie_stands_with_it_and_not_without() -> None:
    for tie, stands in ((0.0, False), (40.0, True)):
        _, stack, case = _tied(tie, 0.222)
        layout = cut_blocks(stack, 10)
        _, weight = block_weights(stack, case, layout)
        live = np.zeros((len(weight), 6))
        live[:, 2] = -weight
        answer = solve_cone(assemble(block_problem(stack, case, layout, live, most=0.05)))
        assert answer.solved == stands
        assert answer.infeasible != stands


def test_a_tie_pulls_both_ends_of_its_lintel_and_fades_out_in_the_wall() -> None:
    bare = _tied(0.0, 0.5, wire=0)
    _, stack, case = _tied(8.0, 0.5, wire=0)
    layout = cut_blocks(stack, 36)
    live = np.zeros((len(layout.blocks), 6))
    assert block_problem(*bare[1:], layout, live).ties.size == 0
    ties = block_problem(stack, case, layout, live).ties
    lintel = next(block for block in layout.blocks if block.kind == "lintel")
    radius = stack.courses[lintel.course].inner_radius
    # A joint at either end, and every joint of the wall beyond within the anchorage: a cut is 2 pi r/36 long.
    assert sorted(ties.most)[-2:] == pytest.approx([8.0, 8.0])
    assert 4 <= ties.size <= 2 + 2 * math.ceil(ANCHORAGE / (2 * math.pi * radius / 36))
    assert min(ties.most) > 0.0
    for k in range(ties.size):
        mine = ties.tie == k
        force = np.zeros((len(layout.blocks), 6))
        np.add.at(force.reshape(-1), ties.row[mine].astype(int), ties.value[mine])
        assert np.abs(force[:, :3].sum(axis=0)).max() < 1e-12  # what one block feels the other feels back
        assert np.linalg.norm(force[:, :3], axis=1).max() == pytest.approx(1.0)


@pytest.mark.parametrize("pulled", [False, True])
def test_wire_in_the_wet_half_pulls_no_more_than_its_beds_hold(pulled: bool) -> None:
    """Without a pull test the bond is friction times the weight on the bed, and the friction there is that of soaked
    beds; a pull test says it whatever the friction."""
    beds = Beds(0.6, 0.25, 0.0, 2, 4.2, 0.3, wire_bond=100.0 if pulled else None)
    stack = build_dome(classroom(beds=beds))
    dry = dead_cases(stack)[0]
    wet = replace(dry, states=tuple(replace(s, friction=0.25) for s in dry.states))
    layout = cut_blocks(stack, 10)
    nothing = np.zeros((len(layout.blocks), 6))
    joints = [j for j in layout.joints if j.face.course > 0]
    half = WetHalf(wet, joints[0].bearing)
    ties = block_problem(stack, dry, layout, nothing, wet=half).ties
    assert ties.size == len(joints)
    above = np.cumsum([state.weight for state in dry.states][::-1])[::-1]
    slick = [min(2 * 4.2 * 0.3, (math.inf if pulled else 0.25) * load) for load in above]
    firm = [min(2 * 4.2 * 0.3, (math.inf if pulled else 0.60) * load) for load in above]
    assert any(one < other for one, other in zip(slick, firm, strict=True)) is not pulled
    share = {len(joints): math.sin(math.pi / 10) / (math.pi / 10)}[ties.size]
    for joint, most in zip(joints, ties.most, strict=True):
        limits = slick if half.holds(joint.bearing) else firm
        assert most == pytest.approx(limits[joint.face.course] * share)
    assert 0 < sum(half.holds(joint.bearing) for joint in joints) < len(joints)


def test_only_a_lintel_may_have_a_tie() -> None:
    def text(head: str, tie: str) -> str:
        return (
            starter_text()
            + f"""
[[opening]]
kind = "door"
bearing = "0 deg"
sill = "0 m"
width = "0.8 m"
height = "1.9 m"
head = "{head}"
tie = "{tie}"
"""
        )

    assert parse_design(text("lintel", "8 kN")).openings[0].tie == 8.0
    assert parse_design(text("round", "0 kN")).openings[0].tie == 0.0
    for head, tie, said in (
        ("round", "8 kN", "a tie only with head"),
        ("lintel", "300 kN", "0 kN to 200 kN"),
        ("lintel", "8 m", "a force"),
    ):
        with pytest.raises(InputError) as caught:
            parse_design(text(head, tie))
        assert [problem.path for problem in caught.value.problems] == ["opening[1].tie"]
        assert said in str(caught.value)


def test_a_wet_half_is_weak_on_its_half_only_and_holds_less() -> None:
    design = classroom()
    stack = build_dome(design)
    dry = dead_cases(stack)[0]
    firm = replace(dry, states=tuple(replace(s, strength=600.0, strength_wet=600.0) for s in dry.states))
    soft = replace(
        dry,
        states=tuple(
            replace(s, friction=0.3, friction_wet=0.3, strength=200.0, strength_wet=200.0) for s in dry.states
        ),
    )
    layout = cut_blocks(stack, 10)
    half = WetHalf(soft, 0.5)
    whole, part, weak = (
        block_patches(stack, case, layout, wet=wet) for case, wet in ((firm, None), (firm, half), (soft, None))
    )
    towards = part.centre[:, 0] * math.sin(0.5) + part.centre[:, 1] * math.cos(0.5)
    wet = towards > 0.05
    dried = towards < -0.05
    assert (part.friction[wet] == weak.friction[wet]).all()
    assert (part.friction[dried] == whole.friction[dried]).all()
    assert (part.strength[wet] == weak.strength[wet]).all()
    assert (part.strength[dried] == whole.strength[dried]).all()
    live = side_wrench(stack, firm, layout, SideLoad("push", "", "earthquake", 0.5, 1.0, "earthquake"))
    held = [
        solve_cone(assemble(block_problem(stack, case, layout, live, most=3.0, wet=one))).multiplier
        for case, one in ((firm, None), (firm, half), (soft, None))
    ]
    assert held[0] > held[1] + 1e-3
    assert held[1] >= held[2] - 1e-7
