"""From a case to its margins: demand, capacity, factor, and what the criteria require. One for every question."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.capacity import BaseState
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import GROUND, Check, Question, line_questions
from shellcheck_earth.safety.ground import ground_demand, ground_of, spread_of
from shellcheck_earth.safety.result import Margin, Why

__all__ = ["case_margins", "line_margin"]


def line_margin(dome: Dome, case: Case, question: Question) -> Margin:
    """The margin of one question; its factor is what its capacities may be divided by: 1/the least share with a
    line.
    """
    edge, check = question.edge(), question.check
    available = check.capacity(question.lune, edge.bed)
    course = int(question.lune.number[edge.bed]) if edge.bed >= 0 else None
    needed: float | None
    meets: bool | None
    why: Why
    factor: float | None
    if edge.value is None:
        needed, factor = None, None
        meets, why = (False, "none enough") if edge.closed else (None, "not closed")
    elif edge.value == 0.0:
        needed, factor, meets, why = 0.0, None, True, "nothing needed"
    else:
        needed = None if available is None else available * edge.value
        factor = 1.0 / edge.value
        meets, why = factor >= question.required, ""
    return Margin(
        check=question.label,
        available=available,
        needed=needed,
        unit=check.unit,
        factor=factor,
        required=question.required,
        meets=meets,
        course=course,
        basis=dome.design.basis(*check.inputs(dome, case)),
        why=why,
        combination=question.combination,
    )


def _ground_margin(dome: Dome, case: Case, check: Check, capacity: float, demand: float | None, lowest: int) -> Margin:
    required = dome.design.criteria.required[check.key]
    basis = dome.design.basis(*check.inputs(dome, case))
    if demand is None:
        return Margin(check.key, capacity, None, check.unit, None, required, False, lowest, basis, "no line")
    if demand == 0.0:
        return Margin(check.key, capacity, 0.0, check.unit, None, required, True, lowest, basis, "nothing needed")
    if math.isinf(demand):
        return Margin(check.key, capacity, None, check.unit, None, required, False, lowest, basis, "none enough")
    factor = capacity / demand
    return Margin(check.key, capacity, demand, check.unit, factor, required, factor >= required, lowest, basis)


def _ground_margins(dome: Dome, case: Case, lune: Lune, base: BaseState | None) -> Iterator[Margin]:
    ground, lowest = ground_of(dome, case), int(lune.number[-1])
    demand = None if base is None else ground_demand(lune, base, spread_of(dome, case, lune))
    asked = (None, None) if demand is None else (demand.friction, demand.edge_stress)
    for check, capacity, needed in zip(GROUND, (ground.friction, ground.bearing), asked, strict=True):
        yield _ground_margin(dome, case, check, capacity, needed, lowest)


def case_margins(dome: Dome, case: Case, lune: Lune, base: BaseState | None) -> tuple[Margin, ...]:
    """All margins of one case, in the order of CHECKS; `base` is None where no thrust line reaches the ground."""
    out = [line_margin(dome, case, question) for question in line_questions(dome, case, lune)]
    if not case.only:
        out.extend(_ground_margins(dome, case, lune, base))
    return tuple(out)
