"""Values that know where they come from. A value without a source does not load."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

__all__ = [
    "KNOWN",
    "Source",
    "Sourced",
    "combination_rows",
    "criteria_set",
    "criteria_sets",
    "default",
    "defaults",
    "ground_class",
    "ground_classes",
    "sources",
]

KNOWN = ("measured", "read", "memory", "common practice", "proposed", "computed")
"""How a value or a source can be known. Memory and proposed are never shown as a code's word."""


@dataclass(frozen=True)
class Source:
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
def ground_classes() -> Mapping[str, Sourced]:
    return MappingProxyType(
        {key: make_sourced(f"ground.{key}", row) for key, row in _load("values.toml")["ground"].items()}
    )


def ground_class(name: str) -> Sourced:
    """Allowable bearing of a class of ground; its friction is ``extra["friction"]``. KeyError if there is none."""
    return ground_classes()[name]


@cache
def criteria_sets() -> tuple[str, ...]:
    return tuple(_load("values.toml")["criteria"])


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
