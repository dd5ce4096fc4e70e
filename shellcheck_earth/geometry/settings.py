"""Compass settings for the courses to come, from the wall as it stands: over its height, not its course numbers.

The setting belongs to a height. Where courses tamp down lower than planned, settings by number lead outside the curve;
where they stay higher, the compass soon no longer reaches (derived: r = sqrt(c^2 - (z - z_p)^2)).
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.profile import centre_compass, inner_radius
from shellcheck_earth.geometry.survey import radius_of_reading

__all__ = ["Path", "Setting", "Step", "Top", "by_height", "by_number", "curve_radius", "return_path", "settings"]

MOST_COURSES = 300


@dataclass(frozen=True)
class Top:
    """The wall as it stands: number and level [m] of its top course, its inner radius [m]; height [m] that the
    courses to come are taken to have."""

    number: int
    level: float
    radius: float
    course_height: float


@dataclass(frozen=True)
class Step:
    """One course to come: levels above the springing, inner radius, centre compass at mid-height, step-in [m]."""

    number: int
    bottom: float
    top: float
    radius: float
    compass: float
    step_in: float

    @property
    def z_mid(self) -> float:
        return (self.bottom + self.top) / 2


@dataclass(frozen=True)
class Path:
    """The courses to come, lowest first.

    out_of_reach  number of the first course whose setting the compass can no longer reach; None: it reaches them all
    returns_at    number of the course from which on the wall is on the design curve again; None: it is not
    """

    steps: tuple[Step, ...]
    out_of_reach: int | None = None
    returns_at: int | None = None

    @property
    def greatest_step(self) -> float:
        return max((step.step_in for step in self.steps), default=0.0)


def curve_radius(planned: Dome, z: float) -> float:
    """Inner radius [m] of the design at a height [m]: as its compass draws it, or between the courses of a measured
    plan; nan above the top of the curve."""
    shape = planned.design.dome
    if shape.profile != "measured":
        return inner_radius(shape, z) if z >= 0.0 else shape.inside_diameter / 2
    levels = [course.z_mid for course in planned.courses]
    if z > planned.top:
        return math.nan
    return float(np.interp(z, levels, [course.inner_radius for course in planned.courses]))


def _step(planned: Dome, top: Top, number: int, radius: float, below: float) -> Step:
    bottom = top.level + (number - top.number - 1) * top.course_height
    mid = bottom + top.course_height / 2
    compass = centre_compass(radius, mid, planned.design.dome.centre_pivot_above_springing)
    return Step(number, bottom, bottom + top.course_height, radius, compass, below - radius)


def by_number(planned: Dome, top: Top) -> Path:
    """What follows if the crew goes on with the plan's settings, course by course, on the wall as it stands."""
    pivot = planned.design.dome.centre_pivot_above_springing
    steps: list[Step] = []
    below = top.radius
    for course in planned.courses:
        if course.number <= top.number:
            continue
        mid = top.level + (course.number - top.number - 0.5) * top.course_height
        radius = radius_of_reading(course.compass, mid, pivot)
        if math.isnan(radius) or radius <= 0.0:
            return Path(tuple(steps), out_of_reach=course.number)
        steps.append(_step(planned, top, course.number, radius, below))
        below = radius
    return Path(tuple(steps))


def by_height(planned: Dome, top: Top) -> Path:
    """What follows if the crew sets every course to come straight to the design curve at its own height."""
    steps: list[Step] = []
    below, back = top.radius, None
    for index, target in enumerate(_targets(planned, top)):
        steps.append(_step(planned, top, top.number + index + 1, target, below))
        below, back = target, top.number + 1
    return Path(tuple(steps), returns_at=back)


def _targets(planned: Dome, top: Top) -> list[float]:
    """Radii of the design curve at the mid-heights of the courses to come, as long as the curve goes on."""
    out: list[float] = []
    for index in itertools.count():
        radius = curve_radius(planned, top.level + (index + 0.5) * top.course_height)
        if math.isnan(radius) or radius < planned.design.dome.crown_opening / 2 or index >= MOST_COURSES:
            return out
        out.append(radius)
    return out


def _radii(targets: list[float], start: float, most: float, returns: int) -> list[float]:
    """Radii that step in by at most `most` until course index `returns`, and never out, towards the curve."""
    out, below = [], start
    for index, target in enumerate(targets):
        free = index >= returns
        out.append(min(below, target if free else max(target, below - most)))
        below = out[-1]
    return out


def return_path(planned: Dome, top: Top, returns: int) -> Path:
    """The courses to come, back on the design curve by the `returns`-th of them, the greatest step-in on the way as
    small as it can be (bisection; the smaller the step allowed, the later the curve is reached).

    A wall inside the curve goes straight up until the curve comes to it: a course never steps out.
    """
    targets = _targets(planned, top)
    last = min(returns, len(targets)) - 1
    low, high = 0.0, max(top.radius - min(targets, default=top.radius), 0.0) + 1e-9
    for _ in range(60):
        middle = (low + high) / 2
        found = _radii(targets, top.radius, middle, returns)
        low, high = (low, middle) if last < 0 or found[last] <= targets[last] + 1e-12 else (middle, high)
    radii = _radii(targets, top.radius, high, returns)
    steps, below, back = [], top.radius, None
    for index, radius in enumerate(radii):
        steps.append(_step(planned, top, top.number + index + 1, radius, below))
        below = radius
        if back is None and abs(radius - targets[index]) < 1e-6:
            back = top.number + index + 1
    return Path(tuple(steps), returns_at=back)


@dataclass(frozen=True)
class Setting:
    """What to set the centre compass to for the course that is laid on a wall of that height.

    height   of the wall above the springing, before the course is laid [m]
    compass  to the inner face at the course's mid-height [m]
    change   of the compass for each metre that the wall is higher than that [-]
    """

    number: int
    height: float
    compass: float
    change: float
    radius: float
    step_in: float


def _change(planned: Dome, step: Step, *, drawn: bool) -> float:
    """dc/dz of c = hypot(r(z), z - z_p): along the curve where the course stands on it, else at the course's radius."""
    pivot, near = planned.design.dome.centre_pivot_above_springing, 0.005
    slope = 0.0
    if drawn:
        slope = (curve_radius(planned, step.z_mid + near) - curve_radius(planned, step.z_mid - near)) / (2 * near)
        slope = 0.0 if math.isnan(slope) else slope
    return (step.radius * slope + step.z_mid - pivot) / step.compass


def settings(planned: Dome, path: Path) -> tuple[Setting, ...]:
    """The table of a path, lowest course first."""
    out = []
    for step in path.steps:
        drawn = abs(step.radius - curve_radius(planned, step.z_mid)) < 1e-6
        change = _change(planned, step, drawn=drawn)
        out.append(Setting(step.number, step.bottom, step.compass, change, step.radius, step.step_in))
    return tuple(out)
