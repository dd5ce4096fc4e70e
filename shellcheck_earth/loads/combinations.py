"""Combinations of partial factors: all factors of a row act at once, on the loads and on every capacity.

Rows are data (`basics/values.toml`, tables `combination`), each with its source and how it is known.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from shellcheck_earth.basics.values import combination_rows
from shellcheck_earth.loads.cases import Case

__all__ = ["Combination", "combinations", "factored"]


@dataclass(frozen=True)
class Combination:
    """Factors on loads (permanent, imposed, and from one side: `sideways`, `earthquake`, 0 where not asked), and what
    friction, cohesion, fill and wire are divided by [-].

    `strength_tested`: where every strength a check rests on was measured; `strength_building`, `..._tested`: of stages.
    """

    name: str
    permanent: float
    imposed: float
    sideways: float
    earthquake: float
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


def factored(case: Case, combination: Combination) -> tuple[list[float], list[float]]:
    """(weight [kN], moment [kN m]) of every course of a case, lowest first, per radian: permanent and imposed loads
    multiplied by the combination's factors."""
    pulls = [state.pull(combination.permanent, combination.imposed) for state in case.states]
    return [weight for weight, _ in pulls], [moment for _, moment in pulls]
