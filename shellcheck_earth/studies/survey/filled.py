"""A sheet of readings as it is being filled in: all of it text, changed cell by cell, never yet believed.

What is typed becomes the text of a sheet, and only the reader of that text says what it means. So a form and a file
cannot disagree.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.studies.survey.cells import (
    COURSE,
    RAIN,
    WAYS,
    Column,
    Row,
    odd_character,
    plain_number,
    sheet_cells,
)

__all__ = ["BEARINGS", "LENGTH_UNITS", "MOST_COLUMNS", "MOST_RAINS", "Filled", "Head", "blank", "filled_of"]

BEARINGS = (0, 90, 180, 270)
LENGTH_UNITS = ("mm", "cm", "m", "in", "ft in")
"""Units that a column of lengths may have; a cell may bring any other of its own."""

MOST_COLUMNS, MOST_RAINS = 40, 200
_BARE = re.compile(r"[+-]?\d*\.?\d+")


@dataclass(frozen=True)
class Head:
    """One column. `at`: the bearing of a radius, the place of a rod; None where it has none."""

    name: str
    at: float | None
    unit: str

    @property
    def key(self) -> str:
        """What it is called whatever its unit: `radius 90`."""
        return self.name if self.at is None else f"{self.name} {self.at:g}"


@dataclass(frozen=True)
class Filled:
    """`courses`: number -> key of a column -> what stands there; `rains`: the same by a name of their own."""

    on: str
    columns: tuple[Head, ...]
    rain_columns: tuple[Head, ...]
    set_by: str = "number"
    courses: Mapping[int, Mapping[str, str]] = field(default_factory=dict)
    rains: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    @property
    def unit(self) -> str:
        """Of the levels, and so of what is planned beside them."""
        return next((head.unit for head in self.columns if head.name == "top"), "mm")

    def cell(self, course: int, key: str) -> str:
        """What stands there; "" where nothing does."""
        return self.courses.get(course, {}).get(key, "")

    def with_cell(self, course: int, key: str, text: str) -> Filled:
        """A reading of a course, in a column that the sheet has; InputError."""
        self._known(key, self.columns)
        row = {**self.courses.get(course, {}), key: _text(text)}
        return replace(self, courses={**self.courses, course: row})

    def with_rain(self, name: str, key: str, text: str) -> Filled:
        """What was read of a rain, which is new where nobody knows its name; InputError past the most."""
        if key:
            self._known(key, (Head(RAIN, None, ""), *self.rain_columns))
        if name not in self.rains and len(self.rains) >= MOST_RAINS:
            raise InputError([Problem(RAIN, f"at most {MOST_RAINS} rains", "one more")])
        if key == RAIN and text:
            _day(text)  # it stands first in its line, where any other word would mean another table
        row = dict(self.rains.get(name, {})) | ({key: _text(text)} if key else {})
        return replace(self, rains={**self.rains, name: row})

    def without_rain(self, name: str) -> Filled:
        """Without that rain."""
        return replace(self, rains={other: row for other, row in self.rains.items() if other != name})

    def with_column(self, name: str, at: float) -> Filled:
        """One more bearing or place, in its order among those of its name; as it is where it is there already."""
        if name not in ("radius", "compass", "soft depth") or not 0.0 <= at <= 360.0:
            raise InputError([Problem("column", "a radius, compass or soft depth from 0 to 360", f"{name} {at:g}")])
        like = next((head.unit for head in self.columns if head.name == name), self.unit)
        head = Head(name, at, like)
        if head in self.columns:
            return self
        if len(self.columns) >= MOST_COLUMNS:
            raise InputError([Problem("column", f"at most {MOST_COLUMNS} columns", "one more")])
        return replace(self, columns=_ordered((*self.columns, head)))

    def without_column(self, key: str) -> Filled:
        """Without that bearing or place, and what was read there."""
        kept = tuple(head for head in self.columns if head.key != key or head.at is None)
        keys = {head.key for head in kept}
        rows = {number: {one: text for one, text in row.items() if one in keys} for number, row in self.courses.items()}
        return replace(self, columns=kept, courses=rows)

    def with_unit(self, unit: str) -> Filled:
        """Levels and radii in another unit: a bare number keeps the unit that it was written in, beside it."""
        if unit not in LENGTH_UNITS:
            raise InputError([Problem("unit", f"a unit among {', '.join(LENGTH_UNITS)}", f"{unit!r}")])
        turned = {head.key: head.unit for head in self.columns if head.name in ("top", "radius", "compass")}
        rows = {
            number: {key: _said(text, turned[key], unit) if key in turned else text for key, text in row.items()}
            for number, row in self.courses.items()
        }
        columns = tuple(replace(head, unit=unit) if head.key in turned else head for head in self.columns)
        return replace(self, columns=columns, courses=rows)

    def with_on(self, on: str) -> Filled:
        """The day of the survey."""
        return replace(self, on=on)

    def with_set_by(self, way: str) -> Filled:
        """How the crew sets the compass; InputError."""
        if way not in ("number", "height"):
            raise InputError([Problem("set by", "number or height", f"{way!r}")])
        return replace(self, set_by=way)

    @staticmethod
    def _known(key: str, columns: Sequence[Head]) -> None:
        if key not in {head.key for head in columns}:
            raise InputError([Problem("column", "a column of the sheet", f"{key!r}")])


def _text(text: str) -> str:
    """What is typed, with a point where the comma was; InputError for characters that no sheet has."""
    odd = odd_character(text)
    if odd:
        raise InputError([Problem("a reading", "text as a spreadsheet writes it", f"the character {odd!r}")])
    return plain_number(text)


def _day(text: str) -> None:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise InputError([Problem(RAIN, "a day such as 2026-05-06", f"{text!r}")]) from None


def _ordered(heads: Sequence[Head]) -> tuple[Head, ...]:
    order = ("top", "radius", "compass", "moisture", "soft depth", "tilt", "laid on")
    return tuple(sorted(heads, key=lambda one: (order.index(one.name), one.at or 0.0)))


def _said(text: str, was: str, unit: str) -> str:
    return f"{text} {was}" if was not in (unit, "ft in", "") and _BARE.fullmatch(text) else text


def blank(dome: Dome, on: date) -> Filled:
    """The sheet to fill in: four bearings, three places of the rod; `on`: the day that is written into it."""
    imperial = dome.design.unit_system == "imperial"
    unit, small = ("ft in", "in") if imperial else ("mm", "mm")
    columns = [
        Head("top", None, unit), *(Head("radius", float(at), unit) for at in BEARINGS), Head("moisture", None, "%"),
        *(Head("soft depth", float(spot), small) for spot in (1, 2, 3)), Head("tilt", None, "deg"),
        Head("laid on", None, ""),
    ]  # fmt: skip
    rains = (Head("hours", None, "h"), Head("amount", None, small), Head("covered after", None, "h"))
    return Filled(on.isoformat(), tuple(columns), rains)


def filled_of(text: str, dome: Dome) -> Filled:
    """The sheet in a text, with whatever stands in its cells; InputError where it is no sheet of this dome."""
    problems: list[Problem] = []
    cells = sheet_cells(text, problems)
    known = {course.number for course in dome.courses}
    courses: dict[int, dict[str, str]] = {}
    for row in cells.courses:
        number = next((cell for column, cell in row.cells.items() if column.name == COURSE), "")
        if not re.fullmatch(r"-?\d{1,3}", number, re.ASCII) or int(number) not in known:
            expected = f"a course of the plan, {min(known)} to {max(known)}"
            problems.append(Problem(f"line {row.line}, {COURSE}", expected, f"{number!r}"))
        elif any(_typed(row).values()) and any(courses.get(int(number), {}).values()):
            problems.append(Problem(f"line {row.line}, {COURSE}", "each course once", f"course {number} again"))
        else:
            courses[int(number)] = courses.get(int(number), {}) | _typed(row)
    way = cells.set_by[1].lower() if cells.set_by is not None else "number"
    if way not in WAYS:
        problems.append(Problem("set by", "number or height", f"{way!r}"))
    if len(cells.rains) > MOST_RAINS:
        problems.append(Problem(RAIN, f"at most {MOST_RAINS} rains", str(len(cells.rains))))
    if len(cells.course_columns) > MOST_COLUMNS:
        problems.append(Problem(COURSE, f"at most {MOST_COLUMNS} columns", str(len(cells.course_columns))))
    if problems:
        raise InputError(problems)
    start = blank(dome, date.min)
    rains = {f"file-{number}": _typed(row) for number, row in enumerate(cells.rains, start=1)}
    return Filled(
        on=cells.on[1] if cells.on is not None else "",
        columns=_ordered(_with_usual(_heads(cells.course_columns), start.columns)),
        rain_columns=_with_usual(_heads(cells.rain_columns), start.rain_columns),
        set_by="height" if WAYS[way] else "number",
        courses=courses,
        rains=rains,
    )


def _typed(row: Row) -> dict[str, str]:
    return {_head(column).key: cell for column, cell in row.cells.items() if column.name != COURSE}


def _head(column: Column) -> Head:
    return Head(column.name, column.at, column.unit)


def _heads(columns: Sequence[Column]) -> tuple[Head, ...]:
    return tuple(dict.fromkeys(_head(column) for column in columns if column.name not in (COURSE, RAIN)))


def _with_usual(heads: tuple[Head, ...], usual: Sequence[Head]) -> tuple[Head, ...]:
    """With the columns that the sheet to fill in has and this one lacks: they stay empty until they are typed in."""
    radii = {"radius", "compass"}
    there = {head.name for head in heads}
    there |= radii if there & radii else set()
    return (*heads, *(head for head in usual if head.name not in there))
