"""Check the forces of a block case in whole numbers, with none of the code that cut the blocks or found the forces.

Standard library only. Lengths are whole numbers of 2^-34 m, forces and weights of 2^-44 kN, friction of 2^-40, strength
of 2^-20 kPa. Exact: what every face carries (`block_faces`), and what is left of the six equations of every block, at
most RESIDUAL of its weight (times the wall's width for moments), by which what is proven is lowered.
What the design says of blocks, faces, ties and loads is held to it by `block_places`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import chain
from typing import Any

from shellcheck_earth.mechanics.proof.block_faces import Face, contact_fault, face_of, together
from shellcheck_earth.mechanics.proof.block_places import (
    FRICTION,
    KINDS,
    LENGTH,
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
PULL_BITS = 40
"""Of a tie's pull: whole numbers of 2^-40."""


@dataclass(frozen=True)
class Finding:
    """proven: the reserve (or multiple of the load) that the forces prove, lowered by what they leave; else `why`."""

    proven: Fraction | None
    why: str = ""


def _are_whole(numbers: Sequence[Any]) -> bool:
    return not numbers or (set(map(type, numbers)) == {int} and max(numbers) < LARGEST and min(numbers) > -LARGEST)


def _whole(value: Any, count: int, where: str) -> list[int]:
    if not isinstance(value, list) or len(value) != count:
        raise RefusedError(f"{where}: expected {count} whole numbers")
    if not _are_whole(value):
        raise RefusedError(f"{where}: expected whole numbers")
    return value


def _rows(data: Mapping[str, Any], name: str, count: int, rows: int | None = None) -> list[list[int]]:
    found = data[name]
    wrong = not isinstance(found, list) or len(found) > MOST or (rows is not None and len(found) != rows)
    refuse(wrong, f"{name}: expected a list" + ("" if rows is None else f" of {rows}"))
    alike = set(map(type, found)) <= {list} and set(map(len, found)) <= {count}
    if not alike or not _are_whole(list(chain.from_iterable(found))):  # all at once; one by one to say which is wrong
        for k, row in enumerate(found):
            _whole(row, count, f"{name}[{k}]")
    return list(found)


def _to_even(value: int) -> int:
    """The nearest whole number to so many 2^-40; the even one of two as near."""
    rest, half = value & (FRICTION - 1), FRICTION >> 1
    found = value >> PULL_BITS
    return found + (rest > half or (rest == half and found & 1))


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
            if not 0 <= course < len(wall.layers) or not 0 <= kind < len(KINDS) or weight <= 0:
                raise RefusedError(f"blocks[{k}]: expected a course of the wall, a kind and a weight")

    def in_place(self, seen: list[Any]) -> None:
        """Blocks, faces and ties against the design, unless the same ones were found in order in the same wall.

        The wall's load counts only where it makes one half weaker; tensions are within their ties each time.
        """
        load = self.wall.load if self.wall.load is not None and self.wall.load.weak else None
        asked = replace(self.wall, load=load), self.reserve, self.blocks, self.patches, self.ties
        for places, faces, angles in seen:
            if places == asked:
                self.faces = faces
                if angles:
                    self.angles = angles
                break
        else:
            faces, angles = self.faces, self.angles if self.wall.load is not None or self.wall.handed else []
            self.places()
            rows = ([list(row) for row in some] for some in asked[2:])  # whoever changes theirs later asks anew
            seen.append(((*asked[:2], *rows), faces, angles))
        self.within_ties()

    def within_ties(self) -> None:
        for k, (tie, T) in enumerate(zip(self.ties, self.tensions, strict=True)):
            if not 0 <= T <= tie[8]:
                raise RefusedError(f"ties[{k}]: more than the design's")

    @cached_property
    def faces(self) -> list[Face]:
        """Every face as far as it is known without the forces; refused where it is between no two blocks."""
        return [self._face_between(k, patch) for k, patch in enumerate(self.patches)]

    def _face_between(self, k: int, patch: list[int]) -> Face:
        upper, lower, mu, f = patch[0], patch[1], patch[14], patch[15]
        wrong = not 0 <= upper < len(self.blocks) or not -1 <= lower < len(self.blocks) or upper == lower or mu < 0
        if wrong or f <= 0:
            raise RefusedError(f"patches[{k}]: expected two blocks (or -1, the ground), friction and strength")
        face = face_of(patch, self.blocks[upper][2:5])
        if face is None:
            raise RefusedError(f"patches[{k}]: has no side")
        return face

    def balance(self) -> Fraction:
        """What is left on the blocks, as the largest share of a block's weight; every contact is checked on the way."""
        left = self._pressed()
        self._drawn(left)
        width = round((self.wall.layers[0].outer - self.wall.layers[0].inner) * LENGTH)
        refuse(width <= 0, "the wall has no width")
        worst, of = 0, 1
        rows = zip(self.blocks, zip(*left, strict=True), self.live, self.handed or self.live, strict=False)
        for k, ((_, _, x, y, z, weight), (a, b, c, p, q, r), live, more) in enumerate(rows):
            # forces and moments of faces and ties are about the origin, all others about the block's centre
            F = a + live[0], b + live[1], c + live[2] - weight
            M = p - y * c + z * b + live[3], q - z * a + x * c + live[4], r - x * b + y * a + live[5]
            if self.handed:
                F = F[0] + more[0], F[1] + more[1], F[2] + more[2]
                M = M[0] + more[3], M[1] + more[4], M[2] + more[5]
            size, whole = max(max(map(abs, F)) * width, max(map(abs, M))), weight * width
            if size * RESIDUAL.denominator > whole * RESIDUAL.numerator:
                raise RefusedError(f"blocks[{k}]: {size / whole:.1e} of its weight is not balanced")
            if size * of > worst * whole:
                worst, of = size, whole
        return Fraction(worst, of)

    def _pressed(self) -> list[list[int]]:
        """Force and moment about the origin of the faces on every block, in six columns; a last row is the ground's."""
        X, Y, Z, P, Q, R = columns = [[0] * (len(self.blocks) + 1) for _ in range(6)]
        for k, (face, force) in enumerate(zip(self.faces, self.forces, strict=True)):
            whole, moment = together(face.points, force)
            fault = contact_fault(face, force, whole, moment)
            if fault:
                raise RefusedError(f"patches[{k}]: {fault}")
            (a, b, c), (p, q, r) = whole, moment
            upper, lower = face.upper, face.lower
            X[upper] += a
            Y[upper] += b
            Z[upper] += c
            P[upper] += p
            Q[upper] += q
            R[upper] += r
            X[lower] -= a
            Y[lower] -= b
            Z[lower] -= c
            P[lower] -= p
            Q[lower] -= q
            R[lower] -= r
        return columns

    def _drawn(self, columns: list[list[int]]) -> None:
        """The same of the ties, which draw the upper block back and the lower one on, added to it."""
        X, Y, Z, P, Q, R = columns
        blocks = range(len(self.blocks))
        for k, ((upper, lower, x, y, z, u, v, w, _), T) in enumerate(zip(self.ties, self.tensions, strict=True)):
            if upper not in blocks or lower not in blocks:
                raise RefusedError(f"ties[{k}]: no such blocks")
            a, b, c = _to_even(u * T), _to_even(v * T), _to_even(w * T)
            p, q, r = y * c - z * b, z * a - x * c, x * b - y * a
            for block, sign in ((upper, -1), (lower, 1)):
                X[block] += sign * a
                Y[block] += sign * b
                Z[block] += sign * c
                P[block] += sign * p
                Q[block] += sign * q
                R[block] += sign * r


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
