"""Read a design and refuse what cannot be built: the door that every command goes through."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from shellcheck_earth.design import file
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.keys import find_key, set_key
from shellcheck_earth.design.write import design_document, document_toml
from shellcheck_earth.geometry.buildable import check_buildable

__all__ = ["design_from_document", "design_with_value", "parse_design", "read_design"]


def _buildable(design: Design, where: str) -> Design:
    check_buildable(design, where)
    return design


def read_design(path: Path) -> Design:
    """The design in a file, checked and buildable.

    Parameters
    ----------
    path
        A design file (TOML, UTF-8, under 1 MB).

    Returns
    -------
    Design
        In SI units: m, kN, kPa, kg/m3, m/s, rad; moistures and shares without unit.

    Raises
    ------
    InputError
        With every fault of the file: its path, what was expected, what was found.
    UnbuildableError
        Every value is well formed, but no such dome exists; each problem names the number that would work.
    """
    return _buildable(file.read_design(path), str(path))


def parse_design(text: str, where: str = "design") -> Design:
    """The design in a text.

    Parameters
    ----------
    text
        What a design file would hold.
    where
        What messages call it.

    Returns
    -------
    Design
        As `read_design`.

    Raises
    ------
    InputError, UnbuildableError
        As `read_design`.

    Examples
    --------
    >>> text = "dome.inside_diameter = '10 ft'\\nwall = { filled_width = '15 in', course_height = '5 in' }"
    >>> parse_design(text).dome.inside_diameter
    3.048
    """
    return _buildable(file.parse_design(text, where), where)


def design_from_document(document: Mapping[str, Any], where: str = "design") -> Design:
    """The design of a document.

    Parameters
    ----------
    document
        Tables, keys and values, as TOML gives them.
    where
        What messages call it.

    Returns
    -------
    Design
        As `read_design`.

    Raises
    ------
    InputError, UnbuildableError
        As `read_design`.

    Examples
    --------
    >>> wall = {"filled_width": "38 cm", "course_height": "13 cm"}
    >>> design_from_document({"dome": {"inside_diameter": "3 m"}, "wall": wall}).wall.filled_width
    0.38
    """
    return _buildable(file.design_from_document(document, where), where)


def design_with_value(design: Design, path: str, value: Any) -> Design:
    """The design as if its file had said `value` at `path`, and what follows from it by default with it.

    InputError for a key that no file knows (with the nearest) or a value it cannot be; UnbuildableError.
    """
    find_key(path)
    changed = parse_design(document_toml(set_key(design_document(design), path, value)), design.name)
    return replace(changed, unit_system=design.unit_system)
