"""What moves first and what presses where, as data, from the blocks' motions and forces."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.basics.sums import added
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Block, Layout
from shellcheck_earth.geometry.openings import levels
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.faces import block_patches
from shellcheck_earth.safety.blocks.result import Mechanism, Press

__all__ = ["MOVES", "mechanism_of", "opening_forces"]

MOVES = 0.4
"""A block counts as moving when it moves by this share of the largest motion."""


def _bearing(block: Block) -> float:
    return (block.start + block.end) / 2 % (2 * math.pi)


def _span(bearings: list[float]) -> tuple[float, float]:
    """Smallest arc that holds all bearings: (from, to) with to >= from."""
    ordered = sorted(bearings)
    gaps = [(ordered[(k + 1) % len(ordered)] - b) % (2 * math.pi) for k, b in enumerate(ordered)]
    if len(ordered) == 1:
        return ordered[0], ordered[0]
    after = int(np.argmax(gaps))
    start = ordered[(after + 1) % len(ordered)]
    return start, start + 2 * math.pi - gaps[after]


def mechanism_of(dome: Dome, layout: Layout, motions: NDArray[np.float64] | None) -> Mechanism | None:
    """Which courses move, on which side, which way. None without motions (n, 6)."""
    if motions is None or not len(motions):
        return None
    size = np.linalg.norm(motions[:, :3], axis=1)
    largest = float(size.max())
    if largest <= 0.0:
        return None
    moving = [k for k in range(len(size)) if size[k] >= MOVES * largest]
    blocks = [layout.blocks[k] for k in moving]
    buttresses = tuple(sorted({_buttress(dome.design, block) for block in blocks if block.kind == "buttress"}))
    turning = np.linalg.norm(motions[moving, 3:], axis=1) * dome.courses[0].width
    tips = float(turning.sum()) > 0.25 * float(size[moving].sum())
    if all(block.kind == "buttress" for block in blocks):
        return Mechanism(None, None, ("tip",) if tips else (), None, (), buttresses)
    wall = [block for block in blocks if block.kind != "buttress"]  # buttresses are named by themselves
    courses = [block.course for block in wall]
    start, end = _span([_bearing(block) for block in wall])
    ways, towards = _ways(blocks, motions[moving], float(size[moving].sum()))
    near = {b.opening for k, b in zip(moving, blocks, strict=True) if size[k] > 0.5 * largest and b.opening is not None}
    return Mechanism(
        (dome.courses[min(courses)].number, dome.courses[max(courses)].number),
        None if end - start > math.radians(300) else (start % (2 * math.pi), end % (2 * math.pi)),
        (*ways, *(("tip",) if tips else ())),
        towards,
        tuple(sorted(near)),
        buttresses,
    )


def _ways(
    blocks: list[Block], motions: NDArray[np.float64], total: float
) -> tuple[tuple[Literal["sideways", "outward", "inward", "sink", "lift"], ...], float | None]:
    """How the moving blocks go as one, and the bearing of a sideways drift [rad]."""
    out = down = 0.0
    for block, motion in zip(blocks, motions, strict=True):
        b = _bearing(block)
        out += float(motion[0] * math.sin(b) + motion[1] * math.cos(b))
        down -= float(motion[2])
    drift = motions[:, :2].sum(axis=0)
    ways: list[Literal["sideways", "outward", "inward", "sink", "lift"]] = []
    towards = None
    if float(np.linalg.norm(drift)) > 0.3 * total:
        ways.append("sideways")
        towards = round(math.atan2(drift[0], drift[1]), 12) % (2 * math.pi)  # next to nothing west of north is north
    elif abs(out) > 0.15 * total:
        ways.append("outward" if out > 0 else "inward")
    if abs(down) > 0.25 * total:
        ways.append("sink" if down > 0 else "lift")
    return tuple(ways), towards


def _buttress(design: Design, block: Block) -> int:
    """Index of the buttress that a block belongs to."""
    return max(
        range(len(design.buttresses)), key=lambda index: math.cos(design.buttresses[index].bearing - block.start)
    )


def opening_forces(dome: Dome, case: Case, layout: Layout, normal: NDArray[np.float64] | None) -> tuple[Press, ...]:
    """Greatest press [kN] on a bed beside each opening, over its head, the ring above it, and on each buttress.

    `normal` (m, 4): of a state that was found for this load itself; other states may carry it too.
    """
    if normal is None:
        return ()
    patches = block_patches(dome, case, layout)
    if patches.size != len(normal):
        return ()
    press = normal.sum(axis=1)
    out: list[Press] = []
    for index, opening in enumerate(dome.design.openings):
        sill, top = levels(dome, opening)
        jamb = head = ring = 0.0
        for k, force in enumerate(press):
            upper = layout.blocks[int(patches.upper[k])]
            course = dome.courses[upper.course]
            turn = abs((_bearing(upper) - opening.bearing + math.pi) % (2 * math.pi) - math.pi)
            near = turn * course.inner_radius < opening.width / 2 + course.inner_radius * 2 * math.pi / layout.cuts
            if patches.kind[k] in ("head", "lintel") and (upper.opening == index or near):
                head = max(head, float(force))
            elif patches.kind[k] in ("bed", "ground") and near and sill - 1e-6 <= course.z_bottom < top:
                jamb = max(jamb, float(force))
            elif patches.kind[k] == "head joint" and near and top <= course.z_bottom < top + 3 * course.height:
                ring = max(ring, float(force))
        out += [Press("jambs", index, jamb), Press("head", index, head), Press("ring above", index, ring)]
    for index in range(len(dome.design.buttresses)):
        bearing = dome.design.buttresses[index].bearing
        on = [
            float(press[k])
            for k in range(patches.size)
            if patches.kind[k] == "buttress" and math.cos(layout.blocks[int(patches.upper[k])].start - bearing) > 0.999
        ]
        out.append(Press("buttress", index, added(on)))
    return tuple(replace(press, force=round(press.force, 3)) for press in out)
