"""Read a user's file: a regular file of sensible size, text in UTF-8; one clear message for anything else.

Devices, pipes and folders are refused before a byte of them is read, and no file is read past its limit, so nothing
waits for ever and nothing fills the memory. TOML is looked over before it is parsed: a path of keys that nests
without end costs the parser the square of its length.
"""

from __future__ import annotations

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem

__all__ = ["DEEPEST_KEYS", "LARGEST_TEXT", "parse_toml", "read_text", "read_toml"]

LARGEST_TEXT = 1_000_000
"""Bytes; a design file has a few thousand."""

DEEPEST_KEYS = 8
"""Keys in one path (`site.rain.intensity` has three)."""

_PART = r"""(?:[\w-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')"""
_DEEP = re.compile(rf"""(?<![\w.-]){_PART}(?:[ \t]*\.[ \t]*{_PART}){{{DEEPEST_KEYS}}}""")

_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISSOCK, "a socket"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
)


def _size_words(size: int) -> str:
    return f"{size // 1_000_000} MB" if size >= 1_000_000 else f"{size // 1000} kB"


def _content(path: Path, what: str, largest: int) -> bytes:
    file = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    try:
        mode = os.fstat(file).st_mode
        if not stat.S_ISREG(mode):
            found = next((words for is_kind, words in _KINDS if is_kind(mode)), "no regular file")
            raise InputError([Problem(str(path), what, found)])
        pieces, read = [], 0
        while read <= largest and (piece := os.read(file, min(1 << 20, largest + 1 - read))):
            pieces.append(piece)
            read += len(piece)
    finally:
        os.close(file)
    if read > largest:
        raise InputError([Problem(str(path), f"{what} of at most {_size_words(largest)}", "more than that")])
    return b"".join(pieces)


def read_text(path: Path, what: str = "a text file", largest: int = LARGEST_TEXT) -> str:
    """The text of a regular file in UTF-8, to the byte (a byte order mark is left to `parse_toml`).

    what: the file in words that follow "expected"; largest [bytes]. InputError for anything else than such a file.
    """
    try:
        return _content(path, what, largest).decode("utf-8")
    except UnicodeDecodeError as error:
        found = f"a byte that is none, at {error.start}"
        raise InputError([Problem(str(path), f"{what}, in UTF-8", found)]) from None
    except (OSError, ValueError) as error:
        found = (getattr(error, "strerror", None) or "nothing that can be read").lower()
        raise InputError([Problem(str(path), what, found)]) from None


def parse_toml(text: str, where: str = "the file") -> dict[str, Any]:
    """TOML as plain data; InputError for what is none, or nests its keys deeper than any file of this program."""
    text = text.removeprefix("\ufeff")
    deep = _DEEP.search(text)
    if deep is not None:
        line = text.count("\n", 0, deep.start()) + 1
        expected = f"at most {DEEPEST_KEYS} keys in one path"
        raise InputError([Problem(f"line {line}", expected, f"{deep[0][:40]}...")], where)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError([Problem("the file", "TOML", "lists or tables that nest without end")], where) from None
    except ValueError as error:  # a plain ValueError for a whole number of thousands of digits
        found = f"a fault: {str(error)[:200]}"
        raise InputError([Problem("the file", "TOML", found, _marks_hint(text))], where) from None


def _marks_hint(text: str) -> str:
    """What is to be written where an inch mark has ended a value; empty where none did."""
    broken = re.search(r"""^[^#\n]*=[ \t]*"([^"'\n]{0,40}(?:'[^"'\n]{0,20})?)""[ \t]*(?:#.*)?$""", text, re.MULTILINE)
    if broken is None or not broken[1]:
        return ""
    return f"""an inch mark ends the value: write it "{broken[1]}''" or with in"""


def read_toml(path: Path, what: str = "a TOML file", largest: int = LARGEST_TEXT) -> dict[str, Any]:
    """The TOML of a file; InputError as `read_text` and `parse_toml`."""
    return parse_toml(read_text(path, what, largest), str(path))
