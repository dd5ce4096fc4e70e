"""What a slow push leaves behind, by plain arithmetic: the forces of the last rest, the motion of the first fall.

The rest is a state of forces like any other: balance, pressing, Coulomb's limit, stress blocks, turning. The motion is
a mechanism without dilation when no contact closes, what presses does not open, and what slides is opposed by all of
its friction; the multiplier at which it neither gains nor loses speed follows from its power (virtual work), so that
the two bracket one multiplier of the non-associated problem from either side. Others may exist, also lower ones.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.recheck import check_forces, within_limits
from shellcheck_earth.mechanics.moving.body import bodies_of
from shellcheck_earth.mechanics.moving.push import Pushed
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["Motion", "Rest", "motion_of", "rest_of"]


@dataclass(frozen=True)
class Rest:
    """At the multiplier held: what is left unbalanced and what exceeds a limit, over the mean weight of a block."""

    unbalanced: float
    overdrawn: float


@dataclass(frozen=True)
class Motion:
    """multiplier  at which the motion neither gains nor loses speed
    closing     largest speed into a contact, over the largest speed of a point
    opening     power of the pressing forces over the power of friction and of the loads that drive (without crushing
                it is none: what presses does not open)
    friction    power of the shears over mu n times the speed of slip: 1 where all that slides is opposed in full
                (less where a face's cap on turning is reached); 1 where nothing slides
    """

    multiplier: float
    closing: float
    opening: float
    friction: float


def _unit(problem: BlockProblem) -> float:
    return float(np.abs(problem.dead[:, :3]).sum(axis=1).mean())


def rest_of(problem: BlockProblem, pushed: Pushed) -> Rest | None:
    """The last rest, checked by the arithmetic of `mechanics.blocks.recheck`; None where there was none."""
    if pushed.held is None:
        return None
    p, force = problem.patches, pushed.state.force
    pulled = bodies_of(problem).ties @ pushed.state.tension
    load = problem.dead + pushed.held * problem.live + pulled.reshape(-1, 6)
    forces = (force[:, :, 0], force[:, :, 1:])
    left = check_forces(problem.centre, load, (p.upper, p.lower), p.points, (p.normal, p.along), forces)
    vectors = force[:, :, 1:2] * p.along[:, None, :] + force[:, :, 2:] * p.across[:, None, :]
    turning = np.einsum("mjc,mc->m", np.cross(p.points - p.centre[:, None, :], vectors), p.normal)
    lever = p.lever if problem.torsion else np.full(p.size, np.inf)
    over = within_limits(forces, p.friction, p.strength, p.strips, p.edge_distance, turning, lever)
    sized: Floats = np.concatenate([left[:, :3], left[:, 3:] / problem.size[:, None]], axis=1)
    unit = _unit(problem)
    return Rest(float(np.abs(sized).max(initial=0.0)) / unit, over / unit)


def motion_of(problem: BlockProblem, pushed: Pushed) -> Motion | None:
    """The motion in which the first piece of load was lost; None where none was, or where the load does no work."""
    if pushed.going is None or pushed.ended != "gone":
        return None
    bodies, speed, force = bodies_of(problem), pushed.going.speed, pushed.going.force
    at_points = (bodies.motion @ speed).reshape(-1, 4, 3)
    live = float(problem.live.ravel() @ speed)
    if live <= 0.0:
        return None
    dead = float(problem.dead.ravel() @ speed)
    tied = float((bodies.ties @ pushed.going.tension) @ speed)
    pressed = float((force[:, :, 0] * at_points[:, :, 0]).sum())
    sheared = float((force[:, :, 1:] * at_points[:, :, 1:]).sum())
    slip = np.sqrt((at_points[:, :, 1:] ** 2).sum(axis=2))
    full = float((problem.patches.friction[:, None] * force[:, :, 0] * slip).sum())
    drive = max(full, abs(dead), abs(live) * max(pushed.fails, 1e-12))
    fastest = float(np.abs(at_points).max(initial=0.0))
    return Motion(
        -(dead + tied + pressed + sheared) / live,
        max(-float(at_points[:, :, 0].min(initial=0.0)), 0.0) / max(fastest, 1e-300),
        abs(pressed) / max(drive, 1e-300),
        1.0 if full <= 1e-6 * drive else -sheared / full,
    )
