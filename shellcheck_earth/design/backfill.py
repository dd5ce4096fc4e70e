"""Earth laid against the finished wall all around: its data, its table in the design file, and what the gate asks.

A berm above the ground, or the ground itself where the floor lies below it. What is said of it here; what it does, at
every end of its ranges and without it, in `loads/earth.py`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any, NamedTuple

from pydantic import BeforeValidator

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import default
from shellcheck_earth.design.given import Given, GivenSpan, Span, Table, Within, fault, show, within

__all__ = ["REASON", "SPANS", "Backfill", "BackfillTable", "GivenDrained", "backfill_problems", "usual_span"]

SPANS = ("unit_weight", "friction_angle")
"""What of the earth may be a range."""

REASON = (5, 200)
"""Characters of a reason."""

WEIGHT = Within("unit weight", 10.0, 26.0)
ANGLE = Within("angle", math.radians(5.0), math.radians(50.0))


def usual_span(key: str) -> tuple[float, float]:
    """(least, greatest) of the earth's value where nobody measured it: the range of its default [SI]."""
    row, dimension = default(f"backfill.{key}"), "unit weight" if key == "unit_weight" else "angle"
    return parse_quantity(row.low, dimension), parse_quantity(row.high, dimension)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Backfill:
    """Earth against the outer face of the finished wall, all around; each span is (least, greatest).

    height          of its level surface above the ground outside [m]; 0: the ground alone, of a floor below it
    unit_weight     dry to soaked [kN/m3]
    friction_angle  effective [rad]
    compacted       laid in tamped lifts, or by nature denser than loose: it may press as much as it weighs
    surcharge       what may stand on its surface [kPa]
    drained         why no water can stand against the wall; "": nothing was said
    """

    height: float = 0.0
    unit_weight: tuple[float, float] = usual_span("unit_weight")
    friction_angle: tuple[float, float] = usual_span("friction_angle")
    compacted: bool = True
    surcharge: float = parse_quantity(default("backfill.surcharge").value, "stress")
    drained: str = ""


class GivenDrained(NamedTuple):
    """Why no water can stand against the wall; "" where it can."""

    reason: str


def _drained(raw: object) -> GivenDrained:
    if raw is False:
        return GivenDrained("")
    reason = raw.get("reason") if isinstance(raw, dict) else None
    whole = isinstance(raw, dict) and set(raw) == {"value", "reason"} and raw["value"] is True
    if not whole or not isinstance(reason, str) or not REASON[0] <= len(reason.strip()) <= REASON[1]:
        raise fault('{ value = true, reason = "..." } with a reason of 5 to 200 characters, or false', raw)
    return GivenDrained(reason.strip())


class BackfillTable(Table):
    """Earth against the finished wall, all around."""

    height: Annotated[Given, within("length", 0.0, 5.0)] | None = None
    unit_weight: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))] | None = None
    friction_angle: Annotated[GivenSpan, BeforeValidator(Span(ANGLE))] | None = None
    compacted: bool | None = None
    surcharge: Annotated[Given, within("stress", 0.0, 50.0)] | None = None
    drained: Annotated[GivenDrained, BeforeValidator(_drained)] | None = None


def backfill_problems(earth: Any) -> Iterator[Problem]:
    """Spans in order and in range, and a reason that is a text."""
    for key, each in (("unit_weight", WEIGHT), ("friction_angle", ANGLE)):
        ends = getattr(earth, key)
        if not isinstance(ends, tuple) or len(ends) != 2 or not all(map(each.holds, ends)):
            yield Problem(f"backfill.{key}", f"its least and greatest, each {each.span}", show(ends))
        elif ends[0] > ends[1]:
            yield Problem(f"backfill.{key}", "a low end that is at most the high end", show(ends))
    reason = earth.drained
    if not isinstance(reason, str) or (reason and not REASON[0] <= len(reason) <= REASON[1]):
        yield Problem("backfill.drained", "a reason of 5 to 200 characters, or none", show(reason))
