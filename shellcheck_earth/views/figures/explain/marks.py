"""The signs of a mechanism: hinges, slips, rings and wires, and the key that explains them."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.views.figures.strokes import INK, RED, Sheet

__all__ = ["KEY_HEIGHT", "key", "marks"]

SEEN = 0.05
"""Hinges and slips under this share of the largest are not marked, as they are not named in words."""

KEY_HEIGHT = 9.0
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
    """What the signs mean, in two lines from `y` down (one in the moving picture)."""
    at = 4.0
    sheet.circle(at, y - 0.8, 1.0, fill="#ffffff", stroke=INK, width=0.55)
    sheet.text(at + 2.2, y, "hinge", size=2.3)
    at = 22.0
    sheet.line(at - 1.5, y - 0.8, at + 0.7, y - 0.8, width=0.3)
    sheet.path([(at + 1.5, y - 0.8), (at + 0.4, y - 1.35), (at + 0.4, y - 0.25)], width=0.1, fill=INK, closed=True)
    sheet.text(at + 3.0, y, "slides over what is below", size=2.3)
    _ring_mark(sheet, 62.0, y - 0.8, "opens")
    sheet.text(64.0, y, "ring opens", size=2.3)
    _ring_mark(sheet, 84.0, y - 0.8, "crushes")
    sheet.text(86.0, y, "ring is crushed", size=2.3)
    _wire_mark(sheet, 112.0, y - 0.8)
    sheet.text(114.5, y, "wire yields", size=2.3)
    sheet.line(133.0, y - 0.8, 137.0, y - 0.8, width=1.3, colour=RED)
    sheet.text(138.5, y, "bed crushed whole", size=2.3)
    if moving:
        return
    sheet.text(
        4.0,
        y + 4.0,
        "Left: at rest. Right, in red: where the courses begin to go, enlarged; only directions and proportions are"
        " computed.",
        size=2.3,
    )
