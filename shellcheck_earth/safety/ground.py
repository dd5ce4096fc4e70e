"""The base ring on the ground: bearing stress, sliding, what the ground allows dry and wet. Settlement is left out."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.footing import asked_weight
from shellcheck_earth.mechanics.rings.capacity import BaseState
from shellcheck_earth.mechanics.rings.lune import Lune

__all__ = [
    "Bearing",
    "Ground",
    "GroundDemand",
    "Spread",
    "bearing_stress",
    "ground_demand",
    "ground_of",
    "spread_of",
]

NO_SLIDING = 1e-9
"""|H|/V below this is a line without sideways thrust at the base."""


@dataclass(frozen=True)
class Ground:
    """What the ground allows in one case: friction [-] and bearing stress [kPa]."""

    friction: float
    bearing: float


def ground_of(dome: Dome, case: Case) -> Ground:
    """The dry values, or the wet ones where rain or soaking reaches the base."""
    site = dome.design.site
    if case.wetting == "none":
        return Ground(site.ground_friction, site.ground_bearing)
    return Ground(
        site.ground_friction_wet,
        site.ground_bearing_wet,
    )


@dataclass(frozen=True)
class Spread:
    """What a footing makes of the base in one case, per radian.

    width  over which it presses on the ground [m]: its own, at most the bed's and its depth (2 down to 1 across)
    depth  of the ground under the bed [m]; light, heavy: least and greatest weight [kN]
    push   thrust at the bed that is counted to tip it [kN]: all that the ground holds by the criteria
    """

    middle: float
    width: float
    depth: float
    light: float
    heavy: float
    push: float


def spread_of(dome: Dome, case: Case, lune: Lune) -> Spread | None:
    """The footing under a case; None where the lowest course lies on the ground itself.

    It lies under the middle of the bed. Its least weight is counted where it steadies, its greatest where it presses
    (derived; the spread of 2 to 1 is common practice, no source).
    """
    footing = dome.design.footing
    if footing is None:
        return None
    inner, outer = float(lune.bed_inner[-1]), float(lune.bed_outer[-1])
    middle, (low, high) = (inner + outer) / 2, asked_weight(dome.design)
    area = middle * footing.width * footing.depth
    holds = ground_of(dome, case).friction / dome.design.criteria.required["base sliding"]
    push = holds * (float(lune.vertical[-1]) + low * area)
    width = min(footing.width, outer - inner + footing.depth)
    return Spread(middle, width, footing.depth, low * area, high * area, push)


@dataclass(frozen=True)
class GroundDemand:
    """What the base asks of the ground: least |H|/V of any line [-], edge stress of the middlemost line [kPa]; inf
    where it would turn over on its footing."""

    friction: float
    edge_stress: float


def ground_demand(lune: Lune, base: BaseState, spread: Spread | None = None) -> GroundDemand:
    """The demand of one case from the state at its base, under its footing where it has one."""
    inner, outer = float(lune.bed_inner[-1]), float(lune.bed_outer[-1])
    V = float(lune.vertical[-1])
    friction = 0.0 if base.friction < NO_SLIDING else base.friction
    if spread is None:
        return GroundDemand(friction, bearing_stress(V, base.x, inner, outer).edge)
    off = (V * abs(base.x - spread.middle) + spread.depth * spread.push) / (V + spread.heavy)
    half = spread.width / 2
    if off >= half:
        return GroundDemand(friction * V / (V + spread.light), math.inf)
    edges = spread.middle - half, spread.middle + half
    edge = bearing_stress(V + spread.heavy, spread.middle + off, *edges).edge
    return GroundDemand(friction * V / (V + spread.light), edge)


@dataclass(frozen=True)
class Bearing:
    """Stresses under the base ring [kPa]; `eccentricity` of the resultant from the middle of the bed, outward [m]."""

    mean: float
    edge: float
    eccentricity: float


def bearing_stress(vertical: float, x: float, inner: float, outer: float) -> Bearing:
    """Bearing stress of one radian: `vertical` [kN], resultant at radius `x`, bed from `inner` to `outer` [m].

    The bed is taken as a strip at its middle radius: N = V/r_m per metre, b its width. Inside the middle third a
    trapezium, edge = N/b (1 + 6 e/b); outside it the triangle, edge = 2 N/(3 (b/2 - e)) (derived; linear stress, no
    tension). The ring's curvature adds less than b/(6 r_m) to that. ValueError when the resultant is off the bed.
    """
    middle, width = (inner + outer) / 2, outer - inner
    e = x - middle
    if not abs(e) < width / 2:
        raise ValueError("the resultant leaves the bed")
    per_metre = vertical / middle
    mean = per_metre / width
    if abs(e) <= width / 6:
        return Bearing(mean, mean * (1 + 6 * abs(e) / width), e)
    return Bearing(mean, 2 * per_metre / (3 * (width / 2 - abs(e))), e)
