"""The footing in a proof: its pieces under the blocks of the lowest course, what they press on, how they are shaken.

Part of the checker: standard library only. STATEMENT.md, section 12, equation (25).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin

from shellcheck_earth.mechanics.proof.block_data import (
    FORCE,
    FRICTION,
    KINDS,
    LENGTH,
    NEAR,
    STRENGTH,
    RefusedError,
    Wall,
    refuse,
)
from shellcheck_earth.mechanics.proof.block_loads import Load, Vector

__all__ = ["arc_of", "founded", "shaken_footing", "under_footing"]

THIN = 0.01
"""Metres that a footing is thick as blocks."""
NOT_CRUSHED = 1e4
"""Kilopascals that a footing may press on the ground with where that is not asked."""
Rows = Sequence[list[int]]


def arc_of(wall: Wall, block: list[int]) -> tuple[float, float] | None:
    """Bearing and half the angle of a block that is a sector of its ring [rad]; None for all others."""
    if KINDS[block[1]] not in ("wall", "lintel"):
        return None
    return atan2(block[2], block[3]), block[5] / FORCE / wall.layers[block[0]].weight / 2


def founded(wall: Wall, blocks: Rows, patches: Rows) -> None:
    """On a footing: a piece of it under every block of the lowest course, as wide as that, and each on its own."""
    pieces = [k for k, block in enumerate(blocks) if KINDS[block[1]] == "footing"]
    under = wall.footing
    refuse(under is None and bool(pieces), "blocks: a footing where there is none, or the ground is not asked")
    if under is None:
        return
    carried: dict[int, int] = {}
    for k, (upper, lower, *_) in enumerate(patches):
        above = blocks[upper]
        beside = lower >= 0 and KINDS[above[1]] == "footing"
        bare = lower < 0 and KINDS[above[1]] not in ("footing", "buttress")
        refuse(beside or bare, f"patches[{k}]: a footing joined to another block, or a wall beside its footing")
        if lower >= 0 and KINDS[blocks[lower][1]] == "footing":
            wrong = above[0] != 0 or arc_of(wall, above) is None or lower in carried or upper in carried.values()
            refuse(wrong, f"patches[{k}]: expected one block of the lowest course on each piece of the footing")
            carried[lower] = upper
    for k in pieces:
        course, _, x, y, z, weight = blocks[k]
        half, r = weight / FORCE / under.weight / 2, hypot(x, y) / LENGTH
        refuse(course != 0 or k not in carried, f"blocks[{k}]: a piece of the footing that carries nothing")
        middle, own = arc_of(wall, blocks[carried[k]]) or (0.0, 0.0)
        off = abs((atan2(x, y) - middle + pi) % (2 * pi) - pi)
        centre = (under.middle + under.width**2 / (12 * under.middle)) * sin(half) / half
        low = wall.layers[0].bottom - THIN / 2
        fits = off <= NEAR and abs(half - own) <= NEAR and abs(r - centre) <= NEAR and abs(z / LENGTH - low) <= NEAR
        refuse(not fits, f"blocks[{k}]: not the footing under its block")


def under_footing(k: int, patch: list[int], blocks: Rows, wall: Wall, q: float) -> None:
    """The face between a piece of the footing and the ground: its level, how far it reaches, what it may press."""
    under, piece = wall.footing, blocks[patch[0]]
    if under is None:
        raise RefusedError(f"patches[{k}]: on a footing where there is none")
    bearing, reach = atan2(piece[2], piece[3]), piece[5] / FORCE / under.weight / 2
    level, wide = wall.layers[0].bottom - THIN, under.reach / 2 / wall.width / max(q, 1.0)
    for i in range(2, 14, 3):
        x, y, z = patch[i] / LENGTH, patch[i + 1] / LENGTH, patch[i + 2] / LENGTH
        aside = abs((atan2(x, y) - bearing + pi) % (2 * pi) - pi) > reach + NEAR
        off = abs(hypot(x, y) - under.middle) > wide + NEAR or abs(z - level) > NEAR
        refuse(aside or off, f"patches[{k}]: outside the underside of its footing")
    slips = wall.ground
    bears = NOT_CRUSHED if wall.bears is None else (wall.bears - under.more) * q * wall.width
    refuse(slips is None, f"patches[{k}]: on a footing where the ground is not asked")
    refuse(patch[14] / FRICTION > (slips or 0.0) / q * (1 + NEAR), f"patches[{k}]: more friction than the design")
    refuse(patch[15] / STRENGTH > bears * (1 + NEAR), f"patches[{k}]: more strength than the design")


def shaken_footing(wall: Wall, load: Load, weight: float) -> tuple[Vector, Vector]:
    """What an earthquake does to a piece of the footing, with its greatest weight; no other load comes on it."""
    under, still = wall.footing, (0.0, 0.0, 0.0)
    if load.kind != "earthquake" or under is None:
        return still, still
    heavy = weight * under.shaken / under.weight
    side = load.amount * heavy
    return (side * sin(load.bearing), side * cos(load.bearing), load.vertical * heavy), still
