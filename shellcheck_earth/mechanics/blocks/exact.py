"""Forces of a block problem as whole numbers inside their exact limits: the proof that `mechanics.proof.blocks` checks.

Points are rounded first; each face's own frame is then taken from them, and the forces are drawn into that frame's
limits by what rounding may undo. What this leaves unbalanced (some 1e-9 of a block's weight) the checker measures.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.mechanics.blocks.interfaces import Ints, mean_distance
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Forces
from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, KINDS, LENGTH, STRENGTH
from shellcheck_earth.mechanics.proof.blocks import FORMAT
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["exact_forces", "exact_state"]

ULP = 1.0 / FORCE
NOTHING = 1e-9
"""A strip that carries less than this [kN] is taken to carry nothing."""


def exact_state(
    case_id: str, layout: Layout, problem: BlockProblem, forces: Forces, *, reserve: float = 1.0, factor: float = 0.0
) -> dict[str, Any]:
    """The proof as data for JSON. reserve: what the problem's capacities were divided by; factor: multiple of the live
    load that the forces carry beside the dead load. ValueError where the live load has another number of blocks.
    """
    p = problem.patches
    points = _whole(p.points, LENGTH)
    friction, strength = np.floor(p.friction * FRICTION), np.floor(p.strength * STRENGTH)
    blocks = np.column_stack(
        [
            [block.course for block in layout.blocks],
            [KINDS.index(block.kind) for block in layout.blocks],
            _whole(problem.centre, LENGTH),
            _whole(problem.weight, FORCE),
        ]
    )
    live = problem.live * factor
    patches = np.column_stack([p.upper, p.lower, points.reshape(-1, 12), friction, strength]).astype(np.int64)
    ties, _ = _ties(problem)
    pressed, tensions = exact_forces(problem, forces)
    return {
        "kind": FORMAT,
        "case": case_id,
        "reserve": round(reserve * FRICTION),
        "factor": round(factor * FRICTION),
        "blocks": blocks.astype(np.int64).tolist(),
        "live": _loads(live),
        **({} if problem.handed is None else {"handed": _loads(problem.handed)}),
        "patches": patches.tolist(),
        "ties": ties.tolist(),
        "forces": pressed,
        "tensions": tensions,
    }


def _loads(rows: Floats) -> list[list[int]]:
    """(n, 6) forces and moments in units of FORCE, and of FORCE LENGTH."""
    return [[round(v * FORCE) for v in row[:3]] + [round(v * FORCE * LENGTH) for v in row[3:]] for row in rows.tolist()]


def exact_forces(problem: BlockProblem, forces: Forces) -> tuple[list[list[int]], list[int]]:
    """The forces on the upper block of every face, a row of twelve, and the tensions of the ties, in units of FORCE."""
    p = problem.patches
    points = _whole(p.points, LENGTH)
    friction, strength = np.floor(p.friction * FRICTION), np.floor(p.strength * STRENGTH)
    drawn = _drawn_in(problem, points / LENGTH, friction / FRICTION, strength / STRENGTH, forces)
    _, most = _ties(problem)
    tensions = np.clip(np.floor(forces.tension * FORCE), 0, most) if len(most) else np.empty(0)
    return _whole(drawn, FORCE).reshape(-1, 12).tolist(), tensions.astype(np.int64).tolist()


def _whole(values: Floats, unit: int) -> Ints:
    out: Ints = np.rint(np.asarray(values) * unit).astype(np.int64)
    return out


def _unit(vector: Floats) -> Floats:
    out: Floats = vector / np.linalg.norm(vector, axis=-1, keepdims=True)
    return out


def _drawn_in(problem: BlockProblem, points: Floats, mu: Floats, f: Floats, forces: Forces) -> Floats:
    """(m, 4, 3) forces on the upper blocks, inside friction, stress blocks and turning of faces with these points."""
    p = problem.patches
    along = points[:, 2] - points[:, 0] + points[:, 3] - points[:, 1]
    over = points[:, 1] - points[:, 0] + points[:, 3] - points[:, 2]
    normal = _unit(np.cross(along, over))
    normal *= np.sign((normal * p.normal).sum(axis=1))[:, None]
    found = (
        forces.normal[:, :, None] * p.normal[:, None, :]
        + forces.shear[:, :, :1] * p.along[:, None, :]
        + forces.shear[:, :, 1:] * p.across[:, None, :]
    )
    press = np.maximum((found * normal[:, None, :]).sum(axis=2), 0.0)
    sides = [np.linalg.norm(points[:, k + 2] - points[:, k], axis=1) for k in (0, 1)]
    width = np.minimum(*sides)
    reach = np.stack([np.linalg.norm(np.cross(_unit(along), points[:, k + 1] - points[:, k]), axis=1) for k in (0, 2)])
    for strip in range(2):
        press[:, 2 * strip : 2 * strip + 2] = _in_block(press[:, 2 * strip : 2 * strip + 2], f * width * reach[strip])
    slip = found - (found * normal[:, None, :]).sum(axis=2)[:, :, None] * normal[:, None, :]
    size = np.linalg.norm(slip, axis=2)
    limit = np.maximum(mu[:, None] * press * (1 - 1e-12) - 4 * ULP * (1 + mu[:, None]), 0.0)
    slip *= np.minimum(limit / np.maximum(size, 1e-300), 1.0)[:, :, None]
    arm = points - points.mean(axis=1)[:, None, :]
    turn = np.abs((np.cross(arm, slip) * normal[:, None, :]).sum(axis=(1, 2)))
    lever = np.array([mean_distance(2 * a, b) for a, b in zip(width, reach.max(axis=0), strict=True)])
    cap = np.maximum(mu * lever * press.sum(axis=1) * (1 - 1e-11) - 8 * ULP, 0.0)
    slip *= np.minimum(cap / np.maximum(turn, 1e-300), 1.0)[:, None, None]
    out: Floats = press[:, :, None] * normal[:, None, :] + slip
    return out


def _in_block(pair: Floats, room: Floats) -> Floats:
    """(m, 2) pressing forces of a strip of which neither edge is crushed: N^2 <= 2 room n at either; N is kept."""
    total = pair.sum(axis=1)
    need = total * total / (2 * room) * (1 + 1e-9) + 32 * ULP
    first = np.clip(pair[:, 0], need, np.maximum(total - need, need))
    carried = (total > NOTHING)[:, None]
    out: Floats = np.where(carried, np.stack([first, total - first], axis=1), 0.0)
    return out


def _ties(problem: BlockProblem) -> tuple[Ints, Ints]:
    """(k, 9) rows upper, lower, place, pull, most, and (k,) most; the place: where the pull passes the upper block."""
    ties = problem.ties
    if not ties.size:
        return np.empty((0, 9), dtype=np.int64), np.empty(0, dtype=np.int64)
    value = ties.value.reshape(-1, 2, 6)
    block = ties.row.astype(np.int64).reshape(-1, 2, 6)[:, :, 0] // 6
    force = value[:, 1, :3]  # on the lower block; the upper one is drawn the other way
    place = problem.centre[block[:, 0]] + np.cross(value[:, 0, :3], value[:, 0, 3:])
    most: Ints = np.floor(ties.most * FORCE).astype(np.int64)
    rows = np.column_stack([block, _whole(place, LENGTH), _whole(force, FRICTION), most])
    return rows.astype(np.int64), most
