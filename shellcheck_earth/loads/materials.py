"""Strength of the fill and friction of its beds as functions of moisture.

The anchors are the design's own values: dry, as placed, and wet. Between them the curves are a proposal of this program
(DEVELOPERS.md, "Assumptions"): no loss up to 4 % moisture of what has dried from its placed state (Bui, Morel, Hans &
Walker 2014, highlight read), then log-linear to the strength as placed at the placing moisture, then log-linear to the
wet strength where the voids are nearly full; linear where the wet strength is zero. No suction is counted past that.
"""

from __future__ import annotations

import math
from functools import lru_cache

from shellcheck_earth.basics.values import fixed
from shellcheck_earth.design.design import Beds, Fill
from shellcheck_earth.loads.phases import saturation_moisture

__all__ = ["DRY_LIMIT", "WET_SATURATION", "cohesion_at", "friction_at", "saturated_moisture", "strength_at"]

DRY_LIMIT = fixed("fill.dry_below")
"""Moisture below which the dry strength holds (Bui et al. 2014, highlight read)."""

WET_SATURATION = fixed("fill.wet_from")
"""Degree of saturation from which the wet values hold (proposed)."""


@lru_cache(maxsize=4096)
def saturated_moisture(fill: Fill) -> float:
    """Moisture of the fill with every void full of water [-]."""
    return saturation_moisture(fill.dry_density, fill.particle_density)


def cohesion_at(beds: Beds, fill: Fill, moisture: float) -> float:
    """Cohesion of a bed [kPa]: the tested one up to the placing moisture, the wet one past it."""
    return beds.cohesion if moisture <= fill.placing_moisture * (1 + 1e-9) else beds.cohesion_wet


def _between(x: float, x0: float, x1: float, y0: float, y1: float, *, logarithmic: bool) -> float:
    if x1 <= x0:
        return y1
    share = min(max((x - x0) / (x1 - x0), 0.0), 1.0)
    if share in (0.0, 1.0):
        return y1 if share else y0  # the anchors themselves, to the last bit
    if logarithmic and y0 > 0.0 and y1 > 0.0:
        return math.exp((1 - share) * math.log(y0) + share * math.log(y1))
    return (1 - share) * y0 + share * y1


@lru_cache(maxsize=65_536)
def strength_at(fill: Fill, moisture: float, *, hardened: bool = False) -> float:
    """Compressive strength [kPa] at a moisture [-]; never rises with moisture if the anchors do not.

    Fill just placed has its strength as placed, whatever its moisture; the dry strength is reached only by drying from
    there: where at least half of the placing water has left, and no more than DRY_LIMIT is in it (proposed).

    `hardened`: at 28 days. Stabilised fill then no longer goes through its strength as placed, but from the dry to the
    wet one; it makes no difference to fill without a stabiliser.
    """
    wet_from = WET_SATURATION * saturated_moisture(fill)
    placed = min(fill.placing_moisture, wet_from)
    if moisture >= wet_from:
        return fill.strength_wet
    if hardened and fill.stabiliser != "none":
        dry = min(DRY_LIMIT, placed)
        return _between(moisture, dry, wet_from, fill.strength_dry, fill.strength_wet, logarithmic=True)
    if moisture >= placed:
        return _between(moisture, placed, wet_from, fill.strength_as_placed, fill.strength_wet, logarithmic=True)
    dry = min(DRY_LIMIT, placed / 2)
    return _between(moisture, dry, placed, fill.strength_dry, fill.strength_as_placed, logarithmic=True)


def friction_at(beds: Beds, fill: Fill, moisture: float) -> float:
    """Bed friction [-]: the dry value up to the placing moisture, falling in a line to the wet value at the wet end."""
    wet_from = WET_SATURATION * saturated_moisture(fill)
    if moisture >= wet_from:
        return beds.friction_wet
    placed = min(fill.placing_moisture, wet_from)
    if moisture <= placed:
        return beds.friction
    return _between(moisture, placed, wet_from, beds.friction, beds.friction_wet, logarithmic=False)
