"""What moves first and what presses where, in words and kN, from the blocks' motions and forces."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.blocks import Block, Layout
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import levels, opening_label
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.assembly import block_patches
from shellcheck_earth.mechanics.blocks.problem import BlockAnswer

__all__ = ["MOVES", "mechanism_in_words", "opening_forces"]

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


def mechanism_in_words(dome: Dome, layout: Layout, motions: NDArray[np.float64] | None) -> str:
    """One or two sentences: which courses, which side, which way. "" without motions."""
    if motions is None or not len(motions):
        return ""
    size = np.linalg.norm(motions[:, :3], axis=1)
    largest = float(size.max())
    if largest <= 0.0:
        return ""
    moving = [k for k in range(len(size)) if size[k] >= MOVES * largest]
    buttresses = sorted(
        {_buttress(dome.design, layout.blocks[k]) for k in moving if layout.blocks[k].kind == "buttress"}
    )
    if buttresses and all(layout.blocks[k].kind == "buttress" for k in moving):
        return _only_buttresses(dome, buttresses, motions[moving])
    courses = [layout.blocks[k].course for k in moving]
    low, high = dome.courses[min(courses)].label, dome.courses[max(courses)].label
    start, end = _span([_bearing(layout.blocks[k]) for k in moving])
    around = end - start > math.radians(300)
    where = (
        "all around"
        if around
        else f"between bearings {math.degrees(start) % 360:.0f} and {math.degrees(end) % 360:.0f} deg"
    )
    out = down = 0.0
    for k in moving:
        b = _bearing(layout.blocks[k])
        out += float(motions[k, 0] * math.sin(b) + motions[k, 1] * math.cos(b))
        down -= float(motions[k, 2])
    drift = motions[moving, :2].sum(axis=0)
    total = float(size[moving].sum())
    ways = []
    if float(np.linalg.norm(drift)) > 0.3 * total:
        ways.append(f"move sideways towards {math.degrees(math.atan2(drift[0], drift[1])) % 360:.0f} deg")
    elif abs(out) > 0.15 * total:
        ways.append("slide outward" if out > 0 else "slide inward")
    if abs(down) > 0.25 * total:
        ways.append("sink" if down > 0 else "lift")
    turning = np.linalg.norm(motions[moving, 3:], axis=1) * dome.courses[0].width
    if float(turning.sum()) > 0.25 * total:
        ways.append("tip")
    which = f"Courses {low} to {high}" if high > low else f"Blocks of course {low}"
    text = f"{which}, {where}, {' and '.join(ways) or 'shift against each other'}."
    near = sorted(
        {layout.blocks[k].opening for k in moving if layout.blocks[k].opening is not None and size[k] > 0.5 * largest},
        key=str,
    )
    if near:
        text += (
            " The head of "
            + ", ".join(opening_label(dome.design, k) for k in near if k is not None)
            + " goes with them."
        )
    if buttresses:
        text += " " + _named(dome.design, buttresses) + (" goes" if len(buttresses) == 1 else " go") + " with them."
    return text


def _buttress(design: Design, block: Block) -> int:
    """Index of the buttress that a block belongs to."""
    return max(
        range(len(design.buttresses)), key=lambda index: math.cos(design.buttresses[index].bearing - block.start)
    )


def _named(design: Design, buttresses: list[int]) -> str:
    places = [
        f"{index + 1} (at {math.degrees(design.buttresses[index].bearing) % 360:.0f} deg)" for index in buttresses
    ]
    return ("Buttress " if len(places) == 1 else "Buttresses ") + " and ".join(places)


def _only_buttresses(dome: Dome, buttresses: list[int], motions: NDArray[np.float64]) -> str:
    """The sentence for a load that a buttress gives way to before the dome does."""
    turning = float((np.linalg.norm(motions[:, 3:], axis=1) * dome.courses[0].width).sum())
    tips = turning > 0.25 * float(np.linalg.norm(motions[:, :3], axis=1).sum())
    one = len(buttresses) == 1
    return (
        f"What fails first is no part of the dome: {_named(dome.design, buttresses)} {'moves' if one else 'move'} while"
        f" the wall still stands, {'tipping' if tips else 'sliding'} on {'its' if one else 'their'} own beds."
    )


def opening_forces(dome: Dome, case: Case, layout: Layout, answer: BlockAnswer) -> tuple[tuple[str, float], ...]:
    """(what, kN): greatest press on a bed beside each opening, over its head, the ring above it, and on each buttress.

    From the state that was found for this load: other states may carry it too.
    """
    if answer.forces is None:
        return ()
    patches = block_patches(dome, case, layout)
    if patches.size != len(answer.forces.normal):
        return ()
    press = answer.forces.normal.sum(axis=1)
    out: list[tuple[str, float]] = []
    for index, opening in enumerate(dome.design.openings):
        label, (sill, top) = opening_label(dome.design, index), levels(dome, opening)
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
        out += [
            (f"jambs of {label}, one bed", jamb),
            (f"over the head of {label}, one face", head),
            (f"ring above {label}", ring),
        ]
    for index in range(len(dome.design.buttresses)):
        bearing = dome.design.buttresses[index].bearing
        on = [
            float(press[k])
            for k in range(patches.size)
            if patches.kind[k] == "buttress" and math.cos(layout.blocks[int(patches.upper[k])].start - bearing) > 0.999
        ]
        out.append((f"thrust on buttress {index + 1}", sum(on)))
    return tuple((what, round(value, 3)) for what, value in out)
