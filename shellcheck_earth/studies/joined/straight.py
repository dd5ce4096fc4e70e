"""A straight wall of courses with buttresses, cut into blocks; what cannot be built of it; wind and earthquake on it.

x runs along the wall from its middle, y across it (the front is +y), z up from the ground. Joints run in line up the
wall, so that no block bridges as a coil does not: where a buttress, an opening or the bearing of a lintel begins or
ends, and evenly between. Wall and buttress press on each other; they neither pull nor rub: no bond between them is
counted, and friction there would hold a wall that the buttress would have to be pressed against first.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np

from shellcheck_earth.basics.errors import Problem, UnbuildableError
from shellcheck_earth.basics.units import both
from shellcheck_earth.geometry.layout import Point
from shellcheck_earth.mechanics.blocks.interfaces import GROUND
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.studies.joined.given import WallGiven, WallOpening
from shellcheck_earth.studies.joined.solids import Exposed, Meeting, Solid, Solids

__all__ = ["LONGEST", "buttress_places", "check_wall", "straight_wall", "wind_on_wall"]

LONGEST = (2.0, 1.0, 0.5)
"""Longest blocks of the cuts, coarse to fine, in widths of the wall."""

LEAST_OVERLAP = 0.01
"""Overlaps shorter than this [m] are no contact."""

NEAR = 1e-6

ZONES = ((0.3, 3.4), (2.0, 2.1), (4.0, 1.7), (math.inf, 1.2))
"""(up to how many heights of the wall from its nearer end, net pressure coefficient) of a solid wall that stands free,
without return corners: EN 1991-1-4:2005, 7.4.1, Table 7.9, the row of walls ten times as long as high, which is the
largest (recalled, to be confirmed by the engineer)."""


def _courses(wall: WallGiven) -> int:
    return round(wall.height / wall.course_height)


def buttress_places(wall: WallGiven) -> tuple[float, ...]:
    """x of the middles of the buttresses [m]: one at each end, flush with it, and between them as evenly as no more
    than the spacing allows; () for none."""
    if wall.buttress is None:
        return ()
    reach = wall.length - wall.buttress.width
    fields = max(math.ceil(reach / wall.buttress.spacing - 1e-9), 1)
    return tuple(-reach / 2 + reach * k / fields for k in range(fields + 1))


def check_wall(wall: WallGiven, where: str) -> None:
    """UnbuildableError with every reason why the wall cannot be built as it is said, and the number that fits."""
    found = [*_heights(wall), *_row(wall), *_openings(wall)]
    if found:
        raise UnbuildableError(found, where)


def _said(wall: WallGiven, value: float) -> str:
    return both(value, "length", wall.unit_system, 4)


def _heights(wall: WallGiven) -> Iterator[Problem]:
    count = wall.height / wall.course_height
    if abs(count - round(count)) > NEAR * max(count, 1.0) or round(count) < 1:
        fits = max(round(count), 1) * wall.course_height
        yield Problem("wall.height", f"whole courses, such as {_said(wall, fits)}", _said(wall, wall.height))
    if 2 * wall.edge_rounding >= wall.filled_width:
        most = _said(wall, wall.filled_width / 2)
        yield Problem("wall.edge_rounding", f"less than half of the wall, {most}", _said(wall, wall.edge_rounding))


def _row(wall: WallGiven) -> Iterator[Problem]:
    row = wall.buttress
    if row is None:
        return
    if row.height > wall.height + NEAR:
        yield Problem(
            "wall.buttress.height", f"at most the wall's, {_said(wall, wall.height)}", _said(wall, row.height)
        )
    elif row.height < wall.course_height - NEAR:
        least = _said(wall, wall.course_height)
        yield Problem("wall.buttress.height", f"at least one course, {least}", _said(wall, row.height))
    if row.projection <= 2 * wall.edge_rounding:
        least = _said(wall, 2 * wall.edge_rounding)
        yield Problem("wall.buttress.projection", f"more than both rounded edges, {least}", _said(wall, row.projection))
    if 2 * row.width > wall.length + NEAR:
        most = _said(wall, wall.length / 2)
        yield Problem("wall.buttress.width", f"at most {most}: one stands at each end", _said(wall, row.width))
    elif row.spacing < row.width - NEAR:
        yield Problem(
            "wall.buttress.spacing", f"at least their width, {_said(wall, row.width)}", _said(wall, row.spacing)
        )


def _openings(wall: WallGiven) -> Iterator[Problem]:
    taken: list[tuple[float, float]] = []
    for number, one in enumerate(wall.openings, 1):
        path, (start, end) = f"wall.opening[{number}]", (one.from_end, one.from_end + one.width)
        low, high = start - one.lintel_bearing, end + one.lintel_bearing
        if low < -NEAR:
            yield Problem(
                f"{path}.from_end", f"at least its bearing, {_said(wall, one.lintel_bearing)}", _said(wall, start)
            )
        if high > wall.length + NEAR:
            furthest = wall.length - one.width - one.lintel_bearing
            yield Problem(f"{path}.from_end", f"at most {_said(wall, max(furthest, 0.0))}", _said(wall, start))
        top = wall.height - wall.course_height
        if one.sill + one.height > top + NEAR:
            most = _said(wall, max(top - one.sill, 0.0))
            yield Problem(f"{path}.height", f"room for a lintel: at most {most}", _said(wall, one.height))
        if any(low < other_high - NEAR and other_low < high - NEAR for other_low, other_high in taken):
            expected = "a place whose lintel, with its bearings, lies clear of the other openings'"
            yield Problem(f"{path}.from_end", expected, _said(wall, start))
        taken.append((low, high))
        for place in buttress_places(wall):
            half, at = wall.buttress.width / 2 if wall.buttress else 0.0, place + wall.length / 2
            if start < at + half - NEAR and at - half < end - NEAR:
                expected = f"a place clear of the buttress from {_said(wall, at - half)} to {_said(wall, at + half)}"
                yield Problem(f"{path}.from_end", expected, _said(wall, start))


class _Bricks:
    """Collects solids and meetings; only used inside `straight_wall`."""

    def __init__(self, wall: WallGiven, longest: float) -> None:
        self.wall, self.solids, self.meetings = wall, list[Solid](), list[Meeting]()
        self.lines = self._lines(longest * wall.filled_width)
        self.by_course: list[list[tuple[int, float, float]]] = []  # (solid, from, to)

    def _lines(self, longest: float) -> list[float]:
        """x of every joint, rising."""
        wall = self.wall
        features = {-wall.length / 2, wall.length / 2}
        for place in buttress_places(wall):
            half = wall.buttress.width / 2 if wall.buttress else 0.0
            features |= {place - half, place + half}
        for one in wall.openings:
            start = one.from_end - wall.length / 2
            ends = (start - one.lintel_bearing, start, start + one.width, start + one.width + one.lintel_bearing)
            features |= set(ends)
        ordered = [x for k, x in enumerate(sorted(features)) if k == 0 or x - sorted(features)[k - 1] > LEAST_OVERLAP]
        out = [ordered[0]]
        for a, b in itertools.pairwise(ordered):
            parts = max(math.ceil((b - a) / longest - 1e-9), 1)
            out += [a + (b - a) * k / parts for k in range(1, parts)] + [b]
        return out

    def course(self, number: int) -> None:
        """One course, with the lintels that lie in it."""
        wall = self.wall
        low, high = number * wall.course_height, (number + 1) * wall.course_height
        gaps, beams = [], []
        for one in wall.openings:
            start = one.from_end - wall.length / 2
            if min(high, one.sill + one.height) - max(low, one.sill) > NEAR:
                gaps.append((start, start + one.width))
            if number == _lintel_course(wall, one):
                beams.append((start - one.lintel_bearing, start + one.width + one.lintel_bearing))
        members = [(self._block("lintel", number, a, b), a, b) for a, b in beams]
        for a, b in itertools.pairwise(self.lines):
            middle = (a + b) / 2
            if not any(start < middle < end for start, end in (*gaps, *beams)):
                members.append((self._block("wall", number, a, b), a, b))
        members.sort(key=lambda member: member[1])
        for (i, _, end), (j, start, _) in itertools.pairwise(members):
            if abs(end - start) < NEAR:
                half = wall.filled_width / 2
                lower, upper = (((end, -half, z), (end, half, z)) for z in (low, high))
                self.meetings.append(Meeting(j, i, lower, upper, "head joint", thin_along=True))
        self.by_course.append(members)

    def _block(self, kind: str, number: int, a: float, b: float) -> int:
        wall, half = self.wall, self.wall.filled_width / 2
        low, high = number * wall.course_height, (number + 1) * wall.course_height
        return self._add(f"{kind}, course {number + 1}", (a, b), (-half, half), (low, high), wind=low > -NEAR)

    def _add(
        self,
        label: str,
        along: tuple[float, float],
        across: tuple[float, float],
        up: tuple[float, float],
        *,
        wind: bool,
    ) -> int:
        (a, b), (c, d), (low, high) = along, across, up
        corners: tuple[Point, ...] = tuple((x, y, z) for z in (low, high) for x, y in ((a, c), (b, c), (b, d), (a, d)))
        centre = ((a + b) / 2, (c + d) / 2, (low + high) / 2)
        area = (b - a) * (high - low)
        exposed = (Exposed((0.0, area, 0.0), (centre[0], d, centre[2])),) if wind else ()
        self.solids.append(Solid(label, corners, area * (d - c), centre, exposed))
        return len(self.solids) - 1

    def beds(self, number: int) -> None:
        """Those under one course, counted from the lowest."""
        wall, edge = self.wall, self.wall.filled_width / 2 - self.wall.edge_rounding
        level = (number - wall.buried_courses) * wall.course_height
        below = self.by_course[number - 1] if number else [(GROUND, -math.inf, math.inf)]
        for i, a, b in self.by_course[number]:
            for j, c, d in below:
                start, end = max(a, c), min(b, d)
                if end - start > LEAST_OVERLAP:
                    first, second = (((start, y, level), (end, y, level)) for y in (-edge, edge))
                    self.meetings.append(Meeting(i, j, first, second, "ground" if j == GROUND else "bed"))

    def buttress(self, place: float, side: float) -> None:
        """Its courses, each lying on the one below and pressed against the wall; side: 1 for the front, -1."""
        wall, row = self.wall, self.wall.buttress
        assert row is not None
        a, b = place - row.width / 2, place + row.width / 2
        near, far = side * wall.filled_width / 2, side * (wall.filled_width / 2 + row.projection)
        edges = (near + side * wall.edge_rounding, far - side * wall.edge_rounding)
        below = GROUND
        for index, members in enumerate(self.by_course):
            number = index - wall.buried_courses
            low, high = number * wall.course_height, (number + 1) * wall.course_height
            if high > row.height + NEAR:
                break
            across = (min(near, far), max(near, far))
            this = self._add(f"buttress, course {number + 1}", (a, b), across, (low, high), wind=False)
            first, second = (((a, y, low), (b, y, low)) for y in edges)
            self.meetings.append(Meeting(this, below, first, second, "ground" if below == GROUND else "buttress bed"))
            for i, c, d in members:
                start, end = max(a, c), min(b, d)
                if end - start > LEAST_OVERLAP:
                    lower, upper = (((start, near, z), (end, near, z)) for z in (low, high))
                    self.meetings.append(Meeting(this, i, lower, upper, "buttress", thin_along=True, smooth=True))
            below = this


def _lintel_course(wall: WallGiven, opening: WallOpening) -> int:
    """Number, counted from the ground, of the course that its lintel lies in."""
    return math.ceil((opening.sill + opening.height) / wall.course_height - NEAR)


def straight_wall(wall: WallGiven, longest: float) -> Solids:
    """The wall with its buttresses; longest: length of a block, in widths of the wall. Check the wall first."""
    bricks = _Bricks(wall, longest)
    for number in range(-wall.buried_courses, _courses(wall)):
        bricks.course(number)
    for number in range(len(bricks.by_course)):
        bricks.beds(number)
    sides = {"front": (1.0,), "back": (-1.0,), "both": (1.0, -1.0)}[wall.buttress.side] if wall.buttress else ()
    for place in buttress_places(wall):
        for side in sides:
            bricks.buttress(place, side)
    return Solids(tuple(bricks.solids), tuple(bricks.meetings), wall.filled_width)


def wind_on_wall(wall: WallGiven, of: Solids, side: float) -> Floats:
    """(n, 6) [kN, kN m] of the stated pressure, towards the front (side 1) or the back (-1): the net coefficient of a
    wall that stands free (EN 1991-1-4, Table 7.9, recalled), of a block's end nearer to an end of the wall."""
    out = np.zeros((len(of.solids), 6))
    for k, solid in enumerate(of.solids):
        ends = [abs(x) for x, _, _ in solid.corners]
        away = (wall.length / 2 - max(ends)) / wall.height
        for face in solid.exposed:
            out[k, 1] += side * wall.wind_pressure * _coefficient(away) * face.outward[1]
    return out


def _coefficient(away: float) -> float:
    """away: from the nearer end, in heights of the wall."""
    return next(value for to, value in ZONES if away < to + NEAR)
