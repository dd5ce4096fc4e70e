"""Confinement by the tube's fabric against the equilibrium it comes from, put together by other means."""

from __future__ import annotations

import math
from typing import Any

from shellcheck_earth.loads.confinement import confined_cohesion, confined_strength, passive_coefficient

__all__ = ["cases"]


def _strength_from_equilibrium(tension: float, width: float, height: float, kp: float) -> float:
    """Vertical stress [kPa] at failure of a bag that only its fabric holds together, from free bodies of bag
    and fill.

    Both layers of fabric pull T: across the height they press sideways with 2T/H, across the width they press
    down with 2T/B. The fill fails at sigma_1 = Kp sigma_3, and what the bag carries from outside is sigma_1 -
    2T/B.
    """
    return kp * 2 * tension / height - 2 * tension / width


def cases() -> list[dict[str, Any]]:
    out = []
    for tension, width, height, degrees in (
        (12.0, 0.385, 0.135, 30.0),
        (8.0, 0.45, 0.15, 25.0),
        (20.0, 0.30, 0.12, 35.0),
    ):
        kp = passive_coefficient(math.radians(degrees))
        expected = _strength_from_equilibrium(tension, width, height, kp)
        ours = confined_strength(confined_cohesion(tension, width, height, kp), kp)
        out.append(
            {
                "id": f"T {tension:g} kN/m, B {width:g} m, H {height:g} m, phi {degrees:g} deg",
                "source": "Matsuoka & Liu 2003: equilibrium of bag and fill, derived here",
                "known": "derived",
                "printed": None,
                "recomputed": expected,
                "computed": ours,
                "tolerance": 1e-9 * expected,
                "why": "same algebra, rounding only",
            }
        )
    return out
