"""What a slow push leaves behind, beside statics and virtual work of one box; its mass and stiffness by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Patch, join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties, no_ties
from shellcheck_earth.mechanics.moving.body import GRAVITY, Stiffness, bodies_of
from shellcheck_earth.mechanics.moving.evidence import Motion, Rest, motion_of, rest_of
from shellcheck_earth.mechanics.moving.push import Pushed
from shellcheck_earth.mechanics.moving.step import State, unloaded
from validation.block_shapes import arch, one_block

WIDTH, HEIGHT, FRICTION = 1.0, 2.0, 0.6


def box(**changes: Any) -> BlockProblem:
    """A box of 1 kN, 1 m wide and 2 m tall, pushed along x; points of its bed at x = -0.5 and 0.5."""
    return replace(one_block(WIDTH, HEIGHT, FRICTION), **changes)


def tied(most: float) -> BlockProblem:
    """Held back along x at the level of its centre."""
    tie = Ties(np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64), np.array([-1.0]), np.array([most]))
    return box(ties=tie)


def forces(problem: BlockProblem, near: float, far: float, along_x: float) -> np.ndarray:
    """(1, 4, 3): pressing on the points of either side, `along_x` shared among them as they press."""
    p = problem.patches
    press = np.where(p.points[0, :, 0] > 0, far, near) / 2
    share = along_x * press / max(press.sum(), 1e-300)
    return np.stack([press, share * p.along[0, 0], share * p.across[0, 0]], axis=1)[None]


def left_in(problem: BlockProblem, **given: Any) -> State:
    return replace(unloaded(bodies_of(problem)), **given)


def rested(problem: BlockProblem, held: float, force: np.ndarray, tension: float | None = None) -> Rest:
    state = left_in(problem, force=force, tension=np.array([] if tension is None else [tension]))
    found = rest_of(problem, Pushed(held, 1.0, "gone", (), state, None, 1))
    assert found is not None
    return found


def test_a_box_that_is_pushed_by_less_than_half_its_weight_rests() -> None:
    """Pushed by 0.3 kN at 1 m: couple 0.3 kN m over 1 m."""
    problem = box()
    found = rested(problem, 0.3, forces(problem, 0.2, 0.8, -0.3))
    assert (found.unbalanced, found.overdrawn) == pytest.approx((0.0, 0.0), abs=1e-12)
    assert rested(problem, 0.4, forces(problem, 0.2, 0.8, -0.3)).unbalanced == pytest.approx(0.1)
    assert rested(problem, 0.3, forces(problem, 0.3, 0.7, -0.3)).unbalanced == pytest.approx(0.1)  # kN m over 1 m


def test_what_is_left_is_told_over_the_weight_of_a_block() -> None:
    heavy = box(dead=4 * box().dead, live=4 * box().live)
    found = rested(heavy, 0.4, 4 * forces(heavy, 0.2, 0.8, -0.3))
    assert found.unbalanced == pytest.approx(0.1)
    wide = box(size=np.array([0.25]))  # a moment counts by the block's size
    assert rested(wide, 0.3, forces(wide, 0.3, 0.7, -0.3)).unbalanced == pytest.approx(0.4)


def test_what_passes_a_limit_is_told() -> None:
    problem = box()
    over = rested(problem, 0.45, forces(problem, 0.05, 0.95, -0.45)).overdrawn
    assert over == pytest.approx(0.0, abs=1e-12)
    slides = box(patches=replace(problem.patches, friction=np.array([0.2])))
    assert rested(slides, 0.3, forces(slides, 0.2, 0.8, -0.3)).overdrawn == pytest.approx(0.4 * 0.1)
    pulls = rested(problem, 0.6, forces(problem, -0.1, 1.1, -0.6)).overdrawn
    assert pulls == pytest.approx(max(0.05, 0.06 / 2))


@pytest.mark.parametrize("torsion", [True, False])
def test_turning_on_the_bed_counts_only_where_it_is_capped(torsion: bool) -> None:
    """Shears of 0.1 kN along y at either side turn with 0.1 kN m; the bed carries mu N lever = 0.6 x lever."""
    problem = box(torsion=torsion)
    p, force = problem.patches, forces(box(), 0.5, 0.5, 0.0)
    side = np.sign(p.points[0, :, 0]) * 0.15
    force[0, :, 1], force[0, :, 2] = side * p.along[0, 1], side * p.across[0, 1]
    turning = 4 * 0.15 * 0.5
    expected = max(turning / float(p.lever[0]) - 0.6, 0.0) if torsion else 0.0
    assert rested(problem, 0.0, force).overdrawn == pytest.approx(expected, abs=1e-12)
    assert turning > 0.6 * float(p.lever[0])


def test_a_tie_pulls_its_part() -> None:
    problem = tied(0.25)
    assert rested(problem, 0.5, forces(problem, 0.25, 0.75, -0.25), 0.25).unbalanced == pytest.approx(0.0, abs=1e-12)
    assert rested(problem, 0.5, forces(problem, 0.25, 0.75, -0.25), 0.05).unbalanced == pytest.approx(0.2)


def test_nothing_held_is_no_rest_and_what_did_not_go_no_motion() -> None:
    problem = box()
    state = left_in(problem)
    assert rest_of(problem, Pushed(None, 0.0, "gone", (), state, state, 1)) is None
    assert motion_of(problem, Pushed(0.1, 0.2, "gone", (), state, None, 1)) is None
    going = replace(state, speed=np.eye(6)[0])
    assert motion_of(problem, Pushed(0.1, 0.2, "no answer", (), state, going, 1)) is None
    for back in (-np.eye(6)[0], np.eye(6)[1]):  # the load does no work, or the motion goes against it
        assert motion_of(problem, Pushed(0.1, 0.2, "gone", (), state, replace(going, speed=back), 1)) is None


def went(problem: BlockProblem, speed: tuple[float, ...], force: np.ndarray, **more: Any) -> Motion:
    going = left_in(problem, speed=np.array(speed, dtype=float), force=force, **more)
    found = motion_of(problem, Pushed(0.1, 0.7, "gone", (), left_in(problem), going, 1))
    assert found is not None
    return found


@pytest.mark.parametrize("fast", [1.0, 3.0])
def test_a_box_that_slides_goes_at_its_friction(fast: float) -> None:
    """Sliding at v under mu N: live v = mu N v; a motion has no length, so its speed cancels."""
    problem = box()
    found = went(problem, (fast, 0, 0, 0, 0, 0), forces(problem, 0.5, 0.5, -FRICTION))
    assert found.multiplier == pytest.approx(FRICTION)
    assert (found.closing, found.opening, found.friction) == pytest.approx((0.0, 0.0, 1.0))
    half = went(problem, (fast, 0, 0, 0, 0, 0), forces(problem, 0.5, 0.5, -FRICTION / 2))
    assert (half.multiplier, half.friction) == pytest.approx((FRICTION / 2, 0.5))


@pytest.mark.parametrize("aside", [0.5, -2.0])
def test_friction_opposes_the_whole_slip_and_not_its_part_along_the_load(aside: float) -> None:
    """Sliding by (1, aside): mu N sqrt(1 + aside^2) of work against 1 of the load's."""
    problem, fast = box(), math.hypot(1.0, aside)
    p, force = problem.patches, forces(box(), 0.5, 0.5, 0.0)
    way = -np.array([1.0, aside, 0.0]) / fast * FRICTION * 0.25
    force[0, :, 1], force[0, :, 2] = way @ p.along[0], way @ p.across[0]
    found = went(problem, (1, aside, 0, 0, 0, 0), force)
    assert (found.multiplier, found.friction) == pytest.approx((FRICTION * fast, 1.0))


def test_a_box_that_tips_goes_at_its_width_over_its_height() -> None:
    """About its far edge: the centre goes 1 along and 0.5 up a radian, the near side opens and does not press."""
    problem = box()
    found = went(problem, (1.0, 0, 0.5, 0, 1.0, 0), forces(problem, 0.0, 1.0, -0.5))
    assert found.multiplier == pytest.approx(WIDTH / HEIGHT)
    assert (found.closing, found.opening, found.friction) == pytest.approx((0.0, 0.0, 1.0))


def test_a_tie_that_gives_adds_what_it_pulls() -> None:
    problem = tied(0.25)
    found = went(problem, (1, 0, 0, 0, 0, 0), forces(problem, 0.5, 0.5, -FRICTION), tension=np.array([0.25]))
    assert found.multiplier == pytest.approx(FRICTION + 0.25)


def test_what_closes_and_what_opens_under_pressure_is_told() -> None:
    problem, press = box(), forces(box(), 0.5, 0.5, -FRICTION)
    into = went(problem, (1, 0, -0.2, 0, 0, 0), press)
    assert into.closing == pytest.approx(0.2)
    assert into.multiplier == pytest.approx(FRICTION)  # what the bed takes of the sinking weight gives it nothing
    assert into.opening == pytest.approx(0.2 / 0.7)  # over the work of the load at the multiplier that was lost
    rises = went(problem, (1, 0, 0.2, 0, 0, 0), press)
    assert rises.closing == 0.0
    assert rises.opening == pytest.approx(0.2 / 0.7)


# -- mass and stiffness ----------------------------------------------------------------------------------------------


def test_mass_is_weight_over_gravity_and_inertia_that_of_a_cube() -> None:
    made = bodies_of(box(size=np.array([1.5])))
    assert made.mass == pytest.approx([1 / GRAVITY] * 3 + [1.5**2 / 6 / GRAVITY] * 3)


def test_a_mean_bed_sinks_by_what_is_asked_under_the_mean_block() -> None:
    give = Stiffness(sinking=2e-4, slip=0.3, upright=0.1, tie=2.0)
    made = bodies_of(box(), give)
    assert made.stiffness[0] == pytest.approx([1.0 / 2e-4 / 4, 0.3 / 2e-4 / 4])
    assert made.tie_stiffness == pytest.approx(2.0 / 2e-4 / 4)


def test_a_larger_bed_is_stiffer_by_its_area_and_the_mean_one_sinks_as_asked() -> None:
    boxes = [one_block(width, 1.0, FRICTION) for width in (0.5, 1.5)]
    edges = [[((x, -0.5, 0.0), (x, 0.5, 0.0)) for x in (-width / 2, width / 2)] for width in (0.5, 1.5)]
    patches = join([Patch((low, high), k, GROUND, (0.0, 0.0, 1.0), FRICTION) for k, (low, high) in enumerate(edges)])
    both = BlockProblem(
        *(np.concatenate([getattr(one, name) for one in boxes]) for name in ("centre", "dead", "live", "size")),
        patches, no_ties(),
    )  # fmt: skip
    assert bodies_of(both).stiffness[:, 0] == pytest.approx(np.array([0.5, 1.5]) / 1e-5 / 4)


def test_steep_joints_are_softer_by_what_is_asked_and_larger_ones_stiffer_by_their_area() -> None:
    problem = arch(0.5)  # joints of one size
    level = np.abs(problem.patches.normal[:, 2]) > math.sqrt(0.5)
    assert level.any() and not level.all()
    kn = bodies_of(problem, Stiffness(upright=0.05)).stiffness[:, 0]
    weight = float(-problem.dead[:, 2].mean())
    assert kn == pytest.approx(np.where(level, 1.0, 0.05) * weight / 1e-5 / 4)


@pytest.mark.parametrize("torsion", [True, False])
def test_limits_are_those_of_the_patch(torsion: bool) -> None:
    """c = 2 f l d: 8 kPa, strips of 0.5 m, 0.8 m between the edges."""
    made = bodies_of(replace(one_block(0.8, HEIGHT, FRICTION, 8.0), torsion=torsion))
    lever = made.problem.patches.lever[0] if torsion else 1e6
    assert made.limits[0] == pytest.approx([FRICTION, lever, 6.4, 6.4])
    assert np.isinf(bodies_of(box()).limits[0, 2:]).all()


@pytest.mark.parametrize("seed", range(3))
def test_motions_at_points_are_those_of_rigid_bodies_and_work_is_kept(seed: int) -> None:
    problem, rng = arch(0.5), np.random.default_rng(seed)
    made, p = bodies_of(problem), problem.patches
    speed = rng.normal(size=(problem.blocks, 6))
    found = (made.motion @ speed.ravel()).reshape(-1, 4, 3)
    frame = np.stack([p.normal, p.along, p.across], axis=1)
    for k in range(p.size):
        for i in range(4):
            at = np.zeros(3)
            for side, sign in ((p.upper[k], 1.0), (p.lower[k], -1.0)):
                if side >= 0:
                    arm = p.points[k, i] - problem.centre[side]
                    at += sign * (speed[side, :3] + np.cross(speed[side, 3:], arm))
            assert found[k, i] == pytest.approx(frame[k] @ at, abs=1e-12)
    # A unit shear along or across at a point turns about the normal by its arm.
    for k in range(p.size):
        for i in range(4):
            arm = p.points[k, i] - p.centre[k]
            turned = [np.cross(arm, way) @ p.normal[k] for way in (p.along[k], p.across[k])]
            assert made.arms[k, i] == pytest.approx(turned, abs=1e-12)
