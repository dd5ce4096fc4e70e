"""A comparison cut into facets: the points of one map or curve, and the values that it draws."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shellcheck_earth.design.variation import Variation
from shellcheck_earth.studies.compare import Comparison, Point
from shellcheck_earth.views.figures.charts import (
    BLUE,
    CEILING,
    GREEN,
    INK,
    ORANGE,
    PURPLE,
)
from shellcheck_earth.views.text.compare import design_named
from shellcheck_earth.views.text.language import mark

if TYPE_CHECKING:
    pass

__all__ = ["LEAST", "MOST_FACETS", "STYLES", "Facet", "axis_name", "facets", "not_drawn", "share_at", "short_name"]


MOST_FACETS = 8
"""More small maps than this on a page cannot be read; the rest is in the CSV."""


LEAST = mark("least of all margins")


STYLES = (
    (BLUE, "-", "o"),
    (ORANGE, "--", "s"),
    (GREEN, "-.", "^"),
    (PURPLE, ":", "D"),
    (INK, (0, (1, 1)), "v"),
    (INK, "-", "x"),
)


@dataclass(frozen=True)
class Facet:
    """The points that share a design and everything but the two keys drawn."""

    title: str
    points: tuple[Point, ...]


def facets(comparison: Comparison, drawn: int) -> tuple[Facet, ...]:
    """One facet for each design and each combination of the keys after the first `drawn`."""
    groups: dict[tuple[str, tuple[int, ...]], list[Point]] = {}
    for point in comparison.points:
        groups.setdefault((point.design, point.chosen[drawn:]), []).append(point)
    out = []
    for (design, rest), points in groups.items():
        names = [design_named(design)] if len(comparison.designs) > 1 else []
        names += [
            f"{short_name(v.path)} {v.labels[at]}" for v, at in zip(comparison.variations[drawn:], rest, strict=True)
        ]
        out.append(Facet(", ".join(names), tuple(points)))
    return tuple(out)


def not_drawn(comparison: Comparison) -> int:
    """Curves, maps or designs that find no room in the pictures."""
    if not comparison.variations:
        return max(len(comparison.points) - len(STYLES), 0)
    if len(comparison.variations) == 1:
        return max(len(facets(comparison, 1)) - len(STYLES), 0)
    return max(len(facets(comparison, 2)) - MOST_FACETS, 0)


def short_name(path: str) -> str:
    """The last part of a key, as words."""
    return path.split(".", 1)[1].replace("_", " ") if "." in path else path


def axis_name(variation: Variation) -> str:
    """A key that is varied, with the unit of its numbers."""
    return f"{short_name(variation.path)} [{variation.unit}]" if variation.unit else short_name(variation.path)


def share_at(point: Point, check: str) -> float:
    """Share of what is required; nan where there is none."""
    margin = point.least if check == LEAST else point.margin(check)
    return math.nan if margin is None or not margin.known else min(margin.share, CEILING)
