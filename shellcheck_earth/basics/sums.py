"""Sums of floats that are the same in every interpreter.

From Python 3.12 on the built-in `sum` corrects the rounding of floats, before it does not: the last bits differ, and
whatever is chosen by them. One after the other is the same everywhere.
"""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["added"]


def added(values: Iterable[float]) -> float:
    """The sum from the first to the last, each addition rounded; 0 for none."""
    total = 0.0
    for value in values:
        total += value
    return total
