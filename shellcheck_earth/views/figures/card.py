"""The compass drawing of the build card: the wall in section, both chains, every course top. Millimetres of paper."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.settings import Setting
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, Sheet
from shellcheck_earth.views.text.card import CardWords

__all__ = ["LETTERS", "card_drawing"]

LETTERS = 3.6
"""Height of the letters [mm]: 10 points and a little."""

WIDTH, LEFT, RIGHT, ABOVE, BELOW = 186.0, 42.0, 52.0, 5.0, 7.0


def card_drawing(dome: Dome, table: Sequence[Setting], words: CardWords, most: float, laid: int) -> str:
    """SVG: the section to scale, courses laid filled, both chains drawn to a course to come.

    Parameters
    ----------
    dome
        The dome as planned [m].
    table
        Settings of the courses to come.
    words
        What is written.
    most
        Greatest height of the drawing on paper [mm].
    laid
        Number of the top course that stands.
    """
    reach, base = max(course.outer_radius for course in dome.courses), min(dome.base, 0.0)
    scale = min((WIDTH - LEFT - RIGHT) / (2 * reach), (most - ABOVE - BELOW) / (dome.top - base))
    zero = ABOVE + dome.top * scale
    height = zero - base * scale + BELOW
    sheet = Sheet(width=WIDTH, height=height, scale=scale, x_zero=LEFT + (WIDTH - LEFT - RIGHT) / 2, y_zero=zero)
    _wall(sheet, dome, laid)
    _levels(sheet, dome, words)
    if table:
        _chains(sheet, dome, table, words)
    return sheet.svg(words.title, words.described)


def _wall(sheet: Sheet, dome: Dome, laid: int) -> None:
    for course in dome.courses:
        stands = course.number <= laid
        for low, high in ((-course.outer_radius, -course.inner_radius), (course.inner_radius, course.outer_radius)):
            sheet.rect(
                (low, course.z_bottom), (high, course.z_top), fill=CLAY if stands else "#ffffff",
                stroke=INK if stands else FAINT, width=0.25, rounding=0.3,
            )  # fmt: skip


def _levels(sheet: Sheet, dome: Dome, words: CardWords) -> None:
    reach = max(course.outer_radius for course in dome.courses)
    sheet.line(2, sheet.y(0), sheet.x(reach) + 8, sheet.y(0), width=0.35, dash="4 1.2")
    sheet.text(2, sheet.y(0) - 1.2, words.springing, size=LETTERS)
    sheet.line(2, sheet.y(dome.top), sheet.x(0), sheet.y(dome.top), width=0.2, dash="1 1")
    sheet.text(2, sheet.y(dome.top) + 1.2 * LETTERS, words.top, size=LETTERS)
    sheet.line(sheet.x(0), sheet.y(dome.top) - 3, sheet.x(0), sheet.y(0), width=0.2, dash="6 1 1 1")


FIXED, CENTRE = "3 1.2", ""
"""How each chain is drawn."""


def _key(sheet: Sheet, level: float, dash: str, lines: tuple[str, str]) -> None:
    """A piece of a chain and its name, at the right of the drawing."""
    side = WIDTH - RIGHT + 6
    sheet.line(side, level - 1.2, side + 8, level - 1.2, width=0.8, dash=dash)
    sheet.text(side + 9.5, level, lines[0], size=LETTERS, bold=True)
    sheet.text(side, level + 1.4 * LETTERS, lines[1], size=LETTERS)


def _chains(sheet: Sheet, dome: Dome, table: Sequence[Setting], words: CardWords) -> None:
    """The fixed chain from its pivot past the axis, the centre chain from the axis, both to a course to come."""
    one = table[len(table) // 2]
    shape, half = dome.design.dome, dome.design.wall.course_height / 2
    mid = one.height + half
    target = sheet.x(one.radius), sheet.y(mid)
    pivot = sheet.x(0), sheet.y(shape.centre_pivot_above_springing)
    sheet.line(*pivot, *target, width=0.8)
    sheet.cross(*pivot)
    _key(sheet, ABOVE + 18, CENTRE, (words.centre_chain, words.centre_length))
    under = sheet.y(min(dome.base, 0.0)) + 1.3 * LETTERS
    sheet.text(pivot[0] - 2, under, words.centre_pivot, size=LETTERS)
    if shape.profile != "pointed":
        return
    far = sheet.x(-dome.pivot_radius), sheet.y(0)
    sheet.line(*far, *target, width=0.8, dash=FIXED)
    sheet.cross(*far)
    _key(sheet, ABOVE + 4, FIXED, (words.fixed_chain, words.fixed_length))
    sheet.text(max(far[0], 24) + 2, under, words.fixed_pivot, size=LETTERS, anchor="end")
