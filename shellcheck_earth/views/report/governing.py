"""Which counted margin comes closest to what is required, or falls shortest of it: what the first page shows."""

from __future__ import annotations

from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.crossed import governing_line
from shellcheck_earth.safety.result import CaseResult, Margin, Result

__all__ = ["deciding_blocks", "drawn_case", "governing"]


def governing(assessment: Result) -> tuple[CaseResult, Margin] | None:
    """The margin that the deciding line speaks of; None when no counted case has any."""
    return min(assessment.governing().values(), key=lambda found: found[1].share, default=None)


def deciding_blocks(assessment: Result) -> BlockResult | None:
    """The load of the block model that decides; None where a margin of the rings does."""
    line = governing_line(assessment)
    if line is None or line.model != "blocks":
        return None
    return next(one for one in assessment.blocks if one.id == line.case)


def drawn_case(assessment: Result) -> CaseResult:
    """The case whose thrust lines are drawn: the governing one where lines were kept, else the finished dry dome."""
    found = governing(assessment)
    return found[0] if found is not None and found[0].lines else assessment.cases[0]
