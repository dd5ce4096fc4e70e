"""Contact patches between rigid blocks: where their point forces act and what each can carry.

A patch is a flat four-sided face with two *edges* about which it can rock. It is split into two *strips* that run from
edge to edge; each strip carries one point force near either edge, on the strip's middle line. So

- a strip's pair of forces is the resultant of a stress that is uniform along the strip's width: a state that a real
bed can
  have, and turning about the patch's normal is not over-counted along the patch (a line of length l under uniform
  pressure resists mu N l/4, and that is where the points are);
- across the patch the four corners would still over-count it (0.56 instead of 0.38 of a unit square's side): the
  moment about the normal is capped at mu N times the mean distance of the patch from its centre (the lever of a patch
  under uniform pressure; 0.3826 for the unit square, Casapulla, memory; the rectangle's formula is derived);
- crushing is the rigid-plastic stress block: a strip of width l that carries N at a distance d from an edge needs
  N <= f l 2 d, that is N^2 <= 2 f l (sum of n_i d_i), which is a second-order cone and needs no iteration (derived).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["GROUND", "Edges", "Ints", "Patch", "Patches", "join", "mean_distance"]

Ints = NDArray[np.int64]

Point = tuple[float, float, float]
Edges = tuple[tuple[Point, Point], tuple[Point, Point]]

GROUND = -1
"""Stands for the ground in place of a block's index."""


@dataclass(frozen=True)
class Patch:
    """One flat face between two edges that run the same way, as it is found in the work. Lengths m, strength kPa.

    edges          two edges of two points each
    upper, lower   indices of the block the normal points into and of the other one (or GROUND)
    towards        a point on the side of `upper`
    friction       coefficient [-]
    strength       stress the patch can carry; inf: no limit
    kind           what it is in the work: bed, head joint, ground ...
    """

    edges: Edges
    upper: int
    lower: int
    towards: Sequence[float] | Floats
    friction: float
    strength: float = math.inf
    kind: str = "bed"


@dataclass(frozen=True)
class Patches:
    """All patches as read-only arrays, one row (m,) each. Lengths m, strength kPa.

    upper, lower, friction, strength, kind   as in `Patch`
    points         (m, 4, 3): strip 1 at edge 1 and edge 2, strip 2 at edge 1 and edge 2
    normal, along  (m, 3) unit vectors; `along` lies in the patch
    edge_distance  (m, 4, 2): distance of each point from edge 1 and from edge 2
    strips         (m, 2): width of each strip
    lever          mean distance of the patch from its centre
    """

    upper: Ints
    lower: Ints
    points: Floats
    normal: Floats
    along: Floats
    friction: Floats
    edge_distance: Floats
    strips: Floats
    strength: Floats
    lever: Floats
    kind: tuple[str, ...]

    def __post_init__(self) -> None:
        for entry in fields(self):
            array = getattr(self, entry.name)
            if isinstance(array, np.ndarray):
                if np.isnan(array).any():
                    raise ValueError(f"{entry.name} of a patch is not a number")
                array.setflags(write=False)
        if not (np.isfinite(self.friction).all() and (self.friction >= 0).all()):
            raise ValueError("friction of a patch must be finite and not negative")

    @property
    def size(self) -> int:
        return len(self.upper)

    @property
    def across(self) -> Floats:
        """Second tangent, normal x along, shape (m, 3)."""
        across: Floats = np.cross(self.normal, self.along)
        return across

    @property
    def centre(self) -> Floats:
        """Middle of the four points, shape (m, 3)."""
        centre: Floats = self.points.mean(axis=1)
        return centre


def _length(vectors: Floats) -> Floats:
    """Lengths of vectors (..., 3), summed in one order on every machine."""
    x, y, z = vectors[..., 0], vectors[..., 1], vectors[..., 2]
    length: Floats = np.sqrt(x * x + y * y + z * z)
    return length


def join(patches: Sequence[Patch]) -> Patches:
    """The patches as arrays, in their order. ValueError for a face without area."""
    m = len(patches)
    edges = np.array([patch.edges for patch in patches], dtype=np.float64).reshape(m, 2, 2, 3)
    edge1, edge2 = edges[:, 0], edges[:, 1]
    along = (edge1[:, 1] + edge2[:, 1]) - (edge1[:, 0] + edge2[:, 0])
    over = (edge2[:, 0] + edge2[:, 1]) - (edge1[:, 0] + edge1[:, 1])
    normal = np.cross(along, over)
    size = _length(normal)
    if not (size > 0.0).all():
        raise ValueError("a contact patch has no area")
    normal = normal / size[:, None]
    towards = np.array([patch.towards for patch in patches], dtype=np.float64).reshape(m, 3)
    side = ((towards - ((edge1[:, 0] + edge1[:, 1]) + (edge2[:, 0] + edge2[:, 1])) / 4) * normal).sum(axis=1)
    normal = np.where((side < 0)[:, None], -normal, normal)
    along = along / _length(along)[:, None]
    points, distance = np.empty((m, 4, 3)), np.zeros((m, 4, 2))
    for strip, share in enumerate((0.25, 0.75)):
        first = edge1[:, 0] + share * (edge1[:, 1] - edge1[:, 0])
        second = edge2[:, 0] + share * (edge2[:, 1] - edge2[:, 0])
        points[:, 2 * strip], points[:, 2 * strip + 1] = first, second
        # Between the edges only the part square to the strip's direction counts for rocking.
        distance[:, 2 * strip, 1] = distance[:, 2 * strip + 1, 0] = _length(np.cross(along, second - first))
    wide = np.minimum(_length(edge1[:, 1] - edge1[:, 0]), _length(edge2[:, 1] - edge2[:, 0])) / 2
    width = np.maximum(distance[:, 0, 1], distance[:, 2, 1])
    return Patches(
        upper=np.array([p.upper for p in patches], dtype=np.int64),
        lower=np.array([p.lower for p in patches], dtype=np.int64),
        points=points,
        normal=normal,
        along=along,
        friction=np.array([p.friction for p in patches], dtype=np.float64),
        edge_distance=distance,
        strips=np.stack([wide, wide], axis=1),
        strength=np.array([p.strength for p in patches], dtype=np.float64),
        lever=np.array([mean_distance(2 * a, b) for a, b in zip(wide.tolist(), width.tolist(), strict=True)]),
        kind=tuple(p.kind for p in patches),
    )


def mean_distance(a: float, b: float) -> float:
    """Mean distance of the points of an a x b rectangle from its centre [m].

    (2 d + a^2/b ln((b+d)/a) + b^2/a ln((a+d)/b))/12 with d the diagonal (derived by integration; 0.3826 for the unit
    square).
    """
    if a <= 0.0 or b <= 0.0:
        return max(a, b, 0.0) / 4
    d = math.hypot(a, b)
    return (2 * d + a * a / b * math.log((b + d) / a) + b * b / a * math.log((a + d) / b)) / 12
