"""Where the crew stands: on the top ring of every stage, or up to the height from which it works off a scaffold.

Of one person on one side alone: a crew's weight all around is asked of every ring, for it is tamped, leaned on and
filled from buckets wherever people stand.
"""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Course, Dome

__all__ = ["highest_stood_on", "stood_on"]

NEAR = 1e-6
"""A course whose top lies this near to the height [m] is one that someone stands on."""


def stood_on(dome: Dome, course: Course) -> bool:
    """Whether the crew stands on the top of a course: it has a weight, and no scaffold is said to take its place."""
    building = dome.design.building
    if building.worker <= 0.0:
        return False
    return building.scaffold_above is None or course.z_top - dome.floor <= building.scaffold_above + NEAR


def highest_stood_on(dome: Dome) -> int | None:
    """Number of the highest course that stands now or is still to come on which the crew stands; None where it stands
    on none. (Courses up to the springing end no stage.)"""
    now = dome.design.building.laid or 1
    return max(
        (c.number for c in dome.courses if c.kind == "arc" and c.number >= now and stood_on(dome, c)), default=None
    )
