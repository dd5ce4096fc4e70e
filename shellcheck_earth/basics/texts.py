"""Text on its way to a screen: nothing in it may steer the terminal, and it fits the width there is."""

from __future__ import annotations

import shutil
import textwrap
import unicodedata

__all__ = ["clean", "faulty_name", "screen_width", "wrapped"]

NARROWEST, WIDEST, PIPED = 60, 200, 80

STEERS = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
"""Unicode categories that no name needs: controls, marks of direction, halves of letters, line separators."""


def _steers(letter: str) -> bool:
    return unicodedata.category(letter) in STEERS


def clean(text: str) -> str:
    """The text with everything that could steer a terminal written as an escape (``\\x1b``); line breaks stay."""
    if text.isascii() and text.replace("\n", "").isprintable():
        return text
    return "".join(ascii(letter)[1:-1] if letter != "\n" and _steers(letter) else letter for letter in text)


def faulty_name(name: str) -> str:
    """What is wrong with a name, in words that follow "found"; empty when nothing is."""
    if not name.strip():
        return "an empty text"
    steering = next((letter for letter in name if _steers(letter)), None)
    return "" if steering is None else f"a control character ({ascii(steering)[1:-1]})"


def screen_width() -> int:
    """Columns of the terminal, 60 to 200; 80 where the output is no terminal and COLUMNS does not say."""
    return min(max(shutil.get_terminal_size((PIPED, 24)).columns, NARROWEST), WIDEST)


def wrapped(text: str, indent: str = "", rest: str | None = None) -> list[str]:
    """Lines no wider than the screen; a word that is wider stays whole (paths are copied from there).

    indent: what the first line begins with, and the others too unless `rest` says otherwise.
    """
    after = indent if rest is None else rest
    return textwrap.wrap(text, screen_width(), initial_indent=indent, subsequent_indent=after, break_long_words=False)
