"""The cells of a sheet of readings (CSV): its tables, heads and rows as text, before any of it is a number.

One sheet has a line `survey on`, a table of courses and a table of rains, told apart by their first column. A number
without a unit has that of its column's head; a cell may bring its own, feet and inches too. Semicolons with decimal
commas are read as well, for that is how spreadsheets write where the comma is the decimal mark.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from unicodedata import category

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.units import UNITS, Dimension, known_unit

__all__ = [
    "COURSE",
    "COURSE_COLUMNS",
    "DAY",
    "MOST_CELL",
    "MOST_COLUMNS",
    "MOST_LINES",
    "RAIN",
    "RAIN_COLUMNS",
    "SET_BY",
    "WAYS",
    "Cells",
    "Column",
    "Row",
    "odd_character",
    "plain_number",
    "sheet_cells",
]

COURSE, DAY, RAIN, SET_BY = "course", "survey on", "rain on", "set by"
WAYS: Mapping[str, bool] = {"number": False, "height": True, "número": False, "altura": True}
COURSE_COLUMNS: Mapping[str, Dimension | None] = {
    "course": None, "top": "length", "radius": "length", "compass": "length", "moisture": "share",
    "soft depth": "length", "tilt": "angle", "laid on": None,
}  # fmt: skip
RAIN_COLUMNS: Mapping[str, Dimension | None] = {
    "rain on": None, "hours": "duration", "amount": "length", "covered after": "duration",
}  # fmt: skip
SPANISH = {
    "hilada": "course", "nivel": "top", "radio": "radius", "compás": "compass", "humedad": "moisture",
    "profundidad blanda": "soft depth", "inclinación": "tilt", "colocada el": "laid on",
    "levantamiento del": "survey on", "medida por": "set by",
    "lluvia del": "rain on", "horas": "hours", "cantidad": "amount",
    "cubierta tras": "covered after",
}  # fmt: skip
"""Heads of a sheet in Spanish; to be looked over by a native reader."""

PLANNED = ("planned", "previst")
"""Columns that say so are there for the eye and are not read."""

MOST_LINES, MOST_COLUMNS, MOST_CELL = 2000, 60, 200
"""Lines of a sheet, cells of a line, characters of a cell: the sheet of a large dome has far fewer."""

_HEAD = re.compile(r"(?P<name>[^\d(]*?)\s*(?P<at>\d+(?:[.,]\d+)?)?\s*(?:deg|°)?\s*(?:\((?P<unit>[^)]*)\))?")
_COMMA = re.compile(r"[+-]?\d*,\d+")


@dataclass(frozen=True)
class Column:
    """One column: its English name, the bearing or place in its head, the unit there, the head as it is written."""

    name: str
    at: float | None
    unit: str
    head: str


@dataclass(frozen=True)
class Row:
    """One line of a table, without the columns that are there for the eye."""

    line: int
    cells: Mapping[Column, str]


@dataclass
class Cells:
    """A sheet as text. `on`, `set_by`: (line, what stands there), None where the sheet has no such line."""

    on: tuple[int, str] | None = None
    set_by: tuple[int, str] | None = None
    courses: list[Row] = field(default_factory=list)
    rains: list[Row] = field(default_factory=list)
    course_columns: list[Column] = field(default_factory=list)
    rain_columns: list[Column] = field(default_factory=list)


def plain_number(cell: str) -> str:
    """What is typed where the comma is the decimal mark, with a point."""
    return cell.strip().replace(",", ".") if _COMMA.match(cell.strip()) else cell.strip()


def sheet_cells(text: str, problems: list[Problem]) -> Cells:
    """The cells of a text; faults of its heads are added to `problems`. InputError for what is no sheet at all."""
    text = text.removeprefix("\ufeff")
    _plain(text)
    first = next((line for line in text.splitlines() if line.strip() and not line.startswith("#")), "")
    delimiter = ";" if first.count(";") > first.count(",") else ","
    out, kind = Cells(), ""
    columns: list[Column] = []
    for line, cells in _lines(text, delimiter):
        name = _english(cells[0])
        second = cells[1] if len(cells) > 1 else ""
        if name == DAY:
            out.on = (line, second)
        elif name == SET_BY:
            out.set_by = (line, second)
        elif name in (COURSE, RAIN):
            kind, columns = name, _heads(cells, line, COURSE_COLUMNS if name == COURSE else RAIN_COLUMNS, problems)
            known = out.course_columns if name == COURSE else out.rain_columns
            known += [column for column in columns if column.name and column not in known]
        elif not kind:
            expected = f'a head that begins with "{COURSE}", "{RAIN}" or "{DAY}"'
            problems.append(Problem(f"line {line}", expected, f"{cells[0][:MOST_CELL]!r}"))
            break
        else:
            pairs = zip(columns, cells, strict=False)
            row = Row(line, {column: cell for column, cell in pairs if column.name})
            (out.courses if kind == COURSE else out.rains).append(row)
    return out


def odd_character(text: str) -> str:
    """The first character that steers, or that no font shows (Unicode category C); "" where there is none."""
    return next((one for one in text if one not in "\r\n\t" and category(one).startswith("C")), "")


def _plain(text: str) -> None:
    """InputError for characters that no sheet has: they would steer whatever shows them."""
    odd = odd_character(text)
    if odd:
        line = text[: text.index(odd)].count("\n") + 1
        raise InputError([Problem(f"line {line}", "text as a spreadsheet writes it", f"the character {odd!r}")])


def _lines(text: str, delimiter: str) -> list[tuple[int, list[str]]]:
    """(line, its cells) of every line that says something; InputError where there are more than a sheet has."""
    out: list[tuple[int, list[str]]] = []
    reader = csv.reader(io.StringIO(text), delimiter=delimiter)
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            line = reader.line_num
            if line > MOST_LINES:
                raise InputError([Problem("the sheet", f"at most {MOST_LINES} lines", "more than that")])
            if not any(cells) or cells[0].startswith("#"):
                continue
            if len(cells) > MOST_COLUMNS or max(map(len, cells)) > MOST_CELL:
                expected = f"at most {MOST_COLUMNS} cells of {MOST_CELL} characters"
                raise InputError([Problem(f"line {line}", expected, "more than that")])
            if delimiter == ";":
                cells = [plain_number(cell) for cell in cells]
            out.append((line, cells))
    except csv.Error as error:
        raise InputError([Problem(f"line {reader.line_num}", "a line of CSV", f"a fault: {error}")]) from None
    return out


def _english(head: str) -> str:
    low = head.lower().strip()
    return SPANISH.get(low, low)


def _heads(
    cells: Sequence[str], line: int, known: Mapping[str, Dimension | None], problems: list[Problem]
) -> list[Column]:
    out: list[Column] = []
    for cell in cells:
        found = _HEAD.fullmatch(cell.lower())
        name = _english(found["name"]) if found else cell.lower()
        unit = (found["unit"] or "").strip() if found else ""
        at = float(found["at"].replace(",", ".")) if found and found["at"] else None
        if not cell or any(word in cell.lower() for word in PLANNED):
            out.append(Column("", None, "", cell))
            continue
        dimension = known.get(name)
        if name not in known:
            problems.append(Problem(f"line {line}", f"columns among {', '.join(known)}", f"{cell!r}"))
            name = ""
        elif dimension and unit and known_unit(unit, dimension) is None and unit != "ft in":
            problems.append(Problem(f"line {line}, {cell}", f"a unit among {', '.join(UNITS[dimension])}", f"{unit!r}"))
        elif name in ("radius", "compass") and (at is None or not at <= 360.0):
            found_at = "none" if at is None else f"{at:g}"
            problems.append(
                Problem(f"line {line}, {cell}", f'its bearing from 0 to 360, such as "{name} 90 deg"', found_at)
            )
        column = Column(name, at, unit, cell)
        if name and column in out:
            problems.append(Problem(f"line {line}, {cell}", "each column once", "the same column twice"))
        out.append(column)
    return out
