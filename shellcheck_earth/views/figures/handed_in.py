"""What is handed into a ring all around: arrows on both sides of the section, a letter at each load, and under the
drawing, where no words can cross, what the letter stands for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.design import Design, RingLoad
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.views.figures.letters import LEAST_SIZE, wrapped_to
from shellcheck_earth.views.figures.strokes import Box, Point, Sheet
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.numbers import listed

__all__ = ["arrows", "handed_in_words", "key_lines", "middle_of", "places"]

LONGEST, SHORTEST, HEAD = 7.0, 4.0, 0.4
"""Of an arrow, and what its point stays off the wall [mm]."""

CLEAR = 2.6
"""From the middle of a letter to what it stands beside [mm]."""


def _greater(span: tuple[float, float]) -> float:
    return max(span, key=abs)


def _length(sheet: Sheet) -> float:
    """Of an arrow [mm]: as long as half a metre of the wall, within bounds; it says nothing of the force."""
    return min(max(0.5 * sheet.scale, SHORTEST), LONGEST)


def _pushes(sheet: Sheet, dome: Dome, load: RingLoad) -> Iterator[tuple[Point, Point]]:
    """From where and to where each arrow of a load goes, left side first [mm]."""
    course = course_under(dome, load.height)
    if course is None:
        return
    weight, thrust, y = _greater(load.weight), _greater(load.thrust), sheet.y(load.height)
    length = _length(sheet)
    for side in (-1, 1):
        if weight:
            x = sheet.x(side * (course.inner_radius + sum(load.from_inner_face) / 2))
            ends = ((x, y - HEAD - length), (x, y - HEAD))
            yield ends if weight > 0 else ends[::-1]
        if thrust:
            x = sheet.x(side * course.inner_radius)
            ends = ((x - side * (HEAD + length), y), (x - side * HEAD, y))
            yield ends if thrust > 0 else ends[::-1]


def arrows(sheet: Sheet, dome: Dome) -> list[Box]:
    """An arrow for each weight and each thrust, in the direction of its greater end; their length says nothing. Where
    they lie.
    """
    drawn = [one for load in dome.design.ring_loads for one in _pushes(sheet, dome, load)]
    for start, end in drawn:
        sheet.arrow(*start, *end, width=0.5)
    ends = [(*sorted((a[0], b[0])), *sorted((a[1], b[1]))) for a, b in drawn]
    return [(left - 0.9, top - 0.9, right + 0.9, bottom + 0.9) for left, right, top, bottom in ends]


def middle_of(sheet: Sheet, dome: Dome, load: RingLoad, near: Point) -> Point:
    """The middle of that of its arrows which is nearest to a place [mm]."""
    middles = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in _pushes(sheet, dome, load)]
    return min(middles, key=lambda one: math.dist(one, near), default=near)


def places(sheet: Sheet, dome: Dome, load: RingLoad) -> list[Point]:
    """Where the letter of a load may stand, the best first: inside the wall beside its arrows, over them, outside."""
    course = course_under(dome, load.height)
    if course is None:
        return []
    y, length, out = sheet.y(load.height), _length(sheet), []
    for drop in (-HEAD - length / 2, -LONGEST, LONGEST / 2, LONGEST):
        for side in (-1, 1):
            x = sheet.x(side * _innermost(sheet, dome, course, y + drop)) - side * CLEAR
            out.append((x, y + drop))
    middle = course.inner_radius + course.width / 2
    out += [(sheet.x(side * middle), y - HEAD - length - CLEAR) for side in (-1, 1)]
    out += [(sheet.x(side * course.outer_radius) + side * 3 * CLEAR, y - LONGEST / 2) for side in (1, -1)]
    return [(x, level) for x, level in out if level > CLEAR]


def _innermost(sheet: Sheet, dome: Dome, course: Course, level: float) -> float:
    """The least inner radius [m] of the courses that a letter at that level of the sheet [mm] stands beside."""
    beside = [
        one.inner_radius
        for one in dome.courses
        if sheet.y(one.z_top) < level + CLEAR and sheet.y(one.z_bottom) > level - CLEAR
    ]
    return min(beside, default=course.inner_radius)


def _span(span: tuple[float, float], design: Design) -> str:
    low, high = (format_quantity(end, "force", design.unit_system) for end in span)
    return low if span[0] == span[1] else _("{low} to {high}", low=low, high=high)


def key_lines(dome: Dome, room: float) -> list[list[str]]:
    """For each load the lines that stand under the drawing: its name, weight and thrust of the whole ring."""
    design = dome.design
    return [
        wrapped_to(
            _(
                "{name}, handed in all around: weight {weight}, thrust outward {thrust}",
                name=load.name,
                weight=_span(load.weight, design),
                thrust=_span(load.thrust, design),
            ),
            room,
            LEAST_SIZE,
        )
        for load in design.ring_loads
    ]


def handed_in_words(dome: Dome) -> str:
    """What the arrows are, and what comes in at one bearing, which no section through the axis shows; "" for none."""
    names: Sequence[str] = [load.name for load in dome.design.ring_loads]
    said = [_("Arrows at the wall: handed in all around by {names}.", names=listed(names))] if names else []
    system = dome.design.unit_system
    single = [
        _(
            "{name} at {bearing:.4g} deg, {height} above the springing",
            name=load.name,
            bearing=math.degrees(load.bearing) % 360.0,
            height=both(load.height, "length", system),
        )
        for load in dome.design.bearing_loads
    ]
    said += [_("Handed in at one bearing, not drawn here: {places}.", places=listed(single))] if single else []
    return " ".join(said)
