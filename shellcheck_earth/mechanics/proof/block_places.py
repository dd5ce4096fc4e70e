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
from math import atan2, hypot, pi

from shellcheck_earth.mechanics.proof.block_data import (
    FORCE,
    FRICTION,
    KINDS,
    LENGTH,
    NEAR,
    STRENGTH,
    Clear,
    Layer,
    RefusedError,
    Under,
    Wall,
    corners,
    lies_level,
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
        founded(self.wall, self.blocks, self.patches)
        # of a bed that is wet in part there are two: within the radius from which it is wet, and beyond it
        pairs = [(frozenset((patch[0], patch[1])), self._wet(patch)) for patch in self.patches]
        refuse(len(set(pairs)) < len(pairs), "two faces between the same blocks")
        for k, patch in enumerate(self.patches):
            self._face(k, patch)
        self._ties()

    def _arc(self, block: list[int]) -> tuple[float, float] | None:
        return arc_of(self.wall, block)

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

    @cached_property
    def _rained_on(self) -> bool:
        """Whether rain has wetted any course."""
        return any(layer.wetted for layer in self.wall.layers)

    def _wet(self, patch: list[int]) -> bool:
        """Whether a face is the wetted part of a bed, or lies on a buttress that is wet."""
        if not self._rained_on:
            return False
        over = [self.blocks[block] for block in (patch[0], patch[1]) if block >= 0]
        layers = [self.wall.layers[block[0]] for block in over]
        if any(KINDS[block[1]] == "buttress" for block in over):
            return any(layer.wetted for layer in layers)
        return lies_level(patch) and max(corners(patch)) > min(layer.wet_from for layer in layers) + NEAR

    def _face(self, k: int, patch: list[int]) -> None:
        if KINDS[self.blocks[patch[0]][1]] == "footing":
            under_footing(k, patch, self.blocks, self.wall, float(self.reserve))
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
        if any(layer.wetted for layer in layers) and not buttress:
            self._within_band(k, patch, layers)
        if self._wet(patch):
            friction = min(friction, *(layer.friction_wet for layer in layers))
            strength = min(strength, *(layer.strength_wet for layer in layers))
        load = self.wall.load
        if load is not None and load.wets(float(sum(patch[2:14:3])), float(sum(patch[3:14:3]))):
            weak = [load.weak[block[0]] for block in over]
            friction, strength = min(friction, *(f for f, _ in weak)), min(strength, *(s for _, s in weak))
        strength /= q
        on_it = patch[1] >= 0 and KINDS[self.blocks[patch[1]][1]] == "footing"
        if self.wall.ground is not None and (patch[1] < 0 or on_it):
            friction = min(friction, self.wall.ground)
        at = self.wall.layers[0].bottom
        low = over[0][0] == 0 and all(abs(z / LENGTH - at) <= NEAR for z in patch[4:14:3])
        refuse((patch[1] < 0 or on_it) and not low, f"patches[{k}]: rests on the ground above the lowest bed")
        if self.wall.bears is not None and patch[1] < 0:
            strength = min(strength, self.wall.bears * q * self.wall.width)
        refuse(patch[14] / FRICTION > friction / q * (1 + NEAR), f"patches[{k}]: more friction than the design")
        refuse(patch[15] / STRENGTH > strength * (1 + NEAR), f"patches[{k}]: more strength than the design")

    def _within_band(self, k: int, patch: list[int], layers: list[Layer]) -> None:
        """A face in a wall that rain has wetted: a bed lies all in what is dry of it or all in what is wet, another
        face in what is dry of the section."""
        radii = corners(patch)
        if lies_level(patch):
            across = self._wet(patch) and min(radii) < min(layer.wet_from for layer in layers) - NEAR
        else:
            across = max(radii) > min(layer.dry_to for layer in layers) + NEAR
        refuse(across, f"patches[{k}]: lies across what rain has wetted")

    def _across(self, patch: list[int], layers: list[Layer]) -> tuple[str, float, float]:
        """What a face is, bed or joint, and how far it may reach across the wall: middle and half [m]."""
        if lies_level(patch):
            above = max(layers, key=lambda layer: layer.bottom)
            return "bed", (above.bed_inner + above.bed_outer) / 2, (above.bed_outer - above.bed_inner) / 2
        inner, outer = layers[0].inner, min(layers[0].outer, layers[0].dry_to)
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
                want = shaken_footing(self.wall, load, weight)
            elif KINDS[kind] == "buttress" and load.kind != "earthquake":
                want = ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
            if want is not None:
                got = [v / FORCE / times for v in row[:3]] + [v / FORCE / LENGTH / times for v in row[3:]]
                loose = bag and load.kind != "earthquake"
                same = (
                    about_the_load(got[:3], want, load, course, angle) if loose else same_load(got, want, weight, width)
                )
                refuse(not same, f"live[{k}]: not the design's load")
