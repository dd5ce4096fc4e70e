"""Check the forces of a block case in whole numbers, with none of the code that cut the blocks or found the forces.

Standard library only. Lengths are whole numbers of 2^-34 m, forces and weights of 2^-44 kN, friction of 2^-40, strength
of 2^-20 kPa. Exact: every point presses, |F|^2 |N|^2 <= (1 + mu^2) (F.N)^2 with N the face's own normal; every strip's
stress block, N^2 <= 2 f l d n; the turning of every face, |M| <= mu lever N; what is left of the six equations of every
block, at most RESIDUAL of its weight (times the wall's width for moments), by which what is proven is lowered.
What the design says of blocks, faces, ties and loads is held to it by `block_places`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from math import asinh, floor, hypot, sqrt
from typing import Any

from shellcheck_earth.mechanics.proof.block_places import (
    FORCE,
    FRICTION,
    KINDS,
    LENGTH,
    STRENGTH,
    Layer,
    Places,
    RefusedError,
    Wall,
    refuse,
)

__all__ = ["FORMAT", "RESIDUAL", "Finding", "check_block_proof", "check_forces"]

FORMAT = "block state 1"
KEYS = {"kind", "case", "reserve", "factor", "blocks", "live", "patches", "ties", "forces", "tensions"}
HANDED = "handed"
"""There beside the others where something is handed in: force and moment about its centre on every block."""
RESIDUAL = Fraction(1, 10**6)
MOST, LARGEST = 100_000, 1 << 90
LEVER, SHORT = 1 << 20, 1e-12
Vector = tuple[int, int, int]


@dataclass(frozen=True)
class Finding:
    """proven: the reserve (or multiple of the load) that the forces prove, lowered by what they leave; else `why`."""

    proven: Fraction | None
    why: str = ""


def _whole(value: Any, count: int, where: str) -> list[int]:
    if not isinstance(value, list) or len(value) != count:
        raise RefusedError(f"{where}: expected {count} whole numbers")
    wrong = bool(value) and (set(map(type, value)) != {int} or max(value) >= LARGEST or min(value) <= -LARGEST)
    if wrong:
        raise RefusedError(f"{where}: expected whole numbers")
    return list(value)


def _rows(data: Mapping[str, Any], name: str, count: int, rows: int | None = None) -> list[list[int]]:
    found = data[name]
    wrong = not isinstance(found, list) or len(found) > MOST or (rows is not None and len(found) != rows)
    refuse(wrong, f"{name}: expected a list" + ("" if rows is None else f" of {rows}"))
    return [_whole(row, count, f"{name}[{k}]") for k, row in enumerate(found)]


def _less(a: Sequence[int], b: Sequence[int]) -> Vector:
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def _dot(a: Sequence[int], b: Sequence[int]) -> int:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Sequence[int], b: Sequence[int]) -> Vector:
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _together(points: Sequence[int], forces: Sequence[int]) -> tuple[Vector, Vector]:
    """The sum of four forces and of their moments about the origin; points and forces as twelve numbers each."""
    x0, y0, z0, x1, y1, z1, x2, y2, z2, x3, y3, z3 = points
    a0, b0, c0, a1, b1, c1, a2, b2, c2, a3, b3, c3 = forces
    return (a0 + a1 + a2 + a3, b0 + b1 + b2 + b3, c0 + c1 + c2 + c3), (
        y0 * c0 - z0 * b0 + y1 * c1 - z1 * b1 + y2 * c2 - z2 * b2 + y3 * c3 - z3 * b3,
        z0 * a0 - x0 * c0 + z1 * a1 - x1 * c1 + z2 * a2 - x2 * c2 + z3 * a3 - x3 * c3,
        x0 * b0 - y0 * a0 + x1 * b1 - y1 * a1 + x2 * b2 - y2 * a2 + x3 * b3 - y3 * a3,
    )


def _lever(length2: int, width2: Fraction) -> int:
    """Mean distance of the points of a rectangle from its centre, in 2^-54 m and rather less than more; sides squared.

    (2 d + a^2/b arsinh(b/a) + b^2/a arsinh(a/b))/12 (derived by integration): sums of positive terms in doubles, each
    good to some 1e-15, so that a part in 1e12 off leaves less than the true value.
    """
    a, b = sqrt(length2), sqrt(width2)
    mean = (2 * hypot(a, b) + a * a / b * asinh(b / a) + b * b / a * asinh(a / b)) / 12
    return floor(mean * (1 - SHORT) * LEVER)


@lru_cache(maxsize=50_000)
def _face_of(at: tuple[int, ...], centre: Vector) -> tuple[Vector, int, int, int, list[int], int, list[int]] | None:
    """Of a face by its four points, and of the block it bears: normal towards the block, its square, that of the way
    along, length squared, what both strips reach (times the way along, squared), lever, four times its middle. None for
    a face that the block lies in."""
    points = [at[i : i + 3] for i in (0, 3, 6, 9)]
    p0, p1, p2, p3 = points
    along = [a + b for a, b in zip(_less(p2, p0), _less(p3, p1), strict=True)]
    over = [a + b for a, b in zip(_less(p1, p0), _less(p3, p2), strict=True)]
    N, middle = _cross(along, over), [sum(axis) for axis in zip(*points, strict=True)]
    side = _dot(_less([4 * c for c in centre], middle), N)
    if side == 0:
        return None
    N = N if side > 0 else (-N[0], -N[1], -N[2])
    N = (0, 0, 1 if N[2] > 0 else -1) if N[0] == N[1] == 0 else N
    aa, length2 = _dot(along, along), min(_dot(v, v) for v in (_less(p2, p0), _less(p3, p1)))
    reach = [_dot(c, c) for c in (_cross(along, _less(p1, p0)), _cross(along, _less(p3, p2)))]
    return N, _dot(N, N), aa, length2, reach, _lever(4 * length2, Fraction(max(reach), aa)), middle


class _State(Places):
    """One proof, read; its forces against its own blocks and faces."""

    def __init__(self, data: Mapping[str, Any], wall: Wall) -> None:
        known = isinstance(data, dict) and set(data) - {HANDED} == KEYS and data["kind"] == FORMAT
        refuse(not known, "no proof of a block state")
        self.wall, self.blocks = wall, _rows(data, "blocks", 6)
        self.live = _rows(data, "live", 6, len(self.blocks))
        self.handed = _rows(data, HANDED, 6, len(self.blocks)) if HANDED in data else []
        self.patches, self.ties = _rows(data, "patches", 16), _rows(data, "ties", 9)
        self.forces = _rows(data, "forces", 12, len(self.patches))
        self.tensions = _whole(data["tensions"], len(self.ties), "tensions")
        shares = _whole([data["reserve"], data["factor"]], 2, "reserve and factor")
        self.reserve, self.factor = (Fraction(share, FRICTION) for share in shares)
        refuse(not 0 < self.reserve <= 100 or not 0 <= self.factor <= 1000, "reserve and factor: out of range")
        for k, (course, kind, *_, weight) in enumerate(self.blocks):
            fault = not 0 <= course < len(wall.layers) or not 0 <= kind < len(KINDS) or weight <= 0
            refuse(fault, f"blocks[{k}]: expected a course of the wall, a kind and a weight")

    def in_place(self, seen: list[Any]) -> None:
        """Blocks, faces and ties against the design, unless the same ones were found in order in the same wall.

        The wall's load counts only where it makes one half weaker; tensions are within their ties each time.
        """
        load = self.wall.load if self.wall.load is not None and self.wall.load.weak else None
        asked = replace(self.wall, load=load), self.reserve, self.blocks, self.patches, self.ties
        if asked not in seen:
            self.places()
            seen.append(asked)
        self.within_ties()

    def within_ties(self) -> None:
        for k, (tie, T) in enumerate(zip(self.ties, self.tensions, strict=True)):
            refuse(not 0 <= T <= tie[8], f"ties[{k}]: more than the design's")

    def balance(self) -> Fraction:
        """What is left on the blocks, as the largest share of a block's weight; every contact is checked on the way."""
        left = [list(load) for load in self.live]
        for row, more in zip(left, self.handed, strict=False):
            row[:] = [a + b for a, b in zip(row, more, strict=True)]
        for row, block in zip(left, self.blocks, strict=True):
            row[2] -= block[5]
        for k, (patch, force) in enumerate(zip(self.patches, self.forces, strict=True)):
            whole, moment = _together(patch[2:14], force)
            self._contact(k, patch, force, whole, moment)
            self._add(left, patch[0], whole, moment, 1)
            self._add(left, patch[1], whole, moment, -1)
        for tie, T in zip(self.ties, self.tensions, strict=True):
            drawn = [round(Fraction(pull * T, FRICTION)) for pull in tie[5:8]]
            moment = _cross(tie[2:5], drawn)
            self._add(left, tie[0], drawn, moment, -1)
            self._add(left, tie[1], drawn, moment, 1)
        width = round((self.wall.layers[0].outer - self.wall.layers[0].inner) * LENGTH)
        worst = Fraction(0)
        for k, (row, block) in enumerate(zip(left, self.blocks, strict=True)):
            size = max(max(map(abs, row[:3])) * width, max(map(abs, row[3:])))
            share = Fraction(size, block[5] * width)
            refuse(share > RESIDUAL, f"blocks[{k}]: {float(share):.1e} of its weight is not balanced")
            worst = max(worst, share)
        return worst

    def _add(self, left: list[list[int]], block: int, F: Sequence[int], moment: Sequence[int], sign: int) -> None:
        """A force, and its moment about the origin, on a block: as force and moment about its centre."""
        if block < 0:
            return
        row, (_, _, x, y, z, _), (a, b, c), (p, q, r) = left[block], self.blocks[block], F, moment
        row[0] += sign * a
        row[1] += sign * b
        row[2] += sign * c
        row[3] += sign * (p - y * c + z * b)
        row[4] += sign * (q - z * a + x * c)
        row[5] += sign * (r - x * b + y * a)

    def _contact(self, k: int, patch: list[int], force: list[int], whole: Sequence[int], moment: Sequence[int]) -> None:
        upper, lower, mu, f = patch[0], patch[1], patch[14], patch[15]
        wrong = not 0 <= upper < len(self.blocks) or not -1 <= lower < len(self.blocks) or upper == lower or mu < 0
        if wrong or f <= 0:
            raise RefusedError(f"patches[{k}]: expected two blocks (or -1, the ground), friction and strength")
        face = _face_of(tuple(patch[2:14]), tuple(self.blocks[upper][2:5]))
        if face is None:
            raise RefusedError(f"patches[{k}]: has no side")
        N, NN, aa, length2, reach, lever, middle = face
        p, q, r = N
        press, cone, slack = [], NN * FRICTION**2, FRICTION**2 + mu * mu
        for i in (0, 3, 6, 9):
            a, b, c = force[i : i + 3]
            n = a * p + b * q + c * r
            if n < 0 or (a * a + b * b + c * c) * cone > slack * (n * n):
                raise RefusedError(f"patches[{k}]: a force pulls, or is beyond friction")
            press.append(n)
        for s in (0, 2):
            S, least = press[s] + press[s + 1], min(press[s], press[s + 1])  # the nearer edge has the less room
            limit, room = S**4 * aa * LENGTH**4 * STRENGTH**2, 4 * f * f * length2 * reach[s // 2] * NN * FORCE**2
            if limit > room * (least * least):
                raise RefusedError(f"patches[{k}]: a strip is crushed")
        aside = _cross(middle, whole)
        turn = abs(_dot([4 * about - off for about, off in zip(moment, aside, strict=True)], N))
        if turn * FRICTION * LEVER > 4 * mu * lever * sum(press):
            raise RefusedError(f"patches[{k}]: turns beyond friction")


def check_block_proof(data: Mapping[str, Any], wall: Wall, seen: list[Any] | None = None) -> Finding:
    """What one state of forces proves about a block case of the design that `wall` was made from.

    `seen`: places that were found in order before, added to: the directions of a load have the very same ones.
    """
    try:
        state = _State(data, wall)
        state.in_place([] if seen is None else seen)
        state.loads()
        state.handed_in()
        left = state.balance()
    except RefusedError as refused:
        return Finding(None, str(refused))
    except (TypeError, ValueError, KeyError, ArithmeticError):
        return Finding(None, "the proof is damaged")
    return Finding((state.factor if state.factor else state.reserve) * (1 - left))


def check_forces(data: Mapping[str, Any], width: float) -> Finding:
    """The same of blocks, faces, ties and live load as they stand in the proof, of no design: whether the forces hold
    them. width [m]: of the wall, by which moments that are left are measured."""
    layer = Layer(0.0, 1.0, 0.0, width, 0.0, width, 0.0, 0.0, 0.0, 0.0)
    try:
        courses = 1 + max((row[0] for row in data["blocks"]), default=0)
        state = _State(data, Wall((layer,) * min(courses, MOST), (), 0.0))
        state.within_ties()
        left = state.balance()
    except RefusedError as refused:
        return Finding(None, str(refused))
    except (TypeError, ValueError, KeyError, IndexError, ArithmeticError):
        return Finding(None, "the proof is damaged")
    return Finding((state.factor if state.factor else state.reserve) * (1 - left))
