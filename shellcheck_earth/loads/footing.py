"""What a footing weighs: the least where it steadies, the greatest where it presses or is shaken."""

from __future__ import annotations

from shellcheck_earth.design.design import Design
from shellcheck_earth.design.footing import usual_weight
from shellcheck_earth.geometry.footing import FootingRing

__all__ = ["asked_weight", "pressed_more"]


def asked_weight(design: Design) -> tuple[float, float]:
    """(least, greatest) unit weight of the footing [kN/m3]: as measured, else also the ends of its usual range."""
    if design.footing is None:
        raise ValueError("there is no footing")
    low, high = design.footing.unit_weight
    if design.bases.get("footing.unit_weight") == "measured":
        return low, high
    usual = usual_weight()
    return min(low, usual[0]), max(high, usual[1])


def pressed_more(design: Design, ring: FootingRing, width: float) -> float:
    """How much harder the ground is pressed under a width of it [m] by the heaviest footing than by the lightest, which
    is the one that blocks have [kPa].

    Forces that hold the lightest within a pressure that is lower by so much hold every heavier one: what it weighs more
    presses evenly, and lets friction hold no less (derived).
    """
    light, heavy = asked_weight(design)
    return (heavy - light) * ring.depth * ring.width / width
