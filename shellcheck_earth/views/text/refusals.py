"""Why a design cannot be built, as the floors below say it in English, in the reader's language."""

from __future__ import annotations

import re

from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark, spoken

__all__ = ["refusal_words"]

REFUSED = re.compile(
    r"(?P<path>[^:]+): expected (?P<expected>.+?), found (?P<found>.+?)(?: \((?P<hint>[a-z][^()]*)\))?"
)
PARTS = (
    mark("a whole number of courses of {height}: {low} or {high}"),
    mark("at most {most}: the fabric of this flat width does not reach round a wider course of {height}"),
    mark("at most the dry friction {most}"),
    mark("at most the friction with wire {most}"),
    mark("at most {most}, which fills every void"),
    mark("less than half the wall, {half}"),
    mark("less than the inside diameter {diameter}"),
    mark("a pivot past the axis, more than {most} beyond the inner face: the arc never closes otherwise"),
    mark("at most {most}: the arc closes to the crown opening {height} above the springing"),
    mark("a height that gives at most {most} courses"),
    mark("at least one course above the springing"),
    mark("courses that overlap: a step-in under {most}, the width less the rounded edges"),
    mark("course {above} steps in {step} over course {below}"),
    mark("courses of {height} would overlap"),
    mark("a wider crown opening or a wider tube would work"),
    mark("lay course by course with steps under {most}"),
    mark("{count} courses"),
    mark("{low} to {high}"),
)


WORD = re.compile(r"[^\W\d_]{4,}")
"""What has none of these (a number with its unit) is the same in every language."""


def _part(text: str) -> str | None:
    """What was expected, found or hinted at; None where this program has no words for it."""
    for pattern in PARTS:
        form = re.sub(r"\\{(\w+)\\}", r"(?P<\1>.+?)", re.escape(pattern))
        found = re.fullmatch(form, text)
        if found is not None:
            return _(pattern, **found.groupdict())
    said = said_below(text)
    return None if said == text and WORD.search(text) else said


def refusal_words(why: str) -> str:
    """A refusal in the language of the page; whole in English, in which the floors below say it, where a part of it
    has no words there: half a sentence in each says nothing well."""
    if spoken().language == "en":
        return why
    said = [_one(one) for one in why.split("; ")]
    return why if None in said else "; ".join(one for one in said if one is not None)


def _one(why: str) -> str | None:
    found = REFUSED.fullmatch(why)
    if found is None:
        return None
    parts = {name: _part(part) for name, part in found.groupdict().items() if part and name != "path"}
    if None in parts.values():
        return None
    said = _("{path}: expected {expected}, found {found}", path=found["path"], **parts)
    return f"{said} ({parts['hint']})" if "hint" in parts else said
