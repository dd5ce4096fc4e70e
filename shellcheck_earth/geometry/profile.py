"""The inner face of the dome as the compasses draw it.

The fixed compass swings from a pivot on the springing plane, on the far side of the dome and a distance `e` beyond
the inner face there. With the inside diameter D its length is R = D + e, its centre lies at r = -a with
a = D/2 + e, and it draws r(z) = sqrt(R^2 - z^2) - a. The round dome has a = 0 and R = D/2.
"""

from __future__ import annotations

import math

from shellcheck_earth.design.design import DomeShape

__all__ = [
    "arc_course_count",
    "centre_compass",
    "closing_height",
    "fixed_compass_length",
    "inner_radius",
    "pivot_radius",
]


def fixed_compass_length(dome: DomeShape) -> float:
    """R [m]: from the fixed pivot to the inner face."""
    if dome.profile == "round":
        return dome.inside_diameter / 2
    return dome.inside_diameter + dome.pivot_beyond_inner_face


def pivot_radius(dome: DomeShape) -> float:
    """a [m]: distance of the arc's centre beyond the axis, on the far side; 0 for the round dome."""
    if dome.profile == "round":
        return 0.0
    return dome.inside_diameter / 2 + dome.pivot_beyond_inner_face


def inner_radius(dome: DomeShape, z: float) -> float:
    """r(z) [m] of the drawn inner face at `z` above the springing; negative past the axis, nan above the arc."""
    length = fixed_compass_length(dome)
    if abs(z) > length:
        return math.nan
    return math.sqrt(length * length - z * z) - pivot_radius(dome)


def closing_height(dome: DomeShape) -> float:
    """Height [m] above the springing at which the drawn inner face is as wide as the crown opening."""
    reach = pivot_radius(dome) + dome.crown_opening / 2
    length = fixed_compass_length(dome)
    return math.sqrt(max(length * length - reach * reach, 0.0))


def arc_course_count(dome: DomeShape, course_height: float) -> int:
    """Courses go on while the inner radius at mid-height is at least half the crown opening."""
    if dome.profile == "measured":
        return dome.measured_from + len(dome.inner_radii) - 1
    # The small allowance keeps a course whose mid-height meets the opening exactly, whatever the rounding of floats.
    return max(math.floor(closing_height(dome) / course_height + 0.5 + 1e-9), 0)


def centre_compass(inner: float, z_mid: float, z_pivot: float) -> float:
    """c = hypot(r, z_mid - z_pivot) [m]: what the centre compass must read to the inner face at mid-height."""
    return math.hypot(inner, z_mid - z_pivot)
