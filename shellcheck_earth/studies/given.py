"""What a study is asked about: a design file, or a design in hand. Both become the document a file would be."""

from __future__ import annotations

from pathlib import Path
from typing import Any, TypeAlias

from shellcheck_earth.design.design import Design
from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.write import design_document

__all__ = ["Given", "document_of", "name_of"]

Given: TypeAlias = Design | Path
"""A design, or the path of its file."""


def document_of(given: Given) -> dict[str, Any]:
    """The document (tables, keys and values as TOML gives them); InputError for a file that cannot be read."""
    return design_document(given) if isinstance(given, Design) else read_document(given)


def name_of(given: Given) -> str:
    """How messages name it: the file's path, or the design's name."""
    return given.name if isinstance(given, Design) else str(given)
