"""What a result says besides its margins, as data: cautions, the working of one bed.

The sentences are in `views/text`; nothing here is prose.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Above", "BedWorking", "Caution", "CautionKey"]

CautionKey = Literal[
    "engineer",
    "loads left out",
    "loads stated none",
    "scaffold",
    "stages past",
    "ring loads",
    "bearing loads",
    "earth",
    "footing",
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
    "not looked at",
]


@dataclass(frozen=True)
class Caution:
    """What could hurt someone. `values`: names of the loads left out, (load, reason) of each that the site is said not
    to have, the height above which the crew works off a scaffold and the highest course that it stands on ("": none),
    the top course said to stand and what is left out beside the stages below it, how high the earth lies, or
    (check, required here, required by the set) of each lowered criterion; () for most.
    """

    key: CautionKey
    values: tuple[str, ...] | tuple[tuple[str, str], ...] | tuple[tuple[str, float, float], ...] = ()


@dataclass(frozen=True)
class Above:
    """A course above a bed or over it, per radian: level of its bed [m], weight [kN] and moment [kN m] as they count,
    and in the state that is shown ring compression [kN], its moment [kN m], tension of the wire in its bed [kN]; push:
    thrust that something else hands into it [kN]."""

    number: int
    z: float
    weight: float
    moment: float
    ring: float
    ring_moment: float
    wire: float
    push: float = 0.0


@dataclass(frozen=True)
class BedWorking:
    """Numbers of the bed that governs a check in one case, SI, per radian where a force [kN].

    number                  of the course over the bed; inner_radius of it and of the course below
    compass                 of the course, at mid-height z_mid above the springing; fixed_compass, pivot_radius: None
                            where no compass draws it
    parts                   (unit weight [kN/m3], factor on it, height, inner, outer radius) of what the course weighs,
                            loads: (force, factor, radius); pushes: (force, factor, level) of thrust handed into it
    wet_from                radius from which the bed is wet; strength_in, strength_out of its dry and its wet part
                            [kPa]; friction [-] and cohesion [kN] of all of it, as they are asked
    above                   the courses down to the bed, top first; stands: a state is shown with them, in which
                            capacities are divided by `divided`: those that `divides_...` names
    available, needed, factor, required   of the margin
    ground                  friction [-] or bearing [kPa] of the ground, where the check is about it
    middlemost              the same courses in the middlemost line, of the check of bed friction
    """

    check: str
    combination: str
    case_title: str
    number: int
    inner_radius: float
    inner_below: float
    compass: float
    fixed_compass: float | None
    pivot_radius: float | None
    centre_pivot: float
    z_mid: float
    parts: tuple[tuple[float, float, float, float, float], ...]
    loads: tuple[tuple[float, float, float], ...]
    width: float
    edge_rounding: float
    wet_from: float
    strength_in: float
    strength_out: float
    friction: float
    cohesion: float
    above: tuple[Above, ...]
    stands: bool
    divided: float
    divides_friction: bool
    divides_strength: bool
    divides_width: bool
    available: float | None
    needed: float | None
    factor: float | None
    required: float
    ground: float
    middlemost: tuple[Above, ...] = ()
    pushes: tuple[tuple[float, float, float], ...] = ()
