"""Laws that the block model of a dome must obey whatever its numbers are: mirror, turn, relax."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.design.design import Beds, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench

CLOSE = 1e-5
"""Relative: a hundred times the tolerance of the solver."""


def pushed(
    door: float, push: float, *, friction: float = 0.5, strength: float = 1.0, head: str = "round", wire: int = 2
) -> float:
    """Largest share of weight sideways that the classroom holds with a door at one bearing, pushed towards another."""
    design = classroom(
        openings=(Opening("door", door, 0.0, 0.9, 1.9, head),),  # type: ignore[arg-type]
        beds=Beds(friction, 0.35, 0.0, wire, 4.2, 0.3),
    )
    stack = build_dome(design)
    case = dead_cases(stack)[0]
    case = replace(case, states=tuple(replace(state, friction=friction) for state in case.states))
    layout = cut_blocks(stack, 12)
    load = SideLoad("push", "Sideways", "earthquake", push % (2 * math.pi), 1.0, "earthquake")
    live = side_wrench(stack, case, layout, load)
    answer = solve_cone(assemble(block_problem(stack, case, layout, live, shares=Shares(strength=strength))))
    assert answer.solved, answer.status
    return answer.multiplier


def test_a_mirrored_dome_holds_the_same() -> None:
    assert pushed(math.radians(20), math.radians(70)) == pytest.approx(
        pushed(math.radians(-20), math.radians(-70)), rel=CLOSE
    )


def test_a_dome_turned_by_a_cut_holds_the_same() -> None:
    assert pushed(0.0, 0.4) == pytest.approx(pushed(math.radians(90), 0.4 + math.radians(90)), rel=CLOSE)


def test_a_lintel_turned_by_a_cut_holds_the_same() -> None:
    assert pushed(0.0, 0.4, head="lintel") == pytest.approx(
        pushed(math.radians(300), 0.4 + math.radians(300), head="lintel"), rel=CLOSE
    )


def test_more_of_anything_never_holds_less() -> None:
    least = pushed(0.0, 0.0)
    assert pushed(0.0, 0.0, friction=0.6) >= least * (1 - CLOSE)
    assert pushed(0.0, 0.0, strength=4.0) >= least * (1 - CLOSE)
    assert pushed(0.0, 0.0, wire=0) <= least * (1 + CLOSE)
