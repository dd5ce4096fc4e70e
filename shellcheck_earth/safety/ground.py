"""The base ring on the ground: bearing stress, sliding, what the ground allows dry and wet. Settlement is left out."""

from __future__ import annotations

from dataclasses import dataclass

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.capacity import BaseState
from shellcheck_earth.mechanics.rings.lune import Lune

__all__ = ["Bearing", "Ground", "GroundDemand", "bearing_stress", "ground_demand", "ground_of"]

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
class GroundDemand:
    """What the base asks of the ground: least |H|/V of any line [-], edge stress of the middlemost line [kPa]."""

    friction: float
    edge_stress: float


def ground_demand(lune: Lune, base: BaseState) -> GroundDemand:
    """The demand of one case from the state at its base."""
    inner, outer = float(lune.bed_inner[-1]), float(lune.bed_outer[-1])
    edge = bearing_stress(float(lune.vertical[-1]), base.x, inner, outer).edge
    return GroundDemand(0.0 if base.friction < NO_SLIDING else base.friction, edge)


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
