"""How far rain wets a course: Green & Ampt (1911), in the form of Chow, Maidment & Mays 1988 (memory).

Sharp front, saturated behind it, one soil, no air trapped. Lengths in m, times in hours, rates in m/h. What
is left out, and on which side it lies: run-off from the courses above is not added to a course's catch
(`ponded=True` is the bound that covers it: every exposed face kept wet); the fabric and the inside face let
nothing in; after the rain the water is not taken to leave: it is only spread (see `redistributed_depth`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import Course, Dome

__all__ = [
    "WIND_SHARE",
    "WettingSoil",
    "catch_intensity",
    "covered_hours",
    "exposed_ledge",
    "infiltrated",
    "infiltration_rate",
    "ponded_infiltration",
    "ponding_time",
    "redistributed_depth",
    "soaked_width",
    "wetted_band",
]

WIND_SHARE = fixed("rain.wind_share")
"""Share of the rain's intensity that wind drives onto a face; the high end of the stated range 0.2 to 0.5
(proposed)."""


@dataclass(frozen=True)
class WettingSoil:
    """`conductivity` K [m/h], `suction` head psi at the front [m], `deficit` dtheta = n (1 - S0) [-], all
    over 0."""

    conductivity: float
    suction: float
    deficit: float

    @property
    def storage(self) -> float:
        """psi dtheta [m]."""
        return self.suction * self.deficit


def ponding_time(soil: WettingSoil, intensity: float) -> float:
    """Hours of steady rain until water stands on the face: t_p = K psi dtheta/(i (i - K)); inf when i <=
    K."""
    if intensity <= soil.conductivity:
        return math.inf
    return soil.conductivity * soil.storage / (intensity * (intensity - soil.conductivity))


def _solve(storage: float, target: float, start: float) -> float:
    """F >= start with F - start - s ln((s + F)/(s + start)) = target.

    Newton on a convex, increasing function: from a point right of the root it falls onto the root without
    overshoot.
    """
    if target <= 0.0:
        return start
    if storage <= 0.0:  # a front that draws nothing: the water goes in at the rate of its conductivity
        return start + target
    depth = start + target + storage + math.sqrt(2 * (storage + start) * target)
    for _ in range(100):
        rest = depth - start - storage * math.log((storage + depth) / (storage + start)) - target
        slope = depth / (storage + depth)
        step = rest / slope
        depth = max(depth - step, start)
        if abs(step) <= 1e-14 * max(depth, 1e-12):
            break
    return depth


def ponded_infiltration(soil: WettingSoil, hours: float) -> float:
    """F [m] after `hours` under standing water: F - psi dtheta ln(1 + F/(psi dtheta)) = K t."""
    return _solve(soil.storage, soil.conductivity * max(hours, 0.0), 0.0)


def infiltrated(soil: WettingSoil, intensity: float, hours: float) -> float:
    """F [m] after `hours` of steady rain: all of it until ponding, then
    F - F_p - psi dtheta ln((psi dtheta + F)/(psi dtheta + F_p)) = K (t - t_p). Rises with hours and with
    intensity."""
    if hours <= 0.0 or intensity <= 0.0:
        return 0.0
    start = ponding_time(soil, intensity)
    if hours <= start:
        return intensity * hours
    return _solve(soil.storage, soil.conductivity * (hours - start), intensity * start)


def infiltration_rate(soil: WettingSoil, intensity: float, hours: float) -> float:
    """f [m/h]: the rain itself until ponding, then K (1 + psi dtheta/F)."""
    if hours < ponding_time(soil, intensity):
        return max(intensity, 0.0)
    return soil.conductivity * (1.0 + soil.storage / infiltrated(soil, intensity, hours))


def redistributed_depth(depth_of_water: float, porosity: float, start: float, wet: float) -> float:
    """Depth [m] to which water F [m] counts as wet: F/(n (S_wet - S_0)); inf if the fill starts that wet.

    Redistribution kept simple: once the rain stops the water spreads deeper and thinner. Every such state has
    a degree of saturation that only counts as wet down to `wet`, so the band is taken at that thinnest spread
    from the first hour on. It is never less than the sharp front F/(n (1 - S_0)).
    """
    if depth_of_water <= 0.0:
        return 0.0
    if start >= wet:
        return math.inf
    return depth_of_water / (porosity * (wet - start))


def exposed_ledge(dome: Dome, number: int, top: int) -> float:
    """Plan width of a course open to the sky when course `top` is the highest one laid [m]."""
    course = dome.course(number)
    if number >= top:
        return course.width
    return max(course.outer_radius - dome.course(number + 1).outer_radius, 0.0)


def catch_intensity(intensity: float, ledge: float, height: float, wind_share: float = WIND_SHARE) -> float:
    """Rain per unit of exposed surface: i (ledge + k_w h)/(ledge + h) (mechanics: what a course catches)."""
    return intensity * (ledge + wind_share * height) / (ledge + height)


def covered_hours(hours: float, cover_after: float | None) -> float:
    """Hours of rain that reach the fill when a tarpaulin or plaster keeps it out from hour `cover_after`
    on."""
    return max(hours if cover_after is None else min(hours, cover_after), 0.0)


def wetted_band(course: Course, ledge: float, front: float) -> float:
    """Width [m] of the outer band of the BED under a course that counts as wet, at most the course's width.

    `front` L is the depth of wetting square to every exposed surface. The face wets the outer L. What enters
    through the ledge goes down: it reaches the bed once L reaches the course's height, and then all that lies
    under the ledge is wet.
    """
    if front <= 0.0:
        return 0.0
    return min(front + (ledge if front >= course.height else 0.0), course.width)


def soaked_width(course: Course, ledge: float, front: float) -> float:
    """Width [m] of the outer part of the SECTION that water has reached, as a band of the course's full
    height.

    L + ledge L/h until L reaches h: the section's volume for its weight, and what a ring cannot be counted on
    for.
    """
    if front <= 0.0:
        return 0.0
    return min(front + ledge * min(1.0, front / course.height), course.width)
