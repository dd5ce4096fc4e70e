"""Where loads that are handed in at one bearing find the wall, and what of them no wall can take."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import BearingLoad, Design
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.ring_loads import course_under, off_the_wall

__all__ = ["Span", "bearing_half", "bearing_load_problems", "beside_openings"]

Span = tuple[float, float]
"""Bearings [rad] between which something lies."""

MOST_HALF = math.pi / 6
"""Half the angle that a load at one bearing may take of its course at most: beyond it is a load on an arch."""


def bearing_half(load: BearingLoad, course: Course) -> float:
    """Half the angle over which a load bears on its course [rad]: its width lies along the inner face."""
    return load.width / 2 / course.inner_radius


def _length(design: Design, value: float) -> str:
    return both(value, "length", design.unit_system, 4)


def bearing_load_problems(dome: Dome) -> list[Problem]:
    """Why a load at one bearing finds no course, whatever is cut out of the wall; [] where every one does."""
    design, problems = dome.design, []
    for number, load in enumerate(design.bearing_loads, 1):
        path, course = f"bearing_load[{number}]", course_under(dome, load.height)
        off = off_the_wall(dome, load, path)
        problems += off
        if course is not None and not off and bearing_half(load, course) > MOST_HALF:
            expected = (
                f"at most {_length(design, 2 * MOST_HALF * course.inner_radius)}, a sixth of course {course.label}"
            )
            problems.append(Problem(f"{path}.width", expected, _length(design, load.width)))
    return problems


def _apart(load: Span, other: Span) -> float:
    """Least angle between two stretches of a course [rad]; negative where they overlap."""
    off = abs(math.remainder((load[0] + load[1] - other[0] - other[1]) / 2, 2 * math.pi))
    return off - (load[1] - load[0]) / 2 - (other[1] - other[0]) / 2


def beside_openings(dome: Dome, taken: Sequence[tuple[str, Mapping[int, Span]]]) -> list[Problem]:
    """Loads at one bearing that would bear in an opening, on what carries it, or on the wall that a lintel carries.
    taken: of every opening its name, and what it takes of each course (index) so."""
    design, problems = dome.design, []
    for number, load in enumerate(design.bearing_loads, 1):
        course = course_under(dome, load.height)
        if course is None:
            continue
        half = bearing_half(load, course)
        arc = load.bearing - half, load.bearing + half
        for label, courses in taken:
            there = courses.get(course.number - dome.courses[0].number)
            if there is None or _apart(arc, there) >= 0.0:
                continue
            over = [k for k, one in courses.items() if _apart(arc, one) < 0.0]
            low, high = dome.courses[min(over)].z_bottom, dome.courses[max(over)].z_top
            needed = math.degrees((there[1] - there[0]) / 2 + half)
            expected = (
                f"a place beside {label}, what carries it and what a lintel carries: a height under "
                f"{_length(design, low)} or over {_length(design, high)}, or a bearing at least "
                f"{math.ceil(needed * 10) / 10:.1f} deg from the middle of {label}"
            )
            found = f"{_length(design, load.height)} at {math.degrees(load.bearing) % 360:.1f} deg"
            problems.append(Problem(f"bearing_load[{number}].height", expected, found))
            break
    return problems
