"""The dome as a stack of flat rings, and what a builder needs to lay each of them.

Course 1 is the first above the springing; stem courses (between finished floor and springing) and buried courses
(below the finished floor) continue downwards as 0, -1, -2, ... Levels `z` are above the springing plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry import profile

__all__ = ["TUBE_END_ALLOWANCE", "Course", "Dome", "build_dome"]

CourseKind = Literal["buried", "stem", "arc"]

TUBE_END_ALLOWANCE = fixed("laying.tube_end")
"""Tube added to each course for closing and overlapping its two ends [m]; common practice, no source."""


@dataclass(frozen=True)
class Course:
    """One ring. Lengths in m, areas m2, volumes m3; `bed_inner` and `bed_outer` are the ends of the bed under it."""

    number: int
    kind: CourseKind
    z_bottom: float
    z_top: float
    inner_radius: float
    outer_radius: float
    compass: float
    step_in: float
    bed_inner: float
    bed_outer: float
    tube_length: float
    fill_volume: float
    wire_length: float
    has_wire: bool

    @property
    def z_mid(self) -> float:
        return (self.z_bottom + self.z_top) / 2

    @property
    def height(self) -> float:
        return self.z_top - self.z_bottom

    @property
    def width(self) -> float:
        return self.outer_radius - self.inner_radius

    @property
    def bed_width(self) -> float:
        return self.bed_outer - self.bed_inner

    @property
    def label(self) -> str:
        return str(self.number) if self.kind == "arc" else f"{self.kind} {self.number}"


@dataclass(frozen=True)
class Dome:
    """A design with its courses, lowest first, and its planes [m above springing]: what every floor above works on."""

    design: Design
    courses: tuple[Course, ...]
    floor: float
    ground: float
    fixed_compass: float
    pivot_radius: float

    @cached_property
    def columns(self) -> NDArray[np.float64]:
        """(8, n), lowest course first: number; z_bottom, z_top, inner and outer radius, ends of its bed [m]; 1 where
        wire lies in the bed."""
        columns = np.array(
            [
                (c.number, c.z_bottom, c.z_top, c.inner_radius, c.outer_radius, c.bed_inner, c.bed_outer, c.has_wire)
                for c in self.courses
            ],
            dtype=np.float64,
        ).T
        columns.setflags(write=False)
        return columns

    @property
    def top_number(self) -> int:
        return self.courses[-1].number

    @property
    def top(self) -> float:
        return self.courses[-1].z_top

    @property
    def base(self) -> float:
        return self.courses[0].z_bottom

    def course(self, number: int) -> Course:
        """The course of that number; KeyError if there is none."""
        index = number - self.courses[0].number
        if not 0 <= index < len(self.courses):
            raise KeyError(number)
        return self.courses[index]

    def up_to(self, number: int) -> tuple[Course, ...]:
        """The courses laid when course `number` is the top one, lowest first."""
        return tuple(course for course in self.courses if course.number <= number)


def _kind(number: int, stem: int) -> CourseKind:
    return "arc" if number >= 1 else "stem" if number > -stem else "buried"


def _rings(design: Design) -> list[tuple[int, CourseKind, float, float, float]]:
    """(number, kind, bottom, top, inner radius) from the lowest course up [m above the springing, m]."""
    dome, wall = design.dome, design.wall
    height, stem = wall.course_height, round(dome.springing_above_floor / wall.course_height)
    lowest = 1 - stem - wall.buried_courses
    out: list[tuple[int, CourseKind, float, float, float]] = []
    for number in range(lowest, profile.arc_course_count(dome, height) + 1):
        bottom, top = (number - 1) * height, number * height
        at = number - dome.measured_from
        if dome.course_tops and at >= 0:
            bottom, top = (dome.course_tops[at - 1] if at else bottom), dome.course_tops[at]
        if dome.profile == "measured" and at >= 0:
            radius = dome.inner_radii[at]
        else:
            z_mid = (number - 0.5) * height
            radius = dome.inside_diameter / 2 if number < 1 else profile.inner_radius(dome, z_mid)
        out.append((number, _kind(number, stem), bottom, top, radius))
    return out


def build_dome(design: Design) -> Dome:
    """Cut the dome into courses (README: "How it works"); the design must have been checked as buildable."""
    dome, wall = design.dome, design.wall
    courses: list[Course] = []
    below: float | None = None
    for number, kind, z_bottom, z_top, inner in _rings(design):
        # of courses as high as planned, in the way that keeps every digit the same as before heights were measured
        z_mid = z_bottom + (z_top - z_bottom if dome.course_tops else wall.course_height) / 2
        outer = inner + wall.filled_width
        under = inner if below is None else below
        centre = 2 * math.pi * (inner + wall.filled_width / 2)
        has_wire = below is not None and design.beds.wire_strands > 0
        courses.append(
            Course(
                number=number,
                kind=kind,
                z_bottom=z_bottom,
                z_top=z_top,
                inner_radius=inner,
                outer_radius=outer,
                compass=profile.centre_compass(inner, z_mid, dome.centre_pivot_above_springing),
                step_in=under - inner,
                bed_inner=max(inner, under) + wall.edge_rounding,
                bed_outer=min(inner, under) + wall.filled_width - wall.edge_rounding,
                tube_length=centre + TUBE_END_ALLOWANCE,
                fill_volume=math.pi
                * (outer * outer - inner * inner)
                * (z_top - z_bottom if dome.course_tops else wall.course_height),
                wire_length=design.beds.wire_strands * centre if has_wire else 0.0,
                has_wire=has_wire,
            )
        )
        below = inner
    floor = -dome.springing_above_floor
    return Dome(
        design=design,
        courses=tuple(courses),
        floor=floor,
        ground=floor - dome.floor_above_ground,
        fixed_compass=profile.fixed_compass_length(dome),
        pivot_radius=profile.pivot_radius(dome),
    )
