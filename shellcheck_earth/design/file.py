"""Read a design file: every fault at once, each with its path, what was expected and what was found."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic.fields import FieldInfo

from shellcheck_earth.basics import reading
from shellcheck_earth.basics.errors import MOST_TOLD, InputError, Problem
from shellcheck_earth.basics.units import system_of
from shellcheck_earth.design.builder import Builder
from shellcheck_earth.design.design import (
    Design,
    UnitSystem,
)
from shellcheck_earth.design.factor_set import with_set_file
from shellcheck_earth.design.schema import LONGEST_TEXT, DesignTable, Table, show

__all__ = [
    "design_from_document",
    "parse_design",
    "read_design",
    "read_document",
    "read_text",
    "table_of",
    "unit_system",
]

AnyTable = TypeVar("AnyTable", bound=Table)

Document = dict[str, Any]
"""A design file as TOML gives it, before any check."""


def read_design(path: Path) -> Design:
    """The design in a file, checked; InputError with every fault otherwise."""
    text = read_text(path)
    return replace(design_from_document(reading.parse_toml(text, str(path)), str(path)), text=text)


def parse_design(text: str, where: str = "design") -> Design:
    """The design in a text; InputError otherwise."""
    return replace(design_from_document(reading.parse_toml(text, where), where), text=text)


def read_document(path: Path) -> Document:
    """The TOML of a file; InputError when there is no readable text of sensible size."""
    return reading.parse_toml(read_text(path), str(path))


def read_text(path: Path) -> str:
    """The text of a file to the byte (no line end is changed), that of the set of factors it names behind it;
    InputError as `read_document`."""
    return with_set_file(reading.read_text(path, "a design file"), path)


def _known_keys(root: type[Table], location: tuple[str | int, ...]) -> list[str]:
    """Keys the table at this place knows."""
    model = root
    for name in location:
        if isinstance(name, int):
            continue
        field: FieldInfo | None = model.model_fields.get(name)
        found = _model_in(field.annotation if field else None)
        if found is None:
            return []
        model = found
    return list(model.model_fields)


def _model_in(annotation: Any) -> type[Table] | None:
    if isinstance(annotation, type) and issubclass(annotation, Table):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        found = _model_in(inner)
        if found is not None:
            return found
    return None


def _path(location: tuple[str | int, ...]) -> str:
    out = ""
    for part in location:
        out += f"[{part + 1}]" if isinstance(part, int) else (f".{part}" if out else part)
    return out or "the file"


def _problem(error: Any, root: type[Table], system: UnitSystem) -> Problem:
    location, kind = tuple(error["loc"]), error["type"]
    path, found = _path(location), error.get("input")
    if kind == "extra_forbidden":
        near = difflib.get_close_matches(str(location[-1]), _known_keys(root, location[:-1]), n=1, cutoff=0.5)
        return Problem(
            path, "a key this file knows", f"unknown {location[-1]!r}", f"nearest: {near[0]}" if near else ""
        )
    if kind == "missing":
        return Problem(path, "a value: it has no default", "nothing")
    if kind == "given":
        within = error["ctx"]["within"]
        return Problem(path, within.told(system) if within else error["ctx"]["expected"], error["ctx"]["found"])
    if kind == "literal_error":
        words = [word.strip("' ") for word in error["ctx"]["expected"].replace(" or ", ", ").split(",")]
        near = difflib.get_close_matches(str(found), words, n=1)
        return Problem(path, error["ctx"]["expected"], show(found), f"nearest: {near[0]}" if near else "")
    if path == "backfill" and isinstance(found, list):
        expected = "one table, [backfill], of earth all around or, with from_bearing and to_bearing, on one side"
        return Problem(path, expected, f"{len(found)} tables")
    if kind in ("model_type", "dict_type"):
        return Problem(path, "a table of keys", show(found))
    if kind == "list_type":
        return Problem(path, f"[[{path}]], a table of its own for each", show(found))
    if kind in ("string_type", "string_too_long"):
        return Problem(path, f"a text of at most {LONGEST_TEXT} characters", show(found))
    if kind in ("bool_type", "bool_parsing"):
        return Problem(path, "true or false", show(found))
    return Problem(path, error["msg"][:1].lower() + error["msg"][1:], show(found))


def table_of(root: type[AnyTable], document: Mapping[str, Any], where: str) -> AnyTable:
    """A document as checked tables; InputError with every fault found, each with its path into the document."""
    try:
        return root.model_validate(document)
    except ValidationError as error:
        faults = error.errors(include_url=False)
        system = unit_system(document)
        told = [
            _problem(one, root, system) for one in faults[: 4 * MOST_TOLD]
        ]  # finding the nearest key takes its time
        problems = list({(one.path, one.found): one for one in told}.values())
        raise InputError(problems, where, len(faults) - len(told)) from None


def design_from_document(document: Mapping[str, Any], where: str = "design") -> Design:
    """A checked design; InputError with every fault found. `geometry.reading` also asks whether it can be built."""
    build = Builder(table_of(DesignTable, document, where))
    design = build.design(unit_system(document))
    if design is None:
        raise InputError(build.problems, where)
    return design


def unit_system(document: Any) -> UnitSystem:
    """Imperial when most lengths of the file are written in feet or inches."""
    return system_of(_texts(document), ("length",))


def _texts(node: Any) -> Any:
    # A pile, not recursion: dotted keys nest as deep as the file is long.
    pile = [node]
    while pile:
        top = pile.pop()
        if isinstance(top, str):
            yield top
        elif isinstance(top, dict | list):
            pile.extend(top.values() if isinstance(top, dict) else top)
