"""A footing under the wall all around: its data, its table in the design file, and what the gate asks.

Rubble, gravel or concrete in a trench under the lowest course. What it does for the ground is in `safety/ground.py`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.units import both, parse_quantity
from shellcheck_earth.basics.values import default
from shellcheck_earth.design.given import Given, GivenSpan, Span, Table, Within, show, within

__all__ = ["Footing", "FootingTable", "footing_problems", "usual_weight"]

WEIGHT = Within("unit weight", 10.0, 28.0)


def usual_weight() -> tuple[float, float]:
    """(least, greatest) unit weight of what nobody weighed: the range of its default [kN/m3]."""
    row = default("footing.unit_weight")
    return parse_quantity(row.low, "unit weight"), parse_quantity(row.high, "unit weight")


@dataclass(frozen=True)
class Footing:
    """Under the lowest course all around, its middle under that of the bed.

    width, depth  of its section [m]; unit_weight (least, greatest) [kN/m3]
    """

    width: float
    depth: float
    unit_weight: tuple[float, float] = usual_weight()


class FootingTable(Table):
    """A footing under the lowest course, all around."""

    width: Annotated[Given, within("length", 0.1, 3.0)]
    depth: Annotated[Given, within("length", 0.05, 2.0)]
    unit_weight: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))] | None = None


def footing_problems(footing: Any, wall_width: float, system: str) -> Iterator[Problem]:
    """Its span in order and in range, and a footing that reaches under all of the wall."""
    ends = footing.unit_weight
    if not isinstance(ends, tuple) or len(ends) != 2 or not all(map(WEIGHT.holds, ends)):
        yield Problem("footing.unit_weight", f"its least and greatest, each {WEIGHT.span}", show(ends))
    elif ends[0] > ends[1]:
        yield Problem("footing.unit_weight", "a low end that is at most the high end", show(ends))
    if footing.width < wall_width:
        least, found = (both(width, "length", system, 4) for width in (wall_width, footing.width))
        yield Problem("footing.width", f"at least the width of the wall, {least}", found)
