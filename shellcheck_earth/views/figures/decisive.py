"""What is ringed in the section, and the words beside it: the bed of what decides, of rings and of blocks alike."""

from __future__ import annotations

from dataclasses import dataclass

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.most_used import most_used
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.report.governing import deciding_blocks, drawn_case, governing
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import course_named, factor_words, outcome_words, required_words

__all__ = ["Decisive", "decisive"]

JOINT = "-joint"
"""How the id of a load ends that is asked with every capacity divided."""


@dataclass(frozen=True)
class Decisive:
    """course: whose bed is ringed, None where no bed can be named; bold: what it is; plain: how much, in which case."""

    course: Course | None
    bold: tuple[str, ...]
    plain: tuple[str, ...]


def decisive(assessment: Result) -> Decisive | None:
    """Of the rings the bed that governs what decides; of blocks the lowest course that moves first and, where nothing
    moves, the bed that is used the most in the states that it is proven with. None where no bed of a ring does."""
    blocks, found = deciding_blocks(assessment), governing(assessment)
    drawn = drawn_case(assessment)
    if blocks is not None:
        return _of_blocks(assessment, blocks)
    if found is None or found[1].course is None:
        return None
    case, margin = found
    try:
        course = assessment.dome.course(margin.course or 0)
    except KeyError:
        return None
    bold = (_("bed under {course}:", course=course_named(course)), said_below(margin.check))
    plain = [*_outcome(margin.factor, margin.required, margin.meets), said_below(case.title)]
    if drawn.id != case.id and drawn.lines:
        plain.append(_("(lines drawn: {case})", case=said_below(drawn.title)))
    return Decisive(course, bold, tuple(plain))


USED = {
    "friction": mark("{share:.0f} % of the friction counted there; nothing moves"),
    "strength": mark("{share:.0f} % of the strength counted there; nothing moves"),
}


def _of_blocks(assessment: Result, blocks: BlockResult) -> Decisive:
    drawn, dome = drawn_case(assessment), assessment.dome
    outcome = [*_outcome(blocks.relied, blocks.required, blocks.meets), said_below(blocks.title)]
    lines = [_("(lines drawn: {case})", case=said_below(drawn.title))] if drawn.lines else []
    criterion, moves = said_below(blocks.criterion), blocks.mechanism
    if moves is not None and moves.courses is not None:
        course = dome.course(moves.courses[0])
        bold = _("blocks move first from {course}:", course=course_named(course)), criterion
        return Decisive(course, bold, (*outcome, *lines))
    used = None if moves is not None else most_used(_proofs(assessment, blocks))
    if used is not None:
        course = dome.courses[used.course]
        most = _("bed used most, under {course}:", course=course_named(course))
        share = _(USED[used.of], share=100 * used.share)
        state = _("in the blocks' state of forces that shows it")
        return Decisive(course, (most,), (share, criterion, *outcome, state, *lines))
    why = _("Only a buttress moves: no bed is ringed.")
    if moves is None:
        why = _("No state of the blocks is shown, nothing moves: no bed is ringed.")
    return Decisive(None, (_("blocks decide:"), criterion), (*outcome, why, *lines))


def _proofs(assessment: Result, blocks: BlockResult) -> tuple[str, ...]:
    """The states of a load; a multiple that follows from the joint question of the load is proven with that one's."""
    if blocks.proofs:
        return blocks.proofs
    joint = (one.proofs for one in assessment.blocks if one.id == blocks.id + JOINT)
    return next((proofs for proofs in joint if proofs), ())


def _outcome(factor: float | None, required: float, meets: bool | None) -> list[str]:
    said = outcome_words(meets)
    return [
        said
        if factor is None
        else _(
            "{factor}, required {required}: {outcome}",
            factor=factor_words(factor, required),
            required=required_words(required),
            outcome=said,
        )
    ]
