"""A comparison of many designs, in sentences."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shellcheck_earth.studies.compare import Comparison, Point, thumb_axes
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.numbers import capital

__all__ = [
    "FACTORS",
    "NO_VERDICT",
    "PICTURES",
    "RULE",
    "compared_title",
    "count_words",
    "decides_words",
    "key_sentence",
    "not_mapped_words",
    "note_sentences",
    "summary_sentences",
]

NO_VERDICT = (
    "A comparison by the ring-symmetric check, stage by stage and moisture by moisture. The proof of an answer, the"
    ' openings and sideways loads, and the report come from the command check; what needs the block model is "cannot'
    ' say" here.'
)
FACTORS = "Factors are capacity over demand, in the worst counted case; ! falls short; inf: no demand; none: no line."
RULE = (
    "Dashed: the trade's rule of thumb, a filled width of a tenth of the inside diameter, and dotted 8 %, where"
    " practised (common practice, no source)."
)
PICTURES: Mapping[str, str] = {
    "maps": "Heat maps of each margin over the two keys, with the line where it meets what is required",
    "curves": "Each margin against the varied key, with the line of what is required",
    "designs": "Each margin of each design, with the line of what is required",
}
"""What the pictures show."""

SOIL = frozenset({"fill.dry_density", "fill.placing_moisture", "fill.stabiliser", "fill.stabiliser_share"})
"""Keys of the fill that its strength would follow in the ground, but not here: the file states each of them by
itself.
"""


def compared_title(comparison: Comparison) -> str:
    """The design compared, or how many."""
    return comparison.designs[0] if len(comparison.designs) == 1 else f"{len(comparison.designs)} designs"


def count_words(number: int, one: str, more: str) -> str:
    """ "1 design" or "3 designs"."""
    return f"{number} {one if number == 1 else more}"


def not_mapped_words(maps: Mapping[str, str]) -> list[str]:
    """Which maps would be of one colour, and what they would say; [] where there are none."""
    if not maps:
        return []
    groups: dict[str, list[str]] = {}
    for title, words in maps.items():
        groups.setdefault(words, []).append(title)
    said = "; ".join(f"{words}: {', '.join(titles)}" for words, titles in groups.items())
    return [f"Maps of one colour are left out. {capital(said)}."]


def _span(labels: tuple[str, ...]) -> str:
    return f"{len(labels)} values from {labels[0]} to {labels[-1]}"


def decides_words(point: Point) -> str:
    """Why the answer is what it is: the margins that are short, else the one that decides."""
    if not point.margins or point.answer == "cannot say":
        return "; ".join([*filter(None, [point.why]), *map(doubt_sentence, point.doubts)])
    short = [margin for margin in point.margins if not margin.meets]
    worst = point.least
    if not short:
        return "" if worst is None or math.isinf(worst.share) else f"least: {worst.check}, {worst.case_id}"
    assert worst is not None
    where = f", course {worst.course}" if worst.course is not None else ""
    more = f" and {len(short) - 1} more" if len(short) > 1 else ""
    return f"{worst.check} ({worst.case_id}{where}){more}"


def note_sentences(comparison: Comparison) -> list[str]:
    """Keys left out, strengths that stay as they are, and keys that change nothing."""
    gone = [f"{path} of the file is left out: the width varied here takes its place." for path in comparison.replaced]
    paths = {variation.path for variation in comparison.variations}
    if paths & SOIL and not any(path.startswith("fill.strength") for path in paths):
        gone.append(
            "The strengths stay as the file gives them: they do not follow density, placing moisture or stabiliser."
            " Vary them too, from tests."
        )
    return gone + [f"{path} changes no margin here." for path in comparison.without_effect()]


def summary_sentences(comparison: Comparison) -> list[str]:
    """How many meet, what was varied, what to know, and an example of what cannot be built."""
    counts = comparison.counts()
    if comparison.strength_aside:
        holds = counts["holds, strength set aside"]
        first = f"{count_words(holds, 'holds', 'hold')} every margin but those of strength, which is set aside"
    else:
        first = f"{count_words(counts['meets'], 'meets', 'meet')} every margin"
    out = [
        f"{count_words(len(comparison.points), 'design', 'designs')}: {first},"
        f" {count_words(counts['falls short'], 'falls short', 'fall short')},"
        f" {counts['cannot say']} cannot be decided here, {counts['not buildable']} cannot be built."
    ]
    out += [
        f"{v.path}: {', '.join(v.labels) if len(v.labels) <= 12 else _span(v.labels)}." for v in comparison.variations
    ]
    out += note_sentences(comparison)
    # One example of each key at fault
    refusals = [point.why for point in comparison.points if point.answer == "not buildable"]
    reasons = {refusal.split(":")[0]: refusal for refusal in reversed(refusals)}
    out += [f"Not buildable, for one: {reason}." for reason in list(reasons.values())[:2]]
    return out


def key_sentence(comparison: Comparison) -> str:
    """What the marks of the pictures mean."""
    rule = f" {RULE}" if thumb_axes(comparison) else ""
    unsure, line = (
        ("?", "Hatched strokes under the line: falls short.")
        if len(comparison.variations) == 1
        else ("Dots", "Thick line: between what meets and what falls short.")
    )
    return (
        f"Crosses: cannot be built. {unsure}: cannot be decided by the ring-symmetric check, in the picture of the"
        f" least of all margins. {line}{rule} Each margin is that of its worst counted case."
    )
