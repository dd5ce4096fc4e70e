"""Combinations of partial factors: all factors of a row act at once, on the loads and on every capacity.

Rows are data (`basics/values.toml`, tables `combination`), each with its source and how it is known.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from shellcheck_earth.basics.values import combination_rows
from shellcheck_earth.loads.cases import Case, CourseState

__all__ = ["Combination", "combinations", "factored"]


@dataclass(frozen=True)
class Combination:
    """Factors on permanent and imposed loads, and what friction, cohesion, fill and wire are divided by [-].

    `strength_tested`: where every strength a check rests on was measured; `strength_building`, `..._tested`: of stages.
    """

    name: str
    permanent: float
    imposed: float
    friction: float
    cohesion: float
    strength: float
    strength_tested: float
    strength_building: float
    strength_building_tested: float
    wire: float
    source: str

    def strength_factor(self, *, building: bool, tested: bool) -> float:
        """What the strength of the fill is divided by."""
        if building:
            return self.strength_building_tested if tested else self.strength_building
        return self.strength_tested if tested else self.strength


@cache
def combinations(set_name: str) -> tuple[Combination, ...]:
    """The rows of a named set; () for a set of global factors, whose joint question is the overall reserve."""
    return tuple(
        Combination(
            name=row.key.rsplit(".", 1)[-1],
            **{key: float(row.extra[key]) for key in Combination.__dataclass_fields__ if key not in ("name", "source")},
            source=f"{row.source.text}; {row.known}",
        )
        for row in combination_rows(set_name)
    )


def _factored_state(state: CourseState, combination: Combination) -> CourseState:
    parts = tuple(
        replace(part, unit_weight=part.unit_weight * (combination.imposed if part.imposed else combination.permanent))
        for part in state.parts
    )
    loads = tuple(replace(load, weight=load.weight * combination.imposed) for load in state.loads)
    return replace(state, parts=parts, loads=loads)


def factored(case: Case, combination: Combination) -> Case:
    """The case with its permanent and imposed loads multiplied by the combination's factors."""
    return replace(case, states=tuple(_factored_state(state, combination) for state in case.states))
