"""Which bed is used the most in the states of forces that a case of blocks is proven with: where nothing moves yet,
that is the place to look at.

Of all faces of a bed together (derived): of friction, what slides over what friction holds; of strength, how full the
stress blocks are, each as long as the resultant is from the nearer edge to either side of it, by what presses on them.
Both are shares of what the state was asked with: at the edge of what is held single faces are full anywhere, and say
little. Other states hold the same load: it is the use in this one, no property of the dome.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from typing import Any, Literal

import numpy as np

from shellcheck_earth.mechanics.proof.block_data import FORCE, FRICTION, LENGTH, STRENGTH
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["MostUsed", "most_used"]

LEVEL = 0.9
"""A face is a bed where its normal is upright to this cosine; joints within a ring and the sides of heads are not."""


@dataclass(frozen=True)
class MostUsed:
    """course: index from the lowest of the courses over the bed; of, share: which capacity is used the most, and how
    much of it."""

    course: int
    of: Literal["friction", "strength"]
    share: float


def _times(one: Floats, other: Floats) -> Floats:
    """Scalar products of vectors."""
    out: Floats = np.einsum("...i,...i->...", one, other)
    return out


def _faces(state: dict[str, Any]) -> tuple[Floats, Floats, Floats, Floats]:
    """Of every face (m,): what slides on it, what presses on it and what of that friction may hold [kN], how full its
    stress blocks are [-], by the limits that the checker holds them to: strips as wide as they are apart, carried at
    their edges; nan for what is no bed."""
    rows = np.array(state["patches"], dtype=float)
    points = rows[:, 2:14].reshape(-1, 4, 3) / LENGTH
    forces = np.array(state["forces"], dtype=float).reshape(-1, 4, 3) / FORCE
    along = (points[:, 2] - points[:, 0] + points[:, 3] - points[:, 1]) / 2
    upright = np.cross(along, points[:, 1] - points[:, 0] + points[:, 3] - points[:, 2]) / 2
    strip = np.linalg.norm(upright, axis=1)
    normal = upright / strip[:, None]
    normal = normal * np.where(_times(forces.sum(axis=1), normal) < 0, -1.0, 1.0)[:, None]
    press = _times(forces, normal[:, None])
    slides = np.linalg.norm(forces - press[..., None] * normal[:, None], axis=2).sum(axis=1)
    strips = np.maximum(press.reshape(-1, 2, 2), 0.0)
    whole, nearer = strips.sum(axis=2), strips.min(axis=2)
    room = 2 * (rows[:, 15] / STRENGTH * strip)[:, None] * nearer
    full = (whole * np.divide(whole**2, room, out=np.zeros_like(room), where=room > 0)).sum(axis=1)
    down = whole.sum(axis=1)
    full = np.divide(full, down, out=np.zeros_like(down), where=down > 0)
    down = np.where(np.abs(normal[:, 2]) >= LEVEL, down, np.nan)
    return slides, down, rows[:, 14] / FRICTION * down, full


def _of_state(state: dict[str, Any]) -> list[MostUsed]:
    """Both uses of every bed that something presses on."""
    slides, down, held, full = _faces(state)
    course, out = np.array([state["blocks"][patch[0]][0] for patch in state["patches"]]), list[MostUsed]()
    for one in sorted(set(course.tolist())):
        here = (course == one) & (down > 0)
        if here.any():
            friction = float(slides[here].sum() / held[here].sum())
            strength = float((full[here] * down[here]).sum() / down[here].sum())
            out += [MostUsed(one, "friction", round(friction, 6)), MostUsed(one, "strength", round(strength, 6))]
    return out


@lru_cache(maxsize=16)
def most_used(proofs: tuple[str, ...]) -> MostUsed | None:
    """Of all these states the bed that is used the most, the lowest of those alike; None where there is none."""
    found = chain.from_iterable(_of_state(json.loads(text)) for text in proofs)
    return max(found, key=lambda one: (one.share, -one.course), default=None)
