"""A dome whose base leans as one: one side of it has sunk further than the other.

Seen from the dome gravity is turned by the lean a: its weights press with cos a of themselves and push to the low side
with sin a. Made larger by 1/cos a together, that is the dead load with a push of tan a of every weight; capacities are
left as they are, which is on the side of the cautious (derived). Rings are no longer alike then: the blocks are asked,
towards each direction of a load from one side and those about the worst. A study, never a verdict: nothing is proven.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.joint import COMBINED, PLAIN, Row
from shellcheck_earth.loads.side_loads import SideLoad, directions_to_try
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.result import MOST_FACTOR, BlockResult
from shellcheck_earth.safety.blocks.sideways import sideways_case
from shellcheck_earth.safety.blocks.solve import CUTS
from shellcheck_earth.safety.blocks.validity import beyond_validation

__all__ = ["MOST_LEAN", "Lean", "lean_of_base", "leaning"]

MOST_LEAN = math.radians(15.0)
"""Largest lean that may be stated [rad]."""


@dataclass(frozen=True)
class Lean:
    """What a lean of the base leaves.

    way, angle  how far one side of the base lies below the other [m], and the lean of that [rad]
    meets       whether every state holds it with all capacities divided by the overall reserve that is required; None
                where that could not be established
    stands      the same with capacities as designed
    meets_to, stands_to  up to which lean [rad]; None with what could not be established
    looked_to   where the looking ends [rad]: a lean that is held so far may be held further
    towards     bearing of the low side that decides `meets` [rad]; case_id: the state that does
    why         what could not be established; "" where all was
    """

    way: float
    angle: float
    meets: bool | None
    stands: bool | None
    meets_to: float | None
    stands_to: float | None
    looked_to: float
    towards: float
    case_id: str
    why: str


def lean_of_base(dome: Dome, way: float) -> float:
    """The lean [rad] of a base of which one side has sunk by `way` [m] below the other, measured over its outside."""
    return math.asin(min(way / (2 * dome.courses[0].outer_radius), 1.0))


def _job(dome: Dome, case: Case, angle: float, row: Row) -> Job:
    """The stated lean in each direction, beside the state; 1 of it is what is asked."""
    share, loads = math.tan(angle), []
    for bearing in directions_to_try(dome.design):
        degrees = math.degrees(bearing)
        title = f"Lean towards {degrees % 360:.0f} deg"
        loads.append(SideLoad(f"lean-{degrees:03.0f}", title, "earthquake", bearing, share, "overall reserve"))
    further = math.tan(MOST_LEAN) / share / OVERSTATED / MOST_FACTOR
    return Job(f"lean-{case.id}", "Lean", COMBINED, case, tuple(loads), rows=(row,), answers=further)


def _divided(dome: Dome) -> Row:
    q = dome.design.criteria.required["overall reserve"]
    return Row(name="overall reserve", friction=q, strength=q, wire=q, width=q)


def _asked(dome: Dome, cases: tuple[Case, ...], angle: float, row: Row) -> Iterator[tuple[Case, BlockResult]]:
    for case in cases:
        yield case, sideways_case(dome, _job(dome, case, angle, row), CUTS)


def _worst(found: list[tuple[Case, BlockResult]]) -> tuple[Case, BlockResult]:
    """What could not be established hides nothing that falls short, and comes before what holds."""

    def order(pair: tuple[Case, BlockResult]) -> tuple[int, float]:
        relied = pair[1].relied
        return (1, 0.0) if relied is None else (0 if relied < 1.0 else 2, relied)

    return min(found, key=order)


def _to(result: BlockResult, angle: float) -> float | None:
    return None if result.relied is None else math.atan(result.relied * math.tan(angle))


def leaning(dome: Dome, cases: tuple[Case, ...], way: float, progress: Progress = quiet) -> Lean:
    """What is left of a finished dome whose base leans.

    Parameters
    ----------
    dome
        With its openings and buttresses.
    cases
        Finished states that count.
    way
        How far one side of the base lies below the other [m], over 0.
    progress
        Told what is being done.

    Returns
    -------
    Lean
        The least of all states and directions; a share of the scheme's number is relied on, as for every load from one
        side.
    """
    angle = lean_of_base(dome, way)
    beyond = beyond_validation(dome)
    if beyond:
        why = "beyond the range of validation: " + "; ".join(str(one) for one in beyond)
        return Lean(way, angle, None, None, None, None, MOST_LEAN, 0.0, cases[0].id, why)
    progress("leaning the dome", 0, 2)
    case, least = _worst(list(_asked(dome, cases, angle, _divided(dome))))
    progress("leaning the dome", 1, 2)
    _, standing = _worst(list(_asked(dome, cases, angle, PLAIN)))
    progress("leaning the dome", 2, 2)
    return Lean(
        way=way,
        angle=angle,
        meets=least.meets,
        stands=standing.meets,
        meets_to=_to(least, angle),
        stands_to=_to(standing, angle),
        looked_to=max(MOST_LEAN, math.atan(OVERSTATED * MOST_FACTOR * math.tan(angle))),
        towards=least.directions[0][0] if least.directions else 0.0,
        case_id=case.id,
        why=least.why or standing.why,
    )
