"""One ring on a footing, pushed outward at its top, against statics by hand: what it asks of the ground.

Of one ring every number is known (`ring_loads.py`): V and H a radian, and x where its resultant crosses the bed. On a
footing B wide and D deep under the middle m of the bed, which weighs g B D m, it needs the friction H/(V + w); it
presses over B' = min(B, b - a + D), off the middle by (V |x - m| + D P)/(V + W) where all the thrust P that the ground
may hold, mu (V + w)/1.5, tips it at that depth, with the stress of a strip (derived; the spread is common practice).

Blocks, 18 to the ring, stand each on a piece of it of half-angle b: what presses, (V + w) 2 b, does so as a uniform
block between the edge and twice as far in, as long as the piece is at its inner edge, over B' less 2 D mu/1.5; what the
heaviest weighs more presses evenly, (W - w)/m over that width. Shaken by a of all weights, w counting as W, up by 0.3
of that, the ring slides with its footing at l a (V + W) = mu s (V + w - 0.3 l a (V + W)), s = sin b/b.
"""

from __future__ import annotations

import math
from dataclasses import replace

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.footing import THIN
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.reserve import dead_problem
from shellcheck_earth.safety.blocks.sideways import Asked, Question
from shellcheck_earth.safety.ground import GroundDemand, ground_demand, spread_of

from .ring_loads import CAP, CASE, DENSITY, HEIGHT, INNER, PLACE, WIDTH, ring
from .table import Check

__all__ = ["checks"]

THRUST, BREADTH, DEPTH, LIGHT, HEAVY, GROUND = 3.0, 0.8, 0.3, 16.0, 20.0, 0.3
"""[kN, m, m, kN/m3, kN/m3, -]."""

CUTS, SHAKEN = 18, 0.1

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


def _dome(bearing: float, **site: float) -> Dome:
    """On ground that was measured wet, of this bearing pressure [kPa]."""
    design = parse_design(ring(THRUST, 1.5) + FOOTING)
    known = {f"site.ground_{key}_wet": "measured" for key in ("friction", "bearing")}
    of = replace(design.site, friction_wet=GROUND, bearing_wet=bearing, ground_bearing=bearing, **site)
    return build_model(replace(design, site=of, bases={**design.bases, **known})).dome


def _blocks_bear() -> float:
    """The least pressure of the ground on which the blocks stand [kPa]."""
    case = build_model(parse_design(ring(THRUST, 1.5) + FOOTING)).case(CASE)
    low, high, row = 1.0, 1000.0, Row(ON_THE_GROUND, sliding=1.5, bearing=1.0)
    while high > low * (1 + 1e-5):
        middle = (low + high) / 2
        dome = _dome(middle)
        problem = dead_problem(dome, case, cut_blocks(dome, CUTS, founded=True), 1.0, row)
        held = solve_cone(assemble(replace(problem, most=1e-6))).solved
        low, high = (low, middle) if held else (middle, high)
    return high


def _blocks_shaken() -> tuple[float, float]:
    """(multiple of an earthquake that the blocks hold, weight of a radian of the ring [kN])."""
    dome = _dome(1000.0, earthquake=SHAKEN)
    job = next(job for job in jobs(dome) if job.id == "three-d-earthquake")
    load = next(one for one in job.loads if one.vertical > 0)
    question = Question(dome, job, (CUTS,), 30.0)
    answer = solve_cone(assemble(question.problem(question.layouts[0], Asked(load, PLAIN))))
    return answer.multiplier, job.case.states[0].weight


def _by_blocks(V: float, light: float, heavy: float, moment: float) -> list[Check]:
    """moment: of V and H about the level on which pieces press, THIN under the bed [kN m]."""
    middle, b, width = INNER + WIDTH / 2, math.pi / CUTS, min(BREADTH, WIDTH + DEPTH) - 2 * DEPTH * GROUND / 1.5
    s, inner, outer = math.sin(b) / b, middle - width / 2, (middle + width / 2) * math.cos(b)
    place = (moment + light * (middle + BREADTH**2 / 12 / middle)) * s / (V + light)
    pressed = (V + light) * 2 * b / (2 * inner * math.tan(b)) / (2 * min(place - inner, outer - place))
    pressed += (heavy - light) / middle / width
    times, ring_weight = _blocks_shaken()
    shaken, friction = SHAKEN * (ring_weight + heavy), GROUND * s
    slides = friction * (ring_weight + light) / (shaken * (1 + 0.3 * friction))
    rows = (
        ("pressure of the ground that its blocks need, kPa", pressed, _blocks_bear(), 1e-4, "bisection"),
        ("how often an earthquake of 0.1 is held by its blocks", slides, times, 1e-3, "turning of pieces"),
    )
    return [
        Check(f"one ring on a footing: {what}", "statics of one ring on a footing, by hand", "derived", None, computed,
              tolerance, why, by_hand)
        for what, by_hand, computed, tolerance, why in rows
    ]  # fmt: skip


def checks() -> list[Check]:
    """Four rows: the friction it needs, the stress at its edge, and both of blocks."""
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
        *_by_blocks(V, light, heavy, V * x + H * THIN),
    ]
