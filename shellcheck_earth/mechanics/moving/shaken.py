"""Blocks under a ground that moves, at large displacements: the same law, its geometry renewed at every step.

The blocks are seen from the moving ground: every block carries -m a besides its weight. Before each step the points
are taken to where the upper block of their patch has gone, the plane they press on to where the lower one has; the
gap is measured anew, shears stay in the plane's own frame. Weight and ground motion act as at the end of the step,
arms as at its beginning, so that a block that rocks keeps its energy between impacts, and the stiff contact takes up
what an impact takes up (no rebound; one block then loses what Housner 1963, memory, derives from angular momentum).

Restrictions, said wherever a result is shown: a face stays one plane without end, so a run ends once a block has slid
by a stated share of a face, moved or tilted by a stated amount; wire and ties pull as in the unmoved dome; crushed fill
comes back when unloaded; blocks meet only at the faces they had. What falls is not followed to the ground.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.moving.body import GRAVITY, Bodies, Stiffness, bodies_of
from shellcheck_earth.mechanics.moving.push import GONE, settle
from shellcheck_earth.mechanics.moving.step import State, Stepper, unloaded
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["GroundMotion", "Limits", "Shaken", "shake"]

STIFF = Stiffness(sinking=1e-6)

SHORTEST = 64
"""A step without an answer is split down to this part of it."""

PIECES = 5

How = Literal["ended", "limit", "no answer", "not at rest"]


@dataclass(frozen=True)
class GroundMotion:
    """Accelerations of the ground (k, 3) [m/s2] at times (k,) [s] from 0 on; straight between, nothing after."""

    times: Floats
    acceleration: Floats

    def at(self, t: float) -> Floats:
        """(3,) at a time."""
        if t > self.times[-1]:
            return np.zeros(3)
        return np.array([np.interp(t, self.times, self.acceleration[:, k]) for k in range(3)])


@dataclass(frozen=True)
class Limits:
    """A run ends when a block has moved by `moved` [m], tilted by `tilt` [rad], or slid by `slid` of a face's side."""

    moved: float
    tilt: float
    slid: float


@dataclass(frozen=True)
class Shaken:
    """how: "ended" after the whole time; "limit": `reached` says which of the limits and which block; "not at rest":
    the blocks do not rest even before the ground moves. times (f,), centre (f, n, 3), turned (f, n, 3, 3): frames;
    most (f,): largest displacement of a block at each frame [m]; slowest: speed of the fastest block at the end [m/s].
    """

    how: How
    reached: tuple[Literal["moved", "tilt", "slid"], int] | None
    times: Floats
    centre: Floats
    turned: Floats
    speed: float

    @property
    def most(self) -> Floats:
        """Largest displacement of any block at each frame [m]."""
        way: Floats = np.sqrt(((self.centre - self.centre[0]) ** 2).sum(axis=2)).max(axis=1)
        return way


def _rotation(vectors: Floats) -> Floats:
    """(n, 3, 3) rotations by vectors (n, 3) [rad] (Rodrigues)."""
    angle = np.sqrt((vectors**2).sum(axis=1))
    axis = vectors / np.maximum(angle, 1e-300)[:, None]
    cross = np.zeros((len(vectors), 3, 3))
    for (i, j), k, sign in (((0, 1), 2, -1), ((0, 2), 1, 1), ((1, 2), 0, -1)):
        cross[:, i, j], cross[:, j, i] = sign * axis[:, k], -sign * axis[:, k]
    s, c = np.sin(angle)[:, None, None], 1 - np.cos(angle)[:, None, None]
    out: Floats = np.eye(3) + s * cross + c * np.matmul(cross, cross)
    return out


class _Moving:
    """Where the blocks are, and the problem as it looks from there."""

    def __init__(self, bodies: Bodies) -> None:
        self.first = bodies.problem
        n = self.first.blocks
        self.centre = self.first.centre.copy()
        self.turned = np.broadcast_to(np.eye(3), (n, 3, 3)).copy()
        side = np.minimum(self.first.patches.strips.sum(axis=1), self.first.patches.edge_distance[:, 0, 1])
        self.side = np.maximum(side, 1e-9)
        self.slid = np.zeros(self.first.patches.size)

    def advance(self, dq: Floats) -> None:
        motion = dq.reshape(-1, 6)
        self.centre = self.centre + motion[:, :3]
        self.turned = np.matmul(_rotation(motion[:, 3:]), self.turned)

    def _carried(self, side: np.ndarray, vectors: Floats, at: bool) -> Floats:
        """Points (m, k, 3), or directions, carried along by the blocks of one side; the ground stays."""
        on = (side >= 0)[:, None, None]
        first = self.first.centre[side][:, None, :] if at else 0.0
        moved = np.einsum("mij,mkj->mki", self.turned[side], vectors - first)
        out: Floats = np.where(on, moved + (self.centre[side][:, None, :] if at else 0.0), vectors)
        return out

    def seen(self, bodies: Bodies, state: State) -> tuple[Bodies, State]:
        """Bodies and state with points, planes and gaps as they are now."""
        p = self.first.patches
        above = self._carried(p.upper, p.points, True)
        below = self._carried(p.lower, p.points, True)
        frame = self._carried(p.lower, np.stack([p.normal, p.along], axis=1), False)
        gap = ((above - below) * frame[:, :1]).sum(axis=2)
        across = above - below - gap[:, :, None] * frame[:, :1]
        self.slid = np.sqrt((across**2).sum(axis=2)).max(axis=1) / self.side
        patches = replace(p, points=above, normal=frame[:, 0].copy(), along=frame[:, 1].copy())
        problem = replace(self.first, centre=self.centre.copy(), patches=patches)
        return replace(bodies, problem=problem), replace(state, pressed=-bodies.stiffness[:, :1] * gap)

    def past(self, limits: Limits) -> tuple[Literal["moved", "tilt", "slid"], int] | None:
        """The first limit that is passed, and the block that passes it."""
        moved = np.sqrt(((self.centre - self.first.centre) ** 2).sum(axis=1))
        trace = np.trace(self.turned, axis1=1, axis2=2)
        tilt = np.arccos(np.clip((trace - 1) / 2, -1.0, 1.0))
        if moved.max() > limits.moved:
            return "moved", int(moved.argmax())
        if tilt.max() > limits.tilt:
            return "tilt", int(tilt.argmax())
        if self.slid.size and self.slid.max() > limits.slid:
            return "slid", int(self.first.patches.upper[int(self.slid.argmax())])
        return None


def _rested(stepper: Stepper) -> State | None:
    """At rest under the dead load, before the ground moves."""
    state = unloaded(stepper.bodies)
    for part in np.linspace(0, 1, PIECES + 1)[1:]:
        ended, state = settle(stepper, state, part * stepper.bodies.problem.dead.ravel(), GONE * STIFF.sinking)
        if ended != "rest":
            return None
    return replace(state, speed=np.zeros_like(state.speed))


def _one_step(stepper: Stepper, moving: _Moving, state: State, load: Floats, h: float) -> State | None:
    """A step of h, in as many pieces as it takes; None where even the shortest has no answer."""
    left, piece, bodies = h, h, stepper.bodies
    while left > 1e-12:
        piece = min(piece, left)
        seen, now = moving.seen(bodies, state)
        stepper.renew(seen)
        following = stepper.step(now, load, piece)
        if following is None:
            piece /= 2
            if piece < h / SHORTEST:
                return None
            continue
        moving.advance(following.moved - now.moved)
        state, left = following, left - piece
    return state


def shake(
    problem: BlockProblem,
    ground: GroundMotion,
    limits: Limits,
    *,
    inertia: Floats | None = None,
    steps: tuple[float, float, int] = (0.002, 1.0, 60),
    progress: Callable[[float], None] = lambda _: None,
) -> Shaken:
    """The blocks under a ground motion. inertia (n, 3): moments about the axes [t m2], else of cubes.

    steps: length of a step [s], time after the ground has stopped [s], frames kept.
    """
    h, after, frames = steps
    bodies = bodies_of(problem, STIFF)
    if inertia is not None:
        mass = bodies.mass.reshape(-1, 6).copy()
        mass[:, 3:] = inertia
        bodies = replace(bodies, mass=mass.ravel())
    stepper, moving = Stepper(bodies), _Moving(bodies)
    shown, at = [(moving.centre, moving.turned)], [0.0]
    state = _rested(stepper)
    if state is None:
        return _shaken("not at rest", None, at, shown, 0.0)
    moving.advance(state.moved)
    count = max(int(np.ceil((float(ground.times[-1]) + after) / h)), 1)
    mass = -problem.dead[:, 2] / GRAVITY
    every = max(count // frames, 1)
    how: How = "ended"
    for k in range(1, count + 1):
        load = problem.dead.copy()
        load[:, :3] -= mass[:, None] * ground.at(k * h)
        following = _one_step(stepper, moving, state, load.ravel(), h)
        reached = moving.past(limits)
        if following is None or reached is not None or k % every == 0 or k == count:
            shown.append((moving.centre, moving.turned))
            at.append(k * h)
            progress(k / count)
        if following is None or reached is not None:
            how = "limit" if reached is not None else "no answer"
            break
        state = following
    speed = float(np.abs(state.speed.reshape(-1, 6)[:, :3]).max())
    return _shaken(how, reached, at, shown, speed)


def _shaken(
    how: How,
    reached: tuple[Literal["moved", "tilt", "slid"], int] | None,
    at: list[float],
    shown: list[tuple[Floats, Floats]],
    speed: float,
) -> Shaken:
    centre, turned = (np.array([frame[k] for frame in shown]) for k in (0, 1))
    return Shaken(how, reached, np.array(at), centre, turned, speed)
