"""Courses, their bands of thrust lines and their motions, drawn as half sections."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand
from shellcheck_earth.studies.explain.ways import Way
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, Point, Sheet

__all__ = [
    "MOVED",
    "WIDTH",
    "Mirror",
    "Point",
    "corners",
    "draw_band",
    "draw_half",
    "drawn_size",
    "extent",
    "inner_sheet",
    "mirrored",
    "moved",
    "moves",
]

WIDTH = 174.0
"""Of a sheet [mm]."""

MOVED = "#f3d9cf"
"""Courses that move: paler than their red outline."""

DRAWN = 0.13
"""The largest motion is drawn as this share of the dome's height: a mechanism has no size of its own."""

TURNED = 0.6
"""No rotation is drawn larger than this [rad]: enlarged straight-line motion swells what turns further."""


SUNK = 0.7
"""What stands on a bed that is crushed whole is drawn as sinking by this share of its course's height at most."""


class Mirror(Sheet):
    """A sheet whose radii run to the left."""

    def x(self, metres: float) -> float:
        return self.x_zero - metres * self.scale


def corners(course: Course) -> list[Point]:
    """Of the section of a course (r, z) [m], counter-clockwise from the inner bottom."""
    return [
        (course.inner_radius, course.z_bottom),
        (course.outer_radius, course.z_bottom),
        (course.outer_radius, course.z_top),
        (course.inner_radius, course.z_top),
    ]


def mirrored(course: Course) -> list[Point]:
    """The corners of the left half of the section."""
    return [(-r, z) for r, z in corners(course)]


def moved(found: Collapse, index: int, course: Course, size: float) -> list[Point]:
    """The corners of a course displaced by `size` times its rates; the index counts from the top."""
    out = []
    for r, z in corners(course):
        outward, upward = found.at(index, r, z)
        out.append((r + size * float(outward), z + size * float(upward)))
    return out


def drawn_size(way: Way) -> float:
    """By how much the rates of a way's mechanism are multiplied in a picture [m]."""
    if way.collapse is None:
        return 0.0
    height = max(course.z_top for course in way.collapsed) - min(course.z_bottom for course in way.collapsed)
    size = min(DRAWN * height, TURNED / max(float(abs(way.collapse.theta).max()), 1e-9))
    # what sinks into a crushed bed sinks into the course below: it never hangs under it in the air
    for course, squashed in zip(way.collapsed, way.collapse.squash, strict=True):
        if float(squashed) > 0:
            size = min(size, SUNK * course.height / float(squashed))
    return size


def moves(found: Collapse, index: int, course: Course) -> bool:
    """Whether a course moves at all: by more than a hundredth of the largest motion."""
    places = moved(found, index, course, 1.0)
    return max(abs(a - c) + abs(b - d) for (a, b), (c, d) in zip(places, corners(course), strict=True)) > 0.01


def inner_sheet(sheet: Sheet, x_zero: float, y_zero: float, scale: float) -> Sheet:
    """A picture within the picture: its own axis and scale, the same sheet of paper."""
    return Sheet(sheet.width, sheet.height, scale, x_zero, y_zero, sheet.parts)


def draw_band(sheet: Sheet, band: ThrustBand) -> None:
    """Ink between the innermost and outermost place of any line; paths that end in a bed nothing crosses are hatched
    with strokes.
    """
    inner = [(sheet.x(float(x)), sheet.y(float(z))) for x, z in zip(band.x_low, band.z, strict=True)]
    outer = [(sheet.x(float(x)), sheet.y(float(z))) for x, z in zip(band.x_high, band.z, strict=True)]
    if not inner:
        return
    if band.failing < 0:
        sheet.path(inner + outer[::-1], width=0.25, fill=INK, closed=True, opacity=0.6)
    else:
        sheet.path(inner + outer[::-1], width=0.25, fill="none", closed=True, dash="0.8 0.5")


def draw_half(sheet: Sheet, courses: Sequence[Course], *, ground: bool = True) -> None:
    """The courses of one half of a section, as they are laid."""
    for course in courses:
        sheet.rect(
            (course.inner_radius, course.z_bottom),
            (course.outer_radius, course.z_top),
            fill=CLAY,
            stroke=FAINT,
            width=0.12,
        )
    base = min(course.z_bottom for course in courses)
    top = max(course.z_top for course in courses)
    if ground:
        sheet.line(
            sheet.x(0),
            sheet.y(base),
            sheet.x(max(course.outer_radius for course in courses)) + 1.0,
            sheet.y(base),
            width=0.25,
        )
        sheet.line(sheet.x(0), sheet.y(base), sheet.x(0), sheet.y(top), width=0.1, dash="1.6 0.7 0.3 0.7", colour=FAINT)


def extent(groups: Sequence[Sequence[Course]]) -> tuple[float, float, float]:
    """Greatest radius, lowest and highest level of several sections."""
    every = [course for group in groups for course in group]
    return max(c.outer_radius for c in every), min(c.z_bottom for c in every), max(c.z_top for c in every)
