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
from functools import cached_property
from math import atan2, hypot, inf, pi

from shellcheck_earth.mechanics.proof.block_data import (
    FORCE,
    FRICTION,
    KINDS,
    LENGTH,
    NEAR,
    STRENGTH,
    TURN,
    Both,
    Clear,
    Layer,
    RefusedError,
    Under,
    Wall,
    between,
    lies_level,
    nearest_to_the_axis,
    refuse,
)
from shellcheck_earth.mechanics.proof.block_footing import arc_of, founded, shaken_footing, under_footing
from shellcheck_earth.mechanics.proof.block_loads import (
    Angle,
    Course,
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

BAGS = 1.1
"""What bags may weigh as a multiple of as much of their course: both faces are plastered at mid-width."""


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
        around: list[list[tuple[float, float]]] = [[] for _ in weights]
        for k, ((course, kind, x, y, z, weight), arc) in enumerate(zip(self.blocks, self.arcs, strict=True)):
            if KINDS[kind] == "footing":
                continue
            layer, r, level = self.wall.layers[course], hypot(x, y) / LENGTH, z / LENGTH
            out = layer.outer + (self.wall.reach if KINDS[kind] == "buttress" else 0.0)
            low = layer.bottom - (self.wall.head if KINDS[kind] == "head" else NEAR)
            if not (layer.inner * 0.5 < r < out and low < level < layer.top + NEAR):
                raise RefusedError(f"blocks[{k}]: its centre is outside its course")
            weights[course] += 0.0 if KINDS[kind] == "buttress" else weight / FORCE
            around[course] += [arc] if arc else []
        for course, total in enumerate(weights):
            least, most = self._ring(course)
            known = least * (1 - NEAR) <= total <= most * (1 + NEAR)
            refuse(not known, f"course {course}: {total:.6g} kN where the design has {least:.6g} to {most:.6g}")
            self._side_by_side(course, around[course])
        founded(self.wall, self.blocks, self.patches)
        # of a bed that is wet in part there are two: within the radius from which it is wet, and beyond it
        pairs = set()
        for k, patch in enumerate(self.patches):
            wet = self._face(k, patch)
            pairs.add((min(patch[0], patch[1]), max(patch[0], patch[1]), wet))
        refuse(len(pairs) < len(self.patches), "two faces between the same blocks")
        self._ties()

    @cached_property
    def arcs(self) -> list[tuple[float, float] | None]:
        """Of every block its bearing and half its angle, where it is a sector of its ring [rad]."""
        return [arc_of(self.wall, block) for block in self.blocks]

    def _side_by_side(self, course: int, arcs: list[tuple[float, float]]) -> None:
        arcs = sorted(arcs)
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

    @cached_property
    def _rained_on(self) -> bool:
        """Whether rain has wetted any course."""
        return any(layer.wetted for layer in self.wall.layers)

    def _face(self, k: int, patch: list[int]) -> bool:
        """One face against the design; whether it is a wet one."""
        both, q = self._both(patch), self._divided
        wet = self._rained_on and both.is_wet(patch)
        if KINDS[self.blocks[patch[0]][1]] == "footing":
            under_footing(k, patch, self.blocks, self.wall, q)
            return wet
        self._within(k, patch, both)
        friction, strength = both.friction, both.strength
        if both.wetted and not both.buttress and both.lies_across(patch, wet):
            raise RefusedError(f"patches[{k}]: lies across what rain has wetted")
        if wet:
            friction, strength = min(friction, both.friction_wet), min(strength, both.strength_wet)
        load = self.wall.load
        if load is not None and load.weak and load.wets(float(sum(patch[2:14:3])), float(sum(patch[3:14:3]))):
            weak = [load.weak[course] for course in both.courses]
            friction, strength = min(friction, *(f for f, _ in weak)), min(strength, *(s for _, s in weak))
        strength /= q
        if patch[1] < 0 or both.on_footing:
            if self.wall.ground is not None:
                friction = min(friction, self.wall.ground)
            at = self.wall.layers[0].bottom
            low = both.courses[0] == 0 and all(abs(z / LENGTH - at) <= NEAR for z in patch[4:14:3])
            refuse(not low, f"patches[{k}]: rests on the ground above the lowest bed")
            if self.wall.bears is not None and patch[1] < 0:
                strength = min(strength, self.wall.bears * q * self.wall.width)
        if patch[14] / FRICTION > friction / q * (1 + NEAR):
            raise RefusedError(f"patches[{k}]: more friction than the design")
        if patch[15] / STRENGTH > strength * (1 + NEAR):
            raise RefusedError(f"patches[{k}]: more strength than the design")
        return wet

    def _within(self, k: int, patch: list[int], both: Both) -> None:
        """A face in the wall, between its blocks, in its bed or joint, and in no opening."""
        arcs = [] if both.head else [arc for end in patch[:2] if end >= 0 and (arc := self.arcs[end])]
        place, middle, half = both.bed if lies_level(patch) else both.joint
        thinned = half / self._divided + NEAR if place and self._divided >= 1.0 else inf
        near, out, low, high, clear = both.near, both.out, both.low, both.high, both.clear
        for i in (2, 5, 8, 11):
            x, y, z = patch[i] / LENGTH, patch[i + 1] / LENGTH, patch[i + 2] / LENGTH
            radius, bearing = hypot(x, y), atan2(x, y)
            if not (near <= radius <= out and low <= z <= high):
                raise RefusedError(f"patches[{k}]: outside the wall")
            for at, reach in arcs:
                if abs((bearing - at + pi) % TURN - pi) > reach + NEAR:
                    raise RefusedError(f"patches[{k}]: reaches beyond its blocks")
            if abs(radius - middle) > thinned:
                raise RefusedError(f"patches[{k}]: outside its {place}")
            for sill, spring, at, reach in clear:
                if sill < z < spring and radius * abs((bearing - at + pi) % TURN - pi) < reach:
                    raise RefusedError(f"patches[{k}]: stands in an opening")

    @cached_property
    def _divided(self) -> float:
        """What widths and strengths are divided by."""
        return float(self.reserve)

    @cached_property
    def _known(self) -> dict[tuple[int, ...], Both]:
        return {}

    def _both(self, patch: list[int]) -> Both:
        """What the design says of any face between such blocks as these."""
        upper = self.blocks[patch[0]]
        ends: tuple[int, ...] = (upper[0], upper[1])
        if patch[1] >= 0:
            lower = self.blocks[patch[1]]
            ends = (*ends, lower[0], lower[1])
        if ends not in self._known:
            self._known[ends] = Both.of(self.wall, ends)
        return self._known[ends]

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
            wired, load, wire = abs(z / LENGTH - layer.bottom) < NEAR, self.wall.load, layer.wire
            across = nearest_to_the_axis(x, y, vx, vy)
            refuse(not between(across, a, b), f"ties[{k}]: crosses no joint of its blocks")
            if load is not None and load.wets(*across):
                wire = min(wire, load.wire[self.blocks[upper][0]])
            lintel = max((o.tie for o in self.wall.openings), default=0.0)
            limit = (wire if wired else lintel) / float(self.reserve)
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
            sectors = zip(self.blocks, self.arcs, self.angles, strict=True)
            there = [angle for block, arc, angle in sectors if block[0] == one.course and arc]
            whole = abs(sum(max(one.on(angle)[1], 0.0) for angle in there) - one.half) <= NEAR
            refuse(not whole, f"course {one.course}: something is handed into it, and it is not whole there")
        width = self.wall.layers[0].outer - self.wall.layers[0].inner
        rows = zip(self.handed, self.blocks, self.arcs, self.angles, strict=True)
        for k, (row, block, arc, angle) in enumerate(rows):
            want = handed_on(self.wall.handed if arc else (), block[0], angle)
            got = [v / FORCE for v in row[:3]] + [v / FORCE / LENGTH for v in row[3:]]
            refuse(not same_load(got, want, block[5] / FORCE, width), f"handed[{k}]: not the design's load")

    @cached_property
    def angles(self) -> list[Angle]:
        """Where every block lies on plan, and its weight as it counts."""
        out = []
        for (index, _, x, y, z, whole), arc in zip(self.blocks, self.arcs, strict=True):
            weight = whole / FORCE
            middle, half = arc or (atan2(x, y), weight / self.wall.layers[index].weight / 2)
            out.append(Angle(middle, half, (x / LENGTH, y / LENGTH, z / LENGTH), weight))
        return out

    def loads(self) -> None:
        """The live loads: none beside a reserve; from one side what the design says, on every block, times `factor`."""
        load, layers = self.wall.load, self.wall.layers
        if load is None or self.factor == 0:
            refuse(any(any(row) for row in self.live), "live: loads beside a reserve of the dead load")
            refuse(self.factor != 0, "factor: a multiple of no load")
            return
        refuse(self.reserve != 1, "reserve: other than 1 beside a load from one side")
        width, times = layers[0].outer - layers[0].inner, float(self.factor)
        above = [layer.outer for layer in layers[1:]]
        courses = [
            Course(index, layer.bottom, layer.top, layer.inner, layer.outer, over)
            for index, (layer, over) in enumerate(zip(layers, [*above, None], strict=True))
        ]
        for k, (row, block, whole) in enumerate(zip(self.live, self.blocks, self.angles, strict=True)):
            index, kind = block[0], KINDS[block[1]]
            course, weight, bag = courses[index], whole.weight, kind == "head"
            sector = kind in ("wall", "lintel")
            shaken = load.shaken(index, sector=sector)
            angle = whole if shaken == 1.0 else replace(whole, weight=weight * shaken)
            want = load_on(load, course, angle, sector=sector)
            if kind == "footing":
                want = shaken_footing(self.wall, load, weight)
            elif kind == "buttress" and load.kind != "earthquake":
                want = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
            if want is not None:
                got = [v / FORCE / times for v in row[:3]] + [v / FORCE / LENGTH / times for v in row[3:]]
                loose = bag and load.kind != "earthquake"
                same = (
                    about_the_load(got[:3], want, load, course, angle) if loose else same_load(got, want, weight, width)
                )
                if not same:
                    raise RefusedError(f"live[{k}]: not the design's load")
