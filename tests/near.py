"""Thousands of numbers of two walls compared: what `pytest.approx` asks of each, at a tenth of what it takes."""

from __future__ import annotations

from math import isinf
from typing import Any

__all__ = ["near"]


def near(mine: Any, theirs: Any, rel: float, least: float = 0.0) -> bool:
    """Whether two numbers, or two data classes or sequences of them, differ by no more than `rel` of theirs or `least`.

    Whatever is no number has to be equal, and of the same length."""
    if isinstance(mine, (float, int)) and isinstance(theirs, (float, int)):
        return mine == theirs or (not isinf(theirs) and abs(mine - theirs) <= max(rel * abs(theirs), least))
    if isinstance(theirs, (tuple, list)):
        alike = isinstance(mine, (tuple, list)) and len(mine) == len(theirs)
        return alike and all(near(a, b, rel, least) for a, b in zip(mine, theirs, strict=True))
    if type(mine) is type(theirs) and hasattr(theirs, "__dataclass_fields__"):
        names = theirs.__dataclass_fields__
        return all(near(getattr(mine, name), getattr(theirs, name), rel, least) for name in names)
    return bool(mine == theirs)
