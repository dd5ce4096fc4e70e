"""The sheet of readings: from its cells to a survey, strictly, every fault at once, slips of the units told by name."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.basics.units import Dimension, both, parse_quantity
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.survey import CourseReading, RainFallen, Survey, radius_of_reading
from shellcheck_earth.studies.survey.cells import COURSE, DAY, RAIN, SET_BY, WAYS, Column, Row, sheet_cells

__all__ = ["read_sheet", "sheet_survey"]

FEET = 1 / 0.3048


def read_sheet(path: Path, planned: Dome) -> Survey:
    """The survey in a file.

    Parameters
    ----------
    path
        CSV in UTF-8, under 1 MB, as `shellcheck-earth survey DESIGN --starter FILE` writes it.
    planned
        The dome as designed: its courses are those that may be read, and what the readings are held against [m].

    Returns
    -------
    Survey
        Lengths in m, angles in rad, courses without a gap.

    Raises
    ------
    InputError
        With every fault: its line and column, what was expected, what was found.
    """
    try:
        return sheet_survey(read_text(path, "a sheet of readings (CSV)"), planned)
    except InputError as error:
        raise InputError(error.problems, error.where or str(path), 0) from None


def sheet_survey(text: str, planned: Dome) -> Survey:
    """The survey in a text; InputError as `read_sheet`."""
    problems: list[Problem] = []
    cells = sheet_cells(text, problems)
    on = _date(cells.on[1], f"line {cells.on[0]}, {DAY}", problems) if cells.on is not None else None
    by_height = _set_by(cells.set_by[1], f"line {cells.set_by[0]}, {SET_BY}", problems) if cells.set_by else False
    courses = _courses(cells.courses, planned, problems)
    rains = _rains(cells.rains, problems)
    if on is None and not problems:
        problems.append(Problem(DAY, "the day of the survey, such as 2026-05-06", "nothing"))
    if not problems:
        assert on is not None
        _order(courses, planned, on, rains, problems)
    if problems or on is None:
        raise InputError(problems)
    return Survey(on, tuple(courses), tuple(rains), by_height)


def _set_by(text: str, where: str, problems: list[Problem]) -> bool:
    """Whether the crew sets the compass by height; a line left out counts as by number, which leads away sooner."""
    if text.lower() not in WAYS:
        problems.append(Problem(where, "number or height", f"{text!r}" if text else "nothing"))
    return WAYS.get(text.lower(), False)


def _date(text: str, where: str, problems: list[Problem]) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        problems.append(Problem(where, "a day such as 2026-05-06", f"{text!r}" if text else "nothing"))
        return None


def _value(row: Row, column: Column, dimension: Dimension, problems: list[Problem]) -> float | None:
    """A cell in SI; None where it is empty or wrong, which is then told."""
    text = row.cells[column]
    if not text:
        return None
    try:
        plain = re.fullmatch(r"[+-]?\d*\.?\d+", text) is not None
        if plain and column.unit and column.unit != "ft in":
            return parse_quantity(f"{text} {column.unit}", dimension)
        below = text.startswith("-") and dimension == "length"  # levels under the springing
        return -parse_quantity(text[1:].strip(), dimension) if below else parse_quantity(text, dimension)
    except ValueError as error:
        problems.append(Problem(f"line {row.line}, {column.head}", str(error), f"{text!r}"))
        return None


def _of(row: Row, name: str) -> Iterable[Column]:
    return (column for column in row.cells if column.name == name)


def _one(row: Row, name: str, dimension: Dimension, problems: list[Problem]) -> float | None:
    return next((_value(row, column, dimension, problems) for column in _of(row, name)), None)


def _courses(rows: Sequence[Row], planned: Dome, problems: list[Problem]) -> list[CourseReading]:
    """The rows with a reading in them, lowest course first; a row left empty is a course that is not laid."""
    known = {course.number for course in planned.courses}
    found: dict[int, Row] = {}
    for row in rows:
        text = next((row.cells[column] for column in _of(row, COURSE)), "")
        where = f"line {row.line}, {COURSE}"
        if not re.fullmatch(r"-?\d{1,3}", text) or int(text) not in known:
            problems.append(Problem(where, f"a course of the plan, {min(known)} to {max(known)}", f"{text!r}"))
            continue
        if not any(cell for column, cell in row.cells.items() if column.name not in (COURSE, "laid on")):
            continue
        if int(text) in found:
            problems.append(
                Problem(where, "each course once", f"course {text} again, after line {found[int(text)].line}")
            )
            continue
        found[int(text)] = row
    out: list[CourseReading] = []
    bottom: float | None = None
    for number in sorted(found):
        reading = _reading(found[number], number, planned, bottom, problems)
        if reading is not None:
            out.append(reading)
            bottom = reading.top
    _gaps(sorted(found), planned, problems)
    return out


def _gaps(numbers: Sequence[int], planned: Dome, problems: list[Problem]) -> None:
    if not numbers:
        problems.append(Problem(COURSE, "readings of at least one course", "none"))
        return
    missing = sorted(set(range(min(*numbers, 1), max(numbers) + 1)) - set(numbers))
    if missing:
        listed = ", ".join(map(str, missing[:12])) + (" ..." if len(missing) > 12 else "")
        expected = f"a reading of every course up to {max(numbers)}, the highest that is read"
        problems.append(Problem(COURSE, expected, f"none of {listed}", "measure them, or copy what was read before"))
    if max(numbers) < 1:
        problems.append(Problem(COURSE, "at least one course above the springing", f"none above {max(numbers)}"))
    if max(numbers) >= planned.top_number:
        problems.append(
            Problem(
                COURSE,
                f"a dome that is being built, fewer than its {planned.top_number} courses",
                f"course {max(numbers)}",
                'a dome that is finished is a design with profile = "measured": ask `check`',
            )
        )


def _reading(
    row: Row, number: int, planned: Dome, bottom: float | None, problems: list[Problem]
) -> CourseReading | None:
    where = f"line {row.line}, course {number}"
    told = len(problems)
    top = _one(row, "top", "length", problems)
    raw = [
        (name, column.at or 0.0, value)
        for name in ("radius", "compass")
        for column in _of(row, name)
        if (value := _value(row, column, "length", problems)) is not None
    ]
    soft = tuple(
        value for column in _of(row, "soft depth") if (value := _value(row, column, "length", problems)) is not None
    )
    moisture, tilt = _one(row, "moisture", "share", problems), _one(row, "tilt", "angle", problems)
    text = next((row.cells[column] for column in _of(row, "laid on")), "")
    laid_on = _date(text, f"{where}, laid on", problems) if text else None
    if len(problems) == told and top is None:
        problems.append(Problem(f"{where}, top", "the level of its top above the springing", "nothing"))
    if len(problems) == told and not raw:
        problems.append(Problem(f"{where}, radius", "its inner radius at one bearing or more", "nothing"))
    if len(problems) > told or top is None:
        return None
    _within(where, (("moisture", moisture, 0.6), ("tilt", None if tilt is None else abs(tilt), 0.6)), problems)
    _within(where, (("soft depth", max(soft, default=None), 1.0),), problems)
    course = planned.course(number)
    mid = (top + (course.z_bottom if bottom is None else bottom)) / 2
    _believable(_Read(f"{where}, top", top, course.z_top, course.z_top), planned, problems)
    radii = _radii(raw, where, mid, planned.course(number), planned, problems)
    if not radii or len(problems) > told:
        return None
    return CourseReading(number, top, tuple(radii), moisture, soft, None if tilt is None else abs(tilt), laid_on)


def _within(where: str, found: Iterable[tuple[str, float | None, float]], problems: list[Problem]) -> None:
    for name, value, most in found:
        if value is not None and not 0.0 <= value <= most:
            problems.append(Problem(f"{where}, {name}", f"a value from 0 to {most:g}", f"{value:g}"))


def _radii(
    raw: Sequence[tuple[str, float, float]],
    where: str,
    mid: float,
    course: Course,
    planned: Dome,
    problems: list[Problem],
) -> list[tuple[float, float]]:
    """(bearing, inner radius) of the readings of one course, each near enough to the plan to be one."""
    pivot, size = planned.design.dome.centre_pivot_above_springing, planned.design.dome.inside_diameter / 2
    out = []
    for name, at, value in raw:
        path = f"{where}, {name} {at:g} deg"
        radius = value if name == "radius" else radius_of_reading(value, mid, pivot)
        drawn = course.inner_radius if name == "radius" else course.compass
        if math.isnan(radius):
            shown = both(value, "length", planned.design.unit_system, 4)
            problems.append(Problem(path, "a compass that reaches that height", shown))
        elif _believable(_Read(path, value, drawn, size), planned, problems):
            out.append((math.radians(at), radius))
    return out


@dataclass(frozen=True)
class _Read:
    """A reading beside what was drawn; `size`: what its deviation is held against [m]."""

    path: str
    value: float
    drawn: float
    size: float


SLIPS = (
    (FEET, "feet read as metres"),
    (1 / FEET, "metres read as feet"),
    (1000.0, "millimetres read as metres"),
    (0.001, "metres read as millimetres"),
    (2.0, "a diameter read as a radius"),
)


def _believable(read: _Read, dome: Dome, problems: list[Problem]) -> bool:
    """Whether a reading lies near enough to the plan not to be a slip of the units."""
    system, room = dome.design.unit_system, 2 * dome.design.wall.course_height
    if abs(read.value - read.drawn) <= max(fixed("survey.misread") * abs(read.size), room):
        return True
    near = max(0.1 * abs(read.drawn), room / 2)
    slips = (slip for slip in SLIPS if abs(read.value / slip[0] - read.drawn) <= near and abs(read.drawn) > room / 2)
    hint = next((f"{factor:.3g} times the plan: {said}?" for factor, said in slips), "")
    found, expected = both(read.value, "length", system, 4), both(read.drawn, "length", system, 4)
    problems.append(Problem(read.path, f"about {expected}, as planned", found, hint))
    return False


def _rains(rows: Sequence[Row], problems: list[Problem]) -> list[RainFallen]:
    out = []
    for row in rows:
        where, told = f"line {row.line}", len(problems)
        text = next((row.cells[column] for column in _of(row, RAIN)), "")
        if not any(row.cells.values()):
            continue
        on = _date(text, f"{where}, {RAIN}", problems)
        hours, amount = _one(row, "hours", "duration", problems), _one(row, "amount", "length", problems)
        covered = _one(row, "covered after", "duration", problems)
        for name, value, most in (("hours", hours, 1000.0), ("amount", amount, 3.0)):
            if len(problems) == told and (value is None or not 0.0 < value <= most):
                expected = f"a value over 0, up to {most:g} {'h' if name == 'hours' else 'm'}"
                problems.append(Problem(f"{where}, {name}", expected, "nothing" if value is None else f"{value:g}"))
        if covered is not None and covered < 0.0:
            problems.append(Problem(f"{where}, covered after", "hours, 0 or more", f"{covered:g}"))
        if len(problems) == told and on is not None and hours is not None and amount is not None:
            out.append(RainFallen(on, hours, amount, covered))
    return out


def _order(
    courses: Sequence[CourseReading], planned: Dome, on: date, rains: Sequence[RainFallen], problems: list[Problem]
) -> None:
    """What several readings together show: heights of courses, days in order."""
    bottom, low = planned.course(courses[0].number).z_bottom, 0.5 * planned.design.wall.course_height
    day: date | None = None
    for course in courses:
        height = course.top - bottom
        if not low <= height <= 4 * low:
            shown = both(height, "length", planned.design.unit_system)
            usual = both(2 * low, "length", planned.design.unit_system)
            problems.append(
                Problem(f"course {course.number}, top", f"a course about {usual} high on the one below", f"{shown}")
            )
        bottom = course.top
        if course.laid_on is not None:
            if day is not None and course.laid_on < day:
                problems.append(Problem(f"course {course.number}, laid on", f"{day} or later", f"{course.laid_on}"))
            if course.laid_on > on:
                problems.append(Problem(f"course {course.number}, laid on", f"{on} or before", f"{course.laid_on}"))
            day = course.laid_on
    problems += [Problem("rain on", f"{on} or before", f"{rain.on}") for rain in rains if rain.on > on]
