"""The design file's tables and keys as pydantic models: which keys there are, of what dimension and in what range.

Every physical value becomes a `Given`: the number in SI and how it is known. Keys left out stay None; the defaults are
put in by `dome.design_file`, so that each one used can be listed.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator
from pydantic_core import PydanticCustomError

from shellcheck_earth.design.backfill import BackfillTable
from shellcheck_earth.design.footing import FootingTable
from shellcheck_earth.design.given import (
    Basis,
    Given,
    GivenNone,
    GivenSpan,
    Span,
    Table,
    Within,
    fault,
    or_none,
    show,
    within,
)
from shellcheck_earth.design.handed import MOST_BEARING_LOADS, MOST_RING_LOADS, BearingLoadTable, RingLoadTable

__all__ = [
    "AGE",
    "DAY",
    "DEPTH",
    "LOADS",
    "LONGEST_TEXT",
    "MOISTURE",
    "PIVOT",
    "RADIUS",
    "REQUIRED",
    "TOP",
    "Basis",
    "DesignTable",
    "Given",
    "GivenSpan",
    "Span",
    "Table",
    "Within",
    "show",
]

LOADS = ("wind_pressure", "earthquake", "snow")
"""Loads of a site that have to be stated, as a value or as "none" with its reason."""

LONGEST_TEXT = 400

RADIUS = Within("length", 0.01, 30.0)
PIVOT = Within("length", -5.0, 30.0)
AGE = Within("duration", 0.0, 1e6)
MOISTURE = Within("share", 0.0, 0.6)
REQUIRED = Within("number", 1.0, 100.0)
"""Of values that stand in lists or beside words, and of a required factor."""


class GivenRadii(NamedTuple):
    values: tuple[float, ...]


def _radii(raw: object) -> GivenRadii:
    if not isinstance(raw, list) or not raw or len(raw) > 400:
        raise fault("a list of 1 to 400 inner radii, lowest course first", raw)
    return GivenRadii(tuple(RADIUS(item).value for item in raw))


class GivenList(NamedTuple):
    """A list with one value a course, lowest course first."""

    values: tuple[float, ...]


@dataclass(frozen=True)
class _EachCourse:
    """Reads such a list; `rising`: no value under the one before it."""

    within: Within
    what: str
    rising: bool

    def __call__(self, raw: object) -> GivenList:
        if not isinstance(raw, list) or not 1 <= len(raw) <= 400:
            raise fault(f"a list of 1 to 400 {self.what}, lowest course first", raw)
        values = tuple(self.within(item).value for item in raw)
        if self.rising and any(b < a for a, b in itertools.pairwise(values)):
            raise fault(f"{self.what} that do not fall, lowest course first", raw)
        return GivenList(values)


TOP = Within("length", -10.0, 30.0)
DAY = Within("number", 0, 10_000, whole=True)
DEPTH = Within("length", 0.0, 3.0)


class GivenDrying(NamedTuple):
    pairs: tuple[tuple[float, float], ...]
    basis: Basis = "stated"


def _drying(raw: object) -> GivenDrying:
    expected = (
        'a table of ages and moistures, [["0 days", "10 %"], ["7 days", "6 %"], ...], ages rising, moisture not; where'
        ' courses of this fill were weighed, { value = [...], source = "measured" }'
    )
    if isinstance(raw, dict):
        if set(raw) != {"value", "source"} or raw["source"] not in ("measured", "assumed"):
            raise fault(expected, raw)
        return _drying(raw["value"])._replace(basis=raw["source"])
    if not isinstance(raw, list) or not 1 <= len(raw) <= 100:
        raise fault(expected, raw)
    pairs = []
    for row in raw:
        if not isinstance(row, list) or len(row) != 2:
            raise fault(expected, row)
        hours, moisture = AGE(row[0]), MOISTURE(row[1])
        pairs.append((hours.value / 24.0, moisture.value))
    if any(b[0] <= a[0] or b[1] > a[1] for a, b in itertools.pairwise(pairs)):
        raise fault(expected, raw)
    return GivenDrying(tuple(pairs))


def _pivot(raw: object) -> Given | str:
    if raw in ("inner face", "outer face"):
        return str(raw)
    try:
        return PIVOT(raw)
    except PydanticCustomError:
        raise fault('"inner face", "outer face" or a distance such as "0.4 m"', raw) from None


Text = Annotated[str, Field(max_length=LONGEST_TEXT)]


class DesignName(Table):
    name: Text = "Unnamed dome"
    note: Text = ""


class Dome(Table):
    inside_diameter: Annotated[Given, within("length", 0.5, 30.0)]
    profile: Literal["pointed", "round", "measured"] | None = None
    fixed_compass_pivot: Annotated[Given | str | None, BeforeValidator(_pivot)] = None
    crown_opening: Annotated[Given, within("length", 0.0, 30.0)] | None = None
    springing_above_floor: Annotated[Given, within("length", 0.0, 10.0)] | None = None
    floor_above_ground: Annotated[Given, within("length", -5.0, 5.0)] | None = None
    centre_pivot_above_springing: Annotated[Given, within("length", -5.0, 10.0)] | None = None
    inner_radii: Annotated[GivenRadii | None, BeforeValidator(_radii)] = None
    measured_from: Annotated[Given, within("number", -20, 1, whole=True)] | None = None
    course_tops: Annotated[GivenList | None, BeforeValidator(_EachCourse(TOP, "levels of course tops", True))] = None


class FillTable(Table):
    dry_density: Annotated[Given, within("density", 800.0, 2600.0)] | None = None
    particle_density: Annotated[Given, within("density", 2000.0, 3200.0)] | None = None
    placing_moisture: Annotated[Given, within("share", 0.0, 0.6)] | None = None
    service_moisture: Annotated[Given, within("share", 0.0, 0.6)] | None = None
    stabiliser: Literal["none", "cement", "lime"] | None = None
    stabiliser_share: Annotated[Given, within("share", 0.0, 0.3)] | None = None
    strength_dry: Annotated[Given, within("stress", 1.0, 50_000.0)] | None = None
    strength_as_placed: Annotated[Given, within("stress", 0.0, 50_000.0)] | None = None
    strength_wet: Annotated[Given, within("stress", 0.0, 50_000.0)] | None = None
    hydraulic_conductivity: Annotated[Given, within("speed", 1e-11, 1e-2)] | None = None
    suction_head: Annotated[Given, within("length", 0.0, 5.0)] | None = None


class GroupTable(FillTable):
    """Courses with a fill of their own: what it does not say is as in [fill]."""

    first: Annotated[Given | None, within("number", -20, 300, whole=True), Field(alias="from")] = None
    to: Annotated[Given | None, within("number", -20, 300, whole=True)] = None


class WallTable(Table):
    flat_width: Annotated[Given, within("length", 0.05, 3.0)] | None = None
    filled_width: Annotated[Given, within("length", 0.04, 3.0)] | None = None
    course_height: Annotated[Given, within("length", 0.02, 1.0)]
    edge_rounding: Annotated[Given, within("length", 0.0, 0.5)] | None = None
    buried_courses: Annotated[Given, within("number", 0, 20, whole=True)] | None = None
    fabric: Literal["woven", "open mesh"] | None = None
    fabric_strength: Annotated[Given, within("force per length", 0.1, 500.0)] | None = None
    individual_bags: bool | None = None
    bag_length: Annotated[Given, within("length", 0.1, 5.0)] | None = None
    courses: list[GroupTable] = Field(max_length=20, default_factory=list)


class BedsTable(Table):
    friction: Annotated[Given, within("number", 0.01, 1.5)] | None = None
    friction_wet: Annotated[Given, within("number", 0.0, 1.5)] | None = None
    cohesion: Annotated[Given, within("stress", 0.0, 500.0)] | None = None
    wire_strands: Annotated[Given, within("number", 0, 12, whole=True)] | None = None
    wire_breaking_load: Annotated[Given, within("force", 0.1, 100.0)] | None = None
    wire_counted_share: Annotated[Given, within("share", 0.0, 1.0)] | None = None
    cohesion_wet: Annotated[Given, within("stress", 0.0, 500.0)] | None = None
    wire_bond: Annotated[Given, within("force per length", 0.0, 100.0)] | None = None
    friction_no_wire: Annotated[Given, within("number", 0.01, 1.5)] | None = None


class PlasterTable(Table):
    outside: Annotated[Given, within("length", 0.0, 0.3)] | None = None
    inside: Annotated[Given, within("length", 0.0, 0.3)] | None = None
    unit_weight: Annotated[Given, within("unit weight", 5.0, 30.0)] | None = None


class RainTable(Table):
    intensity: Annotated[Given, within("speed", 0.0, 1e-4)] | None = None
    hours: Annotated[Given, within("number", 0.0, 2000.0)] | None = None


class SiteTable(Table):
    rain: RainTable | None = None
    snow: Annotated[Given | GivenNone, or_none("stress", 0.0, 20.0)] | None = None
    wind_pressure: Annotated[Given | GivenNone, or_none("stress", 0.0, 10.0)] | None = None
    earthquake: Annotated[Given | GivenNone, or_none("share", 0.0, 2.0)] | None = None
    wind_basis: Literal["characteristic", "strength level"] | None = None
    earthquake_basis: Literal["characteristic", "strength level"] | None = None
    ground: Literal["rock", "sedimentary", "gravel", "sand", "clay"] | None = None
    ground_bearing: Annotated[Given, within("stress", 5.0, 20_000.0)] | None = None
    ground_friction: Annotated[Given, within("number", 0.01, 1.5)] | None = None
    left_unprotected: bool | None = None
    roof: bool | None = None
    splash_height: Annotated[Given, within("length", 0.0, 10.0)] | None = None
    ground_bearing_wet: Annotated[Given, within("stress", 5.0, 20_000.0)] | None = None
    ground_friction_wet: Annotated[Given, within("number", 0.01, 1.5)] | None = None


class OpeningTable(Table):
    kind: Literal["door", "window", "vent"]
    bearing: Annotated[Given, within("angle", -2 * math.pi, 2 * math.pi)]
    sill: Annotated[Given, within("length", -1.0, 10.0)]
    width: Annotated[Given, within("length", 0.05, 10.0)]
    height: Annotated[Given, within("length", 0.05, 10.0)]
    head: Literal["pointed", "round", "lintel"]
    tie: Annotated[Given, within("force", 0.0, 200.0)] | None = None
    head_depth: Annotated[Given, within("length", 0.1, 0.8)] | None = None
    lintel_bearing: Annotated[Given, within("length", 0.1, 1.5)] | None = None

    @field_validator("tie")
    @classmethod
    def _only_a_lintel(cls, tie: Given | None, info: ValidationInfo) -> Given | None:
        head = info.data.get("head", "lintel")
        if tie is not None and tie.value > 0 and head != "lintel":
            raise fault(
                'a tie only with head = "lintel": bags in an arch press and cannot hold a tie', f"head = {head}"
            )
        return tie


class ButtressTable(Table):
    bearing: Annotated[Given, within("angle", -2 * math.pi, 2 * math.pi)]
    length: Annotated[Given, within("length", 0.1, 10.0)]
    width: Annotated[Given, within("length", 0.1, 5.0)]
    height: Annotated[Given, within("length", 0.1, 10.0)]


class BuildingTable(Table):
    courses_per_day: Annotated[Given, within("number", 0.1, 50.0)] | None = None
    worker: Annotated[Given, within("force", 0.0, 20.0)] | None = None
    rest_days: Annotated[Given, within("number", 0, 365, whole=True)] | None = None
    climate: Literal["none", "cool and damp", "temperate", "hot and dry"] | None = None
    drying: Annotated[GivenDrying | None, BeforeValidator(_drying)] = None
    cover_after: Annotated[Given, within("duration", 0.0, 10_000.0)] | None = None
    scaffold_above: Annotated[Given, within("length", 0.0, 30.0)] | None = None
    count_fabric: bool | None = None
    fabric_loss: Annotated[Given, within("share", 0.0, 1.0)] | None = None
    wire_hold: Annotated[Given, within("force per length", 0.0, 50.0)] | None = None
    laid: Annotated[Given, within("number", 1, 300, whole=True)] | None = None
    unfinished: bool | None = None
    laid_on: Annotated[GivenList | None, BeforeValidator(_EachCourse(DAY, "days of laying", True))] = None
    wetted: Annotated[GivenList | None, BeforeValidator(_EachCourse(DEPTH, "wetted depths", False))] = None


class DesignTable(Table):
    """The whole file. `criteria` is checked by `dome.design_file`, since its keys are the names of the checks."""

    design: DesignName = DesignName()
    dome: Dome
    wall: WallTable
    fill: FillTable = FillTable()
    beds: BedsTable = BedsTable()
    plaster: PlasterTable = PlasterTable()
    building: BuildingTable = BuildingTable()
    site: SiteTable = SiteTable()
    opening: list[OpeningTable] = Field(max_length=40, default_factory=list)
    buttress: list[ButtressTable] = Field(max_length=40, default_factory=list)
    ring_load: list[RingLoadTable] = Field(max_length=MOST_RING_LOADS, default_factory=list)
    bearing_load: list[BearingLoadTable] = Field(max_length=MOST_BEARING_LOADS, default_factory=list)
    backfill: BackfillTable | None = None
    footing: FootingTable | None = None
    criteria: dict[str, Any] = Field(default_factory=dict)
    factor_set: dict[str, Any] | None = None
