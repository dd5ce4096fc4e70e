"""What a solved block problem says of itself, and what a dome's blocks weigh, beside sums by hand."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Opening, Plaster
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.course_state import RadialLoad
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks import conic
from shellcheck_earth.mechanics.blocks.conic import TOLERANCES, ConeAnswer, HeldShear, solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares, block_patches
from shellcheck_earth.mechanics.blocks.nonassociated import SETTLED, solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from shellcheck_earth.mechanics.blocks.side_wrench import added_weight, side_wrench
from shellcheck_earth.mechanics.blocks.weights import arc_share, block_weights
from shellcheck_earth.mechanics.blocks.written import Heading, unsolved
from validation.block_shapes import arch, one_block


@pytest.mark.parametrize("slope", [0.05, 0.5])
def test_a_held_shear_limit_is_that_of_each_question(slope: float) -> None:
    """A box of 1 kN, four points, friction 0.5, limits c + slope n at a point: it slides at 0.5 (4 c + slope).
    Asked again with other limits, or with the first ones, by one and the same solver."""
    held = HeldShear(assemble(one_block(3.0, 1.0, 0.5)), slope)
    for c in (0.1, 0.2, 0.02, 0.1):
        answer = held.solve(np.full((1, 4), c))
        assert answer.solved and answer.multiplier == pytest.approx(0.5 * (4 * c + slope), rel=2e-4)


def test_an_answer_says_at_least_only_where_the_search_ended_at_its_end() -> None:
    """The box slides at 0.5 of its weight."""
    ended = solve_blocks(replace(one_block(3.0, 1.0, 0.5), most=0.3))
    assert ended.at_least and ended.multiplier == pytest.approx(0.3, abs=1e-6)
    found = solve_blocks(replace(one_block(3.0, 1.0, 0.5), most=0.6))
    assert not found.at_least and found.multiplier == pytest.approx(0.5, rel=2 * SETTLED)
    assert found.status == "solved" and found.settled and found.seconds > 0.0
    # Below the end with ordinary friction, at it without dilation: no end of the search.
    assert found.associated == pytest.approx(0.5, abs=1e-6)


def test_what_cannot_be_held_at_all_holds_nothing_and_falls_as_it_is() -> None:
    """A box that rests on a slippery slope: its dead load pushes sideways by its own weight."""
    problem = one_block(1.0, 1.0, 0.2)
    dead = problem.dead.copy()
    dead[0, 0] = 1.0
    answer = solve_blocks(replace(problem, dead=dead))
    assert (answer.status, answer.multiplier, answer.associated, answer.non_associated) == ("solved", 0.0, 0.0, 0.0)
    assert not answer.at_least and answer.forces is None and answer.settled and answer.rounds == ()
    assert (answer.imbalance, answer.overdrawn, answer.shaved) == (0.0, 0.0, 0.0) and answer.seconds > 0.0
    assert answer.motions is not None and np.abs(answer.motions).max() == pytest.approx(1.0)
    assert float((answer.motions * dead).sum()) * answer.motions[0, 0] > 0  # it goes the way it is pushed


def test_an_answer_that_the_solver_did_not_reach_is_no_answer() -> None:
    problem = one_block(3.0, 1.0, 0.5)
    assembled = assemble(problem)
    known = solve_cone(assembled)
    stopped = replace(known, status="MaxIterations", solved=False)
    answer = solve_blocks(problem, solved=(assembled, stopped))
    assert answer.status == "cannot say" and "MaxIterations" in answer.why
    assert answer.multiplier is None and answer.associated is None and answer.motions is None and answer.forces is None
    assert not answer.at_least and not answer.settled
    assert math.isinf(answer.imbalance) and math.isinf(answer.overdrawn)


def test_rows_that_were_solved_already_give_the_same_answer() -> None:
    problem = arch(0.6)
    assembled = assemble(problem)
    first, again = solve_blocks(problem), solve_blocks(problem, solved=(assembled, solve_cone(assembled)))
    assert again.multiplier == first.multiplier and again.rounds == first.rounds
    plain = solve_blocks(problem, without_dilation=False)
    assert plain.non_associated is None and plain.rounds == () and plain.multiplier == plain.associated


def _shaved(change: float, live: float = 0.0) -> tuple[float, float, float]:
    """(multiplier, shaved, imbalance) of the box where the solver's forces press `change` kN too much at each point."""
    problem = one_block(3.0, 1.0, 0.5)
    assembled = assemble(problem)
    known: ConeAnswer = solve_cone(assembled)
    pressed = replace(known.forces, normal=known.forces.normal + change)
    off = replace(known, forces=pressed, multiplier=known.multiplier + live)
    found = solve_blocks(problem, without_dilation=False, solved=(assembled, off))
    assert found.multiplier is not None
    return found.multiplier, found.shaved, found.imbalance


def test_what_the_forces_leave_over_is_taken_off_at_what_it_costs() -> None:
    """A box of 1 kN slides with its friction: motions rise by 0.5 for each way aside, so a kilonewton left upward costs
    0.5 of the weight, and one left sideways costs the whole of it."""
    multiplier, shaved, imbalance = _shaved(0.0)
    assert multiplier == pytest.approx(0.5, abs=1e-6) and shaved < 1e-6 and imbalance < 1e-6
    multiplier, shaved, imbalance = _shaved(0.01)
    assert imbalance == pytest.approx(0.04, rel=1e-4)
    assert shaved == pytest.approx(0.5 * 0.04, rel=1e-3) and multiplier == pytest.approx(0.5 - 0.02, abs=1e-5)
    multiplier, shaved, imbalance = _shaved(0.0, 0.03)  # said to hold more than its friction gives
    assert imbalance == pytest.approx(0.03, rel=1e-4) and shaved == pytest.approx(0.03, rel=1e-3)
    assert multiplier == pytest.approx(0.5, abs=1e-5)


# -- the blocks of a dome --------------------------------------------------------------------------------------------


@cache
def _dome(outside: float, inside: float) -> tuple[Dome, Case, Layout]:
    base = classroom(openings=(Opening("door", 0.0, 0.0, 0.9, 1.9, "round"),), plaster=Plaster(outside, inside, 18.0))
    dome = build_dome(base)
    case = next(case for case in dead_cases(dome) if case.id == "finished-damp")
    return dome, case, cut_blocks(dome, 12)


def test_plaster_weighs_on_the_bags_of_a_head_by_the_area_they_show() -> None:
    """Area at mid-width times both coats times 18 kN/m3: a bag's volume over the width of the wall is that area."""
    dome, case, layout = _dome(0.03, 0.02)
    bare = block_weights(*_dome(0.0, 0.0))[1]
    weight = block_weights(dome, case, layout)[1]
    heads = [k for k, block in enumerate(layout.blocks) if block.kind == "head"]
    assert len(heads) > 4 and case.plastered and case.permanent == 1.0
    for k in heads:
        block = layout.blocks[k]
        course = dome.courses[block.course]
        assert course.z_bottom > max(dome.floor, dome.ground)  # both faces show in full
        area = block.volume / course.width
        assert weight[k] - bare[k] == pytest.approx(area * (0.03 + 0.02) * 18.0, rel=1e-9)
    one_coat = block_weights(*_dome(0.03, 0.0))[1]
    assert one_coat[heads] - bare[heads] == pytest.approx((weight[heads] - bare[heads]) * 0.6, rel=1e-9)


def test_a_head_weighs_what_its_fill_weighs_as_damp_as_it_is() -> None:
    """1750 kg of dry soil to the cubic metre and its moisture by mass, at 9.80665 N/kg, in the bag's own volume."""
    dome, case, layout = _dome(0.0, 0.0)
    weight = block_weights(dome, case, layout)[1]
    twice = block_weights(dome, replace(case, permanent=1.35), layout)[1]
    heads = [(k, block) for k, block in enumerate(layout.blocks) if block.kind == "head"]
    assert heads
    for k, block in heads:
        if block.volume > 0.0:
            moisture = case.states[block.course].moisture
            by_hand = block.volume * 1750.0 * (1.0 + moisture) * 9.80665 / 1000.0
            assert weight[k] == pytest.approx(by_hand, rel=1e-3)
            assert twice[k] == pytest.approx(1.35 * weight[k], rel=1e-12)


def test_sectors_weigh_their_share_of_the_ring_at_the_chord_s_centre() -> None:
    dome, case, layout = _dome(0.03, 0.02)
    centre, weight = block_weights(dome, case, layout)
    seen = 0
    for k, block in enumerate(layout.blocks):
        if block.centre is None:
            seen += 1
            angle, state = block.end - block.start, case.states[block.course]
            assert weight[k] == pytest.approx(state.weight * angle)
            radius = state.moment / state.weight * arc_share(angle)
            assert math.hypot(centre[k, 0], centre[k, 1]) == pytest.approx(radius)
            assert centre[k, 2] == pytest.approx(dome.courses[block.course].z_mid)
    assert seen > 100


def test_a_reserve_thins_every_face_about_its_middle() -> None:
    dome, case, layout = _dome(0.0, 0.0)
    whole, half = (block_patches(dome, case, layout, shares=Shares(half_width=one)) for one in (1.0, 0.5))
    assert half.size == whole.size
    joints = np.array([kind == "head joint" for kind in whole.kind])
    level = np.array([kind in ("bed", "ground") for kind in whole.kind])
    assert joints.any() and level.any()
    assert half.strips[joints] == pytest.approx(0.5 * whole.strips[joints], rel=1e-9)
    assert half.centre[joints] == pytest.approx(whole.centre[joints], abs=1e-9)
    # A bed too, but for the chord of its outer arc, which is inside of it.
    assert (half.edge_distance[level].max(axis=(1, 2)) < 0.55 * whole.edge_distance[level].max(axis=(1, 2))).all()


def _programme(problem: BlockProblem) -> Assembled:
    return assemble(problem, whole=True)


def test_the_rows_are_in_units_of_the_mean_weight_and_the_blocks_own_size() -> None:
    """Weights of 1 and the size 1 m scale nothing; twice the weight and twice the size halve the rows of the load."""
    problem = one_block(3.0, 1.0, 0.5)
    one = _programme(problem)
    assert one.unit == 1.0
    twice = _programme(replace(problem, dead=2 * problem.dead, live=2 * problem.live, size=2 * problem.size))
    assert twice.unit == 2.0
    assert twice.scaled(2 * problem.live)[:, :3] == pytest.approx(one.scaled(problem.live)[:, :3])
    assert twice.scaled(np.ones((1, 6)))[0] == pytest.approx([0.5, 0.5, 0.5, 0.25, 0.25, 0.25])
    assert one.equilibrium.shape == (6, 13) and one.columns == 13
    weightless = replace(problem, dead=0 * problem.dead, live=4 * problem.live)
    assert _programme(weightless).unit == 4.0
    with pytest.raises(ValueError, match="nothing is left out"):
        _ = one.kept
    with pytest.raises(ValueError, match="without strength"):
        assemble(replace(problem, patches=replace(problem.patches, strength=np.array([0.0]))))


HEAD = Heading("a box", "pushed", "none", "0" * 64, 1.0)


@pytest.mark.parametrize("axis", [0, 1, 3, 4, 5])
def test_only_weight_is_written_as_a_dead_load(axis: int) -> None:
    problem = one_block(3.0, 1.0, 0.5, 900.0)
    written = unsolved(problem, HEAD, ["box"])
    assert written["blocks"][0]["weight"] == "1" and written["most"] == "100" and written["ties"] == []
    dead = problem.dead.copy()
    dead[0, axis] = 0.1
    with pytest.raises(ValueError, match="dead load of a written problem is weight"):
        unsolved(replace(problem, dead=dead), HEAD, ["box"])


@pytest.mark.parametrize(("kind", "times"), [("rain", 1.0), ("snow", 2.0)])
def test_what_weighs_on_one_half_is_what_the_heavier_case_weighs_more(kind: Any, times: float) -> None:
    """Each block within a right angle of the bearing gets its angle's share; drifted snow is twice that all around."""
    dome, case, layout = _dome(0.0, 0.0)
    states = tuple(
        replace(state, loads=(*state.loads, RadialLoad(0.1 * (k + 1), 1.5))) for k, state in enumerate(case.states)
    )
    heavier = replace(case, states=states)
    live = side_wrench(dome, case, layout, SideLoad("x", "", kind, 0.8, 0.0, "overall reserve"), heavier)
    for k, block in enumerate(layout.blocks):
        middle = (block.start + block.end) / 2
        here = block.kind != "buttress" and math.cos(middle - 0.8) > 0.0
        down = times * 0.1 * (block.course + 1) * (block.end - block.start) if here else 0.0
        assert live[k, 2] == pytest.approx(-down, abs=1e-12) and not live[k, :2].any()
    with pytest.raises(ValueError, match="all around"):
        side_wrench(dome, case, layout, SideLoad("x", "", kind, 0.8, 0.0, "overall reserve"))


@pytest.mark.parametrize(
    ("said", "tries"),
    [
        (["Solved"], 1),
        (["PrimalInfeasible"], 1),
        (["AlmostSolved", "Solved"], 2),
        (["NumericalError", "PrimalInfeasible"], 2),
        (["MaxIterations"] * len(TOLERANCES), len(TOLERANCES)),
    ],
)
def test_only_an_answer_ends_the_tries(said: list[str], tries: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A solver put there by hand: what is not decided is asked again, until the tolerances are at their end."""
    assembled = assemble(one_block(3.0, 1.0, 0.5))
    known, asked = solve_cone(assembled), []

    class Told:
        def __init__(self, _assembled: Any, _of: Any, how: tuple[float, ...], _gap: float, *, again: bool = False):
            asked.append((how[0], again))

        def solve(self, _b: Any) -> ConeAnswer:
            status = said[len(asked) - 1]
            return replace(known, status=status, solved=status == "Solved")

    monkeypatch.setattr(conic, "_Solver", Told)
    assert solve_cone(assembled).status == said[-1]
    assert asked == [(tolerance, k > 0) for k, tolerance in enumerate(TOLERANCES[:tries])]


def test_blocks_without_a_face_are_a_problem_that_holds_nothing() -> None:
    problem = one_block(3.0, 1.0, 0.5)
    none = {one.name: getattr(problem.patches, one.name)[:0] for one in fields(problem.patches)}
    loose = replace(problem, patches=replace(problem.patches, **none))
    assert loose.patches.size == 0 and loose.blocks == 1


@pytest.mark.parametrize("bearing", [0.0, 2.0])
def test_what_a_heavier_case_adds_lies_on_the_wall_and_on_no_buttress(bearing: float) -> None:
    dome = build_dome(classroom(buttresses=(Buttress(2.0, 0.5, 0.5, 0.8),), site=replace(classroom().site, snow=1.0)))
    cases = {case.id: case for case in dead_cases(dome)}
    layout = cut_blocks(dome, 12)
    added = added_weight(dome, cases["finished-damp"], cases["finished-damp-snow"], layout, bearing)
    assert added and {layout.blocks[k].kind for k in added} == {"wall"}
    assert any(block.kind == "buttress" for block in layout.blocks)
