"""Arrows of what is handed into a ring all around, on both sides of the section."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.views.figures.strokes import Sheet
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.numbers import listed

__all__ = ["handed_in", "handed_in_words"]

LENGTH, HEAD = 7.0, 0.4
"""Of an arrow, and what its point stays off the wall [mm]."""


def _greater(span: tuple[float, float]) -> float:
    return max(span, key=abs)


def handed_in(sheet: Sheet, dome: Dome) -> None:
    """An arrow for each weight and each thrust, in the direction of its greater end; their length says nothing."""
    for load in dome.design.ring_loads:
        course = course_under(dome, load.height)
        if course is None:
            continue
        weight, thrust, y = _greater(load.weight), _greater(load.thrust), sheet.y(load.height)
        for side in (-1, 1):
            if weight:
                x = sheet.x(side * (course.inner_radius + sum(load.from_inner_face) / 2))
                near, far = y - HEAD, y - HEAD - LENGTH
                start, end = (far, near) if weight > 0 else (near, far)
                sheet.arrow(x, start, x, end, width=0.5)
            if thrust:
                x = sheet.x(side * course.inner_radius)
                inside, at = x - side * (HEAD + LENGTH), x - side * HEAD
                start, end = (inside, at) if thrust > 0 else (at, inside)
                sheet.arrow(start, y, end, y, width=0.5)


def handed_in_words(dome: Dome) -> str:
    """What the arrows are; "" where there are none."""
    names = [load.name for load in dome.design.ring_loads]
    return _("Arrows at the wall: handed in all around by {names}.", names=listed(names)) if names else ""
