"""A comparison of many designs, in sentences."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shellcheck_earth.studies.compare import Comparison, Point, thumb_axes
from shellcheck_earth.studies.strength_aside import ASIDE
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital
from shellcheck_earth.views.text.refusals import refusal_words

__all__ = [
    "FACTORS",
    "NOT_DRAWN",
    "NO_VERDICT",
    "PICTURES",
    "RULE",
    "compared_title",
    "count_words",
    "decides_words",
    "design_named",
    "key_sentence",
    "not_mapped_words",
    "note_sentences",
    "summary_sentences",
]

NO_VERDICT = mark(
    "A comparison by the ring-symmetric check, stage by stage and moisture by moisture. The"
    " proof of an answer, the openings and sideways loads, and the report come from the command"
    ' check; what needs the block model for them is "cannot say" here. One person on one side of the top ring is asked'
    " of blocks where nothing else stands between a design and its answer."
)
FACTORS = mark(
    "Factors are capacity over demand, in the worst counted case; ! falls short; inf: no demand; none: no line."
)
NOT_DRAWN = (
    mark("{count} more is not drawn; their numbers are in the CSV."),
    mark("{count} more are not drawn; their numbers are in the CSV."),
)
RULE = mark(
    "Dashed: the trade's rule of thumb, a filled width of a tenth of the inside diameter, and"
    " dotted 8 %, where practised (common practice, no source)."
)
PICTURES: Mapping[str, str] = {
    "maps": mark("Heat maps of each margin over the two keys, with the line where it meets what is required"),
    "curves": mark("Each margin against the varied key, with the line of what is required"),
    "designs": mark("Each margin of each design, with the line of what is required"),
}
"""What the pictures show."""

SOIL = frozenset({"fill.dry_density", "fill.placing_moisture", "fill.stabiliser", "fill.stabiliser_share"})
"""Keys of the fill that its strength would follow in the ground, but not here: the file states each of them by
itself.
"""


def compared_title(comparison: Comparison) -> str:
    """The design compared, or how many."""
    if len(comparison.designs) == 1:
        return design_named(comparison.designs[0])
    return _("{count} designs", count=len(comparison.designs))


def design_named(name: str) -> str:
    """A design under its own name; that its strength is set aside is said in the language of the page."""
    plain = name.removesuffix(ASIDE)
    return name if plain == name else f"{plain} ({said_below(ASIDE.strip(' ()'))})"


def count_words(number: int, one: str, more: str) -> str:
    """How many, as the sentence for one or that for several says it; both name `{count}`."""
    return _(one if number == 1 else more, count=number)


def not_mapped_words(maps: Mapping[str, str]) -> list[str]:
    """Which maps would be of one colour, and what they would say; [] where there are none."""
    if not maps:
        return []
    groups: dict[str, list[str]] = {}
    for title, words in maps.items():
        groups.setdefault(words, []).append(title)
    said = "; ".join(f"{words}: {', '.join(titles)}" for words, titles in groups.items())
    return [_("Maps of one colour are left out. {said}.", said=capital(said))]


def _span(labels: tuple[str, ...]) -> str:
    return _("{count} values from {first} to {last}", count=len(labels), first=labels[0], last=labels[-1])


def decides_words(point: Point) -> str:
    """Why the answer is what it is: the margins that are short, else the one that decides."""
    if not point.margins or point.answer == "cannot say":
        return "; ".join([*map(refusal_words, filter(None, [point.why])), *map(doubt_sentence, point.doubts)])
    short = [margin for margin in point.margins if not margin.meets]
    worst = point.least
    if not short:
        return (
            ""
            if worst is None or math.isinf(worst.share)
            else _("least: {check}, {case}", check=said_below(worst.check), case=worst.case_id)
        )
    assert worst is not None
    where = _(", course {course}", course=worst.course) if worst.course is not None else ""
    more = _(" and {count} more", count=len(short) - 1) if len(short) > 1 else ""
    return f"{said_below(worst.check)} ({worst.case_id}{where}){more}"


def note_sentences(comparison: Comparison) -> list[str]:
    """Keys left out, strengths that stay as they are, and keys that change nothing."""
    gone = [
        _("{path} of the file is left out: the width varied here takes its place.", path=path)
        for path in comparison.replaced
    ]
    paths = {variation.path for variation in comparison.variations}
    if paths & SOIL and not any(path.startswith("fill.strength") for path in paths):
        gone.append(
            _(
                "The strengths stay as the file gives them: they do not follow density, placing moisture or"
                " stabiliser. Vary them too, from tests."
            )
        )
    return gone + [_("{path} changes no margin here.", path=path) for path in comparison.without_effect()]


DESIGNS = (mark("{count} design"), mark("{count} designs"))
MEET = (mark("{count} meets every margin"), mark("{count} meet every margin"))
HOLD = (
    mark("{count} holds every margin but those of strength, which is set aside"),
    mark("{count} hold every margin but those of strength, which is set aside"),
)
FALL_SHORT = (mark("{count} falls short"), mark("{count} fall short"))
"""Said of one design, and of several."""


def summary_sentences(comparison: Comparison) -> list[str]:
    """How many meet, what was varied, what to know, and an example of what cannot be built."""
    counts = comparison.counts()
    aside = comparison.strength_aside
    kept = counts["holds, strength set aside"] if aside else counts["meets"]
    out = [
        _(
            "{designs}: {first}, {short}, {cannot_say} cannot be decided here, {not_buildable} cannot be built.",
            designs=count_words(len(comparison.points), *DESIGNS),
            first=count_words(kept, *(HOLD if aside else MEET)),
            short=count_words(counts["falls short"], *FALL_SHORT),
            cannot_say=counts["cannot say"],
            not_buildable=counts["not buildable"],
        )
    ]
    out += [
        f"{v.path}: {', '.join(v.labels) if len(v.labels) <= 12 else _span(v.labels)}." for v in comparison.variations
    ]
    out += note_sentences(comparison)
    # One example of each key at fault
    refusals = [point.why for point in comparison.points if point.answer == "not buildable"]
    reasons = {refusal.split(":")[0]: refusal for refusal in reversed(refusals)}
    out += [
        _("Not buildable, for one: {reason}.", reason=refusal_words(reason)) for reason in list(reasons.values())[:2]
    ]
    return out


def key_sentence(comparison: Comparison) -> str:
    """What the marks of the pictures mean."""
    rule = f" {_(RULE)}" if thumb_axes(comparison) else ""
    unsure, line = (
        ("?", _("Hatched strokes under the line: falls short."))
        if len(comparison.variations) == 1
        else (_("Dots"), _("Thick line: between what meets and what falls short."))
    )
    return _(
        "Crosses: cannot be built. {unsure}: cannot be decided by the ring-symmetric check, in the"
        " picture of the least of all margins. {line}{rule} Each margin is that of its worst counted"
        " case.",
        unsure=unsure,
        line=line,
        rule=rule,
    )
