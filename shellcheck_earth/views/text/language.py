"""Sentences in the reader's language: the English ones are the keys of a catalogue (gettext) for each other one.

A sentence is written `_("... {value} ...", value=...)`, or marked with `mark("...")` where it stands in a table; the
catalogues under `locale/` are drawn from those calls (`python -m shellcheck_earth.views.text.language`, which needs
babel). A sentence without a translation is said in English, never left out.
"""

from __future__ import annotations

import gettext
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal, get_args

from shellcheck_earth.basics.errors import InputError, Problem

__all__ = ["DOMAIN", "FOLDER", "Language", "Words", "mark", "sentences", "update", "words"]

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


KEYWORDS = {"_": None, "mark": None}
"""Names of the functions that say a sentence; a `Words` is called `_` everywhere."""


def sentences() -> list[str]:
    """Every sentence that is said in more than one language, in the order of the sources (needs babel)."""
    from babel.messages.extract import extract_from_dir

    found = extract_from_dir(FOLDER.parents[1], method_map=[("**.py", "python")], keywords=KEYWORDS)
    return list(dict.fromkeys(str(message) for _, _, message, _, _ in found))


def update(language: Language) -> list[str]:
    """Bring a catalogue up to the sources and compile it; gives the sentences it does not have yet (needs babel)."""
    from babel.messages.catalog import Catalog
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po, write_po

    path = FOLDER / language / "LC_MESSAGES" / f"{DOMAIN}.po"
    with path.open("rb") as file:
        known = read_po(file, locale=language)
    comment = f"# {language}: to be looked over by a native reader before it is used on site."
    day = datetime(2026, 1, 1, tzinfo=UTC)  # the same sentences give the same bytes
    catalogue = Catalog(
        locale=language, header_comment=comment, project="shellcheck_earth", fuzzy=False, creation_date=day,
        revision_date=day, last_translator="not reviewed", language_team="none", msgid_bugs_address="",
    )  # fmt: skip
    for text in sentences():
        was = known.get(text)
        catalogue.add(text, was.string if was else "")
    with path.open("wb") as file:
        write_po(file, catalogue, omit_header=False, width=118)
    with path.with_suffix(".mo").open("wb") as file:
        write_mo(file, catalogue)
    return [str(one.id) for one in catalogue if one.id and not one.string]


if __name__ == "__main__":
    print("\n".join(update("es")) or "complete")
