"""Every capacity divided at once in the block model: the rows that its cases are asked at.

A set of global factors is one row for each load from one side: the load as it is, and every capacity (friction of beds
and joints, strength, wire, width of every face) divided by what the load's criterion requires. Its dead load has the
overall reserve, which is the same question. A set of partial factors has the rows of its combinations: permanent loads
and the load from one side times their factors, friction, strength and wire divided by theirs, all at once.

What the ground bears under a jamb or a buttress is asked with the loads as they are: beside the capacities of a set of
global factors, else in a row of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import defaults
from shellcheck_earth.design.design import Criteria, Design
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.combinations import Combination, combinations

__all__ = [
    "COMBINED",
    "ON_THE_GROUND",
    "PLAIN",
    "GroundLimits",
    "Row",
    "dead_rows",
    "ground_limits",
    "multiplied",
    "required_of",
    "side_rows",
]

COMBINED = "combined factors"
"""Criterion of the joint questions: 1 is required, for their factors are in the question."""


ON_THE_GROUND = "on the ground"
"""Name of the row that asks for nothing but what the ground bears and holds."""


@dataclass(frozen=True)
class Row:
    """permanent, load: factors on dead weight and on the load from one side; the others divide a capacity [-].

    sliding, bearing: what friction on the ground and its bearing pressure are divided by; 0: the ground is not asked.
    """

    name: str = ""
    permanent: float = 1.0
    load: float = 1.0
    friction: float = 1.0
    strength: float = 1.0
    wire: float = 1.0
    width: float = 1.0
    sliding: float = 0.0
    bearing: float = 0.0

    @property
    def divides(self) -> bool:
        """Whether anything is divided or multiplied at all."""
        return self != PLAIN

    def covers(self, other: Row) -> bool:
        """Whether forces that hold the dead load in this row hold it in the other one too, made smaller together.

        Forces, and with them what is asked of strength and wire, go with the weight; friction does not (derived).
        """
        mine, theirs = (
            (row.friction, row.strength * row.permanent, row.wire * row.permanent, row.width) for row in (self, other)
        )
        return all(a >= b for a, b in zip(mine, theirs, strict=True))


PLAIN = Row()
"""Everything as it is."""


@dataclass(frozen=True)
class GroundLimits:
    """What the ground holds and bears under blocks: friction [-] and pressure [kPa]; inf where it is not asked."""

    friction: float = math.inf
    bearing: float = math.inf


def _on_the_ground(design: Design, quantity: str) -> float:
    """The ground's wet value, for rain may come with any load; one that nobody measured at the low end of its range,
    for no trial asks the blocks again."""
    path = f"site.ground_{quantity}_wet"
    value: float = min(getattr(design.site, f"ground_{quantity}_wet"), getattr(design.site, f"ground_{quantity}"))
    if design.basis(path) == "measured":
        return value
    low = defaults()[path].low
    return min(value, parse_quantity(low, "stress") if quantity == "bearing" else float(low))


def ground_limits(design: Design, row: Row, *, sideways: bool) -> GroundLimits:
    """What a question of blocks is held to on the ground. A load from one side always has the ground's friction."""
    friction = _on_the_ground(design, "friction") if sideways or row.sliding else math.inf
    bearing = _on_the_ground(design, "bearing") / row.bearing if row.bearing else math.inf
    return GroundLimits(friction / row.sliding if row.sliding else friction, bearing)


def _ground_row(design: Design, *, sliding: bool) -> Row:
    required = design.criteria.required
    slide = required["base sliding"] if sliding else 0.0
    return Row(ON_THE_GROUND, sliding=slide, bearing=required["ground bearing"])


def required_of(criteria: Criteria, criterion: str) -> float:
    """The factor that a criterion of the block model requires."""
    return 1.0 if criterion == COMBINED else criteria.required[criterion]


def _tested(design: Design, *, building: bool) -> bool:
    """Whether every strength that a case of the kind can rest on was measured."""
    states = ["as_placed"] if building else ["dry", "as_placed"]
    states += [] if design.fill.stabiliser == "none" else ["wet"]
    return design.basis(*(f"fill.strength_{state}" for state in states)) == "measured"


def _row(design: Design, combination: Combination, load: float, *, building: bool) -> Row:
    strength = combination.strength_factor(building=building, tested=_tested(design, building=building))
    return Row(combination.name, combination.permanent, load, combination.friction, strength, combination.wire)


def _each_once(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Without rows that differ in their name alone from one that is there."""
    kept: list[Row] = []
    for row in rows:
        if all(replace(row, name=other.name) != other for other in kept):
            kept.append(row)
    return tuple(kept)


def side_rows(design: Design, kind: str, criterion: str, *, building: bool) -> tuple[Row, ...]:
    """What a load from one side is asked at beside its multiple. kind, criterion: as of the load."""
    rows = combinations(design.criteria.set_name)
    if not rows:
        r, bearing = design.criteria.required[criterion], design.criteria.required["ground bearing"]
        return (Row("all capacities", friction=r, strength=r, wire=r, width=r, bearing=bearing),)
    factor = {row.name: row.earthquake if kind == "earthquake" else row.sideways for row in rows}
    of_set = _each_once(_row(design, row, factor[row.name], building=building) for row in rows if factor[row.name] > 0)
    return (*of_set, _ground_row(design, sliding=False))


def dead_rows(design: Design, case: Case) -> tuple[Row, ...]:
    """What a dead load is asked at beside its overall reserve; of a set of global factors the ground alone.

    Rows that another one covers are left out; `load` is the factor on what is imposed (snow all around). The ground is
    asked of finished domes that are damp or soaked: dry ones and stages weigh less on it, and thrust with their weight.
    """
    asked = case.kind == "finished" and case.moisture != "service"
    ground = (_ground_row(design, sliding=True),) if asked or design.building.unfinished else ()
    return (*_dead_rows(design, case), *ground)


def _dead_rows(design: Design, case: Case) -> tuple[Row, ...]:
    rows = [_row(design, row, row.imposed, building=case.building) for row in combinations(design.criteria.set_name)]
    if case.snow:
        # A row without the snow is one of the same dome without it.
        return _each_once(row for row in rows if row.load > 0)
    kept: list[Row] = []
    for row in (replace(row, load=1.0) for row in rows):
        if not any(other.covers(row) for other in kept):
            kept = [other for other in kept if not row.covers(other)] + [row]
    return tuple(kept)


def multiplied(case: Case, permanent: float, imposed: float) -> Case:
    """The case with its permanent and imposed loads times these factors."""
    if permanent == imposed == 1.0:
        return case
    states = tuple(
        replace(
            state,
            parts=tuple(
                replace(part, unit_weight=part.unit_weight * (imposed if part.imposed else permanent))
                for part in state.parts
            ),
            loads=tuple(replace(load, weight=load.weight * imposed) for load in state.loads),
        )
        for state in case.states
    )
    return replace(case, states=states, permanent=case.permanent * permanent)
