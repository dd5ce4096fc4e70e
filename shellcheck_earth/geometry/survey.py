"""A dome as it was found: levels and inner radii read course by course, and what they say of each ring.

Bearings run clockwise on plan from the entrance. A ring's mean radius, its shift to one side and its oval are the first
terms of the Fourier series of its inner radius, fitted by least squares (derived): r = r_0 + s cos(b - b_s)
+ o cos 2(b - b_o). A ring that is only pushed aside by s has that s to the first order of s/r.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date

import numpy as np

from shellcheck_earth.geometry.courses import Dome

__all__ = ["CourseReading", "RainFallen", "Ring", "Survey", "radius_of_reading", "ring_of", "rings_of"]


@dataclass(frozen=True)
class CourseReading:
    """One course as measured.

    top         level of its top above the springing plane [m]
    radii       (bearing [rad], inner radius at mid-height [m])
    moisture    mass of water over mass of dry soil [-]; None: not measured
    soft_depths how far a rod goes into the outer face by hand, at each spot tried [m]
    tilt        greatest slope of its top across the wall [rad]; None: not measured
    laid_on     None: not written down
    """

    number: int
    top: float
    radii: tuple[tuple[float, float], ...]
    moisture: float | None = None
    soft_depths: tuple[float, ...] = ()
    tilt: float | None = None
    laid_on: date | None = None


@dataclass(frozen=True)
class RainFallen:
    """One rain: hours it fell, water in all [m], hours after which the wall was covered (None: not at all)."""

    on: date
    hours: float
    amount: float
    covered_after: float | None = None

    @property
    def intensity(self) -> float:
        """[m/h]"""
        return self.amount / self.hours if self.hours > 0.0 else 0.0


@dataclass(frozen=True)
class Survey:
    """What was read on one day: courses without a gap, lowest first, and every rain since the work began.

    by_height  the crew sets the compass by the height of the wall, as the build card says; else by the course's number
    """

    on: date
    courses: tuple[CourseReading, ...]
    rains: tuple[RainFallen, ...] = ()
    by_height: bool = False

    @property
    def top(self) -> CourseReading:
        return self.courses[-1]


@dataclass(frozen=True)
class Ring:
    """A measured ring [m, rad]. `shift`, `oval`: 0 where there were too few bearings to show them (`bearings`).

    rest   greatest difference left between a reading and r_0, shift and oval together
    """

    number: int
    bottom: float
    top: float
    mean: float
    shift: float
    shift_to: float
    oval: float
    oval_along: float
    rest: float
    bearings: int

    @property
    def z_mid(self) -> float:
        return (self.bottom + self.top) / 2

    @property
    def height(self) -> float:
        return self.top - self.bottom

    def radius_at(self, bearing: float) -> float:
        """Inner radius [m] of the fitted ring."""
        first = self.shift * math.cos(bearing - self.shift_to)
        return self.mean + first + self.oval * math.cos(2 * (bearing - self.oval_along))


def radius_of_reading(compass: float, z_mid: float, z_pivot: float) -> float:
    """Inner radius [m] where the centre compass reads `compass` at mid-height; nan where it cannot reach so high."""
    square = compass * compass - (z_mid - z_pivot) ** 2
    return math.sqrt(square) if square >= 0.0 else math.nan


def _wave(bearings: np.ndarray, values: np.ndarray, order: int) -> tuple[float, float, np.ndarray]:
    """(amplitude, phase, rest) of the least-squares wave of an order; the least one where several fit."""
    columns = np.column_stack([np.cos(order * bearings), np.sin(order * bearings)])
    found = np.linalg.lstsq(columns, values, rcond=1e-9)[0]
    amplitude = float(math.hypot(*found))
    return amplitude, math.atan2(found[1], found[0]) / order if amplitude > 0.0 else 0.0, values - columns @ found


def ring_of(reading: CourseReading, bottom: float) -> Ring:
    """What the readings of one course say of its ring: the mean from one bearing, the shift from two that are
    opposite or three, the oval from four."""
    bearings = np.array([bearing for bearing, _ in reading.radii])
    radii = np.array([radius for _, radius in reading.radii])
    count = len(radii)
    shift = to = oval = along = 0.0
    if count >= 3:
        columns = np.column_stack([np.ones(count), np.cos(bearings), np.sin(bearings)])
        mean = float(np.linalg.lstsq(columns, radii, rcond=1e-9)[0][0])
    else:
        mean = float(radii.mean())
    rest = radii - mean
    opposite = count == 2 and abs(math.cos(float(bearings[1] - bearings[0])) + 1) < 0.05
    if count >= 3 or opposite:
        shift, to, rest = _wave(bearings, rest, 1)
    if count >= 4:
        oval, along, rest = _wave(bearings, rest, 2)
    return Ring(
        number=reading.number,
        bottom=bottom,
        top=reading.top,
        mean=mean,
        shift=shift,
        shift_to=to % (2 * math.pi),
        oval=oval,
        oval_along=along % math.pi,
        rest=float(np.abs(rest).max()),
        bearings=count,
    )


def rings_of(survey: Survey, planned: Dome) -> tuple[Ring, ...]:
    """The measured rings, lowest first; the lowest of them rests at its planned level. KeyError: no such course."""
    bottom = planned.course(survey.courses[0].number).z_bottom
    out = []
    for reading in survey.courses:
        out.append(ring_of(reading, bottom))
        bottom = reading.top
    return tuple(out)
