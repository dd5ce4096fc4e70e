"""A bed that matters: drawn heavy on both sides, ringed on the right, with a line to where it is named."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.views.figures.strokes import RED, Sheet

__all__ = ["heavy_bed", "leader"]


def heavy_bed(sheet: Sheet, course: Course) -> tuple[float, float, float]:
    """The bed under a course; (x, y, radius) of its ring on the sheet [mm]."""
    for side in (-1, 1):
        sheet.line(
            sheet.x(side * course.inner_radius),
            sheet.y(course.z_bottom),
            sheet.x(side * course.outer_radius),
            sheet.y(course.z_bottom),
            width=0.8,
            colour=RED,
        )
    x, y = sheet.x((course.inner_radius + course.outer_radius) / 2), sheet.y(course.z_bottom)
    radius = (course.width / 2) * sheet.scale + 1.3
    sheet.circle(x, y, radius, fill="none", stroke=RED, width=0.7)
    return x, y, radius


def leader(sheet: Sheet, ring: tuple[float, float, float], label_x: float, label_y: float) -> None:
    """From a ring to its words."""
    x, y, radius = ring
    sheet.line(x + radius * 0.94, y - radius * 0.34, label_x - 0.8, label_y, width=0.25, colour=RED)
