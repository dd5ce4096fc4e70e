"""Cut the rings of a dome into blocks: in line, openings out, with lintels, rings of bags over heads, and buttresses.

A tube is a coil and a block only a cut through it. Cuts run in line up the dome (continuous meridians), for a cut
staggered like bricks lets a rigid block hold like a beam what the coil does not. What comes of it is `geometry.layout`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from shellcheck_earth.design.design import Buttress, Design
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.footing import THIN, footing_ring
from shellcheck_earth.geometry.heads import Head, head_ring, lintel_course
from shellcheck_earth.geometry.layout import Bed, Block, Face, Layout, Point, at, turn
from shellcheck_earth.geometry.meridians import meridians, pieces
from shellcheck_earth.geometry.openings import TINY, Interval, course_cuts, levels

__all__ = ["blocks_drawn", "cut_blocks"]


TURNS = tuple(2 * math.pi * k for k in range(-3, 4))
"""Bearings of blocks and of openings may be whole turns apart: every way in which two can lie on each other."""

LEAST_OVERLAP = 0.01
"""Overlaps shorter than this along the ring [m] are no contact; leaving them out takes support away, never adds any."""


def _sector(course: Course, start: float, end: float) -> tuple[Point, ...]:
    return tuple(
        at(r, b, z)
        for z in (course.z_bottom, course.z_top)
        for r, b in (
            (course.inner_radius, start),
            (course.outer_radius, start),
            (course.outer_radius, end),
            (course.inner_radius, end),
        )
    )


class _Builder:
    """Collects blocks course by course; only used inside `cut_blocks`."""

    def __init__(self, design: Design, dome: Dome, cuts: int, top: int) -> None:
        self.design, self.dome, self.cuts = design, dome, cuts
        self.courses = dome.courses[:top]
        self.lines = meridians(dome, cuts)
        self.blocks: list[Block] = []
        self.beds: list[Bed] = []
        self.faces: list[Face] = []
        self.by_course: list[list[int]] = []
        self.heads: dict[int, Head] = {}
        self.lintels: dict[int, int] = {}
        self.stepped: list[int] = []
        self.beside: dict[tuple[int, int, int], int] = {}  # (opening, course, side -1 or 1) -> block
        for index, opening in enumerate(design.openings):
            head = head_ring(dome, opening, top)
            if head is not None:
                self.heads[index] = head
            elif opening.head == "lintel" and lintel_course(dome, opening, top) is not None:
                self.lintels[index] = lintel_course(dome, opening, top) or 0
            elif levels(dome, opening)[1] <= self.courses[-1].z_bottom + TINY:
                self.stepped.append(index)

    def ring(self, number: int, course: Course) -> None:
        gaps: list[tuple[Interval, int]] = []
        cut = dict(course_cuts(self.dome, course))
        for index, opening in enumerate(self.design.openings):
            if index in self.heads and number in self.heads[index].outline:
                half = self.heads[index].outline[number] / course.inner_radius
                start = (opening.bearing - half) % (2 * math.pi)
                gaps.append(((start, start + 2 * half), index))
            elif index in cut:
                gaps.append((cut[index], index))
        beams = [
            (self._lintel(index, course), index) for index, at_course in self.lintels.items() if at_course == number
        ]
        taken = sorted([(*gap, index, False) for gap, index in gaps] + [(*beam, index, True) for beam, index in beams])
        members: list[int] = []
        closed = not gaps
        if not taken:
            members = [
                self._wall(number, course, a, b, True)
                for a, b in self._pieces(self.lines[0], self.lines[0] + 2 * math.pi)
            ]
            self._joints(number, course, members)
        else:
            for k, (start, end, index, beam) in enumerate(taken):
                if beam:
                    self.blocks.append(Block(number, "lintel", start, end, _sector(course, start, end), closed, index))
                    members.append(len(self.blocks) - 1)
                nxt = taken[(k + 1) % len(taken)]
                stop = nxt[0] + (2 * math.pi if nxt[0] < end - 1e-9 or len(taken) == 1 else 0.0)
                run = (
                    [self._wall(number, course, a, b, closed) for a, b in self._pieces(end, stop)]
                    if stop - end > 1e-9
                    else []
                )
                if run and not beam:
                    self.beside[index, number, 1] = run[0]
                if run and not nxt[3]:
                    self.beside[nxt[2], number, -1] = run[-1]
                members += run
            self._joints(number, course, members)
        self.by_course.append(members)

    def _pieces(self, start: float, end: float) -> list[Interval]:
        return pieces(start, end, self.lines, self.cuts)

    def _lintel(self, index: int, course: Course) -> Interval:
        opening = self.design.openings[index]
        half = (opening.width / 2 + opening.lintel_bearing) / course.inner_radius
        start = (opening.bearing - half) % (2 * math.pi)
        return start, start + 2 * half

    def _wall(self, number: int, course: Course, start: float, end: float, closed: bool) -> int:
        self.blocks.append(Block(number, "wall", start, end, _sector(course, start, end), closed))
        return len(self.blocks) - 1

    def _joints(self, number: int, course: Course, members: list[int]) -> None:
        """Head joints wherever the end of a block is the start of another."""
        if number == 0:
            return  # the lowest ring takes no ring compression, as in the ring-symmetric check
        for i in members:
            for j in members:
                if i == j:
                    continue
                gap = (self.blocks[j].start - self.blocks[i].end + math.pi) % (2 * math.pi) - math.pi
                if abs(gap) < 1e-9:
                    b, low, high = self.blocks[i].end, course.z_bottom, course.z_top
                    r, s = course.inner_radius, course.outer_radius
                    self.faces.append(
                        Face(
                            j, i, (at(r, b, low), at(s, b, low)), (at(r, b, high), at(s, b, high)), "head joint", number
                        )
                    )

    def beds_under(self, number: int, course: Course) -> None:
        members = self.by_course[number]
        below = self.by_course[number - 1] if number else []
        for i in members:
            block = self.blocks[i]
            if number == 0:
                self.beds.append(
                    Bed(i, -1, block.start, block.end, course.bed_inner, course.bed_outer, course.z_bottom)
                )
                continue
            for j in below:
                other = self.blocks[j]
                middles = turn((block.start + block.end) / 2, (other.start + other.end) / 2)
                if 2 * middles > block.end - block.start + other.end - other.start:
                    continue  # they lie nowhere over each other, however often one is turned right round
                for whole in TURNS:
                    start = max(block.start, other.start + whole)
                    end = min(block.end, other.end + whole)
                    if (end - start) * course.bed_inner > LEAST_OVERLAP:
                        self.beds.append(Bed(i, j, start, end, course.bed_inner, course.bed_outer, course.z_bottom))

    def head(self, index: int, head: Head) -> None:
        """The ring of bags over an opening: its blocks, its joints, and the faces against the courses it passes.

        Lengths along the wall are measured on its inner face, as where the courses end, and joints run out radially.
        """
        bearing = self.design.openings[index].bearing
        made: dict[tuple[int, int], int] = {}
        for bag in head.bags:
            course = self.courses[bag.course]
            inside = course.inner_radius
            middle = (inside + course.outer_radius) / 2
            inner = tuple(at(inside, bearing + u / inside, z) for u, z in bag.corners)
            outer = tuple(at(course.outer_radius, bearing + u / inside, z) for u, z in bag.corners)
            u, z = bag.centroid
            self.blocks.append(
                Block(
                    bag.course,
                    "head",
                    bearing + min(u for u, _ in bag.corners) / inside,
                    bearing + max(u for u, _ in bag.corners) / inside,
                    inner + outer,
                    False,
                    index,
                    bag.area * course.width * middle / inside,
                    at(middle, bearing + u / inside, z),
                )
            )
            made[bag.course, bag.side] = len(self.blocks) - 1
        for joint in head.joints:
            self._head_face(index, joint, made, bearing)

    def _head_face(
        self,
        index: int,
        joint: tuple[str, int, int, tuple[float, float], tuple[float, float]],
        made: dict[tuple[int, int], int],
        bearing: float,
    ) -> None:
        what, number, side, first, second = joint
        course = self.courses[number]
        inner, outer, upper = course.inner_radius, course.outer_radius, made[number, side]
        lower: int | None
        if what == "course":
            lower = self.beside.get((index, number, side))
        elif what == "crown":
            lower = made[number, -side]
        else:
            under = self.courses[number - 1]
            inner, outer = max(inner, under.inner_radius), min(outer, under.outer_radius)
            lower = made.get((number - 1, side), self.beside.get((index, number - 1, side)))
        if lower is None:
            return
        lines = [tuple(at(r, bearing + u / course.inner_radius, z) for r in (inner, outer)) for u, z in (first, second)]
        self.faces.append(Face(upper, lower, (lines[0][0], lines[0][1]), (lines[1][0], lines[1][1]), "head", number))
        if what == "crown":
            self._on_crown(number, made, bearing)

    def _on_crown(self, number: int, made: dict[tuple[int, int], int], bearing: float) -> None:
        """The course above a head rests on the bags that close it."""
        if number + 1 >= len(self.courses):
            return
        above = self.courses[number + 1]
        for i in self.by_course[number + 1]:
            for side in (-1, 1):
                crown = self.blocks[made[number, side]]
                for whole in TURNS:
                    low = bearing if side > 0 else crown.start
                    high = crown.end if side > 0 else bearing
                    start, end = max(self.blocks[i].start, low + whole), min(self.blocks[i].end, high + whole)
                    if (end - start) * above.bed_inner > LEAST_OVERLAP:
                        self.beds.append(
                            Bed(i, made[number, side], start, end, above.bed_inner, above.bed_outer, above.z_bottom)
                        )

    def buttress(self, index: int) -> None:
        """Courses of a buttress, as high as the wall's, each pressed against the wall and lying on the one below."""
        buttress = self.design.buttresses[index]
        end = self.dome.courses[0].outer_radius + buttress.length
        half, rounding = buttress.width / 2, self.design.wall.edge_rounding

        def place(u: float, r: float, z: float) -> Point:
            s, c = math.sin(buttress.bearing), math.cos(buttress.bearing)
            return r * s + u * c, r * c - u * s, z

        below = -1
        for number, course in enumerate(self.courses):
            if course.z_top > self.dome.ground + buttress.height + TINY:
                break
            corners = tuple(
                place(u, r, z)
                for z in (course.z_bottom, course.z_top)
                for u, r in ((-half, course.outer_radius), (-half, end), (half, end), (half, course.outer_radius))
            )
            volume = (end - course.outer_radius) * buttress.width * course.height
            centre = place(0.0, (course.outer_radius + end) / 2, course.z_mid)
            at_bearing = (buttress.bearing, buttress.bearing)
            self.blocks.append(Block(number, "buttress", *at_bearing, corners, False, None, volume, centre))
            this = len(self.blocks) - 1
            inner = max(course.outer_radius, self.courses[number - 1].outer_radius if number else 0.0) + rounding
            edges = [
                (place(-half + rounding, r, course.z_bottom), place(half - rounding, r, course.z_bottom))
                for r in (inner, end - rounding)
            ]
            self.faces.append(Face(this, below, edges[0], edges[1], "buttress bed", number))
            self._against_wall(buttress, number, this, place)
            below = this

    def _against_wall(
        self, buttress: Buttress, number: int, this: int, place: Callable[[float, float, float], Point]
    ) -> None:
        """The faces between one course of a buttress and the blocks of the wall behind it."""
        course, half = self.courses[number], buttress.width / 2
        for i in self.by_course[number]:
            for whole in TURNS:
                # Within one radian either side: beyond it a block lies round the curve, not behind the buttress.
                ends = (self.blocks[i].start + whole - buttress.bearing, self.blocks[i].end + whole - buttress.bearing)
                low, high = (course.outer_radius * math.sin(min(max(end, -1.0), 1.0)) for end in ends)
                low, high = max(low, -half), min(high, half)
                if high - low > LEAST_OVERLAP:
                    lower, upper = (
                        (place(low, course.outer_radius, z), place(high, course.outer_radius, z))
                        for z in (course.z_bottom, course.z_top)
                    )
                    self.faces.append(Face(this, i, lower, upper, "buttress", number))

    def footing(self) -> None:
        """A piece of the footing under every block of the lowest course, cut as that is. Nothing joins them: no tension
        and no bending from one to the next, nor across a door that goes down to the footing, where there is none."""
        ring = footing_ring(self.dome)
        if ring is None:
            return
        beds = []
        for bed in self.beds:
            if bed.lower != -1:
                beds.append(bed)
                continue
            start, end = bed.start, bed.end
            corners, centre = ring.corners(start, end), ring.centre(start, end)
            this = len(self.blocks)
            self.blocks.append(
                Block(0, "footing", start, end, corners, False, None, ring.volume * (end - start), centre)
            )
            inner, outer = ring.middle - ring.reach / 2, ring.middle + ring.reach / 2
            beds += [replace(bed, lower=this), Bed(this, -1, start, end, inner, outer, ring.top - THIN)]
        self.beds = beds


@lru_cache(maxsize=8)  # every load and row of factors of a check asks for the same few
def cut_blocks(dome: Dome, cuts: int = 24, top: int | None = None, *, founded: bool = False) -> Layout:
    """The blocks of a dome with its openings and buttresses; `top` courses stand (None: all). Check the openings first.
    founded: on its footing, where it has one, whose blocks come behind all others; else the lowest bed is the last.

    Heads of openings that the standing courses do not yet close are left out: so are the courses' parts above them.
    """
    builder = _Builder(dome.design, dome, cuts, len(dome.courses) if top is None else top)
    for number, course in enumerate(builder.courses):
        builder.ring(number, course)
    for number, course in enumerate(builder.courses):
        builder.beds_under(number, course)
    for index, head in builder.heads.items():
        builder.head(index, head)
    for index in range(len(dome.design.buttresses)):
        builder.buttress(index)
    if founded:
        builder.footing()
    return Layout(
        tuple(builder.blocks),
        tuple(builder.beds),
        tuple(builder.faces),
        cuts,
        len(builder.courses),
        tuple(builder.stepped),
    )


def blocks_drawn(dome: Dome, cuts: int, top: int | None, count: int) -> Layout:
    """The blocks that `count` motions belong to: on the footing where they are too many for the wall alone."""
    bare = cut_blocks(dome, cuts, top)
    return bare if len(bare.blocks) >= count else cut_blocks(dome, cuts, top, founded=True)
