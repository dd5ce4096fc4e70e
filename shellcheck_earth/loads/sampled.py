"""From points of the unit cube to domes: what each sampled dome weighs, holds and measures.

Values that cannot be together are brought together: moisture at most fills the voids, strength as placed is at most the
dry one, wet strength at most that as placed (stabilised: the dry one), wet friction at most the dry one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.materials import DRY_LIMIT, WET_SATURATION
from shellcheck_earth.loads.phases import GRAVITY, WATER_DENSITY
from shellcheck_earth.loads.scatter import Scatter

__all__ = ["GLOBALS", "LEAST_RADIUS", "Drawn", "dimensions", "draw", "ring_radii"]

Floats = NDArray[np.float64]

GLOBALS = (
    "dry_density",
    "placing_moisture",
    "service_moisture",
    "strength",
    "strength_own:dry",
    "strength_own:placed",
    "strength_own:wet",
    "friction",
    "friction_wet_own",
    "wire",
    "filled_width",
    "chain_stretch",
)
"""One coordinate each, in this order; then reading, misreading and lopsidedness of every course."""

COMPASS = 11
"""From this coordinate on, errors of the compass."""

LEAST_RADIUS = 0.01
"""A ring keeps a hole [m]."""

DENSEST = 0.98
"""Of the density of the grains: some voids are left."""

EDGE = 1e-12
"""Coordinates stay this far from 0 and 1, where the normal distribution has no end."""


@dataclass(frozen=True)
class Drawn:
    """N domes: radii (N, n) [m], lowest course first; states (N, 12), columns as `mechanics.many.batch.STATE`."""

    radii: Floats
    states: Floats


def dimensions(courses: int) -> int:
    """Coordinates of one dome."""
    return len(GLOBALS) + 3 * courses


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


def draw(dome: Dome, scatter: Mapping[str, Scatter], points: Floats) -> Drawn:
    """The domes at the points (N, dimensions(n)) of the unit cube."""
    u = np.clip(points, EDGE, 1.0 - EDGE)
    fill, beds = dome.design.fill, dome.design.beds
    factor = {name: _factor(u[:, i], scatter[name.split(":")[0]]) for i, name in enumerate(GLOBALS[:COMPASS])}
    density = np.minimum(fill.dry_density * factor["dry_density"], DENSEST * fill.particle_density)
    n = 1.0 - density / fill.particle_density
    full = n / (1.0 - n) * WATER_DENSITY / fill.particle_density
    placing = np.minimum(fill.placing_moisture * factor["placing_moisture"], full)
    service = np.minimum(fill.service_moisture * factor["service_moisture"], full)
    dry = fill.strength_dry * factor["strength"] * factor["strength_own:dry"]
    as_placed = np.minimum(fill.strength_as_placed * factor["strength"] * factor["strength_own:placed"], dry)
    wet = np.minimum(
        fill.strength_wet * factor["strength"] * factor["strength_own:wet"],
        as_placed if fill.stabiliser == "none" else dry,
    )
    mu = beds.friction * factor["friction"]
    mu_wet = np.minimum(beds.friction_wet * factor["friction"] * factor["friction_wet_own"], mu)
    anchors, moistures = (dry, as_placed, wet), (service, placing, full)
    straight = fill.stabiliser != "none"
    columns = [
        *(density * (1.0 + w) * GRAVITY / 1000.0 for w in moistures),
        *(_strength(w, placing, full, anchors, straight=straight) for w in moistures),
        _strength(placing, placing, full, anchors, straight=False),
        *(_friction(w, placing, full, mu, mu_wet) for w in moistures),
        beds.wire_tension * factor["wire"],
        dome.design.wall.filled_width * factor["filled_width"],
    ]
    return Drawn(_radii(dome, scatter, u), np.column_stack(columns))


def _radii(dome: Dome, scatter: Mapping[str, Scatter], u: Floats) -> Floats:
    count, first = len(dome.courses), len(GLOBALS)
    reading, misread, lopsided = (u[:, first + k * count : first + (k + 1) * count] for k in range(3))
    chance, link = scatter["compass_misread"].spread, scatter["compass_misread"].link
    compass = np.array([course.compass for course in dome.courses])
    errors = compass * _offset(u[:, COMPASS], scatter["chain_stretch"])[:, None] + _offset(
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
