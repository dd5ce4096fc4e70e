"""Joints that are not level: voussoir arches, and lunes of domes with radial or vertical cuts, as a linear programme.

At each joint the part above hands down H (outward) and V (down, known), with moment G = x V + z H about the origin.
With the joint's unit vector d from its inner to its outer end, the normal force is N = V d_x + H d_z and the shear S =
H d_x - V d_z (derived). Both are linear in (H, G), and so are contact and sliding.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = [
    "JointCollapse",
    "Joints",
    "joint_collapse",
    "least_thickness",
    "least_thrust",
    "needed_joint_friction",
    "stands",
    "thrust_range",
]

INFEASIBLE, SOLVED = 2, 0

SLACK = 1e-6
"""An equilibrium with more slack than this, as a share of the joints' limits, stands: there is no collapse to show.
Wider than the solver's 1e-10 by what a search for the least thickness leaves over (1e-9 of it, divided by how fast the
limits follow)."""


@dataclass(frozen=True)
class Joints:
    """From the crown down. `inner`, `outer` (n, 2): ends (x, z) of each joint [m]; `vertical` (n,): weight above it
    [kN]; `moment` (n,): moment of that weight about the origin [kN m]; `ring_level` (n,): level of a ring force that
    enters above the joint [m], nan for none; `crown_thrust`: a thrust of any size may enter at the top (an arch, lunes
    that lean)."""

    inner: Floats
    outer: Floats
    vertical: Floats
    moment: Floats
    ring_level: Floats
    crown_thrust: bool = True


def _rows(joints: Joints, friction: float | None) -> tuple[Floats, Floats, list[tuple[float | None, float | None]]]:
    """A x <= b over x = (H_0, G_0, C_1 ... C_m); bounds of x."""
    rings = np.flatnonzero(np.isfinite(joints.ring_level))
    n = len(joints.vertical)
    H, G = np.zeros((n, 2 + len(rings))), np.zeros((n, 2 + len(rings)))
    H[:, 0], G[:, 1] = 1.0, 1.0
    for column, index in enumerate(rings):
        H[index:, 2 + column] = 1.0
        G[index:, 2 + column] = joints.ring_level[index]
    V, moment = joints.vertical, joints.moment
    about = [G - end[:, 1:] * H for end in (joints.inner, joints.outer)]
    still = [moment - end[:, 0] * V for end in (joints.inner, joints.outer)]
    A, b = [-about[0], about[1]], [still[0], -still[1]]
    if friction is not None:
        d = (joints.outer - joints.inner) / np.hypot(*(joints.outer - joints.inner).T)[:, None]
        for sign in (1.0, -1.0):
            A.append((sign * d[:, :1] - friction * d[:, 1:]) * H)
            b.append((sign * d[:, 1] + friction * d[:, 0]) * V)
    free = (None, None) if joints.crown_thrust else (0.0, 0.0)
    start: list[tuple[float | None, float | None]] = [(0.0, None) if joints.crown_thrust else free, free]
    return np.vstack(A), np.concatenate(b), start + [(0.0, None)] * len(rings)


def _solve(joints: Joints, friction: float | None, goal: float) -> float | None:
    """Least `goal` times the thrust at the lowest joint; None when there is no equilibrium."""
    from scipy.optimize import linprog

    A, b, bounds = _rows(joints, friction)
    size = np.maximum(np.abs(A).max(axis=1), np.abs(b))
    size[size == 0.0] = 1.0
    cost = np.full(A.shape[1], goal)
    cost[1] = 0.0
    answer = linprog(
        cost,
        A / size[:, None],
        b / size,
        bounds=bounds,
        method="highs",
        # Few columns and very many rows: looking for what could be left out takes ten times as long as solving it.
        options={"presolve": False, "primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    if answer.status == INFEASIBLE:
        return None
    if answer.status != SOLVED:
        raise UndecidedError(f"the linear programme ended without an answer: {answer.message}")
    return float(answer.fun)


def stands(joints: Joints, friction: float | None = None) -> bool:
    """Is there an equilibrium with no tension (and, given a coefficient, no sliding)? UndecidedError if not
    established.
    """
    return _solve(joints, friction, 0.0) is not None


def least_thrust(joints: Joints, friction: float | None = None) -> float:
    """Least thrust at the lowest joint [kN]; UndecidedError when nothing stands."""
    least = _solve(joints, friction, 1.0)
    if least is None:
        raise UndecidedError("nothing stands")
    return least


def thrust_range(joints: Joints, friction: float | None = None) -> tuple[float, float] | None:
    """Least and greatest thrust at the lowest joint [kN]; None when nothing stands."""
    least, greatest = _solve(joints, friction, 1.0), _solve(joints, friction, -1.0)
    return None if least is None or greatest is None else (least, -greatest)


def _edge(works: Callable[[float], bool], low: float, high: float, steps: int = 40) -> float:
    """Least value in [low, high] for which `works` holds, once and for all above it."""
    if not works(high):
        raise UndecidedError(f"nothing up to {high:g} is enough")
    if works(low):
        raise UndecidedError(f"already {low:g} is enough: the least value lies below the range")
    for _ in range(steps):
        middle = (low + high) / 2
        low, high = (low, middle) if works(middle) else (middle, high)
    return high


def least_thickness(shape: Callable[[float], Joints], low: float, high: float, friction: float | None = None) -> float:
    """Least thickness in [low, high] at which `shape(thickness) -> Joints` stands; UndecidedError when it is not in
    there.
    """
    return _edge(lambda t: stands(shape(t), friction), low, high)


def needed_joint_friction(joints: Joints, high: float = 5.0) -> float:
    """Least friction coefficient of all joints; UndecidedError when none up to `high` is enough."""
    return 0.0 if stands(joints, 0.0) else _edge(lambda mu: stands(joints, mu), 0.0, high)


@dataclass(frozen=True)
class JointCollapse:
    """How it gives way, from the crown down; arrays (n,), the largest rotation or slip (times the length of its
    joint) is 1.

    hinge_inner   rotation at each joint about its inner end, the outer side opens [rad, >= 0]; hinge_outer about its
        outer end
    slip_outward  of what is above the joint along it, from its inner to its outer end [m, >= 0]; slip_inward the
        other way. What
                  slides also rises from the joint by the friction coefficient times the slip (associated flow)
    r, z          middle of each joint [m]: the point that u and w are stated for
    u, w, theta   displacement outward and upward [m] of the body above the joint there, and its rotation [rad],
        positive when its
                  top turns outward: u(x, y) = u + theta (y - z), w(x, y) = w - theta (x - r)
    ring_rate     growth of the radius of the ring above each joint [m]; nan where there is none
    weights       rate of work of the weights [kN m], 0 at the limit
    largest_work  the largest rate of work of one body's weight [kN m]: what `weights` is to be measured by
    relaxation    least common relaxation of the joints' limits that leaves an equilibrium [-], 0 at the limit
    """

    hinge_inner: Floats
    hinge_outer: Floats
    slip_outward: Floats
    slip_inward: Floats
    r: Floats
    z: Floats
    u: Floats
    w: Floats
    theta: Floats
    ring_rate: Floats
    weights: float
    largest_work: float
    relaxation: float


def joint_collapse(joints: Joints, friction: float | None = None) -> JointCollapse | None:
    """The mechanism, from the multipliers of the programme of least relaxation; None where an equilibrium has slack
    to spare.

    The jump of the motions conjugate to (H, V, G) at a joint is the multiplier times the gradient of its limit in (H,
    V, G):
    derived, by Abel summation of the work of these states from joint to joint. UndecidedError when the solver does
    not say.
    """
    from scipy.optimize import linprog

    A, b, bounds = _rows(joints, friction)
    n, V = len(joints.vertical), joints.vertical
    d = joints.outer - joints.inner
    length = np.hypot(*d.T)
    d = d / length[:, None]
    load = float(V.max())
    scale = (
        np.tile(load * length / 2, 2)
        if friction is None
        else np.concatenate([np.tile(load * length / 2, 2), np.full(2 * n, load)])
    )
    A = np.column_stack([A, -scale])
    size = np.maximum(np.abs(A).max(axis=1), np.abs(b))
    cost = np.zeros(A.shape[1])
    cost[-1] = 1.0
    answer = linprog(
        cost,
        A / size[:, None],
        b / size,
        bounds=[*bounds, (-1.0, None)],
        method="highs-ds",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    if answer.status != SOLVED:
        raise UndecidedError(f"the linear programme ended without an answer: {answer.message}")
    if answer.x[-1] < -SLACK:
        return None
    y = np.zeros((4, n))
    y[: len(b) // n] = (np.maximum(-answer.ineqlin.marginals, 0.0) / size).reshape(-1, n)
    mu = friction or 0.0
    # y of the slips multiplies S - mu N <= 0 with N = V d_x + H d_z and S = H d_x - V d_z: the slip itself is along d
    y /= max(float((y[:2] * length).max()), float(y[2:].max()))
    inn, out, plus, minus = y
    x, level = joints.inner.T
    x2, level2 = joints.outer.T
    outward = inn * level - out * level2 + plus * (d[:, 0] - mu * d[:, 1]) - minus * (d[:, 0] + mu * d[:, 1])
    down = inn * x - out * x2 - plus * (d[:, 1] + mu * d[:, 0]) + minus * (d[:, 1] - mu * d[:, 0])
    outward, down, turn = (np.cumsum(jump[::-1])[::-1] for jump in (outward, down, out - inn))
    r, z = ((joints.inner + joints.outer) / 2).T
    works = down * np.diff(V, prepend=0.0) + turn * np.diff(joints.moment, prepend=0.0)
    return JointCollapse(
        inn,
        out,
        plus,
        minus,
        r,
        z,
        outward + turn * z,
        -(down + turn * r),
        turn,
        outward + turn * joints.ring_level,
        float(works.sum()),
        float(np.abs(works).max()),
        float(answer.x[-1]),
    )
