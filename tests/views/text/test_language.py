"""The catalogues: complete, in step with the sources, with every value of a sentence in its translation."""

from __future__ import annotations

import re
from string import Formatter

import pytest
from babel.messages.pofile import read_po

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.views.text.catalogue import sentences
from shellcheck_earth.views.text.language import DOMAIN, FOLDER, words

PO = FOLDER / "es" / "LC_MESSAGES" / f"{DOMAIN}.po"


def values(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_every_sentence_is_translated_with_its_values() -> None:
    with PO.open("rb") as file:
        known = {one.id: one.string for one in read_po(file, locale="es") if one.id}
    assert len(known) > 120 and set(known) == set(sentences()), "python -m shellcheck_earth.views.text.catalogue"
    for text, said in known.items():
        assert said and values(said) == values(text), text
        assert re.findall(r":\.?\d*[a-z]?}", said) == re.findall(r":\.?\d*[a-z]?}", text), text


def test_what_is_compiled_is_what_is_written() -> None:
    spanish = words("es")
    with PO.open("rb") as file:
        for one in read_po(file, locale="es"):
            if one.id:
                assert spanish(str(one.id)) == one.string


def test_the_file_says_that_nobody_has_looked_it_over() -> None:
    assert "native reader" in PO.read_text(encoding="utf-8").splitlines()[0]


def test_no_such_language() -> None:
    with pytest.raises(InputError, match="en or es"):
        words("fr")
    assert words("en")("Course {number}", number=3) == "Course 3"
