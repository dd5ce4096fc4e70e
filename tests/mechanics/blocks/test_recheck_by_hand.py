"""The arithmetic that re-checks block forces, and the patches they act on, beside plain statics of a box."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import dblquad

from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Edges, Patch, Patches, join, mean_distance
from shellcheck_earth.mechanics.blocks.problem import SHAVE, BlockProblem, no_ties
from shellcheck_earth.mechanics.blocks.recheck import check_forces, within_limits
from validation.block_shapes import arch, one_block

FREE = np.array([math.inf])


def _box() -> Patches:
    """The bed of a box 2 m wide and 1 m deep on the ground: points at x = -1, 1 and y = -0.25, 0.25."""
    return one_block(2.0, 1.0, 0.5).patches


def _left(load: tuple[float, ...], normal: np.ndarray, shear: np.ndarray) -> np.ndarray:
    p = _box()
    sides = (p.upper, p.lower)
    return check_forces(
        np.array([[0.0, 0.0, 0.5]]), np.array([load]), sides, p.points, (p.normal, p.along), (normal, shear)
    )[0]


def test_a_box_that_stands_leaves_nothing_over() -> None:
    assert _left((0, 0, -4, 0, 0, 0), np.ones((1, 4)), np.zeros((1, 4, 2))) == pytest.approx(np.zeros(6))


def test_a_push_at_mid_height_is_met_by_friction_and_by_pressing_on_the_far_side() -> None:
    """Pushed by 1 kN along x half a metre above the bed: couple 0.5 kN m, over 2 m between the points."""
    p = _box()
    far = p.points[0, :, 0] > 0
    normal = np.where(far, 1.0 + 0.125, 1.0 - 0.125)[None]
    shear = np.zeros((1, 4, 2))
    shear[0, :, 0], shear[0, :, 1] = -0.25 * p.along[0, 0], -0.25 * p.across[0, 0]
    assert _left((1, 0, -4, 0, 0, 0), normal, shear) == pytest.approx(np.zeros(6), abs=1e-12)
    wrong = _left((1, 0, -4, 0, 0, 0), normal[:, ::-1], shear)  # pressing on the near side: twice the couple
    assert wrong == pytest.approx([0, 0, 0, 0, 1.0, 0], abs=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_forces_between_blocks_add_nothing_to_the_whole(seed: int) -> None:
    """Newton's third law: force and moment about the origin that inner joints leave over in sum are none, and those of
    the springings are what the ground gives."""
    problem, rng = arch(0.5), np.random.default_rng(seed)
    p, centre = problem.patches, problem.centre
    normal, shear = rng.normal(size=(p.size, 4)), rng.normal(size=(p.size, 4, 2))
    left = check_forces(
        centre, np.zeros_like(problem.dead), (p.upper, p.lower), p.points, (p.normal, p.along), (normal, shear)
    )
    force = normal[:, :, None] * p.normal[:, None]
    force = force + shear[:, :, :1] * p.along[:, None] + shear[:, :, 1:] * p.across[:, None]
    ground = p.lower == GROUND
    moment = left[:, 3:] + np.cross(centre, left[:, :3])
    assert ground.sum() == 2
    assert left[:, :3].sum(axis=0) == pytest.approx(force[ground].sum(axis=(0, 1)))
    assert moment.sum(axis=0) == pytest.approx(np.cross(p.points[ground], force[ground]).sum(axis=(0, 1)))


def _over(
    normal: tuple[float, ...], shear: tuple[float, float] = (0, 0), strength: float = math.inf, turning: float = 0.0,
    lever: float = math.inf,
) -> float:  # fmt: skip
    p = _box()
    first = np.zeros((1, 4, 2))
    first[0, 0] = shear
    forces = (np.array([normal]), first)
    return within_limits(
        forces, p.friction, np.array([strength]), p.strips, p.edge_distance, np.array([turning]), np.array([lever])
    )


def test_a_pull_is_overdrawn_by_itself() -> None:
    assert _over((1, 1, 1, 1)) == 0.0
    assert _over((1, 1, -0.3, 1)) == pytest.approx(0.3)


@pytest.mark.parametrize("way", [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.6, -0.8)])
def test_a_shear_is_overdrawn_by_what_passes_the_friction_of_its_own_point(way: tuple[float, float]) -> None:
    """Friction 0.5 on 2 kN carries 1 kN, whatever presses beside it; a point that pulls carries none."""
    assert _over((2, 9, 9, 9), way) == pytest.approx(0.0, abs=1e-12)
    assert _over((2, 9, 9, 9), (1.5 * way[0], 1.5 * way[1])) == pytest.approx(0.5)
    assert _over((-0.1, 9, 9, 9), way) == pytest.approx(1.0)


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_turning_is_capped_by_the_lever(sign: float) -> None:
    """Friction 0.5 on 4 kN at 0.4 m: 0.8 kN m; what is over counts as a force at the lever."""
    assert _over((1, 1, 1, 1), turning=0.8 * sign, lever=0.4) == pytest.approx(0.0, abs=1e-12)
    assert _over((1, 1, 1, 1), turning=1.0 * sign, lever=0.4) == pytest.approx(0.5)
    assert _over((1, 1, 1, 1), turning=9.0 * sign) == 0.0


def test_each_strip_has_its_own_stress_block_from_either_edge() -> None:
    """Strips 0.5 m wide, 2 m between the edges, 4 kPa: N at d from an edge needs N <= 4 x 0.5 x 2 d."""
    assert _box().strips[0] == pytest.approx([0.5, 0.5])
    assert _over((2.0, 2.0, 0, 0), strength=4.0) == pytest.approx(0.0, abs=1e-12)  # in the middle: d = 1, 4 kN
    assert _over((2.1, 2.1, 0, 0), strength=4.0) > 0.05
    # 3 kN on one edge's point and 1 on the other: d = 0.5 from the nearer edge, 2 kN allowed; sqrt(2 f l N d) = sqrt 8.
    for pair in ((3.0, 1.0, 0, 0), (1.0, 3.0, 0, 0), (0, 0, 3.0, 1.0), (0, 0, 1.0, 3.0)):
        assert _over(pair, strength=4.0) == pytest.approx(4.0 - math.sqrt(2 * 4.0 * 0.5 * 4.0 * 0.5))
    assert _over((3.0, 1.0, 0, 0)) == 0.0


# -- patches ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("a", "b"), [(1.0, 1.0), (0.3, 2.0), (2.0, 0.3), (0.45, 0.6)])
def test_mean_distance_is_the_integral(a: float, b: float) -> None:
    whole, _ = dblquad(math.hypot, -a / 2, a / 2, -b / 2, b / 2)
    assert mean_distance(a, b) == pytest.approx(whole / (a * b), rel=1e-7)


@pytest.mark.parametrize(("a", "b"), [(0.0, 2.0), (2.0, 0.0)])
def test_mean_distance_of_a_line_is_a_quarter_of_it(a: float, b: float) -> None:
    assert mean_distance(a, b) == 0.5
    assert mean_distance(a or 1e-9, b or 1e-9) == pytest.approx(0.5, abs=1e-6)


def _quad(inner: float, outer: float, length: float) -> Edges:
    """A trapezium on level 0: edge 1 of `inner`, edge 2 of `outer` metres along x, `length` apart in y."""
    return (
        ((-inner / 2, 0.0, 0.0), (inner / 2, 0.0, 0.0)),
        ((-outer / 2, length, 0.0), (outer / 2, length, 0.0)),
    )


def test_a_patch_s_strips_points_and_distances_by_hand() -> None:
    found = join([Patch(_quad(1.0, 2.0, 0.8), 0, GROUND, (0.0, 0.4, 1.0), 0.5)])
    assert found.strips[0] == pytest.approx([0.5, 0.5])  # half of the shorter edge
    assert found.points[0] == pytest.approx(np.array([[-0.25, 0, 0], [-0.5, 0.8, 0], [0.25, 0, 0], [0.5, 0.8, 0]]))
    assert found.edge_distance[0] == pytest.approx(np.array([[0, 0.8], [0.8, 0], [0, 0.8], [0.8, 0]]))
    assert found.centre[0] == pytest.approx([0.0, 0.4, 0.0])
    assert found.lever[0] == pytest.approx(mean_distance(1.0, 0.8))
    assert abs(found.along[0]) == pytest.approx([1, 0, 0])
    assert found.across[0] == pytest.approx(np.cross(found.normal[0], found.along[0]))


def test_strips_of_a_lopsided_patch_run_square_to_its_middle_line() -> None:
    """Edges of 1 m and 1 m that lean apart: `along` bisects them, and the shorter edge alone gives the strips."""
    edges: Edges = (((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), ((5.0, 0.8, 0.0), (7.0, 1.6, 0.0)))
    found = join([Patch(edges, 0, GROUND, (3.0, 0.4, 1.0), 0.5)])
    along = np.array([3.0, 0.8, 0.0]) / math.hypot(3.0, 0.8)
    assert found.along[0] == pytest.approx(along)
    assert found.normal[0] == pytest.approx([0, 0, 1])
    assert found.strips[0] == pytest.approx([0.5, 0.5])
    for strip in (0, 1):
        between = found.points[0, 2 * strip + 1] - found.points[0, 2 * strip]
        square = abs(along[0] * between[1] - along[1] * between[0])
        assert found.edge_distance[0, 2 * strip, 1] == pytest.approx(square)
    far = max(found.edge_distance[0, 0, 1], found.edge_distance[0, 2, 1])
    assert found.lever[0] == pytest.approx(mean_distance(1.0, float(far)))


@pytest.mark.parametrize("above", [1.0, -1.0])
def test_the_normal_points_into_the_upper_block(above: float) -> None:
    for edges in (_quad(1.0, 1.0, 1.0), _quad(1.0, 1.0, 1.0)[::-1]):
        found = join([Patch(edges, 0, GROUND, (5.0, 0.5, above), 0.5)])  # type: ignore[arg-type]
        assert found.normal[0] == pytest.approx([0, 0, above])


def test_the_side_is_seen_from_the_patch_and_not_from_the_origin() -> None:
    lifted = tuple(tuple((x, y, z + 3.0) for x, y, z in edge) for edge in _quad(1.0, 1.0, 1.0))
    for towards, way in ((2.5, -1.0), (3.5, 1.0), (6.0, 1.0)):
        found = join([Patch(lifted, 0, GROUND, (0.0, 0.5, towards), 0.5)])  # type: ignore[arg-type]
        assert found.normal[0] == pytest.approx([0, 0, way])


def test_patches_without_area_or_with_bad_friction_are_refused() -> None:
    good = Patch(_quad(1.0, 1.0, 1.0), 0, GROUND, (0.0, 0.5, 1.0), 0.0)
    assert join([good]).friction[0] == 0.0
    with pytest.raises(ValueError, match="no area"):
        join([replace(good, edges=_quad(1.0, 1.0, 0.0))])
    for friction in (-0.1, math.inf):
        for others in ([], [good]):
            with pytest.raises(ValueError, match="friction"):
                join([*others, replace(good, friction=friction)])
    with pytest.raises(ValueError, match="not a number"):
        join([good, replace(good, strength=math.nan)])


def test_a_problem_refuses_what_does_not_fit_and_shaves_a_little() -> None:
    problem = one_block(1.0, 1.0, 0.5, 8.0)
    bad = problem.dead.copy()
    bad[0, 0] = math.nan
    for dead in (bad, np.zeros((2, 6))):
        with pytest.raises(ValueError, match="dead of the blocks"):
            BlockProblem(problem.centre, dead, problem.live, problem.size, problem.patches, no_ties())
    for side in ("upper", "lower"):
        patches = replace(problem.patches, **{side: np.array([1])})
        with pytest.raises(ValueError, match="does not exist"):
            replace(problem, patches=patches)
    shaved = problem.shaved().patches
    assert 0.0 < SHAVE < 1e-3
    assert shaved.friction == pytest.approx(0.5 * (1 - SHAVE), abs=1e-15) and shaved.strength[0] < 8.0
