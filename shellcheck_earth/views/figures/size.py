"""What tells how large a drawing is: a person and a scale bar, in the units of the design."""

from __future__ import annotations

from shellcheck_earth.basics.units import FOOT, feet_inches
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.views.figures.letters import LEAST_SIZE, advance
from shellcheck_earth.views.figures.strokes import FAINT, INK, Box, Sheet

__all__ = ["PERSON_HEIGHT", "person", "person_place", "scale_bar"]

PERSON_HEIGHT = 1.7
"""Height of the silhouette [m]."""

PIVOT = 2.6
"""Words stay so far from the axis [mm], where a pivot may be drawn."""

CLEAR = 3.0
"""And so far from the wall [mm]."""

OUTLINE = (
    (-0.17, 1.42), (0.17, 1.42), (0.23, 1.36), (0.25, 0.84), (0.19, 0.82), (0.165, 1.22), (0.15, 0.80), (0.12, 0.0),
    (0.02, 0.0), (0.0, 0.72), (-0.02, 0.0), (-0.12, 0.0), (-0.15, 0.80), (-0.165, 1.22), (-0.19, 0.82), (-0.25, 0.84),
    (-0.23, 1.36),
)  # fmt: skip
"""Trunk, arms and legs, from the middle and from the floor [m]."""


def _stands(dome: Dome) -> float | None:
    """How far from the axis a person stands [m]; None where one does not fit under the crown."""
    inner = min(course.inner_radius for course in dome.courses if course.z_bottom < dome.floor + PERSON_HEIGHT)
    at = min(0.42 * dome.courses[0].inner_radius, inner - 0.30)
    return None if dome.top - dome.floor < PERSON_HEIGHT + 0.05 or at < 0 else at


def person_place(sheet: Sheet, dome: Dome) -> list[Box]:
    """Where the person is drawn [mm], if at all."""
    at, floor = _stands(dome), dome.floor
    if at is None:
        return []
    return [(sheet.x(at - 0.25), sheet.y(floor + PERSON_HEIGHT), sheet.x(at + 0.25), sheet.y(floor))]


def person(sheet: Sheet, dome: Dome) -> None:
    """A figure of 1.7 m, with its height, where one fits under the crown."""
    at = _stands(dome)
    if at is None:
        return

    def place(dx: float, dz: float) -> tuple[float, float]:
        return sheet.x(at + dx), sheet.y(dome.floor + dz)

    body = [place(dx, dz) for dx, dz in OUTLINE]
    sheet.path(body, width=0.5, colour="#ffffff", fill=FAINT, closed=True)
    x, y = place(0.0, 1.58)
    sheet.circle(x, y, 0.12 * sheet.scale, fill=FAINT, stroke="#ffffff", width=0.3)
    imperial = dome.design.unit_system == "imperial"
    tall = feet_inches(PERSON_HEIGHT, finest=1) if imperial else f"{PERSON_HEIGHT:.1f} m"
    x, y = max(x, sheet.x(0) + PIVOT + advance(tall, LEAST_SIZE) / 2), sheet.y(dome.floor) + 3.4
    inner = min(course.inner_radius for course in dome.courses if course.z_bottom <= dome.floor)
    if x + advance(tall, LEAST_SIZE) / 2 > sheet.x(inner) - CLEAR:  # a small drawing has more room under the pivot
        x, y = sheet.x(0), y + PIVOT
    sheet.text(x, y, tall, size=LEAST_SIZE, anchor="middle", colour=FAINT)


def scale_bar(sheet: Sheet, y: float, system: str, *, over: bool = False) -> None:
    """A bar of a round length under a drawing: a metre in halves, or three feet. over: its words over it."""
    x, (step, parts, words) = 2.0, (0.5, 2, "1 m (3 ft 3 3/8 in)")
    if system == "imperial":
        step, parts, words = FOOT, 3, "3 ft (0.914 m)"
    for index in range(parts):
        fill = "#ffffff" if index % 2 else INK
        sheet.bar(x + index * step * sheet.scale, y, step * sheet.scale, 1.2, fill=fill)
    at = (x, y - 1.0) if over else (x + parts * step * sheet.scale + 1.5, y + 1.6)
    sheet.text(*at, words, size=LEAST_SIZE)
