"""The range in which the block model was compared with anything outside itself; beyond it no case of blocks "meets"."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.basics.values import default
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.openings import apart, course_cuts, levels
from shellcheck_earth.safety.blocks.result import BlockResult

__all__ = ["Beyond", "beyond_validation", "in_range"]

NEAR = 1e-6


@dataclass(frozen=True)
class Beyond:
    """What lies beyond: the opening's index (None: all of them), the quantity as in `values.toml`, found, and limit
    [-, m]."""

    opening: int | None
    quantity: str
    found: float
    limit: float

    def __str__(self) -> str:
        which = "its openings" if self.opening is None else f"opening {self.opening + 1}"
        what, unit = WORDS[self.quantity]
        return f"{which}: {what} {self.found:.3g}{unit}, and blocks were compared up to {self.limit:.3g}{unit} only"


WORDS = {
    "opening_over_diameter": ("width over the dome's diameter is", ""),
    "head_over_height": ("its top over the dome's height is", ""),
    "head_over_open_top": ("its top over the height that stands is", ""),
    "openings": ("there are", ""),
    "jamb": ("the least wall between two of them is", " m"),
}


def _limit(quantity: str) -> float:
    row = default(f"blocks.range.{quantity}")
    return float(row.value) if row.dimension in ("number", "count") else parse_quantity(row.value, "length")


def beyond_validation(dome: Dome, standing: int | None = None) -> tuple[Beyond, ...]:
    """Every opening, or number or neighbourhood of openings, that lies beyond the range of validation.

    `standing`: how many courses stand of a dome that is being built, from the lowest; None: all. A wall that is open at
    the top is held to what open tops were compared at, over the height that stands; openings not begun do not count.
    """
    courses = dome.courses[:standing]
    open_top = len(courses) < len(dome.courses) or dome.design.building.unfinished
    head, height = "head_over_open_top" if open_top else "head_over_height", courses[-1].z_top - dome.floor
    begun = [
        (index, opening)
        for index, opening in enumerate(dome.design.openings)
        if levels(dome, opening)[0] < courses[-1].z_top - NEAR
    ]
    out = []
    for index, opening in begun:
        found = {
            "opening_over_diameter": opening.width / dome.design.dome.inside_diameter,
            head: (levels(dome, opening)[1] - dome.floor) / height,
        }
        out += [
            Beyond(index, what, value, _limit(what)) for what, value in found.items() if value > _limit(what) + NEAR
        ]
    if len(begun) > _limit("openings"):
        out.append(Beyond(None, "openings", float(len(begun)), _limit("openings")))
    jamb = _least_jamb(dome, courses)
    if jamb < _limit("jamb") - NEAR:
        out.append(Beyond(None, "jamb", jamb, _limit("jamb")))
    return tuple(out)


def _least_jamb(dome: Dome, courses: Sequence[Course]) -> float:
    """Least wall between two openings that cut the same course, on its inner face [m]; inf for none."""
    gaps = [math.inf]
    for course in courses:
        for (_, first), (_, second) in itertools.combinations(course_cuts(dome, course), 2):
            gaps.append(apart(first, second) * course.inner_radius)
    return min(gaps)


def in_range(dome: Dome, result: BlockResult) -> BlockResult:
    """A result that meets becomes "cannot say" beyond the range; what falls short stays."""
    beyond = beyond_validation(dome, result.course_top) if result.meets else ()
    if not beyond:
        return result
    said = "; ".join(str(one) for one in beyond)
    rows = tuple(replace(row, relied=None) for row in result.rows)
    return replace(result, status="cannot say", relied=None, rows=rows, why=f"beyond the range of validation: {said}")
