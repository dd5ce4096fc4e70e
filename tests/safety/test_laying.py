"""Expected values by hand, and by a polygon's centre of mass and the hull of its support (shapely)."""

import math

import pytest
from samples import classroom
from shapely import Point, Polygon

from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.safety.laying import (
    LOAD_POSITION,
    centroid_radius,
    first_needing_hand,
    laying_table,
    load_to_tip,
    needed_hold,
    piece_centroid,
    shortest_stable_half_angle,
    tipping_factor,
    tipping_moments,
)


def _sector(inner: float, outer: float, half: float, n: int = 4000) -> Polygon:
    angles = [(-1 + 2 * k / n) * half for k in range(n + 1)]
    return Polygon(
        [(outer * math.cos(a), outer * math.sin(a)) for a in angles]
        + [(inner * math.cos(a), inner * math.sin(a)) for a in reversed(angles)]
    )


def _course(number: int, inner: float, below: float, rho: float = 0.0) -> Course:
    return Course(
        number,
        "arc",
        0.15 * (number - 1),
        0.15 * number,
        inner,
        inner + 0.4,
        2.0,
        below - inner,
        max(inner, below) + rho,
        min(inner, below) + 0.4 - rho,
        10.0,
        0.5,
        20.0,
        True,
    )


def test_centroid_limits() -> None:
    assert centroid_radius(0.0, 3.0) == pytest.approx(2.0)
    assert piece_centroid(1.0, 1.4, math.pi) == pytest.approx(0.0, abs=1e-12)
    assert piece_centroid(0.0, 1.0, math.pi / 2) == pytest.approx(4 / (3 * math.pi))  # half a disc


@pytest.mark.parametrize("half", [0.2, 0.6, 1.2, 2.0])
@pytest.mark.parametrize("support", [1.05, 1.25, 1.32])
def test_stability_against_polygons(half: float, support: float) -> None:
    body = _sector(1.0, 1.4, half)
    hull = _sector(support, 1.4, half).convex_hull
    stable = hull.contains(Point(body.centroid.x, body.centroid.y))
    assert piece_centroid(1.0, 1.4, half) == pytest.approx(body.centroid.x, abs=1e-5)
    assert (half >= shortest_stable_half_angle(1.0, 1.4, support)) == stable


@pytest.mark.parametrize(("half", "support"), [(0.5, 1.1), (0.5, 1.35), (1.2, 1.1), (1.9, 1.2), (2.6, 1.1)])
def test_factor_against_polygons(half: float, support: float) -> None:
    """Short pieces, and pieces past half a ring, where the tipping edge lies behind the centre."""
    edge = support * math.cos(half)
    body = _sector(1.0, 1.4, half)
    over = body.intersection(Polygon([(-3, -3), (edge, -3), (edge, 3), (-3, 3)]))
    held = body.difference(over)
    expected = held.area * (held.centroid.x - edge) / (over.area * (edge - over.centroid.x))
    assert tipping_factor(1.0, 1.4, support, half) == pytest.approx(expected, rel=5e-3)  # midpoint rule, 4000-gon


def test_straight_limit_of_the_short_piece() -> None:
    # on a huge radius a piece is a beam: (overlap/overhang)^2 = (0.3/0.1)^2 = 9
    assert tipping_factor(1e4, 1e4 + 0.4, 1e4 + 0.1) == pytest.approx(9.0, rel=1e-3)
    assert math.isinf(tipping_factor(1.0, 1.4, 1.0))


def test_shortest_length_is_nothing_under_half_the_width() -> None:
    assert shortest_stable_half_angle(1e4, 1e4 + 0.4, 1e4 + 0.199) == 0.0
    assert shortest_stable_half_angle(1.0, 1.4, 1.3) > 0.0


def test_needed_hold_of_a_straight_piece() -> None:
    # per metre: w = 17 x 0.15 = 2.55 kN/m2; tipping 2.55 x 0.25^2/2, holding 2.55 x 0.15^2/2, arm 0.075
    course = _course(2, 1e4, 1e4 + 0.25)
    expected = 2.55 / 2 * (1.5 * 0.25**2 - 0.15**2) / 0.075
    assert needed_hold(course, 17.0, 1.5) == pytest.approx(expected, rel=1e-3)


def test_a_piece_that_stands_by_itself_needs_no_hold() -> None:
    assert needed_hold(_course(2, 1e4, 1e4 + 0.10), 17.0, 1.5) == 0.0  # 0.3^2 of 1.5 x 0.1^2: nothing, and no pull up


@pytest.mark.parametrize(("half", "below"), [(0.4, 1.12), (0.9, 1.15), (1.4, 1.2)])
def test_load_to_tip_of_a_curved_piece(half: float, below: float) -> None:
    """Moments about the edge: the body's by its polygon, the load's by its place over the end of the piece."""
    course = _course(2, 1.0, below)
    body = _sector(1.0, 1.4, half)
    edge = course.bed_inner * math.cos(half)
    place = (1.0 + LOAD_POSITION * 0.4) * math.cos(half)
    expected = 17.0 * 0.15 * body.area * (body.centroid.x - edge) / (edge - place)
    assert load_to_tip(course, 17.0, half) == pytest.approx(max(expected, 0.0), rel=1e-4)


def test_load_to_tip_of_a_straight_piece() -> None:
    # 2 m long: net = 2 x 2.55 x 0.4 x (0.2 - 0.15) = 0.102 kN m; the load stands 0.1 m in, 0.05 m beyond the
    # edge
    course = _course(2, 1e4, 1e4 + 0.15)
    half = 1.0 / (1e4 + 0.2)
    assert load_to_tip(course, 17.0, half) == pytest.approx(0.102 / 0.05, rel=1e-3)


def _stack(radii: list[float]) -> Dome:
    courses = [_course(1, radii[0], radii[0])]
    courses += [_course(n + 2, inner, radii[n]) for n, inner in enumerate(radii[1:])]
    return Dome(classroom(), tuple(courses), 0.0, 0.0, 3.0, 2.0)


def test_table() -> None:
    rows = laying_table(_stack([1.5, 1.45, 1.35, 1.2, 1.0, 0.7]), 17.0, 1.5, worker=1.5)
    assert [row.number for row in rows] == [2, 3, 4, 5, 6]
    assert [row.top_third for row in rows] == [False, False, False, True, True]
    assert first_needing_hand(rows) == 6  # 0.30 in of 0.40: over half
    last = rows[-1]
    assert 0.0 < last.length_alone < last.length_required <= last.ring_length
    assert last.length_worker is not None
    assert last.length_worker >= last.length_alone
    assert last.hold_needed > 0.0
    held = laying_table(_stack([1.5, 1.45, 1.35, 1.2, 1.0, 0.7]), 17.0, 1.5, wire_hold=last.hold_needed)
    assert held[-1].factor_held == pytest.approx(1.5)


def test_more_overlap_never_hurts() -> None:
    rows = [
        laying_table(_stack([1.5, 1.5 - step]), 17.0, 1.5, worker=1.5)[0] for step in (0.02, 0.1, 0.15, 0.2, 0.25, 0.3)
    ]
    for name in ("length_alone", "length_required", "length_blow", "length_worker", "hold_needed"):
        values = [getattr(row, name) for row in rows]
        assert values == sorted(values), name


@pytest.mark.parametrize("size", [0.4, 1.7, 3.0])
@pytest.mark.parametrize("half", [0.0, 0.3, 1.2])
def test_the_size_of_a_piece_cancels(half: float, size: float) -> None:
    """Moments per unit of weight and height and per radian grow with the cube of the size; the factor does not."""
    first = tipping_moments(1.3, 1.75, 1.52, half)
    other = tipping_moments(size * 1.3, size * 1.75, size * 1.52, half)
    assert other == pytest.approx([size**3 * moment for moment in first], rel=1e-9)
    assert tipping_factor(size * 1.3, size * 1.75, size * 1.52, half) == pytest.approx(first[0] / first[1], rel=1e-9)
