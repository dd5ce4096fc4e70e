"""How far the block model was compared with anything outside itself: beyond it no "meets" is proven.

Standard library only. The limits are plain data (`basics/values.toml`, `blocks.range`). STATEMENT.md, section 12.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import combinations
from math import inf, pi, remainder

from shellcheck_earth.mechanics.proof.block_openings import Opening, Ring
from shellcheck_earth.mechanics.proof.keys import table
from shellcheck_earth.mechanics.proof.quantities import quantity

__all__ = ["beyond"]

TINY = 1e-6
WORDS = {
    "opening_over_diameter": "an opening's width over the diameter is {found:.3g}, compared up to {limit:.3g}",
    "head_over_height": "the top of an opening over the dome's height is {found:.3g}, compared up to {limit:.3g}",
    "head_over_open_top": "the top of an opening over what stands is {found:.3g}, compared up to {limit:.3g}",
    "openings": "there are {found:.3g} openings, compared up to {limit:.3g}",
    "jamb": "the least wall between two openings is {found:.3g} m, compared down to {limit:.3g} m",
}


def _limit(quantity_of: str) -> float:
    row = table()[f"blocks.range.{quantity_of}"]
    if row.get("dimension", "number") == "length":
        return float(quantity(row["value"], "length", quantity_of))
    return float(Fraction(row["value"]))


def _least_jamb(openings: Sequence[Opening], rings: Iterable[Ring]) -> float:
    """Least wall between two openings that cut the same course, on its inner face [m]."""
    least = inf
    for ring in rings:
        cut = [(o.bearing, half) for o in openings if (half := o.half_angle(ring)) > 0]
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
