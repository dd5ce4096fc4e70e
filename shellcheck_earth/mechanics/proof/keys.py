"""What a design file may say: its keys with their ranges, its words, and what it leaves out; standard library only.

Numbers become fractions exactly as written; defaults are those of the plain data of basics/values.toml (STATEMENT.md,
section 2).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from shellcheck_earth.mechanics.proof.quantities import RefusedError, quantity
from shellcheck_earth.mechanics.proof.ring_loads import HANDED

__all__ = [
    "CARRIED", "LEVELS", "LOADS", "MIXED", "OTHER", "TABLES", "UNDER", "WORDS", "decimal_of", "default", "given",
    "number_of", "power", "ranges", "table",
]  # fmt: skip

KEYS = """
dome.inside_diameter length 0.5 30|dome.crown_opening length 0 30|dome.springing_above_floor length 0 10
dome.floor_above_ground length -5 5|dome.centre_pivot_above_springing length -5 10
wall.flat_width length 0.05 3|wall.filled_width length 0.04 3|wall.course_height length 0.02 1
wall.edge_rounding length 0 0.5|wall.buried_courses whole 0 20|wall.fabric_strength line 0.1 500
wall.bag_length length 0.1 5|fill.dry_density density 800 2600|fill.particle_density density 2000 3200
fill.placing_moisture share 0 0.6|fill.service_moisture share 0 0.6|fill.stabiliser_share share 0 0.3
fill.strength_dry stress 1 50000|fill.strength_as_placed stress 0 50000|fill.strength_wet stress 0 50000
fill.hydraulic_conductivity speed 3.6e-8 36|fill.suction_head length 0 5
beds.friction number 0.01 1.5|beds.friction_wet number 0 1.5|beds.friction_no_wire number 0.01 1.5
beds.cohesion stress 0 500|beds.cohesion_wet stress 0 500|beds.wire_strands whole 0 12
beds.wire_breaking_load force 0.1 100|beds.wire_counted_share share 0 1|beds.wire_bond line 0 100
plaster.outside length 0 0.3|plaster.inside length 0 0.3|plaster.unit_weight weight 5 30
building.courses_per_day number 0.1 50|building.worker force 0 20|building.rest_days whole 0 365
building.cover_after duration 0 10000|building.fabric_loss share 0 1|building.wire_hold line 0 50
building.scaffold_above length 0 30
site.rain.intensity speed 0 0.36|site.rain.hours number 0 2000
site.splash_height length 0 10|site.snow stress 0 20|site.wind_pressure stress 0 10|site.earthquake share 0 2
site.ground_bearing stress 5 20000|site.ground_friction number 0.01 1.5
site.ground_bearing_wet stress 5 20000|site.ground_friction_wet number 0.01 1.5
opening.bearing angle -7 7|opening.sill length -1 10|opening.width length 0.05 10|opening.height length 0.05 10
opening.tie force 0 200|opening.head_depth length 0.1 0.8|opening.lintel_bearing length 0.1 1.5
buttress.bearing angle -7 7|buttress.length length 0.1 10|buttress.width length 0.1 5
buttress.height length 0.1 10|ring_load.height length -10 30|ring_load.weight force -500 500
ring_load.thrust force -500 500|ring_load.from_inner_face length 0 3|bearing_load.bearing angle -7 7
bearing_load.height length -10 30|bearing_load.width length 0.05 2|bearing_load.weight force -500 500
bearing_load.thrust force -500 500|bearing_load.from_inner_face length 0 3|backfill.height length 0 5
backfill.from_bearing angle -7 7|backfill.to_bearing angle -7 7
backfill.unit_weight weight 10 26|backfill.friction_angle angle 0.0872 0.8727|backfill.surcharge stress 0 50
footing.width length 0.1 3|footing.depth length 0.05 2|footing.unit_weight weight 10 28|dome.measured_from whole -20 1
building.laid whole 1 300|wall.courses.from whole -20 300|wall.courses.to whole -20 300
"""
MIXED = {"none": "fill.", "cement": "fill.stabilised.", "lime": "fill.lime."}
"""Rows of the table of a fill's strengths, by what is mixed into it."""
TABLES, UNDER = ("opening", "buttress", *HANDED), ("backfill", "footing", "factor_set")
WORDS: Mapping[str, tuple[Any, ...]] = {
    "dome.profile": ("pointed", "round", "measured"),
    "wall.fabric": ("woven", "open mesh"),
    "wall.individual_bags": (False, True),
    "fill.stabiliser": ("none", "cement", "lime"),
    "building.climate": ("none", "cool and damp", "temperate", "hot and dry"),
    "building.count_fabric": (False, True),
    "building.unfinished": (False, True),
    "site.ground": ("rock", "sedimentary", "gravel", "sand", "clay"),
    "site.left_unprotected": (False, True),
    "site.roof": (False, True),
    "site.wind_basis": ("characteristic", "strength level"),
    "site.earthquake_basis": ("characteristic", "strength level"),
    "opening.kind": ("door", "window", "vent"),
    "opening.head": ("pointed", "round", "lintel"),
}
OTHER = {
    "design.name", "design.note", "dome.inner_radii", "dome.course_tops", "dome.fixed_compass_pivot",
    "building.drying", "building.laid_on", "building.wetted",
}  # fmt: skip
CARRIED = ("head_depth", "lintel_bearing")
LOADS = ("site.snow", "site.wind_pressure", "site.earthquake")
LEVELS = {"storm": "site.wind_basis", "earthquake": "site.earthquake_basis"}


@cache
def table() -> Mapping[str, Any]:
    """Defaults, ranges and criteria: the plain data this project publishes, read as exact decimals."""
    path = Path(__file__).parents[2] / "basics" / "values.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=decimal_of)


def decimal_of(text: str) -> Fraction:
    """A number of TOML, exactly; ValueError for one that is longer than any needs to be."""
    text = text.replace("_", "")
    if len(text) > 60 or not re.fullmatch(r"[+-]?\d+(\.\d+)?([eE][+-]?\d{1,2})?", text):
        raise ValueError(f"a number this checker does not read: {text[:40]}")
    return Fraction(text)


@cache
def ranges() -> dict[str, tuple[str, Fraction, Fraction]]:
    """(dimension, least, greatest) by key."""
    rows = (row.split() for row in KEYS.replace("\n", "|").split("|") if row)
    return {path: (kind, Fraction(low), Fraction(high)) for path, kind, low, high in rows}


def given(raw: Any, path: str) -> tuple[Fraction, str]:
    """(value, basis) within the key's range."""
    kind, low, high = ranges()[path]
    basis = "stated"
    if isinstance(raw, dict):
        if path in LOADS and set(raw) == {"value", "reason"} and raw["value"] == "none":
            if isinstance(raw["reason"], str) and 5 <= len(raw["reason"].strip()) <= 200:
                return Fraction(0), "none"
            raise RefusedError(f"{path}: expected a reason of 5 to 200 characters")
        if set(raw) != {"value", "source"} or raw["source"] not in ("measured", "assumed"):
            raise RefusedError(f"{path}: expected a value and its source, found {ascii(raw)[:60]}")
        raw, basis = raw["value"], raw["source"]
    value = quantity(raw, kind, path)
    if not low <= value <= high or (kind == "whole" and value.denominator != 1):
        raise RefusedError(f"{path}: expected a value within its range, found {ascii(raw)[:60]}")
    return value, basis


def number_of(raw: Any, path: str) -> Fraction:
    """A value within the key's range, however it is known."""
    return given(raw, path)[0]


def default(path: str, column: str = "value") -> Fraction:
    """A number of the table of defaults (or an end of its range), exactly."""
    row = table()[path]
    kind = {"count": "whole", "force per length": "line", "unit weight": "weight"}.get(
        row.get("dimension", "number"), row.get("dimension", "number")
    )
    text = row[column]
    plain = kind in ("number", "share", "whole") and "%" not in text
    return quantity(Fraction(text) if plain else text, kind, path)


@lru_cache(maxsize=1 << 14)
def power(base: Fraction, exponent: Fraction) -> Fraction:
    """base**exponent to 45 digits; base over 0."""
    with localcontext() as context:
        context.prec = 60
        log = (Decimal(base.numerator) / Decimal(base.denominator)).ln()
        return Fraction((log * Decimal(exponent.numerator) / Decimal(exponent.denominator)).exp())
