"""A document as data: blocks of words, tables and pictures, which every view renders in its own way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

__all__ = [
    "Block",
    "Column",
    "Document",
    "bullets",
    "caution",
    "heading",
    "page_break",
    "paragraph",
    "picture",
    "small",
    "table",
]

Block = Mapping[str, Any]


@dataclass(frozen=True)
class Document:
    """`pictures`: file name -> SVG, as the picture blocks name them. `digest`: of the design or designs it is about."""

    title: str
    footer: str
    blocks: tuple[Block, ...]
    pictures: Mapping[str, str]
    paper: str = "a4"
    digest: str = ""
    language: str = "en"


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


def page_break() -> Block:
    """A new page."""
    return {"kind": "break"}


def bullets(items: Sequence[str]) -> Block:
    """A list with bullets."""
    return {"kind": "list", "items": list(items)}


def caution(text: str, title: str = "Caution.") -> Block:
    """A box that warns."""
    return {"kind": "caution", "title": title, "text": text}


def picture(file: str, alt: str, caption: str = "", width: int = 100) -> Block:
    """A drawing with its caption and its words for readers who do not see it."""
    return {"kind": "picture", "file": file, "alt": alt, "caption": caption, "width": width}


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], caption: str = "", size: float = 8.5) -> Block:
    """Rows of ready-made text; ValueError when one has another number of cells than there are columns."""
    if any(len(row) != len(columns) for row in rows):
        raise ValueError("a row has another number of cells than there are columns")
    return {
        "kind": "table",
        "columns": [{"title": c.title, "right": c.right, "share": c.share or float(c.wide)} for c in columns],
        "rows": [list(row) for row in rows],
        "caption": caption,
        "size": size,
    }
