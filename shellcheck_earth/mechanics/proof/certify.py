"""Make the proofs of a certificate: forces that are a thrust line, or multipliers that exclude every line.

A line is found by carrying the polygon of admissible states down the beds and walking back up through the middle of
what is left, so that slack remains to pay for the rounding. One line is sought for all questions of a case together,
and for one alone only where there is none for all. Multipliers are found by `exclude`. The checker decides; its limits
of a bed are read here, so that both ask the same question.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

import numpy as np

from shellcheck_earth.basics.kept import compiled
from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.exclude import find_none
from shellcheck_earth.mechanics.proof.floats import Arrays, arrays_of
from shellcheck_earth.mechanics.proof.rebuild import Case, Question
from shellcheck_earth.mechanics.proof.states import Bed
from shellcheck_earth.mechanics.proof.statics import Known, Loaded, by_loads, line_fault, under
from shellcheck_earth.mechanics.rings.admissible import CHORDS, ring_polygon, room
from shellcheck_earth.mechanics.rings.convex import clip, minkowski_sum
from shellcheck_earth.mechanics.rings.lune import FRICTION_BOND, Floats, Lune

__all__ = ["beds_of", "certify_case", "find_line"]

UNLIMITED = 1.0e4  # an unlimited ring may press with this many times the whole weight
HAIR = 1e-9
EDGE = 2.0**-38  # kN; a ring with less force is left out


def beds_of(lune: Lune) -> tuple[Bed, ...]:
    """A lune as the checker's beds: lengths to the nearest 2^-40 m, everything else exactly as it stands."""

    def limit(value: float) -> Fraction | None:
        return None if np.isinf(value) else Fraction(float(value))

    def length(value: float) -> int:
        return round(Fraction(float(value)) * UNIT)

    def bond(i: int) -> Fraction | None:
        return None if lune.bond[i] == FRICTION_BOND else Fraction(float(min(lune.bond[i], lune.wire[i])))

    def push(i: int) -> tuple[int, int, int]:
        return 0, 0, round(Fraction(float(lune.push[i])) * (6 << 160))

    beds = []
    for i in range(lune.size):
        weight = round(Fraction(float(lune.weight[i])) * (6 << 160))
        moment = round(Fraction(float(lune.moment[i])) * (6 << 200))
        beds.append(
            Bed(
                int(lune.number[i]), length(lune.z_bottom[i]), length(lune.z_top[i]), (weight, moment), (0, 0),
                length(lune.bed_inner[i]), length(lune.bed_outer[i]), length(lune.wet_from[i]),
                limit(lune.crush_inner[i]), limit(lune.crush_outer[i]), limit(lune.friction[i]),
                Fraction(float(lune.cohesion[i])), limit(lune.ring_strength[i]), length(lune.ring_depth[i]),
                Fraction(float(lune.wire[i])), bond(i), push(i), push(i),
            )
        )  # fmt: skip
    return tuple(beds)


@compiled
def _keep(px, py, a, m, keep_x, keep_y, i):  # type: ignore[no-untyped-def]
    for j in range(m):
        keep_x[i, j] = px[a, j]
        keep_y[i, j] = py[a, j]


@compiled(takes="111111111112222c2211", gives="i")
def _down(  # type: ignore[no-untyped-def]
    z, top, push, moment, low, high, slide, wire, c_max, curve, chords, above_x, above_y, ring_x, ring_y, counts,
    px, py, qx, qy,
):  # fmt: skip
    """Polygons above each ring, and with the ring, at each bed, into four arrays (n + 1, capacity); counts (2, n + 1).

    px, py, qx, qy: as `_buffers`, to work in. Returns the index of the bed that leaves nothing, or -1; the last polygon
    is kept under index n.
    """
    n = len(z)
    a = 0
    m = 1
    for i in range(n):
        _keep(px, py, a, m, above_x, above_y, i)
        counts[0, i] = m
        if c_max[i] > 0.0:
            k = ring_polygon(z[i], top[i], c_max[i], curve[i], chords, qx, qy)
            m = minkowski_sum(px, py, a, m, qx, qy, k)
        _keep(px, py, a, m, ring_x, ring_y, i)
        counts[1, i] = m
        if wire[i] > 0.0:
            qx[0], qy[0], qx[1], qy[1] = 0.0, 0.0, -wire[i], -z[i] * wire[i]
            m = minkowski_sum(px, py, a, m, qx, qy, 2)
        for j in range(m):
            px[a, j] += push[i]
            py[a, j] += moment[i]
        m = clip(px, py, a, m, -z[i], 1.0, high[i])
        m = clip(px, py, 1 - a, m, z[i], -1.0, -low[i])
        if not np.isinf(slide[i]):
            m = clip(px, py, a, m, 1.0, 0.0, slide[i])
            m = clip(px, py, 1 - a, m, -1.0, 0.0, slide[i])
        if m == 0:
            return i
    _keep(px, py, a, m, above_x, above_y, n)
    counts[0, n] = m
    return -1


@compiled
def _middle(px, py, m):  # type: ignore[no-untyped-def]
    """Mean of a convex polygon's vertices: inside it, with slack on every side that has any."""
    x = 0.0
    y = 0.0
    for j in range(m):
        x += px[j] / m
        y += py[j] / m
    return x, y


@compiled
def _furthest(q, m, way):  # type: ignore[no-untyped-def]
    """The greatest of m values, or with way -1 the least."""
    found = q[0]
    for j in range(1, m):
        if way * q[j] > way * found:
            found = q[j]
    return found


@compiled
def _hold(x, y, z, most, qx, qy, m):  # type: ignore[no-untyped-def]
    """The middle tension T in [0, most] with (x + T, y + z T) in the polygon, which may be a point or a segment."""
    t0 = 0.0
    t1 = most
    for j in range(m + 4):
        if j < m:
            # inside: ex (y - qy) - ey (x - qx) >= 0 of a counter-clockwise polygon
            k = j + 1 if j + 1 < m else 0
            ex = qx[k] - qx[j]
            ey = qy[k] - qy[j]
            at = ex * (y - qy[j]) - ey * (x - qx[j])
            rate = ex * z - ey
        elif j == m:  # and inside its box, which says where a point or a segment ends
            at, rate = x - _furthest(qx, m, -1.0), 1.0
        elif j == m + 1:
            at, rate = _furthest(qx, m, 1.0) - x, -1.0
        elif j == m + 2:
            at, rate = y - _furthest(qy, m, -1.0), z
        else:
            at, rate = _furthest(qy, m, 1.0) - y, -z
        if rate > 0.0:
            t0 = max(t0, min(-at / rate, most))
        elif rate < 0.0:
            t1 = min(t1, max(at / -rate, 0.0))
    return min(max((t0 + t1) / 2, 0.0), most)


@compiled(takes="111111112222c2211111", gives="")
def _up(  # type: ignore[no-untyped-def]
    z, top, push, moment, wire, c_max, curve, chords, above_x, above_y, ring_x, ring_y, counts, px, py, qx, qy, C, K, T
):
    """Walk from the middle of the last polygon up to the top; C, K, T (n,) receive the forces. The others: as `_down`,
    which has filled them.
    """
    n = len(z)
    x, y = _middle(above_x[n], above_y[n], counts[0, n])
    for i in range(n - 1, -1, -1):
        x -= push[i]
        y -= moment[i]
        if wire[i] > 0.0:
            T[i] = _hold(x, y, z[i], wire[i], ring_x[i], ring_y[i], counts[1, i])
            x += T[i]
            y += z[i] * T[i]
        if c_max[i] <= 0.0:
            continue
        m = counts[0, i]
        a = 0
        _keep(above_x, above_y, i, m, px, py, 0)
        k = ring_polygon(z[i], top[i], c_max[i], curve[i], chords, qx, qy)
        for j in range(k):
            # (x, y) minus the point above lies inside the ring's polygon, edge by edge
            e = j + 1 if j + 1 < k else 0
            ex = qx[e] - qx[j]
            ey = qy[e] - qy[j]
            d = ex * (y - qy[j]) - ey * (x - qx[j])
            left = clip(px, py, a, m, -ey, ex, d)
            if left == 0:
                # thinner than the rounding: the point that comes nearest
                b = 0
                for h in range(m):
                    if ex * py[a, h] - ey * px[a, h] < ex * py[a, b] - ey * px[a, b]:
                        b = h
                px[1 - a, 0] = px[a, b]
                py[1 - a, 0] = py[a, b]
                left = 1
            a = 1 - a
            m = left
        ax, ay = _middle(px[a], py[a], m)
        C[i] = x - ax
        K[i] = y - ay
        x = ax
        y = ay


def _buffers(n: int) -> tuple[Floats, Floats, Floats, Floats]:
    """What `_down` and `_up` work in, for n courses: two polygons of two rows each, and one ring."""
    ring = 2 * len(CHORDS) + 1
    return np.zeros((2, room(n) + 64)), np.zeros((2, room(n) + 64)), np.empty(ring), np.empty(ring)


def _search(full: Arrays) -> tuple[Floats, Floats, Floats] | None:
    """(C, K, T) of a line through the middle of what is admissible, or None.

    Every limit is taken in by a hair, which pays for the rounding where the walk follows an edge.
    """
    hair = HAIR * full.vertical * full.width
    given = replace(
        full,
        low=full.low + hair,
        high=full.high - hair,
        slide=full.slide * (1 - HAIR),
        wire=full.wire * (1 - HAIR),
        ring_f=full.ring_f * (1 - HAIR),
    )
    n = len(given.z)
    limited = np.isfinite(given.ring_f)
    f = np.where(limited, given.ring_f, 1.0)
    press = (f > 0.0) & (given.ring_t > 0.0)
    most = np.where(limited, f * given.ring_t * (given.top - given.z), UNLIMITED * given.vertical[-1])
    c_max = np.where(press, most, 0.0)
    curve = np.where(press & limited, 1.0 / (2.0 * np.where(press, f * given.ring_t, 1.0)), 0.0)
    size = (n + 1, room(n))
    keep = (np.zeros(size), np.zeros(size), np.zeros(size), np.zeros(size), np.zeros((2, n + 1), dtype=np.int64))
    work = _buffers(n)
    z, top, push, moment, wire = given.z, given.top, given.push, given.moment, given.wire
    if _down(z, top, push, moment, given.low, given.high, given.slide, wire, c_max, curve, CHORDS, *keep, *work) >= 0:
        return None
    C, K, T = np.zeros(n), np.zeros(n), np.zeros(n)
    _up(z, top, push, moment, wire, c_max, curve, CHORDS, *keep, *work, C, K, T)
    return C, K, T


def _rounded(
    loaded: Loaded, questions: Sequence[Question], forces: tuple[Floats, Floats, Floats]
) -> dict[str, list[int]]:
    """Whole numbers of 2^-40 inside the exact limits of the rings and wires; the beds' slack pays for it."""
    out: dict[str, list[int]] = {"ring": [], "ring_moment": [], "wire": []}
    wires = [loaded.wires(question, up=False) for question in questions]
    strengths = [loaded.rings(question, up=False) for question in questions]
    for i, bed in enumerate(loaded.beds):
        C, K, T = (float(column[i]) for column in forces)
        most = min(column[i] for column in wires) // loaded.force
        rings = [column[i] for column in strengths]
        t = rings[0][1]
        f = min((ring[0] for ring in rings if ring[0] is not None), default=None)
        c = k = 0
        if C > EDGE and t > 0 and f != 0:
            c = int(C * UNIT)
            bend = 0
            if f is not None:
                c = min(c, (f * t * (bed.z_top - bed.z_bottom) >> 80) - 1)
                bend = -(-c * c * UNIT // (2 * f * t))
            least, greatest = -(-bed.z_bottom * c // UNIT) + bend, bed.z_top * c // UNIT - bend
            k = min(max(round(K * UNIT), least), greatest)
            c, k = (c, k) if c > 0 and least <= greatest else (0, 0)
        out["ring"].append(c)
        out["ring_moment"].append(k)
        out["wire"].append(min(max(round(T * UNIT), 0), most))
    return out


def find_line(beds: Sequence[Bed], questions: Sequence[Question], known: Known | None = None) -> dict[str, Any] | None:
    """One line for all the questions (of one load), which the checker has accepted; else None.

    `known`: what of these beds under loads is there already.
    """
    known = {} if known is None else known
    loaded = under(beds, questions[0].loads, known)
    given = arrays_of(loaded, questions, up=False)
    found = None if isinstance(given, int) else _search(given)
    if found is None:
        return None
    entry: dict[str, Any] = _rounded(loaded, questions, found)
    if line_fault(beds, questions, entry, known):
        return None
    return {"shows": [question.name for question in questions]} | entry


def certify_case(case: Case, refute: Collection[str] = (), known: Known | None = None) -> dict[str, Any]:
    """The case's entry in the certificate: a line for every question that has one, one for all where it can be; and for
    the questions named in `refute` a proof that there is none. `known`: as `find_line` has it.
    """
    known = {} if known is None else known
    lines: list[dict[str, Any]] = []
    for questions in by_loads(case.questions).values():
        joint = find_line(case.beds, questions, known)
        if joint is None:
            alone = [find_line(case.beds, [one], known) for one in questions]
            left = [one for one, found in zip(questions, alone, strict=True) if found]
            joint = find_line(case.beds, left, known) if len(left) > 1 else None
            lines += [] if joint else [one for one in alone if one]
        lines += [joint] if joint else []
    met = {name for line in lines for name in line["shows"]}
    none = (find_none(case.beds, one) for one in case.questions if one.name in refute and one.name not in met)
    return {"case": case.id, "lines": lines, "none": [one for one in none if one]}
