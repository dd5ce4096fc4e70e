"""Refuse what cannot be built, naming the number that would work."""

from __future__ import annotations

import itertools
import math

from shellcheck_earth.basics.errors import InputError, Problem, UnbuildableError
from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.keys import known_keys
from shellcheck_earth.design.schema import Within
from shellcheck_earth.geometry import profile
from shellcheck_earth.geometry.bearing_loads import bearing_load_problems
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.earth import earth_problems
from shellcheck_earth.geometry.ring_loads import ring_load_problems

__all__ = ["MOST_COURSES", "check_buildable"]

MOST_COURSES = 300
"""More courses than any dome of tubes has; a slip in the units would ask for thousands."""


def _course_heights() -> Within:
    found = known_keys()["wall.course_height"].within
    assert found is not None
    return found


HEIGHTS = _course_heights()
"""What the height of a course may be, planned or measured."""


def check_buildable(design: Design, where: str = "design") -> None:
    """UnbuildableError with every reason why no such dome can be built."""
    problems = [*_planes(design), *_arc(design), *_measured(design)]
    if not problems:
        problems = [*_heights(design), *_work(design)] or [
            *_beds(design),
            *_crown(design),
            *_footing(design),
        ]
    handed = design.ring_loads or design.bearing_loads or design.earth is not None
    if not problems and handed and not design.building.unfinished:
        dome = build_dome(design)
        problems = bearing_load_problems(dome) or ring_load_problems(dome) or earth_problems(dome)
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
    if wall.flat_width is not None and math.hypot(wall.filled_width, wall.course_height) > wall.flat_width:
        # The shortest way round a section so wide and so high is a rhombus: longer than the tube's (derived).
        most = math.sqrt(max(wall.flat_width**2 - wall.course_height**2, 0.0))
        problems.append(
            Problem(
                "wall.filled_width",
                f"at most {_length(design, most)}: the fabric of this flat width does not reach round a wider course of"
                f" {_length(design, wall.course_height)}",
                _length(design, wall.filled_width),
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


def _lowest(design: Design) -> int:
    dome, wall = design.dome, design.wall
    return 1 - round(dome.springing_above_floor / wall.course_height) - wall.buried_courses


def _measured(design: Design) -> list[Problem]:
    """A measured profile has to begin at a course there is, and to reach past the springing."""
    dome, lowest = design.dome, _lowest(design)
    if dome.profile != "measured":
        return []
    if dome.measured_from < lowest:
        return [
            Problem(
                "dome.measured_from",
                f"a course there is: {lowest} is the lowest, 1 the first above the springing",
                f"{dome.measured_from}",
            )
        ]
    if dome.measured_from + len(dome.inner_radii) - 1 < 1:
        return [Problem("dome.inner_radii", "at least one course above the springing", "none")]
    return []


def _heights(design: Design) -> list[Problem]:
    """Every course of a measured profile has a height that a tamped tube can have."""
    if not design.dome.course_tops:
        return []
    return [
        Problem(
            "dome.course_tops",
            f"course tops {HEIGHTS.low * 1000:.0f} mm to {HEIGHTS.high * 1000:.0f} mm above the course below",
            f"course {course.number} is {1000 * (course.z_top - course.z_bottom):.0f} mm high",
        )
        for course in build_dome(design).courses
        if not HEIGHTS.holds(course.z_top - course.z_bottom)
    ][:1]


def _work(design: Design) -> list[Problem]:
    """How far the work has come, and lists with a value a course, have to fit the courses there are."""
    building, dome = design.building, build_dome(design)
    count, top = len(dome.courses), dome.top_number
    problems = [
        Problem(path, f"at most {count} values, one a course", f"{len(values)}")
        for path, values in (("building.laid_on", building.laid_on), ("building.wetted", building.wetted))
        if len(values) > count
    ]
    standing = (building.laid or 0) - dome.courses[0].number + 1
    if not problems and len(building.laid_on) > standing:
        # A day of laying is a fact of a course that stands: of courses to come it would be a pace nobody is held to.
        expected = f"at most {max(standing, 0)} days, one a course that stands: the lowest up to building.laid"
        problems.append(Problem("building.laid_on", expected, f"{len(building.laid_on)}"))
    if building.laid is not None and building.laid > top:
        problems.append(Problem("building.laid", f"the number of a course, at most {top}", f"{building.laid}"))
    return problems


def _crown(design: Design) -> list[Problem]:
    """A measured profile that stops while a course would still fit is a dome that is not finished."""
    shape = design.dome
    if shape.profile != "measured" or design.building.unfinished:
        return []
    courses = build_dome(design).courses
    top, below = courses[-1], courses[max(len(courses) - 2, 0)]
    # Steps grow towards the crown: the next is taken to grow twice as much again, so that no whole dome is refused.
    step = max(top.step_in, 0.0)
    following = step + 2 * max(step - max(below.step_in, 0.0), 0.0)
    if top.inner_radius - following < shape.crown_opening / 2:
        return []
    return [
        Problem(
            "dome.inner_radii",
            f"courses up to the crown opening of {_length(design, shape.crown_opening)}",
            f"{top.number} courses that leave {_length(design, 2 * top.inner_radius)} open, into which at least one"
            " more fits",
            f"give the missing courses, or crown_opening = {_exact(design, 2 * top.inner_radius)} if it is to stay"
            " open, or building.unfinished = true with building.laid",
        )
    ]


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


def _footing(design: Design) -> list[Problem]:
    """A footing that is still a ring: its inner edge does not reach the axis."""
    lowest = build_dome(design).courses[0]
    most = lowest.bed_inner + lowest.bed_outer
    if design.footing is None or design.footing.width < most:
        return []
    expected = f"less than {_length(design, most)}: wider, it would be no ring"
    return [Problem("footing.width", expected, _length(design, design.footing.width))]


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
