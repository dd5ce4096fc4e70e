"""Keeps the catalogues in step with the sources: `python -m shellcheck_earth.views.text.catalogue` (needs babel) draws
every sentence that is said in more than one language from the calls in the sources and from what is kept beside the
values, compiles what is translated and prints what is not.
"""

from __future__ import annotations

from datetime import UTC, datetime

from shellcheck_earth.views.text.below import kept_sentences
from shellcheck_earth.views.text.language import DOMAIN, FOLDER, Language

__all__ = ["sentences", "update"]

KEYWORDS = {"_": None, "mark": None}
"""Names of the functions that say a sentence; a `Words` is called `_` everywhere."""


def sentences() -> list[str]:
    """Every sentence that is said in more than one language, in the order of the sources (needs babel)."""
    from babel.messages.extract import extract_from_dir

    found = extract_from_dir(FOLDER.parents[1], method_map=[("**.py", "python")], keywords=KEYWORDS)
    return list(dict.fromkeys([*(str(one[2]) for one in found), *kept_sentences()]))


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
