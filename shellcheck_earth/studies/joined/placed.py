"""Where two domes and the passage between them stand, what does not fit, and where the passage touches the domes.

All in the frame of the passage (`passage`). Contact is what there is of it and no more: a face of the passage touches a
block of the dome where the two outlines overlap, on the chord of the dome's outer face, and of that the largest
upright rectangle that was found inside; bags of the door's head are touched as its courses are.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shellcheck_earth.basics.errors import UnbuildableError
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout, Point
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.mechanics.blocks.interfaces import Edges
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.studies.joined.fit import misfits, too_high, widest_of
from shellcheck_earth.studies.joined.given import Pair
from shellcheck_earth.studies.joined.passage import End, Passage, Piece, lay_passage

__all__ = ["CUTS", "Placed", "Touch", "clipped", "inside_rectangle", "place_pair", "turning"]

CUTS = (18, 36, 72)
"""Blocks a ring of the domes, coarse to fine; the bags of the vault are cut in as many parts as each is finer. The last
is asked only where the one before it still takes off over a tenth."""

LEAST_FACE = 1e-3
"""Contacts smaller than this [m2] are none; leaving them out takes support away, never adds any."""

Place = tuple[float, float]


@dataclass(frozen=True)
class Touch:
    """A face between a block of a dome and a solid of the passage: the dome (0, 1), indices, edges (lower, upper)."""

    dome: int
    block: int
    solid: int
    edges: Edges
    vault: bool

    @property
    def area(self) -> float:
        """[m2]"""
        (a, b), (c, _) = self.edges
        return math.dist(a, b) * math.dist(a, c)

    @property
    def middle(self) -> Point:
        """[m]"""
        x, y, z = np.mean([point for edge in self.edges for point in edge], axis=0).tolist()
        return x, y, z


def turning(angle: float) -> Floats:
    """Matrix of a turn about the upright, from x towards y [rad]."""
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


@dataclass(frozen=True)
class Placed:
    """Both domes with their places, and the clear length of the passage between them [m]."""

    given: Pair
    domes: tuple[Dome, Dome]
    length: float

    @property
    def ends(self) -> tuple[End, End]:
        """The domes as the passage meets them."""
        first, second = (widest_of(dome) for dome in self.domes)
        return End(self.domes[0], -self.length / 2 - first), End(self.domes[1], self.length / 2 + second)

    def turn(self, index: int) -> float:
        """By how much a dome is turned from its own plan, from x towards y [rad]: its door faces the other."""
        quarter = -math.pi / 2 if index == 0 else math.pi / 2
        return self.given.facing[index] + quarter

    def shift(self, index: int) -> Floats:
        """Where the origin of its plan goes [m]; its finished floor lies at 0."""
        return np.array([self.ends[index].axis, 0.0, -self.domes[index].floor])

    def layout(self, index: int, cut: int) -> Layout:
        """The blocks of a dome, in its own plan."""
        return cut_blocks(self.domes[index], CUTS[cut], None)

    @property
    def ground(self) -> float:
        """Level of the ground [m above the floor]."""
        return self.domes[0].ground - self.domes[0].floor

    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        """At every cut, run on to the domes."""
        return tuple(self._passage(cuts, self.ends) for cuts in CUTS)

    @cached_property
    def free(self) -> tuple[Passage, ...]:
        """At every cut, with square ends: without what is laid against the domes, which leans on them and goes with
        them."""
        return tuple(self._passage(cuts, None) for cuts in CUTS)

    def _passage(self, cuts: int, ends: tuple[End, End] | None) -> Passage:
        return lay_passage(self.given.passage, self.length, ends, parts=cuts // CUTS[0], ground=self.ground)

    def touches(self, cut: int) -> tuple[Touch, ...]:
        """Every face between the passage and a dome."""
        out = []
        for piece in self.passages[cut].pieces:
            layout = self.layout(piece.end, cut)
            for k, block in enumerate(layout.blocks):
                if self.domes[piece.end].courses[block.course] is piece.course and block.kind != "buttress":
                    touch = self._touch(piece, k, self._seen(piece.end, block.corners, block.kind))
                    out += [] if touch is None else [touch]
        return tuple(out)

    def _seen(self, index: int, corners: tuple[Point, ...], kind: str) -> list[Place] | None:
        """Outline (y, z) of the outer face of a block; None where it lies on the far side."""
        turned = np.array(corners) @ turning(self.turn(index)).T
        half = len(corners) // 2
        outer = turned[half:] if kind == "head" else turned[[1, 2, 6, 5]]
        near = outer[:, 0] > 0 if index == 0 else outer[:, 0] < 0
        if not near.all():
            return None
        floor = self.domes[index].floor
        return [(float(y), float(z) - floor) for _, y, z in outer]

    def _touch(self, piece: Piece, block: int, seen: list[Place] | None) -> Touch | None:
        shared = [] if seen is None else clipped(seen, list(piece.outline))
        found = inside_rectangle(shared) if len(shared) > 2 else None
        if found is None:
            return None
        (y1, z1), (y2, z2) = found
        of = self.ends[piece.end]
        lower, upper = (((of.face(piece.course, y1), y1, z), (of.face(piece.course, y2), y2, z)) for z in (z1, z2))
        touch = Touch(piece.end, block, piece.solid, (lower, upper), piece.vault)
        return touch if touch.area >= LEAST_FACE else None


def _around(outline: Sequence[Place]) -> list[Place]:
    """Counted from x towards y."""
    twice = sum(a * d - c * b for (a, b), (c, d) in itertools.pairwise([*outline, outline[0]]))
    return list(outline) if twice > 0 else list(reversed(outline))


def clipped(subject: Sequence[Place], window: Sequence[Place]) -> list[Place]:
    """What two convex outlines share (Sutherland & Hodgman 1974, memory); [] for nothing."""
    out, edges = _around(subject), _around(window)
    for (a, b), (c, d) in itertools.pairwise([*edges, edges[0]]):
        points, out = out, []
        for k, (x, y) in enumerate(points):
            u, v = points[k - 1]
            here, before = ((c - a) * (q - b) - (d - b) * (p - a) for p, q in ((x, y), (u, v)))
            if here * before < 0:
                share = before / (before - here)
                out.append((u + share * (x - u), v + share * (y - v)))
            if here >= 0:
                out.append((x, y))
    return out


def inside_rectangle(outline: Sequence[Place]) -> tuple[Place, Place] | None:
    """Lower and upper corner of an upright rectangle inside a convex outline, about its middle: the largest of a few
    proportions. None where there is no room."""
    ys, zs = [y for y, _ in outline], [z for _, z in outline]
    wide, tall = max(ys) - min(ys), max(zs) - min(zs)
    if wide < 1e-4 or tall < 1e-4:
        return None
    middle = (sum(ys) / len(ys), sum(zs) / len(zs))
    best: tuple[float, tuple[float, float]] | None = None
    for share in (1.0, 0.7, 0.5, 1.4, 2.0):
        half = (wide * share / 2, tall / 2)
        scale = min(_room(outline, middle, half, corner) for corner in itertools.product((-1, 1), repeat=2))
        found = scale * scale * half[0] * half[1]
        if best is None or found > best[0] * (1 + 1e-9):
            best = found, (scale * half[0], scale * half[1])
    if best is None or best[0] <= 0.0:
        return None
    (y, z), (a, b) = middle, best[1]
    return (y - a, z - b), (y + a, z + b)


def _room(outline: Sequence[Place], middle: Place, half: tuple[float, float], corner: tuple[int, ...]) -> float:
    """How far the way from the middle to one corner of a rectangle stays inside, as a share of it."""
    ring, least = _around(outline), 1e9
    for (a, b), (c, d) in itertools.pairwise([*ring, ring[0]]):
        normal = (b - d, c - a)  # inward
        off = (middle[0] - a) * normal[0] + (middle[1] - b) * normal[1]
        way = corner[0] * half[0] * normal[0] + corner[1] * half[1] * normal[1]
        if way < 0:
            least = min(least, max(off, 0.0) / -way)
    return least


def place_pair(given: Pair, where: str = "the file") -> Placed:
    """The domes in their places; UnbuildableError with everything that does not fit, and the number that does."""
    first, second = (build_dome(design) for design in given.designs)
    for dome in (first, second):
        check_openings(dome, dome.design.name)
    domes = (first, second)
    problems = misfits(given, domes)
    if problems:
        raise UnbuildableError(problems, where)
    length, between = given.passage.length, given.passage.between_axes
    if length is None:
        length = (between or 0.0) - widest_of(first) - widest_of(second)
    placed = Placed(given, domes, length)
    high = list(too_high(given, placed.ends))
    if high:
        raise UnbuildableError(high, where)
    return placed
