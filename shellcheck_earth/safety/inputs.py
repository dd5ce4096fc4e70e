"""One input of a design by its path in the file: the row of its default, its value, the ends of its range."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from shellcheck_earth.basics.units import both, parse_quantity
from shellcheck_earth.basics.values import Sourced, defaults
from shellcheck_earth.design.design import Design, Fill, group_path
from shellcheck_earth.design.gate import attribute_of

__all__ = [
    "end_of",
    "everywhere",
    "favourable",
    "fill_of",
    "inherits",
    "is_measured",
    "number_at",
    "place_of",
    "row_of",
    "shown_as",
]


OF_A_LIST, AN_OPENING = re.compile(r"\[\d+\]"), re.compile(r"opening\[(\d+)\]\.(\w+)")
"""The place of a row in a list of the file, and the path of an opening's value."""


def favourable(*ends: str, decided: bool) -> tuple[str, ...]:
    """Inputs whose favourable end is one of `ends`, as declared beside their ranges; `decided`: also those that no
    test decides."""
    return tuple(
        path
        for path, row in defaults().items()
        if row.extra.get("better") in ends and (decided or not row.extra.get("decided"))
    )


def place_of(path: str) -> tuple[int, str]:
    """(group of courses, 0 for the wall's own fill; the path as in [fill])."""
    found = re.fullmatch(r"wall\.courses\[(\d+)\]\.(\w+)", path)
    return (int(found[1]), f"fill.{found[2]}") if found else (0, path)


def fill_of(design: Design, group: int) -> Fill:
    """The fill of a group of courses; 0 for the wall's own."""
    return design.groups[group - 1].fill if group else design.fill


def inherits(design: Design, group: int, path: str) -> bool:
    """Whether a group of courses has a value of [fill] for its own: the same number of the same kind of fill, known in
    the same way."""
    name, fill = attribute_of(path)[1], fill_of(design, group)
    same = getattr(fill, name) == getattr(design.fill, name) and fill.stabiliser == design.fill.stabiliser
    return same and design.bases.get(group_path(group, path)) == design.bases.get(path)


def everywhere(design: Design, paths: Iterable[str]) -> Iterator[str]:
    """The paths, and behind each of the fill the same of every group of courses that has a value of its own."""
    for path in paths:
        yield path
        if path.startswith("fill."):
            own = (k for k in range(1, len(design.groups) + 1) if not inherits(design, k, path))
            yield from (group_path(k, path) for k in own)


def is_measured(design: Design, path: str) -> bool:
    """Whether the design file says that a value was measured."""
    return design.bases.get(path) == "measured"


def row_of(design: Design, path: str) -> Sourced | None:
    """The default that a path falls back on, in this design's circumstances."""
    group, path = place_of(path)
    if path.startswith("fill.strength"):
        mixed = {"none": "", "cement": "stabilised.", "lime": "lime."}[fill_of(design, group).stabiliser]
        path = path.replace("fill.", f"fill.{mixed}")
    elif path == "beds.friction" and design.wall.fabric == "open mesh":
        path = "beds.mesh.friction"
    elif path == "beds.friction" and design.beds.wire_strands:
        path = "beds.wired.friction"
    elif path == "beds.friction_wet" and design.wall.fabric == "open mesh":
        path = "beds.mesh.friction_wet"
    elif path == "beds.friction_no_wire" and design.wall.fabric == "open mesh":
        path = "beds.mesh.friction"
    return defaults().get(OF_A_LIST.sub("", path))


def number_at(design: Design, path: str) -> Any:
    """The value as used, or None where the path is no number of the design."""
    if found := AN_OPENING.fullmatch(path):
        index = int(found[1]) - 1
        return getattr(design.openings[index], found[2], None) if index < len(design.openings) else None
    group, inside = place_of(path)
    section, attribute = attribute_of(inside)
    return getattr(fill_of(design, group) if group else getattr(design, section, None), attribute, None)


def shown_as(design: Design, value: Any, row: Sourced) -> str:
    """A value as the user is shown it, in both systems of units."""
    if row.dimension == "count":
        return f"{value:g}"
    if isinstance(value, bool) or value is None or isinstance(value, str | tuple):
        if isinstance(value, bool):
            return "yes" if value else "no"
        return str(value) if value else "none"
    dimension: Any = "length" if row.dimension == "text" else row.dimension
    if dimension == "share":
        return f"{100 * value:.3g} %"
    return both(float(value), dimension, design.unit_system)


def end_of(design: Design, text: str, row: Sourced, path: str = "") -> float:
    """An end of a range as a number [SI]."""
    if text == "as placed":
        return fill_of(design, place_of(path)[0]).placing_moisture
    dimension: Any = "number" if row.dimension == "count" else row.dimension
    raw: object = float(text) if dimension in ("number", "share") and "%" not in text else text
    value = parse_quantity(raw, dimension)
    return round(value) if row.dimension == "count" else value
