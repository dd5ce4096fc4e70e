"""Walls, arches and single blocks as problems of limit analysis, for comparison with values found by other means."""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Patch, join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, no_ties

__all__ = ["PIERCED", "SOLID", "TWICE_PIERCED", "arch", "bonded", "one_block", "wall"]

Floats = NDArray[np.float64]


Point = tuple[float, float, float]


def _edge(first: Point, second: Point) -> tuple[Point, Point]:
    return first, second


def _problem(centre: Floats, weight: Floats, patches: list[Patch], size: float) -> BlockProblem:
    """Weights down; the live load is one weight of each block sideways (x)."""
    dead, live = np.zeros((len(weight), 6)), np.zeros((len(weight), 6))
    dead[:, 2], live[:, 0] = -weight, weight
    return BlockProblem(centre, dead, live, np.full(len(weight), size), join(patches), no_ties())


def one_block(width: float, height: float, friction: float, strength: float = math.inf) -> BlockProblem:
    """A box 1 m deep on the ground, pushed by a share of its weight of 1 kN: falls at min(b/h, mu)."""
    d = 0.5
    patch = Patch(
        (_edge((-width / 2, -d, 0), (-width / 2, d, 0)), _edge((width / 2, -d, 0), (width / 2, d, 0))),
        0,
        GROUND,
        np.array([0.0, 0.0, 1.0]),
        friction,
        strength,
    )
    return _problem(np.array([[0.0, 0.0, height / 2]]), np.array([1.0]), [patch], 1.0)


_FOUR, _BETWEEN = (1, 1, 1, 1), (0.5, 1, 1, 1, 0.5)
_FIVE, _SIX = (1, 1, 1, 1, 1), (0.5, 1, 1, 1, 1, 0.5)
_ONE_GAP, _ONE_GAP_BETWEEN = (1, 0.5, -1, 0.5, 1), (0.5, 1, -1, 1, 0.5)
_TWO_GAPS, _TWO_GAPS_BETWEEN = (1, -1, 1, -1, 1), (0.5, 0.5, -1, 0.5, 0.5, -1, 0.5, 0.5)

Pattern = tuple[tuple[float, ...], ...]
SOLID: Pattern = (_SIX, _FIVE) * 3
PIERCED: Pattern = (_FOUR, _BETWEEN, _FOUR, *(_ONE_GAP_BETWEEN, _ONE_GAP) * 2, _ONE_GAP_BETWEEN, _FOUR, _BETWEEN, _FOUR)
TWICE_PIERCED: Pattern = (_SIX, _FIVE, _SIX, *(_TWO_GAPS, _TWO_GAPS_BETWEEN) * 2, _TWO_GAPS, _SIX, _FIVE, _SIX)
"""Courses of published walls (Ferris & Tin-Loi 2001, their first, third and fourth; layout read in a later
recomputation): lengths of
blocks, lowest course first, in whole blocks; a negative one is a gap."""


def wall(wide: int, courses: int, friction: float, length: float = 4.0, height: float = 1.75) -> BlockProblem:
    """Running bond from a full course; odd courses closed by half blocks; head joints with the same friction."""
    full: tuple[float, ...] = (1.0,) * wide
    between = (0.5, *(1.0,) * (wide - 1), 0.5)
    return bonded(tuple(between if course % 2 else full for course in range(courses)), friction, length, height)


def bonded(pattern: Pattern, friction: float, length: float = 4.0, height: float = 1.75) -> BlockProblem:
    """A wall of courses, each a row of lengths in whole blocks (negative: a gap); head joints with the same
    friction.
    """
    boxes: list[tuple[float, float, float, float]] = []
    for course, row in enumerate(pattern):
        ends = [0.0, *itertools.accumulate(abs(part) * length for part in row)]
        boxes += [
            (a, b, course * height, (course + 1) * height)
            for part, (a, b) in zip(row, itertools.pairwise(ends), strict=True)
            if part > 0
        ]
    patches = []
    d = 0.5
    for i, (x0, x1, z0, z1) in enumerate(boxes):
        middle = np.array([(x0 + x1) / 2, 0.0, (z0 + z1) / 2])
        for j, (u0, u1, w0, w1) in [*enumerate(boxes), (GROUND, (-1e3, 1e3, -1.0, 0.0))]:
            a, b = max(u0, x0), min(u1, x1)
            if abs(w1 - z0) < 1e-9 and b - a > 1e-9:
                patches.append(
                    Patch((_edge((a, -d, z0), (a, d, z0)), _edge((b, -d, z0), (b, d, z0))), i, j, middle, friction)
                )
            if j != GROUND and abs(u1 - x0) < 1e-9 and abs(w0 - z0) < 1e-9:
                patches.append(
                    Patch(
                        (_edge((x0, -d, z0), (x0, d, z0)), _edge((x0, -d, z1), (x0, d, z1))),
                        i,
                        j,
                        middle,
                        friction,
                        kind="head joint",
                    )
                )
    centre = np.array([[(a + b) / 2, 0.0, (z + w) / 2] for a, b, z, w in boxes])
    weight = np.array([(b - a) * (w - z) for a, b, z, w in boxes])
    return _problem(centre, weight, patches, 2.0)


def arch(
    friction: float, voussoirs: int = 7, radius: float = 10.0, thickness: float = 1.5, degrees: float = 157.5
) -> BlockProblem:
    """A circular arch of equal voussoirs with radial joints, 1 m deep, springing from the ground at both ends."""
    half = math.radians(degrees) / 2
    angles = np.linspace(-half, half, voussoirs + 1)
    inner, outer, d = radius - thickness / 2, radius + thickness / 2, 0.5
    patches = []
    for k, angle in enumerate(angles):
        s, c = math.sin(angle), math.cos(angle)
        edges = [_edge((r * s, -d, r * c), (r * s, d, r * c)) for r in (inner, outer)]
        last = k == voussoirs
        turn = -1.0 if last else 1.0
        towards = np.array([radius * s + turn * c, 0.0, radius * c - turn * s])
        upper, lower = (k - 1, GROUND) if last else (k, k - 1 if k else GROUND)
        patches.append(Patch((edges[0], edges[1]), upper, lower, towards, friction))
    mid, b = (angles[1:] + angles[:-1]) / 2, half / voussoirs
    out = (2 / 3) * (outer**3 - inner**3) / (outer**2 - inner**2) * math.sin(b) / b
    centre = np.stack([out * np.sin(mid), 0 * mid, out * np.cos(mid)], axis=1)
    return _problem(centre, np.full(voussoirs, (outer**2 - inner**2) * b), patches, thickness)
