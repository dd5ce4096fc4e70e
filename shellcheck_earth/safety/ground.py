"""The base ring on the ground: bearing stress and sliding. Settlement is out of scope."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Bearing", "bearing_stress"]


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
