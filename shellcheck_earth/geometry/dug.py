"""What lies under the ground in a section: the footing's, and how deep it goes."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.footing import footing_ring

__all__ = ["dug_to", "footing_section"]

Corner = tuple[float, float]


def footing_section(dome: Dome) -> tuple[Corner, Corner] | None:
    """(radius, level) of the footing's lower inner and upper outer corner [m]; None where there is none."""
    ring = footing_ring(dome)
    if ring is None:
        return None
    return (ring.middle - ring.width / 2, ring.top - ring.depth), (ring.middle + ring.width / 2, ring.top)


def dug_to(dome: Dome) -> float:
    """The lowest level of a section [m]: of its footing or its lowest course, or the ground."""
    footing = footing_section(dome)
    return min(dome.base if footing is None else footing[0][1], dome.ground)
