"""What the page says of the case that is drawn, of all cases, and of the whole check."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shellcheck_earth.basics.units import both
from shellcheck_earth.safety.result import Doubt, Margin
from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.explain.shown import runs_shown
from shellcheck_earth.views.text.explain.ways import mechanism_words
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.margins import margin_sentence, why_words
from shellcheck_earth.views.text.numbers import (
    bed_named,
    capital,
    course_named,
    factor_words,
    listed,
    lower,
    outcome_words,
    required_words,
)

if TYPE_CHECKING:  # the words know of the page only what it hands them
    from shellcheck_earth.views.page.preview import Preview

__all__ = [
    "COMPARING",
    "Said",
    "case_sentence",
    "drawing_words",
    "followed_sentence",
    "governing_words",
    "lost_sentences",
    "margin_row",
    "overview_said",
    "quick_said",
    "ringed_sentence",
    "state_of",
    "tipping_sentence",
    "tipping_words",
    "worst_row",
]

COMPARING = "comparing designs"

Mark = Literal["meets", "falls short", "cannot say"]

WOULD: Mapping[str, str] = {
    "friction": mark("more friction"),
    "wire": mark("more wire"),
    "strength": mark("more strength"),
}


@dataclass(frozen=True)
class Said:
    """The answer as the page shows it: its mark, its heading, the sentence behind it; `preview`: no verdict."""

    mark: Mark
    heading: str
    sentence: str
    preview: bool = True


def _lost(shown: Preview) -> str:
    number = shown.failing_course
    assert number is not None
    return _("no thrust line crosses {bed}", bed=bed_named(shown.dome, number))


def drawing_words(shown: Preview) -> tuple[str, str]:
    """Title and description of the section, for who cannot see it."""
    design = shown.dome.design
    described = _(
        "Section to scale: {courses} courses, {inside} inside, top {height} above the floor. {case}. {said}.",
        courses=len(shown.dome.courses),
        inside=both(design.dome.inside_diameter, "length"),
        height=both(shown.dome.top - shown.dome.floor, "length", design.unit_system),
        case=said_below(shown.case.title),
        said=_("A thrust line is left") if shown.stands else capital(_lost(shown)),
    )
    return _("Section of {name}, a preview", name=design.name), described


def governing_words(shown: Preview) -> list[str]:
    """Beside the bed that is ringed: what governs there, factor and required."""
    if not shown.stands:
        number = shown.failing_course
        assert number is not None
        return [_("no thrust line"), _("crosses the bed under"), course_named(shown.dome.course(number))]
    least = shown.least
    if least is None or least.course is None:
        return []
    where = _("bed under {course}", course=course_named(shown.dome.course(least.course)))
    check = said_below(least.check)
    if least.factor is None:
        return [check, where, outcome_words(least.meets)]
    said = _(
        "{factor}, required {required}",
        factor=factor_words(least.factor, least.required),
        required=required_words(least.required),
    )
    return [check, where, said, outcome_words(least.meets)]


def ringed_sentence(shown: Preview) -> str:
    """What is ringed in the drawing, for where its label has no room."""
    words = governing_words(shown)
    return _("Ringed: {words}.", words=", ".join(words)) if shown.stands and words else ""


def followed_sentence(paths: Sequence[str]) -> str:
    """What came down with the value just set, because it may not be better than it; "" for nothing."""
    return _("Brought down with it, since it may not be better: {paths}.", paths=listed(paths)) if paths else ""


def tipping_words(number: int) -> list[str]:
    """Beside the lowest course that tips, in the drawing."""
    return [_("short pieces tip"), _("from course {course}", course=number)]


def tipping_sentence(shown: Preview) -> str:
    """Which courses tip while they are laid; "" where none does."""
    if not shown.tips:
        return ""
    runs = runs_shown(shown.tips)
    if len(shown.tips) == 1:
        return _(
            "A short piece of course {course} tips inward by itself while its ring is open: hold it by hand or by a"
            " form until the ring is closed.",
            course=runs,
        )
    return _(
        "A short piece of courses {courses} tips inward by itself while its ring is open: hold it by hand or by a form"
        " until the ring is closed.",
        courses=runs,
    )


def case_sentence(shown: Preview) -> str:
    """Which case is drawn, and the margin of it that comes shortest."""
    title = said_below(shown.case.title)
    if not shown.stands:
        return f"{title}: {_lost(shown)}."
    least = shown.least
    return f"{title}." if least is None else f"{title}: {lower(margin_sentence(least, shown.dome))}"


def lost_sentences(shown: Preview) -> list[str]:
    """Why no line is left, in one sentence, then what moves; [] where one is left."""
    if shown.stands:
        return []
    helps = [_(WOULD[name]) for name in shown.would]
    lost = capital(_lost(shown))
    if helps:
        why = _("{lost}; {helps} alone, if enough of it, would bring one back.", lost=lost, helps=_(" or ").join(helps))
    else:
        why = _(
            "{lost}; no friction, wire or strength alone brings one back: it is the shape or the width that is wrong.",
            lost=lost,
        )
    return [why, *([mechanism_words(shown.collapse)] if shown.collapse is not None else [])]


def quick_said(shown: Preview) -> Said:
    """While only the case that is drawn has been looked at."""
    sentence = case_sentence(shown)
    short = not shown.stands or any(margin.meets is False for margin in shown.margins)
    if short and shown.case.counts:
        lost, fallen = _("Preview: no thrust line is left"), _("Preview: falls short in the case drawn")
        return Said("falls short", lost if not shown.stands else fallen, sentence)
    said = _("Only the case that is drawn is looked at. {sentence}", sentence=sentence)
    return Said("cannot say", _("Preview: cannot say yet"), said)


def _worst_sentence(worst: WorstMargin, title: str) -> str:
    at = "" if worst.course is None else _(" at the bed under course {course}", course=worst.course)
    case, check = lower(said_below(title)), capital(said_below(worst.check))
    if not worst.known:
        return _("{check}{at}: the search did not close. Case: {case}.", check=check, at=at, case=case)
    if worst.factor == 0.0:
        return _("No thrust line is left{at}. Case: {case}.", at=at, case=case)
    return _(
        "{check}{at}: a factor of {factor}, {required} is required. Case: {case}.",
        check=check,
        at=at,
        factor=factor_words(worst.factor, worst.required),
        required=required_words(worst.required),
        case=case,
    )


def overview_said(
    margins: Sequence[WorstMargin], titles: Mapping[str, str], doubts: Sequence[Doubt], *, blocks: bool
) -> Said:
    """When every ring-symmetric case has been looked at, and nothing else has."""
    worst = min(margins, key=lambda margin: (margin.known, margin.share))
    sentence = _worst_sentence(worst, titles.get(worst.case_id, worst.case_id))
    if worst.known and not worst.meets:
        return Said("falls short", _("Preview: falls short of what is required"), sentence)
    if not worst.known:
        return Said("cannot say", _("Preview: cannot say"), sentence)
    left = [_("the proofs"), _("the ranges of what was not measured")]
    left += [_("the block model for openings, loads from one side and people on the wall")] if blocks else []
    said = _(
        "Nothing falls short in {cases} ring-symmetric cases. Not looked at yet: {left}. {sentence}",
        cases=len(titles),
        left=listed(left),
        sentence=sentence,
    )
    reasons = doubt_sentences(tuple(one for one in doubts if one.kind != "blocks not asked"))
    return Said("cannot say", _("Preview: cannot say before the whole check"), " ".join((*reasons[:2], said)))


def state_of(meets: bool | None) -> Mark:
    """What the page goes by; `outcome_words` is what it says."""
    if meets is None:
        return "cannot say"
    return "meets" if meets else "falls short"


def margin_row(margin: Margin, shown: Preview) -> dict[str, str]:
    """One line of the table of factors, of the case that is drawn."""
    factor = why_words(margin) if margin.factor is None else factor_words(margin.factor, margin.required)
    at = ""
    if margin.course is not None and margin.factor is not None:
        at = course_named(shown.dome.course(margin.course))
    return {
        "check": said_below(margin.check) + (f" ({said_below(margin.combination)})" if margin.combination else ""),
        "factor": factor,
        "required": required_words(margin.required),
        "state": state_of(margin.meets),
        "outcome": outcome_words(margin.meets),
        "at": at,
    }


def worst_row(worst: WorstMargin, title: str) -> dict[str, str]:
    """One line of the table of factors, over all counted cases."""
    meets = worst.meets if worst.known else None
    return {
        "check": said_below(worst.check),
        "factor": _("none is enough") if worst.factor == 0.0 else factor_words(worst.factor, worst.required),
        "required": required_words(worst.required),
        "state": state_of(meets),
        "outcome": outcome_words(meets),
        "case": said_below(title),
        "case_id": worst.case_id,
    }
