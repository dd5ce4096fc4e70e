"""Values that know where they come from. A value without a source does not load."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, cast

from shellcheck_earth.basics.units import Dimension, parse_quantity

__all__ = [
    "KNOWN",
    "Source",
    "Sourced",
    "combination_rows",
    "criteria_set",
    "criteria_sets",
    "default",
    "defaults",
    "fixed",
    "fixed_pairs",
    "fixed_values",
    "ground_class",
    "ground_classes",
    "sourced_values",
    "sources",
]

KNOWN = ("measured", "read", "abstract", "memory", "common practice", "proposed", "computed")
"""How a value or a source can be known. Memory and proposed are never shown as a code's word."""


@dataclass(frozen=True)
class Source:
    """Where values and formulas come from, and how that is known."""

    key: str
    text: str
    known: str


@dataclass(frozen=True)
class Sourced:
    """`value`, `low` and `high` are written as in a design file; `extra` holds what only one table needs."""

    key: str
    value: str
    dimension: str
    source: Source
    known: str
    low: str
    high: str
    note: str
    how_to_measure: str
    extra: Mapping[str, Any]


@cache
def _load(name: str) -> dict[str, Any]:
    return tomllib.loads(files("shellcheck_earth.basics").joinpath(name).read_text(encoding="utf-8"))


@cache
def sources() -> Mapping[str, Source]:
    """All sources by key; ValueError when one does not say how it is known."""
    out = {}
    for key, row in _load("sources.toml").items():
        if row.get("known") not in KNOWN or not row.get("text"):
            raise ValueError(f"source {key} does not say what it is and how it is known")
        out[key] = Source(key, row["text"], row["known"])
    return MappingProxyType(out)


def make_sourced(key: str, row: Mapping[str, Any]) -> Sourced:
    """One value; ValueError when it names no known source."""
    source = sources().get(row.get("source", ""))
    if source is None:
        raise ValueError(f"{key} has no source")
    known = row.get("known", source.known)
    if known not in KNOWN:
        raise ValueError(f"{key}: {known!r} is no way of knowing")
    plain = ("value", "dimension", "source", "known", "low", "high", "note", "how_to_measure")
    extra = MappingProxyType({name: value for name, value in row.items() if name not in plain})
    return Sourced(
        key,
        row["value"],
        row.get("dimension", "number"),
        source,
        known,
        row.get("low", ""),
        row.get("high", ""),
        row.get("note", ""),
        row.get("how_to_measure", ""),
        extra,
    )


@cache
def defaults() -> Mapping[str, Sourced]:
    """All defaults by path of the design file (and a few by circumstance, such as ``beds.wired.friction``)."""
    table = _load("values.toml")
    return MappingProxyType(
        {key: make_sourced(key, row) for key, row in table.items() if key not in ("ground", "criteria", "combination")}
    )


def default(path: str) -> Sourced:
    """The default of one path; KeyError if there is none."""
    return defaults()[path]


@cache
def fixed_values() -> Mapping[str, Sourced]:
    """All numbers that decide an answer and that no design file changes, by key; ValueError without a source."""
    rows = {**_load("fixed.toml"), **_load("survey.toml")}
    return MappingProxyType({key: make_sourced(key, row) for key, row in rows.items()})


def fixed(key: str) -> float:
    """One of them in SI (m, kN, kPa, kg/m3, rad, shares of one); KeyError if there is none."""
    row = fixed_values()[key]
    raw: object = float(row.value) if row.dimension in ("number", "count") else row.value
    return parse_quantity(raw, cast(Dimension, "number" if row.dimension == "count" else row.dimension))


def fixed_pairs(key: str, abscissas: str, ordinates: str) -> tuple[tuple[float, float], ...]:
    """A fixed curve as pairs, from two lists of its row."""
    extra = fixed_values()[key].extra
    return tuple((float(x), float(y)) for x, y in zip(extra[abscissas], extra[ordinates], strict=True))


@cache
def ground_classes() -> Mapping[str, Sourced]:
    """Classes of ground by name, each its allowable bearing."""
    return MappingProxyType(
        {key: make_sourced(f"ground.{key}", row) for key, row in _load("values.toml")["ground"].items()}
    )


def ground_class(name: str) -> Sourced:
    """Allowable bearing of a class of ground; its friction is ``extra["friction"]``. KeyError if there is none."""
    return ground_classes()[name]


@cache
def criteria_sets() -> tuple[str, ...]:
    """The names of the sets of required factors."""
    return tuple(_load("values.toml")["criteria"])


@cache
def sourced_values() -> Mapping[str, Sourced]:
    """Every value with a source, by key: defaults, fixed numbers, classes of ground, criteria and combinations."""
    rows = {**defaults(), **fixed_values()}
    rows |= {row.key: row for row in ground_classes().values()}
    for name in criteria_sets():
        rows |= {row.key: row for row in (*criteria_set(name).values(), *combination_rows(name))}
    return MappingProxyType(rows)


@cache
def combination_rows(name: str) -> tuple[Sourced, ...]:
    """The combinations of partial factors of a set, each with its factors in `extra`; () where it has none."""
    table = _load("values.toml")["combination"].get(name, {})
    return tuple(make_sourced(f"combination.{name}.{key}", row) for key, row in table.items())


@cache
def criteria_set(name: str) -> Mapping[str, Sourced]:
    """Required factors by the name of the check; ``extra["tested"]`` where tested fill needs less. KeyError if
    unknown.
    """
    table = _load("values.toml")["criteria"][name]
    return MappingProxyType({key: make_sourced(f"criteria.{name}.{key}", row) for key, row in table.items()})
