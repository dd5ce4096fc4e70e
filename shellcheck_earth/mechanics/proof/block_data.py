"""What a design says of the blocks of a proof, as data, and the units in which a proof says them.

Part of the checker: standard library only. STATEMENT.md, section 12.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import hypot, inf, pi

from shellcheck_earth.mechanics.proof.block_loads import Handed, Load

__all__ = [
    "FORCE",
    "FRICTION",
    "KINDS",
    "LENGTH",
    "NEAR",
    "STRENGTH",
    "TURN",
    "Both",
    "Clear",
    "Layer",
    "RefusedError",
    "Under",
    "Wall",
    "between",
    "corners",
    "lies_level",
    "nearest_to_the_axis",
    "refuse",
]

LENGTH, FORCE, FRICTION, STRENGTH = 1 << 34, 1 << 44, 1 << 40, 1 << 20
KINDS = ("wall", "lintel", "head", "buttress", "footing")
NEAR = 1e-6
"""Metres, or relative, by which places and bounds may be passed: the bounds are there to refuse another dome."""
TURN = 2 * pi
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


@dataclass(frozen=True)
class Both:
    """What the design says of every face between a block in one course and one in another (or the ground).

    courses, layers   of the blocks that are there
    near, out, low, high   radii and levels between which it lies [m]
    bed, joint     what a level face and another is called ("": neither, of buttresses and heads), and how far it may
                   reach across the wall: middle and half [m]
    clear          openings it may not stand in: levels, bearing [rad], half the width [m]
    friction, strength   of the worse of both, before what a reserve divides, and the same where wet
    wetted         whether rain has reached any of its courses, where the beds of the worse of both are wet from and
                   to where its section is dry [m]
    """

    courses: tuple[int, ...]
    layers: tuple[Layer, ...]
    buttress: bool
    head: bool
    on_footing: bool
    near: float
    out: float
    low: float
    high: float
    bed: tuple[str, float, float]
    joint: tuple[str, float, float]
    clear: tuple[tuple[float, float, float, float], ...]
    friction: float
    strength: float
    friction_wet: float
    strength_wet: float
    wetted: bool
    wet_from: float
    dry_to: float

    def is_wet(self, patch: list[int]) -> bool:
        """Whether a face is the wetted part of a bed, or lies on a buttress that is wet."""
        if self.buttress:
            return self.wetted
        return lies_level(patch) and max(corners(patch)) > self.wet_from + NEAR

    def lies_across(self, patch: list[int], wet: bool) -> bool:
        """Whether a face is where rain has wetted the wall, and where it has not: a bed lies all in what is dry of it
        or all in what is wet, another face in what is dry of the section."""
        radii = corners(patch)
        if not lies_level(patch):
            return max(radii) > self.dry_to + NEAR
        return wet and min(radii) < self.wet_from - NEAR

    @staticmethod
    def of(wall: Wall, ends: tuple[int, ...]) -> Both:
        """ends: course and kind of the upper block, then of the lower one where there is any."""
        courses, kinds = ends[::2], [KINDS[kind] for kind in ends[1::2]]
        layers = tuple(wall.layers[course] for course in courses)
        buttress, head = "buttress" in kinds, "head" in kinds
        step = layers[0].top - layers[0].bottom
        above = max(layers, key=lambda layer: layer.bottom)
        inner, outer = layers[0].inner, min(layers[0].outer, layers[0].dry_to)
        anywhere = ("", 0.0, 0.0) if buttress or head else None
        return Both(
            courses=courses,
            layers=layers,
            buttress=buttress,
            head=head,
            on_footing=kinds[1:] == ["footing"],
            near=min(layer.inner for layer in layers) - NEAR,
            out=max(layer.outer for layer in layers) + (wall.reach if buttress else 0.0) + NEAR,
            low=min(layer.bottom for layer in layers) - (wall.head if head else 0.0) - NEAR,
            high=max(layer.top for layer in layers) + NEAR,
            bed=anywhere or ("bed", (above.bed_inner + above.bed_outer) / 2, (above.bed_outer - above.bed_inner) / 2),
            joint=anywhere or ("joint", (inner + outer) / 2, (outer - inner) / 4 / wall.width),
            clear=tuple(
                (o.sill + step + NEAR, o.spring - step, o.bearing, 0.9 * o.width / 2)
                for o in (() if buttress else wall.openings)
            ),
            friction=min(layer.friction for layer in layers),
            strength=min(layer.strength for layer in layers),
            friction_wet=min(layer.friction_wet for layer in layers),
            strength_wet=min(layer.strength_wet for layer in layers),
            wetted=any(layer.wetted for layer in layers),
            wet_from=min(layer.wet_from for layer in layers),
            dry_to=min(layer.dry_to for layer in layers),
        )


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


def nearest_to_the_axis(x: int, y: int, vx: int, vy: int) -> tuple[float, float]:
    """Where on plan a line through a place comes nearest to the axis of the dome: a tie acts anywhere on its line, and
    crosses its joint there."""
    along = Fraction(x * vx + y * vy, max(vx * vx + vy * vy, 1))
    return float(x - along * vx), float(y - along * vy)


def between(place: tuple[float, float], a: Sequence[int], b: Sequence[int]) -> bool:
    """Whether a place lies on plan, seen from the axis, between the centres of two blocks, the shorter way round."""
    x, y = place
    one, other = a[2] * y - a[3] * x, x * b[3] - y * b[2]
    return one * other > 0 and x * (a[2] + b[2]) + y * (a[3] + b[3]) > 0
