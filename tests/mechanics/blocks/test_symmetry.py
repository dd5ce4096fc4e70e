"""Half of a mirrored dome must say what the whole says, and nothing that is not its own mirror image may be folded."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom
from small_store import small_store

from shellcheck_earth.design.design import Buttress, Design, Fill, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.conic import HeldShear, solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares, WetHalf
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.recheck import check_forces
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.safety.blocks.reserve import dead_problem
from validation.block_shapes import PIERCED, bonded

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
WINDOWS = tuple(Opening("window", math.radians(b), 0.9, 0.5, 0.6, "round") for b in (120, 240))
LINTEL = Opening("door", 0.0, 0.0, 0.8, 1.5, "lintel", 6.0)


FIRM = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)


def _dome(*openings: Opening, buttresses: tuple[Buttress, ...] = ()) -> Design:
    # With a pull test: ties so weak that rounding shows are no part of what folds.
    beds = replace(classroom().beds, wire_bond=100.0)
    return classroom(openings=openings, buttresses=buttresses, fill=FIRM, beds=beds)


def _problem(design: Design, bearing: float, cuts: int = 10, *, share: float = 1.0, wet: bool = False) -> BlockProblem:
    stack = build_dome(design)
    cases = {case.id: case for case in dead_cases(stack)}
    case = cases["finished-damp"]
    layout = cut_blocks(stack, cuts)
    live = side_wrench(stack, case, layout, SideLoad("push", "", "earthquake", bearing, 1.0, "earthquake"))
    half = WetHalf(cases["soaked-through"], bearing) if wet else None
    return block_problem(
        stack, case, layout, live, shares=replace(Shares.reserve(share), base_friction=0.4), most=5.0, wet=half
    )


def _left(
    assembled: Assembled, answer_multiplier: float, normal: np.ndarray, shear: np.ndarray, tension: np.ndarray
) -> float:
    """Largest force left unbalanced on a block of the whole, over the mean weight of a block."""
    p = assembled.problem
    pull = np.zeros(6 * p.blocks)
    np.add.at(pull, p.ties.row.astype(np.int64), p.ties.value * tension[p.ties.tie.astype(np.int64)])
    load = p.dead + answer_multiplier * p.live + pull.reshape(-1, 6)
    left = check_forces(
        p.centre,
        load,
        (p.patches.upper, p.patches.lower),
        p.patches.points,
        (p.patches.normal, p.patches.along),
        (normal, shear),
    )
    return float(np.abs(left).max()) / assembled.unit


@pytest.mark.parametrize(
    ("design", "bearing", "cuts"),
    [
        (_dome(), 0.0, 9),
        (_dome(DOOR, *WINDOWS), 0.0, 10),
        (_dome(DOOR, *WINDOWS), math.pi, 9),
        (_dome(LINTEL), 0.0, 10),
        (_dome(replace(DOOR, bearing=math.pi / 2)), math.pi / 2, 8),
        (
            _dome(DOOR, buttresses=(Buttress(math.pi / 2, 0.5, 0.5, 0.8), Buttress(3 * math.pi / 2, 0.5, 0.5, 0.8))),
            0.0,
            10,
        ),
    ],
)
def test_half_says_what_the_whole_says(design: Design, bearing: float, cuts: int) -> None:
    problem = _problem(design, bearing, cuts)
    half, whole = assemble(problem), assemble(problem, whole=True)
    assert half.fold is not None
    assert whole.fold is None
    kept = half.fold.row_at.size
    assert kept < 0.6 * 6 * problem.blocks
    first, second = solve_cone(half), solve_cone(whole)
    assert first.solved
    assert second.solved
    assert first.multiplier == pytest.approx(second.multiplier, rel=1e-5)
    # Unfolded, the forces hold every block of the whole, and the motions are those of the whole: their work on
    # the live load is 1.
    assert _left(half, first.multiplier, first.forces.normal, first.forces.shear, first.forces.tension) < 1e-7
    assert abs(float((first.motions * problem.live).sum())) == pytest.approx(1.0, rel=1e-4)
    assert first.motions == pytest.approx(second.motions, abs=2e-2 * float(np.abs(second.motions).max()))


def test_forces_of_one_side_are_the_other_s() -> None:
    problem = _problem(_dome(DOOR, *WINDOWS), 0.0)
    answer = solve_cone(assemble(problem))
    # By place, not by number: the greatest press on each level and side.
    x = problem.patches.centre[:, 0]
    press = answer.forces.normal.sum(axis=1)
    for side in (press[x > 1e-6], press[x < -1e-6]):
        assert len(side) == int((x > 1e-6).sum())
    assert np.sort(press[x > 1e-6]) == pytest.approx(np.sort(press[x < -1e-6]), abs=1e-9)


def test_a_held_shear_limit_and_the_scheme_fold_too() -> None:
    problem = _problem(_dome(DOOR, *WINDOWS), 0.0, 8)
    half, whole = assemble(problem), assemble(problem, whole=True)
    normal = np.maximum(solve_cone(half).forces.normal, 0.0)
    first, second = (HeldShear(one, 0.05).solve(0.95 * normal) for one in (half, whole))
    assert first.multiplier == pytest.approx(second.multiplier, rel=1e-4)
    answer = solve_blocks(problem)
    assert answer.status == "solved"
    assert answer.imbalance < 1e-6
    assert answer.overdrawn < 1e-6


def test_what_cannot_be_held_is_said_so_by_the_half_too() -> None:
    problem = _problem(_dome(DOOR), 0.0, share=6.0)
    half, whole = (solve_cone(assemble(problem, whole=which)) for which in (False, True))
    assert half.infeasible
    assert whole.infeasible
    # The motions are a proof for the whole: the dead load does work on them.
    assert float((half.motions * problem.dead).sum()) * float((whole.motions * problem.dead).sum()) > 0


def test_a_wetted_half_about_the_plane_folds_and_one_beside_it_does_not() -> None:
    design = _dome(DOOR)
    assert assemble(_problem(design, 0.0, wet=True)).fold is not None
    assert assemble(_problem(design, math.pi / 2, wet=True)).fold is None


@pytest.mark.parametrize(
    "design",
    [
        _dome(DOOR, replace(WINDOWS[0], bearing=math.radians(121)), WINDOWS[1]),
        _dome(DOOR, WINDOWS[0]),
        _dome(DOOR, WINDOWS[0], replace(WINDOWS[1], width=0.51)),
        _dome(DOOR, buttresses=(Buttress(math.pi / 2, 0.5, 0.5, 0.8),)),
    ],
)
def test_a_dome_that_is_not_its_own_image_is_not_folded(design: Design) -> None:
    assert assemble(_problem(design, 0.0)).fold is None


def test_a_load_beside_the_plane_is_not_folded() -> None:
    assert assemble(_problem(_dome(DOOR, *WINDOWS), math.pi / 2)).fold is None
    assert assemble(_problem(_dome(DOOR, *WINDOWS), 0.3)).fold is None


def test_one_weaker_bed_heavier_block_or_shorter_tie_on_one_side_stops_the_fold() -> None:
    problem = _problem(_dome(LINTEL), 0.0)
    assert assemble(problem).fold is not None
    k = int(np.argmax(problem.patches.centre[:, 0]))
    for name in ("friction", "strength", "lever"):
        values = getattr(problem.patches, name).copy()
        values[k] *= 0.999
        assert assemble(replace(problem, patches=replace(problem.patches, **{name: values}))).fold is None
    dead = problem.dead.copy()
    dead[int(np.argmax(problem.centre[:, 0])), 2] *= 1.0001
    assert assemble(replace(problem, dead=dead)).fold is None
    most = problem.ties.most.copy()
    places = problem.centre[
        problem.ties.row[np.searchsorted(problem.ties.tie, np.arange(problem.ties.size))].astype(np.int64) // 6
    ]
    most[int(np.argmax(places[:, 0]))] *= 0.9
    assert assemble(replace(problem, ties=replace(problem.ties, most=most))).fold is None


def test_a_wall_across_the_plane_keeps_every_block_and_less_of_each() -> None:
    """A wall one block thick, pushed along itself, lies across the plane: no block has a partner, each keeps three
    equations.
    """
    problem = bonded(PIERCED, 0.65)
    shift = problem.centre.mean(axis=0) * [0.0, 1.0, 0.0]
    moved = replace(
        problem, centre=problem.centre - shift, patches=replace(problem.patches, points=problem.patches.points - shift)
    )
    half, whole = assemble(moved), assemble(problem, whole=True)
    assert half.fold is not None
    assert half.fold.row_at.size == 3 * problem.blocks
    assert solve_cone(half).multiplier == pytest.approx(solve_cone(whole).multiplier, rel=1e-6)


def test_what_has_no_limit_is_like_nothing_that_has_one() -> None:
    """Strength without end on one side of the door and not on the other: no half says what the other holds."""
    dome = build_dome(small_store())
    problem = dead_problem(dome, dead_cases(dome)[0], cut_blocks(dome, 8), 1.5)
    assert assemble(problem).fold is not None
    patches = problem.patches
    for endless in (patches.centre[:, 0] > 0.01, patches.centre[:, 0] < -0.01):
        strength = np.where(endless, math.inf, patches.strength)
        lopsided = replace(problem, patches=replace(patches, strength=strength))
        assert assemble(lopsided).fold is None
    everywhere = replace(problem, patches=replace(patches, strength=np.full(patches.size, math.inf)))
    assert assemble(everywhere).fold is not None
