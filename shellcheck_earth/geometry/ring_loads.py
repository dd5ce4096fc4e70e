"""Where loads that are handed into a course all around find the wall, and what of them no wall can take."""

from __future__ import annotations

import math

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import BearingLoad, Design, RingLoad
from shellcheck_earth.geometry.courses import Course, Dome

__all__ = ["MOST_STATES", "course_under", "off_the_wall", "ring_load_problems"]

NEAR = 1e-9
"""Levels closer than this are the same [m]."""

MOST_STATES = 36
"""States of all ring loads of a design together that are asked at most: each is a whole set of finished cases."""

MOST_BESIDE_EARTH = 8
"""The same where earth lies against the wall: each is asked with every state of that."""

LIFTED = 0.5
"""Share of the courses above a bed, as light as dry fill, that uplift may take off it at most (proposed): a bed that
nothing presses on any more holds by nothing that is computed here."""

GRAVITY = 9.80665e-3


def course_under(dome: Dome, height: float) -> Course | None:
    """The course that takes what acts at a height [m above the springing]: the lowest whose top is not under it; a
    height on a bed belongs to the course below. None off the wall, or in the ground."""
    if height < max(dome.base, dome.ground) - NEAR:
        return None
    return next((course for course in dome.courses if course.z_top >= height - NEAR), None)


def off_the_wall(dome: Dome, load: RingLoad | BearingLoad, path: str) -> list[Problem]:
    """Why what is handed in acts on no course of the wall; [] where it does."""
    design = dome.design
    if course_under(dome, load.height) is None:
        low, high = (_length(design, end) for end in (max(dome.base, dome.ground), dome.top))
        expected = f"a height on the wall above the springing, from {low} to {high}"
        return [Problem(f"{path}.height", expected, _length(design, load.height))]
    if load.from_inner_face[1] > design.wall.filled_width:
        expected = f"at most the width of the wall, {_length(design, design.wall.filled_width)}"
        return [Problem(f"{path}.from_inner_face", expected, _length(design, load.from_inner_face[1]))]
    return []


def _ends(span: tuple[float, float]) -> int:
    """How many ends of a span may have to be asked: two of one number too, for rows of factors may part them."""
    return 1 if span == (0.0, 0.0) else 2


def _states(load: RingLoad | BearingLoad) -> int:
    places = 2 if load.from_inner_face[0] < load.from_inner_face[1] and any(load.weight) else 1
    return 1 + places * _ends(load.weight) * _ends(load.thrust)


def _length(design: Design, value: float) -> str:
    return both(value, "length", design.unit_system, 4)


def _lifted(dome: Dome) -> list[Problem]:
    """Uplift at or above a course against what stands there; of dry fill without plaster, the lightest there is. That
    at one bearing counts on every radian, as the weight on the beds that hold its wire is lowered by it."""
    design, problems = dome.design, []
    own = [
        math.pi * course.height * (course.outer_radius**2 - course.inner_radius**2)
        * design.fill_of(course.number).dry_density * GRAVITY
        for course in dome.courses
    ]  # fmt: skip
    up = {index: 0.0 for index in range(len(dome.courses))}
    loads: list[tuple[str, RingLoad | BearingLoad, float]] = [
        *((f"ring_load[{k}]", one, 1.0) for k, one in enumerate(design.ring_loads, 1)),
        *((f"bearing_load[{k}]", one, 2 * math.pi) for k, one in enumerate(design.bearing_loads, 1)),
    ]
    for _, load, times in loads:
        course = course_under(dome, load.height)
        if course is not None:
            up[course.number - dome.courses[0].number] += times * max(-load.weight[0], 0.0)
    for path, load, times in loads:
        course = course_under(dome, load.height)
        if course is None or load.weight[0] >= 0.0:
            continue
        index = course.number - dome.courses[0].number
        most, lifts = LIFTED * math.fsum(own[index:]), math.fsum(up[at] for at in range(index, len(own)))
        if lifts > most:
            shown, found = (both(one / times, "force", design.unit_system) for one in (most, lifts))
            expected = f"at most {shown} of uplift on the courses from there up, half of their dry weight"
            problems.append(
                Problem(
                    f"{path}.weight",
                    expected + (" on a radian" if times > 1.0 else ""),
                    found,
                    "tie the cap down to lower courses, and give the uplift there",
                )
            )
    return problems


def ring_load_problems(dome: Dome) -> list[Problem]:
    """Why what is handed in finds no wall to take it; [] where every load does."""
    design, problems = dome.design, []
    for number, load in enumerate(design.ring_loads, 1):
        problems += off_the_wall(dome, load, f"ring_load[{number}]")
    loads: tuple[RingLoad | BearingLoad, ...] = (*design.ring_loads, *design.bearing_loads)
    count = math.prod(map(_states, loads))
    most = MOST_STATES if design.earth is None else MOST_BESIDE_EARTH
    if count > most:
        expected = f"loads with at most {most} states of their ranges together: fewer loads, or fewer ranges"
        problems.append(Problem("ring_load" if design.ring_loads else "bearing_load", expected, f"{count}"))
    return problems or _lifted(dome)
