"""Letters on the arms of compasses and beside arrows, clear of all that is drawn; what they stand for is under the
drawing, where no words can cross.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.views.figures.handed_in import middle_of, places
from shellcheck_earth.views.figures.letters import LEAST_SIZE, LINE, advance
from shellcheck_earth.views.figures.strokes import FAINT, Box, Point, Sheet

__all__ = ["Arm", "lettered"]


@dataclass(frozen=True)
class Arm:
    """The arm of a compass [mm]: from its pivot to the wall, where along it its letter is wanted, its words."""

    start: Point
    end: Point
    share: float
    words: str


def lettered(
    sheet: Sheet,
    dome: Dome,
    arms: Sequence[Arm],
    handed: Sequence[Sequence[str]],
    taken: Sequence[Box],
    y: float,
    *,
    narrow: bool,
) -> None:
    """A letter on each arm and beside the arrows of each load.

    handed: lines of words for each load; none where loads are not drawn. taken: boxes to be clear of. y: of the first
    line of words under the drawing [mm]. narrow: every arm has a line of its own.
    """
    taken, loads = list(taken), dome.design.ring_loads if handed else ()
    for letter, load in zip(ascii_uppercase[len(arms) :], loads, strict=False):
        if wished := places(sheet, dome, load):
            place = _freest(wished, taken, arms)
            sheet.line(*place, *middle_of(sheet, dome, load, place), width=0.12, colour=FAINT)
            taken.append(_circled(sheet, letter, place))
    at = 2.0
    for letter, arm in zip(ascii_uppercase, arms, strict=False):
        shares = sorted(SHARES, key=lambda share, arm=arm: abs(share - arm.share))  # type: ignore[misc]
        taken.append(_circled(sheet, letter, _freest([_along(arm, share) for share in shares], taken, ())))
        _named(sheet, letter, [arm.words], at, y)
        if narrow:
            y += LINE
        else:
            at += 9.0 + advance(arm.words, LEAST_SIZE)
    y += 0.0 if narrow else LINE
    for letter, lines in zip(ascii_uppercase[len(arms) :], handed, strict=False):
        _named(sheet, letter, lines, 2.0, y)
        y += LINE * len(lines)


def _named(sheet: Sheet, letter: str, lines: Sequence[str], x: float, y: float) -> None:
    sheet.text(x, y, letter, size=LEAST_SIZE, bold=True)
    for index, words in enumerate(lines):
        sheet.text(x + 3.2, y + LINE * index, words, size=LEAST_SIZE)


RADIUS = 2.0
"""Of the circle around a letter [mm]."""

SHARES = tuple(step / 40 for step in range(10, 38))
"""Where along an arm its letter may stand."""


def _freest(wished: Sequence[Point], taken: Sequence[Box], arms: Sequence[Arm]) -> Point:
    """The first of the places at which a letter is clear of boxes and arms, else the one with most room."""

    def room(place: Point) -> float:
        return min([*(_off_box(place, box) for box in taken), *(_off_arm(place, arm) for arm in arms)], default=9.0)

    return next((place for place in wished if room(place) > RADIUS + 0.2), max(wished, key=room))


def _circled(sheet: Sheet, letter: str, place: Point) -> Box:
    """A letter in its circle; where it lies."""
    x, y = place
    sheet.circle(x, y, RADIUS, fill="#ffffff", stroke=FAINT, width=0.2)
    sheet.text(x, y + 1.05, letter, size=LEAST_SIZE, anchor="middle", bold=True)
    return x - RADIUS, y - RADIUS, x + RADIUS, y + RADIUS


def _off_box(place: Point, box: Box) -> float:
    (x, y), (left, top, right, bottom) = place, box
    return math.hypot(max(left - x, x - right, 0.0), max(top - y, y - bottom, 0.0))


def _off_arm(place: Point, arm: Arm) -> float:
    dx, dy = arm.end[0] - arm.start[0], arm.end[1] - arm.start[1]
    length = math.hypot(dx, dy) or 1.0
    u, v = place[0] - arm.start[0], place[1] - arm.start[1]
    share = min(max((u * dx + v * dy) / length**2, 0.0), 1.0)
    return math.hypot(u - share * dx, v - share * dy)


def _along(arm: Arm, share: float) -> Point:
    return arm.start[0] + share * (arm.end[0] - arm.start[0]), arm.start[1] + share * (arm.end[1] - arm.start[1])
