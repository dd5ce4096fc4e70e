"""Friction of a bed from two loaded courses tilted until the upper slips, and what so light a test cannot
tell.

At the pressures a tilted pair can be loaded to, barbs and folds interlock: the tangent of the angle then
reads 1.5 and more (Stouter 2010, abstract read) and is no friction coefficient for a dome.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shellcheck_earth.loads.phases import GRAVITY
from shellcheck_earth.loads.site_tests.readings import Reading, mean_and_spread, refusal, require_positive

__all__ = ["LEAST_TILT_PRESSURE", "Tilt", "friction_from_tilts"]

LEAST_TILT_PRESSURE = 5.0
"""Pressure on the bed [kPa] under which one tilt says nothing about friction in a dome (proposed): barbs and
folds that interlock hold a light load at any angle, and a dome's lower beds work at ten times that
pressure."""

STEEPEST_TILT = math.radians(60.0)


@dataclass(frozen=True)
class Tilt:
    """One tilt of a loaded course to slipping: `angle` [rad], `mass` above the bed [kg], `area` of the bed
    [m2]."""

    angle: float
    mass: float
    area: float

    @property
    def normal(self) -> float:
        """Pressure square to the bed when it slips [kPa]: m g cos(a)/A."""
        return self.mass * GRAVITY / 1000.0 * math.cos(self.angle) / self.area

    @property
    def shear(self) -> float:
        """[kPa]: m g sin(a)/A."""
        return self.mass * GRAVITY / 1000.0 * math.sin(self.angle) / self.area


def friction_from_tilts(tilts: Sequence[Tilt], angle_u: float = 0.0, path: str = "beds.friction") -> Reading:
    """Friction [-] from two loaded courses tilted until the upper slips.

    tan(a) = mu + c/sigma: at low pressure the interlock c passes for friction. Tilts at two or more pressures
    (the highest at least twice the lowest) separate them: mu is the slope of shear over pressure (least
    squares). One pressure is taken as it is from LEAST_TILT_PRESSURE up and refused under it.
    """
    where = "reading.tilt"
    if not tilts:
        raise refusal(where, "at least one tilt", "none")
    for tilt in tilts:
        require_positive(where, tilt.angle, tilt.mass, tilt.area)
        if tilt.angle > STEEPEST_TILT:
            raise refusal(
                where,
                "an angle of at most 60 degrees",
                f"{math.degrees(tilt.angle):.0f} degrees",
                "so steep a slope means interlock or overturning, not friction: load the course more",
            )
    pressures = [tilt.normal for tilt in tilts]
    slopes = [math.tan(tilt.angle) for tilt in tilts]
    reading = max(angle_u / math.cos(tilt.angle) ** 2 for tilt in tilts)
    if max(pressures) >= 2.0 * min(pressures):
        return _two_pressures(tilts, reading, path)
    if min(pressures) < LEAST_TILT_PRESSURE:
        raise refusal(
            where,
            f"a bed pressed with at least {LEAST_TILT_PRESSURE:g} kPa, or tilts at two pressures, one at "
            "least "
            "twice the other",
            f"{min(pressures):.2f} kPa",
            "at low pressure a tilt test overstates friction; only two loads can tell interlock from friction",
        )
    best, spread = (
        mean_and_spread(slopes)
        if len(slopes) >= 3
        else (math.fsum(slopes) / len(slopes), (max(slopes) - min(slopes)) / 2)
    )
    return Reading(
        path,
        max(min(slopes) - reading, 0.0),
        best,
        math.hypot(spread, reading),
        len(tilts),
        (
            f"one pressure only, {min(pressures):.1f} kPa: any interlock is still in it and overstates "
            "friction at higher pressure",
        ),
    )


def _two_pressures(tilts: Sequence[Tilt], reading: float, path: str) -> Reading:
    pressures, shears = [tilt.normal for tilt in tilts], [tilt.shear for tilt in tilts]
    mean_p, mean_s = math.fsum(pressures) / len(tilts), math.fsum(shears) / len(tilts)
    square = math.fsum((p - mean_p) ** 2 for p in pressures)
    slope = math.fsum((p - mean_p) * (s - mean_s) for p, s in zip(pressures, shears, strict=True)) / square
    if slope <= 0.0:
        raise refusal(
            "reading.tilt",
            "more shear held at the higher pressure",
            f"a slope of {slope:.2f}",
            "check which mass belongs to which angle",
        )
    cohesion = mean_s - slope * mean_p
    misfit = max(abs(s - slope * p - cohesion) / p for p, s in zip(pressures, shears, strict=True))
    # an error of one reading's slope turns the fitted line by about twice as much over a doubling of pressure
    lever = max(pressures) / (max(pressures) - min(pressures))
    uncertainty = math.hypot(misfit, reading * lever)
    # without a cohesion to explain it, a line above every secant cannot be friction: keep under the least
    # secant
    best = min(slope, *(s / p for p, s in zip(pressures, shears, strict=True)))
    return Reading(
        path,
        max(best - uncertainty, 0.0),
        best,
        uncertainty,
        len(tilts),
        (
            f"pressures of {min(pressures):.1f} to {max(pressures):.1f} kPa; interlock of about "
            f"{max(cohesion, 0.0):.2f} kPa "
            "was taken out and is not counted",
            "wet beds need a test of their own",
        ),
    )
