"""Sentences in the reader's language: the English ones are the keys of a catalogue (gettext) for each other one.

A sentence is written `_("... {value} ...", value=...)`, or marked with `mark("...")` where it stands in a table; the
catalogues under `locale/` are drawn from those calls (`python -m shellcheck_earth.views.text.language`, which needs
babel). A sentence without a translation is said in English, never left out.
"""

from __future__ import annotations

import gettext
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, get_args

from shellcheck_earth.basics.errors import InputError, Problem

__all__ = ["DOMAIN", "FOLDER", "Language", "Words", "mark", "words"]

Language = Literal["en", "es"]
FOLDER, DOMAIN = Path(__file__).parent / "locale", "site"


def mark(text: str) -> str:
    """A sentence that is translated where it is said, not where it stands."""
    return text


@dataclass(frozen=True)
class Words:
    """Says sentences in one language."""

    language: Language
    _catalogue: gettext.NullTranslations = field(repr=False, compare=False)

    def __call__(self, text: str, **values: object) -> str:
        """The sentence with its values put in; KeyError where a value is missing."""
        said = self._catalogue.gettext(text) if text else ""
        return said.format(**values) if values else said


def words(language: str) -> Words:
    """The words of a language; InputError where there is no catalogue for it."""
    known = get_args(Language)
    if language not in known:
        raise InputError([Problem("--language", " or ".join(known), f"{language!r}")])
    if language == "en":
        return Words("en", gettext.NullTranslations())
    return Words("es", gettext.translation(DOMAIN, FOLDER, [language]))
