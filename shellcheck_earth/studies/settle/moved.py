"""One radian of a dome after a movement: a lune whose courses have shortened, whose base has spread, whose rings have
opened, whose beds lie askew or whose fill has tired.

All weights stay what they were; only where things are, and what they can bear, changes. Derived, with turns as they
are and not as their first order.

Shortening: a course under the mean stress s = V/A of its bed shortens by s/E (1 + creep) of its height (Hooke; creep as
a stated multiple). Spreading: the base moves out by d; a cap from some bed on comes straight down, and the part below
turns as one body about the middle of that bed, by the t of which u cos t + h sin t = u + d: u and h are how far the
middle of the base lies out from there and down. Its rings have opened and bear nothing. Which cap: any that holds shows
that the dome can stand (the lower bound theorem of limit analysis; Heyman 1995, memory).

A bed that lies askew by t has N = V cos t + H sin t on it and S = H cos t - V sin t along it, its outer end up (t < 0:
down). So |S| <= mu N is -V tan(phi - t) <= H <= V tan(phi + t), and the resultant is within the bed where it crosses
its middle's level within half its width times N/V of the middle. H is not known beforehand: what is less of the two
ways counts for both, |H| <= V tan(phi - t), and of every H within it that with the shortest bed and the most weight on
it. So nothing is counted that the bed has not; a bed whose friction is less than its slope bears nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["MOST_TURN", "Movement", "lunes_after", "opened", "shortened", "spread", "tilted_beds", "tired"]

MOST_TURN = 0.15
"""Largest turn of a lune that is looked at [rad]: the hinge it turns about is taken at the middle of a bed, whose ends
then part by 60 mm on a wall of 0.4 m."""


@dataclass(frozen=True)
class Movement:
    """What happens together to one finished dome; all zero (`sustained` 1, `compliance` 0): nothing.

    compliance  strain of a course for each kPa on it, creep included [1/kPa]
    spread      way that the base moves out [m]
    bed_tilt    beds tamped askew by so much [rad]
    sustained   share of its strength that the fill keeps under a lasting load [-]
    opened      rings from the lowest up that have opened and bear nothing [-]
    wire        whether wire in opened rings is still counted
    """

    compliance: float = 0.0
    spread: float = 0.0
    bed_tilt: float = 0.0
    sustained: float = 1.0
    opened: int = 0
    wire: bool = True


def _middles(lune: Lune) -> Floats:
    """Middle radius of each bed [m]."""
    out: Floats = (lune.bed_inner + lune.bed_outer) / 2
    return out


def _at_levels(lune: Lune, beds: Floats, top: float) -> Lune:
    """The lune with its beds at other levels [m]; each course reaches up to the bed above it."""
    tops = np.concatenate([[top], beds[:-1]])
    return replace(lune, z_bottom=beds, z_top=tops, ring_low=beds, ring_high=tops)


def shortened(lune: Lune, compliance: float) -> Lune:
    """Every course shorter by `compliance` [1/kPa] times the mean stress on the bed under it; the lowest bed stays.

    ValueError where a course would have no height left.
    """
    if compliance == 0.0:
        return lune
    area = (lune.bed_outer**2 - lune.bed_inner**2) / 2
    left = 1.0 - compliance * lune.vertical / area
    if (left <= 0.0).any():
        raise ValueError("a course has no height left")
    heights = (lune.z_top - lune.z_bottom) * left
    beds = lune.z_bottom[-1] + np.concatenate([np.cumsum(heights[::-1])[::-1][1:], [0.0]])
    return _at_levels(lune, beds, float(beds[0] + heights[0]))


def _askew(lune: Lune, angle: Floats) -> Lune:
    """Every bed turned about its middle by its `angle` [rad, not under 0], its outer or its inner end up."""
    turned = angle > 0.0
    limited = np.where(np.isinf(lune.friction), 1.0, lune.friction)
    friction = np.tan(np.arctan(limited) - angle)
    cohesion = lune.cohesion / np.maximum(np.cos(angle) + limited * np.sin(angle), 1.0)
    most = np.maximum(friction, 0.0) + cohesion / lune.vertical
    shorter = np.where(turned, np.maximum(np.cos(angle) - np.sin(angle) * most, 0.0), 1.0)
    pressed = np.where(turned, np.cos(angle) * (np.cos(angle) + np.sin(angle) * most), 1.0)
    middle, half = _middles(lune), (lune.bed_outer - lune.bed_inner) / 2
    return replace(
        lune,
        friction=np.where(np.isinf(lune.friction) | ~turned, lune.friction, friction),
        cohesion=cohesion,
        bed_inner=np.where(turned, middle - half * shorter, lune.bed_inner),
        bed_outer=np.where(turned, middle + half * shorter, lune.bed_outer),
        wet_from=np.where(turned, middle + (lune.wet_from - middle) * shorter, lune.wet_from),
        crush_inner=lune.crush_inner / pressed,
        crush_outer=lune.crush_outer / pressed,
    )


def tilted_beds(lune: Lune, angle: float) -> Lune:
    """Beds that lie askew by `angle` [rad], to either side."""
    return lune if angle == 0.0 else _askew(lune, np.full(lune.size, angle))


def tired(lune: Lune, share: float) -> Lune:
    """The fill keeps a share of its strength, in beds and in rings."""
    return replace(
        lune,
        crush_inner=lune.crush_inner * share,
        crush_outer=lune.crush_outer * share,
        ring_strength=lune.ring_strength * share,
    )


def opened(lune: Lune, first_closed: int, *, wire: bool = True) -> Lune:
    """Rings below position `first_closed` (0 is the top course) have opened: they bear no compression until they
    close. `wire`: the wire in the beds under them is still counted."""
    is_open = np.arange(lune.size) >= first_closed
    return replace(
        lune,
        ring_strength=np.where(is_open, 0.0, lune.ring_strength),
        ring_depth=np.where(is_open, 0.0, lune.ring_depth),
        wire=lune.wire if wire else np.where(is_open, 0.0, lune.wire),
    )


def _turn(lune: Lune, way: float, cap: int) -> float:
    """By how much the part below bed `cap` turns until the base has moved out by `way` [m]: the t of u cos t + h sin t
    = u + way. ValueError where it never comes that far, or turns by more than `MOST_TURN`."""
    middle = _middles(lune)
    out, height = float(middle[-1] - middle[cap]), float(lune.z_bottom[cap] - lune.z_bottom[-1])
    reach = math.hypot(out, height)
    if height <= 0.0 or out + way > reach:
        raise ValueError("the part under the cap is not that high")
    turn = math.asin((out + way) / reach) - math.atan2(out, height)
    if turn > MOST_TURN:
        raise ValueError("the part under the cap is not that high")
    return max(turn, 0.0)


def spread(lune: Lune, way: float, cap: int, *, wire: bool = True) -> Lune:
    """The base moved out by `way` [m]; the courses above bed `cap` (its position, 0 the one under the top course) come
    straight down. ValueError where the part below would turn by more than `MOST_TURN`, or is not high enough."""
    turn = _turn(lune, way, cap)
    lower = np.arange(lune.size) > cap
    middle, z_cap = _middles(lune), float(lune.z_bottom[cap])
    sin, cos = math.sin(turn), math.cos(turn)

    def gone(x: Floats, z: Floats) -> tuple[Floats, Floats]:
        """How far points of the lower part move out and, beside the cap, up [m]."""
        u, h = x - middle[cap], z_cap - z
        return u * cos + h * sin - u, u * sin - h * cos + h

    out, up = (np.where(lower, moved, 0.0) for moved in gone(middle, lune.z_bottom))
    centre, _ = gone(lune.moment / lune.weight, (lune.z_bottom + lune.z_top) / 2)
    sunk = up[-1]  # the base stays at its level
    moved = replace(
        lune,
        moment=lune.moment + np.where(lower, lune.weight * centre, 0.0),
        bed_inner=lune.bed_inner + out,
        bed_outer=lune.bed_outer + out,
        wet_from=lune.wet_from + out,
    )
    askew = _askew(moved, np.where(lower, turn, 0.0))
    return opened(_at_levels(askew, lune.z_bottom + up - sunk, float(lune.z_top[0] - sunk)), cap + 1, wire=wire)


def lunes_after(lune: Lune, movement: Movement) -> Iterator[Lune]:
    """The lunes that a movement may leave: one, or one for each cap a spreading dome may come down with. Any that
    holds shows that the dome can stand. ValueError where a course has no height left."""
    moved = shortened(lune, movement.compliance)
    moved = tired(tilted_beds(moved, movement.bed_tilt), movement.sustained)
    if movement.opened:
        moved = opened(moved, moved.size - movement.opened, wire=movement.wire)
    if movement.spread <= 0.0:
        yield moved
        return
    for cap in range(moved.size - 1):
        try:
            fallen = spread(moved, movement.spread, cap, wire=movement.wire)
        except ValueError:
            continue  # under this cap the base cannot come that far
        yield fallen
