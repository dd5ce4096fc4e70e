"""What stands at a key of the design file: a value in SI with how it is known, a range of it, or none and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from pydantic import BaseModel, BeforeValidator, ConfigDict
from pydantic_core import PydanticCustomError

from shellcheck_earth.basics.units import Dimension, bounds, parse_quantity

__all__ = [
    "Basis",
    "Given",
    "GivenNone",
    "GivenSpan",
    "OrNone",
    "Span",
    "Table",
    "Within",
    "fault",
    "or_none",
    "show",
    "within",
]

Basis = Literal["measured", "stated", "assumed"]
"""How a value is known: tested by the user, written in the design file, or a default of this program."""

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


def fault(expected: str, found: object, within: Within | None = None) -> PydanticCustomError:
    """`within`: the range that was left, which whoever knows the units of the file tells in them."""
    told = {"expected": expected, "found": show(found), "within": within}
    return PydanticCustomError("given", "{expected}\n{found}", told)


def _given(raw: object, dimension: Dimension, low: float, high: float, *, whole: bool = False) -> Given:
    basis: Basis = "stated"
    written = raw
    if isinstance(raw, dict):
        if set(raw) != {"value", "source"} or raw["source"] not in SOURCES:
            raise fault('a value, or { value = ..., source = "measured" or "assumed" }', raw)
        written, basis = raw["value"], raw["source"]
    try:
        value = parse_quantity(written, dimension)
    except ValueError as error:
        raise fault(str(error), written) from None
    if not low <= value <= high or (whole and value != int(value)):
        within = Within(dimension, low, high, whole)
        raise fault(within.span, written, within)
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
        return self.told("metric")

    def told(self, system: str) -> str:
        """The same in a system of units, the other behind it."""
        kind = "a whole number" if self.whole else "a value"
        low, high = bounds(self.low, self.high, self.dimension, system)
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
            raise fault('{ value = "none", reason = "..." } with a reason of 5 to 200 characters', raw)
        return GivenNone(reason.strip())


def or_none(dimension: Dimension, low: float, high: float) -> BeforeValidator:
    return BeforeValidator(OrNone(Within(dimension, low, high)))


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
                raise fault("{ low = ..., high = ... }, with its source where that is said", raw)
            if any(isinstance(end, dict) for end in ends):
                raise fault("one source for both ends: { low = ..., high = ..., source = ... }", raw)
            basis = rest.get("source", basis)
        low, high = (self.within(end) for end in (ends if isinstance(ends, tuple) else (raw, raw)))
        if low.value > high.value:
            raise fault("a low end that is at most the high end", raw)
        return GivenSpan(low.value, high.value, basis if isinstance(ends, tuple) else low.basis)


class Table(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, arbitrary_types_allowed=True)
