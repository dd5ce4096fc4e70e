"""Refuse what cannot be built, naming the number that would work."""

from __future__ import annotations

import itertools
import math

from shellcheck_earth.basics.errors import InputError, Problem, UnbuildableError
from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry import profile
from shellcheck_earth.geometry.courses import build_dome

__all__ = ["MOST_COURSES", "check_buildable"]

MOST_COURSES = 300
"""More courses than any dome of tubes has; a slip in the units would ask for thousands."""


def check_buildable(design: Design, where: str = "design") -> None:
    """UnbuildableError with every reason why no such dome can be built."""
    problems = [*_planes(design), *_arc(design)]
    if not problems:
        problems = _beds(design)
    if problems:
        raise UnbuildableError(problems, where)


def _length(design: Design, value: float) -> str:
    return both(value, "length", design.unit_system, 4)


def _exact(design: Design, value: float) -> str:
    """A length to copy into the file: enough digits that it is then accepted."""
    return f"{value / 0.3048:.8g} ft" if design.unit_system == "imperial" else f"{value:.8g} m"


def _planes(design: Design) -> list[Problem]:
    dome, wall = design.dome, design.wall
    problems = []
    stem = dome.springing_above_floor / wall.course_height
    if abs(stem - round(stem)) > 1e-6 * max(stem, 1.0):
        low, high = math.floor(stem) * wall.course_height, math.ceil(stem) * wall.course_height
        problems.append(
            Problem(
                "dome.springing_above_floor",
                f"a whole number of courses of {_length(design, wall.course_height)}: {_exact(design, low)} or"
                f" {_exact(design, high)}",
                _length(design, dome.springing_above_floor),
            )
        )
    if 2 * wall.edge_rounding >= wall.filled_width:
        problems.append(
            Problem(
                "wall.edge_rounding",
                f"less than half the wall, {_length(design, wall.filled_width / 2)}",
                _length(design, wall.edge_rounding),
            )
        )
    return problems


def _arc(design: Design) -> list[Problem]:
    dome, wall = design.dome, design.wall
    if dome.crown_opening >= dome.inside_diameter:
        return [
            Problem(
                "dome.crown_opening",
                f"less than the inside diameter {_length(design, dome.inside_diameter)}",
                _length(design, dome.crown_opening),
            )
        ]
    if dome.profile == "pointed" and dome.pivot_beyond_inner_face <= -dome.inside_diameter / 2:
        return [
            Problem(
                "dome.fixed_compass_pivot",
                f"a pivot past the axis, more than {_length(design, -dome.inside_diameter / 2)} beyond the inner face: "
                "the arc never closes otherwise",
                _length(design, dome.pivot_beyond_inner_face),
            )
        ]
    if dome.profile != "measured":
        closing = profile.closing_height(dome)
        if wall.course_height > 2 * closing:
            return [
                Problem(
                    "wall.course_height",
                    f"at most {_length(design, 2 * closing)}: the arc closes to the crown opening "
                    f"{_length(design, closing)} above the springing",
                    _length(design, wall.course_height),
                )
            ]
    count = profile.arc_course_count(dome, wall.course_height)
    if count > MOST_COURSES:
        return [
            Problem("wall.course_height", f"a height that gives at most {MOST_COURSES} courses", f"{count} courses")
        ]
    return []


def _beds(design: Design) -> list[Problem]:
    wall = design.wall
    dome = build_dome(design)
    if not any(course.kind == "arc" for course in dome.courses):
        return [Problem("dome", "at least one course above the springing", "none")]
    usable = wall.filled_width - 2 * wall.edge_rounding
    problems = []
    for below, above in itertools.pairwise(dome.courses):
        step = abs(above.step_in)
        if step >= usable:
            problems.append(
                Problem(
                    "dome.inner_radii" if design.dome.profile == "measured" else "wall.course_height",
                    f"courses that overlap: a step-in under {_length(design, usable)}, the width less the rounded"
                    " edges",
                    f"course {above.number} steps in {_length(design, step)} over course {below.number}",
                    _remedy(design, usable),
                )
            )
            break
    return problems


def _remedy(design: Design, usable: float) -> str:
    """The course height, or else the crown opening, at which every bed keeps some width."""
    if design.dome.profile == "measured":
        return f"lay course by course with steps under {_length(design, usable)}"
    from dataclasses import replace

    for share in range(95, 0, -5):
        # whole millimetres, so that what is named is what was tried
        height = math.floor(design.wall.course_height * share * 10) / 1000
        try:
            trial = replace(
                design,
                wall=replace(design.wall, course_height=height),
                dome=replace(design.dome, springing_above_floor=0.0),
            )
        except InputError:  # lower than any course may be
            break
        courses = build_dome(trial).courses
        if all(abs(b.step_in) < usable for b in courses) and len(courses) <= MOST_COURSES:
            return f"courses of {_exact(design, height)} would overlap"
    return "a wider crown opening or a wider tube would work"
