"""Which counted margin comes closest to what is required, or falls shortest of it: what the first page shows."""

from __future__ import annotations

from shellcheck_earth.safety.result import CaseResult, Margin, Result

__all__ = ["drawn_case", "governing"]


def governing(assessment: Result) -> tuple[CaseResult, Margin] | None:
    """The margin that the deciding line speaks of; None when no counted case has any."""
    return min(assessment.governing().values(), key=lambda found: found[1].share, default=None)


def drawn_case(assessment: Result) -> CaseResult:
    """The case whose thrust lines are drawn: the governing one where lines were kept, else the finished dry dome."""
    found = governing(assessment)
    return found[0] if found is not None and found[0].lines else assessment.cases[0]
