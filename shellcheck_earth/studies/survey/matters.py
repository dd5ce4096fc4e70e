"""Why one course matters: what its radius and its height, as they were read, do to the margins of the dome.

One course at a time is moved in, out, higher or lower, all others as they stand, and the worst margins are asked anew:
those of `check`, without proofs, for nothing is decided here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.settings import curve_radius
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.safety.worst import WorstMargin, worst_margins
from shellcheck_earth.studies.survey.plans import AsBuilt, built_design
from shellcheck_earth.studies.survey.ways import Way

__all__ = ["CourseMatters", "Moved", "course_matters", "most_felt", "whole_wall"]

How = Literal["in", "out", "lower", "higher"]
HOWS: tuple[How, ...] = ("in", "out", "lower", "higher")


@dataclass(frozen=True)
class Moved:
    """One course moved by `by` [m]: the margin that then comes closest to what is required; None: no such dome can be
    built."""

    how: How
    by: float
    least: WorstMargin | None


@dataclass(frozen=True)
class CourseMatters:
    """What a course does.

    radius, off_curve  as read [m]; off the design curve at its own height, positive outside it (None: no curve there)
    least              of the whole dome as it is
    here               the margins whose governing bed is the one under this course or the one on it
    on_curve           the least margin with this course alone on the curve; None: not to be built, or no curve there
    moved              in, out, lower, higher
    """

    number: int
    radius: float
    off_curve: float | None
    least: WorstMargin
    here: tuple[WorstMargin, ...]
    on_curve: WorstMargin | None
    moved: tuple[Moved, ...]

    @property
    def felt(self) -> float:
        """The most that one of the moves takes of the least share [-]; inf where it cannot be built any more."""
        lost = (self.least.share - one.least.share if one.least is not None else float("inf") for one in self.moved)
        return max(lost)


def whole_wall(wall: AsBuilt, way: Way) -> Design:
    """What the courses are judged in: the dome as it goes on from the wall, or what stands where none can be built
    without taking courses down."""
    return built_design(wall) if way.design is None or way.taken_down else way.design


def _least(design: Design) -> WorstMargin | None:
    try:
        return min(worst_margins(build_model(design)), key=lambda margin: margin.share)
    except InputError:
        return None


def _with(design: Design, at: int, radius: float = 0.0, top: float = 0.0) -> Design:
    """One course moved out by `radius` and its top up by `top` [m]; those above keep their levels."""
    shape = design.dome
    radii, tops = list(shape.inner_radii), list(shape.course_tops)
    radii[at] += radius
    tops[at] += top
    return replace(design, dome=replace(shape, inner_radii=tuple(radii), course_tops=tuple(tops)), text="")


def course_matters(wall: AsBuilt, design: Design, number: int) -> CourseMatters:
    """What one measured course does to the margins of a dome.

    Parameters
    ----------
    wall
        The wall as it was read.
    design
        The dome it is part of (`whole_wall`), with a measured profile [m].
    number
        Of a course that was read.

    Raises
    ------
    InputError
        No such course was read.
    """
    rings = {ring.number: ring for ring in wall.rings}
    if number not in rings:
        expected = f"a course that was read, {min(rings)} to {max(rings)}"
        raise InputError([Problem("--course", expected, str(number))])
    ring, at, by = rings[number], number - wall.rings[0].number, fixed("survey.felt_step")
    margins = worst_margins(build_model(design))
    curve = curve_radius(wall.planned, ring.z_mid)
    off = ring.mean - curve if not math.isnan(curve) else None  # nan above the curve's top
    steps: dict[How, tuple[float, float]] = {
        "in": (-by, 0.0),
        "out": (by, 0.0),
        "lower": (0.0, -by),
        "higher": (0.0, by),
    }
    return CourseMatters(
        number=number,
        radius=ring.mean,
        off_curve=off,
        least=min(margins, key=lambda margin: margin.share),
        here=tuple(margin for margin in margins if margin.course in (number, number + 1)),
        on_curve=None if off is None else _least(_with(design, at, radius=-off)),
        moved=tuple(Moved(how, by, _least(_with(design, at, *steps[how]))) for how in HOWS),
    )


def most_felt(wall: AsBuilt, design: Design, progress: Progress = quiet) -> tuple[CourseMatters, ...]:
    """Every course that was read, the one that is felt most first."""
    found = []
    for index, ring in enumerate(wall.rings):
        progress("courses", index, len(wall.rings))
        found.append(course_matters(wall, design, ring.number))
    return tuple(sorted(found, key=lambda one: (-one.felt, one.number)))
