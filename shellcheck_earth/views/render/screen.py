"""The one way to the screen: nothing printed steers the terminal."""

from __future__ import annotations

from collections.abc import Iterable

from shellcheck_earth.basics.texts import clean

__all__ = ["say"]


def say(lines: str | Iterable[str]) -> None:
    """Print a text or lines of text, control characters written out."""
    text = clean(lines if isinstance(lines, str) else "\n".join(lines))
    if text:
        print(text)
