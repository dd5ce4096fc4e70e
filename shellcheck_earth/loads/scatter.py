"""How uncertain the inputs of a design are: stated distributions, each with its source, and the user's own in their
place.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from pathlib import Path
from types import MappingProxyType
from typing import Any

from shellcheck_earth.basics.errors import MOST_TOLD, InputError, Problem
from shellcheck_earth.basics.reading import read_toml
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import KNOWN

__all__ = ["FAMILIES", "PATHS", "Scatter", "read_scatter", "stated_scatter"]

FAMILIES = ("lognormal", "normal", "two-sided", "limit")

LENGTHS = ("compass_reading", "lopsided_ring", "noticed")

PATHS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "dry_density": ("fill.dry_density",),
        "placing_moisture": ("fill.placing_moisture",),
        "service_moisture": ("fill.service_moisture",),
        "strength": ("fill.strength_dry", "fill.strength_as_placed", "fill.strength_wet"),
        "strength_own": ("fill.strength_dry", "fill.strength_as_placed", "fill.strength_wet"),
        "friction": ("beds.friction",),
        "friction_wet_own": ("beds.friction_wet",),
        "wire": ("beds.wire_breaking_load",),
        "filled_width": ("wall.filled_width",),
    }
)
"""Paths of the design whose values, if all are marked measured, take the smaller spread. The compass has none: a
measured profile (radii as built) takes it instead."""

LARGEST_SHARE, LARGEST_LENGTH = 1.0, 0.5


@dataclass(frozen=True)
class Scatter:
    """One distribution. `spread`: coefficient of variation (lognormal), standard deviation [m or -] (normal),
    probability (two-sided), limit [m]. `measured` in its place for a value that was measured. `link` [m]: size of a
    misreading."""

    key: str
    family: str
    spread: float
    measured: float
    what: str
    source: str
    known: str
    link: float = 0.0


def _value(key: str, name: str, raw: object) -> float:
    """ValueError with what was expected."""
    if key in LENGTHS or name == "link":
        value, most = parse_quantity(raw, "length"), LARGEST_LENGTH
        expected = f"a length from 0 to {LARGEST_LENGTH:g} m"
    else:
        value, most = parse_quantity(raw, "share"), LARGEST_SHARE
        expected = "a share from 0 to 1, or from 0 % to 100 %"
    if not 0.0 <= value <= most:
        raise ValueError(expected)
    return value


@cache
def stated_scatter() -> Mapping[str, Scatter]:
    """The distributions of `basics/scatter.toml`; ValueError when one does not say where it comes from."""
    table = tomllib.loads(files("shellcheck_earth.basics").joinpath("scatter.toml").read_text(encoding="utf-8"))
    out = {}
    for key, row in table.items():
        if row.get("known") not in KNOWN or not row.get("source") or row.get("family") not in FAMILIES:
            raise ValueError(f"scatter of {key} does not say its family, where it comes from and how it is known")
        link = _value(key, "link", row["link"]) if "link" in row else 0.0
        out[key] = Scatter(
            key,
            row["family"],
            _value(key, "spread", row["spread"]),
            _value(key, "measured", row["measured"]),
            row["what"],
            row["source"],
            row["known"],
            link,
        )
    return MappingProxyType(out)


def read_scatter(path: Path) -> Mapping[str, Scatter]:
    """The stated distributions with those of the user's file in place; InputError with every fault."""
    table = read_toml(path, "a file of spreads (TOML)")
    known = dict(stated_scatter())
    problems: list[Problem] = []
    for key, row in table.items():
        if key not in known:
            near = difflib.get_close_matches(key, known, n=1, cutoff=0.4) if len(problems) < MOST_TOLD else []
            problems.append(
                Problem(key, "an input that scatters", f"unknown {key!r}", f"nearest: {near[0]}" if near else "")
            )
        else:
            known[key] = _overridden(known[key], row, problems)
    if problems:
        raise InputError(problems, str(path))
    return MappingProxyType(known)


def _overridden(stated: Scatter, row: Any, problems: list[Problem]) -> Scatter:
    names = ("spread", "link") if stated.key == "compass_misread" else ("spread",)
    if not isinstance(row, dict) or not row:
        problems.append(Problem(stated.key, f"a table such as [{stated.key}] with spread = ...", repr(row)[:60]))
        return stated
    changes: dict[str, float] = {}
    for name, raw in row.items():
        path = f"{stated.key}.{name}"
        if name not in names:
            near = difflib.get_close_matches(name, names, n=1, cutoff=0.4)
            problems.append(
                Problem(path, " or ".join(names), f"unknown {name!r}", f"nearest: {near[0]}" if near else "")
            )
            continue
        try:
            changes[name] = _value(stated.key, name, raw)
        except ValueError as error:
            problems.append(Problem(path, str(error), repr(raw)[:60]))
    if "spread" in changes:
        # The user's word holds whether or not the design marks the value as measured.
        changes["measured"] = changes["spread"]
    if not changes:
        return stated
    return replace(stated, **changes, source="The user's own file", known="stated")  # type: ignore[arg-type]
