"""Random lunes and designs for hypothesis: domes a builder could draw, good and bad ones alike."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import strategies as st

from shellcheck_earth.mechanics.rings.lune import Lune

__all__ = ["dome_lune", "lunes"]


def dome_lune(
    inside: float = 4.0,
    width: float = 0.45,
    height: float = 0.15,
    *,
    strength: float = 500.0,
    friction: float = 0.5,
    wire: float = 0.0,
    rounding: float = 0.0,
    crown: float = 0.0,
    unit_weight: float = 18.0,
    pivot: float | None = None,
    cohesion: float = 0.0,
    wet: float = 0.0,
    strength_wet: float = 0.0,
) -> Lune:
    """A pointed dome of level courses, written independently of the package (lengths m, kN, kPa)."""
    e = width if pivot is None else pivot
    length, a = inside + e, inside / 2 + e
    reach = math.sqrt(length**2 - (a + crown / 2) ** 2)
    n = max(int(reach / height + 0.5), 1)
    r = np.array([math.sqrt(length**2 - ((i + 0.5) * height) ** 2) - a for i in range(n)])
    under = np.concatenate([r[:1], r[:-1]])
    inner, outer = np.maximum(r, under) + rounding, np.minimum(r, under) + width - rounding
    one = np.ones(n)
    counted = one.copy()
    counted[0] = 0.0
    z = np.arange(n) * height
    columns = {
        "number": np.arange(1, n + 1),
        "z_bottom": z,
        "z_top": z + height,
        "weight": unit_weight * height * ((r + width) ** 2 - r**2) / 2,
        "moment": unit_weight * height * ((r + width) ** 3 - r**3) / 3,
        "bed_inner": inner,
        "bed_outer": outer,
        "crush_inner": strength * one,
        "crush_outer": (strength_wet if wet > 0 else strength) * one,
        "wet_from": np.clip(np.minimum(r, under) + width - wet, inner, outer) if wet > 0 else outer,
        "friction": friction * one,
        "cohesion": cohesion * (outer**2 - inner**2) / 2,
        "ring_strength": np.where(counted > 0, strength, 0.0),
        "ring_depth": width * counted,
        "wire": wire * counted,
    }
    return Lune(**{name: np.asarray(column, dtype=np.float64)[::-1] for name, column in columns.items()})


@st.composite
def lunes(draw: st.DrawFn, most_courses: int = 40) -> Lune:
    inside = draw(st.floats(1.5, 7.0))
    width = draw(st.floats(0.05, 0.14)) * inside
    height = max(draw(st.floats(0.25, 0.5)) * width, inside / most_courses)
    return dome_lune(
        inside,
        width,
        height,
        strength=draw(st.sampled_from([60.0, 150.0, 500.0, 2000.0, math.inf])),
        friction=draw(st.floats(0.15, 0.9)),
        wire=draw(st.sampled_from([0.0, 0.0, 0.5, 2.5])),
        rounding=draw(st.floats(0.0, 0.12)) * width,
        crown=draw(st.floats(0.0, 0.15)) * inside,
        unit_weight=draw(st.floats(14.0, 23.0)),
        pivot=draw(st.floats(0.0, 1.5)) * width,
        cohesion=draw(st.sampled_from([0.0, 0.0, 2.0])),
        wet=draw(st.sampled_from([0.0, 0.0, 0.2])) * width,
        strength_wet=draw(st.floats(5.0, 60.0)),
    )
