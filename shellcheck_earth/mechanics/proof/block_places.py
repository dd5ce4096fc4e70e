"""What a design says of the blocks of a proof, without the code that cuts them: bounds that refuse another dome.

Standard library only; floating point, for each bound has room. From `Wall` (upper bounds): the weight of every course
is what its openings leave of it, with the bags laid back over them; no two blocks of a course share a place, and every
face reaches no further round than the blocks it is between (their angle is their weight over that of a radian); blocks,
points and ties lie within the wall, and no face in a clear opening; no friction, strength or tie exceeds the design's
divided by the reserve, and no bed its width so divided; loads are what the design says (`block_loads`). Not derived
again: the shapes of bags in a head and of buttresses and what they are laid against.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import atan2, cos, hypot, pi, sin

from shellcheck_earth.mechanics.proof.block_loads import (
    Angle,
    Course,
    Handed,
    Load,
    Vector,
    about_the_load,
    handed_on,
    load_on,
    same_load,
)

__all__ = [
    "FORCE",
    "FRICTION",
    "KINDS",
    "LENGTH",
    "STRENGTH",
    "Clear",
    "Layer",
    "Places",
    "RefusedError",
    "Under",
    "Wall",
    "refuse",
]

LENGTH, FORCE, FRICTION, STRENGTH = 1 << 34, 1 << 44, 1 << 40, 1 << 20
KINDS = ("wall", "lintel", "head", "buttress", "footing")
NEAR = 1e-6
"""Metres, or relative, by which places and bounds may be passed: the bounds are there to refuse another dome."""
BAGS = 1.1
"""What bags may weigh as a multiple of as much of their course: both faces are plastered at mid-width."""
THIN = 0.01
"""Metres that a footing is thick as blocks."""
NOT_CRUSHED = 1e4
"""Kilopascals that a footing may press on the ground with where that is not asked."""
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


@dataclass
class Places:
    """The rows of a proof. blocks: course, kind, centre (3), weight; live: force, moment; patches: upper, lower, four
    points (3 each), friction, strength; ties: upper, lower, place (3), pull (3), greatest tension."""

    wall: Wall
    blocks: list[list[int]]
    live: list[list[int]]
    handed: list[list[int]]
    patches: list[list[int]]
    ties: list[list[int]]
    tensions: list[int]
    reserve: Fraction
    factor: Fraction

    def places(self) -> None:
        """Blocks, faces and ties against the design."""
        weights = [0.0] * len(self.wall.layers)
        for k, (course, kind, x, y, z, weight) in enumerate(self.blocks):
            if KINDS[kind] == "footing":
                continue
            layer, r, level = self.wall.layers[course], hypot(x, y) / LENGTH, z / LENGTH
            out = layer.outer + (self.wall.reach if KINDS[kind] == "buttress" else 0.0)
            low = layer.bottom - (self.wall.head if KINDS[kind] == "head" else NEAR)
            within = layer.inner * 0.5 < r < out and low < level < layer.top + NEAR
            refuse(not within, f"blocks[{k}]: its centre is outside its course")
            weights[course] += 0.0 if KINDS[kind] == "buttress" else weight / FORCE
        for course, total in enumerate(weights):
            least, most = self._ring(course)
            known = least * (1 - NEAR) <= total <= most * (1 + NEAR)
            refuse(not known, f"course {course}: {total:.6g} kN where the design has {least:.6g} to {most:.6g}")
            self._side_by_side(course)
        self._founded()
        pairs = [frozenset((patch[0], patch[1])) for patch in self.patches]
        refuse(len(set(pairs)) < len(pairs), "two faces between the same blocks")
        for k, patch in enumerate(self.patches):
            self._face(k, patch)
        self._ties()

    def _arc(self, block: list[int]) -> tuple[float, float] | None:
        """Bearing and half the angle of a block that is a sector of its ring [rad]; None for bags and buttresses."""
        if KINDS[block[1]] not in ("wall", "lintel"):
            return None
        return atan2(block[2], block[3]), block[5] / FORCE / self.wall.layers[block[0]].weight / 2

    def _side_by_side(self, course: int) -> None:
        arcs = sorted(arc for block in self.blocks if block[0] == course and (arc := self._arc(block)))
        for (first, half), (second, other) in zip(arcs, [*arcs[1:], *arcs[:1]], strict=True):
            gap = (second - first) % (2 * pi) if len(arcs) > 1 else 2 * pi
            refuse(gap < half + other - NEAR, f"course {course}: two blocks share a place")

    def _ring(self, course: int) -> tuple[float, float]:
        """Least and greatest weight of a course with its openings [kN]: what is cut out of it is gone, and the bags
        laid back weigh up to what as much of the course does, and BAGS of that for their plaster."""
        layer, openings = self.wall.layers[course], self.wall.openings
        cut = 2 * sum(o.cuts[course] for o in openings if o.cuts)
        bags = sum(o.bags[course] for o in openings if o.bags) / layer.inner / (layer.top - layer.bottom)
        least = layer.weight * (2 * pi - cut)
        return least, least + layer.weight * bags * BAGS

    def _founded(self) -> None:
        """On a footing: a piece of it under every block of the lowest course, as wide as that, and each on its own."""
        pieces = [k for k, block in enumerate(self.blocks) if KINDS[block[1]] == "footing"]
        under = self.wall.footing
        refuse(under is None and bool(pieces), "blocks: a footing where there is none, or the ground is not asked")
        if under is None:
            return
        carried: dict[int, int] = {}
        for k, (upper, lower, *_) in enumerate(self.patches):
            above = self.blocks[upper]
            beside = lower >= 0 and KINDS[above[1]] == "footing"
            bare = lower < 0 and KINDS[above[1]] not in ("footing", "buttress")
            refuse(beside or bare, f"patches[{k}]: a footing joined to another block, or a wall beside its footing")
            if lower >= 0 and KINDS[self.blocks[lower][1]] == "footing":
                wrong = above[0] != 0 or self._arc(above) is None or lower in carried or upper in carried.values()
                refuse(wrong, f"patches[{k}]: expected one block of the lowest course on each piece of the footing")
                carried[lower] = upper
        for k in pieces:
            course, _, x, y, z, weight = self.blocks[k]
            half, r = weight / FORCE / under.weight / 2, hypot(x, y) / LENGTH
            refuse(course != 0 or k not in carried, f"blocks[{k}]: a piece of the footing that carries nothing")
            middle, own = self._arc(self.blocks[carried[k]]) or (0.0, 0.0)
            off = abs((atan2(x, y) - middle + pi) % (2 * pi) - pi)
            centre = (under.middle + under.width**2 / (12 * under.middle)) * sin(half) / half
            low = self.wall.layers[0].bottom - THIN / 2
            fits = off <= NEAR and abs(half - own) <= NEAR and abs(r - centre) <= NEAR and abs(z / LENGTH - low) <= NEAR
            refuse(not fits, f"blocks[{k}]: not the footing under its block")

    def _under_footing(self, k: int, patch: list[int]) -> None:
        """The face between a piece of the footing and the ground: its level, how far it reaches, what it may press."""
        under, q, piece = self.wall.footing, float(self.reserve), self.blocks[patch[0]]
        if under is None:
            raise RefusedError(f"patches[{k}]: on a footing where there is none")
        bearing, reach = atan2(piece[2], piece[3]), piece[5] / FORCE / under.weight / 2
        level, wide = self.wall.layers[0].bottom - THIN, under.reach / 2 / self.wall.width / max(q, 1.0)
        for i in range(2, 14, 3):
            x, y, z = patch[i] / LENGTH, patch[i + 1] / LENGTH, patch[i + 2] / LENGTH
            aside = abs((atan2(x, y) - bearing + pi) % (2 * pi) - pi) > reach + NEAR
            off = abs(hypot(x, y) - under.middle) > wide + NEAR or abs(z - level) > NEAR
            refuse(aside or off, f"patches[{k}]: outside the underside of its footing")
        slips = self.wall.ground
        bears = NOT_CRUSHED if self.wall.bears is None else (self.wall.bears - under.more) * q * self.wall.width
        refuse(slips is None, f"patches[{k}]: on a footing where the ground is not asked")
        refuse(patch[14] / FRICTION > (slips or 0.0) / q * (1 + NEAR), f"patches[{k}]: more friction than the design")
        refuse(patch[15] / STRENGTH > bears * (1 + NEAR), f"patches[{k}]: more strength than the design")

    def _face(self, k: int, patch: list[int]) -> None:
        if KINDS[self.blocks[patch[0]][1]] == "footing":
            self._under_footing(k, patch)
            return
        over = [self.blocks[block] for block in (patch[0], patch[1]) if block >= 0]
        layers, q = [self.wall.layers[block[0]] for block in over], float(self.reserve)
        buttress, head = (any(KINDS[block[1]] == kind for block in over) for kind in ("buttress", "head"))
        out = max(layer.outer for layer in layers) + (self.wall.reach if buttress else 0.0)
        step = layers[0].top - layers[0].bottom
        low = min(layer.bottom for layer in layers) - (self.wall.head if head else 0.0)
        near, high = min(layer.inner for layer in layers), max(layer.top for layer in layers)
        arcs = [] if head else [arc for arc in map(self._arc, over) if arc]
        place, middle, half = ("", 0.0, 0.0) if buttress or head else self._across(patch, layers)
        for i in range(2, 14, 3):
            x, y, z = patch[i] / LENGTH, patch[i + 1] / LENGTH, patch[i + 2] / LENGTH
            radius, bearing = hypot(x, y), atan2(x, y)
            if not near - NEAR <= radius <= out + NEAR or not low - NEAR <= z <= high + NEAR:
                raise RefusedError(f"patches[{k}]: outside the wall")
            for at, reach in arcs:
                if abs((bearing - at + pi) % (2 * pi) - pi) > reach + NEAR:
                    raise RefusedError(f"patches[{k}]: reaches beyond its blocks")
            if place and q >= 1.0 and abs(radius - middle) > half / q + NEAR:
                raise RefusedError(f"patches[{k}]: outside its {place}")
            for o in () if buttress else self.wall.openings:
                inside = o.sill + step + NEAR < z < o.spring - step
                if inside and radius * abs((bearing - o.bearing + pi) % (2 * pi) - pi) < 0.9 * o.width / 2:
                    raise RefusedError(f"patches[{k}]: stands in an opening")
        friction, strength = min(layer.friction for layer in layers), min(layer.strength for layer in layers)
        load = self.wall.load
        if load is not None and load.wets(float(sum(patch[2:14:3])), float(sum(patch[3:14:3]))):
            weak = [load.weak[block[0]] for block in over]
            friction, strength = min(friction, *(f for f, _ in weak)), min(strength, *(s for _, s in weak))
        strength /= q
        founded = patch[1] >= 0 and KINDS[self.blocks[patch[1]][1]] == "footing"
        if self.wall.ground is not None and (patch[1] < 0 or founded):
            friction = min(friction, self.wall.ground)
        at = self.wall.layers[0].bottom
        low = over[0][0] == 0 and all(abs(z / LENGTH - at) <= NEAR for z in patch[4:14:3])
        refuse((patch[1] < 0 or founded) and not low, f"patches[{k}]: rests on the ground above the lowest bed")
        if self.wall.bears is not None and patch[1] < 0:
            strength = min(strength, self.wall.bears * q * self.wall.width)
        refuse(patch[14] / FRICTION > friction / q * (1 + NEAR), f"patches[{k}]: more friction than the design")
        refuse(patch[15] / STRENGTH > strength * (1 + NEAR), f"patches[{k}]: more strength than the design")

    def _across(self, patch: list[int], layers: list[Layer]) -> tuple[str, float, float]:
        """What a face is, bed or joint, and how far it may reach across the wall: middle and half [m]."""
        if patch[4] == patch[7] == patch[10] == patch[13]:
            above = max(layers, key=lambda layer: layer.bottom)
            return "bed", (above.bed_inner + above.bed_outer) / 2, (above.bed_outer - above.bed_inner) / 2
        inner, outer = layers[0].inner, layers[0].outer
        return "joint", (inner + outer) / 2, (outer - inner) / 4 / self.wall.width

    def _ties(self) -> None:
        seen = set()
        for k, (tie, T) in enumerate(zip(self.ties, self.tensions, strict=True)):
            upper, lower, x, y, z, vx, vy, vz, most = tie
            refuse(not (0 <= upper < len(self.blocks) and 0 <= lower < len(self.blocks)), f"ties[{k}]: no such blocks")
            layer = self.wall.layers[self.blocks[upper][0]]
            key = (frozenset((upper, lower)), z)
            same = self.blocks[upper][0] == self.blocks[lower][0] and upper != lower and key not in seen
            same = same and "footing" not in (KINDS[self.blocks[upper][1]], KINDS[self.blocks[lower][1]])
            refuse(not same or vz != 0, f"ties[{k}]: expected one level tie between two blocks of a course")
            seen.add(key)
            a, b = self.blocks[upper], self.blocks[lower]
            refuse(vx * (a[2] - b[2]) + vy * (a[3] - b[3]) <= 0, f"ties[{k}]: pushes its blocks apart")
            pull = hypot(vx, vy) / FRICTION
            radius = abs(x * vy - y * vx) / LENGTH / FRICTION / pull if pull else 0.0
            wired = abs(z / LENGTH - layer.bottom) < NEAR
            lintel = max((o.tie for o in self.wall.openings), default=0.0)
            limit = (layer.wire if wired else lintel) / float(self.reserve)
            known = layer.inner - NEAR <= radius <= layer.outer + NEAR and 0 <= T <= most and pull <= 1 + 1e-9
            refuse(not known or most / FORCE > limit * (1 + NEAR), f"ties[{k}]: more than the design's")

    def handed_in(self) -> None:
        """What is handed in, on every block: its course has to be whole where it bears (earth lies against what there
        is of it), and each sector has the load of the angle they share."""
        refuse(bool(self.handed) != bool(self.wall.handed), "handed: not what the design hands in")
        if not self.wall.handed:
            return
        for one in self.wall.handed:
            if one.gaps:  # the weights of a course say that all of it is there
                continue
            there = [self._angle(block) for block in self.blocks if block[0] == one.course and self._arc(block)]
            whole = abs(sum(max(one.on(angle)[1], 0.0) for angle in there) - one.half) <= NEAR
            refuse(not whole, f"course {one.course}: something is handed into it, and it is not whole there")
        width = self.wall.layers[0].outer - self.wall.layers[0].inner
        for k, (row, block) in enumerate(zip(self.handed, self.blocks, strict=True)):
            of_it = self.wall.handed if self._arc(block) else ()
            want = handed_on(of_it, block[0], self._angle(block))
            got = [v / FORCE for v in row[:3]] + [v / FORCE / LENGTH for v in row[3:]]
            refuse(not same_load(got, want, block[5] / FORCE, width), f"handed[{k}]: not the design's load")

    def _shaken_footing(self, load: Load, weight: float) -> tuple[Vector, Vector]:
        """What an earthquake does to a piece of the footing, with its greatest weight; no other load comes on it."""
        under, still = self.wall.footing, (0.0, 0.0, 0.0)
        if load.kind != "earthquake" or under is None:
            return still, still
        heavy = weight * under.shaken / under.weight
        side = load.amount * heavy
        return (side * sin(load.bearing), side * cos(load.bearing), load.vertical * heavy), still

    def _angle(self, block: list[int]) -> Angle:
        """Where a block lies on plan, and its weight as it counts."""
        index, _, x, y, z, whole = block
        weight = whole / FORCE
        middle, half = self._arc(block) or (atan2(x, y), weight / self.wall.layers[index].weight / 2)
        return Angle(middle, half, (x / LENGTH, y / LENGTH, z / LENGTH), weight)

    def loads(self) -> None:
        """The live loads: none beside a reserve; from one side what the design says, on every block, times `factor`."""
        load, layers = self.wall.load, self.wall.layers
        if load is None or self.factor == 0:
            refuse(any(any(row) for row in self.live), "live: loads beside a reserve of the dead load")
            refuse(self.factor != 0, "factor: a multiple of no load")
            return
        refuse(self.reserve != 1, "reserve: other than 1 beside a load from one side")
        width, times = layers[0].outer - layers[0].inner, float(self.factor)
        for k, (row, block) in enumerate(zip(self.live, self.blocks, strict=True)):
            index, kind = block[0], block[1]
            layer, whole, bag = layers[index], self._angle(block), KINDS[kind] == "head"
            weight = whole.weight
            course = Course(
                index, layer.bottom, layer.top, layer.inner, layer.outer,
                layers[index + 1].outer if index + 1 < len(layers) else None,
            )  # fmt: skip
            sector = KINDS[kind] in ("wall", "lintel")
            angle = replace(whole, weight=weight * load.shaken(index, sector=sector))
            want = load_on(load, course, angle, sector=sector)
            if KINDS[kind] == "footing":
                want = self._shaken_footing(load, weight)
            elif KINDS[kind] == "buttress" and load.kind != "earthquake":
                want = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
            if want is not None:
                got = [v / FORCE / times for v in row[:3]] + [v / FORCE / LENGTH / times for v in row[3:]]
                loose = bag and load.kind != "earthquake"
                same = (
                    about_the_load(got[:3], want, load, course, angle) if loose else same_load(got, want, weight, width)
                )
                refuse(not same, f"live[{k}]: not the design's load")
