"""Many questions in one: a line that keeps to the tightest of every limit that is asked for answers all of them yes.

Every limit only relaxes as its capacity grows, so the lines of the joint question are among those of each single one.
A "no" says nothing: then each has to be asked by itself. It only saves time, where most answers are yes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.rings.admissible import Scales, holds
from shellcheck_earth.mechanics.rings.capacity import CONTACT, FRICTION
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.ground import bearing_stress, ground_of, spread_of

__all__ = ["GroundLimit", "all_hold", "ground_limit"]


@dataclass(frozen=True)
class GroundLimit:
    """What a line must keep to at the base [-]: `contact`, the share of the half-width, and `friction`, |H|/V."""

    contact: float
    friction: float


def ground_limit(dome: Dome, case: Case, lune: Lune, sliding: float, bearing: float) -> GroundLimit:
    """What leaves at least these factors of sliding and bearing (inf: none may be needed; 0 of bearing: any stress will
    do, where a wall turns over on its footing); cautious by 1e-5."""
    ground = ground_of(dome, case)
    inner, outer = float(lune.bed_inner[-1]), float(lune.bed_outer[-1])
    V, edge = float(lune.vertical[-1]), ground.bearing / bearing * (1 - 1e-5) if bearing > 0.0 else math.inf
    spread = spread_of(dome, case, lune)
    if spread is None:
        mean = bearing_stress(V, (inner + outer) / 2, inner, outer).mean
        return GroundLimit(_bound(mean, edge), ground.friction / sliding)
    mean = (V + spread.heavy) / (spread.middle * spread.width)
    off = (_bound(mean, edge) * spread.width / 2 * (V + spread.heavy) - spread.depth * spread.push) / V
    return GroundLimit(min(2 * off / (outer - inner), 1.0), ground.friction / sliding * (V + spread.light) / V)


def _bound(mean: float, edge: float) -> float:
    """Contact share at which the edge stress of a resultant there is `edge` (inverse of `ground`; e = share b/2)."""
    ratio = edge / mean
    return (ratio - 1) / 3 if ratio <= 2 else 1 - 4 / (3 * ratio)


def all_hold(lune: Lune, asked: Iterable[Scales], ground: GroundLimit | None = None) -> bool:
    """Whether one line keeps to all of these shares of the capacities, and at the base to what the ground asks."""
    scales = np.minimum.reduce([one.as_array() for one in asked])
    rows = lune.rows
    if ground is not None:
        if ground.contact <= 0.0:
            return False
        scales[CONTACT] = min(scales[CONTACT], ground.contact)
        rows = rows.copy()
        rows[-1, 10], rows[-1, 11] = min(rows[-1, 10], ground.friction / scales[FRICTION]), 0.0
    return holds(rows, scales)
