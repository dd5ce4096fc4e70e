"""The Minkowski sum against the convex hull of all sums of corners (scipy's Qhull, an independent method)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull, QhullError

from shellcheck_earth.mechanics.rings.convex import minkowski_sum


def area(points: np.ndarray) -> float:
    """Area of the convex hull of points (n, 2); 0 where they lie on a line."""
    try:
        return float(ConvexHull(points).volume)
    except (QhullError, ValueError):
        return 0.0


def summed(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    m, k = len(first), len(second)
    px, py = np.zeros((2, m + k + 4)), np.zeros((2, m + k + 4))
    px[0, :m], py[0, :m] = first.T
    count = minkowski_sum(px, py, 0, m, second[:, 0].copy(), second[:, 1].copy(), k)
    return np.column_stack([px[0, :count], py[0, :count]])


def every_sum(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    return (first[:, None, :] + second[None, :, :]).reshape(-1, 2)


def convex(points: np.ndarray) -> np.ndarray:
    """The corners, counter-clockwise."""
    return points[ConvexHull(points).vertices]


def spans(found: np.ndarray, first: np.ndarray, second: np.ndarray) -> None:
    """Same reach in 64 directions, which is the same convex set to the eye of every half-plane that clips it."""
    angles = np.linspace(0.0, 2 * np.pi, 64, endpoint=False)
    directions = np.column_stack([np.cos(angles), np.sin(angles)])
    want = (every_sum(first, second) @ directions.T).max(axis=0)
    got = (found @ directions.T).max(axis=0)
    assert got == pytest.approx(want, abs=1e-9 * max(1.0, float(np.abs(want).max())))


SQUARE = np.array([[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]])
TRIANGLE = np.array([[0.0, 0.0], [3.0, 1.0], [1.0, 2.0]])


COLLINEAR = np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 0.5], [2.0, 1.0], [1.0, 1.0], [0.0, 1.0], [0.0, 0.3]])


def doubled(points: np.ndarray, at: int, shift: float = 0.0) -> np.ndarray:
    """The polygon with one corner written twice, `shift` apart."""
    return np.insert(points, at, points[at] + shift, axis=0)


@pytest.mark.parametrize("at", range(4))
@pytest.mark.parametrize("shift", [0.0, 1e-16, -2e-16])
def test_a_doubled_corner_loses_nothing(at: int, shift: float) -> None:
    first = doubled(SQUARE + 1.0, at, shift)
    spans(summed(first, TRIANGLE), first, TRIANGLE)
    exact = doubled(SQUARE + 1.0, at)  # rings and wires are written down, not clipped: no rounding between corners
    spans(summed(TRIANGLE, exact), TRIANGLE, exact)


@pytest.mark.parametrize(
    "first", [SQUARE[:1], SQUARE[:2], np.repeat(SQUARE[:1], 2, axis=0), SQUARE, TRIANGLE, COLLINEAR]
)
@pytest.mark.parametrize("second", [TRIANGLE, COLLINEAR, TRIANGLE[:2], TRIANGLE[:1], doubled(TRIANGLE, 2)])
def test_points_and_segments(first: np.ndarray, second: np.ndarray) -> None:
    spans(summed(first, second), first, second)


@pytest.mark.parametrize("start", range(4))
def test_a_level_lowest_edge_is_found_wherever_the_corners_begin(start: int) -> None:
    second = np.roll(SQUARE, start, axis=0)
    spans(summed(TRIANGLE, second), TRIANGLE, second)
    for first, size in ((SQUARE, 8.0), (TRIANGLE, 2.5 + 2.0 + 2 * 2 + 1 * 3)):
        x, y = summed(first, second).T
        assert (np.roll(y, -1) * x - np.roll(x, -1) * y).sum() / 2 == pytest.approx(size)  # its corners in order


@given(st.integers(0, 10_000), st.integers(3, 12), st.integers(3, 12), st.booleans())
def test_random_polygons(seed: int, m: int, k: int, twice: bool) -> None:
    rng = np.random.default_rng(seed)
    first, second = convex(rng.normal(size=(m, 2)) * 10.0), convex(rng.normal(size=(k, 2)))
    if twice:
        first = doubled(first, int(rng.integers(len(first))))
        second = doubled(second, int(rng.integers(len(second))))
    found = summed(first, second)
    spans(found, first, second)
    assert area(found) == pytest.approx(area(every_sum(first, second)), rel=1e-9)


@given(
    st.integers(0, 10_000),
    st.integers(3, 9),
    st.integers(3, 9),
    st.floats(1e-16, 1e-9),
    st.sampled_from([0, 10, 100]),
)
def test_corners_off_their_place_lose_no_more_than_they_are_off(
    seed: int, m: int, k: int, off: float, away: int
) -> None:
    """What clipping leaves: each corner up to three times, a rounding error apart and in no order.

    A comparison of angles that took such edges for edges lost up to twice the size of the polygon.
    """
    rng = np.random.default_rng(seed)
    plain = convex(rng.normal(size=(m, 2))) * 10 ** rng.uniform(-2, 1) + rng.normal(size=2) * away
    size = float(np.abs(plain).max())
    first = np.repeat(plain, rng.integers(1, 4, size=len(plain)), axis=0)
    first = first + rng.normal(size=first.shape) * off * size
    second = convex(rng.normal(size=(k, 2)))
    angles = np.linspace(0.0, 2 * np.pi, 64, endpoint=False)
    directions = np.column_stack([np.cos(angles), np.sin(angles)])
    want = (every_sum(first, second) @ directions.T).max(axis=0)
    got = (summed(first, second) @ directions.T).max(axis=0)
    # Normal errors reach 5 times their spread; the sums' own rounding is 1e-14 of their size.
    assert np.abs(got - want).max() <= 20 * off * size + 1e-13 * (size + 10)
