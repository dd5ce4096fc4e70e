"""What carries the wall over an opening: a lintel, or a ring of bags laid on a form.

The ring of bags is drawn in elevation: u along the wall from the middle of the opening, z up. Its joints lie where its
outside crosses the beds of the courses, so that every course ends against one bag on either side; two bags close it at
the top. The springing of the head is taken at the nearest bed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shellcheck_earth.basics.sums import added
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome

__all__ = ["Bag", "Head", "carried", "head_ring", "lintel_course"]

LEAST_CROWN = fixed("heads.least_crown")
"""Share of a course's height that the outside of the ring must reach into it for that course to close over it."""

Place = tuple[float, float]
Joint = tuple[str, int, int, Place, Place]


@dataclass(frozen=True)
class Bag:
    """One bag: the course beside it (index), side -1 or 1, and its outline (u, z) [m]."""

    course: int
    side: int
    corners: tuple[Place, ...]

    @property
    def _twice_area(self) -> float:
        return added(a[0] * b[1] - b[0] * a[1] for a, b in self._pairs)

    @property
    def _pairs(self) -> list[tuple[Place, Place]]:
        return list(zip(self.corners, self.corners[1:] + self.corners[:1], strict=True))

    @property
    def area(self) -> float:
        return abs(self._twice_area) / 2

    @property
    def centroid(self) -> Place:
        """Of the outline [m]."""
        twice = 3 * self._twice_area
        u = added((a[0] + b[0]) * (a[0] * b[1] - b[0] * a[1]) for a, b in self._pairs) / twice
        z = added((a[1] + b[1]) * (a[0] * b[1] - b[0] * a[1]) for a, b in self._pairs) / twice
        return u, z


@dataclass(frozen=True)
class Head:
    """bags; joints (what it meets: "below", "course" or "crown"; course index; side; from; to); outline: half-width cut
    from each course (index -> m)."""

    bags: tuple[Bag, ...]
    joints: tuple[Joint, ...]
    outline: dict[int, float]


def lintel_course(dome: Dome, opening: Opening, top: int) -> int | None:
    """Index of the course the lintel lies in: the first with its bottom at or above the opening; None if not laid
    yet.
    """
    level = dome.floor + opening.sill + opening.height
    for index, course in enumerate(dome.courses[:top]):
        if course.z_bottom >= level - 1e-6:
            return index
    return None


def head_ring(dome: Dome, opening: Opening, top: int) -> Head | None:
    """The ring of bags of a pointed or round head; None for a lintel, or when the laid courses do not close over it."""
    if opening.head == "lintel":
        return None
    width, depth = opening.width, opening.head_depth
    offset = 0.0 if opening.head == "round" else width / 2
    inside = width / 2 + offset
    outside = inside + depth
    rise = math.sqrt(inside * inside - offset * offset)
    springing = dome.floor + opening.sill + opening.height - rise
    height = dome.courses[0].height
    first = max(round((springing - dome.base) / height), 1)
    if first >= top:
        return None
    springing = dome.courses[first].z_bottom
    apex = springing + math.sqrt(outside * outside - offset * offset)
    last = max((k for k, c in enumerate(dome.courses) if c.z_bottom + LEAST_CROWN * height <= apex), default=first)
    if last <= first or last >= top or last + 1 >= len(dome.courses):
        return None

    def on(z: float) -> tuple[Place, Place]:
        """Inside and outside end of the joint whose outer end lies at level z, right-hand side."""
        up = z - springing
        reach = math.sqrt(outside * outside - up * up)
        u_out = reach - offset
        u_in, z_in = inside * reach / outside - offset, springing + inside * up / outside
        if u_in < 0.0:  # past the point of a pointed head: the joint ends on the middle line
            share = offset / reach
            u_in, z_in = 0.0, springing + up * share
        return (u_in, z_in), (u_out, z)

    bags: list[Bag] = []
    joints: list[Joint] = []
    outline: dict[int, float] = {}
    for index in range(first, last + 1):
        course = dome.courses[index]
        in_low, out_low = on(course.z_bottom)
        if index < last:
            in_high, out_high = on(course.z_top)
            corners: tuple[Place, ...] = (in_low, out_low, out_high, in_high)
            outline[index] = (out_low[0] + out_high[0]) / 2
        else:
            point = (0.0, springing + rise)
            out_high = (out_low[0], course.z_top)
            corners = (in_low, out_low, out_high, (0.0, course.z_top), point)
            if in_low[0] <= 1e-9:
                corners = (in_low, out_low, out_high, (0.0, course.z_top))
            outline[index] = out_low[0]
        for side in (-1, 1):
            turned = tuple((side * u, z) for u, z in corners)
            bags.append(Bag(index, side, turned))
            joints.append(("below", index, side, (side * in_low[0], in_low[1]), (side * out_low[0], out_low[1])))
            joints.append(("course", index, side, (side * out_low[0], out_low[1]), (side * out_high[0], out_high[1])))
        if index == last:
            start = corners[-1] if len(corners) == 5 else in_low
            joints.append(("crown", index, 1, start, (0.0, course.z_top)))
    return Head(tuple(bags), tuple(joints), outline)


def carried(dome: Dome, opening: Opening) -> dict[int, float]:
    """Half the length along the inner face [m] that what carries an opening takes from each course (index): its ring of
    bags, or its lintel with both bearings. Nothing for a head that found no room.
    """
    if opening.head == "lintel":
        course = lintel_course(dome, opening, len(dome.courses))
        return {} if course is None else {course: opening.width / 2 + opening.lintel_bearing}
    head = head_ring(dome, opening, len(dome.courses))
    return {} if head is None else dict(head.outline)
