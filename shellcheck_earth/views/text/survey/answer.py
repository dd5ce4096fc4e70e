"""What a survey answers, in sentences: the order, the margin behind it, how to go on."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.basics.units import both
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.openings import opening_label
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import CaseResult, Doubt, Margin, Result
from shellcheck_earth.studies.survey.answer import Answer, Assessed, Decision, least_of, shortest_of
from shellcheck_earth.studies.survey.survey import SurveyAnswer
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import Words, mark, speaking
from shellcheck_earth.views.text.numbers import factor_words, listed, required_words
from shellcheck_earth.views.text.survey.found import check_named, hours_of_rain, ring_words
from shellcheck_earth.views.text.survey.lengths import chain
from shellcheck_earth.views.text.tests import CREW

__all__ = [
    "ANSWERS",
    "CAUTION",
    "MARKS",
    "answer_sentence",
    "assessed_lines",
    "behind_sentence",
    "margin_words",
    "order_sentences",
]

ANSWERS: Mapping[Answer, str] = {
    "go on": mark("Go on"),
    "cover first": mark("Cover first"),
    "correct": mark("Correct"),
    "stop": mark("Stop: nobody inside"),
    "cannot say": mark("Cannot say: treat it as a stop"),
}
MARKS: Mapping[Answer, str] = {
    "go on": "(*)",
    "cover first": "(~)",
    "correct": "/_\\",
    "stop": "[X]",
    "cannot say": "[?]",
}
CAUTION = mark(
    "This is a calculation, not a permit, and it knows the wall only by its readings. Before anyone works or stands"
    " under this dome, have a licensed structural engineer look at it and follow the local building authority. Cracks,"
    " bulges, sounds or running earth mean: everybody out, whatever this page says."
)
MOVES: Mapping[str, str] = {
    "bed friction": mark("the courses above can slide on their bed and the ring can drop inward"),
    "geometric factor": mark("the wall can hinge open and fold inward or outward"),
    "strength": mark("the fill can crush and squeeze out, and what is above comes down"),
    "strength while building": mark("the fill can crush and squeeze out, and what is above comes down"),
    "wire tension": mark("the ring can spread, and the courses above follow it outward"),
    "overall reserve": mark("several things can give way at once and the wall can fold"),
    "combined factors": mark("several things can give way at once and the wall can fold"),
    "standing without wire": mark("once the wire is rusted through, the courses can slide"),
    "base sliding": mark("the foot of the wall can slide outward"),
    "ground bearing": mark("the ground can give way under the edge of the wall, which then tilts"),
}


def _when(case: CaseResult, _: Words) -> str:
    """The state a margin was found in."""
    if case.kind == "finished":
        return _("in the finished dome")
    if case.wetting == "rain":
        return _("with courses up to {number} laid, in the coming rain", number=case.stage)
    if case.kind == "rain":
        return _("with courses up to {number} laid, as wet as the rain so far has left them", number=case.stage)
    if case.crew:
        return _("with courses up to {number} laid and the crew on the top ring", number=case.stage)
    return _("with courses up to {number} laid", number=case.stage)


def _factor(margin: Margin, _: Words) -> str:
    if margin.factor is None:
        return _("no demand") if margin.meets else _("no way for the forces, whatever the factor")
    return factor_words(margin.factor, margin.required)


def margin_words(case: CaseResult, margin: Margin, _: Words) -> str:
    """One margin in short: what, where, how much of how much, in which state."""
    at = "" if margin.course is None else _(" at the bed under course {number}", number=margin.course)
    return _(
        "{check}{at}: safety factor {factor}, {required} required, {when}",
        check=check_named(margin.check, _),
        at=at,
        factor=_factor(margin, _),
        required=required_words(margin.required),
        when=_when(case, _),
    )


def _cover_order(answer: SurveyAnswer, _: Words) -> str:
    if not answer.cover_before:
        return _("Cover the wall before the rain comes and keep it covered while it rains.")
    return _("Cover the wall {when}.", when=hours_of_rain(answer.cover_before, _))


def _correct_order(answer: SurveyAnswer, _: Words) -> str:
    """Which courses, by how much, and where it leads."""
    way, system = answer.way, answer.design.unit_system
    last = answer.deviations[-1 - way.taken_down]
    parts = []
    if way.taken_down:
        first = answer.wall.number - way.taken_down + 1
        parts.append(
            _(
                "Take down courses {first} to {last}, from above, with nobody inside or below, and lay them again.",
                first=first,
                last=answer.wall.number,
            )
            if way.taken_down > 1
            else _("Take down course {first}, from above, with nobody inside or below, and lay it again.", first=first)
        )
    if abs(last.off_curve) >= fixed("survey.tolerance_step"):
        side = _("outside") if last.off_curve > 0 else _("inside")
        off = chain(abs(last.off_curve), system)
        parts.append(
            _("Course {number} stands {off} {side} the curve at its height.", number=last.number, off=off, side=side)
        )
    if way.path.returns_at is not None:
        parts.append(
            _(
                "Set the compass by the height of the wall as below: it is back on the curve with course {number}, and"
                " no course steps in more than {step}.",
                number=way.path.returns_at,
                step=chain(way.path.greatest_step, system),
            )
        )
    return " ".join(parts)


def _stop_order(answer: SurveyAnswer, _: Words) -> str:
    decision = answer.decision
    if decision.reason == "no way holds":
        said = _(
            "Lay no more courses. What stands now is in order, but no way on that was tried meets what is required: not"
            " the settings of the plan, not a way back to the curve, not with the top {count} courses taken down.",
            count=int(fixed("survey.taken_down")),
        )
        return said + " " + _(CREW) if decision.block is not None and "-worker" in decision.block.id else said
    if decision.reason == "rain on the ground":
        return _(
            "Lay no more courses, and nobody inside or beside the wall when rain comes: it soaks the ground, and with"
            " it the courses that stand in it, under whatever cover. Keep water out of the trench (a drain, a bank"
            " around it), or have the wet ground and the soaked fill of those courses tested."
        )
    if decision.block is not None:
        return _("Everybody out, and nobody under the wall: in the block model, {what}.", what=decision.block.title)
    if decision.ring is not None:
        return _(
            "Everybody out, and nobody under the wall: rings that are not round can fold where they stand furthest out."
        )
    assert decision.behind is not None
    moves = _(MOVES.get(decision.behind[1].check, MOVES["overall reserve"]))
    return _("Everybody out, and nobody under the wall: {moves}.", moves=moves)


def answer_sentence(answer: SurveyAnswer, _: Words) -> str:
    """The order that goes with the answer, and which forms have to stay for it."""
    if answer.decision.answer == "stop":
        return _stop_order(answer, _)
    return " ".join(filter(None, [_order(answer, _), _leaning(answer, _)]))


def _leaning(answer: SurveyAnswer, _: Words) -> str:
    """Openings whose courses lean on a form that the answer takes to stay; nothing where there are none."""
    leaning = answer.wall.half_built
    if not leaning:
        return ""
    with speaking(_):
        names = listed([said_below(opening_label(answer.design, index)) for index in leaning])
    return _(
        "No ring is closed over {openings} yet: the courses beside lean on forms, which are not computed."
        " Keep every form in and braced until a ring is closed above it, and survey again before it comes out.",
        openings=names,
    )


def _order(answer: SurveyAnswer, _: Words) -> str:
    """What to do now."""
    decision, found = answer.decision, []
    if decision.reason == "out of round, not asked":
        return _(
            "Rings stand off to one side or are oval, and the block model could not be asked of them: with buttresses,"
            " without the block model, or undecided."
        )
    if decision.answer == "cannot say":
        return _("It could not be established that what stands, and what follows, meets what is required.")
    if decision.answer == "cover first":
        found.append(_cover_order(answer, _))
        if decision.then == "correct":
            found.append(_("Once it is covered, go on with new settings.") + " " + _correct_order(answer, _))
        elif decision.then == "go on":
            found.append(_("Once it is covered, go on as planned."))
        else:
            found.append(_("Lay no more courses: what follows does not meet what is required."))
    elif decision.answer == "correct":
        found.append(_correct_order(answer, _))
    else:
        found.append(_("What stands and what follows with the settings of the plan meet what is required."))
    return " ".join(found)


def behind_sentence(answer: SurveyAnswer, _: Words) -> str:
    """The margin that the answer rests on."""
    decision: Decision = answer.decision
    if decision.ring is not None:
        return _("Behind it: {ring}", ring=ring_words(decision.ring, _))
    if decision.block is not None and decision.behind is None:
        return _("Behind it: {margin}.", margin=_block_words(decision.block, _))
    if decision.reason == "settings lead away" and answer.plan.way is not None:
        return _lead_away(answer, _)
    if decision.behind is None:
        doubts = (*answer.now.doubts, *_doubts_of(answer.plan), *_doubts_of(answer.corrected))
        return _("Behind it: {doubt}", doubt=doubt_sentence(doubts[0])) if doubts else ""
    return _("Behind it: {margin}.", margin=margin_words(*decision.behind, _))


def _doubts_of(one: Assessed) -> tuple[Doubt, ...]:
    return () if one.result is None else one.result.doubts


def _lead_away(answer: SurveyAnswer, _: Words) -> str:
    """Why the settings of the plan, by course number, do not lead to the dome that was drawn."""
    way, system = answer.plan.way, answer.design.unit_system
    assert way is not None
    how = _("by height") if answer.wall.survey.by_height else _("by course number")
    if way.path.out_of_reach is not None:
        text = _(
            "Behind it: set {how}, the compass no longer reaches course {number}.",
            how=how,
            number=way.path.out_of_reach,
        )
    elif way.over_limit:
        text = _(
            "Behind it: set {how}, course {number} would step in further than laying allows.",
            how=how,
            number=way.over_limit[0],
        )
    elif way.design is None or not way.path.steps:
        text = _("Behind it: set {how}, the courses would no longer rest on each other.", how=how)
    else:
        text = _(
            "Behind it: set {how}, the last course would leave an opening of {left} where {drawn} was drawn.",
            how=how,
            left=both(2 * way.path.steps[-1].radius, "length", system),
            drawn=both(answer.design.dome.crown_opening, "length", system),
        )
    if answer.decision.behind is not None:
        text += " " + _("Corrected: {margin}.", margin=margin_words(*answer.decision.behind, _))
    return text


VERDICTS = {"meets": mark("meets"), "falls short": mark("falls short"), "cannot say": mark("cannot say")}


def _assessed(result: Result | None, _: Words) -> str:
    if result is None:
        return _("no such dome can be built")
    short = shortest_of(result, rain=False) or shortest_of(result, rain=True)
    block = None if short else next((one for one in result.blocks if one.meets is False), None)
    if block is not None:
        return _(VERDICTS[result.verdict]) + "; " + _block_words(block, _)
    found = short or least_of(result, rain=True)
    margin = "" if found is None else "; " + margin_words(*found, _)
    return _(VERDICTS[result.verdict]) + margin


def _block_words(block: BlockResult, _: Words) -> str:
    """What the block model says of one of its cases."""
    found = "-" if block.relied is None else f"{block.relied:.3g}"
    required = f"{block.required:.3g}"
    with speaking(_):
        what = said_below(block.title)
    return _("block model, {what}: {found} of {required}", what=what, found=found, required=required)


def assessed_lines(answer: SurveyAnswer, _: Words) -> list[tuple[str, str]]:
    """The three assessments: name, verdict with the margin that decides it."""
    return [
        (_("what stands now"), _assessed(answer.now, _)),
        (_("if the plan goes on"), _assessed(answer.plan.result, _)),
        (_("the corrected plan"), _assessed(answer.corrected.result, _)),
    ]


def order_sentences(answer: SurveyAnswer, _: Words) -> list[str]:
    """How to use the table of settings."""
    out = [
        _(
            "Measure the height of the wall above the springing before each course, find it in the table, and set the"
            " centre compass to what stands beside it; between two lines, go in proportion."
        )
    ]
    if answer.plan.way is not None and answer.plan.way.path.out_of_reach is not None:
        out.append(
            _(
                "Set by course number the compass no longer reaches course {number}: the wall is higher than planned."
                " Go by the heights of the table, which the compass does reach.",
                number=answer.plan.way.path.out_of_reach,
            )
        )
    return out
