"""What was read behind the values, word for word: `evidence.toml`. An entry that names nothing known does not load."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from shellcheck_earth.basics.values import Source, sourced_values, sources

__all__ = ["BEARS", "HOW", "Evidence", "backing", "evidence", "make_evidence", "without_evidence"]

HOW = ("page", "transcription", "abstract", "excerpt", "maker's table", "trade article")
"""How an entry was read: the page itself, somebody's copy of its table, its abstract only, words quoted by somebody."""

BEARS = ("prints", "brackets", "contradicts")
"""What an entry says of its values: their number, numbers around them, or one that they do not cover."""

LONGEST_QUOTE = 300
"""Characters; a quotation stays short."""


@dataclass(frozen=True)
class Evidence:
    """One passage: `quote` is verbatim; where it is empty, `noted` says what was noted from it. `values`: keys."""

    key: str
    source: Source
    place: str
    quote: str
    noted: str
    how: str
    read: date
    address: str
    bears: str
    values: tuple[str, ...]
    says: str


def _need(key: str, holds: bool, what: str) -> None:
    if not holds:
        raise ValueError(f"evidence {key}: {what}")


def make_evidence(key: str, row: Mapping[str, Any]) -> Evidence:
    """One entry; ValueError when it names no source or value that exists, or does not say where and how it was read."""
    source = sources().get(row.get("source", ""))
    _need(key, source is not None, f"no source {row.get('source')!r}")
    assert source is not None
    quote, noted = row.get("quote", ""), row.get("noted", "")
    _need(key, bool(quote) != bool(noted), "a quotation, or what was noted, and not both")
    _need(key, len(quote) <= LONGEST_QUOTE, f"a quotation of {len(quote)} characters is too long")
    _need(key, row.get("how") in HOW, f"{row.get('how')!r} is no way of reading")
    _need(key, row.get("bears") in BEARS, f"{row.get('bears')!r} is no bearing on a value")
    _need(key, type(row.get("read")) is date, "no date of reading")
    for name in ("place", "address", "says"):
        _need(key, bool(row.get(name)), f"no {name}")
    values = tuple(row.get("values", ()))
    unknown = [one for one in values if one not in sourced_values()]
    _need(key, not unknown, f"no value {', '.join(unknown)}")
    return Evidence(
        key=key,
        source=source,
        place=row["place"],
        quote=quote,
        noted=noted,
        how=row["how"],
        read=row["read"],
        address=row["address"],
        bears=row["bears"],
        values=values,
        says=row["says"],
    )


@cache
def evidence() -> Mapping[str, Evidence]:
    """All entries by key; ValueError when one is not complete."""
    text = files("shellcheck_earth.basics").joinpath("evidence.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: make_evidence(key, row) for key, row in tomllib.loads(text).items()})


def backing(keys: Iterable[str]) -> tuple[Evidence, ...]:
    """The entries that bear on one of these values, in the order of the file."""
    wanted = set(keys)
    return tuple(one for one in evidence().values() if wanted.intersection(one.values))


def without_evidence() -> tuple[str, ...]:
    """Values that are said to be read, or known from an abstract, and have no passage that prints them."""
    printed = {key for one in evidence().values() if one.bears == "prints" for key in one.values}
    said = ("read", "abstract")
    return tuple(key for key, row in sourced_values().items() if row.known in said and key not in printed)
