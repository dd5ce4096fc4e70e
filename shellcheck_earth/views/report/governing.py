"""Which counted margin comes closest to what is asked for, or falls shortest of it: what the first page shows."""

from __future__ import annotations

import math

from shellcheck_earth.safety.result import CaseResult, Margin, Result

__all__ = ["drawn_case", "governing", "share_of_asked", "worst_by_check"]


def share_of_asked(margin: Margin) -> float:
    """Factor over what is asked for; inf where nothing is needed, 0 where nothing is enough."""
    if margin.factor is None:
        return math.inf if margin.meets else 0.0
    return margin.factor / margin.required


def worst_by_check(assessment: Result) -> dict[str, tuple[CaseResult, Margin]]:
    """For each check the counted and established case with the least share of what is asked for."""
    worst: dict[str, tuple[CaseResult, Margin]] = {}
    for case in assessment.cases:
        for margin in case.margins if case.counts and case.status != "cannot say" else ():
            if margin.check not in worst or share_of_asked(margin) < share_of_asked(worst[margin.check][1]):
                worst[margin.check] = (case, margin)
    return worst


def governing(assessment: Result) -> tuple[CaseResult, Margin] | None:
    """The margin that the decisive sentence speaks of; None when no counted case has any."""
    return min(worst_by_check(assessment).values(), key=lambda found: share_of_asked(found[1]), default=None)


def drawn_case(assessment: Result) -> CaseResult:
    """The case whose thrust lines are drawn: the governing one where lines were kept, else the finished dry dome."""
    found = governing(assessment)
    return found[0] if found is not None and found[0].lines else assessment.case("finished-dry")
