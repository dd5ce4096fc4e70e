"""What the design file says is handed in, all around or at one bearing: read, with the ends of every range.

Part of the checker: standard library only. STATEMENT.md, section 2.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from shellcheck_earth.mechanics.proof.quantities import RefusedError

__all__ = ["HANDED", "SPANS", "handed_loads", "span_of"]

MOST = 5
SPANS = ("weight", "thrust", "from_inner_face")
HANDED = {"ring_load": ("height",), "bearing_load": ("bearing", "height", "width")}
"""What each of its tables has single values of."""


def span_of(raw: Any, path: str, given: Callable[[Any, str], Fraction]) -> tuple[Fraction, Fraction]:
    """(least, greatest): of one value, or of its range."""
    if not isinstance(raw, dict) or "low" not in raw:
        value = given(raw, path)
        return value, value
    if not {"low", "high"} <= set(raw) <= {"low", "high", "source"} or raw.get("source", "assumed") not in (
        "measured",
        "assumed",
    ):
        raise RefusedError(f"{path}: expected low and high, and a source")
    if isinstance(raw["low"], dict) or isinstance(raw["high"], dict):
        raise RefusedError(f"{path}: expected one source for both ends")
    low, high = given(raw["low"], path), given(raw["high"], path)
    if low > high:
        raise RefusedError(f"{path}: expected a low end that is at most the high end")
    return low, high


def handed_loads(document: Mapping[str, Any], given: Callable[[Any, str], Fraction]) -> dict[str, Any]:
    """The loads of each table; `given` reads a value at a path, within its range."""
    return {table: _loads(table, document.get(table, []), given, *single) for table, single in HANDED.items()}


def _loads(table: str, raw: Any, given: Callable[[Any, str], Fraction], *single: str) -> tuple[Mapping[str, Any], ...]:
    """Each load of a table with its single values and its spans (least, greatest)."""
    if not isinstance(raw, list) or len(raw) > MOST or not all(isinstance(row, dict) for row in raw):
        raise RefusedError(f"{table}: expected up to {MOST} tables")
    out: list[Mapping[str, Any]] = []
    for row in raw:
        if set(row) != {"name", *single, *SPANS}:
            raise RefusedError(f"{table}: expected a name, {', '.join((*single, *SPANS))}, and no more")
        name = row["name"]
        if not isinstance(name, str) or not 1 <= len(name) <= 60 or name in [one["name"] for one in out]:
            raise RefusedError(f"{table}.name: expected a name of its own of at most 60 characters")
        values: dict[str, Any] = {key: given(row[key], f"{table}.{key}") for key in single}
        values |= {key: span_of(row[key], f"{table}.{key}", given) for key in SPANS}
        out.append({"name": name, **values})
    return tuple(out)
