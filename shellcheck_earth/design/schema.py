"""The design file's tables and keys as pydantic models: which keys there are, of what dimension and in what range.

Every physical value becomes a `Given`: the number in SI and how it is known. Keys left out stay None; the defaults are
put in by `dome.design_file`, so that each one used can be listed.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, field_validator
from pydantic_core import PydanticCustomError

from shellcheck_earth.basics.units import Dimension, format_quantity, parse_quantity

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
    "SPANS",
    "TOP",
    "WEIGHT",
    "Basis",
    "DesignTable",
    "Given",
    "GivenSpan",
    "Span",
    "Table",
    "Within",
    "show",
]

Basis = Literal["measured", "stated", "assumed"]
"""How a value is known: tested by the user, written in the design file, or a default of this program."""

LOADS = ("wind_pressure", "earthquake", "snow")
"""Loads of a site that have to be stated, as a value or as "none" with its reason."""

LONGEST_TEXT = 400

SOURCES = ("measured", "assumed")
"""What a value may be marked as."""


class Given(NamedTuple):
    """A value in SI and how it is known."""

    value: float
    basis: Basis


def show(value: object) -> str:
    """What was found, as the user wrote it, cut to a readable length."""
    try:
        text = (
            '"' + value + '"'
            if isinstance(value, str)
            else repr(value).replace("True", "true").replace("False", "false")
        )
    except (ValueError, RecursionError):  # Python writes neither numbers of thousands of digits nor endless nesting
        return "something too long to show"
    return text if len(text) <= 60 else text[:57] + "..."


def _fault(expected: str, found: object) -> PydanticCustomError:
    return PydanticCustomError("given", "{expected}\n{found}", {"expected": expected, "found": show(found)})


def _given(raw: object, dimension: Dimension, low: float, high: float, *, whole: bool = False) -> Given:
    basis: Basis = "stated"
    written = raw
    if isinstance(raw, dict):
        if set(raw) != {"value", "source"} or raw["source"] not in SOURCES:
            raise _fault('a value, or { value = ..., source = "measured" or "assumed" }', raw)
        written, basis = raw["value"], raw["source"]
    try:
        value = parse_quantity(written, dimension)
    except ValueError as error:
        raise _fault(str(error), written) from None
    if not low <= value <= high or (whole and value != int(value)):
        raise _fault(Within(dimension, low, high, whole).span, written)
    return Given(value, basis)


@dataclass(frozen=True)
class Within:
    """Reads a physical value of one dimension within [low, high] (SI). Data, so that a sweep can ask for the
    dimension.
    """

    dimension: Dimension
    low: float
    high: float
    whole: bool = False

    @property
    def span(self) -> str:
        """The range as a message says it."""
        kind = "a whole number" if self.whole else "a value"
        low, high = (format_quantity(end, self.dimension) for end in (self.low, self.high))
        return f"{kind} from {low} to {high}"

    def holds(self, value: object) -> bool:
        """Whether a plain number lies in the range."""
        kind = int if self.whole else int | float
        return isinstance(value, kind) and not isinstance(value, bool) and self.low <= value <= self.high

    def __call__(self, raw: object) -> Given:
        return _given(raw, self.dimension, self.low, self.high, whole=self.whole)


def within(dimension: Dimension, low: float, high: float, *, whole: bool = False) -> BeforeValidator:
    return BeforeValidator(Within(dimension, low, high, whole))


class GivenNone(NamedTuple):
    """A load that the site does not have, and why."""

    reason: str


@dataclass(frozen=True)
class OrNone:
    """Reads a load: a value, or `{ value = "none", reason = "..." }`."""

    within: Within

    def __call__(self, raw: object) -> Given | GivenNone:
        if not (isinstance(raw, dict) and raw.get("value") == "none"):
            return self.within(raw)
        reason = raw.get("reason")
        if set(raw) != {"value", "reason"} or not isinstance(reason, str) or not 5 <= len(reason.strip()) <= 200:
            raise _fault('{ value = "none", reason = "..." } with a reason of 5 to 200 characters', raw)
        return GivenNone(reason.strip())


def or_none(dimension: Dimension, low: float, high: float) -> BeforeValidator:
    return BeforeValidator(OrNone(Within(dimension, low, high)))


RADIUS = Within("length", 0.01, 30.0)
PIVOT = Within("length", -5.0, 30.0)
AGE = Within("duration", 0.0, 1e6)
MOISTURE = Within("share", 0.0, 0.6)
REQUIRED = Within("number", 1.0, 100.0)
"""Of values that stand in lists or beside words, and of a required factor."""


SPANS = ("weight", "thrust", "from_inner_face")
"""What a ring load may have a range of."""

WEIGHT = Within("force", -500.0, 500.0)
"""Of what is handed into a ring, whole: weight down, thrust outward."""


class GivenSpan(NamedTuple):
    """The least and the greatest a value may be, and how it is known."""

    low: float
    high: float
    basis: Basis


@dataclass(frozen=True)
class Span:
    """Reads a value or its range: "4 kN", { low = ..., high = ... }, each with its source where that is said."""

    within: Within

    def __call__(self, raw: object) -> GivenSpan:
        basis: Basis = "stated"
        ends = raw
        if isinstance(raw, dict) and "low" in raw:
            ends, rest = (raw["low"], raw.get("high")), {key: raw[key] for key in raw if key not in ("low", "high")}
            if "high" not in raw or set(rest) - {"source"} or rest.get("source", "assumed") not in SOURCES:
                raise _fault("{ low = ..., high = ... }, with its source where that is said", raw)
            basis = rest.get("source", basis)
        low, high = (self.within(end) for end in (ends if isinstance(ends, tuple) else (raw, raw)))
        if low.value > high.value:
            raise _fault("a low end that is at most the high end", raw)
        return GivenSpan(low.value, high.value, basis if isinstance(ends, tuple) else low.basis)


class GivenRadii(NamedTuple):
    values: tuple[float, ...]


def _radii(raw: object) -> GivenRadii:
    if not isinstance(raw, list) or not raw or len(raw) > 400:
        raise _fault("a list of 1 to 400 inner radii, lowest course first", raw)
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
            raise _fault(f"a list of 1 to 400 {self.what}, lowest course first", raw)
        values = tuple(self.within(item).value for item in raw)
        if self.rising and any(b < a for a, b in itertools.pairwise(values)):
            raise _fault(f"{self.what} that do not fall, lowest course first", raw)
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
            raise _fault(expected, raw)
        return _drying(raw["value"])._replace(basis=raw["source"])
    if not isinstance(raw, list) or not 1 <= len(raw) <= 100:
        raise _fault(expected, raw)
    pairs = []
    for row in raw:
        if not isinstance(row, list) or len(row) != 2:
            raise _fault(expected, row)
        hours, moisture = AGE(row[0]), MOISTURE(row[1])
        pairs.append((hours.value / 24.0, moisture.value))
    if any(b[0] <= a[0] or b[1] > a[1] for a, b in itertools.pairwise(pairs)):
        raise _fault(expected, raw)
    return GivenDrying(tuple(pairs))


def _pivot(raw: object) -> Given | str:
    if raw in ("inner face", "outer face"):
        return str(raw)
    try:
        return PIVOT(raw)
    except PydanticCustomError:
        raise _fault('"inner face", "outer face" or a distance such as "0.4 m"', raw) from None


class Table(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, arbitrary_types_allowed=True)


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
    courses: Annotated[list[GroupTable], Field(max_length=20)] = []


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
            raise _fault(
                'a tie only with head = "lintel": bags in an arch press and cannot hold a tie', f"head = {head}"
            )
        return tie


class ButtressTable(Table):
    bearing: Annotated[Given, within("angle", -2 * math.pi, 2 * math.pi)]
    length: Annotated[Given, within("length", 0.1, 10.0)]
    width: Annotated[Given, within("length", 0.1, 5.0)]
    height: Annotated[Given, within("length", 0.1, 10.0)]


class RingLoadTable(Table):
    """What something else hands into one course all around: a cap or skylight on the crown ring, a loft, a roof."""

    name: Annotated[str, Field(min_length=1, max_length=60)]
    height: Annotated[Given, within("length", -10.0, 30.0)]
    weight: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))]
    thrust: Annotated[GivenSpan, BeforeValidator(Span(WEIGHT))]
    from_inner_face: Annotated[GivenSpan, BeforeValidator(Span(Within("length", 0.0, 3.0)))]


class BuildingTable(Table):
    courses_per_day: Annotated[Given, within("number", 0.1, 50.0)] | None = None
    worker: Annotated[Given, within("force", 0.0, 20.0)] | None = None
    rest_days: Annotated[Given, within("number", 0, 365, whole=True)] | None = None
    climate: Literal["none", "cool and damp", "temperate", "hot and dry"] | None = None
    drying: Annotated[GivenDrying | None, BeforeValidator(_drying)] = None
    cover_after: Annotated[Given, within("duration", 0.0, 10_000.0)] | None = None
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
    opening: Annotated[list[OpeningTable], Field(max_length=40)] = []
    buttress: Annotated[list[ButtressTable], Field(max_length=40)] = []
    ring_load: Annotated[list[RingLoadTable], Field(max_length=5)] = []
    criteria: dict[str, Any] = {}
