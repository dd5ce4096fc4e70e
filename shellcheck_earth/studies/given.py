"""What a study is asked about: a design file, or a design in hand. Both become the document a file would be."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any, TypeAlias

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.written import design_text
from shellcheck_earth.geometry.reading import design_from_document

__all__ = ["Given", "document_of", "name_of", "text_of"]

Given: TypeAlias = Design | Path
"""A design, or the path of its file."""


def _says(text: str, design: Design) -> bool:
    """Whether a text reads as this design. Which words were assumed is not written out, so it is not compared."""
    try:
        found = design_from_document(tomllib.loads(text))
        return replace(found, bases=design.bases, unit_system=design.unit_system) == design
    except (InputError, ValueError):
        return False


def text_of(design: Design) -> str:
    """The text of a design file that reads as this design: its own, or one written for it.

    InputError where no file can say it.
    """
    for text in (design.text, design_text(design)):
        if text and _says(text, design):
            return text
    raise InputError(
        [Problem(design.name, "a design that a design file can say", "values that change when they are written out")]
    )


def document_of(given: Given) -> dict[str, Any]:
    """The document (tables, keys and values as TOML gives them); InputError for a file that cannot be read."""
    return tomllib.loads(text_of(given)) if isinstance(given, Design) else read_document(given)


def name_of(given: Given) -> str:
    """How messages name it: the file's path, or the design's name."""
    return given.name if isinstance(given, Design) else str(given)
