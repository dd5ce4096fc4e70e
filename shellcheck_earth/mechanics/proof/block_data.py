"""What a design says of the blocks of a proof, as data, and the units in which a proof says them.

Part of the checker: standard library only. STATEMENT.md, section 12.
"""

from __future__ import annotations

from dataclasses import dataclass

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
    """One course: levels and radii [m], weight of a radian [kN], what it can carry (upper bounds), its wire [kN]."""

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


class RefusedError(Exception):
    pass


def refuse(fault: bool, why: str) -> None:
    if fault:
        raise RefusedError(why)
