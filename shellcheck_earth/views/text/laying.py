"""Laying a ring that is not closed yet, in sentences: how long a piece must be, and when it has to be held."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

from shellcheck_earth.basics.units import FOOT
from shellcheck_earth.safety.laying import LayingRow, first_needing_hand
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import required_words
from shellcheck_earth.views.text.survey.lengths import at_least, measured_off

__all__ = ["NOTHING_TIPS", "SITE_LENGTHS", "laying_paragraph", "laying_sentences", "tips"]

NOTHING_TIPS = mark(
    "No piece of an open ring tips here: one of any length stands by itself, with the factor required, under a tamper's"
    " blow and under a worker. The table of lengths is left out."
)

SITE_LENGTHS = mark(
    "A shorter piece than this tips inward when it is let go. Lengths are along the middle of the course; a course that"
    " is not in the table does not tip, whatever the length of the piece."
)

STEPS = {"metric": 0.25, "imperial": 0.5 * FOOT}
"""Steps that lengths of a piece are rounded up to [m]: a quarter of a metre, half a foot."""


def _rounded(length: float, system: str) -> float:
    step = STEPS[system]
    return math.ceil(length / step - 1e-9) * step


def _courses(numbers: list[int]) -> str:
    if len(numbers) == 1:
        return _("Course {number}", number=numbers[0])
    return _("Courses {first} to {last}", first=numbers[0], last=numbers[-1])


def _piece_sentence(same: list[LayingRow], length: float, required: float, system: str) -> str:
    """The longer of what the factor and what a tamper's blow call for, rounded up."""
    whole = any(length >= row.ring_length for row in same)
    say = _("close the whole ring before letting go")
    if not whole:
        say = _("lay at least {length} in one piece", length=measured_off(length, system))
    least = min(same, key=lambda row: math.inf if row.factor is None else row.factor)
    alone = _("nothing hangs over")
    if least.factor is not None:
        alone = _("a short piece has a factor of {factor:.2f}", factor=least.factor)
    longest = max(same, key=lambda row: max(row.length_required, row.length_blow))
    values = {"course": longest.number, "blow": at_least(longest.length_blow, system)}
    needs = _("for that any length will do, but course {course} needs {blow} under a tamper's blow", **values)
    if longest.length_required > 0.0:
        values |= {"length": at_least(longest.length_required, system)}
        needs = _("course {course} needs {length} for that and {blow} under a tamper's blow", **values)
    return _(
        "{courses}: {say} before it is tamped (tipping: {alone}, {required} is required; {needs}).",
        courses=_courses([row.number for row in same]),
        say=say,
        alone=alone,
        required=required_words(required),
        needs=needs,
    )


def laying_sentences(rows: tuple[LayingRow, ...], required: float, system: str) -> Iterator[str]:
    """The courses of which a short piece tips, and how long a piece must be; runs of equal length together."""
    first = first_needing_hand(rows)
    if first is not None:
        yield _(
            "From course {course} on, a short piece tips inward by itself: hold it by hand or prop it until the ring is"
            " closed (its step-in is over about half of the width).",
            course=first,
        )
    for length, group in groupby(rows, key=lambda row: _rounded(max(row.length_required, row.length_blow), system)):
        if length > 0.0:
            yield _piece_sentence(list(group), length, required, system)


def tips(row: LayingRow) -> bool:
    """Whether some piece of the course tips: by itself, with the factor required, under a blow or under a worker."""
    return max(row.length_required, row.length_blow, row.length_worker or 0.0) > 0.0


def laying_paragraph(required: float, left_out: int) -> str:
    """What the table of open rings holds, and how many courses are not in it because no piece of them tips."""
    said = _(
        "An open ring carries no ring compression: a piece of it tips inward when its weight lies inside the edge it"
        " rests on. Against tipping a factor of {required} is required. Lengths are along the middle of the course; the"
        " wire's hold counts only what the design says was tested; a tamper's blow and a worker act near the inner edge"
        " (proposed).",
        required=required_words(required),
    )
    if not left_out:
        return said
    more = (
        mark(
            "Of the table one course is left out: no piece of it tips, whatever its length, under a blow or a worker"
            " either."
        )
        if left_out == 1
        else mark(
            "Of the table {count} courses are left out: no piece of them tips, whatever its length, under a blow or a"
            " worker either."
        )
    )
    return f"{said} {_(more, count=left_out)}"
