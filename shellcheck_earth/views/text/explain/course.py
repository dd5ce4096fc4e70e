"""Why one course of a wall that is being built matters, in sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.studies.survey.matters import CourseMatters, How
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import factor_words, required_words
from shellcheck_earth.views.text.survey.lengths import chain

__all__ = ["course_sentences", "most_felt_lines"]


def _margin(one: WorstMargin | None) -> str:
    if one is None:
        return _("no such dome can be built")
    at = "" if one.course is None else _(" at the bed under course {course}", course=one.course)
    return _(
        "{check}{at}, safety factor {factor} of {required}",
        check=said_below(one.check),
        at=at,
        factor=factor_words(one.factor, one.required),
        required=required_words(one.required),
    )


HOWS: Mapping[How, str] = {"in": mark("in"), "out": mark("out"), "lower": mark("lower"), "higher": mark("higher")}
OUTSIDE = mark("{off} outside the design curve at its own height")
INSIDE = mark("{off} inside the design curve at its own height")


def course_sentences(found: CourseMatters, system: str, whole: bool) -> list[str]:
    """What was read of the course, what governs there, and what moving it alone does; `whole`: of a dome that goes on
    to its crown, else of what stands."""
    of = _("the dome as it goes on") if whole else _("what stands")
    off = _("there is no design curve at its height")
    if found.off_curve is not None:
        outside = found.off_curve > 0
        off = _(OUTSIDE if outside else INSIDE, off=chain(abs(found.off_curve), system))
    out = [
        _(
            "Course {number}: inner radius {radius}, {off}.",
            number=found.number,
            radius=chain(found.radius, system),
            off=off,
        ),
        _("Least margin of {of}: {least}.", of=of, least=_margin(found.least)),
    ]
    if found.here:
        out.append(
            _(
                "Governed by the beds of course {number}: {margins}.",
                number=found.number,
                margins="; ".join(map(_margin, found.here)),
            )
        )
    else:
        out.append(_("No check is governed by a bed of course {number}.", number=found.number))
    if found.on_curve is not None:
        out.append(_("With this course alone on the curve: {on_curve}.", on_curve=_margin(found.on_curve)))
    moved = (
        _(
            "{by} {how}, all others as they are: {least}.",
            by=chain(one.by, system),
            how=_(HOWS[one.how]),
            least=_margin(one.least),
        )
        for one in found.moved
    )
    return [*out, *moved]


def most_felt_lines(found: Sequence[CourseMatters], system: str) -> list[str]:
    """One line a course, the one that is felt most first: what the worst of the moves takes of the least margin."""
    by = chain(found[0].moved[0].by, system)
    lines = [
        _("What {by} in, out, lower or higher takes of the least share of what is required, course by course:", by=by)
    ]
    for one in found:
        lost = _("the dome can no longer be built") if one.felt == float("inf") else f"{max(one.felt, 0.0):.3f}"
        lines.append("  " + _("course {number:>3}  {lost}", number=one.number, lost=lost))
    return lines
