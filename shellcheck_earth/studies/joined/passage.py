"""A passage between two domes: two straight walls and a short barrel vault of arch rings on them, cut to the domes.

x runs along the passage from the first dome to the second, from the middle of its clear length; y across it; z up from
the finished floor. A course of a wall is one tube from end to end; the arches stand side by side on them. Both are cut
to the outer face of the domes, course by course and bag by bag to the widest course of the dome that lies at their
level, so that they touch that course and no other. Joints of the vault run out square to its arch; one lies at the
crown. A finer cut has more of them.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.layout import Point
from shellcheck_earth.loads.side_loads import SideLoad, wind_coefficient
from shellcheck_earth.mechanics.blocks.interfaces import GROUND
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.studies.joined.given import PassageGiven
from shellcheck_earth.studies.joined.solids import Exposed, Meeting, Solid, Solids, area_and_centre, hexahedron

__all__ = [
    "End",
    "Passage",
    "Piece",
    "bags_of",
    "clear_height",
    "half_vault",
    "lay_passage",
    "rings_of",
    "snow_on",
    "wind_on_passage",
]

NEAR = 1e-6

FINE = 8
"""Chords of the arch within one bag, for its area and centre."""

Place = tuple[float, float]
"""(y, z) in the section of the passage [m]."""


@dataclass(frozen=True)
class End:
    """A dome as the passage meets it: x of its axis [m], and its courses by level above the finished floor."""

    dome: Dome
    axis: float

    def course(self, low: float, high: float) -> Course | None:
        """The widest of the courses within these levels [m above the floor]; None where it has none there."""
        within = [
            course
            for course in self.dome.courses
            if course.z_bottom - self.dome.floor < high - NEAR and course.z_top - self.dome.floor > low + NEAR
        ]
        return max(within, key=lambda course: course.outer_radius, default=None)

    def face(self, course: Course, y: float) -> float:
        """x of the outer face of a course beside the axis of the passage, which has to reach so far [m]."""
        away = math.sqrt(course.outer_radius**2 - y * y)
        return self.axis + (away if self.axis < 0 else -away)


@dataclass(frozen=True)
class Piece:
    """One solid at an end: which dome (0 or 1) it is cut to, at which of its courses, its outline (y, z), and whether
    it is of the vault."""

    solid: int
    end: int
    course: Course
    outline: tuple[Place, ...]
    vault: bool


@dataclass(frozen=True)
class Passage:
    """Its solids, and the pieces of them that are cut to a dome."""

    solids: Solids
    pieces: tuple[Piece, ...]


def rings_of(given: PassageGiven, length: float) -> int:
    """How many arches stand side by side: as said, else each as long as the tube is wide, or a little less."""
    return given.rings or max(math.ceil(length / given.filled_width - NEAR), 1)


def _arch(given: PassageGiven) -> tuple[float, float]:
    """(offset of the centre of one side's arch beyond the middle, inside radius) [m]."""
    offset = 0.0 if given.head == "round" else given.width / 2
    return offset, given.width / 2 + offset


def clear_height(given: PassageGiven) -> float:
    """From the floor to the crown of the vault inside [m]."""
    offset, inside = _arch(given)
    return given.springing + math.sqrt(inside * inside - offset * offset)


def bags_of(given: PassageGiven) -> int:
    """Bags of one half of an arch, about as long as a course is high."""
    offset, inside = _arch(given)
    middle = inside + given.vault_depth / 2
    return max(round(middle * math.acos(offset / inside) / given.course_height), 3)


def half_vault(given: PassageGiven, parts: int = 1) -> tuple[tuple[tuple[Place, ...], tuple[Place, ...]], ...]:
    """The bags of the half at y > 0 from the springing up, each cut in so many parts: outline (inner low, outer low,
    outer high, inner high), and the same with its arcs as chords of an eighth. The last joint stands upright on the
    middle line."""
    offset, inside = _arch(given)
    outside, count = inside + given.vault_depth, bags_of(given) * parts
    crown_in, crown_out = math.acos(offset / inside), math.acos(offset / outside)

    def place(radius: float, angle: float) -> Place:
        return max(radius * math.cos(angle) - offset, 0.0), given.springing + radius * math.sin(angle)

    out = []
    for k in range(count):
        low = crown_in * k / count
        tops = (crown_in, crown_out) if k == count - 1 else (crown_in * (k + 1) / count,) * 2
        corners = (place(inside, low), place(outside, low), place(outside, tops[1]), place(inside, tops[0]))
        fine = [place(outside, low + (tops[1] - low) * j / FINE) for j in range(FINE + 1)]
        fine += [place(inside, tops[0] + (low - tops[0]) * j / FINE) for j in range(FINE + 1)]
        out.append((corners, tuple(fine)))
    return tuple(out)


class _Laid:
    """Collects solids and meetings; only used inside `lay_passage`."""

    def __init__(self, given: PassageGiven, length: float, ends: tuple[End, End] | None, ground: float) -> None:
        self.given, self.ends, self.ground = given, ends, ground
        rings = rings_of(given, length)
        self.joints = [-length / 2 + length * k / rings for k in range(rings + 1)]
        self.solids, self.meetings, self.pieces = list[Solid](), list[Meeting](), list[Piece]()

    def row(self, label: str, outline: tuple[Place, ...], fine: tuple[Place, ...], *, vault: bool) -> list[int]:
        """The same cross-section through every arch, from the first dome to the second, and the faces between them; of
        a wall one solid from end to end."""
        if not vault:
            return [self._solid(label, (self.joints[0], self.joints[-1]), (0, 1), outline, fine, vault=False)]
        members, last = [], len(self.joints) - 2
        for ring, reach in enumerate(itertools.pairwise(self.joints)):
            ends = 0 if ring == 0 else None, 1 if ring == last else None
            members.append(self._solid(f"{label}, arch {ring + 1}", reach, ends, outline, fine, vault=True))
        a, b, c, d = outline
        for (i, j), x in zip(itertools.pairwise(members), self.joints[1:-1], strict=True):
            first, second = ((x, *a), (x, *b)), ((x, *d), (x, *c))
            self.meetings.append(Meeting(j, i, first, second, "ring joint", thin_along=True))
        return members

    def _solid(
        self,
        label: str,
        reach: tuple[float, float],
        ends: tuple[int | None, int | None],
        outline: tuple[Place, ...],
        fine: tuple[Place, ...],
        *,
        vault: bool,
    ) -> int:
        """reach: along x; ends: the dome that either end is cut to."""
        cuts = [self._cut(end, x, outline, vault=vault) for end, x in zip(ends, reach, strict=True)]
        corners = tuple((x, *place) for ends in cuts for x, place in zip(ends, outline, strict=True))
        volume, centre = hexahedron(corners)
        area, _ = area_and_centre(outline)
        full, (y, z) = area_and_centre(fine)
        self.solids.append(Solid(label, corners, volume * full / area, (centre[0], y, z), self._exposed(corners)))
        return len(self.solids) - 1

    def _cut(self, end: int | None, x: float, outline: tuple[Place, ...], *, vault: bool) -> tuple[float, ...]:
        """x of one end at each corner: level across, or along the chord of the dome's outer face."""
        if end is None or self.ends is None:
            return (x,) * len(outline)
        of = self.ends[end]
        course = of.course(min(z for _, z in outline), max(z for _, z in outline))
        if course is None:
            raise ValueError("the passage stands over the dome: check that it fits first")
        self.pieces.append(Piece(len(self.solids), end, course, outline, vault))
        low, high = min(abs(y) for y, _ in outline), max(abs(y) for y, _ in outline)
        at = of.face(course, low), of.face(course, high)
        return tuple(at[0] + (at[1] - at[0]) * (abs(y) - low) / (high - low) for y, _ in outline)

    def _exposed(self, corners: tuple[Point, ...]) -> tuple[Exposed, ...]:
        """The outer face, what of it stands over the ground: that between the second and the third corner."""
        (_, y1, z1), (_, y2, z2) = corners[1], corners[2]
        share = 1.0 if z1 >= self.ground - NEAR else max((z2 - self.ground) / (z2 - z1), 0.0)
        long = (corners[5][0] - corners[1][0] + corners[6][0] - corners[2][0]) / 2
        if share <= 0.0:
            return ()
        side = math.copysign(1.0, y1 + y2)
        outward = (0.0, side * share * long * abs(z2 - z1), share * long * (abs(y1) - abs(y2)))
        middle = np.mean([corners[k] for k in (1, 2, 5, 6)], axis=0)
        return (Exposed(outward, (float(middle[0]), float(middle[1]), float(middle[2] + (1 - share) * (z2 - z1) / 2))),)

    def joint(self, upper: list[int], lower: list[int] | None, first: Place, second: Place, kind: str) -> None:
        """The joints of two rows, wherever one lies over the other, from one place in the section to another, less the
        rounded edges."""
        edge = self.given.edge_rounding / math.dist(first, second)
        (y1, z1), (y2, z2) = first, second
        ends = [(y1 + share * (y2 - y1), z1 + share * (z2 - z1)) for share in (edge, 1.0 - edge)]
        for i, j in itertools.product(upper, [GROUND] if lower is None else lower):
            spans = [self._span(i, ends), *([self._span(j, ends)] if j != GROUND else [])]
            start, end = max(a for a, _ in spans), min(b for _, b in spans)
            if end - start > 0.01:
                edges = [((start, y, z), (end, y, z)) for y, z in ends]
                self.meetings.append(Meeting(i, j, edges[0], edges[1], kind))

    def _span(self, index: int, places: list[Place]) -> tuple[float, float]:
        """From where to where a solid reaches along x at both of these places, at least [m]."""
        corners = self.solids[index].corners
        ys = [abs(y) for _, y, _ in corners[:4]]
        low, high = min(ys), max(ys)
        at_low, at_high = ([corners[k + ys.index(y)][0] for k in (0, 4)] for y in (low, high))
        starts, stops = [], []
        for y, _ in places:
            share = (abs(y) - low) / (high - low)
            starts.append(at_low[0] + share * (at_high[0] - at_low[0]))
            stops.append(at_low[1] + share * (at_high[1] - at_low[1]))
        return max(starts), min(stops)


def lay_passage(
    given: PassageGiven, length: float, ends: tuple[End, End] | None, *, parts: int = 1, ground: float = 0.0
) -> Passage:
    """The passage as blocks.

    length: clear [m]; ends: the domes, None for a passage with square ends; parts: into how many each bag of the vault
    is cut; ground: its level [m above the floor].
    """
    laid = _Laid(given, length, ends, ground)
    half = half_vault(given, parts)
    inner, outer = given.width / 2, given.width / 2 + given.filled_width
    crowns: dict[float, list[int]] = {}
    for side in (1.0, -1.0):
        below: list[int] | None = None
        for number in range(-given.buried_courses, round(given.springing / given.course_height)):
            low, high = number * given.course_height, (number + 1) * given.course_height
            outline = ((side * inner, low), (side * outer, low), (side * outer, high), (side * inner, high))
            row = laid.row(f"passage wall, course {number + 1}", outline, outline, vault=False)
            laid.joint(row, below, outline[0], outline[1], "ground" if below is None else "bed")
            below = row
        for number, (corners, fine) in enumerate(half, 1):
            turned = tuple((side * y, z) for y, z in corners)
            row = laid.row(f"vault, bag {number}", turned, tuple((side * y, z) for y, z in fine), vault=True)
            laid.joint(row, below, turned[0], turned[1], "bed" if number == 1 else "vault joint")
            below = row
        crowns[side] = below or []
    crown = half[-1][0]
    laid.joint(crowns[1.0], crowns[-1.0], crown[3], crown[2], "vault joint")
    return Passage(Solids(tuple(laid.solids), tuple(laid.meetings), given.filled_width), tuple(laid.pieces))


def wind_on_passage(of: Solids, load: SideLoad) -> Floats:
    """(n, 6) [kN, kN m]: the envelope of the domes on its outer faces, with the pressure inside taken off; bearings as
    x = sin, y = cos. That the domes stand in its lee is not counted."""
    out = np.zeros((len(of.solids), 6))
    for k, solid in enumerate(of.solids):
        for face in solid.exposed:
            n = np.array(face.outward)
            slope = math.atan2(float(n[2]), math.hypot(float(n[0]), float(n[1])))
            off = math.atan2(float(n[0]), float(n[1])) - load.bearing - math.pi
            coefficient = wind_coefficient(off, slope, load.lee, load.even_to) - load.inside
            force = -load.amount * coefficient * n
            out[k] += np.concatenate([force, np.cross(np.array(face.place) - np.array(solid.centre), force)])
    return out


def snow_on(of: Solids, pressure: float) -> Floats:
    """(n, 6) [kN, kN m]: the full ground value on the plan area of the vault's outer faces."""
    out = np.zeros((len(of.solids), 6))
    for k, solid in enumerate(of.solids):
        for face in solid.exposed:
            force = np.array([0.0, 0.0, -pressure * max(face.outward[2], 0.0)])
            out[k] += np.concatenate([force, np.cross(np.array(face.place) - np.array(solid.centre), force)])
    return out
