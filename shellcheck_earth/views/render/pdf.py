"""From a document as data to a PDF (PDF/A-2a and PDF/UA-1): same document, same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.errors import OutputError
from shellcheck_earth.views.report.layout import Document

__all__ = ["card_pdf", "document_pdf"]


@cache
def _template(name: str = "report.typ") -> bytes:
    return files("shellcheck_earth.views.report").joinpath(name).read_bytes()


@cache
def _fonts() -> str:
    """A folder with DejaVu Sans, which matplotlib carries, so that no machine's own fonts change the bytes."""
    import importlib.util

    spec = importlib.util.find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise OutputError("the fonts of the report are missing: install matplotlib")
    return str(Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf")


def _short(digest: str) -> str:
    return f"Design {digest[:12]}." if digest else ""


def document_pdf(document: Document) -> bytes:
    """The PDF of a document; OutputError with the typesetter's own words when it cannot be set."""
    data: Mapping[str, Any] = {
        "title": document.title,
        "author": "",
        "keywords": [f"design_sha256:{document.digest}"] if document.digest else [],
        "paper": document.paper,
        "language": document.language,
        "footer": f"{document.footer} {_short(document.digest)}".rstrip(),
        "blocks": [dict(block) for block in document.blocks],
    }
    return _set(_template(), data, document.pictures)


def card_pdf(data: Mapping[str, Any], pictures: Mapping[str, str]) -> bytes:
    """The PDF of a build card, whose words and numbers `data` holds as `card.typ` asks; OutputError as above."""
    return _set(_template("card.typ"), data, pictures)


def _set(template: bytes, data: Mapping[str, Any], pictures: Mapping[str, str]) -> bytes:
    import typst

    inputs: Any = {
        "main": template,
        "data.json": json.dumps(data, ensure_ascii=False, sort_keys=True).encode(),
        **{name: svg.encode() for name, svg in pictures.items()},
    }
    try:
        return bytes(
            typst.compile(
                inputs,
                format="pdf",
                font_paths=[_fonts()],
                ignore_system_fonts=True,
                pdf_standards=["a-2a", "ua-1"],
                timestamp=0,
            )
        )
    except typst.TypstError as error:
        raise OutputError(f"the report could not be set: {error}") from None
