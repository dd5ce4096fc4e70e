"""What something else hands into the finished dome: a course all around, or the wall at one bearing.

The parts of a design, the tables of its file, and what the gate asks of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from shellcheck_earth.basics.errors import Problem
from shellcheck_earth.basics.texts import faulty_name
from shellcheck_earth.design.given import Given, GivenSpan, Span, Table, Within, show, within

__all__ = [
    "MOST_BEARING_LOADS",
    "MOST_RING_LOADS",
    "SPANS",
    "BearingLoad",
    "BearingLoadTable",
    "RingLoad",
    "RingLoadTable",
    "handed_problems",
]

MOST_RING_LOADS = MOST_BEARING_LOADS = 5

SPANS = ("weight", "thrust", "from_inner_face")
"""What a load may have a range of."""

WEIGHT = Within("force", -500.0, 500.0)
"""Of what is handed in, whole: weight down, thrust outward."""


PLACE = Within("length", 0.0, 3.0)
LEVEL = within("length", -10.0, 30.0)


@dataclass(frozen=True)
class RingLoad:
    """What something else hands into one course all around, of the finished dome; each span is (least, greatest).

    height           level at which it acts, above the springing [m]
    weight           of the whole ring, down [kN]; negative: it lifts
    thrust           sum of what pushes outward all around [kN]; negative: inward
    from_inner_face  of the course, to where the weight bears [m]
    """

    name: str
    height: float
    weight: tuple[float, float]
    thrust: tuple[float, float]
    from_inner_face: tuple[float, float]


@dataclass(frozen=True)
class BearingLoad:
    """What a beam, the springing of a vault or a tie hands into the finished dome at one bearing; spans as above.

    bearing          on plan, clockwise from the entrance, of the middle of where it bears [rad]
    height           level at which it acts, above the springing [m]
    width            along the inner face of its course, over which it is spread evenly [m]
    weight           down [kN]; negative: it lifts
    thrust           outward along the bearing [kN]; negative: inward
    from_inner_face  of the course, to where the weight bears [m]
    """

    name: str
    bearing: float
    height: float
    width: float
    weight: tuple[float, float]
    thrust: tuple[float, float]
    from_inner_face: tuple[float, float]


class RingLoadTable(Table):
    """What something else hands into one course all around: a cap or skylight on the crown ring, a loft, a roof."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    height: Annotated[Given, LEVEL]
    weight: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))]
    thrust: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))]
    from_inner_face: Annotated[GivenSpan, BeforeValidator(Span(PLACE))]


class BearingLoadTable(Table):
    """What something else hands into the wall at one bearing: a roof beam, a loft beam, the springing of a vault."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    bearing: Annotated[Given, within("angle", -2 * math.pi, 2 * math.pi)]
    height: Annotated[Given, LEVEL]
    width: Annotated[Given, within("length", 0.05, 2.0)]
    weight: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))]
    thrust: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))]
    from_inner_face: Annotated[GivenSpan, BeforeValidator(Span(PLACE))]


def handed_problems(loads: Any, table: str, most: int, within: Mapping[str, Within | None]) -> Iterator[Problem]:
    """Names of their own, and spans in order and in range. within: of every key of the file, by its path."""
    if len(loads) > most:
        yield Problem(table, f"at most {most} of them", f"{len(loads)}")
    kind = table.replace("_", " ")
    for index, load in enumerate(loads, 1):
        path = f"{table}[{index}]"
        found = faulty_name(load.name) if isinstance(load.name, str) and len(load.name) <= 60 else show(load.name)
        if found:
            yield Problem(f"{path}.name", "a text of 1 to 60 characters in plain letters", found)
        elif load.name in [other.name for other in loads[: index - 1]]:
            yield Problem(f"{path}.name", f"a name that no other {kind} has", show(load.name))
        for key in SPANS:
            ends, each = getattr(load, key), within[f"{table}[].{key}"]
            if not isinstance(ends, tuple) or len(ends) != 2 or each is None or not all(map(each.holds, ends)):
                yield Problem(f"{path}.{key}", f"its least and greatest, each {each.span if each else ''}", show(ends))
            elif ends[0] > ends[1]:
                yield Problem(f"{path}.{key}", "a low end that is at most the high end", show(ends))
