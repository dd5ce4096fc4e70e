"""One ring of 0.5 m on the ground, 3 m inside and 0.4 m thick, of fill that never crushes, for statics by hand."""

from __future__ import annotations

__all__ = ["ONE_RING"]

ONE_RING = """[dome]
inside_diameter = "3.2 m"
profile = "measured"
inner_radii = ["1.5 m"]
measured_from = 1
crown_opening = "3.05 m"
[wall]
filled_width = "0.4 m"
course_height = "0.5 m"
edge_rounding = "0 m"
buried_courses = 0
[fill]
dry_density = "1800 kg/m3"
service_moisture = 0.0
stabiliser = "cement"
strength_dry = "50 MPa"
strength_as_placed = "40 MPa"
strength_wet = "40 MPa"
[beds]
friction = FRICTION
friction_wet = 0.3
wire_strands = 0
"""
"""FRICTION: of its bed; loads are added behind."""
