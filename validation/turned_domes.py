"""Whole designs turned on plan, and cut finer: the reserve of a dome with openings is the dome's, not the drawing's.

Turned by any angle the blocks are the same (tests/geometry/test_meridians.py holds twelve designs to it at eight
angles); here the answer itself is asked again. Finer cuts add joints, and take less off for a block's arc (up to 1 %).
"""

from __future__ import annotations

import math
from dataclasses import replace

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.safety.blocks.edge import RESERVE_STEP
from shellcheck_earth.safety.blocks.reserve import largest_reserve

from .plain_dome import plain_dome
from .table import Check

__all__ = ["checks"]

DESIGNS: tuple[tuple[str, tuple[Opening, ...]], ...] = (
    ("door 0.8 m, pointed", (Opening("door", 0.0, 0.0, 0.8, 1.7, "pointed"),)),
    (
        "door 0.7 m, round, and a window",
        (Opening("door", 0.0, 0.0, 0.7, 1.6, "round"), Opening("window", 2.2, 0.7, 0.5, 0.5, "round")),
    ),
)
TURNS = (5.0, 123.4)


def _dome(openings: tuple[Opening, ...], turn: float) -> Dome:
    plain = plain_dome(0.15, 0.7, 0.30)
    turned = tuple(
        replace(one, bearing=math.remainder(one.bearing + math.radians(turn), 2 * math.pi)) for one in openings
    )
    shape = replace(plain.dome, inside_diameter=3.2, pivot_beyond_inner_face=0.45)
    return build_dome(replace(plain, dome=shape, wall=replace(plain.wall, filled_width=0.45), openings=turned))


def _reserve(openings: tuple[Opening, ...], turn: float, cuts: int) -> float:
    """The overall reserve of the finished dome, to RESERVE_STEP."""
    dome = _dome(openings, turn)
    return largest_reserve(dome, dead_cases(dome)[0], cut_blocks(dome, cuts), [6.0], first=1.25).reserve or 0.0


def checks() -> list[Check]:
    """Turned by two angles against as drawn; 72 cuts against 18."""
    out = []
    for name, openings in DESIGNS:
        drawn = _reserve(openings, 0.0, 18)
        for turn in TURNS:
            again = _reserve(openings, turn, 18)
            what, why = f"{name}: reserve, the dome turned by {turn:g} deg", "the step of the search"
            out.append(Check(what, "as drawn", "computed", None, again, RESERVE_STEP * drawn, why, drawn))
        for cuts in (72,):
            finer = _reserve(openings, 0.0, cuts)
            what, why = f"{name}: reserve at {cuts} cuts a ring", "a tenth: beyond, the answer is 'cannot say'"
            out.append(Check(what, "18 cuts a ring", "computed", None, finer, 0.1 * drawn, why, drawn))
    return out
