"""A document as data: blocks of words, tables and pictures, which every view renders in its own way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from shellcheck_earth.views.text.language import Language, _, review_sentences

__all__ = [
    "Block",
    "Column",
    "Document",
    "Paper",
    "Print",
    "bullets",
    "caution",
    "heading",
    "page_break",
    "paper_of",
    "paragraph",
    "picture",
    "pictures_side_by_side",
    "reader",
    "reviewed",
    "small",
    "table",
    "words_before_pictures",
]

Block = Mapping[str, Any]

Paper = Literal["a4", "us-letter"]


@dataclass(frozen=True)
class Print:
    """How a document is printed. `paper`: None for the one that goes with the units; `large`: in large print;
    `language`: of all that a person reads of it.
    """

    paper: Paper | None = None
    large: bool = False
    language: Language = "en"


def paper_of(unit_system: str) -> Paper:
    """The paper that goes with the units where none is asked for."""
    return "us-letter" if unit_system == "imperial" else "a4"


@dataclass(frozen=True)
class Document:
    """`pictures`: file name -> SVG, as the picture blocks name them. `digest`: of the design or designs it is about.
    `subject`: what the pages are about, for the file's own description; "" for the title.
    """

    title: str
    footer: str
    blocks: tuple[Block, ...]
    pictures: Mapping[str, str]
    paper: Paper = "a4"
    digest: str = ""
    language: str = "en"
    subject: str = ""


@dataclass(frozen=True)
class Column:
    """`share`: part of the width left over that this column takes; 0: as wide as its longest cell. `wide`: a share of
    1.
    """

    title: str
    right: bool = True
    wide: bool = False
    share: float = 0.0


def heading(text: str, level: int = 1) -> Block:
    """A heading of the first or a lower level."""
    return {"kind": "heading", "level": level, "text": text}


def paragraph(text: str) -> Block:
    """A paragraph of plain text."""
    return {"kind": "paragraph", "text": text}


def small(text: str) -> Block:
    """A paragraph in small type."""
    return {"kind": "small", "text": text}


def reviewed() -> list[Block]:
    """On pages that are not in English: that a native reader has not looked them over; on others nothing."""
    return [small(text) for text in review_sentences()]


def page_break() -> Block:
    """A new page."""
    return {"kind": "break"}


def reader(text: str, least: float = 8.0, *, one_page: bool = False) -> Block:
    """For whom the pages from here on are: begins a part, on a page of its own. `least`: of its letters [pt];
    `one_page`: it should not run over.
    """
    return {"kind": "reader", "text": text, "least": least, "one_page": one_page}


def pictures_side_by_side(items: Sequence[tuple[str, str, str, str]]) -> Block:
    """Small drawings in a row: (file, words for readers who do not see it, title, words under it)."""
    named = ("file", "alt", "title", "text")
    return {"kind": "pair", "items": [dict(zip(named, one, strict=True)) for one in items]}


def bullets(items: Sequence[str]) -> Block:
    """A list with bullets."""
    return {"kind": "list", "items": list(items)}


def caution(text: str, title: str = "") -> Block:
    """A box that warns; under "Caution." where it has no title of its own."""
    return {"kind": "caution", "title": title or _("Caution."), "text": text}


def picture(file: str, alt: str, caption: str = "", width: int = 100) -> Block:
    """A drawing with its caption and its words for readers who do not see it."""
    return {"kind": "picture", "file": file, "alt": alt, "caption": caption, "width": width}


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], caption: str = "", size: float = 8.5) -> Block:
    """Rows of ready-made text, the first cell their head; nothing is set under 8 points. ValueError when a row has
    another number of cells than there are columns.
    """
    if any(len(row) != len(columns) for row in rows):
        raise ValueError("a row has another number of cells than there are columns")
    return {
        "kind": "table",
        "columns": [{"title": c.title, "right": c.right, "share": c.share or float(c.wide)} for c in columns],
        "rows": [list(row) for row in rows],
        "caption": caption,
        "size": max(size, 8.0),
        "row_heads": len(columns) > 1,
    }


def words_before_pictures(blocks: Sequence[Block]) -> list[Block]:
    """A section's only picture, with the small words under it, after the section's other words up to its first table:
    in large print a picture takes most of a page, and would leave most of the one before it empty.
    """
    out: list[Block] = []
    section: list[Block] = []
    for block in blocks:
        if block["kind"] == "heading" and block["level"] == 1:
            out += _words_first(section)
            section = []
        section.append(block)
    return out + _words_first(section)


MOVED_OVER = ("paragraph", "list", "heading", "caution")
"""Kinds of blocks that come before the only picture of their section in large print."""


def _words_first(section: Sequence[Block]) -> list[Block]:
    drawn = [index for index, block in enumerate(section) if block["kind"] in ("picture", "pair")]
    if len(drawn) != 1 or section[drawn[0]]["kind"] == "pair":
        return list(section)
    begin = end = drawn[0]
    while end + 1 < len(section) and section[end + 1]["kind"] == "small":
        end += 1
    last = end
    while last + 1 < len(section) and section[last + 1]["kind"] in MOVED_OVER:
        last += 1
    if last + 1 < len(section) and section[last]["kind"] == "heading":  # it stays with what it is about
        last -= 1
    return [*section[:begin], *section[end + 1 : last + 1], *section[begin : end + 1], *section[last + 1 :]]
