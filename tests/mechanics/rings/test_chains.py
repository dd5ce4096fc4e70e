"""The exact set on its two chains, against the same steps on whole polygons (`convex`), which is another way to add."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import dome_lune, lunes

from shellcheck_earth.mechanics.rings.admissible import (
    CHORDS,
    Scales,
    bed_limits,
    failing_bed,
    polygons,
    ring_limits,
    ring_polygon,
    wire_limit,
)
from shellcheck_earth.mechanics.rings.capacity import CONTACT, FRICTION, least_capacity
from shellcheck_earth.mechanics.rings.convex import clip, minkowski_sum
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

Polygon = tuple[Floats, Floats]


def added(polygon: Polygon, other: Polygon) -> Polygon:
    size = len(polygon[0]) + len(other[0]) + 4
    px, py = np.empty((2, size)), np.empty((2, size))
    m = len(polygon[0])
    px[0, :m], py[0, :m] = polygon
    m = minkowski_sum(px, py, 0, m, *other, len(other[0]))
    return px[0, :m].copy(), py[0, :m].copy()


def clipped(polygon: Polygon, nx: float, ny: float, most: float) -> Polygon:
    m = len(polygon[0])
    px, py = np.empty((2, m + 2)), np.empty((2, m + 2))
    px[0, :m], py[0, :m] = polygon
    m = clip(px, py, 0, m, nx, ny, most)
    return px[1, :m].copy(), py[1, :m].copy()


def by_polygons(rows: Floats, scales: Scales) -> tuple[int, list[Polygon]]:
    """(bed that leaves nothing or -1, the polygons): every chord of every ring, every step by itself."""
    factors = scales.as_array()
    found: list[Polygon] = []
    state: Polygon = (np.zeros(1), np.zeros(1))
    for i in range(len(rows)):
        low, high, limit = bed_limits(rows, i, factors)
        z, V = rows[i, 0], rows[i, 3]
        c_max, curve = ring_limits(rows, i, factors)
        T = wire_limit(rows, i, factors)
        if c_max > 0.0:
            qx, qy = np.empty(2 * len(CHORDS) + 1), np.empty(2 * len(CHORDS) + 1)
            k = ring_polygon(rows[i, 1], rows[i, 2], c_max, curve, CHORDS, qx, qy)
            state = added(state, (qx[:k], qy[:k]))
        if T > 0.0:
            state = added(state, (np.array([0.0, -T]), np.array([0.0, -T * z])))
        state = state[0], state[1] + rows[i, 4]
        for nx, ny, most in ((-z, 1.0, high * V), (z, -1.0, -low * V), (1.0, 0.0, limit), (-1.0, 0.0, limit)):
            state = clipped(state, nx, ny, most) if math.isfinite(most) else state
        if low > high or not len(state[0]):
            return i, found
        found.append(state)
    return -1, found


def by_polygons_least(rows: Floats, name: str, low: float, high: float) -> float | None:
    if by_polygons(rows, Scales(**{name: high}))[0] >= 0:
        return None
    while high > low * (1 + 1e-8):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if by_polygons(rows, Scales(**{name: middle}))[0] >= 0 else (low, middle)
    return high


ANGLES = np.linspace(0.0, 2 * np.pi, 32, endpoint=False)
DIRECTIONS = np.array([np.cos(ANGLES), np.sin(ANGLES)])


def reach(polygon: Polygon, z: float, V: float) -> Floats:
    """How far the polygon goes in 32 directions of (H/V, x): the same for the same convex set."""
    out: Floats = (np.column_stack([polygon[0] / V, (polygon[1] - z * polygon[0]) / V]) @ DIRECTIONS).max(axis=0)
    return out


def same(rows: Floats, scales: Scales) -> None:
    bed, wanted = by_polygons(rows, scales)
    found = polygons(rows, scales)
    assert found.failing == bed
    for i, (H, G) in enumerate(zip(found.H, found.G, strict=True)):
        want = reach(wanted[i], rows[i, 0], rows[i, 3])
        # Rings without limit press with 10^4 times the weight: sums of such doubles are good to some 1e-9 of it.
        assert reach((H, G), rows[i, 0], rows[i, 3]) == pytest.approx(want, abs=1e-8, rel=1e-8)


@settings(max_examples=150)
@given(lunes(most_courses=25), st.sampled_from([1.0, 0.9, 0.5]), st.sampled_from([1.0, 0.6, 0.05]))
def test_the_same_sets_as_by_whole_polygons(lune: Lune, friction: float, contact: float) -> None:
    same(lune.rows, Scales(friction=friction, contact=contact))


@settings(max_examples=150)
@given(st.integers(0, 10**6))
def test_rows_no_dome_has(seed: int) -> None:
    """Levels, beds, strengths, rings and wires at random: slopes come in no order, and sets shrink to segments."""
    g = np.random.default_rng(seed)
    n = int(g.integers(1, 16))
    rows = np.zeros((n, 18))
    level = np.sort(g.uniform(0, 4, size=n + 1))[::-1]
    weight = g.uniform(0.1, 5, size=n)
    middle = np.abs(g.uniform(0.5, 3) + np.cumsum(g.normal(size=n) * g.choice([0, 0.05, 0.3]))) + 0.1
    half = g.uniform(0.05, 0.4, size=n) * np.minimum(middle, 1) * g.choice([1.0, 1e-3])
    rows[:, 0] = level[1:] + g.normal(size=n) * g.choice([0.0, 0.1])
    rows[:, 1], rows[:, 2], rows[:, 3] = level[1:], level[:-1], np.cumsum(weight)
    rows[:, 4] = weight * (middle + g.normal(size=n) * 0.1)
    rows[:, 5], rows[:, 6] = middle - half, middle + half
    rows[:, 7] = np.where(g.random(n) < 0.5, rows[:, 6], g.uniform(rows[:, 5], rows[:, 6]))
    rows[:, 8] = g.choice([50, 500, 5e3, np.inf], size=n)
    rows[:, 9] = np.where(g.random(n) < 0.7, rows[:, 8], 50)
    rows[:, 10] = np.where(g.random(n) < 0.1, np.inf, g.uniform(0, 1.5, size=n))
    rows[:, 11] = g.choice([0, 1.0], size=n) * g.random(n)
    rows[:, 12] = g.choice([0, 50, 500, 5e3, np.inf], size=n)
    rows[:, 13] = g.choice([0, 0.45], size=n, p=[0.1, 0.9])
    rows[:, 14], rows[:, 15] = g.choice([0, 0, 0.5, 5], size=n) * g.random(n), 1.0
    rows[:, 16] = g.choice([-1, np.inf, 0.5], size=n)
    same(rows, Scales())


@settings(max_examples=40)
@given(lunes(most_courses=20))
def test_the_edges_of_the_questions_are_the_same(lune: Lune) -> None:
    for name, slot, low in (("friction", FRICTION, 1e-3), ("contact", CONTACT, 0.01)):
        found = least_capacity(lune.rows, (slot,), low, 10.0 if slot == FRICTION else 1.0)
        wanted = by_polygons_least(lune.rows, name, low, 10.0 if slot == FRICTION else 1.0)
        assert (found.value is None) == (wanted is None)
        if found.value and wanted is not None:
            assert found.value == pytest.approx(wanted, rel=3e-8)


def point() -> Floats:
    """One course of 2 kN at x = 1.2 m on a bed from 1.0 to 1.4 m: the set is the point (0, 2.4)."""
    rows = np.zeros((1, 18))
    rows[0, :12] = 0.0, 0.0, 0.2, 2.0, 2.4, 1.0, 1.4, 1.4, np.inf, np.inf, 0.5, 0.0
    return rows


def test_a_point_a_segment_and_a_bed_without_width() -> None:
    found = polygons(point())
    assert (found.H[0].tolist(), found.G[0].tolist()) == ([0.0], [2.4])
    wired = np.vstack([point(), point()])
    wired[0, :3], wired[0, 14:17] = (0.2, 0.2, 0.4), (0.3, 1.0, np.inf)
    wired[1, 3] = 4.0
    found = polygons(wired)  # 0.3 kN of wire at 0.2 m: (0, 2.4) to (-0.3, 2.34)
    assert sorted(zip(found.H[0].tolist(), found.G[0].tolist(), strict=True)) == [(-0.3, 2.4 - 0.2 * 0.3), (0.0, 2.4)]
    edge = point()
    edge[0, 5:8] = 1.2, 1.2, 1.2  # a bed that is a line under the weight: nothing but the weight's own line
    edge[0, 8:10] = np.inf
    assert failing_bed(edge) == by_polygons(edge, Scales())[0]
    narrow = np.vstack([point(), point()])
    narrow[0, :3] = 0.2, 0.2, 0.4
    narrow[0, 12:14] = 500.0, 0.4
    narrow[1, 3] = 4.0
    same(narrow, Scales(contact=1e-9))


@pytest.mark.parametrize("column", [0, 3, 4, 14])
@pytest.mark.parametrize("row", [0, 7])
def test_a_value_that_is_not_a_number_leaves_nothing(column: int, row: int) -> None:
    """No lune can hold one; if one came about, it must not be a yes. Columns: level, weight, moment, wire."""
    rows = dome_lune(wire=1.0, rounding=0.02).rows.copy()
    assert failing_bed(rows) < 0
    rows[row, column] = math.nan
    assert failing_bed(rows) == row


@pytest.mark.parametrize("column", [1, 2, 12])
def test_a_ring_that_is_not_a_number_is_no_ring(column: int) -> None:
    rows = dome_lune(wire=1.0, rounding=0.02).rows.copy()
    without = rows.copy()
    without[3, 12] = 0.0
    rows[3, column] = math.nan
    assert failing_bed(rows) == failing_bed(without)
