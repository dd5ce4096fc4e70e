"""How a number, a place and a list are written in a sentence, the same everywhere."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import POUND, Dimension, G, format_quantity
from shellcheck_earth.geometry.courses import Course, CourseKind, Dome
from shellcheck_earth.views.text.language import _, mark

__all__ = [
    "bed_named",
    "capital",
    "course_named",
    "factor_words",
    "listed",
    "lower",
    "masses",
    "outcome_words",
    "quantity_in",
    "quantity_words",
    "required_words",
]

DIMENSIONS: Mapping[str, Dimension] = {"kPa": "stress", "kN": "force"}
"""What a margin's unit measures; a margin without a unit is a plain number."""


def capital(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


def lower(text: str) -> str:
    """The text with its first letter small."""
    return text[:1].lower() + text[1:]


def listed(items: Sequence[str]) -> str:
    """ "a, b and c"."""
    return items[0] if len(items) == 1 else _("{first} and {last}", first=", ".join(items[:-1]), last=items[-1])


def required_words(required: float) -> str:
    """A required factor with at least one decimal: 3.0, 1.25."""
    return f"{required:.1f}" if abs(required - round(required, 1)) < 1e-9 else f"{required:.3g}"


def factor_words(factor: float, required: float | None = None) -> str:
    """Three significant figures; more where rounding would lift a factor that falls short up to what is required."""
    if math.isinf(factor):
        return _("over 1000")
    text = f"{factor:.3g}" if factor < 100 else f"{factor:.0f}"
    figures = 3
    while required is not None and factor < required <= float(text) and figures < 9:
        figures += 1
        text = f"{factor:.{figures}g}"
    return text


def quantity_words(value: float, unit: str, system: str = "metric") -> str:
    """A demand or a capacity in the user's own unit; a plain number with two decimals where it has so many."""
    if unit in DIMENSIONS:
        return format_quantity(value, DIMENSIONS[unit], system)
    return f"{value:.2f}" if value >= 0.1 else f"{value:.2g}"


def quantity_in(value: float | None, unit: str, system: str) -> str:
    """A demand or a capacity in a table, in the user's own unit; a dash for none."""
    return "-" if value is None else format_quantity(value, DIMENSIONS.get(unit, "number"), system)


def masses(weight: float, system: str) -> tuple[str, str]:
    """A weight [kN] over 0 as a mass in tonnes and in pounds, the system's own first."""
    tonnes = weight / G
    pounds = 1000 * tonnes / POUND
    both_ways = f"{tonnes:.3g} t", f"{round(pounds, 2 - math.floor(math.log10(pounds))):.0f} lb"
    return both_ways[::-1] if system == "imperial" else both_ways


def outcome_words(meets: bool | None) -> str:
    """Whether a margin meets what is required; None: not established."""
    return _("cannot say") if meets is None else _("meets") if meets else _("falls short")


COURSES: Mapping[CourseKind, str] = {
    "arc": mark("course {number}"),
    "buried": mark("buried course {number}"),
    "stem": mark("stem course {number}"),
}
BEDS: Mapping[CourseKind, str] = {
    "arc": mark("the bed under course {number}"),
    "buried": mark("the bed under buried course {number}"),
    "stem": mark("the bed under stem course {number}"),
}
"""How a course and its bed are called, by what kind of course it is."""


def course_named(course: Course) -> str:
    """ "course 12", or "buried course -2" for one that is not on the arc."""
    return _(COURSES[course.kind], number=course.number)


def bed_named(dome: Dome, number: int) -> str:
    """ "the bed under buried course -1"."""
    course = dome.course(number)
    return _(BEDS[course.kind], number=course.number)
