"""From a document as data to a PDF (PDF/A-2a and PDF/UA-1): same document, same bytes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.errors import OutputError
from shellcheck_earth.views.render.tags import with_row_heads
from shellcheck_earth.views.report.layout import Block, Document, Print, words_before_pictures
from shellcheck_earth.views.text.language import mark, words

__all__ = ["AUTHOR", "LARGE", "LEAST_TAIL", "card_pdf", "document_pdf", "load_typesetter", "room_left"]

AUTHOR = "shellcheck-earth"
"""Who made a file: the program, for no person stands for its numbers."""

LARGE = 1.5
"""By how much everything grows in large print, on the same sheet turned: 8 points become 12."""

LEAST_TAIL = 0.25
"""A part's last page, where it is not its first, holds at least this share of a page, if any of `SETTINGS` can."""


@dataclass(frozen=True)
class Setting:
    """inset: room above and below the words of a table [pt]; leading: between lines of text [em]; size: of text [pt]"""

    inset: float
    leading: float
    size: float


SETTINGS = tuple(
    Setting(*one)
    for one in (
        (2.6, 0.6, 10.0), (2.1, 0.58, 10.0), (1.6, 0.55, 10.0), (1.4, 0.5, 9.0), (3.2, 0.62, 10.0), (4.0, 0.66, 10.0),
        (2.3, 0.55, 9.5), (4.6, 0.6, 10.0), (3.6, 0.66, 10.5), (1.9, 0.6, 10.0), (5.0, 0.7, 10.5), (2.9, 0.7, 10.0),
        (4.3, 0.62, 9.5), (5.6, 0.66, 10.0), (6.5, 0.75, 11.0),
    )
)  # fmt: skip
"""Tried in this order, for each part alone."""

FORGETS = 11
"""Empty files after which the typesetter has let go of what it kept."""

HEIGHTS: Mapping[str, tuple[float, float]] = {"a4": (841.89, 595.28), "us-letter": (792.0, 612.0)}
"""Height of a page, and of one that is turned [pt]."""

TOP, MARGINS = 51.0, 107.7
"""Upper margin, and both together [pt]."""


@cache
def _template(name: str = "report.typ") -> bytes:
    return files("shellcheck_earth.views.report").joinpath(name).read_bytes()


@cache
def _fonts() -> Any:
    """DejaVu Sans, which matplotlib carries, looked through once, so that no machine's own fonts change the bytes."""
    import importlib.util

    import typst

    spec = importlib.util.find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise OutputError("the fonts of the report are missing: install matplotlib")
    folder = str(Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf")
    return typst.Fonts(include_system_fonts=False, font_paths=[folder])


def load_typesetter() -> None:
    """What the first page would otherwise wait for."""
    _fonts()


def _short(digest: str, language: str) -> str:
    return words(language)(DESIGN, digest=digest[:12]) if digest else ""


PAGE_OF, DESIGN = mark("{page} of {pages}"), mark("Design {digest}.")
"""At the foot of every page."""


def _parts(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    """Cut where a reader is named or a page is broken."""
    part: list[Block] = []
    for block in blocks:
        if block["kind"] in ("reader", "break") and part:
            yield part
            part = []
        if block["kind"] != "break":
            part.append(block)
    if part:
        yield part


def _data(document: Document, printed: Print, parts: Sequence[tuple[Sequence[Block], Setting]]) -> Mapping[str, Any]:
    return {
        "title": document.title,
        "author": AUTHOR,
        "subject": document.subject or document.title,
        "keywords": [f"design_sha256:{document.digest}"] if document.digest else [],
        "paper": printed.paper or document.paper,
        "zoom": LARGE if printed.large else 1.0,
        "language": document.language,
        "footer": f"{document.footer} {_short(document.digest, document.language)}".rstrip(),
        "page_of": words(document.language)(PAGE_OF),
        "parts": [
            {
                "blocks": [dict(block) for block in part],
                "inset": one.inset,
                "leading": one.leading,
                "size": max(one.size, part[0].get("least", 0.0)),
            }
            for part, one in parts
        ],
    }


def document_pdf(document: Document, printed: Print | None = None) -> bytes:
    """The PDF of a document; OutputError with the typesetter's own words when it cannot be set."""
    printed = printed or Print()
    parts = list(_parts(document.blocks))
    if printed.large:
        parts = [words_before_pictures(part) for part in parts]
    chosen = zip(parts, _settings(document, printed, parts), strict=True)
    _forget_trials()
    heads = [bool(block["row_heads"]) for part in parts for block in part if block["kind"] == "table"]
    return with_row_heads(_set(_template(), _data(document, printed, list(chosen)), document.pictures), heads)


def _forget_trials() -> None:
    """The typesetter keeps every page it laid out until ten files in a row were set without it: half of the memory that
    a report takes would be pages that nobody prints.
    """
    import typst

    for _ in range(FORGETS):
        typst.compile(b"", format="svg", font_paths=_fonts())


def _settings(document: Document, printed: Print, parts: Sequence[Sequence[Block]]) -> list[Setting]:
    """For each part the first of the settings that leaves no page with a few lines only, else that with the most of
    them. Parts begin on pages of their own, so each is chosen alone. What is to be on one page is, where it can be.
    """
    found: dict[int, Setting] = {}
    second: dict[int, tuple[float, Setting]] = {}
    for setting in SETTINGS:
        still = [index for index in range(len(parts)) if index not in found]
        if not still:
            break
        tails = _tails(document, printed, [(parts[index], setting) for index in still])
        for index, tail in zip(still, tails, strict=True):
            if tail is None or (tail >= LEAST_TAIL and not parts[index][0].get("one_page")):
                found[index] = setting
            elif tail > second.get(index, (0.0, setting))[0]:
                second[index] = (tail, setting)
    return [found.get(index) or second.get(index, (0.0, SETTINGS[0]))[1] for index in range(len(parts))]


def _tails(document: Document, printed: Print, parts: Sequence[tuple[Sequence[Block], Setting]]) -> list[float | None]:
    """How full the last page of each part is; None where its first page is its last."""
    height = HEIGHTS[printed.paper or document.paper][printed.large]
    edges = json.loads(_query(_template(), _data(document, printed, parts), document.pictures))
    out: list[float | None] = []
    for begin, end in zip(edges[::2], edges[1::2], strict=True):
        full = (float(end["at"]["y"].removesuffix("pt")) - TOP) / (height - MARGINS)
        out.append(None if begin["at"]["page"] == end["at"]["page"] else full)
    return out


def room_left(document: Document) -> list[float]:
    """What is left blank under each part [mm], as it is set where nothing has to give way; 0 where it runs over."""
    parts = list(_parts(document.blocks))
    data = _data(document, Print(), [(part, SETTINGS[0]) for part in parts])
    edges = json.loads(_query(_template(), data, document.pictures))
    _forget_trials()
    height = HEIGHTS[document.paper][0] - (MARGINS - TOP)
    return [
        max((height - float(end["at"]["y"].removesuffix("pt"))) * POINT, 0.0)
        if begin["at"]["page"] == end["at"]["page"]
        else 0.0
        for begin, end in zip(edges[::2], edges[1::2], strict=True)
    ]


POINT = 25.4 / 72
"""Of the printer [mm]."""


def card_pdf(data: Mapping[str, Any], pictures: Mapping[str, str]) -> bytes:
    """The PDF of a build card, whose words and numbers `data` holds as `card.typ` asks; OutputError as above."""
    return with_row_heads(_set(_template("card.typ"), data, pictures), [True])


def _inputs(template: bytes, data: Mapping[str, Any], pictures: Mapping[str, str]) -> Any:
    return {
        "main": template,
        "data.json": json.dumps(data, ensure_ascii=False, sort_keys=True).encode(),
        **{name: svg.encode() for name, svg in pictures.items()},
    }


def _query(template: bytes, data: Mapping[str, Any], pictures: Mapping[str, str]) -> str:
    import typst

    try:
        return str(
            typst.query(
                _inputs(template, data, pictures),
                "<edge>",
                field="value",
                font_paths=_fonts(),
            )
        )
    except RuntimeError as error:  # a query does not say it as `TypstError`, as compiling does
        raise OutputError(f"the report could not be set: {error}") from None


def _set(template: bytes, data: Mapping[str, Any], pictures: Mapping[str, str]) -> bytes:
    import typst

    try:
        return bytes(
            typst.compile(
                _inputs(template, data, pictures),
                format="pdf",
                font_paths=_fonts(),
                pdf_standards=["a-2a", "ua-1"],
                timestamp=0,
            )
        )
    except typst.TypstError as error:
        raise OutputError(f"the report could not be set: {error}") from None
