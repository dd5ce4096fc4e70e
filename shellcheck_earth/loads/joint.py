"""Every capacity divided at once in the block model: the rows that its cases are asked at.

A set of global factors is one row for each load from one side: the load as it is (a characteristic wind or earthquake
raised to strength level), and every capacity (friction of beds and joints, strength, wire, width of every face) divided
by what the load's criterion requires of it there. Its dead load has the overall reserve, which is the same question. A
set of partial factors has the rows of its combinations: permanent loads and the load from one side times their factors,
with what stands beside it, friction, strength and wire divided by theirs, all at once. So have the rows of the design.

What the ground bears under a jamb or a buttress is asked with the loads as they are: beside the capacities of a set of
global factors, else in a row of its own; and in rows that have factors of the ground with the loads of the row.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import criteria_set, defaults
from shellcheck_earth.design.criteria import ALL_CAPACITIES, ON_THE_GROUND, usual_factor
from shellcheck_earth.design.design import Criteria, Design
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.combinations import (
    Combination,
    carried_factors,
    combinations,
    on_the_side,
    set_rows,
)
from shellcheck_earth.loads.side_loads import SideLoad

__all__ = [
    "ALL_CAPACITIES",
    "COMBINED",
    "ON_THE_GROUND",
    "PLAIN",
    "GroundLimits",
    "Row",
    "dead_rows",
    "fits",
    "ground_limits",
    "multiplied",
    "required_of",
    "side_rows",
]

COMBINED = "combined factors"
"""Criterion of the joint questions: 1 is required, for their factors are in the question."""


@dataclass(frozen=True)
class Row:
    """permanent, load: factors on dead weight and on the load from one side; snow: on that all around beside it, wind:
    on that which drifted it (0: without); the others divide a capacity [-].

    sliding, bearing: what friction on the ground and its bearing pressure are divided by; 0: the ground is not asked.
    more, less: what is handed in counts times `more` where it works against the dome, `less` where it may help.
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
    snow: float = 0.0
    wind: float = 0.0
    more: float = 1.0
    less: float = 1.0

    @property
    def divides(self) -> bool:
        """Whether anything is divided or multiplied at all."""
        return self != PLAIN

    @property
    def as_it_is(self) -> bool:
        """Whether a multiple of the load alone on weights as they are follows from it."""
        return self.permanent == self.more == self.less == 1.0 and self.snow == 0.0 and self.wind == 0.0

    @property
    def grounded(self) -> bool:
        """Whether a dead load is asked of the ground under it too; a load from one side always is."""
        return self.sliding > 0 or self.bearing > 0

    def covers(self, other: Row) -> bool:
        """Whether forces that hold the dead load in this row hold it in the other one too, made smaller together.

        Forces, and with them what is asked of strength and wire, go with the weight; friction does not, nor does what
        is handed in, which every row counts alike (derived).
        """
        if self.permanent != other.permanent and not self.more == self.less == 1.0:
            return False
        if self.grounded or other.grounded:  # what the ground bears does not go with the weight
            alike = self.permanent == other.permanent and self.grounded == other.grounded
            if not (alike and self.sliding >= other.sliding and self.bearing >= other.bearing):
                return False
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


def _row(design: Design, combination: Combination, load: float, *, building: bool, carries: bool) -> Row:
    strength = combination.strength_factor(building=building, tested=design.strengths_tested(building=building))
    row = Row(combination.name, combination.permanent, load, combination.friction, strength, combination.wire)
    row = replace(row, sliding=combination.ground_friction, bearing=combination.ground_bearing)
    more, less = carried_factors(design.criteria) if carries else (1.0, 1.0)
    return replace(row, more=more, less=less)


def _global(design: Design, criterion: str) -> Row:
    """All capacities over what the criterion requires at strength level; what it requires beyond that of a
    characteristic value is on the load."""
    required = capacities = design.criteria.required[criterion]
    row = criteria_set(design.criteria.set_name)[criterion]
    if "strength_level" in row.extra and design.level_of(criterion) == "characteristic":
        capacities = min(required, usual_factor(row, tested=False, level="strength level"))
    r = capacities
    bearing = design.criteria.required["ground bearing"]
    return Row(ALL_CAPACITIES, load=required / r, friction=r, strength=r, wire=r, width=r, bearing=bearing)


def _greatest(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Of rows that differ in their name and in the factor on the load alone the one with the greatest: with the dead
    load, which is asked as well, it holds what lies between (admissible states are convex)."""
    kept: dict[Row, Row] = {}
    for row in rows:
        alike = replace(row, name="", load=row.load if row.wind > 0 else 0.0)
        if alike not in kept or row.load > kept[alike].load:
            kept[alike] = row
    return tuple(kept.values())


def side_rows(design: Design, kind: str, criterion: str, *, building: bool, carries: bool = False) -> tuple[Row, ...]:
    """What a load from one side is asked at beside its multiple. kind, criterion: as of the load; carries: something is
    handed in beside it."""
    site, of_set = design.site, set_rows(design.criteria.set_name)
    rows = [] if of_set else [_global(design, criterion)]
    for combination in combinations(design.criteria):
        load = on_the_side(combination, site, kind)
        if load <= 0:
            continue
        snowed = kind in ("wind", "earthquake") and site.snow > 0 and not building
        drifted = kind == "snow" and site.wind_pressure > 0
        row = _row(design, combination, load, building=building, carries=carries)
        snow, wind = combination.snow if snowed else 0.0, on_the_side(combination, site, "wind") if drifted else 0.0
        rows.append(replace(row, snow=snow, wind=wind))
    return (*_greatest(rows), *((_ground_row(design, sliding=False),) if of_set else ()))


def fits(load: SideLoad, row: Row) -> bool:
    """Whether a load is asked at a row: snow with wind beside it where, and only where, the row has both."""
    return (load.beside is not None) == (row.wind > 0)


def dead_rows(design: Design, case: Case) -> tuple[Row, ...]:
    """What a dead load is asked at beside its overall reserve; of a set of global factors the ground alone.

    Rows that another one covers are left out; `load` is the factor on what is imposed (snow all around). The ground is
    asked of finished domes that are damp or soaked: dry ones and stages weigh less on it, and thrust with their weight.
    What comes from one side does not: beside it the dry dome, which is the lightest, is asked too.
    """
    aside = any(not one.all_around for state in case.states for one in state.handed)
    asked = case.kind == "finished" and (case.moisture != "service" or (aside and not case.snow))
    ground = (_ground_row(design, sliding=True),) if asked or design.building.unfinished else ()
    return (*_dead_rows(design, case, grounded=bool(ground)), *ground)


def _dead_rows(design: Design, case: Case, *, grounded: bool) -> tuple[Row, ...]:
    """grounded: whether the ground is asked of the case; where not, rows ask it nothing either."""
    rows = [
        _row(design, one, one.snow if case.snow else 1.0, building=case.building, carries=case.carries)
        for one in combinations(design.criteria)
    ]
    rows = rows if grounded else [replace(row, sliding=0.0, bearing=0.0) for row in rows]
    if case.snow:
        # A row without the snow is one of the same dome without it.
        return _greatest(row for row in rows if row.load > 0)
    kept: list[Row] = []
    for row in rows:
        if not any(other.covers(row) for other in kept):
            kept = [other for other in kept if not row.covers(other)] + [row]
    return tuple(kept)


def multiplied(case: Case, permanent: float, imposed: float, carried: tuple[float, float] = (1.0, 1.0)) -> Case:
    """The case with its permanent and imposed loads times these factors, and what is handed in as it counts with
    `carried` (more, less)."""
    if permanent == imposed == 1.0 and carried == (1.0, 1.0):
        return case
    states = tuple(
        replace(
            state,
            parts=tuple(
                replace(part, unit_weight=part.unit_weight * (imposed if part.imposed else permanent))
                for part in state.parts
            ),
            loads=tuple(replace(load, weight=load.weight * imposed) for load in state.loads),
            handed=tuple(one.counted(*carried) for one in state.handed),
        )
        for state in case.states
    )
    return replace(case, states=states, permanent=case.permanent * permanent)
