"""Strength that an intact tube lends the fill while building, by the tension of its fabric.

Matsuoka & Liu 2003 (memory): a bag of width B and height H whose fabric pulls with T per unit of width gives
its fill an apparent cohesion c = T/(B sqrt(Kp)) (Kp B/H - 1). Counted only while building and only when the
user asks for it: sunlight takes the fabric in weeks to months (practice), so the loss is an input. Never
counted in service.
"""

from __future__ import annotations

import math

__all__ = ["confined_cohesion", "confined_strength", "fabric_tension_left", "passive_coefficient"]


def passive_coefficient(friction_angle: float) -> float:
    """Kp = (1 + sin phi)/(1 - sin phi) [-], friction angle of the FILL in rad (Rankine; any soil mechanics
    text)."""
    return (1.0 + math.sin(friction_angle)) / (1.0 - math.sin(friction_angle))


def confined_cohesion(tension: float, width: float, height: float, kp: float) -> float:
    """c [kPa] = T/(B sqrt(Kp)) (Kp B/H - 1), T [kN/m], B and H [m]; 0 where the formula turns negative (a
    tall bag)."""
    return max(tension / (width * math.sqrt(kp)) * (kp * width / height - 1.0), 0.0)


def confined_strength(cohesion: float, kp: float) -> float:
    """Unconfined strength [kPa] that goes with a cohesion: 2 c sqrt(Kp) (Mohr-Coulomb)."""
    return 2.0 * cohesion * math.sqrt(kp)


def fabric_tension_left(tension: float, days_in_sun: float, loss_per_day: float) -> float:
    """Tension [kN/m] left after days in sunlight: a constant share lost each day, T (1 - a d), never under
    0."""
    return tension * max(1.0 - loss_per_day * max(days_in_sun, 0.0), 0.0)
