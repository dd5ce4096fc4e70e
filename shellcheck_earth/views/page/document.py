"""A design file that is changed key by key: comments and order kept, every step undone and redone."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.reading import parse_toml
from shellcheck_earth.design.keys import find_key, key_steps, set_key, written_value
from shellcheck_earth.design.write import document_toml

__all__ = ["MOST_STEPS", "Document", "changed_text", "plain_change"]

MOST_STEPS = 200
"""Steps that can be undone."""

WIDTHS = {"wall.filled_width": "wall.flat_width", "wall.flat_width": "wall.filled_width"}
"""Two ways to say how wide the tube is: whoever sets one of them means another tube, and the other no longer holds."""


def _marked(was: Any, value: Any, *, measured: bool) -> Any:
    """The value with its mark. One that was measured is not measured at another value, unless that is said."""
    if measured:
        return {"value": value, "source": "measured"}
    old = was.get("source") if isinstance(was, Mapping) else None
    return {"value": value, "source": "assumed"} if old == "assumed" else value


def _replaced(path: str) -> str:
    return WIDTHS.get(path, "")


def plain_change(document: Mapping[str, Any], path: str, value: Any, *, measured: bool = False) -> dict[str, Any]:
    """A copy of a document as plain data with one key set; InputError for a key that no design file has."""
    find_key(path)
    was = _raw(document, path)
    out = set_key(document, path, value)
    at: Any = out
    *tables, (key, _) = key_steps(path)
    for name, row in tables:
        at = at[name] if row is None else at[name][row]
    at[key] = _marked(was, value, measured=measured)
    other = _replaced(path)
    if other and written_value(out, other) is not None:
        table, key = other.split(".")
        del out[table][key]
    return out


def _raw(document: Mapping[str, Any], path: str) -> Any:
    at: Any = document
    for name, row in key_steps(path):
        at = at.get(name) if isinstance(at, Mapping) else None
        if row is not None:
            at = at[row] if isinstance(at, list) and 0 <= row < len(at) else None
    return at


def _inline(value: Any) -> Any:
    if not isinstance(value, Mapping):
        return value
    table = tomlkit.inline_table()
    table.update(value)
    return table


def changed_text(text: str, path: str, value: Any, *, measured: bool = False) -> str:
    """The text of a design file with one key set, everything else of it to the letter; InputError."""
    find_key(path)
    try:
        document = tomlkit.parse(text)
    except (TOMLKitError, ValueError) as error:
        raise InputError([Problem("the file", "TOML", f"a fault: {str(error)[:200]}")]) from None
    at: Any = document
    *tables, (key, _) = key_steps(path)
    for name, row in tables:
        if name not in at:
            if row is not None:
                raise InputError([Problem(path, f"one of the rows of {name} in the file", f"row {row + 1}")])
            at[name] = tomlkit.table()
        at = at[name] if row is None else at[name][row]
    at[key] = _inline(_marked(at.get(key), value, measured=measured))
    other = _replaced(path)
    if other:
        table, unused = other.split(".")
        if unused in document.get(table, {}):
            del document[table][unused]
    changed = tomlkit.dumps(document)
    wanted = plain_change(parse_toml(text), path, value, measured=measured)
    # What it reads as counts: a file too oddly laid out to be changed in place is written anew, without comments.
    return changed if _reads_as(changed, wanted) else document_toml(wanted)


def _reads_as(text: str, wanted: Mapping[str, Any]) -> bool:
    try:
        return parse_toml(text) == wanted
    except InputError:
        return False


@dataclass
class Document:
    """The text of one tab's design file and the steps that led to it; `at` counts from the first."""

    steps: list[str]
    at: int = 0
    plain: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.plain = parse_toml(self.text)

    @property
    def text(self) -> str:
        return self.steps[self.at]

    @property
    def may_undo(self) -> bool:
        return self.at > 0

    @property
    def may_redo(self) -> bool:
        return self.at + 1 < len(self.steps)

    def put(self, text: str) -> None:
        """A new step, which ends what could be redone; the same text is no step. InputError for what is no TOML."""
        if text == self.text:
            return
        plain = parse_toml(text)
        self.steps = [*self.steps[: self.at + 1], text][-MOST_STEPS:]
        self.at = len(self.steps) - 1
        self.plain = plain

    def move(self, steps: int) -> None:
        """Back (-1) or forward (1) where there is such a step."""
        self.at = min(max(self.at + steps, 0), len(self.steps) - 1)
        self.plain = parse_toml(self.text)
