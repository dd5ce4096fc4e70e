"""One sampled dome by hand: rings at given radii, and a design as the row of values that sampled domes are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from shellcheck_earth.design.design import Design, Fill
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import moist_unit_weight
from shellcheck_earth.loads.materials import cohesion_at, friction_at, saturated_moisture, strength_at

__all__ = ["stack_of", "state_of"]


def stack_of(stack: Dome, radii: np.ndarray, width: float, rounding: float) -> Dome:
    """The stack with its rings at other radii, as `build_dome` would cut it."""
    courses, under = [], float(radii[0])
    for course, r in zip(stack.courses, map(float, radii), strict=True):
        courses.append(
            replace(
                course,
                inner_radius=r,
                outer_radius=r + width,
                step_in=under - r,
                bed_inner=max(r, under) + rounding,
                bed_outer=min(r, under) + width - rounding,
            )
        )
        under = r
    return replace(stack, courses=tuple(courses))


def state_of(design: Design) -> np.ndarray:
    groups = [value for group in design.groups for value in _of_fill(design, group.fill)]
    return np.array(
        [*_of_fill(design, design.fill), design.beds.wire_tension, design.wall.filled_width, *groups], dtype=np.float64
    )


def _of_fill(design: Design, fill: Fill) -> list[float]:
    beds = design.beds
    moistures = (fill.service_moisture, fill.placing_moisture, saturated_moisture(fill))
    return [
        *(moist_unit_weight(fill, w) for w in moistures),
        *(strength_at(fill, w, hardened=True) for w in moistures),
        strength_at(fill, fill.placing_moisture),
        *(friction_at(beds, fill, w) for w in moistures),
        *(cohesion_at(beds, fill, w) for w in moistures),
    ]
