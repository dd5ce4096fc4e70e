"""A dome cut into blocks, as data: blocks, the beds and faces between them, head joints.

Pure geometry; what the faces carry is the work of `mechanics.blocks.faces`. Positions: x = r sin(bearing), y = r
cos(bearing), z up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

__all__ = ["Bed", "Block", "BlockKind", "Face", "FaceKind", "Joint", "Layout", "Point", "at", "bearing_of", "turn"]

BlockKind = Literal["wall", "lintel", "head", "buttress", "footing"]
FaceKind = Literal["head joint", "head", "buttress", "buttress bed"]
Point = tuple[float, float, float]


@dataclass(frozen=True)
class Block:
    """course: index in the stack; start, end: bearings [rad]; corners: (8) lower four then upper four, inner start
    first.

    `volume` and `centre` only where the block is no plain sector of its ring (head, buttress, footing); a footing's
    course is the lowest, which it lies under.
    """

    course: int
    kind: BlockKind
    start: float
    end: float
    corners: tuple[Point, ...]
    closed: bool  # a member of an uncut ring
    opening: int | None = None
    volume: float = 0.0
    centre: Point | None = None


@dataclass(frozen=True)
class Bed:
    """A level bed between two blocks (lower -1: the ground), an annular sector: bearings [rad], radii, level [m]."""

    upper: int
    lower: int
    start: float
    end: float
    inner: float
    outer: float
    z: float


@dataclass(frozen=True)
class Face:
    """A four-sided face between two blocks; it can open about `edge1` or `edge2`, which run the same way."""

    upper: int
    lower: int
    edge1: tuple[Point, Point]
    edge2: tuple[Point, Point]
    kind: FaceKind
    course: int


@dataclass(frozen=True)
class Layout:
    """The blocks of a dome with the beds and faces between them."""

    blocks: tuple[Block, ...]
    beds: tuple[Bed, ...]
    faces: tuple[Face, ...]
    cuts: int
    courses: int  # how many courses stand
    stepped: tuple[int, ...]  # openings whose curved head found no room for a ring of bags: stepped courses carry it

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """Every head joint, in the order of the faces."""
        found = [(face, bearing_of(*face.edge1[1][:2])) for face in self.faces if face.kind == "head joint"]
        joined: dict[int, list[float]] = {}
        for face, bearing in found:
            joined.setdefault(face.course, []).append(bearing)
        ends: dict[int, list[float]] = {}
        for block in self.blocks:
            if block.kind in ("wall", "lintel"):
                for end in (block.start, block.end):
                    if all(turn(end, other) > 1e-6 for other in joined.get(block.course, [])):
                        ends.setdefault(block.course, []).append(end)
        return tuple(
            Joint(face, bearing, min((turn(bearing, end) for end in ends.get(face.course, [])), default=math.inf))
            for face, bearing in found
        )


@dataclass(frozen=True)
class Joint:
    """A head joint with its bearing, and how far round it is to where its ring is cut by an opening or by the ring of
    bags over it [rad]; inf in a whole ring.
    """

    face: Face
    bearing: float
    to_end: float


def bearing_of(x: float, y: float) -> float:
    """The bearing of a place on plan [rad], in [0, 2 pi)."""
    return math.atan2(x, y) % (2 * math.pi)


def turn(first: float, second: float) -> float:
    """Least angle between two bearings [rad]."""
    return abs((first - second + math.pi) % (2 * math.pi) - math.pi)


def at(radius: float, bearing: float, z: float) -> Point:
    """A point at a radius [m], a bearing [rad] and a level [m]."""
    return radius * math.sin(bearing), radius * math.cos(bearing), z
