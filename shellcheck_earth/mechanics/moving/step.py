"""One implicit step in time: the motion under which mass, loads and contacts balance, by Newton's method.

M (dq - h v)/h^2 = f + sum of contact and tie forces at the end of the step (Moreau's time stepping, 1988, memory, with
the contacts' small give in place of rigid ones). A long step is a search for rest, a short one always has an answer:
mass over h^2 then outweighs everything.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy import sparse
from scipy.sparse.linalg import splu

from shellcheck_earth.mechanics.moving.body import Bodies
from shellcheck_earth.mechanics.moving.law import respond
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["BALANCED", "State", "Stepper", "unloaded"]

BALANCED = 1e-7
"""Largest force left over on a block at the end of a step, over the mean weight of a block."""

TRIES = 25
"""Newton rounds before a step is called off and tried shorter."""

HALVINGS, STALLS = 5, 3
"""Of one round's motion; rounds without a gain before a step is called off."""

FACTORISED: dict[str, Any] = {
    "permc_spec": "MMD_AT_PLUS_A",
    "diag_pivot_thresh": 0.01,
    "options": {"SymmetricMode": True},
}
"""The matrix is nearly symmetric, its diagonal strong: this order fills it in least."""


@dataclass(frozen=True)
class State:
    """moved (6 n,) since the start, speed (6 n,) [m/s]; pressed (m, 4) = -kn gap, shear (m, 4, 2), stretched (k,)
    tension a tie would have [kN]; force (m, 4, 3) and tension (k,) as they act."""

    moved: Floats
    speed: Floats
    pressed: Floats
    shear: Floats
    stretched: Floats
    force: Floats
    tension: Floats


def unloaded(bodies: Bodies) -> State:
    """Everything just touches and carries nothing."""
    n, m, k = bodies.problem.blocks, bodies.problem.patches.size, bodies.problem.ties.size
    return State(
        np.zeros(6 * n),
        np.zeros(6 * n),
        np.zeros((m, 4)),
        np.zeros((m, 4, 2)),
        np.zeros(k),
        np.zeros((m, 4, 3)),
        np.zeros(k),
    )


class Stepper:
    """Steps of one set of bodies; keeps what does not change from step to step."""

    def __init__(self, bodies: Bodies) -> None:
        self.renew(bodies)
        self.unit = float(np.abs(bodies.problem.dead[:, :3]).sum(axis=1).mean())
        m = bodies.problem.patches.size
        self.rate = np.empty((m, 12, 12))
        size = np.repeat(bodies.problem.size, 6).reshape(-1, 6)
        size[:, :3] = 1.0
        self.length = size.ravel()
        self._places()

    def renew(self, bodies: Bodies) -> None:
        """The same bodies elsewhere: which touch which stays as it was."""
        self.bodies, self.local = bodies, bodies.local
        self.back = bodies.motion.T.tocsr()

    def _places(self) -> None:
        """Where every number of the matrix goes: the pattern never changes."""
        b = self.bodies
        p, n, ties = b.problem.patches, b.problem.blocks, b.problem.ties
        sides = np.stack([p.upper, p.lower], axis=1)
        column = np.where(sides[:, :, None] >= 0, 6 * sides[:, :, None] + np.arange(6), 6 * n).reshape(-1, 12)
        near = np.broadcast_to(column[:, :, None], (p.size, 12, 12)).ravel()
        far = np.broadcast_to(column[:, None, :], (p.size, 12, 12)).ravel()
        matrix = b.ties.tocsc()
        pairs = [np.arange(matrix.indptr[k], matrix.indptr[k + 1]) for k in range(ties.size)]
        first = np.concatenate([np.repeat(one, len(one)) for one in pairs]) if pairs else np.empty(0, dtype=np.int64)
        second = np.concatenate([np.tile(one, len(one)) for one in pairs]) if pairs else np.empty(0, dtype=np.int64)
        self.tie_of = np.repeat(np.arange(ties.size), [len(one) ** 2 for one in pairs])
        self.tie_values = b.tie_stiffness * matrix.data[first] * matrix.data[second]
        row = np.concatenate([near, matrix.indices[first], np.arange(6 * n)])
        col = np.concatenate([far, matrix.indices[second], np.arange(6 * n)])
        key = np.where((row < 6 * n) & (col < 6 * n), col * (6 * n) + row, 36 * n * n)
        found, self.where = np.unique(np.append(key, 36 * n * n), return_inverse=True)
        self.where = self.where[:-1]
        kept = found[:-1]  # the last place takes what acts on the ground
        self.rows = (kept % (6 * n)).astype(np.int32)
        self.starts = np.searchsorted(kept, np.arange(6 * n + 1) * (6 * n)).astype(np.int32)

    def _answer(self, state: State, dq: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """(moved at points, forces, stretched, tension) after a motion; the rates stay in self.rate."""
        b = self.bodies
        at_points = (b.motion @ dq).reshape(-1, 4, 3)
        force = np.empty_like(at_points)
        respond(at_points, state.pressed, state.shear, b.stiffness, b.limits, b.arms, force, self.rate)
        stretched = state.stretched - b.tie_stiffness * (b.ties.T @ dq)
        return at_points, force, stretched, np.clip(stretched, 0.0, b.problem.ties.most)

    def left(self, load: Floats, force: Floats, tension: Floats) -> Floats:
        """(6 n,) what loads and forces leave unbalanced."""
        out: Floats = load + self.back @ force.ravel() + self.bodies.ties @ tension
        return out

    def worst(self, wrench: Floats) -> float:
        """Largest force, or moment over the block's size, in mean weights."""
        return float(np.abs(wrench / self.length).max(initial=0.0)) / self.unit

    def _matrix(self, inertia: Floats, stretched: Floats) -> Any:
        """How what is left over answers to a motion (6 n, 6 n), in the order of the factorisation's columns."""
        b = self.bodies
        blocks = -np.matmul(self.local.transpose(0, 2, 1), np.matmul(self.rate, self.local))
        pulling = (stretched > 0.0) & (stretched < b.problem.ties.most)
        values = np.concatenate([blocks.ravel(), self.tie_values * pulling[self.tie_of], inertia])
        data = np.bincount(self.where, weights=values, minlength=len(self.rows) + 1)[:-1]
        return sparse.csc_matrix((data, self.rows, self.starts), shape=(len(inertia), len(inertia)))

    def step(self, state: State, load: Floats, h: float, start: Floats | None = None) -> State | None:
        """The state a time h [s] later under a load (6 n,); None where Newton's method does not end."""
        inertia = self.bodies.mass / h**2
        drift = h * state.speed
        dq = drift.copy() if start is None else start.copy()
        found = self._answer(state, dq)
        left = self.left(load, found[1], found[3]) - inertia * (dq - drift)
        stalled = 0
        for _ in range(TRIES):
            error = self.worst(left)
            if error <= BALANCED:
                return self._ended(state, dq, found, h)
            try:
                way = splu(self._matrix(inertia, found[2]), **FACTORISED).solve(left)
            except RuntimeError:
                return None
            share = 1.0
            for _ in range(HALVINGS):
                trial = dq + share * way
                found = self._answer(state, trial)
                left = self.left(load, found[1], found[3]) - inertia * (trial - drift)
                if self.worst(left) < error * (1 - 1e-4 * share):
                    break
                share /= 2
            else:
                stalled += 1
                if stalled >= STALLS:
                    return None
            dq = trial
        return None

    def _ended(self, state: State, dq: Floats, found: tuple[Floats, Floats, Floats, Floats], h: float) -> State:
        at_points, force, stretched, tension = found
        return replace(
            state,
            moved=state.moved + dq,
            speed=dq / h,
            pressed=state.pressed - self.bodies.stiffness[:, :1] * at_points[:, :, 0],
            shear=force[:, :, 1:].copy(),
            stretched=np.minimum(stretched, self.bodies.problem.ties.most),
            force=force,
            tension=tension,
        )
