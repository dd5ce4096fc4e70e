"""What the page says of the case that is drawn, of all cases, and of the whole check."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from shellcheck_earth.basics.units import both
from shellcheck_earth.safety.result import Doubt, Margin
from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.explain.shown import runs_shown
from shellcheck_earth.views.text.explain.ways import mechanism_words
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
    "tipping_sentence",
    "tipping_words",
    "worst_row",
]

COMPARING = "comparing designs"

Mark = Literal["meets", "falls short", "cannot say"]

WOULD: Mapping[str, str] = {"friction": "friction", "wire": "wire", "strength": "strength"}


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
    return f"no thrust line crosses {bed_named(shown.dome, number)}"


def drawing_words(shown: Preview) -> tuple[str, str]:
    """Title and description of the section, for who cannot see it."""
    design = shown.dome.design
    height = both(shown.dome.top - shown.dome.floor, "length", design.unit_system)
    said = capital(_lost(shown)) if not shown.stands else "A thrust line is left"
    described = (
        f"Section to scale: {len(shown.dome.courses)} courses, {both(design.dome.inside_diameter, 'length')} inside,"
        f" top {height} above the floor. {shown.case.title}. {said}."
    )
    return f"Section of {design.name}, a preview", described


def governing_words(shown: Preview) -> list[str]:
    """Beside the bed that is ringed: what governs there, factor and required."""
    if not shown.stands:
        number = shown.failing_course
        assert number is not None
        return ["no thrust line", "crosses the bed under", course_named(shown.dome.course(number))]
    least = shown.least
    if least is None or least.course is None:
        return []
    where = f"bed under {course_named(shown.dome.course(least.course))}"
    if least.factor is None:
        return [least.check, where, outcome_words(least.meets)]
    factor = factor_words(least.factor, least.required)
    return [least.check, where, f"{factor}, required {required_words(least.required)}", outcome_words(least.meets)]


def ringed_sentence(shown: Preview) -> str:
    """What is ringed in the drawing, for where its label has no room."""
    words = governing_words(shown)
    return f"Ringed: {', '.join(words)}." if shown.stands and words else ""


def followed_sentence(paths: Sequence[str]) -> str:
    """What came down with the value just set, because it may not be better than it; "" for nothing."""
    return f"Brought down with it, since it may not be better: {listed(paths)}." if paths else ""


def tipping_words(number: int) -> list[str]:
    """Beside the lowest course that tips, in the drawing."""
    return ["short pieces tip", f"from course {number}"]


def tipping_sentence(shown: Preview) -> str:
    """Which courses tip while they are laid; "" where none does."""
    if not shown.tips:
        return ""
    courses = f"course{'s' if len(shown.tips) > 1 else ''} {runs_shown(shown.tips)}"
    return (
        f"A short piece of {courses} tips inward by itself while its ring is open: hold it by hand or by a form until"
        " the ring is closed."
    )


def case_sentence(shown: Preview) -> str:
    """Which case is drawn, and the margin of it that comes shortest."""
    if not shown.stands:
        return f"{shown.case.title}: {_lost(shown)}."
    least = shown.least
    return (
        f"{shown.case.title}." if least is None else f"{shown.case.title}: {lower(margin_sentence(least, shown.dome))}"
    )


def lost_sentences(shown: Preview) -> list[str]:
    """Why no line is left, in one sentence, then what moves; [] where one is left."""
    if shown.stands:
        return []
    helps = [WOULD[name] for name in shown.would]
    if helps:
        more = f"more {' or more '.join(helps)}"
        why = f"{capital(_lost(shown))}; {more} alone, if enough of it, would bring one back."
    else:
        why = (
            f"{capital(_lost(shown))}; no friction, wire or strength alone brings one back: it is the shape or the"
            " width that is wrong."
        )
    return [why, *([mechanism_words(shown.collapse)] if shown.collapse is not None else [])]


def quick_said(shown: Preview) -> Said:
    """While only the case that is drawn has been looked at."""
    sentence = case_sentence(shown)
    short = not shown.stands or any(margin.meets is False for margin in shown.margins)
    if short and shown.case.counts:
        heading = "Preview: no thrust line is left" if not shown.stands else "Preview: falls short in the case drawn"
        return Said("falls short", heading, sentence)
    return Said("cannot say", "Preview: cannot say yet", f"Only the case that is drawn is looked at. {sentence}")


def _worst_sentence(worst: WorstMargin, title: str) -> str:
    at = "" if worst.course is None else f" at the bed under course {worst.course}"
    if not worst.known:
        return f"{capital(worst.check)}{at}: the search did not close. Case: {lower(title)}."
    if worst.factor == 0.0:
        return f"No thrust line is left{at}. Case: {lower(title)}."
    factor = factor_words(worst.factor, worst.required)
    return (
        f"{capital(worst.check)}{at}: a factor of {factor}, {required_words(worst.required)} is required."
        f" Case: {lower(title)}."
    )


def overview_said(
    margins: Sequence[WorstMargin], titles: Mapping[str, str], doubts: Sequence[Doubt], *, blocks: bool
) -> Said:
    """When every ring-symmetric case has been looked at, and nothing else has."""
    worst = min(margins, key=lambda margin: (margin.known, margin.share))
    sentence = _worst_sentence(worst, titles.get(worst.case_id, worst.case_id))
    if worst.known and not worst.meets:
        return Said("falls short", "Preview: falls short of what is required", sentence)
    if not worst.known:
        return Said("cannot say", "Preview: cannot say", sentence)
    left = ["the proofs", "the ranges of what was not measured"]
    left += ["the block model for openings and loads from one side"] if blocks else []
    said = f"Nothing falls short in {len(titles)} ring-symmetric cases. Not looked at yet: {listed(left)}. {sentence}"
    reasons = doubt_sentences(tuple(one for one in doubts if one.kind != "blocks not asked"))
    return Said("cannot say", "Preview: cannot say before the whole check", " ".join((*reasons[:2], said)))


def margin_row(margin: Margin, shown: Preview) -> dict[str, str]:
    """One line of the table of factors, of the case that is drawn."""
    factor = why_words(margin) if margin.factor is None else factor_words(margin.factor, margin.required)
    at = ""
    if margin.course is not None and margin.factor is not None:
        at = course_named(shown.dome.course(margin.course))
    return {
        "check": margin.check + (f" ({margin.combination})" if margin.combination else ""),
        "factor": factor,
        "required": required_words(margin.required),
        "outcome": outcome_words(margin.meets),
        "at": at,
    }


def worst_row(worst: WorstMargin, title: str) -> dict[str, str]:
    """One line of the table of factors, over all counted cases."""
    meets = worst.meets if worst.known else None
    return {
        "check": worst.check,
        "factor": "none is enough" if worst.factor == 0.0 else factor_words(worst.factor, worst.required),
        "required": required_words(worst.required),
        "outcome": outcome_words(meets),
        "case": title,
        "case_id": worst.case_id,
    }
