"""Re-check of block forces by plain arithmetic: uses nothing of the code that found them.

Given the geometry and the forces, what is left unbalanced on each block, and by how much does each contact overdraw
its limit?
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["check_forces", "within_limits"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def check_forces(
    centre: Floats,
    load: Floats,
    sides: tuple[Ints, Ints],
    points: Floats,
    frame: tuple[Floats, Floats],
    forces: tuple[Floats, Floats],
) -> Floats:
    """What is left unbalanced on each block: (n, 6), force and moment about its centre.

    load (n, 6); sides: upper and lower block (m,), lower < 0 the ground; points (m, 4, 3); frame: normal and along
    (m, 3); forces: pressing (m, 4) and shear (m, 4, 2).
    """
    (upper, lower), (normal, along), (pressing, shear) = sides, frame, forces
    left = load.copy()
    across = np.cross(normal, along)
    force = (
        pressing[:, :, None] * normal[:, None, :]
        + shear[:, :, 0, None] * along[:, None, :]
        + shear[:, :, 1, None] * across[:, None, :]
    )
    for side, sign in ((upper, 1.0), (lower, -1.0)):
        on_block = side >= 0
        arm = points[on_block] - centre[side[on_block]][:, None, :]
        turning = np.cross(arm, force[on_block])
        np.add.at(left[:, :3], side[on_block], sign * force[on_block].sum(axis=1))
        np.add.at(left[:, 3:], side[on_block], sign * turning.sum(axis=1))
    return left


def within_limits(
    forces: tuple[Floats, Floats],
    friction: Floats,
    strength: Floats,
    strips: Floats,
    edge_distance: Floats,
    turning: Floats,
    lever: Floats,
) -> float:
    """Largest violation [kN] of pressing >= 0, |shear| <= mu pressing, the stress block of each strip, and the cap on
    turning.

    forces: pressing (m, 4) and shear (m, 4, 2); turning (m,) moment about the normal through the patch's centre
    [kN m]; lever (m,) [m], inf for no cap.
    """
    pressing, shear = forces
    worst = float(max(0.0, -pressing.min(initial=0.0)))
    slip = np.sqrt((shear**2).sum(axis=2)) - friction[:, None] * np.maximum(pressing, 0.0)
    worst = max(worst, float(slip.max(initial=0.0)))
    capped = np.isfinite(lever) & (lever > 0)
    over = np.abs(turning[capped]) / lever[capped] - friction[capped] * pressing[capped].sum(axis=1)
    worst = max(worst, float(over.max(initial=0.0)))
    for strip in range(2):
        pair = slice(2 * strip, 2 * strip + 2)
        N = pressing[:, pair].sum(axis=1)
        for edge in range(2):
            room = (pressing[:, pair] * edge_distance[:, pair, edge]).sum(axis=1)
            limited = np.isfinite(strength) & (strength * strips[:, strip] > 0)
            allowed = np.sqrt(np.maximum(2 * strength[limited] * strips[limited, strip] * room[limited], 0.0))
            worst = max(worst, float((N[limited] - allowed).max(initial=0.0)))
    return worst
