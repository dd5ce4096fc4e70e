"""A set of factors as a file: what a country or a county asks, named by `criteria.set_file` of a design.

The file is one table, `[factor_set]`. Where a design is read its text is put behind the design's own, so that one text
says all that the design is held to: that text is kept, proven and copied. What it asks comes beside the set that
`criteria.set` names, never in its place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.reading import LARGEST_TEXT, parse_toml, read_text
from shellcheck_earth.basics.texts import faulty_name
from shellcheck_earth.basics.values import criteria_set
from shellcheck_earth.design.criteria import Combination, read_rows
from shellcheck_earth.design.schema import REQUIRED, show

__all__ = ["TABLE", "FactorSet", "StatedFactor", "read_factor_set", "set_problems", "with_set_file"]

TABLE, KEY = "factor_set", "set_file"
WORDS = ("name", "title", "edition")
STATED = ("value", "clause", "source")
ENDLESS = 1e6
"""Numbers past it are not even printed."""

MOST_WORDS = 200
"""Letters of a title, an edition or a source; names and clauses have half."""


@dataclass(frozen=True)
class StatedFactor:
    """The factor that a set requires of a check [-], where it stands and how that is known."""

    check: str
    value: float
    clause: str
    source: str


@dataclass(frozen=True)
class FactorSet:
    """A set in a file of its own: what it is called, what it was taken from, its factors by check, and its rows."""

    name: str
    title: str
    edition: str
    required: tuple[StatedFactor, ...] = ()
    rows: tuple[Combination, ...] = ()


def _text_problem(path: str, text: object, most: int) -> Iterator[Problem]:
    found = "nothing" if text is None else show(text) if not isinstance(text, str) else faulty_name(text)
    if not found and isinstance(text, str) and len(text) > most:
        found = f"{len(text)} of them"
    if found:
        yield Problem(path, f"a text in plain letters, at most {most} of them", found)


def _stated_problems(one: StatedFactor, path: str) -> Iterator[Problem]:
    if one.check not in criteria_set("common practice"):
        checks = ", ".join(check.replace(" ", "_") for check in criteria_set("common practice"))
        yield Problem(path, f"one of {checks}", show(one.check))
    if not REQUIRED.holds(one.value) or isinstance(one.value, bool):
        yield Problem(f"{path}.value", f"a factor from {REQUIRED.low:g} to {REQUIRED.high:g}", show(one.value))
    yield from _text_problem(f"{path}.clause", one.clause, MOST_WORDS // 2)
    yield from _text_problem(f"{path}.source", one.source, MOST_WORDS)


def set_problems(found: FactorSet) -> Iterator[Problem]:
    """Faults of a set but for those of its rows, which are the rows' own."""
    for word in WORDS:
        yield from _text_problem(f"{TABLE}.{word}", getattr(found, word), MOST_WORDS // (2 if word == "name" else 1))
    if len({one.check for one in found.required}) < len(found.required):
        yield Problem(f"{TABLE}.required", "one factor for each check", "two of one check")
    for one in found.required:
        yield from _stated_problems(one, f"{TABLE}.required.{one.check.replace(' ', '_')}")
    if not found.required and not found.rows:
        yield Problem(TABLE, "at least one row, or one factor under [factor_set.required]", "neither")


def _required(raw: object) -> tuple[list[StatedFactor], list[Problem]]:
    path = f"{TABLE}.required"
    if not isinstance(raw, dict):
        return [], [Problem(path, "a table of checks", show(raw))]
    out, problems = [], []
    for key, one in raw.items():
        if not isinstance(one, dict) or set(one) != set(STATED):
            problems.append(Problem(f"{path}.{key}", "{ value = ..., clause = ..., source = ... }", show(one)))
            continue
        value = one["value"]
        if isinstance(value, int | float) and not isinstance(value, bool):
            if not -ENDLESS < value < ENDLESS:
                expected = f"a factor from {REQUIRED.low:g} to {REQUIRED.high:g}"
                problems.append(Problem(f"{path}.{key}.value", expected, "one far from it, or no number"))
                continue
            value = float(value)
        out.append(StatedFactor(key.replace("_", " "), value, one["clause"], one["source"]))
    return out, problems


def read_factor_set(raw: object) -> tuple[FactorSet | None, list[Problem]]:
    """The set of a table `[factor_set]`, or None, and every fault with its path."""
    if not isinstance(raw, dict):
        return None, [Problem(TABLE, "a table", show(raw))]
    known = (*WORDS, "required", "combination")
    problems = [Problem(f"{TABLE}.{key}", f"one of {', '.join(known)}", key) for key in raw if key not in known]
    required, faults = _required(raw.get("required", {}))
    rows, of_rows = read_rows(raw.get("combination", []), f"{TABLE}.combination", sourced=True)
    said: dict[str, Any] = {word: raw.get(word) for word in WORDS}
    found = FactorSet(**said, required=tuple(required), rows=rows)
    # A table whose only row is at fault has one fault, not two.
    empty = "required" not in raw and "combination" not in raw
    own = [one for one in set_problems(found) if one.path != TABLE or empty]
    problems += [*own, *faults, *of_rows]
    return (None if problems else found), problems


def with_set_file(text: str, path: Path) -> str:
    """The text of a design file with that of the set it names behind it; the text itself where it names none, or has
    the set already (a copy). InputError, with its path, for a file that is no such set or another one than the copy's.
    """
    if KEY not in text:
        return text
    document = parse_toml(text, str(path))
    criteria = document.get("criteria")
    named = criteria.get(KEY) if isinstance(criteria, dict) else None
    if not isinstance(named, str):
        return text  # told with the design's other faults
    file = path.parent / named
    if TABLE in document:
        if _there(file, named, path) and _table_of(file)[1] != document[TABLE]:
            expected = f"the set of factors that [{TABLE}] of this design holds already, or no such table"
            raise InputError([Problem(f"criteria.{KEY}", expected, f"another one in {named}")], str(path))
        return text
    said, own = _table_of(file)
    joined = f"{text}\n{said}"
    if len(joined.encode()) > LARGEST_TEXT:
        expected = f"together with the design under {LARGEST_TEXT // 1_000_000} MB"
        raise InputError([Problem("the file", expected, "more than that")], str(file))
    if repr(parse_toml(joined, str(file))) != repr(document | {TABLE: own}):  # a nan is not even equal to itself
        expected = f"a file that begins with the line [{TABLE}]"
        raise InputError([Problem("the file", expected, "keys before its first table")], str(file))
    return joined


def _there(file: Path, named: str, design: Path) -> bool:
    try:
        return file.is_file()
    except (OSError, ValueError):
        problem = Problem(f"criteria.{KEY}", "the path of a file", show(named[:40]))
        raise InputError([problem], str(design)) from None


def _table_of(file: Path) -> tuple[str, Any]:
    """The text of a file of a set, and its one table; InputError with every fault."""
    said = read_text(file, "a file of a set of factors").removeprefix("\ufeff")
    document = parse_toml(said, str(file))
    if set(document) != {TABLE}:
        found = ", ".join(sorted(document)[:4]) or "nothing"
        raise InputError([Problem("the file", f"one table, [{TABLE}]", found)], str(file))
    _, problems = read_factor_set(document[TABLE])
    if problems:
        raise InputError(problems, str(file))
    return said, document[TABLE]
