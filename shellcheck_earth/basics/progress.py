"""How long work says how far it is."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["Progress", "quiet"]

Progress = Callable[[str, int, int], None]
"""Called with what is being done, how many steps are done, and how many there are."""


def quiet(what: str, done: int, of: int) -> None:
    """Says nothing."""
    del what, done, of
