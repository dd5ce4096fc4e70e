"""What a user says of domes that are joined by a passage, or of a straight wall: one strict file (TOML).

Nothing that carries has a favourable default: what is left out is an error, the value of the first dome's or of the
materials' own design, or the bad case (no plaster: soaked through is asked).
"""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal, cast

from pydantic import Field

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.reading import parse_toml, read_text
from shellcheck_earth.design.design import Design, UnitSystem
from shellcheck_earth.design.file import table_of, unit_system
from shellcheck_earth.design.given import Given, GivenNone, Table, or_none, within
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.ring_loads import refuse_ring_loads

__all__ = ["ButtressRow", "Pair", "PassageGiven", "WallGiven", "WallOpening", "digest_of", "read_given"]

STUDY = "a study of joined domes and straight walls"

Text = Annotated[str, Field(max_length=400)]


class _Named(Table):
    name: Text
    note: Text = ""


class _DomeTable(Table):
    file: Text
    facing: Annotated[Given, within("angle", -2 * math.pi, 2 * math.pi)]


class _PassageTable(Table):
    between_axes: Annotated[Given, within("length", 1.0, 60.0)] | None = None
    length: Annotated[Given, within("length", 0.1, 10.0)] | None = None
    width: Annotated[Given, within("length", 0.4, 6.0)]
    springing: Annotated[Given, within("length", 0.1, 5.0)]
    head: Literal["round", "pointed"]
    rings: Annotated[Given, within("number", 1, 20, whole=True)] | None = None
    filled_width: Annotated[Given, within("length", 0.04, 3.0)] | None = None
    course_height: Annotated[Given, within("length", 0.02, 1.0)] | None = None
    vault_depth: Annotated[Given, within("length", 0.04, 3.0)] | None = None
    edge_rounding: Annotated[Given, within("length", 0.0, 0.5)] | None = None
    buried_courses: Annotated[Given, within("number", 0, 20, whole=True)] | None = None
    plastered: bool = False


class _ButtressTable(Table):
    spacing: Annotated[Given, within("length", 0.3, 50.0)]
    projection: Annotated[Given, within("length", 0.1, 5.0)]
    width: Annotated[Given, within("length", 0.1, 5.0)]
    height: Annotated[Given, within("length", 0.1, 10.0)]
    side: Literal["front", "back", "both"]


class _WallOpeningTable(Table):
    from_end: Annotated[Given, within("length", 0.0, 100.0)]
    width: Annotated[Given, within("length", 0.05, 10.0)]
    sill: Annotated[Given, within("length", 0.0, 10.0)]
    height: Annotated[Given, within("length", 0.05, 10.0)]
    lintel_bearing: Annotated[Given, within("length", 0.1, 1.5)]


class _WallTable(Table):
    materials: Text
    length: Annotated[Given, within("length", 0.3, 100.0)]
    height: Annotated[Given, within("length", 0.1, 10.0)]
    filled_width: Annotated[Given, within("length", 0.04, 3.0)]
    course_height: Annotated[Given, within("length", 0.02, 1.0)]
    edge_rounding: Annotated[Given, within("length", 0.0, 0.5)] | None = None
    buried_courses: Annotated[Given, within("number", 0, 20, whole=True)] | None = None
    plastered: bool = False
    buttress: _ButtressTable | None = None
    opening: list[_WallOpeningTable] = Field(max_length=20, default_factory=list)


class _LoadsTable(Table):
    wind_pressure: Annotated[Given | GivenNone, or_none("stress", 0.0, 10.0)] | None = None
    earthquake: Annotated[Given | GivenNone, or_none("share", 0.0, 2.0)] | None = None


class _PairFile(Table):
    joined: _Named
    dome: list[_DomeTable] = Field(max_length=2, default_factory=list)
    passage: _PassageTable


class _WallFile(Table):
    joined: _Named
    wall: _WallTable
    loads: _LoadsTable = _LoadsTable()


@dataclass(frozen=True)
class PassageGiven:
    """All in m. length: clear, between the outer faces of both domes on the axis, where they are widest; None where the
    distance between the axes is given instead. rings: of arches side by side; None for as long as the tube is wide."""

    length: float | None
    between_axes: float | None
    width: float
    springing: float
    head: Literal["round", "pointed"]
    rings: int | None
    filled_width: float
    course_height: float
    vault_depth: float
    edge_rounding: float
    buried_courses: int
    plastered: bool


@dataclass(frozen=True)
class Pair:
    """Two designs, the bearing in each at which its door faces the other [rad], and the passage between them."""

    name: str
    note: str
    designs: tuple[Design, Design]
    facing: tuple[float, float]
    passage: PassageGiven
    text: str
    unit_system: UnitSystem


@dataclass(frozen=True)
class ButtressRow:
    """Buttresses all alike, from one end of the wall to the other [m]; `side`: front, back or both."""

    spacing: float
    projection: float
    width: float
    height: float
    side: Literal["front", "back", "both"]


@dataclass(frozen=True)
class WallOpening:
    """from_end: of its nearer side from the left end of the wall; sill: above the ground [m]. Over it lies a lintel."""

    from_end: float
    width: float
    sill: float
    height: float
    lintel_bearing: float


@dataclass(frozen=True)
class WallGiven:
    """A straight wall [m], its fill and beds (those of a design), loads [kPa, share of weight]."""

    name: str
    note: str
    design: Design
    length: float
    height: float
    filled_width: float
    course_height: float
    edge_rounding: float
    buried_courses: int
    plastered: bool
    buttress: ButtressRow | None
    openings: tuple[WallOpening, ...]
    wind_pressure: float
    earthquake: float
    text: str
    unit_system: UnitSystem


def read_given(path: Path) -> Pair | WallGiven:
    """What a file says; InputError with every fault, each with its path into the file.

    Designs are found from the folder of the file.
    """
    text = read_text(path, "a file of joined domes or of a straight wall")
    document, where = parse_toml(text, str(path)), str(path)
    if ("wall" in document) == ("passage" in document):
        found = "both" if "wall" in document else "neither"
        raise InputError([Problem("the file", "a [wall], or two [[dome]] and their [passage]", found)], where)
    system = unit_system(document)
    if "wall" in document:
        return _wall(table_of(_WallFile, document, where), path, text, system)
    return _pair(table_of(_PairFile, document, where), path, text, system)


def _design(path: Path, key: str, named: str, where: str) -> Design:
    if not named.strip():
        raise InputError([Problem(key, "the path of a design file", '""')], where)
    design = read_design(path.parent / named)
    refuse_ring_loads(design, STUDY)
    if design.building.unfinished:
        raise InputError([Problem(key, "a finished dome", "an unfinished one")], where)
    return design


def _or(given: Given | None, otherwise: float) -> float:
    return otherwise if given is None else given.value


def _pair(said: _PairFile, path: Path, text: str, system: UnitSystem) -> Pair:
    where, passage = str(path), said.passage
    if len(said.dome) != 2:
        raise InputError([Problem("dome", "two [[dome]] tables", f"{len(said.dome)}")], where)
    if (passage.length is None) == (passage.between_axes is None):
        found = "neither" if passage.length is None else "both"
        raise InputError([Problem("passage.length", "length or between_axes, one of the two", found)], where)
    first, second = (_design(path, f"dome[{k}].file", one.file, where) for k, one in enumerate(said.dome, 1))
    wall = first.wall
    width = _or(passage.filled_width, wall.filled_width)
    given = PassageGiven(
        length=None if passage.length is None else passage.length.value,
        between_axes=None if passage.between_axes is None else passage.between_axes.value,
        width=passage.width.value,
        springing=passage.springing.value,
        head=passage.head,
        rings=None if passage.rings is None else int(passage.rings.value),
        filled_width=width,
        course_height=_or(passage.course_height, wall.course_height),
        vault_depth=_or(passage.vault_depth, width),
        edge_rounding=_or(passage.edge_rounding, wall.edge_rounding),
        buried_courses=int(_or(passage.buried_courses, wall.buried_courses)),
        plastered=passage.plastered,
    )
    facing = (said.dome[0].facing.value, said.dome[1].facing.value)
    return Pair(said.joined.name, said.joined.note, (first, second), facing, given, text, system)


def _load(said: Any, design: Design, name: str, where: str) -> float:
    """A load of the file, else of the materials' design; InputError where neither says anything."""
    if isinstance(said, GivenNone):
        return 0.0
    if said is not None:
        return cast(Given, said).value
    if name in design.site.not_stated:
        expected = f'a value, or {{ value = "none", reason = "..." }}, here or in [site] of {design.name}'
        raise InputError([Problem(f"loads.{name}", expected, "nothing")], where)
    return float(getattr(design.site, name))


def _wall(said: _WallFile, path: Path, text: str, system: UnitSystem) -> WallGiven:
    where, wall = str(path), said.wall
    design = _design(path, "wall.materials", wall.materials, where)
    row = wall.buttress
    return WallGiven(
        name=said.joined.name,
        note=said.joined.note,
        design=design,
        length=wall.length.value,
        height=wall.height.value,
        filled_width=wall.filled_width.value,
        course_height=wall.course_height.value,
        edge_rounding=_or(wall.edge_rounding, design.wall.edge_rounding),
        buried_courses=int(_or(wall.buried_courses, 0)),
        plastered=wall.plastered,
        buttress=None
        if row is None
        else ButtressRow(row.spacing.value, row.projection.value, row.width.value, row.height.value, row.side),
        openings=tuple(
            WallOpening(o.from_end.value, o.width.value, o.sill.value, o.height.value, o.lintel_bearing.value)
            for o in wall.opening
        ),
        wind_pressure=_load(said.loads.wind_pressure, design, "wind_pressure", where),
        earthquake=_load(said.loads.earthquake, design, "earthquake", where),
        text=text,
        unit_system=system,
    )


def digest_of(given: Pair | WallGiven) -> str:
    """SHA-256 of the file and of every design it names, for the outputs."""
    designs = given.designs if isinstance(given, Pair) else (given.design,)
    said = "\0".join([given.text, *(design.source_text for design in designs)])
    return hashlib.sha256(said.encode()).hexdigest()
