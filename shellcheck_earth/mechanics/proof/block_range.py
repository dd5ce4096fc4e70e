"""How far the block model was compared with anything outside itself: beyond it no "meets" is proven.

Standard library only. The limits are plain data (`basics/values.toml`, `blocks.range`). STATEMENT.md, section 12.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import asin, inf, pi, remainder, sqrt

from shellcheck_earth.mechanics.proof.block_places import Clear
from shellcheck_earth.mechanics.proof.quantities import quantity
from shellcheck_earth.mechanics.proof.reading import table

__all__ = ["LEAN", "Opening", "Ring", "beyond"]

LEAN = 0.05
"""Metres that a ring of bags may reach beyond its depth beside the opening, where its joints lean."""
TINY = 1e-6
WORDS = {
    "opening_over_diameter": "an opening's width over the diameter is {found:.3g}, compared up to {limit:.3g}",
    "head_over_height": "the top of an opening over the dome's height is {found:.3g}, compared up to {limit:.3g}",
    "head_over_open_top": "the top of an opening over what stands is {found:.3g}, compared up to {limit:.3g}",
    "openings": "there are {found:.3g} openings, compared up to {limit:.3g}",
    "jamb": "the least wall between two openings is {found:.3g} m, compared down to {limit:.3g} m",
}


@dataclass(frozen=True)
class Opening:
    """Levels above the springing [m], bearing [rad], width [m], head and tie [kN] of a row of the design file."""

    bearing: float
    sill: float
    top: float
    width: float
    height: float
    head: str
    tie: float
    depth: float
    bearing_length: float

    @property
    def beside(self) -> float:
        """How far what carries it reaches beside it [m]."""
        return self.bearing_length if self.head == "lintel" else self.depth + LEAN

    def clear(self, wire: float) -> Clear:
        spring, bearing = self.top - self.rise, remainder(self.bearing, 2 * pi)
        return Clear(bearing, self.sill, spring, self.top, self.width, self.tie / wire, self.beside)

    @property
    def full_rise(self) -> float:
        return {"round": 0.5, "pointed": sqrt(3) / 2, "lintel": 0.0}[self.head] * self.width

    @property
    def rise(self) -> float:
        return min(self.full_rise, self.height)

    def half_width(self, z: float) -> float:
        """At a level within it [m]; a head that is lower than its arcs is flattened."""
        above = z - (self.top - self.rise)
        if above <= 0 or self.rise == 0:
            return self.width / 2
        up = above * self.full_rise / self.rise
        if self.head == "round":
            return sqrt(max((self.width / 2) ** 2 - up * up, 0.0))
        return max(sqrt(max(self.width**2 - up * up, 0.0)) - self.width / 2, 0.0)


@dataclass(frozen=True)
class Ring:
    """Levels and inner radius of a course [m]."""

    bottom: float
    top: float
    inner: float


def _limit(quantity_of: str) -> float:
    row = table()[f"blocks.range.{quantity_of}"]
    if row.get("dimension", "number") == "length":
        return float(quantity(row["value"], "length", quantity_of))
    return float(Fraction(row["value"]))


def _half_angle(o: Opening, ring: Ring) -> float:
    """Half the angle by which an opening cuts a course on its inner face [rad]; 0 where it does not."""
    low, high = max(ring.bottom, o.sill), min(ring.top, o.top)
    return asin(min(o.half_width(low) / ring.inner, 1.0)) if high - low > TINY else 0.0


def _least_jamb(openings: Sequence[Opening], rings: Iterable[Ring]) -> float:
    """Least wall between two openings that cut the same course, on its inner face [m]."""
    least = inf
    for ring in rings:
        cut = [(o.bearing, half) for o in openings if (half := _half_angle(o, ring)) > 0]
        for (one, half), (two, other) in combinations(cut, 2):
            least = min(least, (abs(remainder(one - two, 2 * pi)) - half - other) * ring.inner)
    return least


def beyond(
    openings: Sequence[Opening], rings: Sequence[Ring], floor: float, diameter: float, *, open_top: bool
) -> list[str]:
    """What of a wall with these rings, lowest first, lies beyond the range. `open_top`: it is no finished dome yet;
    openings that are not begun do not count then."""
    begun = [o for o in openings if o.sill < rings[-1].top - TINY]
    height, head = rings[-1].top - floor, "head_over_open_top" if open_top else "head_over_height"
    found = [("opening_over_diameter", o.width / diameter) for o in begun]
    found += [(head, (o.top - floor) / height) for o in begun]
    found += [("openings", float(len(begun))), ("jamb", _least_jamb(begun, rings))]
    return [
        WORDS[name].format(found=value, limit=limit)
        for name, value in found
        if (value - (limit := _limit(name))) * (-1 if name == "jamb" else 1) > TINY
    ]
