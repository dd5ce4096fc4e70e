"""One ring on a footing, pushed outward at its top, against statics by hand: what it asks of the ground.

Of one ring every number is known (`ring_loads.py`): V and H a radian, and x where its resultant crosses the bed. On a
footing B wide and D deep under the middle m of the bed, which weighs g B D m, it needs the friction H/(V + w); it
presses over B' = min(B, b - a + D), off the middle by (V |x - m| + D P)/(V + W) where all the thrust P that the ground
may hold, mu (V + w)/1.5, tips it at that depth, with the stress of a strip (derived; the spread is common practice).
"""

from __future__ import annotations

import math

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.ground import GroundDemand, ground_demand, spread_of

from .ring_loads import CAP, CASE, DENSITY, HEIGHT, INNER, PLACE, WIDTH, ring
from .table import Check

__all__ = ["checks"]

THRUST, BREADTH, DEPTH, LIGHT, HEAVY, GROUND = 3.0, 0.8, 0.3, 16.0, 20.0, 0.3
"""[kN, m, m, kN/m3, kN/m3, -]."""

FOOTING = f"""[footing]
width = "{BREADTH} m"
depth = "{DEPTH} m"
unit_weight = {{ low = "{LIGHT} kN/m3", high = "{HEAVY} kN/m3", source = "measured" }}
[site]
ground_friction = {GROUND}
ground_bearing = "200 kPa"
"""


def _found() -> GroundDemand | None:
    model = build_model(parse_design(ring(THRUST, 1.5) + FOOTING))
    case = model.case(CASE)
    lune = cut_lune(model.dome, case)
    base = base_state(pack(lune))
    return None if base is None else ground_demand(lune, base, spread_of(model.dome, case, lune))


def checks() -> list[Check]:
    """Two rows: the friction it needs, and the stress at its edge."""
    outer, middle = INNER + WIDTH, INNER + WIDTH / 2
    own = DENSITY * 9.80665e-3 * HEIGHT * math.pi * (outer**2 - INNER**2)
    moment = own * 2 / 3 * (outer**3 - INNER**3) / (outer**2 - INNER**2) + CAP * (INNER + PLACE) + THRUST * HEIGHT
    V, H, x = (own + CAP) / (2 * math.pi), THRUST / (2 * math.pi), moment / (own + CAP)
    light, heavy = (weight * BREADTH * DEPTH * middle for weight in (LIGHT, HEAVY))
    width = min(BREADTH, WIDTH + DEPTH)
    off = (V * abs(x - middle) + DEPTH * GROUND / 1.5 * (V + light)) / (V + heavy)
    mean = (V + heavy) / middle / width
    edge = mean * (1 + 6 * off / width) if off <= width / 6 else 4 * mean / (3 * (1 - 2 * off / width))
    found = _found()
    friction, stress = (None, None) if found is None else (found.friction, found.edge_stress)
    source, known = "statics of one ring on a footing, by hand", "derived"
    return [
        Check(
            "one ring on a footing: friction it needs",
            source,
            known,
            None,
            friction,
            1e-9,
            "closed form",
            H / (V + light),
        ),
        Check("one ring on a footing: stress at its edge, kPa", source, known, None, stress, 1e-4, "closed form", edge),
    ]
