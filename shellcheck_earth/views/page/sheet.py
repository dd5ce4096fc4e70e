"""The sheet of readings of one tab: changed cell by cell, read as the command reads it, faults beside their cell."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.studies.survey.cells import COURSE, Row, sheet_cells
from shellcheck_earth.studies.survey.filled import LENGTH_UNITS, Filled, Head, blank, filled_of
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.views.pages.survey_sheet import planned_row, sheet_csv
from shellcheck_earth.views.text.language import Language, words
from shellcheck_earth.views.text.page.site import column_label, hint_of, site_words

__all__ = ["Fault", "SheetOfTab", "faults_of"]


@dataclass(frozen=True)
class Fault:
    """One fault of a sheet. `row`: `course 7`, `rain NAME`, `on` or ""; `column`: its key, "" for the whole row."""

    row: str
    column: str
    text: str


_LINE = re.compile(r"line (\d+)(?:, )?")
_COURSE = re.compile(r"course (-?\d+)(?:, )?")


def faults_of(filled: Filled, dome: Dome) -> list[Fault]:
    """What the reader finds wrong in a sheet, each at its place; [] where it can be answered."""
    text = sheet_csv(dome, filled, words("en"))
    try:
        sheet_survey(text, dome)
    except InputError as error:
        try:
            cells = sheet_cells(text, [])
        except InputError:
            return [Fault("", "", str(problem)) for problem in error.problems]
        names = list(filled.rains)
        lines = {row.line: (f"course {_number(row)}", filled.columns) for row in cells.courses}
        said = [names[index] for index in range(len(names)) if any(filled.rains[names[index]].values())]
        lines |= {row.line: (f"rain {name}", filled.rain_columns) for row, name in zip(cells.rains, said, strict=True)}
        return [_fault(problem, lines) for problem in error.problems]
    return []


def _number(row: Row) -> str:
    return next((text for column, text in row.cells.items() if column.name == COURSE), "")


def _fault(problem: Problem, lines: Mapping[int, tuple[str, Sequence[Head]]]) -> Fault:
    path, row, heads = problem.path, "", tuple[Head, ...]()
    if found := _LINE.match(path):
        row, heads = lines.get(int(found[1]), ("", ()))  # type: ignore[assignment]
        path = path[found.end() :]
    if found := _COURSE.match(path):
        row = f"course {found[1]}"
        path = path[found.end() :]
    if path.startswith("survey on"):
        row, path = "on", ""
    named = row.capitalize() if row.startswith("course") else ""
    place = ", ".join(part for part in (named, path) if part)
    said = str(Problem("", problem.expected, problem.found, problem.hint)).removeprefix(": ")
    bare = re.sub(r" deg$| *\([^)]*\)$", "", re.sub(r" deg(?= \()", "", path))
    keys = {head.key for head in heads} | {"top", "laid on", "moisture", "tilt"}
    return Fault(row, bare if bare in keys else "", f"{place}: {said}" if place else said)


class SheetOfTab:
    """The sheet of one tab, in the language that was chosen for it."""

    def __init__(self, language: Language = "en") -> None:
        self.language = language
        self._filled: Filled | None = None

    def filled(self, dome: Dome) -> Filled:
        """As it stands; blank, of today, until something was filled in."""
        if self._filled is None:
            self._filled = blank(dome, date.today())
        return self._filled

    def csv(self, dome: Dome) -> str:
        """The file that the command reads."""
        return sheet_csv(dome, self.filled(dome), words(self.language))

    def open(self, text: str, dome: Dome) -> None:
        """A sheet from a file, as a whole or not at all; InputError."""
        self._filled = filled_of(text, dome)

    def clear(self) -> None:
        """A blank sheet."""
        self._filled = None

    def change(self, changes: Sequence[Sequence[Any]], dome: Dome) -> None:
        """What was typed, in order; each may be told twice. InputError for a change that the sheet cannot take, after
        those before it and those behind it are taken."""
        problems: list[Problem] = []
        for what, *rest in changes:
            try:
                self._filled = self._changed(self.filled(dome), what, rest)
            except InputError as error:
                problems += error.problems
        if problems:
            raise InputError(problems)

    def _changed(self, sheet: Filled, what: str, rest: Sequence[Any]) -> Filled:
        if what == "language":
            self.language = rest[0]
            return sheet
        if what == "course":
            return sheet.with_cell(*rest)
        if what == "rain":
            return sheet.with_rain(*rest)
        one: dict[str, Any] = {
            "on": sheet.with_on, "set by": sheet.with_set_by, "unit": sheet.with_unit, "no rain": sheet.without_rain,
            "column": sheet.with_column, "no column": sheet.without_column,
        }  # fmt: skip
        changed: Filled = one[what](*rest)
        return changed

    def state(self, dome: Dome) -> dict[str, Any]:
        """Everything that the page shows of it."""
        sheet, _ = self.filled(dome), words(self.language)
        planned = {course.number: planned_row(course, sheet.unit) for course in dome.courses}
        others = sorted(number for number, row in sheet.courses.items() if number not in planned and any(row.values()))
        return {
            "on": sheet.on,
            "set_by": sheet.set_by,
            "language": self.language,
            "unit": sheet.unit,
            "units": [*([] if sheet.unit in LENGTH_UNITS else [sheet.unit]), *LENGTH_UNITS],
            "columns": [_column(head, self.language) for head in sheet.columns],
            "rain_columns": [_column(head, self.language) for head in (Head("rain on", None, ""), *sheet.rain_columns)],
            "courses": [
                {"number": number, "planned": row, "cells": dict(sheet.courses.get(number, {}))}
                for number, row in [*planned.items(), *((other, []) for other in others)]
            ],
            "rains": [{"name": name, "cells": dict(row)} for name, row in sheet.rains.items()],
            "faults": [vars(fault) for fault in faults_of(sheet, dome)],
            "words": site_words(_),
        }


def _column(head: Head, language: Language) -> dict[str, Any]:
    _ = words(language)
    return {
        "key": head.key,
        "name": head.name,
        "label": column_label(head, _),
        "unit": head.unit,
        "hint": hint_of(head),
    }
