"""One line out of the many that stand: a choice that is the same wherever it is made.

The optimum of a linear programme is drawn from a whole face of equal ones, and the last bit of an input decides which.
Here the choice is made on the exact set, from the ground up: among the states of the next bed from which the line
below can still be reached, the one nearest to the middle of the bed, and of those the one whose thrust is nearest to
that below, which takes least of ring and wire. Each is one point, so the line is unique (a lexicographic optimum); it
is a line of the exact set, for every state is taken from the polygon of its bed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from shellcheck_earth.mechanics.rings.admissible import (
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

__all__ = ["DefiniteLine", "Start", "definite_line"]

Start = Literal["least", "greatest", "middle"]
Polygon = tuple[Floats, Floats]

ROUNDING = (0.0, *(1e-15 * 2.0**k for k in range(27)))
"""Share of the size of a state by which two polygons may miss each other, in turn: at its edges the exact set is as
thin as its rounding. No more than is needed, or what is given at one bed would be multiplied at the next."""

EDGE = 1e-6
"""Share of the range of thrusts within which a thrust is the least or the greatest."""


@dataclass(frozen=True)
class DefiniteLine:
    """One admissible state of every course and bed, top first: C, K, T, and H, G [per radian: kN, kN m], x [m]."""

    ring: Floats
    ring_moment: Floats
    wire: Floats
    H: Floats
    G: Floats
    x: Floats


@dataclass(frozen=True)
class _Bed:
    """Of one bed: its level, the weight on it, the middle that is aimed for; the polygon of its states."""

    z: float
    V: float
    middle: float
    states: Polygon


def definite_line(lune: Lune, start: Start, scales: Scales) -> DefiniteLine | None:
    """The line that begins at the ground with the least thrust, the greatest, or nearest to the middle of the bed.

    Parameters
    ----------
    lune
        Arrays of shape (n,), top course first.
    start
        Which thrust at the lowest bed.
    scales
        Shares of the capacities that the line keeps to.

    Returns
    -------
    DefiniteLine or None
        Arrays of shape (n,); None where there is no line, or where rounding does not let one be followed to the top.
    """
    rows, factors = pack(lune), scales.as_array()
    found = polygons(rows, scales)
    if found.failing >= 0:
        return None
    middle = (lune.bed_inner + lune.bed_outer) / 2
    beds = [
        _Bed(float(lune.z_bottom[i]), float(lune.vertical[i]), float(middle[i]), (found.H[i], found.G[i]))
        for i in range(lune.size)
    ]
    state = _first(beds[-1], start)
    states, forces = [state], []
    for i in range(lune.size - 1, 0, -1):
        ring = _ring(rows, factors, i)
        most = float(wire_limit(rows, i, factors))
        above = _reached(_sources(state, rows, i, ring, most), beds[i - 1], state[0])
        if above is None:
            return None
        forces.append(_forces(_step(rows, i, above, state), rows[i, 0], ring, most))
        state = above
        states.append(state)
    top = _ring(rows, factors, 0), float(wire_limit(rows, 0, factors))
    forces.append(_forces(_step(rows, 0, (0.0, 0.0), state), rows[0, 0], *top))
    H, G = np.array(states[::-1]).T
    C, K, T = np.array(forces[::-1]).T
    return DefiniteLine(C, K, T, H, G, (G - lune.z_bottom * H) / lune.vertical)


def _ring(rows: Floats, factors: Floats, i: int) -> Polygon:
    """What the ring of course i may add, counter-clockwise; nothing but its zero where it may add nothing."""
    c_max, curve = ring_limits(rows, i, factors)
    if c_max <= 0.0:
        return np.zeros(1), np.zeros(1)
    x, y = np.empty(2 * len(CHORDS) + 1), np.empty(2 * len(CHORDS) + 1)
    count = ring_polygon(rows[i, 1], rows[i, 2], c_max, curve, CHORDS, x, y)
    return x[:count], y[:count]


def _step(rows: Floats, i: int, above: tuple[float, float], below: tuple[float, float]) -> tuple[float, float]:
    """What ring and wire of course i add to (H, G) between two states."""
    return below[0] - above[0] - float(rows[i, 17]), below[1] - above[1] - float(rows[i, 4])


def _first(bed: _Bed, start: Start) -> tuple[float, float]:
    H, G = bed.states
    low, high = float(H.min()), float(H.max())
    edge = EDGE * (high - low)
    if start == "middle":
        return _nearest(bed, bed.states, 0.0)
    if start == "least":
        return _nearest(bed, _clipped((H, G), 1.0, 0.0, low + edge) or (H, G), low)
    return _nearest(bed, _clipped((H, G), -1.0, 0.0, edge - high) or (H, G), high)


def _clipped(polygon: Polygon, nx: float, ny: float, d: float) -> Polygon | None:
    H, G = polygon
    px, py = np.empty((2, len(H) + 2)), np.empty((2, len(H) + 2))
    px[0, : len(H)], py[0, : len(H)] = H, G
    m = clip(px, py, 0, len(H), nx, ny, d)
    return (px[1, :m].copy(), py[1, :m].copy()) if m else None


def _sources(state: tuple[float, float], rows: Floats, i: int, ring: Polygon, most: float) -> Polygon:
    """States above course i from which the state at its bed can be reached."""
    px, py = np.empty((2, 2 * len(CHORDS) + 8)), np.empty((2, 2 * len(CHORDS) + 8))
    px[0, 0], py[0, 0] = state[0] - float(rows[i, 17]), state[1] - float(rows[i, 4])
    m = minkowski_sum(px, py, 0, 1, -ring[0], -ring[1], len(ring[0])) if len(ring[0]) > 1 else 1
    if most > 0.0:
        m = minkowski_sum(px, py, 0, m, np.array([0.0, most]), np.array([0.0, most * float(rows[i, 0])]), 2)
    return px[0, :m].copy(), py[0, :m].copy()


def _reached(sources: Polygon, bed: _Bed, thrust: float) -> tuple[float, float] | None:
    """The state of the bed that is chosen among those in both polygons."""
    size = float(np.abs(bed.states[0]).max() + np.abs(bed.states[1]).max() + abs(sources[0][0]) + abs(sources[1][0]))
    for share in ROUNDING:
        common = _common(sources, bed.states, share * (size + bed.V))
        if common is not None and share == 0.0:
            return _nearest(bed, common, thrust)
        if common is not None:  # a speck at the edge
            return float(common[0].mean()), float(common[1].mean())
    return None


def _common(first: Polygon, second: Polygon, slack: float) -> Polygon | None:
    """The part of the first polygon inside the second, or within `slack` of it."""
    H, G = second
    size = float(np.abs(H).max() + np.abs(G).max())
    found: Polygon | None = first
    if len(H) < 3:  # a point or a line: held to the box around it
        for sign, values, nx, ny in ((1.0, H, 1.0, 0.0), (-1.0, H, 1.0, 0.0), (1.0, G, 0.0, 1.0), (-1.0, G, 0.0, 1.0)):
            edge = float((sign * values).max()) + slack
            found = _clipped(found, sign * nx, sign * ny, edge) if found else None
        return found
    for j in range(len(H)):
        k = (j + 1) % len(H)
        nx, ny = float(G[k] - G[j]), float(H[j] - H[k])
        length = float(np.sqrt(nx * nx + ny * ny))
        if length > 1e-14 * size and found is not None:
            nx, ny = nx / length, ny / length
            found = _clipped(found, nx, ny, nx * float(H[j]) + ny * float(G[j]) + slack)
    return found


def _nearest(bed: _Bed, polygon: Polygon, thrust: float) -> tuple[float, float]:
    """The state nearest to the middle of the bed, and of those the one whose thrust is nearest to `thrust`."""
    H, G = polygon
    off = (G - bed.z * H) / bed.V - bed.middle
    aim = min(max(0.0, float(off.min())), float(off.max()))
    low, high = np.inf, -np.inf
    for j in range(len(H)):
        k = (j + 1) % len(H)
        a, b = float(off[j]) - aim, float(off[k]) - aim
        if a == 0.0:
            low, high = min(low, float(H[j])), max(high, float(H[j]))
        elif a * b < 0.0:
            at = float(H[j]) + a / (a - b) * float(H[k] - H[j])
            low, high = min(low, at), max(high, at)
    chosen = min(max(thrust, low), high)
    return chosen, bed.z * chosen + bed.V * (bed.middle + aim)


def _forces(step: tuple[float, float], z: float, ring: Polygon, most: float) -> tuple[float, float, float]:
    """(C, K, T) of one course with the least tension of its wire: C - T and K - z T are the step."""
    x, y = ring
    least, greatest = 0.0, most
    if len(x) == 1:
        least = greatest = -step[0]
    for j in range(len(x) if len(x) > 1 else 0):
        k = (j + 1) % len(x)
        dx, dy = float(x[k] - x[j]), float(y[k] - y[j])
        inside = dx * (step[1] - float(y[j])) - dy * (step[0] - float(x[j]))
        gain = dx * z - dy
        if gain > 0.0:
            least = max(least, -inside / gain)
        elif gain < 0.0:
            greatest = min(greatest, -inside / gain)
    T = min(max(min(least, greatest), 0.0), most)
    return max(step[0] + T, 0.0), step[1] + z * T, T
