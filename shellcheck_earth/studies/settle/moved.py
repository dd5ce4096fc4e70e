"""One radian of a dome after a movement: a lune whose courses have shortened, whose base has spread, whose rings have
opened, whose beds lie askew or whose fill has tired.

All weights stay what they were; only where things are, and what they can bear, changes. Derived, first order in the
turn of a lune, which is therefore held below `MOST_TURN`.

Shortening: a course under the mean stress s = V/A of its bed shortens by s/E (1 + creep) of its height (Hooke; creep as
a stated multiple). Spreading: the base moves out by d; a cap from some bed on comes straight down, and the part below
turns as one body about that bed by t = d / (z_cap - z_base). A point at (x, z) of it moves out by t (z_cap - z) and
down by t (x_base - x); its beds, turned by t, keep tan(atan(mu) - t) of their friction mu; its rings have opened and
bear nothing. Which cap: any that holds shows that the dome can stand (the lower bound theorem of limit analysis;
Heyman 1995, memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.mechanics.rings.lune import Floats, Lune

__all__ = ["MOST_TURN", "Movement", "lunes_after", "opened", "shortened", "spread", "tilted_beds", "tired"]

MOST_TURN = 0.15
"""Largest turn of a lune [rad]: what a first order leaves out, its square, is then 2 % of the lengths turned."""


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


def _turned(friction: Floats, angle: float) -> Floats:
    """tan(atan(mu) - angle), no less than nothing; a bed without limit stays without one."""
    out: Floats = np.where(
        np.isinf(friction),
        friction,
        np.tan(np.maximum(np.arctan(np.where(np.isinf(friction), 0, friction)) - angle, 0)),
    )
    return out


def tilted_beds(lune: Lune, angle: float) -> Lune:
    """Beds that lie askew by `angle` [rad]: a bed that slopes to one side keeps tan(atan(mu) - angle) of its friction
    for sliding that way; here for both ways, and no less than nothing."""
    if angle == 0.0:
        return lune
    return replace(lune, friction=_turned(lune.friction, angle))


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


def spread(lune: Lune, way: float, cap: int, *, wire: bool = True) -> Lune:
    """The base moved out by `way` [m]; the courses above bed `cap` (its position, 0 the one under the top course) come
    straight down. ValueError where the part below would turn by more than `MOST_TURN`, or has no height."""
    lower = np.arange(lune.size) > cap
    z_cap, middle = lune.z_bottom[cap], _middles(lune)
    height = z_cap - lune.z_bottom[-1]
    if height <= 0.0 or way > MOST_TURN * height:
        raise ValueError("the part under the cap is not that high")
    turn = way / height
    out = np.where(lower, turn * (z_cap - lune.z_bottom), 0.0)
    down = turn * (middle[-1] - np.where(lower, middle, middle[cap]))
    centre = np.where(lower, turn * (z_cap - (lune.z_bottom + lune.z_top) / 2), 0.0)
    beds = lune.z_bottom - down
    moved = replace(
        lune,
        moment=lune.moment + lune.weight * centre,
        bed_inner=lune.bed_inner + out,
        bed_outer=lune.bed_outer + out,
        wet_from=lune.wet_from + out,
        friction=np.where(lower, _turned(lune.friction, turn), lune.friction),
    )
    return opened(_at_levels(moved, beds, float(lune.z_top[0] - down[0])), cap + 1, wire=wire)


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
    base = moved.z_bottom[-1]
    for cap in range(moved.size - 1):
        if movement.spread <= MOST_TURN * (moved.z_bottom[cap] - base):
            yield spread(moved, movement.spread, cap, wire=movement.wire)
