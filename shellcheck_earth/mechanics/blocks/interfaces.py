"""Contact patches between rigid blocks: where their point forces act and what each can carry.

A patch is a flat four-sided face with two *edges* about which it can rock. It is split into two *strips* that run
from edge to
edge; each strip carries one point force near either edge, on the strip's middle line. So

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
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["GROUND", "Ints", "Patch", "Patches", "join", "mean_distance", "quadrilateral"]

Ints = NDArray[np.int64]

GROUND = -1
"""Stands for the ground in place of a block's index."""


@dataclass(frozen=True)
class Patch:
    """One patch. Lengths m, strength kPa.

    upper, lower   indices of the block the normal points into and of the other one (or GROUND)
    points         (4, 3): strip 1 at edge 1 and edge 2, strip 2 at edge 1 and edge 2
    normal, along  unit vectors; `along` lies in the patch
    friction       coefficient [-]
    edge_distance  (4, 2): distance of each point from edge 1 and from edge 2
    strips         width of each strip (2,)
    strength       stress the patch can carry; inf: no limit
    lever          mean distance of the patch from its centre
    kind           what it is in the work: bed, head joint, ground ...
    """

    upper: int
    lower: int
    points: Floats
    normal: Floats
    along: Floats
    friction: float
    edge_distance: Floats
    strips: Floats
    strength: float
    lever: float
    kind: str


@dataclass(frozen=True)
class Patches:
    """All patches as read-only arrays; shapes as in Patch with a leading (m,)."""

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


def join(patches: list[Patch]) -> Patches:
    """A list of patches as arrays."""
    return Patches(
        upper=np.array([p.upper for p in patches], dtype=np.int64),
        lower=np.array([p.lower for p in patches], dtype=np.int64),
        points=np.array([p.points for p in patches]).reshape(-1, 4, 3),
        normal=np.array([p.normal for p in patches]).reshape(-1, 3),
        along=np.array([p.along for p in patches]).reshape(-1, 3),
        friction=np.array([p.friction for p in patches], dtype=np.float64),
        edge_distance=np.array([p.edge_distance for p in patches]).reshape(-1, 4, 2),
        strips=np.array([p.strips for p in patches]).reshape(-1, 2),
        strength=np.array([p.strength for p in patches], dtype=np.float64),
        lever=np.array([p.lever for p in patches], dtype=np.float64),
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


def quadrilateral(
    edges: tuple[Floats, Floats],
    upper: int,
    lower: int,
    towards: Floats,
    friction: float,
    strength: float = math.inf,
    kind: str = "bed",
) -> Patch:
    """A flat face between two edges, each (2, 3), that run the same way; `towards` lies on the side of `upper`.

    ValueError for a face without area.
    """
    edge1, edge2 = edges
    along = (edge1[1] + edge2[1]) - (edge1[0] + edge2[0])
    over = (edge2[0] + edge2[1]) - (edge1[0] + edge1[1])
    normal = np.cross(along, over)
    size = float(np.linalg.norm(normal))
    if size == 0.0:
        raise ValueError("a contact patch has no area")
    normal = normal / size
    middle = (edge1.sum(axis=0) + edge2.sum(axis=0)) / 4
    if float((towards - middle) @ normal) < 0:
        normal = -normal
    along = along / np.linalg.norm(along)
    points, distance, strips = [], [], []
    for share in (0.25, 0.75):
        first, second = edge1[0] + share * (edge1[1] - edge1[0]), edge2[0] + share * (edge2[1] - edge2[0])
        # Between the edges only the part square to the strip's direction counts for rocking.
        reach = float(np.linalg.norm(np.cross(along, second - first)))
        points += [first, second]
        distance += [[0.0, reach], [reach, 0.0]]
        strips.append(min(float(np.linalg.norm(edge1[1] - edge1[0])), float(np.linalg.norm(edge2[1] - edge2[0]))) / 2)
    length, width = 2 * strips[0], max(distance[0][1], distance[2][1])
    return Patch(
        upper,
        lower,
        np.array(points),
        normal,
        along,
        friction,
        np.array(distance),
        np.array(strips),
        strength,
        mean_distance(length, width),
        kind,
    )
