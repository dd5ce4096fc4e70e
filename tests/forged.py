"""What a forger may make of the rows that a block proof hands in, or of all of a proof's numbers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

__all__ = ["OF_HANDED", "scaled", "turned_round"]


def scaled(data: dict[str, Any], times: float) -> None:
    """All that is handed in, times a number."""
    data["handed"] = [[round(v * times) for v in row] for row in data["handed"]]


def turned_round(data: dict[str, Any]) -> None:
    """All that is handed in pushes the other way."""
    data["handed"] = [[-row[0], -row[1], *row[2:]] for row in data["handed"]]


OF_HANDED: dict[str, Callable[[dict[str, Any]], Any]] = {
    "half of it": lambda d: scaled(d, 0.5),
    "a little less": lambda d: scaled(d, 0.9999),
    "none of it": lambda d: scaled(d, 0.0),
    "left out": lambda d: d.pop("handed"),
    "of one block left out": lambda d: next(row for row in d["handed"] if any(row)).__setitem__(slice(0, 6), [0] * 6),
}
"""By name; each changes one proof in place."""
