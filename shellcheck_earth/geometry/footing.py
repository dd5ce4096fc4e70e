"""Where the footing lies under the lowest course, and over what width it presses on the ground."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Point, at

__all__ = ["THIN", "FootingRing", "footing_ring"]

THIN = 0.01
"""How thick the footing is as blocks [m]. What tips it at its depth is taken off the width over which it presses, as
for the rings: a piece as deep as it is would tip along the ring too, where its neighbours stand."""


@dataclass(frozen=True)
class FootingRing:
    """The footing all around, its middle under that of the lowest bed.

    middle  radius of its middle [m]; top: its level [m]; width, depth: of its section [m]
    reach   over which it presses on the ground [m]: its width, at most the bed's and its depth (2 down to 1 across,
            common practice, no source)
    """

    middle: float
    top: float
    width: float
    depth: float
    reach: float

    def steady(self, friction: float) -> float:
        """Width over which it may press at its bed while what tips it is as much as the ground's friction holds [m]:
        at its depth every force on the ground lies further out by at most that share of the depth (derived)."""
        return self.reach - 2 * friction * self.depth

    @property
    def volume(self) -> float:
        """Of a radian [m3]."""
        return self.middle * self.width * self.depth

    def centre(self, start: float, end: float) -> Point:
        """Centre of gravity of its piece between two bearings [m] (derived: of the sector of a ring, sin(b)/b of the
        radius at which it would lie all around)."""
        half = (end - start) / 2
        radius = (self.middle + self.width**2 / (12 * self.middle)) * math.sin(half) / half
        return at(radius, (start + end) / 2, self.top - THIN / 2)

    def corners(self, start: float, end: float) -> tuple[Point, ...]:
        """The lower four, then the upper four, of its piece between two bearings; inner start first [m]."""
        near, far = self.middle - self.width / 2, self.middle + self.width / 2
        return tuple(
            at(r, b, z)
            for z in (self.top - self.depth, self.top)
            for r, b in ((near, start), (far, start), (far, end), (near, end))
        )


def footing_ring(dome: Dome) -> FootingRing | None:
    """The footing of a dome; None where the lowest course lies on the ground itself."""
    footing, lowest = dome.design.footing, dome.courses[0]
    if footing is None:
        return None
    reach = min(footing.width, lowest.bed_outer - lowest.bed_inner + footing.depth)
    middle = (lowest.bed_inner + lowest.bed_outer) / 2
    return FootingRing(middle, lowest.z_bottom, footing.width, footing.depth, reach)
