"""Friction of a bed from two loaded courses tilted until the upper slips, and what so light a test cannot
tell.

At the pressures a tilted pair can be loaded to, barbs and folds interlock: the tangent of the angle then
reads 1.5 and more (Stouter 2010, abstract read) and is no friction coefficient for a dome.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shellcheck_earth.basics.sums import added
from shellcheck_earth.basics.units import both
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.loads.phases import GRAVITY
from shellcheck_earth.loads.site_tests.fractile import FEWEST_TESTS, fractile_factor, log_spread
from shellcheck_earth.loads.site_tests.readings import Reading, refusal, require_positive

__all__ = ["LEAST_TILT_PRESSURE", "Tilt", "friction_from_tilts"]

LEAST_TILT_PRESSURE = fixed("tests.least_tilt_pressure")
"""Pressure on the bed [kPa] under which one tilt says nothing about friction in a dome (proposed): barbs and
folds that interlock hold a light load at any angle, and a dome's lower beds work at ten times that
pressure."""

SAME_PRESSURE = fixed("tests.same_pressure")
"""Share by which the pressures of repeats may differ: one load at angles from 25 to 40 degrees (proposed)."""

SINGLE_TILT = fixed("tests.single_tilt")
"""How far off a single tilt may be where no repeats tell (proposed)."""

NOT_MEASURED = (
    f"assumed, not measured: it takes {FEWEST_TESTS} tilts at each of two loads, one twice the other, to tell friction"
    " from interlock and from chance"
)

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

    It is a measurement only with FEWEST_TESTS repeats at each of two such pressures: the value used is then the 5 %
    fractile by the scatter of the repeats (`_fractile`). Fewer give a value on the low side, assumed.
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
    reading = max(angle_u / math.cos(tilt.angle) ** 2 for tilt in tilts)
    if max(pressures) >= 2.0 * min(pressures):
        return _two_pressures(tilts, reading, path)
    if min(pressures) < LEAST_TILT_PRESSURE:
        raise refusal(
            where,
            f"a bed pressed with at least {both(LEAST_TILT_PRESSURE, 'stress')}, or tilts at two pressures, one at"
            " least twice the other",
            both(min(pressures), "stress"),
            "at low pressure a tilt test overstates friction; only two loads can tell interlock from friction",
        )
    return _one_pressure(tilts, reading, path)


def _unknown(tilts: Sequence[Tilt], reading: float) -> float:
    """Error of one tangent where the repeats do not tell it: the gauge's, or SINGLE_TILT at the steepest tilt."""
    return max(reading, SINGLE_TILT / math.cos(max(tilt.angle for tilt in tilts)) ** 2)


def _one_pressure(tilts: Sequence[Tilt], reading: float, path: str) -> Reading:
    slopes = [math.tan(tilt.angle) for tilt in tilts]
    best = math.fsum(slopes) / len(slopes)
    error = _unknown(tilts, reading)
    return Reading(
        path,
        max(min(slopes) - error, 0.0),
        best,
        math.hypot((max(slopes) - min(slopes)) / 2, error),
        len(tilts),
        (
            f"one pressure only, {both(min(tilt.normal for tilt in tilts), 'stress')}: any interlock is still in it and"
            " overstates friction at higher pressure",
            NOT_MEASURED,
        ),
        "assumed",
    )


def _repeats(tilts: Sequence[Tilt]) -> list[list[Tilt]]:
    """The tilts by pressure, lightest first: those within SAME_PRESSURE of the lightest of their group are repeats."""
    groups: list[list[Tilt]] = []
    for tilt in sorted(tilts, key=lambda one: one.normal):
        if groups and tilt.normal <= (1.0 + SAME_PRESSURE) * groups[-1][0].normal:
            groups[-1].append(tilt)
        else:
            groups.append([tilt])
    return groups


def _slope(tilts: Sequence[Tilt]) -> tuple[float, float]:
    """(mu, c) of the line shear = c + mu pressure through the tilts, by least squares."""
    mean_p = math.fsum(tilt.normal for tilt in tilts) / len(tilts)
    mean_s = math.fsum(tilt.shear for tilt in tilts) / len(tilts)
    square = math.fsum((tilt.normal - mean_p) ** 2 for tilt in tilts)
    slope = math.fsum((tilt.normal - mean_p) * (tilt.shear - mean_s) for tilt in tilts) / square
    return slope, mean_s - slope * mean_p


def _fractile(groups: Sequence[Sequence[Tilt]], slope: float) -> tuple[float, float]:
    """(value used, spread) of a slope by the scatter of its repeats.

    v, the spread of one bed: that of ln tan(a) about the mean of its pressure, all pressures together. The slope itself
    is uncertain by e, that of least squares when each shear is off by its share v. Counted on is
    mu exp(-k_n sqrt(v^2 + (e/mu)^2)), k_n for one test more than the degrees of freedom of v (derived).
    """
    every = [tilt for group in groups for tilt in group]
    free = sum(len(group) - 1 for group in groups)
    square = added((len(g) - 1) * log_spread([math.tan(one.angle) for one in g]) ** 2 for g in groups if len(g) > 1)
    v = math.sqrt(square / free)
    mean_p = math.fsum(tilt.normal for tilt in every) / len(every)
    reach = math.fsum((tilt.normal - mean_p) ** 2 for tilt in every)
    e = math.sqrt(math.fsum(((tilt.normal - mean_p) * v * tilt.shear) ** 2 for tilt in every)) / reach
    spread = math.hypot(v, e / slope)
    return slope * math.exp(-fractile_factor(free + 1) * spread), slope * spread


def _two_pressures(tilts: Sequence[Tilt], reading: float, path: str) -> Reading:
    slope, cohesion = _slope(tilts)
    if slope <= 0.0:
        raise refusal(
            "reading.tilt",
            "more shear held at the higher pressure",
            f"a slope of {slope:.2f}",
            "check which mass belongs to which angle",
        )
    groups = _repeats(tilts)
    repeated = [group[0].normal for group in groups if len(group) >= FEWEST_TESTS]
    enough = len(repeated) >= 2 and max(repeated) >= 2.0 * min(repeated)
    low, high = groups[0][0].normal, groups[-1][-1].normal
    # A line above every secant would need a cohesion below nothing: keep under the least secant.
    best = min(slope, *(tilt.shear / tilt.normal for tilt in tilts))
    limits = [
        f"pressures of {both(low, 'stress')} to {both(high, 'stress')}; interlock of about"
        f" {both(max(cohesion, 0.0), 'stress')} was taken out and is not counted",
        "wet beds need a test of their own",
    ]
    if enough:
        value, spread = _fractile(groups, slope)
        return Reading(path, max(min(value, best) - reading, 0.0), best, math.hypot(spread, reading), len(tilts),
                       tuple(limits))  # fmt: skip
    # An error of every tangent, up at one end and down at the other, turns the line by this many times itself.
    misfit = max(abs(tilt.shear - slope * tilt.normal - cohesion) / tilt.normal for tilt in tilts)
    uncertainty = math.hypot(misfit, _unknown(tilts, reading) * (high + low) / (high - low))
    return Reading(
        path, max(best - uncertainty, 0.0), best, uncertainty, len(tilts), (*limits, NOT_MEASURED), "assumed"
    )
