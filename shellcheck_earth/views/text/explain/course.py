"""Why one course of a wall that is being built matters, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.studies.survey.matters import CourseMatters
from shellcheck_earth.views.text.numbers import factor_words, required_words
from shellcheck_earth.views.text.survey.lengths import chain

__all__ = ["course_sentences", "most_felt_lines"]


def _margin(one: WorstMargin | None) -> str:
    if one is None:
        return "no such dome can be built"
    at = "" if one.course is None else f" at the bed under course {one.course}"
    return f"{one.check}{at}, safety factor {factor_words(one.factor, one.required)} of {required_words(one.required)}"


def course_sentences(found: CourseMatters, system: str, whole: bool) -> list[str]:
    """What was read of the course, what governs there, and what moving it alone does; `whole`: of a dome that goes on
    to its crown, else of what stands."""
    of = "the dome as it goes on" if whole else "what stands"
    off = "there is no design curve at its height"
    if found.off_curve is not None:
        side = "outside" if found.off_curve > 0 else "inside"
        off = f"{chain(abs(found.off_curve), system)} {side} the design curve at its own height"
    out = [
        f"Course {found.number}: inner radius {chain(found.radius, system)}, {off}.",
        f"Least margin of {of}: {_margin(found.least)}.",
    ]
    if found.here:
        out.append(f"Governed by the beds of course {found.number}: {'; '.join(map(_margin, found.here))}.")
    else:
        out.append(f"No check is governed by a bed of course {found.number}.")
    if found.on_curve is not None:
        out.append(f"With this course alone on the curve: {_margin(found.on_curve)}.")
    moved = (f"{chain(one.by, system)} {one.how}, all others as they are: {_margin(one.least)}." for one in found.moved)
    return [*out, *moved]


def most_felt_lines(found: Sequence[CourseMatters], system: str) -> list[str]:
    """One line a course, the one that is felt most first: what the worst of the moves takes of the least margin."""
    by = chain(found[0].moved[0].by, system)
    lines = [f"What {by} in, out, lower or higher takes of the least share of what is required, course by course:"]
    for one in found:
        lost = "the dome can no longer be built" if one.felt == float("inf") else f"{max(one.felt, 0.0):.3f}"
        lines.append(f"  course {one.number:>3}  {lost}")
    return lines
