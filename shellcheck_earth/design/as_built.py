"""What the file of a measured profile may not leave open, and what it may not say beside its radii.

A key that would be read and then ignored is refused: silence and contradiction are told, never guessed at.
"""

from __future__ import annotations

from collections.abc import Iterator

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.design.design import Wall
from shellcheck_earth.design.schema import Dome

__all__ = ["measured_faults"]


def measured_faults(table: Dome, wall: Wall) -> Iterator[Problem]:
    """Faults of [dome] in the file of a measured profile.

    `inner_radii` is often copied from a build sheet, whose first rows are the stem and buried courses: where there are
    such courses, the file has to say which course the list begins with, or every course would be shifted.
    """
    if table.fixed_compass_pivot is not None:
        yield Problem(
            "dome.fixed_compass_pivot",
            'no pivot with profile = "measured", whose inner_radii alone say where the courses stand',
            "a pivot",
        )
    stem = 0.0 if table.springing_above_floor is None else table.springing_above_floor.value
    below = wall.buried_courses + round(stem / wall.course_height)
    if below > 0 and table.measured_from is None:
        yield Problem(
            "dome.measured_from",
            "the number of the course that inner_radii begins with: 1 is the first above the springing,"
            f" {1 - below} the lowest of the {below} stem and buried courses",
            "nothing",
        )
