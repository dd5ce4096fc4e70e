"""The keys of the design file as data, and how one of them is set: what a sweep over designs needs to know."""

from __future__ import annotations

import copy
import difflib
import re
import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BeforeValidator

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.units import Dimension
from shellcheck_earth.basics.values import criteria_set
from shellcheck_earth.design.given import OrNone, Span, Table, Within
from shellcheck_earth.design.schema import PIVOT, REQUIRED, DesignTable

__all__ = ["Key", "find_key", "key_steps", "known_keys", "set_key", "written_value"]

NUMBERED = re.compile(r"([A-Za-z_]+)\[(\d{1,3})\]")
"""A row of a list of tables, as messages name it: ``opening[1]`` is the first."""


@dataclass(frozen=True)
class Key:
    """One key: `path` with ``[]`` for a row of a list; `within` None: a word, a yes/no or a list; `words` it may be."""

    path: str
    within: Within | None
    words: tuple[str, ...]

    @property
    def dimension(self) -> Dimension | None:
        return self.within.dimension if self.within else None

    @property
    def whole(self) -> bool:
        return self.within is not None and self.within.whole


def _parts(annotation: Any) -> Iterator[Any]:
    """The annotation and everything inside its unions and lists; metadata of Annotated included."""
    yield annotation
    origin = get_origin(annotation)
    if origin is Annotated:
        inner, *metadata = get_args(annotation)
        yield from _parts(inner)
        yield from metadata
    elif origin in (Union, types.UnionType, list):
        for inner in get_args(annotation):
            yield from _parts(inner)


def _bounds(reader: object) -> Within | None:
    """The range that a reader holds a value to, where it reads one."""
    inner = reader.within if isinstance(reader, OrNone | Span) else reader
    return inner if isinstance(inner, Within) else None


def _keys(model: type[Table], prefix: str) -> Iterator[Key]:
    for field_name, field in model.model_fields.items():
        name = field.alias or field_name
        parts = [*_parts(field.annotation), *field.metadata]
        tables = [part for part in parts if isinstance(part, type) and issubclass(part, Table)]
        if tables:
            rows = "[]" if any(get_origin(part) is list for part in parts) else ""
            yield from _keys(tables[0], f"{prefix}{name}{rows}.")
            continue
        readers = [part.func for part in parts if isinstance(part, BeforeValidator)]
        bounds = next((reader for reader in map(_bounds, readers) if reader is not None), None)
        words = [str(word) for part in parts if get_origin(part) is Literal for word in get_args(part)]
        if bool in parts:
            words += ["true", "false"]
        path = f"{prefix}{name}"
        if path == "dome.fixed_compass_pivot":
            yield Key(path, PIVOT, ("inner face", "outer face"))
        elif path not in ("criteria", "factor_set"):
            yield Key(path, bounds, tuple(words))


@cache
def known_keys() -> Mapping[str, Key]:
    """Every key of the design file by its path; rows of lists as ``opening[].width``."""
    keys = {key.path: key for key in _keys(DesignTable, "")}
    for check in criteria_set("common practice"):
        path = f"criteria.{check.replace(' ', '_')}"
        keys[path] = Key(path, REQUIRED, ())
    return types.MappingProxyType(keys)


def find_key(path: str) -> Key:
    """The key of a path; InputError naming the nearest one where there is none, or where it holds no single value."""
    plain = NUMBERED.sub(r"\1[]", path)
    key = known_keys().get(plain)
    if key is None:
        near = difflib.get_close_matches(plain, known_keys(), n=1, cutoff=0.5)
        hint = f"nearest: {near[0].replace('[]', '[1]')}" if near else "such as fill.dry_density"
        raise InputError([Problem(path, "a key of the design file", "an unknown one", hint)])
    if key.dimension is None and not key.words:
        raise InputError([Problem(path, "a key with a single value", "a text or a list")])
    return key


def key_steps(path: str) -> Iterator[tuple[str, int | None]]:
    """(name, row of its list or None) from the outermost table down to the key."""
    for part in path.split("."):
        row = NUMBERED.fullmatch(part)
        yield (row[1], int(row[2]) - 1) if row else (part, None)


def written_value(document: Mapping[str, Any], path: str) -> Any:
    """What the file says at a path, without its ``source``; None where it says nothing."""
    at: Any = document
    for name, row in key_steps(path):
        at = at.get(name) if isinstance(at, Mapping) else None
        if row is not None:
            at = at[row] if isinstance(at, list) and 0 <= row < len(at) else None
    return at["value"] if isinstance(at, dict) and set(at) == {"value", "source"} else at


def set_key(document: Mapping[str, Any], path: str, value: Any) -> dict[str, Any]:
    """A copy of the document with one key set; a value that was marked measured or assumed keeps its mark, unless the
    new one brings its own.

    InputError when a row of a list is not there.
    """
    out: dict[str, Any] = copy.deepcopy(dict(document))
    at: Any = out
    *tables, (key, _) = key_steps(path)
    for name, row in tables:
        inner = at.setdefault(name, {} if row is None else [])
        if row is not None:
            if not isinstance(inner, list) or not 0 <= row < len(inner):
                raise InputError([Problem(path, f"one of the rows of {name} in the file", f"row {row + 1}")])
            inner = inner[row]
        if not isinstance(inner, dict):
            raise InputError([Problem(path, "a table and a key", f"{name} is no table")])
        at = inner
    was = at.get(key)
    marked = isinstance(was, dict) and set(was) == {"value", "source"} and not isinstance(value, dict)
    at[key] = {"value": value, "source": was["source"]} if marked else value
    return out
