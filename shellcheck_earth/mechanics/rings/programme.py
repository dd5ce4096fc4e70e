"""The same question as `admissible`, asked of a linear programme (HiGHS): the cross-check, and the source of lines.

Variables, course by course from the top: ring compression C, its moment K, wire tension T. H and G at a bed are sums
of them, so contact, crushing and sliding are rows; the ring's chord polygon gives further rows. Limits come from the
same formulas as the exact set (`bed_limits`, `ring_limits`), the search for a state does not.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Literal

import numpy as np

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.mechanics.rings.admissible import (
    CHORDS,
    Scales,
    bed_limits,
    pack,
    ring_limits,
    ring_polygon,
    wire_limit,
)
from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["Line", "Programme", "is_admissible", "line", "needed_friction", "programme", "widest_contact"]

INFEASIBLE = 2
SOLVED = 0


@dataclass(frozen=True)
class Programme:
    """A x <= b with x = (C, K, T), shape (3 n,), `bounds` shape (3 n, 2).

    `beds` rows come first, four a bed (outer, inner, slide out, slide in); ring rows follow. `crushed` is the first
    bed that cannot carry its weight at all, or -1.
    """

    A: Floats
    b: Floats
    bounds: Floats
    sum_H: Floats
    sum_G: Floats
    dead_H: Floats
    dead_G: Floats
    vertical: Floats
    limits: Floats
    crushed: int


def programme(lune: Lune, scales: Scales | None = None) -> Programme:
    """The linear programme of a lune; sums have shape (n, 3 n), limits (n, 3): x_low, x_high, H_limit."""
    rows, factors = pack(lune), (scales or Scales()).as_array()
    n = lune.size
    lower = np.tril(np.ones((n, n)))
    zero = np.zeros((n, n))
    z = lune.z_bottom
    sum_H = np.hstack([lower, zero, -lower])
    sum_G = np.hstack([zero, lower, -lower * z[None, :]])
    dead_H, dead_G = np.cumsum(lune.push), np.cumsum(lune.moment)
    dead_X = dead_G - z * dead_H
    limits = np.array([bed_limits(rows, i, factors) for i in range(n)])
    V = lune.vertical
    across = sum_G - z[:, None] * sum_H
    A = [across, -across, sum_H, -sum_H]
    b = [limits[:, 1] * V - dead_X, dead_X - limits[:, 0] * V, limits[:, 2] - dead_H, limits[:, 2] + dead_H]
    bounds = np.zeros((3 * n, 2))
    ring_A, ring_b = [], []
    for i in range(n):
        c_max, curve = ring_limits(rows, i, factors)
        bounds[2 * n + i, 1] = wire_limit(rows, i, factors)
        if c_max <= 0.0:
            continue
        bounds[i, 1] = c_max
        bounds[n + i] = (-np.inf, np.inf)
        for row, right in _ring_rows(rows, i, n, c_max, curve):
            ring_A.append(row)
            ring_b.append(right)
    finite = np.isfinite(np.concatenate(b))
    matrix = np.vstack([np.vstack(A)[finite], *ring_A]) if ring_A else np.vstack(A)[finite]
    crushed = np.nonzero(limits[:, 0] > limits[:, 1])[0]
    return Programme(
        matrix,
        np.concatenate([np.concatenate(b)[finite], ring_b]),
        bounds,
        sum_H,
        sum_G,
        dead_H,
        dead_G,
        V,
        limits,
        int(crushed[0]) if len(crushed) else -1,
    )


def _ring_rows(rows: Floats, i: int, n: int, c_max: float, curve: float) -> list[tuple[Floats, float]]:
    """The edges of the ring's polygon as rows: outside on the right of a counter-clockwise edge."""
    x, y = np.empty(2 * len(CHORDS) + 1), np.empty(2 * len(CHORDS) + 1)
    count = ring_polygon(rows[i, 1], rows[i, 2], c_max, curve, CHORDS, x, y)
    out = []
    for k in range(count):
        dx, dy = x[(k + 1) % count] - x[k], y[(k + 1) % count] - y[k]
        if dx == 0.0:
            continue  # C <= C_max and C >= 0 are bounds already
        scale = 1.0 / np.hypot(dx, dy)
        row = np.zeros(3 * n)
        row[i], row[n + i] = dy * scale, -dx * scale
        out.append((row, float((dy * x[k] - dx * y[k]) * scale)))
    return out


def _solve(cost: Floats, A: Floats, b: Floats, bounds: Floats) -> Any:
    from scipy.optimize import linprog

    # Rows are brought to size one, for the programme's tolerance is absolute and a crown weighs little.
    size = np.maximum(np.abs(b), 1e-3 * np.abs(A).max(axis=1))
    size[size == 0.0] = 1.0
    for presolve in (
        True,
        False,
    ):  # where its first reductions leave it without an answer, it is asked again without them
        answer = linprog(
            cost,
            A_ub=A / size[:, None],
            b_ub=b / size,
            bounds=bounds,
            method="highs",
            options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10, "presolve": presolve},
        )
        if answer.status in (SOLVED, INFEASIBLE):
            break
    else:
        raise UndecidedError(f"the linear programme ended without an answer: {answer.message}")
    return answer


def is_admissible(lune: Lune, scales: Scales | None = None) -> bool:
    """Is there a thrust line? UndecidedError when the programme does not say."""
    p = programme(lune, scales)
    if p.crushed >= 0:
        return False
    return bool(_solve(np.zeros(p.A.shape[1]), p.A, p.b, p.bounds).status == SOLVED)


def needed_friction(lune: Lune, scales: Scales | None = None) -> float | None:
    """Least friction coefficient, one for all beds, as the optimum of one programme (|H| <= mu V is linear in mu)."""
    p = programme(lune, replace(scales or Scales(), friction_value=1e9))
    if p.crushed >= 0:
        return None
    n = lune.size
    extra = np.zeros((len(p.b), 1))
    slide = np.hstack([p.sum_H, -p.vertical[:, None]])
    cohesion = lune.cohesion * (scales or Scales()).friction
    # A wire that holds by friction alone has a limit that is linear in mu too: T <= mu V.
    held = lune.bond < 0.0
    grip = np.hstack([np.zeros((n, 2 * n)), np.eye(n), -p.vertical[:, None]])[held]
    A = np.vstack([np.hstack([p.A, extra]), slide, np.hstack([-p.sum_H, -p.vertical[:, None]]), grip])
    b = np.concatenate([p.b, cohesion - p.dead_H, cohesion + p.dead_H, np.zeros(len(grip))])
    # The rows of the huge friction only spoil the scaling: the rows with mu as a variable replace them.
    keep = np.abs(b) < 1e6 * float(p.vertical[-1])
    cost = np.zeros(3 * n + 1)
    cost[-1] = 1.0
    answer = _solve(cost, A[keep], b[keep], np.vstack([p.bounds, [[0.0, np.inf]]]))
    return float(answer.fun) if answer.status == SOLVED else None


def widest_contact(lune: Lune, scales: Scales | None = None) -> float | None:
    """Least share s of every half-width (1/geometric factor) that leaves a line, as the optimum of one programme."""
    p = programme(lune, scales)
    if p.crushed >= 0:
        return None
    n = lune.size
    middle, half = (lune.bed_inner + lune.bed_outer) / 2, (lune.bed_outer - lune.bed_inner) / 2
    across = p.sum_G - lune.z_bottom[:, None] * p.sum_H
    width = -(half * p.vertical)[:, None]
    A = np.vstack(
        [
            np.hstack([p.A, np.zeros((len(p.b), 1))]),
            np.hstack([across, width]),
            np.hstack([-across, width]),
        ]
    )
    dead = p.dead_G - lune.z_bottom * p.dead_H
    b = np.concatenate([p.b, middle * p.vertical - dead, dead - middle * p.vertical])
    cost = np.zeros(3 * n + 1)
    cost[-1] = 1.0
    answer = _solve(cost, A, b, np.vstack([p.bounds, [[0.0, 1.0]]]))
    return float(answer.fun) if answer.status == SOLVED else None


@dataclass(frozen=True)
class Line:
    """One admissible state of every course and bed, top first: C, K, T, and H, G, x at the beds; shapes (n,)."""

    ring: Floats
    ring_moment: Floats
    wire: Floats
    H: Floats
    G: Floats
    x: Floats


def line(lune: Lune, kind: Literal["least", "greatest", "any"], scales: Scales | None = None) -> Line | None:
    """The line of least or greatest thrust at the lowest bed (or any line); None when there is none."""
    p = programme(lune, scales)
    if p.crushed >= 0:
        return None
    n = lune.size
    sign = {"least": 1.0, "greatest": -1.0, "any": 0.0}[kind]
    # A light price on every force picks, among equal lines, the one that uses least ring and wire.
    price = np.concatenate([np.full(n, 1e-6), np.zeros(n), np.full(n, 1e-6 if kind != "any" else 1e-3)])
    answer = _solve(sign * p.sum_H[-1] + price, p.A, p.b, p.bounds)
    if answer.status != SOLVED:
        return None
    x = answer.x
    H, G = p.sum_H @ x + p.dead_H, p.sum_G @ x + p.dead_G
    return Line(x[:n], x[n : 2 * n], x[2 * n :], H, G, (G - lune.z_bottom * H) / p.vertical)
