"""Combinations of factors: all factors of a row act at once, on the loads and on every capacity.

Rows are data: those of the named set (`basics/values.toml`, tables `combination`, each with its source and how it is
known), and those of the design, of a file of its own or of the design file, which stand for a row of the same name and
come beside the others.
"""

from __future__ import annotations

from functools import cache

from shellcheck_earth.basics.values import combination_rows
from shellcheck_earth.design.criteria import FACTORS, UNASKED, Combination, one_each
from shellcheck_earth.design.design import Criteria, Design, Site
from shellcheck_earth.loads.cases import Case

__all__ = [
    "Combination",
    "carried_factors",
    "combinations",
    "factored",
    "on_all_around",
    "on_the_side",
    "ring_rows",
    "set_rows",
]


@cache
def set_rows(set_name: str) -> tuple[Combination, ...]:
    """The rows of a named set; () for a set of global factors, whose joint question is the overall reserve."""
    return tuple(
        Combination(
            name=row.key.removeprefix(f"combination.{set_name}."),
            **{key: float(row.extra.get(key, 0.0) if key in UNASKED else row.extra[key]) for key in FACTORS},
            clause=row.extra["clause"],
            source=f"{row.source.text}; {row.known}",
            capacities=row.extra["capacities"],
        )
        for row in combination_rows(set_name)
    )


@cache
def combinations(criteria: Criteria) -> tuple[Combination, ...]:
    """Every row that a design is asked: the set's, in place of each of them the design's of the same name, and the
    design's others behind."""
    return one_each(set_rows(criteria.set_name), criteria.said_rows)


def on_the_side(row: Combination, site: Site, kind: str) -> float:
    """A row's factor on a load from one side, as the site states it."""
    if kind == "wind":
        return row.wind_strength_level if site.wind_basis == "strength level" else row.wind
    if kind == "earthquake":
        return row.earthquake_strength_level if site.earthquake_basis == "strength level" else row.earthquake
    return {"snow": row.snow, "rain": row.water, "worker": row.imposed}[kind]


def on_all_around(row: Combination, case: Case) -> float:
    """A row's factor on what is imposed on all of a case: snow, or a crew, one that weighs less than the row's least
    raised to it; 1 where nothing is."""
    if case.crew and not case.snow:
        return row.imposed * max(1.0, row.crew_pressure * case.crew_area)
    return row.snow if case.snow else 1.0


def ring_rows(design: Design, case: Case) -> tuple[tuple[Combination, float], ...]:
    """The rows that a ring-symmetric case is asked, with their factor on what is imposed.

    A row without the load is one of the same dome without it. Of rows that differ in that factor alone the greatest is
    asked: with the dome without the load it holds what lies between (admissible states are convex).
    """
    out: dict[tuple[float, ...], tuple[Combination, float]] = {}
    for row in combinations(design.criteria):
        factor = on_all_around(row, case)
        strength = row.strength_factor(building=case.building, tested=design.strengths_tested(building=case.building))
        alike = row.permanent, row.friction, row.cohesion, strength, row.wire
        if factor > 0 and (alike not in out or factor > out[alike][1]):
            out[alike] = row, factor
    return tuple(out.values())


def carried_factors(criteria: Criteria) -> tuple[float, float]:
    """(greatest, least) factor on permanent loads of any row, neither on the other side of 1: of what is handed into a
    ring, in every row, what works against the dome and what may help it."""
    factors = [1.0, *(row.permanent for row in combinations(criteria))]
    return max(factors), min(factors)


def factored(
    case: Case, permanent: float, imposed: float, carried: tuple[float, float]
) -> tuple[list[float], list[float], list[float]]:
    """(weight [kN], moment [kN m], thrust handed in [kN]) of every course of a case, lowest first, per radian:
    permanent and imposed loads multiplied by these factors, what is handed in by `carried_factors`."""
    weights, moments, thrusts = [], [], []
    for state in case.states:
        weight, moment = state.pull(permanent, imposed)
        more = state.carried(*carried) if state.handed else (0.0, 0.0, 0.0)
        weights.append(weight + more[0])
        moments.append(moment + more[1])
        thrusts.append(more[2])
    return weights, moments, thrusts
