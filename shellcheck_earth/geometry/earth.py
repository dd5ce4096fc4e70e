"""Where earth laid against the finished wall finds it, and what of it no wall of rings can take."""

from __future__ import annotations

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import both
from shellcheck_earth.geometry.courses import Course, Dome

__all__ = ["earth_problems", "earth_surface", "in_wet_ground", "pressed", "soaked_by_the_ground"]

NEAR = 1e-9
"""Levels closer than this are the same [m]."""


def earth_surface(dome: Dome) -> float | None:
    """The level of the earth against the finished wall [m above the springing]; None where there is none."""
    earth = dome.design.earth
    return None if earth is None else dome.ground + earth.height


def in_wet_ground(dome: Dome, course: Course) -> bool:
    """Whether rain that soaks the ground outside soaks a course from there: one that begins at or below it, and the
    lowest one wherever it begins: what carries that is not known."""
    return course.number == dome.courses[0].number or course.z_bottom <= dome.ground + NEAR


def soaked_by_the_ground(dome: Dome, course: Course) -> bool:
    """Whether wet ground, wet earth against the wall, or what splashes from them may soak a course: one that begins at
    or below them, or lower over them than splash reaches, and the lowest one wherever it begins."""
    surface = earth_surface(dome)
    level = dome.ground if surface is None else surface
    splashed = course.z_bottom < level + dome.design.site.splash_height - NEAR
    return in_wet_ground(dome, course) or course.z_bottom <= level + NEAR or splashed


def pressed(course: Course, surface: float) -> tuple[float, float] | None:
    """(depth of the lowest, of the highest place of a course that earth up to a level presses on) [m]; None: none."""
    below = surface - course.z_bottom
    return (below, max(surface - course.z_top, 0.0)) if below > NEAR else None


def earth_problems(dome: Dome) -> list[Problem]:
    """Why earth finds no wall to lie against; [] where it does."""
    surface = earth_surface(dome)
    if surface is None or surface <= dome.top + NEAR:
        return []
    system = dome.design.unit_system
    most, found = (both(level - dome.ground, "length", system, 4) for level in (dome.top, surface))
    expected = f"at most {most}, the top of the wall: earth that covers the crown is not what this checks"
    return [Problem("backfill.height", expected, found)]
