"""Rings of 0.5 m on the ground, 3 m inside and 0.4 m thick, of fill that never crushes: for statics by hand."""

from __future__ import annotations

__all__ = ["DENSITY", "HEIGHT", "INNER", "STRENGTH", "WIDTH", "rings"]

INNER, WIDTH, HEIGHT, DENSITY, STRENGTH = 1.5, 0.4, 0.5, 1800.0, 50_000.0
"""[m, m, m, kg/m3, kPa]."""


def rings(friction: float, courses: int = 1, *, level_floor: bool = False) -> str:
    """The design file of so many rings with a friction of their beds, wet at most 0.3; tables are added behind.

    `level_floor`: the floor is said to be level with the ground.
    """
    floor = 'floor_above_ground = "0 m"\n' if level_floor else ""
    return f"""[dome]
inside_diameter = "3.2 m"
profile = "measured"
inner_radii = {[f"{INNER} m"] * courses}
measured_from = 1
crown_opening = "3.05 m"
{floor}[wall]
filled_width = "{WIDTH} m"
course_height = "{HEIGHT} m"
edge_rounding = "0 m"
buried_courses = 0
[fill]
dry_density = "{DENSITY} kg/m3"
service_moisture = 0.0
stabiliser = "cement"
strength_dry = "50 MPa"
strength_as_placed = "40 MPa"
strength_wet = "40 MPa"
[beds]
friction = {friction!r}
friction_wet = {min(friction, 0.3)!r}
wire_strands = 0
"""
