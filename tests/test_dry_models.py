"""The models of dry stone, against statics by hand."""

from __future__ import annotations

import math

import pytest
from shapely import Polygon

from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from validation import dry_models
from validation.dry_models import (
    FRICTION,
    arch_on_piers,
    bag_wall,
    checks,
    dome_on,
    least_pier,
    tilted_block,
    tipping_angle,
)


def _pier_by_hand() -> float:
    """Hinges at the outer arris of the crown, the inner arris of the joint and the outer foot of the pier: thrust from
    the upper voussoir alone, then moments of the whole half about the foot."""
    n, a, b = 4000, 58.5, 39.5
    x, y = dry_models.JOINT
    normal = math.atan2(y / b**2, x / a**2)
    # where the joint leaves the inner and the outer face, by small steps along it
    step = 1e-4

    def leave(way: float, p: float, q: float) -> tuple[float, float]:
        u, v = x, y
        while (math.hypot(u / p, v / q) - 1) * way < 0:
            u, v = u + way * step * math.cos(normal), v + way * step * math.sin(normal)
        return u, v

    inner, outer = leave(-1.0, 54.0, 35.0), leave(1.0, 63.0, 44.0)

    def face(p: float, q: float, start: float, end: float) -> list[tuple[float, float]]:
        return [(p * math.cos(t), q * math.sin(t)) for t in (start + (end - start) * k / n for k in range(n + 1))]

    ti, to = math.atan2(inner[1] / 35, inner[0] / 54), math.atan2(outer[1] / 44, outer[0] / 63)
    upper = Polygon(face(54, 35, ti, math.pi / 2) + face(63, 44, math.pi / 2, to))
    lower = Polygon(face(54, 35, 0, ti) + face(63, 44, to, 0))
    thrust = upper.area * (inner[0] - upper.centroid.x) / (44 - inner[1])
    low, high = 9.0, 60.0
    for _ in range(60):
        pier = (low + high) / 2
        foot = 54 + pier
        held = upper.area * (foot - upper.centroid.x) + lower.area * (foot - lower.centroid.x) + 120 * pier**2 / 2
        low, high = (low, pier) if held > thrust * 164 else (pier, high)
    return high


def test_the_least_pier_is_that_of_three_hinges_by_hand() -> None:
    assert least_pier(FRICTION) == pytest.approx(_pier_by_hand(), abs=0.05)


def test_below_the_range_of_friction_the_arch_stands_on_no_pier() -> None:
    assert least_pier(math.tan(math.radians(27.0))) == 60.0
    assert least_pier(math.tan(math.radians(36.0))) == pytest.approx(least_pier(FRICTION), abs=0.03)


def test_an_arch_that_does_not_bear_to_its_arrises_needs_more() -> None:
    assert least_pier(FRICTION, kept_in=1.0) > least_pier(FRICTION) + 2.0


def test_weights_and_centroids_of_the_dome_are_those_of_the_whole() -> None:
    problem = dome_on(columns=False, friction=FRICTION)
    dome = problem.weight[:16]
    assert dome.sum() == pytest.approx(2 / 3 * math.pi * (63**3 - 54**3))
    height = 3 / 8 * (63**4 - 54**4) / (63**3 - 54**3)
    assert (dome * problem.centre[:16, 2]).sum() / dome.sum() == pytest.approx(height)
    assert problem.weight[16:].sum() == pytest.approx(math.pi * (63**2 - 54**2) * 120)
    columns = dome_on(columns=True, friction=FRICTION)
    assert columns.weight[16:].sum() * 9 == pytest.approx(problem.weight[16:].sum())
    live = problem.live
    assert live[:, 2].sum() == pytest.approx(-dome.sum())


@pytest.mark.parametrize("degrees", [28.0, 32.0, 36.0])
def test_the_dome_stands_on_wall_and_columns_in_the_whole_range_of_friction(degrees: float) -> None:
    friction = math.tan(math.radians(degrees))
    for columns in (False, True):
        answer = solve_blocks(dome_on(columns=columns, friction=friction))
        assert answer.multiplier is not None
        assert answer.multiplier > 0.01


def test_it_falls_where_it_should(monkeypatch: pytest.MonkeyPatch) -> None:
    slippery = solve_blocks(dome_on(columns=True, friction=0.2))
    assert slippery.multiplier == 0.0
    monkeypatch.setattr(dry_models, "THICKNESS", 4.0)
    assert solve_blocks(dome_on(columns=False, friction=FRICTION)).multiplier == 0.0


@pytest.mark.parametrize("degrees", [0.0, 10.0, 20.0, 30.0])
def test_a_turned_block_tips_as_by_hand(degrees: float) -> None:
    expected = math.degrees(math.atan(1 / 3 / math.cos(math.radians(degrees))))
    assert tipping_angle(degrees) == pytest.approx(expected, abs=1e-3)
    assert tilted_block(degrees).blocks == 1


def test_one_row_does_not_agree_and_says_so() -> None:
    (arch,) = [one for one in checks() if not one.passed]
    assert arch.printed == 26.0
    assert "thinner than the model needed" in arch.differs
    assert arch_on_piers(26.0, FRICTION).blocks == 6


def test_a_pushed_wall_of_bags_slides_on_the_bed_under_its_top_course() -> None:
    course = 1.2 * 0.38 * 0.12 * 17.5
    level = solve_blocks(bag_wall(0.6, diagonal=False)).multiplier
    assert level == pytest.approx(0.6 * course, rel=1e-4)
    diagonal = solve_blocks(bag_wall(0.6, diagonal=True)).multiplier
    assert diagonal == pytest.approx(math.sqrt(2) * 0.6 * course / (1 - 0.6), rel=1e-4)
