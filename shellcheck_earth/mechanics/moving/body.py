"""Blocks with mass and their contacts as arrays, made from a problem of limit analysis: what a step in time needs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from scipy import sparse

from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["GRAVITY", "USUAL", "Bodies", "Stiffness", "bodies_of"]

GRAVITY = 9.80665
"""[m/s2]"""


@dataclass(frozen=True)
class Stiffness:
    """How the contacts give. In a fixed geometry only the ratios matter.

    sinking   by which a bed of mean size sinks under the mean block [m]
    slip      tangential over normal stiffness [-]
    upright   stiffness of upright faces over that of level ones, by area [-]
    tie       stiffness of a tie over that of the mean contact [-]
    """

    sinking: float = 1e-5
    slip: float = 0.5
    upright: float = 1.0
    tie: float = 1.0


USUAL = Stiffness()


@dataclass(frozen=True)
class Bodies:
    """A problem with mass and stiffness. n blocks, m patches, k ties.

    mass       (6 n,): mass [t] three times, moment of inertia [t m2] three times for each block
    stiffness  (m, 2) of each point, normal and tangential [kN/m]; tie_stiffness [kN/m]
    limits     (m, 4) friction, lever, c of both strips; arms (m, 4, 2): turning of a unit shear along, across
    """

    problem: BlockProblem
    mass: Floats
    stiffness: Floats
    tie_stiffness: float
    limits: Floats
    arms: Floats

    @cached_property
    def motion(self) -> Any:
        """(12 m, 6 n) from motions of the blocks to motions at the points; its transpose carries forces back."""
        return _motion_rows(self.problem, self.local)

    @cached_property
    def local(self) -> Floats:
        """The same by patch, (m, 12, 12)."""
        return _local_rows(self.problem)

    @cached_property
    def ties(self) -> Any:
        """(6 n, k): wrench on the blocks of a unit tension."""
        ties = self.problem.ties
        places = (ties.row.astype(np.int64), ties.tie.astype(np.int64))
        return sparse.csr_matrix((ties.value, places), shape=(6 * self.problem.blocks, ties.size))


def _local_rows(problem: BlockProblem) -> Floats:
    """(m, 12, 12): motions at a patch's points (normal, along, across) by those of its upper and its lower block."""
    p = problem.patches
    frame = np.stack([p.normal, p.along, p.across], axis=1)  # (m, 3, 3)
    vectors = np.broadcast_to(frame[:, None], (p.size, 4, 3, 3))
    out = np.zeros((p.size, 4, 3, 2, 6))
    for k, (side, sign) in enumerate(((p.upper, 1.0), (p.lower, -1.0))):
        arm = p.points - problem.centre[side][:, None, :]
        rows = sign * np.concatenate([vectors, np.cross(arm[:, :, None, :], vectors)], axis=3)
        out[:, :, :, k] = np.where((side >= 0)[:, None, None, None], rows, 0.0)
    return out.reshape(-1, 12, 12)


def _motion_rows(problem: BlockProblem, local: Floats) -> Any:
    p = problem.patches
    sides = np.stack([p.upper, p.lower], axis=1)
    column = np.maximum(6 * sides[:, :, None], 0) + np.arange(6)
    columns = np.broadcast_to(column.reshape(-1, 1, 12), local.shape).ravel()
    places = (np.repeat(np.arange(12 * p.size), 12), columns)
    return sparse.csr_matrix((local.ravel(), places), shape=(12 * p.size, 6 * problem.blocks))


def bodies_of(problem: BlockProblem, give: Stiffness = USUAL) -> Bodies:
    """The problem's blocks with the mass of their dead load and the inertia of a cube of their size."""
    p = problem.patches
    weight = np.maximum(-problem.dead[:, 2], 1e-9 * np.abs(problem.dead[:, 2]).max(initial=1e-9))
    mass = np.repeat(weight / GRAVITY, 6).reshape(-1, 6)
    mass[:, 3:] *= (problem.size**2 / 6)[:, None]
    area = p.strips.sum(axis=1) * p.edge_distance[:, 0, 1]
    level = np.abs(p.normal[:, 2]) > np.sqrt(0.5)
    share = area / max(float(area[level].mean() if level.any() else area.mean()), 1e-12)
    kn = float(weight.mean()) / give.sinking / 4 * share * np.where(level, 1.0, give.upright)
    distance = p.edge_distance[:, [0, 2], 1]
    c = np.where(np.isfinite(p.strength)[:, None], 2 * p.strength[:, None] * p.strips * distance, np.inf)
    lever = p.lever if problem.torsion else np.full(p.size, 1e6)
    arm = p.points - p.centre[:, None, :]
    along = np.einsum("mpc,mc->mp", arm, p.along)
    across = np.einsum("mpc,mc->mp", arm, p.across)
    return Bodies(
        problem,
        mass.ravel(),
        np.stack([kn, give.slip * kn], axis=1),
        give.tie * float(weight.mean()) / give.sinking / 4,
        np.column_stack([p.friction, lever, c]),
        np.stack([-across, along], axis=2),
    )
