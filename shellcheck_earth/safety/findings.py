"""What a result says besides its margins, as data: cautions, the working of one bed.

The sentences are in `views/text`; nothing here is prose.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Above", "BedWorking", "Caution", "CautionKey", "PartKind", "Rained", "Weighed", "WetBed"]

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


PartKind = Literal["fill", "soaked fill", "outside plaster", "plaster on the ledge", "inside plaster",
                   "plaster under the step-in", "snow"]  # fmt: skip
"""What a part of a course's weight is."""


@dataclass(frozen=True)
class Weighed:
    """What one course weighs, as it counts.

    parts   (what, unit weight [kN/m3], factor, height, inner, outer radius [m])
    loads   (force per radian [kN], factor, radius [m]) of a crew and of weights handed in; pushes: (force, factor,
            level [m]) of thrusts handed in
    """

    number: int
    parts: tuple[tuple[PartKind, float, float, float, float, float], ...]
    loads: tuple[tuple[float, float, float], ...]
    pushes: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class Rained:
    """How deep rain wets a course, in metres and hours: the names of `loads/rain/wetting`.

    number        of the course; outer_radius, width, height, ledge of it
    intensity     of the rain; hours that reach the fill; wind_share driven onto a face
    conductivity, suction, porosity, start   of the fill, and its saturation when the rain begins
    wet           saturation from which on it counts as wet
    taken_in      depth of water that it takes up; inf where it is that wet already
    already       depth that was wet before
    in_ground     it lies in ground that the rain soaks: all of it is wet
    """

    number: int
    outer_radius: float
    width: float
    height: float
    ledge: float
    intensity: float
    hours: float
    wind_share: float
    conductivity: float
    suction: float
    porosity: float
    start: float
    wet: float
    taken_in: float
    already: float
    in_ground: bool


@dataclass(frozen=True)
class WetBed:
    """A bed that is wet in part: what its dry and its wet part have [-, kPa, kPa], by what the row of factors divides
    friction, cohesion and strength, and how deep the rain went (None: it was found that wet)."""

    friction: tuple[float, float]
    cohesion: tuple[float, float]
    strength: tuple[float, float]
    divided: tuple[float, float, float]
    rained: Rained | None


@dataclass(frozen=True)
class BedWorking:
    """Numbers of the bed that governs a check in one case, SI, per radian where a force [kN].

    number                  of the course over the bed; inner_radius of it and of the course below
    compass                 of the course, at mid-height z_mid above the springing; fixed_compass, pivot_radius: None
                            where no compass draws it
    weighed                 what each course of `above` weighs, in the same order
    wet_from                radius from which the bed is wet; strength_in, strength_out of its dry and its wet part
                            [kPa]; friction [-] and cohesion [kN] of all of it, as they are asked
    above                   the courses down to the bed, top first; stands: a state is shown with them, in which
                            capacities are divided by `divided`: those that `divides_...` names
    available, needed, factor, required   of the margin
    ground                  friction [-] or bearing [kPa] of the ground, where the check is about it
    middlemost              the same courses in the middlemost line, of the check of bed friction
    wet                     where the bed is wet in part: what its parts have, and why
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
    weighed: tuple[Weighed, ...]
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
    wet: WetBed | None = None
