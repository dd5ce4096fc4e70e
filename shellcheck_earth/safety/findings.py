"""What a result says besides its margins, as data: cautions, the working of one bed.

The sentences are in `views/text`; nothing here is prose.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["BedWorking", "Caution", "CautionKey"]

CautionKey = Literal[
    "engineer",
    "loads left out",
    "loads stated none",
    "stages past",
    "lowered criteria",
    "separate bags",
    "unstabilised",
    "openings",
    "friction",
    "rain",
    "building",
    "sideways",
    "raised base",
    "ground",
]


@dataclass(frozen=True)
class Caution:
    """What could hurt someone. `values`: names of the loads left out, (load, reason) of each that the site is said not
    to have, the top course said to stand and what is left out beside the stages below it, or (check, required here,
    required by the set) of each lowered criterion; () for most.
    """

    key: CautionKey
    values: tuple[str, ...] | tuple[tuple[str, str], ...] | tuple[tuple[str, float, float], ...] = ()


@dataclass(frozen=True)
class BedWorking:
    """Numbers of one bed in one case, SI, per radian where a force [kN]; what is not of this dome is None.

    number, stage           of the course over the bed, and of the highest course laid
    inner_radius, compass   of the course, at mid-height; fixed_compass, pivot_radius: None for a measured profile;
                            z_mid above the springing; centre_pivot above it: None for a course that is not on the arc
    body_*                  unit weight [kN/m3], height, radii, weight and centroid of the fill of this course
    vertical                handed down to the bed
    bed_inner, bed_outer    ends of the bed; width of the course and its edge_rounding between them
    strength                of the course [kPa]; low, high: where the resultant may cross (low > high: crushed)
    friction, limit         coefficient, and the sideways force it holds
    thrust, radius          of the middlemost line here; None where the case has none
    """

    number: int
    stage: int
    inner_radius: float
    compass: float | None
    fixed_compass: float | None
    pivot_radius: float | None
    centre_pivot: float
    z_mid: float
    body_unit_weight: float
    body_height: float
    body_inner: float
    body_outer: float
    body_weight: float
    body_centroid: float
    vertical: float
    bed_inner: float
    bed_outer: float
    width: float
    edge_rounding: float
    strength: float
    low: float
    high: float
    friction: float
    limit: float
    thrust: float | None = None
    radius: float | None = None
