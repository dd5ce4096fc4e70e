"""What a buttress asks of its own patch of ground: bearing, sliding and overturning, read from the proven states.

A state that the checker confirms is one way in which the dome stands under a load; how it presses on the ground under a
buttress is read from its forces. The verdict holds every such patch to the ground's friction and pressure by itself
(`loads/joint.ground_limits`); these numbers are for whoever founds the buttress, and decide nothing. Stress along the
buttress is taken as linear without tension, as under the base ring (`safety/ground.py`); it turns over about its end
where the resultant reaches it (derived).
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from shellcheck_earth.design.design import Buttress, Design
from shellcheck_earth.mechanics.proof.block_places import FORCE, KINDS, LENGTH
from shellcheck_earth.safety.blocks.result import BlockResult

__all__ = ["Footprint", "footprints", "worst_footprints"]

LIFTED = 1e-6
"""Less than this [kN] on its ground is a buttress that nothing presses down in that state."""


@dataclass(frozen=True)
class Footprint:
    """The ground under one buttress in one proven state.

    index     of the buttress in the design file, counted from 0
    title     of the question whose state it is
    down      force on the ground [kN]; along, across: horizontal forces, outward along the buttress and across it [kN]
    off       of the resultant from the middle of the patch, outward [m]; length, width of the patch [m]
    """

    index: int
    title: str
    down: float
    along: float
    across: float
    off: float
    length: float
    width: float

    @property
    def sliding(self) -> float:
        """Friction that it needs [-]."""
        return math.hypot(self.along, self.across) / self.down

    @property
    def edge(self) -> float:
        """Stress at its pressed end [kPa]; inf where the resultant reaches it."""
        e, mean = abs(self.off), self.down / (self.length * self.width)
        if e <= self.length / 6:
            return mean * (1 + 6 * e / self.length)
        left = self.length / 2 - e
        return 2 * self.down / (3 * left * self.width) if left > 0 else math.inf

    @property
    def overturning(self) -> float:
        """Half its length over how far the resultant lies off the middle; inf where it lies there, 1 at the end."""
        return self.length / 2 / abs(self.off) if self.off else math.inf


def _angle(one: float, other: float) -> float:
    return abs(math.remainder(one - other, 2 * math.pi))


def _patches(state: dict[str, Any], buttresses: Sequence[Buttress]) -> Iterator[tuple[int, list[int], list[int]]]:
    """(buttress, patch, forces) of every patch between the ground and a buttress."""
    for patch, force in zip(state["patches"], state["forces"], strict=True):
        block = state["blocks"][patch[0]]
        if patch[1] < 0 and KINDS[block[1]] == "buttress":
            bearing = math.atan2(block[2], block[3])
            yield min(range(len(buttresses)), key=lambda k: _angle(buttresses[k].bearing, bearing)), patch, force


def _footprint(index: int, title: str, buttress: Buttress, patch: list[int], force: list[int]) -> Footprint | None:
    """Of one patch; None where nothing presses it down."""
    points = np.array(patch[2:14], dtype=float).reshape(4, 3) / LENGTH
    forces = np.array(force, dtype=float).reshape(4, 3) / FORCE
    out = np.array([math.sin(buttress.bearing), math.cos(buttress.bearing)])
    side = np.array([out[1], -out[0]])
    along, across = points[:, :2] @ out, points[:, :2] @ side
    down = float(forces[:, 2].sum())
    if down <= LIFTED:
        return None
    middle = float(along.max() + along.min()) / 2
    pushed = -forces[:, :2].sum(axis=0)  # on the ground
    return Footprint(
        index,
        title,
        down,
        float(pushed @ out),
        float(pushed @ side),
        float(forces[:, 2] @ along) / down - middle,
        float(along.max() - along.min()),
        float(across.max() - across.min()),
    )


def footprints(design: Design, results: Iterable[BlockResult]) -> list[Footprint]:
    """Of every buttress in every proven state; () where nothing is proven or there is no buttress."""
    out = []
    for result in results if design.buttresses else ():
        for text in result.proofs:
            state = json.loads(text)
            for index, patch, force in _patches(state, design.buttresses):
                found = _footprint(index, result.title, design.buttresses[index], patch, force)
                out += [] if found is None else [found]
    return out


def worst_footprints(found: Sequence[Footprint]) -> dict[int, tuple[Footprint, Footprint, Footprint]]:
    """By buttress: where the ground is pressed the most, where it slides the easiest, where it is nearest to turning
    over."""
    out = {}
    for index in sorted({one.index for one in found}):
        own = [one for one in found if one.index == index]
        out[index] = (
            max(own, key=lambda one: one.edge),
            max(own, key=lambda one: one.sliding),
            min(own, key=lambda one: one.overturning),
        )
    return out
