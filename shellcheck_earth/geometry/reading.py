"""Read a design and refuse what cannot be built: the door that every command goes through."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from shellcheck_earth.design import file
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.buildable import check_buildable

__all__ = ["design_from_document", "parse_design", "read_design"]


def _buildable(design: Design, where: str) -> Design:
    check_buildable(design, where)
    return design


def read_design(path: Path) -> Design:
    """The design in a file, checked and buildable; InputError with every fault, UnbuildableError when no such dome
    exists.
    """
    return _buildable(file.read_design(path), str(path))


def parse_design(text: str, where: str = "design") -> Design:
    """The design in a text; errors as `read_design`."""
    return _buildable(file.parse_design(text, where), where)


def design_from_document(document: Mapping[str, Any], where: str = "design") -> Design:
    """The design of a document as TOML gives it; errors as `read_design`."""
    return _buildable(file.design_from_document(document, where), where)
