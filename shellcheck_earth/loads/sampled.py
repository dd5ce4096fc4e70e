"""From points of the unit cube to domes: what each sampled dome weighs, holds and measures.

Values that cannot be together are brought together: moisture at most fills the voids, strength as placed is at most the
dry one, wet strength at most that as placed (stabilised: the dry one), wet friction at most the dry one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import mul

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.design.design import Beds, Fill
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.drawn import Inputs
from shellcheck_earth.loads.materials import DRY_LIMIT, WET_SATURATION
from shellcheck_earth.loads.phases import GRAVITY, WATER_DENSITY
from shellcheck_earth.loads.scatter import Scatter

__all__ = ["LEAST_RADIUS", "Drawn", "dimensions", "draw", "ring_radii"]

Floats = NDArray[np.float64]

LEAST_RADIUS = 0.01
"""A ring keeps a hole [m]."""

DENSEST = 0.98
"""Of the density of the grains: some voids are left."""

EDGE = 1e-12
"""Coordinates stay this far from 0 and 1, where the normal distribution has no end."""


@dataclass(frozen=True)
class Drawn:
    """N domes: radii (N, n) [m], lowest course first; states (N, 16 + 13 g) of a design with g groups of courses,
    columns as `mechanics.many.batch.STATE` and behind them those of a fill again for each group."""

    radii: Floats
    states: Floats


def dimensions(inputs: Inputs, courses: int) -> int:
    """Coordinates of one dome: its inputs, the chain of the compass; then reading, misreading and lopsidedness of every
    course."""
    return len(inputs.names) + 1 + 3 * courses


def _factor(u: Floats, scatter: Scatter) -> Floats:
    """Lognormal factor of median 1 whose coefficient of variation is the spread: sigma^2 = ln(1 + spread^2)."""
    from scipy.special import ndtri

    return np.asarray(np.exp(np.sqrt(np.log1p(scatter.spread**2)) * ndtri(u)))


def _offset(u: Floats, scatter: Scatter) -> Floats:
    from scipy.special import ndtri

    return np.asarray(scatter.spread * ndtri(u))


def ring_radii(dome: Dome, pivot: float, errors: Floats, lopsided: Floats, limit: float) -> Floats:
    """Inner radii [m], (N, n), of rings set out with compass errors [m], (N, n), and offsets [m] added to them.

    The centre compass stands at `pivot` above the springing: r = sqrt(c^2 - dz^2), so dr = (c/r) dc, many times the
    error of the compass near the crown. A ring off by more than `limit` is noticed and set back to it.
    """
    inner = np.array([course.inner_radius for course in dome.courses])
    compass = np.array([course.compass for course in dome.courses])
    rise = np.array([course.z_mid for course in dome.courses]) - pivot
    read = np.maximum(compass + errors, 0.0)
    off = np.sqrt(np.maximum(read * read - rise * rise, 0.0)) - inner + lopsided
    return np.asarray(np.maximum(inner + np.clip(off, -limit, limit), LEAST_RADIUS))


def _between(x: Floats, x0: Floats | float, x1: Floats, y0: Floats, y1: Floats, *, logarithmic: bool) -> Floats:
    """`materials._between` for arrays."""
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(x1 > x0, np.clip((x - x0) / (x1 - x0), 0.0, 1.0), 1.0)
        straight = (1 - share) * y0 + share * y1
        if not logarithmic:
            return np.asarray(straight)
        bent = np.exp((1 - share) * np.log(y0) + share * np.log(y1))
    inside = (y0 > 0.0) & (y1 > 0.0) & (share > 0.0) & (share < 1.0)
    return np.asarray(np.where(inside, bent, straight))


def _strength(
    w: Floats, placing: Floats, full: Floats, anchors: tuple[Floats, Floats, Floats], *, straight: bool
) -> Floats:
    """`materials.strength_at` for arrays; `straight`: hardened stabilised fill, from the dry to the wet strength."""
    dry, as_placed, wet = anchors
    wet_from = WET_SATURATION * full
    placed = np.minimum(placing, wet_from)
    start = np.minimum(DRY_LIMIT, placed if straight else placed / 2)
    if straight:
        middle = _between(w, start, wet_from, dry, wet, logarithmic=True)
    else:
        middle = np.where(
            w < placed,
            _between(w, start, placed, dry, as_placed, logarithmic=True),
            _between(w, placed, wet_from, as_placed, wet, logarithmic=True),
        )
    return np.asarray(np.where(w >= wet_from, wet, middle))


def _friction(w: Floats, placing: Floats, full: Floats, dry: Floats, wet: Floats) -> Floats:
    """`materials.friction_at` for arrays."""
    wet_from = WET_SATURATION * full
    placed = np.minimum(placing, wet_from)
    middle = np.where(w <= placed, dry, _between(w, placed, wet_from, dry, wet, logarithmic=False))
    return np.asarray(np.where(w >= wet_from, wet, middle))


def _cohesion(beds: Beds, w: Floats, placing: Floats) -> Floats:
    """`materials.cohesion_at` for arrays."""
    return np.where(w <= placing * (1 + 1e-9), beds.cohesion, beds.cohesion_wet)


def draw(dome: Dome, inputs: Inputs, points: Floats) -> Drawn:
    """The domes at the points (N, dimensions(inputs, n)) of the unit cube."""
    u = np.clip(points, EDGE, 1.0 - EDGE)
    design = dome.design
    factor = {name: _factor(u[:, i], inputs.spread(name)) for i, name in enumerate(inputs.names)}
    mu = design.beds.friction * factor["friction"]
    mu_wet = np.minimum(design.beds.friction_wet * factor["friction"] * factor["friction_wet_own"], mu)
    fills = (design.fill, *(group.fill for group in design.groups))
    own, *groups = (
        _of_fill(
            fill, design.beds, {value: [factor[name] for name in names] for value, names in shared.items()}, mu, mu_wet
        )
        for fill, shared in zip(fills, inputs.fills, strict=True)
    )
    whole = [
        design.beds.wire_tension * factor["wire"],
        design.wall.filled_width * factor["filled_width"],
        design.beds.friction_without_wire * factor["friction"],
    ]
    return Drawn(_radii(dome, inputs, u), np.column_stack([*own, *whole, *(one for group in groups for one in group)]))


def _of_fill(
    fill: Fill, beds: Beds, factors: Mapping[str, Sequence[Floats]], mu: Floats, mu_wet: Floats
) -> list[Floats]:
    """The columns of one fill, from the factors of each of its values and the friction of all beds."""
    value = {name: reduce(mul, by, getattr(fill, name)) for name, by in factors.items()}
    density = np.minimum(value["dry_density"], DENSEST * fill.particle_density)
    n = 1.0 - density / fill.particle_density
    full = n / (1.0 - n) * WATER_DENSITY / fill.particle_density
    placing = np.minimum(value["placing_moisture"], full)
    service = np.minimum(value["service_moisture"], full)
    dry = value["strength_dry"]
    as_placed = np.minimum(value["strength_as_placed"], dry)
    wet = np.minimum(value["strength_wet"], as_placed if fill.stabiliser == "none" else dry)
    anchors, moistures = (dry, as_placed, wet), (service, placing, full)
    straight = fill.stabiliser != "none"
    return [
        *(density * (1.0 + w) * GRAVITY / 1000.0 for w in moistures),
        *(_strength(w, placing, full, anchors, straight=straight) for w in moistures),
        _strength(placing, placing, full, anchors, straight=False),
        *(_friction(w, placing, full, mu, mu_wet) for w in moistures),
        *(_cohesion(beds, w, placing) for w in moistures),
    ]


def _radii(dome: Dome, inputs: Inputs, u: Floats) -> Floats:
    count, chain = len(dome.courses), len(inputs.names)
    first = chain + 1
    scatter = inputs.spreads
    reading, misread, lopsided = (u[:, first + k * count : first + (k + 1) * count] for k in range(3))
    chance, link = scatter["compass_misread"].spread, scatter["compass_misread"].link
    compass = np.array([course.compass for course in dome.courses])
    errors = compass * _offset(u[:, chain], scatter["chain_stretch"])[:, None] + _offset(
        reading, scatter["compass_reading"]
    )
    errors += link * ((misread > 1.0 - chance / 2).astype(np.float64) - (misread < chance / 2))
    return ring_radii(
        dome,
        dome.design.dome.centre_pivot_above_springing,
        errors,
        _offset(lopsided, scatter["lopsided_ring"]),
        scatter["noticed"].spread,
    )
