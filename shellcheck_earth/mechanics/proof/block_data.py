"""What a design says of the blocks of a proof, as data, and the units in which a proof says them.

Part of the checker: standard library only. STATEMENT.md, section 12.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf

from shellcheck_earth.mechanics.proof.block_loads import Handed, Load

__all__ = [
    "FORCE",
    "FRICTION",
    "KINDS",
    "LENGTH",
    "NEAR",
    "STRENGTH",
    "Clear",
    "Layer",
    "RefusedError",
    "Under",
    "Wall",
    "corners",
    "lies_level",
    "refuse",
]

LENGTH, FORCE, FRICTION, STRENGTH = 1 << 34, 1 << 44, 1 << 40, 1 << 20
KINDS = ("wall", "lintel", "head", "buttress", "footing")
NEAR = 1e-6
"""Metres, or relative, by which places and bounds may be passed: the bounds are there to refuse another dome."""
HEAD = 0.3
"""Metres that what carries an opening reaches beside it, and a bag below the course it is counted with, if not said."""


@dataclass(frozen=True)
class Layer:
    """One course: levels and radii [m], weight of a radian [kN], what it can carry (upper bounds), its wire [kN]; in
    the rain the radii from which the bed under it is wet and to which its section is dry, and what it can carry wet."""

    bottom: float
    top: float
    inner: float
    outer: float
    bed_inner: float
    bed_outer: float
    weight: float
    friction: float
    strength: float
    wire: float
    wet_from: float = inf
    dry_to: float = inf
    friction_wet: float = 0.0
    strength_wet: float = 0.0

    @property
    def wetted(self) -> bool:
        """Whether rain has reached any of it."""
        return self.dry_to < self.outer or self.wet_from < self.outer


@dataclass(frozen=True)
class Clear:
    """An opening: bearing [rad], levels of sill, spring of the head and top, width [m], tie of a lintel [kN], how far
    what carries it reaches beside it [m]; of each course half the angle that is cut out of it [rad], and the area of
    the bags of its head that are counted with it [m2]."""

    bearing: float
    sill: float
    spring: float
    top: float
    width: float
    tie: float
    beside: float = HEAD
    cuts: tuple[float, ...] = ()
    bags: tuple[float, ...] = ()


@dataclass(frozen=True)
class Under:
    """A footing under the lowest course, where the ground is asked: radius of its middle, its width, and that over
    which it presses on the ground less what tips it at its depth [m]; weight of a radian as it steadies and as an
    earthquake shakes it [kN]; how much harder than with the first it may press [kPa]."""

    middle: float
    width: float
    reach: float
    weight: float
    shaken: float
    more: float


@dataclass(frozen=True)
class Wall:
    """What the design says of all its blocks, lowest course first; what a row of factors divides is divided already.
    `reach`: how far buttresses stand out [m]; `ground`: friction on the ground and `bears`: its pressure [kPa], None
    where it is not asked; `load`: from one side (None: the dead load alone); `handed`: what is handed into courses;
    `footing`: None where the lowest course lies on the ground itself, or the ground is not asked."""

    layers: tuple[Layer, ...]
    openings: tuple[Clear, ...]
    reach: float
    ground: float | None = None
    load: Load | None = None
    width: float = 1.0
    bears: float | None = None
    handed: tuple[Handed, ...] = ()
    footing: Under | None = None

    @property
    def head(self) -> float:
        """Metres that a bag of a head may reach below the course it is counted with."""
        return max((o.beside for o in self.openings), default=HEAD)


def lies_level(patch: list[int]) -> bool:
    """Whether a face lies level, as a bed does."""
    return patch[4] == patch[7] == patch[10] == patch[13]


def corners(patch: list[int]) -> list[float]:
    """How far the corners of a face are from the axis [m]: its points lie in the middle of two strips of it, which
    reach half as far again."""
    out = []
    for first, second in ((2, 8), (5, 11)):
        (x, y), (u, v) = patch[first : first + 2], patch[second : second + 2]
        out += [hypot(3 * x - u, 3 * y - v) / 2 / LENGTH, hypot(3 * u - x, 3 * v - y) / 2 / LENGTH]
    return out


class RefusedError(Exception):
    pass


def refuse(fault: bool, why: str) -> None:
    if fault:
        raise RefusedError(why)
