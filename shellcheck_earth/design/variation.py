"""A range or a list of values for one key of the design: ``fill.dry_density=1500..2000:6`` or
``wall.fabric=woven,open mesh``.

A number without a unit takes the unit that the design file itself writes for that key (else the unit of the default);
nothing is guessed where the file mixes units, and a share of more than 1 wants its % sign.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.units import UNITS, Dimension, known_unit, parse_quantity, system_of, unit_name
from shellcheck_earth.basics.values import defaults
from shellcheck_earth.design.keys import Key, find_key, written_value

__all__ = ["MOST_VALUES", "Variation", "parse_variation"]

MOST_VALUES = 1000

_NUMBER = r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,2})?"
_RANGE = re.compile(
    rf"\s*({_NUMBER})\s*([A-Za-z%][A-Za-z0-9/]*)?\s*\.\.\s*({_NUMBER})\s*([A-Za-z%][A-Za-z0-9/]*)?\s*:\s*(\d{{1,6}})\s*"
    r"([A-Za-z%][A-Za-z0-9/]*)?\s*",
    re.ASCII,
)
_PLAIN = re.compile(rf"\s*({_NUMBER})\s*([A-Za-z%][A-Za-z0-9/]*)?\s*", re.ASCII)


@dataclass(frozen=True)
class Variation:
    """One varied key: `values` as the design file would write them, `labels` to read, `numbers` in `unit` to draw (or
    None).
    """

    path: str
    values: tuple[Any, ...]
    labels: tuple[str, ...]
    numbers: tuple[float, ...] | None
    unit: str


def parse_variation(text: str, document: Mapping[str, Any]) -> Variation:
    """Read ``KEY=RANGE`` or ``KEY=LIST`` for a design; InputError for an unknown key, an empty range or a unit that
    is none.
    """
    path, sign, spec = text.partition("=")
    path, spec = path.strip(), spec.strip()
    if not sign or not path or not spec:
        raise InputError([Problem("--vary", "KEY=FIRST..LAST:HOW MANY or KEY=ONE,TWO,...", repr(text))])
    key = find_key(path)
    if ".." in spec:
        return _range(path, key, spec, document)
    return _list(path, key, spec, document)


def _fault(path: str, expected: str, found: str, hint: str = "") -> InputError:
    return InputError([Problem(f"--vary {path}", expected, found, hint)])


def _own_unit(path: str, key: Key, document: Mapping[str, Any]) -> str:
    """The unit the file itself writes for this key, else that of the default, else the usual one."""
    dimension = key.dimension
    if dimension is None or not UNITS[dimension]:
        return ""
    default = defaults().get(path)
    for text in (written_value(document, path), default.value if default else None):
        match = _PLAIN.fullmatch(text) if isinstance(text, str) else None
        if match and match[2] and (unit := known_unit(match[2], dimension)):
            return unit
    if isinstance(written_value(document, path), str) and dimension == "length" and path != "dome.fixed_compass_pivot":
        raise _fault(
            path, "a unit, since the file writes this length in more than one", str(written_value(document, path))
        )
    return unit_name(dimension, "metric")


def _unit(path: str, key: Key, document: Mapping[str, Any], named: str, largest: float) -> str:
    dimension = key.dimension
    assert dimension is not None
    if named:
        unit = known_unit(named, dimension)
        if unit is None:
            near = difflib.get_close_matches(named, UNITS[dimension], n=1)
            known = ", ".join(UNITS[dimension]) or "a plain number"
            raise _fault(path, f"a unit of a {dimension} ({known})", named, f"nearest: {near[0]}" if near else "")
        return unit
    if dimension == "share":
        if abs(largest) > 1.0:
            raise _fault(path, "a % sign, or a fraction of at most 1", f"{largest:g}")
        return ""
    return _own_unit(path, key, document)


def _written(value: float, key: Key, unit: str) -> tuple[Any, str]:
    """(as the design file writes it, as a reader does)."""
    if key.whole:
        return int(value), str(int(value))
    if not unit:
        return value, f"{value:.6g}"
    return f"{value:.12g} {unit}", f"{value:.6g} {unit}"


def _numeric(path: str, key: Key, unit: str, numbers: list[float]) -> Variation:
    if len(set(numbers)) < len(numbers):
        raise _fault(path, "different values", ", ".join(f"{number:g}" for number in numbers))
    uneven = [number for number in numbers if key.whole and number != int(number)]
    if uneven:
        raise _fault(path, "whole numbers", f"{uneven[0]:g}")
    values, labels = zip(*(_written(number, key, unit) for number in numbers), strict=True)
    return Variation(path, tuple(values), tuple(labels), tuple(numbers), unit)


def _range(path: str, key: Key, spec: str, document: Mapping[str, Any]) -> Variation:
    expected = "FIRST..LAST:HOW MANY, such as 1500..2000:6 kg/m3"
    match = _RANGE.fullmatch(spec)
    if key.dimension is None:
        raise _fault(path, f"a list of words ({', '.join(key.words)})", spec)
    if match is None:
        raise _fault(path, expected, spec)
    first, last, count = float(match[1]), float(match[3]), int(match[5])
    named = {unit for unit in (match[2], match[4], match[6]) if unit}
    if len(named) > 1:
        raise _fault(path, "one unit for both ends", " and ".join(sorted(named)))
    if not last > first or count < 2:
        raise _fault(path, "a range that is not empty: from the lower to the higher value, 2 or more of them", spec)
    if count > MOST_VALUES:
        raise _fault(path, f"at most {MOST_VALUES} values", str(count))
    unit = _unit(path, key, document, next(iter(named), ""), max(abs(first), abs(last)))
    # rounded, so that a step such as 0.1 is written as it is meant
    return _numeric(
        path, key, unit, [float(f"{first + (last - first) * index / (count - 1):.12g}") for index in range(count)]
    )


def _list(path: str, key: Key, spec: str, document: Mapping[str, Any]) -> Variation:
    items = [item.strip() for item in spec.split(",")]
    if not all(items):
        raise _fault(path, "a list without gaps", spec)
    if len(items) > MOST_VALUES:
        raise _fault(path, f"at most {MOST_VALUES} values", str(len(items)))
    if key.words and all(item in key.words for item in items):
        return _words(path, key, items)
    if key.dimension is None:
        wrong = next(item for item in items if item not in key.words)
        near = difflib.get_close_matches(wrong, key.words, n=1)
        raise _fault(path, " or ".join(key.words), wrong, f"nearest: {near[0]}" if near else "")
    matches = [_PLAIN.fullmatch(item) for item in items]
    last = matches[-1]
    unit = known_unit(last[2], key.dimension) if last and last[2] else None
    if unit and all(match and not match[2] for match in matches[:-1]):
        return _numeric(path, key, unit, [float(match[1]) for match in matches if match])  # "300,400,500 mm"
    if all(match and not match[2] for match in matches) or not UNITS[key.dimension]:
        plain = [float(match[1]) for match in matches if match and not match[2]]
        if len(plain) < len(items):
            raise _fault(path, "plain numbers", spec)
        return _numeric(path, key, _unit(path, key, document, "", max(map(abs, plain))), plain)
    return _texts(path, key.dimension, items)


def _words(path: str, key: Key, items: list[str]) -> Variation:
    if len(set(items)) < len(items):
        raise _fault(path, "different values", ", ".join(items))
    values = tuple({"true": True, "false": False}.get(item, item) if "true" in key.words else item for item in items)
    return Variation(path, values, tuple(items), None, "")


def _texts(path: str, dimension: Dimension, items: list[str]) -> Variation:
    """Every item with a unit of its own; drawn in the unit of the first where that is a plain one."""
    numbers = []
    for item in items:
        try:
            numbers.append(parse_quantity(item, dimension))
        except ValueError as error:
            raise _fault(path, str(error), item) from None
    if len(set(numbers)) < len(numbers):
        raise _fault(path, "different values", ", ".join(items))
    match = _PLAIN.fullmatch(items[0])
    own = known_unit(match[2], dimension) if match and match[2] else None
    unit = own or unit_name(dimension, system_of(items, (dimension,)))
    return Variation(
        path, tuple(items), tuple(items), tuple(number / UNITS[dimension].get(unit, 1.0) for number in numbers), unit
    )
