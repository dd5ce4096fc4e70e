"""The loads of a block proof against the design: how a load from one side presses on each block, derived once more.

Part of the checker: standard library only, in doubles with room of a millionth. A block that is a sector of its ring
has its bearing from its centre and its angle from its weight; on bags of a head, whose angle is not known so, the load
has to be about what it is on a sector of the same weight. Not checked here: what wind does to the leaf of a door.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import atan2, cos, hypot, pi, sin, sqrt

__all__ = ["Angle", "Course", "Handed", "Load", "Vector", "about_the_load", "handed_on", "load_on", "same_load"]

STANCE = 0.6
"""Metres of the top ring on which one worker stands."""
WINDWARD, CROWN, FLANK = 0.8, -1.2, 0.5
NEAR, EDGE = 1e-6, 1e-9
Vector = tuple[float, float, float]


@dataclass(frozen=True)
class Handed:
    """What is handed into a course (its index), of a radian [kN]: weight down at a radius, thrust outward at a level
    [m]; from half before a middle to half behind it [rad], which is all around where nothing else is said. `gaps`: on
    what there is of its course beside openings."""

    course: int
    weight: float
    thrust: float
    radius: float
    level: float
    middle: float = 0.0
    half: float = pi
    gaps: bool = False

    def on(self, block: Angle) -> tuple[float, float]:
        """(middle, half the angle) of what of it lies on a sector; a half of 0 or less for nothing."""
        if self.half == pi:
            return block.middle, block.half
        off = (block.middle - self.middle + pi) % (2 * pi) - pi
        low, high = max(off - block.half, -self.half), min(off + block.half, self.half)
        return self.middle + (low + high) / 2, (high - low) / 2


@dataclass(frozen=True)
class Load:
    """One load as the design has it, before its multiple. `bearing` [rad]: where it pushes to, or its middle.

    amount     wind: pressure [kPa]; earthquake: sideways share of weight; worker [kN]
    lee, inside   wind: coefficients; vertical: of an earthquake, upward share of weight
    added      snow, water: by course, weight and moment of a radian [kN, kN m] on the loaded half
    ground     level up to which a course is buried [m]
    weak       water: by course, friction and strength of the wet half [-, kPa]
    wire       water: by course, the most that wire pulls with in the wet half [kN]
    even_to    wind: slope of the surface up to which the windward push does not fall off [rad]
    own        earthquake: by course, the weight there is over the weight as it counts; permanent: its factor, of what
               is no sector of a course
    beside     wind towards the same bearing (its own is not read), and its share of it for once the load
    shaken_with   earthquake: what is handed in as it is, whose weight is shaken where it bears
    """

    kind: str
    bearing: float
    amount: float = 0.0
    lee: float = 0.0
    inside: float = 0.0
    vertical: float = 0.0
    added: tuple[tuple[float, float], ...] = ()
    ground: float = 0.0
    weak: tuple[tuple[float, float], ...] = ()
    wire: tuple[float, ...] = ()
    even_to: float = 0.0
    own: tuple[float, ...] = ()
    permanent: float = 1.0
    beside: Load | None = None
    share: float = 0.0
    shaken_with: tuple[Handed, ...] = ()

    def shaken(self, index: int, *, sector: bool) -> float:
        """What of a block's weight as it counts is there to be shaken."""
        return self.own[index] if sector and self.own else 1.0 / self.permanent

    def wets(self, x: float, y: float) -> bool:
        """Whether a place on plan lies in a half that is wet, by more than a millionth."""
        return bool(self.weak) and cos(atan2(x, y) - self.bearing) > NEAR


@dataclass(frozen=True)
class Course:
    """Levels and radii of a course that stands [m], and the outer radius of the one above it (None: none stands)."""

    index: int
    bottom: float
    top: float
    inner: float
    outer: float
    above: float | None


@dataclass(frozen=True)
class Angle:
    """Where a block lies on plan: middle and half its angle [rad]; centre of gravity [m], weight [kN]."""

    middle: float
    half: float
    centre: Vector
    weight: float


def _share(half: float) -> float:
    """sin(b)/b: where the middle of an arc of half-angle b lies, over its radius."""
    return sin(half) / half if half > 0 else 1.0


def handed_on(
    handed: Sequence[Handed], index: int, block: Angle, shaken: Vector | None = None
) -> tuple[Vector, Vector]:
    """(force, moment about the block's centre) of what is handed into course `index` on a sector of it: weight and
    thrust of the angle they share; `shaken`: instead its weight times these shares, of what weighs."""
    out = NOTHING
    for one in handed:
        middle, half = one.on(block)
        if one.course == index and half > 0:
            share, s, q = _share(half), sin(middle), cos(middle)
            down, push = 2 * half * one.weight, 2 * half * one.thrust * share
            force = (push * s, push * q, -down)
            if shaken is not None:
                force = (max(down, 0.0) * shaken[0], max(down, 0.0) * shaken[1], max(down, 0.0) * shaken[2])
            radius = one.radius * share
            out = _added(out, (force, _moment(force, (radius * s, radius * q, one.level), block.centre)))
    return out


def _moment(force: Vector, place: Vector, centre: Vector) -> Vector:
    x, y, z = place[0] - centre[0], place[1] - centre[1], place[2] - centre[2]
    return y * force[2] - z * force[1], z * force[0] - x * force[2], x * force[1] - y * force[0]


def _added(one: tuple[Vector, Vector], other: tuple[Vector, Vector], times: float = 1.0) -> tuple[Vector, Vector]:
    (x, y, z), (u, v, w) = (
        tuple(a + times * b for a, b in zip(mine, theirs, strict=True)) for mine, theirs in zip(one, other, strict=True)
    )
    return (x, y, z), (u, v, w)


def load_on(load: Load, course: Course, block: Angle, *, sector: bool = True) -> tuple[Vector, Vector] | None:
    """(force [kN], moment about the block's centre [kN m]) of the load itself, with the share of wind beside it, on a
    block; None on the very edge of a loaded half, where it may lie on either side. sector: a piece of its ring, which
    has what is handed in.
    """
    own = _alone(load, course, block)
    if own is not None and sector and load.shaken_with:
        shares = load.amount * sin(load.bearing), load.amount * cos(load.bearing), load.vertical
        own = _added(own, handed_on(load.shaken_with, course.index, block, shares))
    if own is None or load.beside is None:
        return own
    wind = _alone(replace(load.beside, bearing=load.bearing), course, block) or NOTHING
    return _added(own, wind, load.share)


def _alone(load: Load, course: Course, block: Angle) -> tuple[Vector, Vector] | None:
    if load.kind == "earthquake":
        side, up = load.amount * block.weight, load.vertical * block.weight
        return (side * sin(load.bearing), side * cos(load.bearing), up), (0.0, 0.0, 0.0)
    placed = PLACED.get(load.kind, _half)(load, course, block)
    if placed is None:
        return None
    force, place = placed
    return force, _moment(force, place, block.centre)


NOTHING: tuple[Vector, Vector] = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))


def _wind(load: Load, course: Course, block: Angle) -> tuple[Vector, Vector]:
    """The envelope of pressure on the cone between the outer edges of this course and the next."""
    if course.top <= load.ground:
        return NOTHING
    height = course.top - course.bottom
    back = (course.outer - course.inner) / 2 if course.above is None else max(course.outer - course.above, 0.0)
    slope = atan2(back, height)
    c = -cos(block.middle - load.bearing)
    up, front = sin(slope) ** 2, load.lee
    ahead = up
    if c >= 0:
        # sin^2 s - sin^2 e = sin(s - e) sin(s + e): from the slope e on
        more = max(sin(slope - load.even_to) * sin(slope + load.even_to), 0.0)
        front, ahead = WINDWARD, more / cos(load.even_to) ** 2
    flank = FLANK * CROWN + (1 - FLANK) * CROWN * up
    pressed = c * c * (front + (CROWN - front) * ahead) + (1 - c * c) * flank - load.inside
    push = load.amount * pressed * hypot(height, back) * 2 * block.half * course.outer
    share = _share(block.half)
    radius = course.outer * share
    s, q = sin(block.middle), cos(block.middle)
    level = -push * cos(slope) * share
    place = (radius * s, radius * q, (course.bottom + course.top) / 2)
    return (level * s, level * q, -push * sin(slope)), place


def _worker(load: Load, course: Course, block: Angle) -> tuple[Vector, Vector]:
    """His stance on the inner edge of the top ring, spread over the blocks under it."""
    if course.above is not None:
        return NOTHING
    stance = min(STANCE / (course.inner + (course.outer - course.inner) / 2), 2 * pi)
    off = (block.middle - load.bearing + pi) % (2 * pi) - pi
    low, high = max(off - block.half, -stance / 2), min(off + block.half, stance / 2)
    if high <= low:
        return NOTHING
    at = load.bearing + (low + high) / 2
    place = (course.inner * sin(at), course.inner * cos(at), course.top)
    return (0.0, 0.0, -load.amount * (high - low) / stance), place


def _half(load: Load, course: Course, block: Angle) -> tuple[Vector, Vector] | None:
    """Snow or water on the half about a bearing."""
    on = cos(block.middle - load.bearing)
    weight, moment = load.added[course.index]
    if weight <= 0 or on < -EDGE:
        return NOTHING
    if on <= EDGE:
        return None
    radius = moment / weight * _share(block.half)
    place = (radius * sin(block.middle), radius * cos(block.middle), course.top)
    return (0.0, 0.0, -2 * block.half * weight), place


PLACED = {"wind": _wind, "worker": _worker}


def same_load(got: Sequence[float], want: tuple[Vector, Vector], weight: float, width: float) -> bool:
    """Whether six numbers of a proof [kN, kN m] are the load on a block."""
    (x, y, z), (u, v, w) = want
    a, b, c, p, q, r = got
    room = NEAR * sqrt(x * x + y * y + z * z) + EDGE * weight
    if not (abs(a - x) <= room and abs(b - y) <= room and abs(c - z) <= room):
        return False
    room *= max(width, 1.0)
    return abs(p - u) <= room and abs(q - v) <= room and abs(r - w) <= room


def about_the_load(got: Sequence[float], want: tuple[Vector, Vector], load: Load, course: Course, block: Angle) -> bool:
    """Whether the force on a bag of a head is about that on a sector of its weight: within 0.6 of it, and of wind
    within 0.4 of the pressure on its face, for its coefficient turns over from one side of a bag to the other."""
    beside = [a - b for a, b in zip(got, want[0], strict=True)]
    size, off = (sqrt(sum(v * v for v in vector)) for vector in (want[0], beside))
    pressure = load.amount if load.kind == "wind" else load.share * load.beside.amount if load.beside else 0.0
    face = pressure * (course.top - course.bottom) * 2 * block.half * course.outer
    return off <= 0.6 * size + 0.4 * face + EDGE * block.weight
