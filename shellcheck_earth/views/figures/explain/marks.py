"""The signs of a mechanism: hinges, slips, rings and wires, and the key that explains them."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.views.figures.letters import LEAST_SIZE, PHONE_SIZE, advance
from shellcheck_earth.views.figures.strokes import INK, RED, Sheet
from shellcheck_earth.views.text.language import _

__all__ = ["KEY_HEIGHT", "key", "marks"]

SEEN = 0.05
"""Hinges and slips under this share of the largest are not marked, as they are not named in words."""

KEY_HEIGHT = 14.0
"""Of the key [mm]."""


def _out(sheet: Sheet) -> int:
    """The sign of outward on paper."""
    return -1 if sheet.x(1.0) < sheet.x(0.0) else 1


def _hinges(sheet: Sheet, found: Collapse, index: int, most: float) -> None:
    z = float(found.point_z[index])
    for turn, radius in ((found.hinge_inner, found.r_inner), (found.hinge_outer, found.r_outer)):
        if float(turn[index]) > SEEN * most:
            sheet.circle(sheet.x(float(radius[index])), sheet.y(z), 1.0, fill="#ffffff", stroke=INK, width=0.55)


def _slips(sheet: Sheet, found: Collapse, index: int, course: Course, most: float) -> None:
    y, out = sheet.y(float(found.point_z[index])), _out(sheet)
    for slip, way in ((found.slip_outward, out), (found.slip_inward, -out)):
        if float(slip[index]) > max(SEEN * most, 0.005):
            x = sheet.x(course.outer_radius if way == out else course.inner_radius) + 0.8 * way
            sheet.line(x, y, x + 2.2 * way, y, width=0.3)
            sheet.path(
                [(x + 3.0 * way, y), (x + 1.9 * way, y - 0.55), (x + 1.9 * way, y + 0.55)],
                width=0.1,
                fill=INK,
                closed=True,
            )


def _ring_mark(sheet: Sheet, x: float, y: float, name: str) -> None:
    """Two bars that part for a ring that opens, a cross for one that is crushed."""
    if name.startswith("opens"):
        sheet.line(x - 0.4, y - 0.5, x - 0.4, y + 0.5, width=0.28)
        sheet.line(x + 0.4, y - 0.5, x + 0.4, y + 0.5, width=0.28)
    elif name == "crushes":
        sheet.line(x - 0.5, y - 0.5, x + 0.5, y + 0.5, width=0.28)
        sheet.line(x - 0.5, y + 0.5, x + 0.5, y - 0.5, width=0.28)


def _wire_mark(sheet: Sheet, x: float, y: float) -> None:
    sheet.path(
        [(x - 1.2, y), (x - 0.6, y - 0.5), (x, y + 0.5), (x + 0.6, y - 0.5), (x + 1.2, y)], width=0.28, colour=RED
    )


def marks(sheet: Sheet, courses: Sequence[Course], found: Collapse) -> None:
    """Hinges, slips, rings and wires of a mechanism, each with a sign of its own, at the places they have at rest."""
    turning = max(float(found.hinge_inner.max()), float(found.hinge_outer.max()), 1e-6)
    sliding = max(float(found.slip_outward.max()), float(found.slip_inward.max()))
    for index, course in enumerate(courses):
        middle = (course.inner_radius + course.outer_radius) / 2
        _ring_mark(sheet, sheet.x(middle), sheet.y(course.z_mid), found.ring[index])
        if found.wire_yields[index]:
            _wire_mark(sheet, sheet.x(course.inner_radius) - 2.0 * _out(sheet), sheet.y(course.z_bottom))
        _slips(sheet, found, index, course, sliding)
        if float(found.squash[index]) > 0:
            sheet.line(
                sheet.x(course.bed_inner),
                sheet.y(course.z_bottom),
                sheet.x(course.bed_outer),
                sheet.y(course.z_bottom),
                width=1.3,
                colour=RED,
            )
    for index in range(len(courses)):
        _hinges(sheet, found, index, turning)


def key(sheet: Sheet, y: float, *, moving: bool = False) -> None:
    """What the signs mean, in three lines from `y` down (two in the moving picture)."""
    size = PHONE_SIZE if moving else LEAST_SIZE
    low = y + (5.0 if moving else 4.2)
    first = (_("hinge"), _("ring opens"))
    # the second column stands where it does unless the words of the first need more room
    second = max(30.0, 6.5 + 3.5 + max(advance(words, size) for words in first))
    sheet.circle(4.0, y - 0.9, 1.0, fill="#ffffff", stroke=INK, width=0.55)
    sheet.line(second - 1.5, y - 0.9, second + 0.7, y - 0.9, width=0.3)
    tip = [(second + 1.5, y - 0.9), (second + 0.4, y - 1.45), (second + 0.4, y - 0.35)]
    sheet.path(tip, width=0.1, fill=INK, closed=True)
    sheet.line(98.0, y - 0.9, 102.0, y - 0.9, width=1.3, colour=RED)
    _ring_mark(sheet, 4.0, low - 0.9, "opens")
    _ring_mark(sheet, second, low - 0.9, "crushes")
    _wire_mark(sheet, 100.0, low - 0.9)
    for x, level, words in (
        (6.5, y, first[0]),
        (second + 3.5, y, _("slides over what is below")),
        (104.0, y, _("bed crushed whole")),
        (6.5, low, first[1]),
        (second + 3.5, low, _("ring is crushed")),
        (104.0, low, _("wire yields")),
    ):
        sheet.text(x, level, words, size=size)
    if moving:
        return
    note = _("Left: at rest. Right: what goes first, enlarged; only directions and proportions are computed.")
    sheet.text(2.0, low + 4.2, note, size=LEAST_SIZE)
