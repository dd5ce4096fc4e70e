"""Walls with earth against them, all of it measured."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from shellcheck_earth.design.design import Backfill, Design
from shellcheck_earth.geometry.reading import parse_design

__all__ = ["DRAINS", "THIRTY", "cylinder", "measured"]

DRAINS = "gravel and a pipe that ends in the open"
THIRTY = math.radians(30.0)


def measured(design: Design, **changes: Any) -> Design:
    """With earth of 18 kN/m3 and 30 degrees, both measured, loose, nothing on it."""
    parts = {"height": 0.6, "unit_weight": (18.0, 18.0), "friction_angle": (THIRTY, THIRTY), "compacted": False,
             "surcharge": 0.0, "drained": DRAINS} | changes  # fmt: skip
    known = {f"backfill.{key}": "measured" for key in ("unit_weight", "friction_angle")}
    return replace(design, backfill=Backfill(**parts), bases={**design.bases, **known})


def cylinder(courses: int, **changes: Any) -> Design:
    """A stem wall alone, 1.5 m inside, 0.4 m wide, courses 0.5 m high on ground that is level with its foot."""
    text = f"""[dome]
inside_diameter = "3.2 m"
profile = "measured"
inner_radii = {["1.5 m"] * courses}
measured_from = 1
crown_opening = "3.05 m"
floor_above_ground = "0 m"
[wall]
filled_width = "0.4 m"
course_height = "0.5 m"
edge_rounding = "0 m"
buried_courses = 0
[fill]
stabiliser = "cement"
strength_dry = "3 MPa"
strength_as_placed = "1 MPa"
strength_wet = "1 MPa"
[beds]
wire_strands = 0
"""
    return measured(parse_design(text), **changes)
