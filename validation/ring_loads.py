"""Loads handed into a ring all around, against statics by hand: one course on the ground, whose state is the only one.

A ring of one course, R_i to R_o, h high, weighs W_c = rho g h pi (R_o^2 - R_i^2), at r_c = 2/3 (R_o^3 - R_i^3)/
(R_o^2 - R_i^2) from the axis. Nothing but its bed holds it: no ring is counted on the ground, no wire lies under it.
With a cap W at r and a thrust P outward at the level z above the bed (both whole) the resultant crosses the bed at
x = (W_c r_c + W r + P z)/(W_c + W): it tips where x reaches the outer edge (the middle of the strip V/(f R_o) wide that
carries it there), slides where P = mu (W_c + W), and presses the outer edge of the ground with N/b (1 + 6 e/b),
N = (W_c + W)/(2 pi r_m) a metre, e = x - r_m (derived). Through the design file, the model and the exact set, as any
design goes.
"""

from __future__ import annotations

import math

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.ground import ground_demand

from .one_ring import DENSITY, HEIGHT, INNER, STRENGTH, WIDTH, rings
from .table import Check

__all__ = ["checks", "ring"]

FRICTION, CAP, PLACE = 0.3, 5.0, 0.1
"""Of the bed; the cap [kN], how far from the inner face it bears [m]."""

CASE = "finished-dry-carrying-1"


def ring(thrust: float, friction: float, level: float = HEIGHT, weight: float = CAP) -> str:
    """The design file of that ring with a cap and a thrust outward [kN] at a level [m]."""
    return f"""{rings(friction)}[[ring_load]]
name = "Cap"
height = "{level} m"
weight = "{weight} kN"
thrust = "{thrust!r} kN"
from_inner_face = "{PLACE} m"
"""


def _holds(thrust: float, friction: float, level: float) -> bool:
    model = build_model(parse_design(ring(thrust, friction, level)))
    return failing_bed(pack(cut_lune(model.dome, model.case(CASE)))) < 0


def _greatest(friction: float, level: float) -> float:
    """The greatest thrust outward [kN] that a line is found for."""
    low, high = 0.0, 200.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if _holds(middle, friction, level) else (low, middle)
    return low


def _pressed(thrust: float) -> float | None:
    """Stress at the edge of the ground [kPa] under the middlemost line."""
    model = build_model(parse_design(ring(thrust, 1.5)))
    lune = cut_lune(model.dome, model.case(CASE))
    base = base_state(pack(lune))
    return None if base is None else ground_demand(lune, base).edge_stress


def checks() -> list[Check]:
    """Four rows: tipping, tipping of a thrust at half the height, sliding, and the stress on the ground."""
    outer = INNER + WIDTH
    own = DENSITY * 9.80665e-3 * HEIGHT * math.pi * (outer**2 - INNER**2)
    moment = own * 2 / 3 * (outer**3 - INNER**3) / (outer**2 - INNER**2) + CAP * (INNER + PLACE)
    whole, middle = own + CAP, INNER + WIDTH / 2
    stress = whole / (2 * math.pi * middle) / WIDTH * (1 + 6 * abs((moment + 3.0 * HEIGHT) / whole - middle) / WIDTH)
    edge = outer - whole / (2 * math.pi) / (2 * STRENGTH * outer)  # the middle of the strip that carries it there
    source, known = "statics of one ring on its bed, by hand", "derived"
    rows = (
        ("greatest thrust at the top before the ring tips, kN", (edge * whole - moment) / HEIGHT,
         _greatest(1.5, HEIGHT), 1e-4, "the strip as if straight"),
        ("the same, thrust at 0.3 m, kN", (edge * whole - moment) / 0.3, _greatest(1.5, 0.3), 1e-4, "as above"),
        ("greatest thrust at the top before the ring slides, kN", FRICTION * whole, _greatest(FRICTION, HEIGHT), 1e-6,
         "bisection"),
        ("stress of the ground's outer edge under the cap and 3 kN of thrust, kPa", stress, _pressed(3.0), 0.01,
         "the same formula through the design file"),
    )  # fmt: skip
    return [
        Check(f"cap of {CAP:g} kN on one ring: {what}", source, known, None, computed, tolerance, why, by_hand)
        for what, by_hand, computed, tolerance, why in rows
    ]
