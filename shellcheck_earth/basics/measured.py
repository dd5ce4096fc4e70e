"""The ledger of measured tests, `measured.toml`: rows that say what was known, what was read and by whom.

A row that leaves out what its kind needs does not load. `validation/measured.py` turns rows into comparisons.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from shellcheck_earth.basics.units import Dimension, parse_quantity

__all__ = [
    "ARCH",
    "CUBES",
    "FEWEST_READINGS",
    "KINDS",
    "PULL",
    "RING",
    "WIRE",
    "Kind",
    "Measured",
    "make_measured",
    "measured",
]

ARCH = "arch on a tilting board"
RING = "corbelled ring of small bags"
PULL = "two-course pull"
WIRE = "wire pull-out"
CUBES = "cubes of one batch"

FEWEST_READINGS = 3
"""Fewer readings of one thing say nothing of their scatter (EN 1990 Annex D, Table D.1 starts at three)."""


@dataclass(frozen=True)
class Kind:
    """What a kind of test reads and what has to be known before it; `words`: keys with one of a few words."""

    reading: Dimension
    given: Mapping[str, Dimension]
    words: Mapping[str, tuple[str, ...]]


KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        ARCH: Kind(
            "angle",
            {"blocks": "number", "radius": "length", "thickness": "length", "embrace": "angle", "friction": "number"},
            {},
        ),
        RING: Kind(
            "number",
            {
                "inside_radius": "length",
                "bag_width": "length",
                "bag_height": "length",
                "step": "length",
                "friction": "number",
            },
            {},
        ),
        PULL: Kind(
            "force",
            {"pressure": "stress", "bed_length": "length", "bed_width": "length"},
            {"bed": ("woven", "wired", "mesh"), "state": ("dry", "wet")},
        ),
        WIRE: Kind("force", {"length": "length", "pressure": "stress", "breaking_load": "force"}, {}),
        CUBES: Kind(
            "stress", {"height_over_width": "number", "moisture": "share"}, {"state": ("dry", "as placed", "wet")}
        ),
    }
)


@dataclass(frozen=True)
class Measured:
    """One test: `given` and `readings` in SI (m, kN, kPa, rad, shares of one)."""

    key: str
    kind: str
    date: date
    by: str
    given: Mapping[str, float]
    words: Mapping[str, str]
    readings: tuple[float, ...]
    note: str

    @property
    def mean(self) -> float:
        """Arithmetic mean of the readings."""
        return math.fsum(self.readings) / len(self.readings)

    @property
    def spread(self) -> float:
        """Standard deviation of the readings, with n - 1."""
        return math.sqrt(math.fsum((one - self.mean) ** 2 for one in self.readings) / (len(self.readings) - 1))


def _need(key: str, holds: bool, what: str) -> None:
    if not holds:
        raise ValueError(f"measured {key}: {what}")


def _quantity(key: str, name: str, raw: object, dimension: Dimension) -> float:
    try:
        value = parse_quantity(raw, dimension)
    except ValueError as error:
        raise ValueError(f"measured {key}: {name}: {error}") from error
    _need(key, value > 0 or (name == "moisture" and value == 0), f"{name} must be more than nothing")
    return value


def make_measured(key: str, row: Mapping[str, Any]) -> Measured:
    """One test; ValueError when it leaves out what its kind needs, or names what its kind does not know."""
    kind = KINDS.get(row.get("kind", ""))
    _need(key, kind is not None, f"no kind {row.get('kind')!r}: one of {', '.join(KINDS)}")
    assert kind is not None
    given = row.get("given", {})
    wanted = {*kind.given, *kind.words}
    missing, unknown = sorted(wanted - set(given)), sorted(set(given) - wanted)
    _need(key, not missing, f"given leaves out {', '.join(missing)}")
    _need(key, not unknown, f"given has {', '.join(unknown)}, which this kind does not know")
    for name, words in kind.words.items():
        _need(key, given[name] in words, f"{name} is one of {', '.join(words)}, not {given[name]!r}")
    readings = row.get("readings", [])
    _need(key, len(readings) >= FEWEST_READINGS, f"{len(readings)} readings: at least {FEWEST_READINGS}")
    _need(key, type(row.get("date")) is date, "no date")
    _need(key, bool(row.get("by")), "nobody is named who measured")
    return Measured(
        key=key,
        kind=row["kind"],
        date=row["date"],
        by=row["by"],
        given=MappingProxyType({name: _quantity(key, name, given[name], of) for name, of in kind.given.items()}),
        words=MappingProxyType({name: str(given[name]) for name in kind.words}),
        readings=tuple(_quantity(key, "a reading", one, kind.reading) for one in readings),
        note=row.get("note", ""),
    )


@cache
def measured() -> Mapping[str, Measured]:
    """All measured tests by key; ValueError when one is not complete. Empty until somebody measures."""
    text = files("shellcheck_earth.basics").joinpath("measured.toml").read_text(encoding="utf-8")
    return MappingProxyType({key: make_measured(key, row) for key, row in tomllib.loads(text).items()})
