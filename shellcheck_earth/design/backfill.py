"""Earth laid against the finished wall, all around or on one side: its data, its table, and what the gate asks.

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

NEAR = 1e-9
REASON = (5, 200)
"""Characters of a reason."""

SIDE = (math.radians(10.0), math.radians(330.0))
"""How wide earth on one side may be [rad]: beyond it lies all around."""

CLEAR = 0.5
"""Wall that has to lie between an opening and earth that reaches what carries it, beside half the opening's width
again [m]."""

WEIGHT = Within("unit weight", 10.0, 26.0)
ANGLE = Within("angle", math.radians(5.0), math.radians(50.0))


def usual_span(key: str) -> tuple[float, float]:
    """(least, greatest) of the earth's value where nobody measured it: the range of its default [SI]."""
    row, dimension = default(f"backfill.{key}"), "unit weight" if key == "unit_weight" else "angle"
    return parse_quantity(row.low, dimension), parse_quantity(row.high, dimension)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Backfill:
    """Earth against the outer face of the finished wall; each span is (least, greatest).

    height          of its level surface above the ground outside [m]; 0: the ground alone, of a floor below it
    unit_weight     dry to soaked [kN/m3]
    friction_angle  effective [rad]
    compacted       laid in tamped lifts, or by nature denser than loose: it may press as much as it weighs
    surcharge       what may stand on its surface [kPa]
    drained         why no water can stand against the wall; "": nothing was said
    from_bearing, to_bearing   clockwise from where to where it lies [rad]; None: all around
    """

    height: float = 0.0
    unit_weight: tuple[float, float] = usual_span("unit_weight")
    friction_angle: tuple[float, float] = usual_span("friction_angle")
    compacted: bool = True
    surcharge: float = parse_quantity(default("backfill.surcharge").value, "stress")
    drained: str = ""
    from_bearing: float | None = None
    to_bearing: float | None = None

    @property
    def half(self) -> float:
        """Half the angle over which it lies [rad]; pi all around."""
        if self.from_bearing is None or self.to_bearing is None:
            return math.pi
        return (self.to_bearing - self.from_bearing) % (2 * math.pi) / 2

    @property
    def middle(self) -> float:
        """The bearing of its middle [rad]; 0 all around."""
        return 0.0 if self.from_bearing is None or self.all_around else self.from_bearing + self.half

    @property
    def all_around(self) -> bool:
        """Whether it lies all around, which rings know as well; one side only blocks do."""
        return self.half == math.pi

    def covers(self, bearing: float) -> bool:
        """Whether it lies at a bearing [rad]."""
        return self.all_around or abs(math.remainder(bearing - self.middle, 2 * math.pi)) <= self.half

    def beside(self, bearing: float, width: float, radius: float) -> bool:
        """Whether an opening of a width [m] at a bearing [rad] of a wall of this inner radius [m] lies off it, by its
        width and CLEAR from its middle to where the earth ends."""
        off = abs(math.remainder(bearing - self.middle, 2 * math.pi)) - self.half
        return not self.all_around and off * radius >= width + CLEAR


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


BEARING = within("angle", -2 * math.pi, 2 * math.pi)


class BackfillTable(Table):
    """Earth against the finished wall: all around, or on the side between two bearings."""

    height: Annotated[Given, within("length", 0.0, 5.0)] | None = None
    unit_weight: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))] | None = None
    friction_angle: Annotated[GivenSpan, BeforeValidator(Span(ANGLE))] | None = None
    compacted: bool | None = None
    surcharge: Annotated[Given, within("stress", 0.0, 50.0)] | None = None
    drained: Annotated[GivenDrained, BeforeValidator(_drained)] | None = None
    from_bearing: Annotated[Given, BEARING] | None = None
    to_bearing: Annotated[Given, BEARING] | None = None


def _side_problems(earth: Any, floor_above_ground: float) -> Iterator[Problem]:
    """Both ends of one side or none, an angle that is one, and no other earth beside it."""
    ends = earth.from_bearing, earth.to_bearing
    if ends == (None, None):
        return
    for key, end, other in (("from_bearing", *ends), ("to_bearing", *ends[::-1])):
        if end is None:
            yield Problem(
                f"backfill.{key}",
                "where the earth begins and where it ends, or neither",
                f"only {math.degrees(other):.4g} deg",
            )
            return
    least, most = SIDE
    turn = (ends[1] - ends[0]) % (2 * math.pi)
    if not least - NEAR <= turn <= most + NEAR:
        expected = "10 to 330 deg clockwise from from_bearing; all around without both"
        yield Problem("backfill.to_bearing", expected, f"{math.degrees(turn):.4g} deg")
    if floor_above_ground < 0:
        expected = "none where the floor is below the ground, which presses all around"
        yield Problem("backfill.from_bearing", expected, f"{math.degrees(ends[0]):.4g} deg")


def backfill_problems(earth: Any, floor_above_ground: float) -> Iterator[Problem]:
    """Spans in order and in range, a reason that is a text, and a side that is one."""
    yield from _side_problems(earth, floor_above_ground)
    for key, each in (("unit_weight", WEIGHT), ("friction_angle", ANGLE)):
        ends = getattr(earth, key)
        if not isinstance(ends, tuple) or len(ends) != 2 or not all(map(each.holds, ends)):
            yield Problem(f"backfill.{key}", f"its least and greatest, each {each.span}", show(ends))
        elif ends[0] > ends[1]:
            yield Problem(f"backfill.{key}", "a low end that is at most the high end", show(ends))
    reason = earth.drained
    if not isinstance(reason, str) or (reason and not REASON[0] <= len(reason) <= REASON[1]):
        yield Problem("backfill.drained", "a reason of 5 to 200 characters, or none", show(reason))
