"""Blocks that are no part of a dome: bodies between flat faces, where they meet, what pushes them; and the problem of
them.

x, y, z as on the drawing board of whoever lays them out, z up. Every body is one filled tube cut to a length; every
face where two of them meet presses, rubs and is crushed, and never pulls: no wire is counted (on the side of the
cautious), and the friction of beds is that which is left without wire.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.layout import Point
from shellcheck_earth.loads.cases import MoistureState, moist_unit_weight
from shellcheck_earth.loads.materials import friction_at, saturated_moisture, strength_at
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.interfaces import GROUND, Edges, Patch, Patches, join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, no_ties
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = [
    "Earth",
    "Exposed",
    "Meeting",
    "Solid",
    "Solids",
    "area_and_centre",
    "earth_of",
    "hexahedron",
    "patches_of",
    "problem_of",
]

WHOLE = Shares()

SMOOTH = 0.01
"""Share of its friction that is left to a face that does not rub: with none at all the solver may end without an
answer."""

LEAST_AREA = 1e-5
"""Faces smaller than this [m2] are no contact; leaving them out takes support away, never adds any."""


@dataclass(frozen=True)
class Earth:
    """A fill in one state of moisture: unit weight [kN/m3], friction of its beds without wire [-], strength [kPa]."""

    unit_weight: float
    friction: float
    strength: float


def earth_of(design: Design, moisture: MoistureState) -> Earth:
    """The fill and the beds of a design in a state of moisture, at an age of at least 28 days. Where groups of courses
    have fills of their own, the heaviest of the weights and the weakest of the rest: a wall says nothing of groups."""
    beds, found = design.beds, []
    for fill in (design.fill, *(group.fill for group in design.groups)):
        damp = {"service": fill.service_moisture, "placed": fill.placing_moisture}.get(moisture)
        damp = saturated_moisture(fill) if damp is None else damp
        found.append(
            (
                moist_unit_weight(fill, damp),
                min(friction_at(beds, fill, damp), beds.friction_without_wire),
                strength_at(fill, damp, hardened=True),
            )
        )
    weights, frictions, strengths = zip(*found, strict=True)
    return Earth(max(weights), min(frictions), min(strengths))


@dataclass(frozen=True)
class Exposed:
    """A face in the wind: its outward normal times its area [m2], and its middle [m]."""

    outward: Point
    place: Point


@dataclass(frozen=True)
class Solid:
    """corners: (8) lower four then upper four, or the four of one end then those of the other; `volume` [m3] and
    `centre` [m] are its own, where edges are curved those of the curved body."""

    label: str
    corners: tuple[Point, ...]
    volume: float
    centre: Point
    exposed: tuple[Exposed, ...] = ()


@dataclass(frozen=True)
class Meeting:
    """A face between two solids (lower -1: the ground) that can open about `edge1` or `edge2`, which run the same way.

    `thin_along`: a reserve takes from the length of its edges too, not from the way between them alone. `smooth`: it
    presses and does not rub, where friction would hold only what is pressed together first.
    """

    upper: int
    lower: int
    edge1: tuple[Point, Point]
    edge2: tuple[Point, Point]
    kind: str
    thin_along: bool = False
    smooth: bool = False


@dataclass(frozen=True)
class Solids:
    """Bodies with the faces between them; `width` of the tube [m], the length that moments are measured by."""

    solids: tuple[Solid, ...]
    meetings: tuple[Meeting, ...]
    width: float

    @property
    def centres(self) -> Floats:
        """(n, 3) [m]."""
        return np.array([solid.centre for solid in self.solids], dtype=np.float64).reshape(-1, 3)

    def weights(self, earth: Earth) -> Floats:
        """(n,) [kN]."""
        return np.array([solid.volume * earth.unit_weight for solid in self.solids])


def hexahedron(corners: Sequence[Point]) -> tuple[float, Point]:
    """(volume [m3], centre of gravity [m]) of a body between six flat faces, by tetrahedra about its middle (derived).

    corners as in `Solid`: the four of one end in their order, then those of the other end.
    """
    points = np.array(corners, dtype=np.float64)
    middle = points.mean(axis=0)
    faces = [(0, 1, 2, 3), (4, 5, 6, 7), *((k, (k + 1) % 4, 4 + (k + 1) % 4, 4 + k) for k in range(4))]
    volume, moment = 0.0, np.zeros(3)
    for a, b, c, d in faces:
        for p, q, r in ((a, b, c), (a, c, d)):
            edges = points[[p, q, r]] - middle
            part = abs(float(np.linalg.det(edges))) / 6
            volume += part
            moment += part * (points[[p, q, r]].sum(axis=0) + middle) / 4
    x, y, z = (moment / volume).tolist()
    return volume, (x, y, z)


def _between(first: Point, second: Point, share: float) -> Point:
    x, y, z = (a + share * (b - a) for a, b in zip(first, second, strict=True))
    return x, y, z


def thinned(edges: Edges, share: float, *, along: bool) -> Edges:
    """Edges drawn together about the middle between them until this share of the way is left; `along`: and each
    shortened about its own middle."""
    (a, b), (c, d) = edges
    off = (1.0 - share) / 2
    a, c = _between(a, c, off), _between(c, a, off)
    b, d = _between(b, d, off), _between(d, b, off)
    if along:
        a, b = _between(a, b, off), _between(b, a, off)
        c, d = _between(c, d, off), _between(d, c, off)
    return (a, b), (c, d)


def _area(edges: Edges) -> float:
    """That the first edge and the way to the second one span [m2]."""
    (a, b), (c, _) = (np.array(edge) for edge in edges)
    return float(np.linalg.norm(np.cross(b - a, c - a)))


def patches_of(of: Solids, earth: Earth, shares: Shares, first: int = 0) -> list[Patch]:
    """The faces as patches, capacities multiplied by the shares. first: index of the first solid in the problem."""
    out = []
    for meeting in of.meetings:
        friction, strength = earth.friction * (SMOOTH if meeting.smooth else 1.0), earth.strength * shares.strength
        if meeting.lower == GROUND:
            friction, strength = min(friction, shares.base_friction), min(strength, shares.ground_pressure)
        edges = thinned((meeting.edge1, meeting.edge2), shares.half_width, along=meeting.thin_along)
        if strength <= 0 or _area(edges) < LEAST_AREA:
            continue
        lower = GROUND if meeting.lower == GROUND else meeting.lower + first
        towards = of.solids[meeting.upper].centre
        out.append(
            Patch(edges, meeting.upper + first, lower, towards, friction * shares.friction, strength, meeting.kind)
        )
    return out


def problem_of(
    of: Solids,
    earth: Earth,
    live: Floats,
    *,
    shares: Shares = WHOLE,
    most: float = 100.0,
    handed: Floats | None = None,
) -> BlockProblem:
    """The problem of solids that stand alone. live: (n, 6) [kN, kN m]; handed: the same of what lies on them."""
    weight = of.weights(earth)
    dead = np.zeros((len(weight), 6))
    dead[:, 2] = -weight
    if handed is not None:
        dead = dead + handed
    patches: Patches = join(patches_of(of, earth, shares))
    size = np.full(len(weight), of.width)
    return BlockProblem(of.centres, dead, live, size, patches, no_ties(), most, handed=handed)


def area_and_centre(outline: Sequence[tuple[float, float]]) -> tuple[float, tuple[float, float]]:
    """(area [m2], centroid) of a polygon."""
    twice = u = v = 0.0
    for (a, b), (c, d) in itertools.pairwise([*outline, outline[0]]):
        cross = a * d - c * b
        twice, u, v = twice + cross, u + (a + c) * cross, v + (b + d) * cross
    return abs(twice) / 2, (u / (3 * twice), v / (3 * twice))


def shaken(of: Solids, earth: Earth, share: float, way: Point) -> Floats:
    """(n, 6) [kN, kN m]: a share of every weight along a way [-], at the centres."""
    out = np.zeros((len(of.solids), 6))
    out[:, :3] = share * of.weights(earth)[:, None] * np.array(way)
    return out
