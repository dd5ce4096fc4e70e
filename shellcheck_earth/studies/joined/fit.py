"""What does not fit of two domes and a passage between them, and the number that does."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import both
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.openings import course_cuts, levels
from shellcheck_earth.studies.joined.given import Pair
from shellcheck_earth.studies.joined.passage import End, clear_height, half_vault

__all__ = ["misfits", "too_high", "widest_of"]

LONGEST = 3.0
"""Longest passage [m]: a course of its walls is one tube from end to end, and one that were longer would bridge in the
model what it does not on site (proposed)."""

SHORTEST = 0.1
"""Shortest passage [m]."""

MOST_ALONG = math.radians(45.0)
"""The walls of a passage meet a dome at no more than this from its axis [rad]: further out they would only graze it."""

SAME_DOOR = math.radians(0.5)
"""A door faces the passage within this [rad]."""

MOST_RUN_ON = 1.2
"""A bag of the last arch runs on to the dome by no more than this [m]: more is a roof of its own (proposed)."""

NEAR = 1e-6


def widest_of(dome: Dome) -> float:
    """Largest outer radius of a dome [m]."""
    return max(course.outer_radius for course in dome.courses)


def misfits(given: Pair, domes: tuple[Dome, Dome]) -> list[Problem]:
    """Everything that keeps them from being set out; what a later look depends on comes alone."""
    found = [*_site(given), *_doors(given, domes), *_levels(given, domes)]
    return found or [*_long_enough(given, domes), *_wide_enough(given, domes), *_section(given, domes)]


def _said(given: Pair, value: float) -> str:
    return both(value, "length", given.unit_system, 4)


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle) % 360:.1f} deg"


def _site(given: Pair) -> Iterator[Problem]:
    """One place has one wind, one earthquake, one snow; and it has to be said."""
    sites = [design.site for design in given.designs]
    for name in ("wind_pressure", "earthquake", "snow", "wind_basis", "earthquake_basis"):
        unsaid = [k for k, site in enumerate(sites, 1) if name in site.not_stated]
        for k in unsaid:
            yield Problem(f"dome[{k}].file", f'site.{name}: a value, or "none" with its reason', "nothing")
        values = [getattr(site, name) for site in sites]
        if not unsaid and values[0] != values[1]:
            yield Problem("dome[2].file", f"site.{name} as in dome[1]: {values[0]}", f"{values[1]}")


def _door(given: Pair, domes: tuple[Dome, Dome], index: int) -> int | None:
    """Place of the opening that faces the passage."""
    found = [
        k
        for k, opening in enumerate(domes[index].design.openings)
        if abs(math.remainder(opening.bearing - given.facing[index], 2 * math.pi)) <= SAME_DOOR
        and opening.kind == "door"
    ]
    return found[0] if found else None


def _doors(given: Pair, domes: tuple[Dome, Dome]) -> Iterator[Problem]:
    for index, dome in enumerate(domes):
        if _door(given, domes, index) is None:
            known = [_degrees(o.bearing) for o in dome.design.openings if o.kind == "door"]
            expected = f"the bearing of a door: {' or '.join(known)}" if known else "a dome with a door: it has none"
            yield Problem(f"dome[{index + 1}].facing", expected, _degrees(given.facing[index]))
    for k, facing in enumerate(given.facing, 1):
        for number, buttress in enumerate(domes[k - 1].design.buttresses, 1):
            if abs(math.remainder(buttress.bearing - facing, 2 * math.pi)) < MOST_ALONG:
                expected = "no buttress within 45 deg of the passage"
                yield Problem(f"dome[{k}].file", expected, f"buttress {number} at {_degrees(buttress.bearing)}")


def _levels(given: Pair, domes: tuple[Dome, Dome]) -> Iterator[Problem]:
    """The floor of the passage runs level from door to door."""
    above = [dome.floor - dome.ground for dome in domes]
    if abs(above[0] - above[1]) > NEAR:
        expected = f"dome.floor_above_ground as in dome[1]: {_said(given, above[0])}"
        yield Problem("dome[2].file", expected, _said(given, above[1]))
    doors = [_door(given, domes, index) for index in (0, 1)]
    if None not in doors:
        sills = [domes[k].design.openings[door or 0].sill for k, door in enumerate(doors)]
        if abs(sills[0] - sills[1]) > NEAR:
            expected = f"a sill of the door as in dome[1]: {_said(given, sills[0])}"
            yield Problem("dome[2].file", expected, _said(given, sills[1]))


def _long_enough(given: Pair, domes: tuple[Dome, Dome]) -> Iterator[Problem]:
    passage, widest = given.passage, widest_of(domes[0]) + widest_of(domes[1])
    between = passage.between_axes
    if between is None:
        if passage.length is not None and passage.length > LONGEST + NEAR:
            yield Problem("passage.length", f"at most {_said(given, LONGEST)}", _said(given, passage.length))
    elif between < widest + SHORTEST - NEAR:
        expected = f"at least {_said(given, widest + SHORTEST)}: nearer the domes overlap, or leave no passage"
        yield Problem("passage.between_axes", expected, _said(given, between))
    elif between > widest + LONGEST + NEAR:
        yield Problem("passage.between_axes", f"at most {_said(given, widest + LONGEST)}", _said(given, between))


def _wide_enough(given: Pair, domes: tuple[Dome, Dome]) -> Iterator[Problem]:
    """Its walls stand against the jambs: beside the door, short of the next opening and of where they would graze."""
    passage = given.passage
    for index, dome in enumerate(domes):
        door = _door(given, domes, index)
        if door is None:
            continue
        width = dome.design.openings[door].width
        if passage.width < width - NEAR:
            expected = f"at least the door of dome[{index + 1}], {_said(given, width)}"
            yield Problem("passage.width", expected, _said(given, passage.width))
        most = 2 * (_jamb(given, dome, index, door) - passage.filled_width)
        if passage.width > most + NEAR:
            if most < width:
                expected = f"walls that the jamb of dome[{index + 1}] has room for beside its door: none have"
            else:
                expected = f"at most {_said(given, most)}, for the jamb of dome[{index + 1}]"
            yield Problem("passage.width", expected, _said(given, passage.width))


def _jamb(given: Pair, dome: Dome, index: int, door: int) -> float:
    """How far from its axis the passage may reach along y against a dome [m]."""
    low, high = -dome.floor, clear_height(given.passage) + given.passage.vault_depth
    most = MOST_ALONG
    for course in dome.courses:
        if course.z_bottom - dome.floor > high or course.z_top < -low:
            continue
        for other, (start, end) in course_cuts(dome, course):
            if other != door:
                offs = [abs(math.remainder(b - given.facing[index], 2 * math.pi)) for b in (start, end)]
                most = min(most, *offs)
    lowest = dome.course(min(max(1, dome.courses[0].number), dome.courses[-1].number))
    return lowest.outer_radius * math.sin(most)


def _section(given: Pair, domes: tuple[Dome, Dome]) -> Iterator[Problem]:
    passage = given.passage
    count = passage.springing / passage.course_height
    if abs(count - round(count)) > NEAR * max(count, 1.0) or round(count) < 1:
        fits = max(round(count), 1) * passage.course_height
        yield Problem(
            "passage.springing", f"whole courses, such as {_said(given, fits)}", _said(given, passage.springing)
        )
    if passage.vault_depth > passage.filled_width + NEAR:
        most = _said(given, passage.filled_width)
        yield Problem(
            "passage.vault_depth", f"at most the walls it stands on, {most}", _said(given, passage.vault_depth)
        )
    least = min(passage.vault_depth, passage.filled_width)
    if 2 * passage.edge_rounding >= least:
        expected = f"less than half of walls and vault, {_said(given, least / 2)}"
        yield Problem("passage.edge_rounding", expected, _said(given, passage.edge_rounding))
    for index, dome in enumerate(domes):
        door = _door(given, domes, index)
        top = 0.0 if door is None else levels(dome, dome.design.openings[door])[1] - dome.floor
        if clear_height(passage) < top - NEAR:
            more = passage.springing + top - clear_height(passage)
            fits = math.ceil(more / passage.course_height - NEAR) * passage.course_height
            expected = f"a vault over the door of dome[{index + 1}]: at least {_said(given, fits)}"
            yield Problem("passage.springing", expected, _said(given, passage.springing))
        base = dome.base - dome.floor
        if -passage.buried_courses * passage.course_height < base - NEAR:
            deepest = math.floor(-base / passage.course_height + NEAR)
            expected = f"a base no deeper than that of dome[{index + 1}]: at most {deepest}"
            yield Problem("passage.buried_courses", expected, f"{passage.buried_courses}")


def too_high(given: Pair, ends: tuple[End, End]) -> Iterator[Problem]:
    """Its vault has to end squarely against both domes, at no more than MOST_RUN_ON from its last whole arch."""
    found = clear_height(given.passage) + given.passage.vault_depth
    for index, end in enumerate(ends):
        widest = widest_of(end.dome)
        for corners, _ in half_vault(given.passage, 1):
            reach = max(y for y, _ in corners)
            course = end.course(min(z for _, z in corners), max(z for _, z in corners))
            if course is None or not _meets(course, reach, widest):
                top = max((c.z_top - end.dome.floor for c in end.dome.courses if _meets(c, reach, widest)), default=0.0)
                expected = f"a vault that ends below {_said(given, top)}, where dome[{index + 1}] draws in from it"
                yield Problem("passage.springing", expected, _said(given, found))
                break


def _meets(course: Course, reach: float, widest: float) -> bool:
    """Whether a bag that reaches so far from the middle meets the face of a course squarely, and near enough."""
    if course.outer_radius * math.sin(MOST_ALONG) < reach:
        return False
    return widest - math.sqrt(course.outer_radius**2 - reach * reach) <= MOST_RUN_ON
