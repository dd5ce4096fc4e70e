"""What of a page or a screen is left in English when it is to be in Spanish: every sentence that was asked for and is
not in the catalogue, and every text with an English word in it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from shellcheck_earth.basics.evidence import evidence
from shellcheck_earth.basics.values import sources
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.report.layout import Document
from shellcheck_earth.views.text.evidence import source_name
from shellcheck_earth.views.text.language import REVIEW, Words, spoken, words

ENGLISH = re.compile(
    r"(?<![.\w/-])(?:the|of|and|is|are|was|with|under|from|not|by|for|which|this|that|to|on|at|it|wall|beds?|courses?|"
    r"load|dome|meets|falls|short|cannot|required|safe|day|hours?)(?![.\w/-])",
    re.IGNORECASE,
)
"""Words that no Spanish sentence of these pages has."""

HOLDS_NO_WORDS = ("kind", "file", "math", "formula", "verdict")
"""Parts of a block that nobody reads as words."""


@dataclass(frozen=True)
class Listening(Words):
    """Spanish that remembers what it was asked for and does not have."""

    missed: set[str] = field(default_factory=set)

    def __call__(self, text: str, **values: object) -> str:
        if text and self._catalogue.gettext(text) == text and re.search(r"[a-z]{2}", re.sub(r"{[^}]*}", "", text)):
            self.missed.add(text)
        return super().__call__(text, **values)


SAME_IN_BOTH = {"lognormal", "no", "geom.", "Factor", "base", "normal"}


def strings(node: Any) -> Iterator[str]:
    if isinstance(node, str):
        yield node
    elif hasattr(node, "items"):
        for name, part in node.items():
            if name not in HOLDS_NO_WORDS:
                yield from strings(part)
    elif isinstance(node, list | tuple):
        for part in node:
            yield from strings(part)


def words_of(svg: str) -> Iterator[str]:
    """Everything a drawing says, also to those who do not see it."""
    for node in ElementTree.fromstring(svg).iter():
        if node.tag.rpartition("}")[2] in ("text", "tspan", "title", "desc") and node.text:
            yield node.text


def said_in(document: Document) -> Iterator[str]:
    """Everything a document says, its pictures too."""
    yield from strings(document.blocks)
    yield from (document.title, document.footer, document.subject)
    for svg in document.pictures.values():
        yield from words_of(svg)


def listening() -> Listening:
    """Spanish that has missed nothing yet."""
    return Listening("es", words("es")._catalogue)


def _published() -> Iterator[str]:
    """Titles of sources, and verbatim quotations."""
    for source in sources().values():
        yield from (source.text, re.sub(r" \([^()]*\)$", "", source.text))
    for one in evidence().values():
        yield from (one.quote, one.place, source_name(one))


def left_in_english(said: Iterable[str], not_ours: Iterable[str]) -> list[str]:
    """The texts with an English word in them, but for publications and what the user wrote (`not_ours`)."""
    names = sorted({text for text in (*not_ours, *_published()) if text}, key=len, reverse=True)

    def ours(text: str) -> str:
        for name in names:
            text = text.replace(name, " ")
        return text

    return [text for text in dict.fromkeys(said) if ENGLISH.search(ours(text))]


def assert_spanish(heard: object, said: Iterable[str], not_ours: Iterable[str]) -> None:
    """Nothing was asked for that the catalogue does not have, nothing said in English; and a native reader is asked
    for.
    """
    said = list(said)
    assert isinstance(heard, Listening) and not heard.missed - SAME_IN_BOTH
    left = left_in_english(said, not_ours)
    assert not left, left
    assert any(words("es")(REVIEW) in text for text in said)


def changed(english: dict[str, bytes], spanish: dict[str, bytes]) -> set[str]:
    """The files that are not the same in both languages."""
    assert set(english) == set(spanish) and spoken().language == "en"
    return {name for name in english if english[name] != spanish[name]}


def read_all(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def written_in_both(
    folder: Path, capsys: pytest.CaptureFixture[str], *asked: str
) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """What a command writes in English and in Spanish, name -> bytes; it says in each where it wrote them."""
    for language in ("en", "es"):
        assert run([*asked, "--language", language, "--out", str(folder / language)]) == 0
    said = capsys.readouterr().out
    assert "Written to" in said and "Escrito en" in said
    return read_all(folder / "en"), read_all(folder / "es")
