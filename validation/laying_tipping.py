"""Tipping of a piece of a ring against a direct centre of mass and support polygon (shapely as the
oracle)."""

from __future__ import annotations

import math
from typing import Any

from shapely import Point, Polygon

from shellcheck_earth.safety.laying import piece_centroid, shortest_stable_half_angle, tipping_factor

__all__ = ["cases"]

CHORDS = 4000
FINE = "arcs of 4000 chords, error of order (b/4000)^2"

PIECES = (
    (1.80, 2.185, 1.88, 0.3),
    (0.80, 1.185, 0.97, 0.2),
    (0.35, 0.735, 0.55, 0.5),
    (0.20, 0.585, 0.45, 1.0),
    (0.20, 0.585, 0.42, 2.2),
)
"""Inner and outer radius, where the support begins [m], half-angle [rad]: from the foot of a dome to its
crown."""


def _sector(inner: float, outer: float, half: float) -> Polygon:
    angles = [half * (2 * k / CHORDS - 1) for k in range(CHORDS + 1)]
    outside = [(outer * math.cos(a), outer * math.sin(a)) for a in angles]
    return Polygon(outside + [(inner * math.cos(a), inner * math.sin(a)) for a in reversed(angles)])


def _overhang_factor(inner: float, outer: float, support: float, half: float) -> float:
    """Holding over tipping moment about the chord of the support, from the areas on its two sides."""
    edge = support * math.cos(half)
    inside = Polygon([(-9, -9), (edge, -9), (edge, 9), (-9, 9)])
    body = _sector(inner, outer, half)
    over, held = body.intersection(inside), body.difference(inside)
    return held.area * (held.centroid.x - edge) / (over.area * (edge - over.centroid.x))


def _stable_from(inner: float, outer: float, support: float) -> float:
    """Shortest half-angle whose centroid lies in the hull of its support, by bisection on the polygons
    themselves."""
    low, high = 1e-3, math.pi - 1e-3
    for _ in range(22):
        half = (low + high) / 2
        centre = _sector(inner, outer, half).centroid
        hull = _sector(support, outer, half).convex_hull
        if hull.contains(Point(centre.x, centre.y)):
            high = half
        else:
            low = half
    return high


def _case(name: str, expected: float, ours: float, tolerance: float, why: str) -> dict[str, Any]:
    return {
        "id": name,
        "source": "shapely: polygon centroid and convex hull",
        "known": "computed",
        "printed": None,
        "recomputed": expected,
        "computed": ours,
        "tolerance": tolerance,
        "why": why,
    }


def cases() -> list[dict[str, Any]]:
    out = []
    for inner, outer, support, half in PIECES:
        name = f"r {inner:g} to {outer:g} m, support from {support:g} m, half-angle {half:g}"
        out.append(
            _case(
                f"centroid, {name}",
                _sector(inner, outer, half).centroid.x,
                piece_centroid(inner, outer, half),
                1e-6,
                FINE,
            )
        )
        if support * math.cos(half) > inner * math.cos(half):
            expected = _overhang_factor(inner, outer, support, half)
            out.append(
                _case(
                    f"factor, {name}",
                    expected,
                    tipping_factor(inner, outer, support, half),
                    2e-3 * expected,
                    "midpoint rule with 400 nodes across a kink",
                )
            )
    for inner, outer, support in ((0.35, 0.735, 0.60), (0.20, 0.585, 0.48), (1.0, 1.385, 1.25)):
        out.append(
            _case(
                f"shortest half-angle, support from {support:g} m",
                _stable_from(inner, outer, support),
                shortest_stable_half_angle(inner, outer, support),
                1e-5,
                "22 bisections of the polygons",
            )
        )
    return out
