"""Earth against a wall of rings, against statics by hand: one ring on its bed, and a cylinder of rings without
friction.

A ring of one course, R_i to R_o, s high, under loose earth of weight g up to its top is pushed in by P = R_o K g s^2/2
a radian at a third of s, K = 1 - sin phi (Jaky 1944, memory); with q on the earth by R_o K q s more, at half of s. No
ring is counted on the ground, so the bed holds it: it slides in where P = mu W_c, and tips in where the resultant
reaches the inner edge, x = r_c - (P_g s/3 + P_q s/2)/W_c (the middle of the strip V/(f R_i) wide that carries it
there). The upper of two rings without friction between them is held by its own compression alone, as a pipe under
pressure p: N = p R, so its strength has to be p R/t, p the mean pressure on its face (derived). Through the design
file, the model and the exact set, as any design goes.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import FRICTION_VALUE, least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune

from .one_ring import DENSITY, HEIGHT, INNER, STRENGTH, WIDTH, rings
from .table import Check

__all__ = ["checks", "wall"]

WEIGHT, ANGLE = 18.0, math.radians(30.0)
"""Of the earth [kN/m3, rad]."""


def wall(courses: int, surcharge: float) -> str:
    """The design file of so many rings with earth up to their top and a load on it [kPa]."""
    return f"""{rings(1.5, courses, level_floor=True)}[backfill]
height = "{HEIGHT * courses} m"
unit_weight = {{ value = "{WEIGHT} kN/m3", source = "measured" }}
friction_angle = {{ value = "30 deg", source = "measured" }}
compacted = false
surcharge = "{surcharge!r} kPa"
drained = {{ value = true, reason = "of no matter to one wall" }}
"""


def _model(courses: int, surcharge: float = 0.0) -> Model:
    return build_model(parse_design(wall(courses, surcharge)))


def _tips_under() -> float:
    """The greatest load on the earth [kPa] under which the one ring stands; its states: none, loaded."""
    low, high = 0.0, 50.0
    for _ in range(40):
        middle = (low + high) / 2
        model = _model(1, middle)
        holds = failing_bed(pack(cut_lune(model.dome, model.case("finished-dry-earth-2")))) < 0
        low, high = (middle, high) if holds else (low, middle)
    return low


def _pipe_strength() -> float:
    """The least strength [kPa] of the upper of two rings that nothing else holds."""
    model = _model(2)
    lune = cut_lune(model.dome, model.case("finished-dry-earth-1"))
    low, high = 0.0, 1000.0
    for _ in range(50):
        middle = (low + high) / 2
        alone = replace(
            lune,
            friction=np.array([0.0, np.inf]),
            crush_inner=np.full(2, np.inf),
            crush_outer=np.full(2, np.inf),
            ring_strength=np.array([middle, 0.0]),
        )
        low, high = (low, middle) if failing_bed(pack(alone)) < 0 else (middle, high)
    return high


def checks() -> list[Check]:
    """Three rows: sliding in, tipping in, and a ring in pure compression."""
    outer, k = INNER + WIDTH, 1.0 - math.sin(ANGLE)
    own = DENSITY * 9.80665e-3 * HEIGHT * (outer**2 - INNER**2) / 2
    centre = 2 / 3 * (outer**3 - INNER**3) / (outer**2 - INNER**2)
    pushed = outer * k * WEIGHT * HEIGHT**2 / 2
    edge = INNER + own / (2 * STRENGTH * INNER)
    load = (own * (centre - edge) - pushed * HEIGHT / 3) / (HEIGHT / 2) / (outer * k * HEIGHT)
    dry = cut_lune((one := _model(1)).dome, one.case("finished-dry-earth-1"))
    friction = least_capacity(pack(dry), (FRICTION_VALUE,), 1e-6, 1e3).value
    known = "derived"
    rows = (
        ("least friction at which one ring does not slide in", pushed / own, friction, 1e-6, "bisection"),
        ("greatest load on the earth before one ring tips in, kPa", load, _tips_under(), 1e-3,
         "the strip as if straight"),
        ("least strength of a ring that its compression alone holds, kPa", pushed / (HEIGHT * WIDTH), _pipe_strength(),
         1e-6, "bisection; N = p R"),
    )  # fmt: skip
    return [
        Check(f"earth of {WEIGHT:g} kN/m3 at rest: {what}", "statics of rings under radial pressure, by hand", known,
              None, computed, tolerance, why, by_hand)
        for what, by_hand, computed, tolerance, why in rows
    ]  # fmt: skip
