"""Sentences in the reader's language: the English ones are the keys of a catalogue (gettext) for each other one.

A sentence is written `_("... {value} ...", value=...)`, or marked with `mark("...")` where it stands in a table; the
catalogues under `locale/` are drawn from those calls (`catalogue.py`). A sentence without a translation is said in
English, never left out.

What one page or file holds is written under `speaking(words(...))`: the `_` of this module then says everything in that
language. Outside of it, as for JSON and the heads of CSV, everything is English. A function that is handed its `Words`
as `_` says them in that language alone.
"""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, get_args

from shellcheck_earth.basics.errors import InputError, Problem

__all__ = [
    "DOMAIN",
    "FOLDER",
    "REVIEW",
    "Language",
    "Words",
    "_",
    "mark",
    "review_sentences",
    "speaking",
    "spoken",
    "words",
]

Language = Literal["en", "es"]
FOLDER, DOMAIN = Path(__file__).parent / "locale", "site"


def mark(text: str) -> str:
    """A sentence that is translated where it is said, not where it stands."""
    return text


REVIEW = mark("Translated for this program; to be looked over by a native reader before it is used on site.")
"""Said on every page that is not in English."""


CONTRACTED: dict[Language, tuple[tuple[str, str], ...]] = {"en": (), "es": ((" de el ", " del "), (" a el ", " al "))}
"""What the words put into a sentence run together with those before them."""


@dataclass(frozen=True)
class Words:
    """Says sentences in one language."""

    language: Language
    _catalogue: gettext.NullTranslations = field(repr=False, compare=False)

    def __call__(self, text: str, **values: object) -> str:
        """The sentence with its values put in; KeyError where a value is missing."""
        said = self._catalogue.gettext(text) if text else ""
        said = said.format(**values) if values else said
        for apart, together in CONTRACTED[self.language]:
            said = said.replace(apart, together)
        return said

    def knows(self, text: str) -> bool:
        """Whether the catalogue has a sentence; of English, which is its own catalogue, any."""
        return self.language == "en" or self._catalogue.gettext(text) != text


def words(language: str) -> Words:
    """The words of a language; InputError where there is no catalogue for it."""
    known = get_args(Language)
    if language not in known:
        raise InputError([Problem("--language", " or ".join(known), f"{language!r}")])
    if language == "en":
        return _ENGLISH
    return Words("es", gettext.translation(DOMAIN, FOLDER, [language]))


_ENGLISH = Words("en", gettext.NullTranslations())
_SPOKEN: ContextVar[Words] = ContextVar("spoken")


def spoken() -> Words:
    """The words that the page which is being written is said in."""
    return _SPOKEN.get(_ENGLISH)


@contextmanager
def speaking(said: Words) -> Iterator[Words]:
    """What is written inside is said in these words; the words of before come back after it, whatever happens."""
    before = _SPOKEN.set(said)
    try:
        yield said
    finally:
        _SPOKEN.reset(before)


def _(text: str, **values: object) -> str:
    """The sentence in the language of the page that is being written, with its values put in."""
    return spoken()(text, **values)


def review_sentences() -> list[str]:
    """Of what is said in another language than English, that a native reader has not looked it over; else nothing."""
    return [] if spoken().language == "en" else [_(REVIEW)]
