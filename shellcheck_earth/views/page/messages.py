"""What a browser may send: each kind of message with its fields, held to type and size before anything reads it."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from typing import Any
from unicodedata import category

from shellcheck_earth.basics.reading import LARGEST_TEXT
from shellcheck_earth.views.page.controls import SLIDERS
from shellcheck_earth.views.page.security import LARGEST_SMALL

__all__ = ["GUESTS_MAY", "HostileError", "read_message"]

LONGEST_PATH, LONGEST_VALUE, LONGEST_NAME, LONGEST_REASON, MOST_COURSES = 80, 80, 120, 200, 400


LONGEST_CELL, MOST_CHANGES = 60, 60

STEERS = frozenset({"Cc", "Cs", "Zl", "Zp"})
"""Kinds of characters (Unicode) that no field holds: controls, halves of pairs, ends of lines."""


class HostileError(Exception):
    """A message that the page itself never sends: the connection is closed."""


def _text(longest: int) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, str) and len(value) <= longest and value.isprintable()


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _none(value: Any) -> bool:
    """A load that the site does not have, with the reason."""
    return (
        isinstance(value, dict)
        and set(value) == {"value", "reason"}
        and value["value"] == "none"
        and _text(LONGEST_REASON)(value["reason"])
    )


def _value(value: Any) -> bool:
    return (
        _none(value) or isinstance(value, bool) or (_number(value) and abs(value) < 1e12) or _text(LONGEST_VALUE)(value)
    )


def _yes_no(value: Any) -> bool:
    return isinstance(value, bool)


def _stage(value: Any) -> bool:
    return value is None or (isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_COURSES)


def _hours(value: Any) -> bool:
    return _number(value) and 0.0 <= value <= 10_000.0


def _file(value: Any) -> bool:
    return isinstance(value, str) and len(value) <= LARGEST_TEXT


def _count(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 2**53


def _settings(value: Any) -> bool:
    """Two keys and their values: a point of the map."""
    if not isinstance(value, list) or len(value) != 2:
        return False
    return all(isinstance(one, list) and len(one) == 2 and one[0] in PATHS and _value(one[1]) for one in value)


def _cell(value: Any) -> bool:
    """What is typed into a field: short, and nothing in it that steers whatever shows it."""
    return isinstance(value, str) and len(value) <= LONGEST_CELL and not any(category(one) in STEERS for one in value)


def _name(value: Any) -> bool:
    return isinstance(value, str) and 0 < len(value) <= LONGEST_CELL and value.isascii() and value.isprintable()


def _course(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and abs(value) <= MOST_COURSES


CHANGES: Mapping[str, tuple[Callable[[Any], bool], ...]] = {
    "language": (lambda value: value in ("en", "es"),),
    "on": (_cell,),
    "set by": (_cell,),
    "unit": (_cell,),
    "course": (_course, _name, _cell),
    "rain": (_name, _cell, _cell),
    "no rain": (_name,),
    "column": (_name, lambda value: _number(value) and abs(value) < 1e6),
    "no column": (_name,),
}
"""What may be changed in the sheet of readings, and what each change has to say."""


def _changes(value: Any) -> bool:
    """Changes of the sheet of readings, each a list that begins with what is changed."""
    if not isinstance(value, list) or len(value) > MOST_CHANGES:
        return False
    return all(_change(one) for one in value)


def _change(one: Any) -> bool:
    if not isinstance(one, list) or not one or not isinstance(one[0], str) or one[0] not in CHANGES:
        return False
    holds = CHANGES[one[0]]
    return len(one) == len(holds) + 1 and all(hold(part) for hold, part in zip(holds, one[1:], strict=True))


PATHS = tuple(one.path for one in SLIDERS)

FIELDS: Mapping[str, Mapping[str, Callable[[Any], bool]]] = {
    "hello": {},
    "move": {"path": _text(LONGEST_PATH), "value": _value},
    "set": {"path": _text(LONGEST_PATH), "value": _value, "measured": _yes_no},
    "show": {"stage": _stage, "case": _text(LONGEST_NAME), "hours": _hours, "crew": _yes_no},
    "units": {"system": lambda value: value in ("metric", "imperial")},
    "undo": {},
    "redo": {},
    "keep": {},
    "forget": {},
    "back": {},
    "keys": {},
    "solid": {},
    "open": {"name": _text(LONGEST_NAME), "text": _file},
    "lead": {},
    "allow": {"allowed": _yes_no},
    "end": {},
    "check": {},
    "lesson": {},
    "map": {"across": lambda value: value in PATHS, "up": lambda value: value in PATHS},
    "pick": {"settings": _settings},
    "sheet": {"changes": _changes},
    "readings": {"name": _text(LONGEST_NAME), "text": _file},
    "survey": {"changes": _changes},
    "cancel": {},
}
"""Every message and its fields. `n`, the browser's own count, may stand in each."""

GUESTS_MAY = frozenset({"hello", "move", "set", "show", "sheet", "survey"})
"""Of these, what a guest may send where the teacher allows it."""


def read_message(raw: str) -> dict[str, Any]:
    """The message in a text; HostileError for whatever is none of FIELDS."""
    try:
        message = json.loads(raw)
    except (ValueError, RecursionError):
        raise HostileError("no JSON") from None
    if not isinstance(message, dict) or not isinstance(message.get("do"), str) or message["do"] not in FIELDS:
        raise HostileError("an unknown message")
    fields = FIELDS[message["do"]]
    if message["do"] not in ("open", "readings") and len(raw) > LARGEST_SMALL:
        raise HostileError("a message that is too long")
    if set(message) - {"do", "n"} != set(fields) or not _count(message.get("n", 0)):
        raise HostileError("fields that the message does not have")
    if not all(holds(message[name]) for name, holds in fields.items()):
        raise HostileError("a field that is not what it should be")
    return message
