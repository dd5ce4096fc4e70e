"""Lunes of one course and of two whose states can be written down by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from shellcheck_earth.mechanics.rings.lune import Lune

__all__ = ["one", "set_off", "two"]


def one(x_g: float, *, strength: float = math.inf) -> Lune:
    """One course of 10 kN per radian at x_g on a bed from 1.0 to 1.4 m."""
    a = np.ones(1)
    return Lune(
        number=a,
        z_bottom=0 * a,
        z_top=0.2 * a,
        weight=10 * a,
        moment=10 * x_g * a,
        bed_inner=a,
        bed_outer=1.4 * a,
        crush_inner=strength * a,
        crush_outer=strength * a,
        wet_from=1.4 * a,
        friction=0.5 * a,
        cohesion=0 * a,
        ring_strength=0 * a,
        ring_depth=0 * a,
        wire=0 * a,
    )


def two(friction: float, *, ring: float = math.inf, wire: float = 0.0) -> Lune:
    """Upper course 10 kN at 0.9 m, 0.1 m inside its bed (1.0 to 1.4 m, level 0.2 m); its ring is 0.4 m wide, 0.2 m
    high.
    """
    c = np.array
    return Lune(
        number=c([2.0, 1.0]),
        z_bottom=c([0.2, 0.0]),
        z_top=c([0.4, 0.2]),
        weight=c([10.0, 10.0]),
        moment=c([9.0, 12.0]),
        bed_inner=c([1.0, 1.0]),
        bed_outer=c([1.4, 1.4]),
        crush_inner=c([math.inf] * 2),
        crush_outer=c([math.inf] * 2),
        wet_from=c([1.4, 1.4]),
        friction=c([friction, 10.0]),
        cohesion=c([0.0, 0.0]),
        ring_strength=c([ring, 0.0]),
        ring_depth=c([0.4, 0.0]),
        wire=c([wire, 0.0]),
    )


def set_off(step: float, **more: Any) -> Lune:
    """Two courses 0.2 m high of 10 kN at mid-width, beds 0.4 m wide, the upper one set off by `step` inward."""
    low = 2.0 + step * np.arange(2)
    given = {"friction": np.full(2, 0.5), "ring_strength": np.zeros(2), "wire": np.zeros(2)} | more
    return Lune(
        number=np.array([2, 1]), z_bottom=np.array([0.2, 0.0]), z_top=np.array([0.4, 0.2]), weight=np.full(2, 10.0),
        moment=10.0 * (low + 0.2), bed_inner=low, bed_outer=low + 0.4, crush_inner=np.full(2, np.inf),
        crush_outer=np.full(2, np.inf), wet_from=low + 0.4, cohesion=np.zeros(2), ring_depth=np.full(2, 0.4), **given,
    )  # fmt: skip
