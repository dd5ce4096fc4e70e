"""What the design file says of earth against the finished wall, and of a footing under it: read, with their ranges.

Part of the checker: standard library only. STATEMENT.md, section 2.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import floor, pi, remainder
from typing import Any

from shellcheck_earth.mechanics.proof.quantities import RefusedError
from shellcheck_earth.mechanics.proof.ring_loads import span_of

__all__ = ["Earth", "Footing", "earth_of", "footing_of", "sine"]

COMPACTED = Fraction(1)
NEAR = 1e-9
KEYS = {
    "height",
    "unit_weight",
    "friction_angle",
    "compacted",
    "surcharge",
    "drained",
    "from_bearing",
    "to_bearing",
}
LEAST, MOST, CLEAR = pi / 18, pi * 11 / 6, 0.5
"""How wide earth on one side may be [rad]; wall that lies between it and an opening it does not reach [m]."""
Span = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Earth:
    """height over the ground outside; unit weights; coefficients of its pressure; load on it; whether it drains;
    bearing of its middle and half its angle [rad], pi all around."""

    height: Fraction
    lightest: Fraction
    heaviest: Fraction
    least: Fraction
    most: Fraction
    surcharge: Fraction
    drained: bool
    middle: float = 0.0
    half: float = pi

    @property
    def aside(self) -> bool:
        """Whether it lies on one side, of which no ring knows."""
        return self.half < pi

    def beside(self, bearing: float, width: float, radius: float) -> bool:
        """Whether an opening lies off it by its width and CLEAR, from its middle to where the earth ends."""
        off = abs(remainder(bearing - self.middle, 2 * pi)) - self.half
        return self.aside and off * radius >= width + CLEAR


def sine(angle: Fraction) -> Fraction:
    """To 45 digits, of an angle within a right one."""
    x = Fraction(floor(angle * (1 << 170)), 1 << 170)
    term, total, n = x, x, 1
    while abs(term) > Fraction(1, 10**50):
        term = -Fraction(floor(term * x * x * (1 << 170)), 1 << 170) / ((n + 1) * (n + 2))
        total, n = total + term, n + 2
    return total


def _drains(raw: Any) -> bool:
    if raw is False:
        return False
    if isinstance(raw, dict) and set(raw) == {"value", "reason"} and raw["value"] is True:
        reason = raw["reason"]
        if isinstance(reason, str) and 5 <= len(reason.strip()) <= 200:
            return True
    raise RefusedError("backfill.drained: expected true with a reason of 5 to 200 characters, or false")


def _widened(raw: Any, given: Callable[[Any, str], Fraction], path: str, usual: Span) -> Span:
    """As measured; else also the ends of the usual range."""
    if raw is None:
        return usual
    low, high = span_of(raw, path, given)
    if isinstance(raw, dict) and raw.get("source") == "measured":
        return low, high
    return min(low, usual[0]), max(high, usual[1])


@dataclass(frozen=True)
class Footing:
    """Under the middle of the lowest bed: width and depth [m], least and greatest unit weight [kN/m3]."""

    width: Fraction
    depth: Fraction
    lightest: Fraction
    heaviest: Fraction


def footing_of(
    raw: Any, wall: Fraction, given: Callable[[Any, str], Fraction], usual: Callable[[str, str], Fraction]
) -> Footing | None:
    """The footing of a design whose wall is so wide; None where there is none."""
    if raw is None:
        return None
    if not isinstance(raw, dict) or not {"width", "depth"} <= set(raw) <= {"width", "depth", "unit_weight"}:
        raise RefusedError("footing: expected one table of width, depth, unit_weight")
    width, depth = (given(raw[key], f"footing.{key}") for key in ("width", "depth"))
    if width < wall:
        raise RefusedError("footing.width: expected at least the width of the wall")
    own = usual("footing.unit_weight", "low"), usual("footing.unit_weight", "high")
    return Footing(width, depth, *_widened(raw.get("unit_weight"), given, "footing.unit_weight", own))


def _side(said: Mapping[str, Any], above: Fraction, given: Callable[[Any, str], Fraction]) -> tuple[float, float]:
    """Bearing of its middle and half its angle [rad]; 0 and pi all around."""
    keys = [key for key in ("from_bearing", "to_bearing") if key in said]
    if not keys:
        return 0.0, pi
    if len(keys) < 2:
        raise RefusedError("backfill: expected from_bearing and to_bearing, or neither")
    first, last = (float(given(said[key], f"backfill.{key}")) for key in keys)
    turn = (last - first) % (2 * pi)
    if not LEAST - NEAR <= turn <= MOST + NEAR or above < 0:
        raise RefusedError(
            "backfill: expected 10 to 330 deg from from_bearing to to_bearing, of a floor over the ground"
        )
    return first + turn / 2, turn / 2


def earth_of(
    raw: Any,
    above: Fraction,
    given: Callable[[Any, str], Fraction],
    usual: Callable[[str, str], Fraction],
) -> Earth | None:
    """The earth of a design; None where there is none.

    above: how far the floor lies above the ground; `given` reads a value at a path within its range,
    `usual` a column of a row of the table of defaults.
    """
    if raw is None and above >= 0:
        return None
    said = {} if raw is None else raw
    if not isinstance(said, dict) or not set(said) <= KEYS:
        raise RefusedError(f"backfill: expected one table of {', '.join(sorted(KEYS))}")
    height = given(said["height"], "backfill.height") if "height" in said else Fraction(0)
    if height <= 0 <= above:
        raise RefusedError("backfill.height: expected more than 0 where the floor is not below the ground")
    ends = {
        key: _widened(
            said.get(key), given, f"backfill.{key}", (usual(f"backfill.{key}", "low"), usual(f"backfill.{key}", "high"))
        )
        for key in ("unit_weight", "friction_angle")
    }
    compacted = said.get("compacted", True)
    if type(compacted) is not bool:
        raise RefusedError("backfill.compacted: expected true or false")
    loose, dense = (sine(angle) for angle in ends["friction_angle"])
    most = max(1 - loose, COMPACTED) if compacted else 1 - loose
    surcharge = (
        given(said["surcharge"], "backfill.surcharge") if "surcharge" in said else usual("backfill.surcharge", "value")
    )
    light, heavy = ends["unit_weight"]
    middle, half = _side(said, above, given)
    drained = _drains(said["drained"]) if "drained" in said else False
    return Earth(height, light, heavy, (1 - dense) / (1 + dense), most, surcharge, drained, middle, half)
