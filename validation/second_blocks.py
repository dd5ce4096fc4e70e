"""Domes with openings cut into pieces a second time, for `second_block_programme`: own geometry, own contacts.

Nothing of the tool's block code is used; the mechanical model is the one that DEVELOPERS.md states (courses cut in line
at meridians that start from the openings, openings and heads of bags cut out of them, every face thinned by a reserve).
Units: m, kN.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np

__all__ = ["BEARING", "CUTS", "DEPTH", "Assembly", "Hole", "Small", "Touch", "Vec", "place"]

CUTS = 12
DEPTH, CROWN_SHARE, SLIVER, LEAST, BEARING, LINE = 0.25, 0.35, 0.4, 0.01, 0.30, 0.10
"""Depth of a ring of bags [m], share of a course its outside must reach into, least piece of a cut, least overlap [m],
bearing of a lintel [m], meridians that are one [m]: the rules of DEVELOPERS.md."""

Vec = np.ndarray


@dataclass(frozen=True)
class Hole:
    bearing: float
    sill: float
    width: float
    height: float
    head: Literal["pointed", "round", "lintel"]


@dataclass(frozen=True)
class Small:
    """A dome on its springing plane: inside diameter, filled width, course height, crown opening, edge rounding [m]."""

    diameter: float
    width: float
    height: float
    friction: float
    holes: tuple[Hole, ...]
    crown: float = 0.30
    rounding: float = 0.03


@dataclass
class _Piece:
    course: int
    start: float
    end: float
    weight: float
    centre: Vec


@dataclass(frozen=True)
class Touch:
    """A face: index of the upper and the lower piece (-1: ground), its two edges (2, 3), friction, whether a bed."""

    upper: int
    lower: int
    edges: tuple[Vec, Vec]
    friction: float


def place(r: float, bearing: float, z: float) -> Vec:
    return np.array([r * math.sin(bearing), r * math.cos(bearing), z])


class Assembly:
    def __init__(self, dome: Small, q: float, unit_weight: float) -> None:
        self.d, self.q, self.gamma = dome, q, unit_weight
        swing, off = dome.diameter + dome.width, dome.diameter / 2 + dome.width
        self.r: list[float] = []
        while (z := (len(self.r) + 0.5) * dome.height) < swing and math.sqrt(swing**2 - z**2) - off >= dome.crown / 2:
            self.r.append(math.sqrt(swing**2 - z**2) - off)
        self.pieces: list[_Piece] = []
        self.touches: list[Touch] = []
        self.rows: list[list[int]] = []
        self.side: dict[tuple[int, int, int], int] = {}
        self.lines: list[float] = []
        self.arcs = {k: arc for k, hole in enumerate(dome.holes) if (arc := self._arc(hole)) is not None}
        self.lines = self._lines()
        for course in range(len(self.r)):
            self._ring(course)
        for course in range(len(self.r)):
            self._beds(course)
        for k in self.arcs:
            self._bags(k)

    # -- geometry ---------------------------------------------------------------------------------------------------

    def _half(self, hole: Hole, z: float) -> float:
        """Half-width at a level inside the hole."""
        w, top = hole.width, hole.sill + hole.height
        if hole.head == "lintel":
            return w / 2
        full = w / 2 if hole.head == "round" else w * math.sqrt(3) / 2
        rise = min(full, hole.height)
        up = max(z - (top - rise), 0.0) * full / rise
        if hole.head == "round":
            return math.sqrt(max(w * w / 4 - up * up, 0.0))
        return max(math.sqrt(max(w * w - up * up, 0.0)) - w / 2, 0.0)

    def _arc(self, hole: Hole) -> tuple[float, float, float, int, int] | None:
        """(offset, inside radius, springing level, first course, last course) of a ring of bags."""
        if hole.head == "lintel":
            return None
        off = 0.0 if hole.head == "round" else hole.width / 2
        inside, h = hole.width / 2 + off, self.d.height
        first = max(round((hole.sill + hole.height - math.sqrt(inside**2 - off**2)) / h), 1)
        apex = first * h + math.sqrt((inside + DEPTH) ** 2 - off**2)
        last = max(k for k in range(len(self.r)) if k * h + CROWN_SHARE * h <= apex)
        return (off, inside, first * h, first, last) if first < last < len(self.r) - 1 else None

    def _ends(self, k: int, z: float) -> tuple[tuple[float, float], tuple[float, float]]:
        """Inner and outer end (u, z) of the joint of ring k whose outer end lies at a level."""
        off, inside, spring, *_ = self.arcs[k]
        outside, up = inside + DEPTH, z - spring
        run = math.sqrt(outside**2 - up**2)
        u, v = inside * run / outside - off, inside * up / outside
        return ((u, spring + v) if u >= 0 else (0.0, spring + up * off / run)), (run - off, z)

    def _gaps(self, course: int) -> list[tuple[float, float, int, bool]]:
        """(start, end, hole, is a lintel) around a course, start in [0, 2 pi)."""
        low, h, out = course * self.d.height, self.d.height, []
        for k, hole in enumerate(self.d.holes):
            half = -1.0
            if k in self.arcs and self.arcs[k][3] <= course <= self.arcs[k][4]:
                top = course == self.arcs[k][4]
                outer = [self._ends(k, low)[1][0], self._ends(k, low if top else low + h)[1][0]]
                half = sum(outer) / 2 / self.r[course]
            elif min(low + h, hole.sill + hole.height) - max(low, hole.sill) > 1e-6:
                half = math.asin(min(self._half(hole, max(low, hole.sill)) / self.r[course], 1.0))
            lintel = hole.head == "lintel" and course == math.ceil((hole.sill + hole.height) / h - 1e-6)
            if lintel:
                half = (hole.width / 2 + BEARING) / self.r[course]
            if half > 1e-6:
                start = (hole.bearing - half) % (2 * math.pi)
                out.append((start, start + 2 * half, k, lintel))
        return sorted(out)

    def _reach(self, k: int) -> float:
        """Half the widest angle that a hole or its ring of bags takes out of a course."""
        hole, found = self.d.holes[k], [0.0]
        for course, r in enumerate(self.r):
            low = course * self.d.height
            if min(low + self.d.height, hole.sill + hole.height) - max(low, hole.sill) > 1e-6:
                found.append(math.asin(min(self._half(hole, max(low, hole.sill)) / r, 1.0)))
            if k in self.arcs and self.arcs[k][3] <= course <= self.arcs[k][4]:
                up = low if course == self.arcs[k][4] else low + self.d.height
                found.append((self._ends(k, low)[1][0] + self._ends(k, up)[1][0]) / 2 / r)
        return max(found)

    def _lines(self) -> list[float]:
        """Meridians: centre lines first, then jambs, those within LINE of one another once; fields divided evenly."""
        whole, wanted = 2 * math.pi, [hole.bearing for hole in self.d.holes]
        for k, hole in enumerate(self.d.holes):
            wanted += [hole.bearing - self._reach(k), hole.bearing + self._reach(k)]
        kept: list[float] = []
        for line in wanted:
            if all(min((line - one) % whole, (one - line) % whole) * max(self.r) > LINE for one in kept):
                kept.append(line)
        kept = sorted(line % whole for line in kept)
        out = []
        for a, b in pairwise([*kept, kept[0] + whole]):
            parts = max(math.ceil((b - a) * CUTS / whole - 0.5 - 1e-9), 1)
            out += [(a + (b - a) * n / parts) % whole for n in range(parts)]
        return sorted(out)

    def _cut(self, start: float, end: float) -> list[tuple[float, float]]:
        step = 2 * math.pi / CUTS
        inner = sorted(
            line + 2 * math.pi * turn
            for line in self.lines
            for turn in range(3)
            if start + 1e-12 < line + 2 * math.pi * turn < end - 1e-12
        )
        lines = [start, *inner, end]
        if len(lines) > 2 and lines[1] - lines[0] < SLIVER * step:
            lines.pop(1)
        if len(lines) > 2 and lines[-1] - lines[-2] < SLIVER * step:
            lines.pop(-2)
        return list(pairwise(lines))

    def _thin(self, ends: Vec) -> Vec:
        """A reserve leaves 1/q of a face's edge, about its middle."""
        middle = ends.mean(axis=0)
        return np.asarray(middle + (ends - middle) / self.q)

    def _sector(self, course: int, start: float, end: float) -> int:
        a, b, h = self.r[course], self.r[course] + self.d.width, self.d.height
        half = (end - start) / 2
        volume = h * (b * b - a * a) / 2 * 2 * half
        x = 2 / 3 * (b**3 - a**3) / (b * b - a * a) * math.sin(half) / half
        centre = place(x, (start + end) / 2, (course + 0.5) * h)
        self.pieces.append(_Piece(course, start, end, volume * self.gamma, centre))
        return len(self.pieces) - 1

    def _ring(self, course: int) -> None:
        gaps, row = self._gaps(course), []
        if not gaps:
            row = [self._sector(course, a, b) for a, b in self._cut(self.lines[0], self.lines[0] + 2 * math.pi)]
        for i, (start, end, k, lintel) in enumerate(gaps):
            if lintel:
                row.append(self._sector(course, start, end))
            after = gaps[(i + 1) % len(gaps)]
            stop = after[0] + (2 * math.pi if i == len(gaps) - 1 else 0.0)
            run = [self._sector(course, a, b) for a, b in self._cut(end, stop)]
            if not lintel:
                self.side[k, course, 1] = run[0]
            if not after[3]:
                self.side[after[2], course, -1] = run[-1]
            row += run
        self.rows.append(row)
        if course:
            for i in row:
                for j in row:
                    turn = (self.pieces[j].start - self.pieces[i].end + math.pi) % (2 * math.pi) - math.pi
                    if i != j and abs(turn) < 1e-9:
                        self._upright(course, j, i, self.pieces[i].end)

    def _upright(self, course: int, upper: int, lower: int, bearing: float) -> None:
        a, b, low, h = self.r[course], self.r[course] + self.d.width, course * self.d.height, self.d.height
        edges = [self._thin(np.array([place(a, bearing, z), place(b, bearing, z)])) for z in (low, low + h)]
        self.touches.append(Touch(upper, lower, (edges[0], edges[1]), self.d.friction / self.q))

    def _beds(self, course: int) -> None:
        for i in self.rows[course]:
            if course == 0:
                self._bed(course, i, -1, self.pieces[i].start, self.pieces[i].end)
            for j in self.rows[course - 1] if course else ():
                self._lap(course, i, j, self.pieces[j].start, self.pieces[j].end)

    def _lap(self, course: int, i: int, j: int, low: float, high: float) -> None:
        for turn in (-2 * math.pi, 0.0, 2 * math.pi):
            start, end = max(self.pieces[i].start, low + turn), min(self.pieces[i].end, high + turn)
            if (end - start) * (max(self.r[course], self.r[course - 1]) + self.d.rounding) > LEAST:
                self._bed(course, i, j, start, end)

    def _bed(self, course: int, i: int, j: int, start: float, end: float) -> None:
        near, t = self.r[max(course - 1, 0)], self.d.width
        a, b = max(self.r[course], near) + self.d.rounding, min(self.r[course], near) + t - self.d.rounding
        half, turn, middle = (end - start) / 2, (start + end) / 2, (a + b) / 2
        a, b = middle - (middle - a) / self.q, (middle + (b - middle) / self.q) * math.cos(half)
        if b - a < 1e-4:
            return
        out, along = place(1.0, turn, 0.0), np.array([math.cos(turn), -math.sin(turn), 0.0])
        level, reach = np.array([0.0, 0.0, course * self.d.height]), a * math.tan(half)
        edges = [np.array([out * x - along * reach + level, out * x + along * reach + level]) for x in (a, b)]
        share = math.sin(half) / half
        self.touches.append(Touch(i, j, (edges[0], edges[1]), self.d.friction / self.q * share))

    def _bags(self, k: int) -> None:
        off, inside, spring, first, last = self.arcs[k]
        hole, h, made = self.d.holes[k], self.d.height, {}
        for course in range(first, last + 1):
            r, z0, z1 = self.r[course], course * h, (course + 1) * h
            (ui, zi), (uo, _) = self._ends(k, z0)
            if course < last:
                (ui1, zi1), (uo1, _) = self._ends(k, z1)
                outline = [(ui, zi), (uo, z0), (uo1, z1), (ui1, zi1)]
            else:
                uo1 = uo
                outline = [(ui, zi), (uo, z0), (uo, z1), (0.0, z1)]
                if ui > 1e-9:
                    outline.append((0.0, spring + math.sqrt(inside**2 - off**2)))
            for s in (-1, 1):
                made[course, s] = self._bag(course, hole.bearing, [(s * u, z) for u, z in outline])
            for s in (-1, 1):
                below = made.get((course - 1, s), self.side.get((k, course - 1, s)))
                radii = (max(r, self.r[course - 1]), min(r, self.r[course - 1]) + self.d.width)
                self._leaning(course, hole.bearing, made[course, s], below, [(s * ui, zi), (s * uo, z0)], radii)
                beside, own = self.side.get((k, course, s)), (r, r + self.d.width)
                self._leaning(course, hole.bearing, made[course, s], beside, [(s * uo, z0), (s * uo1, z1)], own)
            if course == last:
                own = (r, r + self.d.width)
                foot = outline[-1] if len(outline) == 5 else outline[0]
                self._leaning(course, hole.bearing, made[course, 1], made[course, -1], [foot, (0.0, z1)], own)
        for i in self.rows[last + 1] if last + 1 < len(self.rows) else ():
            reach = max(abs(u) for u, _ in outline) / self.r[last]
            self._lap(last + 1, i, made[last, -1], hole.bearing - reach, hole.bearing)
            self._lap(last + 1, i, made[last, 1], hole.bearing, hole.bearing + reach)

    def _bag(self, course: int, bearing: float, outline: list[tuple[float, float]]) -> int:
        """A prism through the wall; its area and centroid by triangles from the first corner."""
        area, moment = 0.0, np.zeros(2)
        a = np.array(outline[0])
        for b, c in pairwise([np.array(p) for p in outline[1:]]):
            one = ((b - a)[0] * (c - a)[1] - (b - a)[1] * (c - a)[0]) / 2
            area, moment = area + one, moment + one * (a + b + c) / 3
        u, z = moment / area
        r, middle = self.r[course], self.r[course] + self.d.width / 2
        centre, weight = place(middle, bearing + u / r, z), abs(area) * self.d.width * middle / r * self.gamma
        self.pieces.append(_Piece(course, 0.0, 0.0, weight, centre))
        return len(self.pieces) - 1

    def _leaning(
        self, course: int, bearing: float, upper: int, lower: int | None, ends: Any, radii: tuple[float, float]
    ) -> None:
        if lower is not None:
            edges = [self._thin(np.array([place(x, bearing + u / self.r[course], z) for x in radii])) for u, z in ends]
            self.touches.append(Touch(upper, lower, (edges[0], edges[1]), self.d.friction / self.q))
