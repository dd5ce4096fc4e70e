"""Everywhere a thrust line may run: at each bed, the states that can be reached from above and lead on to the ground.

The polygons of `admissible` hold the states reachable from above. Going back up from the ground, each is cut down to
the states from which a state below can be reached: its step is undone (Minkowski sum with the mirrored ring and wire,
weight taken off) and the two convex polygons are intersected. Derived from the same steps; no optimiser is involved.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shellcheck_earth.mechanics.rings.admissible import (
    AVAILABLE,
    CHORDS,
    Scales,
    pack,
    polygons,
    ring_limits,
    ring_polygon,
    wire_limit,
)
from shellcheck_earth.mechanics.rings.convex import clip, minkowski_sum
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["ThrustBand", "thrust_band"]

ROUNDING = 1e-9
"""Share of the size of a state by which the intersection may be too wide: at the edge the polygons shrink to a point.
"""


@dataclass(frozen=True)
class ThrustBand:
    """Top bed first: level of the bed, innermost and outermost radius of any line [m], least and greatest H [kN per
    radian].

    Where no line reaches the ground (`failing` >= 0, the index of the bed that none crosses) the arrays end above that
    bed and hold the paths that get so far.
    """

    z: Floats
    x_low: Floats
    x_high: Floats
    H_low: Floats
    H_high: Floats
    failing: int


def _undo(rows: Floats, factors: Floats, i: int, H: Floats, G: Floats) -> tuple[Floats, Floats]:
    """States above course i from which some state of the polygon (H, G) at its bed can be reached."""
    ax, ay = H - rows[i, 17], G - rows[i, 4]
    for qx, qy in (_mirrored_ring(rows, factors, i), _wire(rows, factors, i)):
        if len(qx):
            px, py = _buffers(ax, ay, len(qx) + 2)
            m = minkowski_sum(px, py, 0, len(ax), qx, qy, len(qx))
            ax, ay = px[0, :m], py[0, :m]
    return ax, ay


def _buffers(x: Floats, y: Floats, more: int) -> tuple[Floats, Floats]:
    """Two rows each: the polygon, and room for one with `more` vertices."""
    px, py = np.empty((2, len(x) + more)), np.empty((2, len(x) + more))
    px[0, : len(x)], py[0, : len(x)] = x, y
    return px, py


def _mirrored_ring(rows: Floats, factors: Floats, i: int) -> tuple[Floats, Floats]:
    c_max, curve = ring_limits(rows, i, factors)
    if c_max <= 0.0:
        return np.empty(0), np.empty(0)
    x, y = np.empty(2 * len(CHORDS) + 1), np.empty(2 * len(CHORDS) + 1)
    count = ring_polygon(rows[i, 1], rows[i, 2], c_max, curve, CHORDS, x, y)
    return -x[:count], -y[:count]


def _wire(rows: Floats, factors: Floats, i: int) -> tuple[Floats, Floats]:
    T = wire_limit(rows, i, factors)
    if T <= 0.0:
        return np.empty(0), np.empty(0)
    return np.array([0.0, T]), np.array([0.0, T * rows[i, 0]])


def _common(H: Floats, G: Floats, other_H: Floats, other_G: Floats) -> tuple[Floats, Floats]:
    """The part of the first convex polygon inside the second, both counter-clockwise; the first where rounding leaves
    nothing.
    """
    scale = float(np.hypot(other_H, other_G).max()) + 1e-300
    nx, ny = np.roll(other_G, -1) - other_G, other_H - np.roll(other_H, -1)
    length = np.hypot(nx, ny)
    edges = length > 1e-12 * scale
    nx, ny = nx[edges] / length[edges], ny[edges] / length[edges]
    d = nx * other_H[edges] + ny * other_G[edges] + ROUNDING * scale
    # An edge that the whole polygon lies within takes nothing away; most do.
    cutting = (nx[:, None] * H + ny[:, None] * G - d[:, None] > 0.0).any(axis=1)
    px, py = _buffers(H, G, int(cutting.sum()) + 2)
    row, m = 0, len(H)
    for x, y, most in zip(nx[cutting].tolist(), ny[cutting].tolist(), d[cutting].tolist(), strict=True):
        m = clip(px, py, row, m, x, y, most)
        row = 1 - row
        if m == 0:
            return H, G
    return px[row, :m], py[row, :m]


def thrust_band(lune: Lune, scales: Scales = AVAILABLE) -> ThrustBand:
    """The band of all thrust lines of a lune; a few milliseconds."""
    rows, factors = pack(lune), scales.as_array()
    whole = polygons(rows, scales)
    states = list(zip(whole.H, whole.G, strict=True))
    if whole.failing < 0:
        for i in range(lune.size - 1, 0, -1):
            states[i - 1] = _common(*states[i - 1], *_undo(rows, factors, i, *states[i]))
    z, V = lune.z_bottom[: len(states)], lune.vertical[: len(states)]
    x = [(G - z[i] * H) / V[i] for i, (H, G) in enumerate(states)]
    return ThrustBand(
        z=z,
        x_low=np.array([one.min() for one in x]),
        x_high=np.array([one.max() for one in x]),
        H_low=np.array([H.min() for H, _ in states]),
        H_high=np.array([H.max() for H, _ in states]),
        failing=whole.failing,
    )
