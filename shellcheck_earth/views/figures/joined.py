"""Joined domes or a straight wall as the blocks that were solved: plan, elevation, and what moves first."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import numpy as np

from shellcheck_earth.studies.joined.given import Pair, digest_of
from shellcheck_earth.studies.joined.told import Told
from shellcheck_earth.views.figures.letters import LEAST_SIZE, advance
from shellcheck_earth.views.figures.mechanism import MOVES, MOVING, Floats, hull
from shellcheck_earth.views.figures.size import scale_bar
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Point, Sheet
from shellcheck_earth.views.text.language import _

__all__ = ["joined_svg"]

WIDTH, MARGIN, HEAD, GAP, KEY = 174.0, 3.0, 6.0, 4.0, 20.0
"""Of the picture, around it, above each view, between them, for the key [mm]."""

TALLEST = 160.0
"""Height of the picture [mm] at most: it goes on the first page."""

DRAWN = 0.10
"""The largest motion is drawn as this share of the height: a mechanism has no size of its own."""

MOST_ARROWS = 14

Place = Callable[[Floats], Point]


def _moved(points: Floats, motion: Floats, scale: float) -> Floats:
    """Corners of a block after its motion, made so many times as large."""
    return np.asarray(points + scale * (motion[:3] + np.cross(motion[3:], points - points.mean(axis=0))))


def joined_svg(told: Told) -> str:
    """The picture as SVG: from the side with what moves first, from the end too where it moves across, from above."""
    blocks = [np.array(corners, dtype=np.float64) for corners in told.drawn.corners]
    motions = np.array(told.drawn.motions or np.zeros((len(blocks), 6)), dtype=np.float64)
    size = np.sqrt((motions[:, :3] ** 2).sum(axis=1))
    largest = float(size.max(initial=0.0))
    low, high = (np.array([take([take(b[:, k]) for b in blocks]) for k in range(3)]) for take in (min, max))
    span, middle = high - low, (low + high) / 2
    drawn = DRAWN * float(span[2]) / largest if largest > 0 else 0.0
    gone = [_moved(points, motion, drawn) for points, motion in zip(blocks, motions, strict=True)]
    moves = (size >= MOVES * largest) & (largest > 0)
    across = float(np.abs(motions[moves, 1]).sum()) > float(np.abs(motions[moves, 0]).sum())
    tall, deep = float(span[2]) * 1.1, float(span[1]) * 1.06
    axes = (0, 1) if across else (0,)
    room = (TALLEST - len(axes) * (HEAD + GAP) - HEAD - KEY) / (len(axes) * tall + deep)
    scale = min((WIDTH - 2 * MARGIN) / float(span[0] * 1.04), room)
    sheet = Sheet(WIDTH, len(axes) * (HEAD + tall * scale + GAP) + HEAD + deep * scale + KEY, scale, WIDTH / 2, 0.0)
    level = HEAD
    for axis in axes:
        foot = level + tall * scale
        seen = partial(_side, axis=axis, middle=float(middle[axis]), foot=foot, low=float(low[2]), scale=scale)
        _elevation(sheet, gone, moves, seen, depth=1 - axis)
        _arrows(sheet, blocks, gone, size, moves, seen)
        sheet.line(MARGIN, foot, WIDTH - MARGIN, foot, width=0.35)
        title = _("From the end, motion enlarged") if axis else _("From the side, motion enlarged")
        sheet.text(MARGIN, level - 1.5, title, size=LEAST_SIZE, bold=True)
        level = foot + GAP + HEAD
    _plan(sheet, blocks, gone, size, moves, (float(middle[0]), float(middle[1])), level + deep * scale / 2)
    sheet.text(MARGIN, level - 1.5, _("From above"), size=LEAST_SIZE, bold=True)
    foot = level + deep * scale + 6.0
    _key(sheet, foot, told)
    scale_bar(sheet, foot + 4.0, told.given.unit_system)
    note = _("Motion has no size of its own: only directions and proportions are computed.")
    sheet.text(MARGIN, foot + 11.0, note, size=LEAST_SIZE, colour=FAINT)
    about = _("Blocks as they were solved, from the side and from above. What moves first is filled dark, with arrows.")
    return sheet.svg(told.given.name, about, digest_of(told.given))


def _side(p: Floats, *, axis: int, middle: float, foot: float, low: float, scale: float) -> Point:
    """axis: what runs to the right, 0 for x, 1 for y."""
    return WIDTH / 2 + (float(p[axis]) - middle) * scale, foot - (float(p[2]) - low) * scale


def _fill(*, moves: bool) -> tuple[str, str, float]:
    return (MOVING, RED, 0.25) if moves else (CLAY, FAINT, 0.12)


def _elevation(sheet: Sheet, blocks: list[Floats], moves: Floats, place: Place, *, depth: int) -> None:
    """The farthest blocks first, and from the end what moves last, for a dome would hide it; depth: the axis that runs
    towards whoever looks, y from the side, x from the end."""
    order = sorted(range(len(blocks)), key=lambda i: (round(float(blocks[i][:, depth].mean()), 9), i))
    if depth == 0:
        order.sort(key=lambda i: bool(moves[i]))
    for index in order:
        fill, colour, width = _fill(moves=bool(moves[index]))
        sheet.path(hull([place(p) for p in blocks[index]]), width=width, colour=colour, fill=fill, closed=True)


def _plan(
    sheet: Sheet,
    blocks: list[Floats],
    gone: list[Floats],
    size: Floats,
    moves: Floats,
    centre: Point,
    down: float,
) -> None:
    """From above, the side the elevation is seen from at the bottom; upper blocks hide lower ones."""

    def place(p: Floats) -> Point:
        x, y = (float(p[k]) - centre[k] for k in (0, 1))
        return WIDTH / 2 + x * sheet.scale, down + y * sheet.scale

    order = sorted(range(len(blocks)), key=lambda i: (round(float(blocks[i][:, 2].mean()), 9), i))
    for index in order:
        fill, colour, width = _fill(moves=bool(moves[index]))
        sheet.path(hull([place(p) for p in blocks[index]]), width=width, colour=colour, fill=fill, closed=True)
    _arrows(sheet, blocks, gone, size, moves, place)


def _arrows(sheet: Sheet, blocks: list[Floats], gone: list[Floats], size: Floats, moves: Floats, place: Place) -> None:
    """The way the fastest blocks go, from where they lay."""
    indices = [i for i in range(len(blocks)) if moves[i]]
    for index in sorted(indices, key=lambda i: (-round(float(size[i]), 6), i))[:MOST_ARROWS]:
        start, end = place(blocks[index].mean(axis=0)), place(gone[index].mean(axis=0))
        if math.dist(start, end) > 1.5:
            sheet.arrow(*start, *end, width=0.4)


def _key(sheet: Sheet, y: float, told: Told) -> None:
    x = MARGIN
    for words, fill in ((_("moves first"), MOVING), (_("stays or moves less"), CLAY)):
        sheet.bar(x, y - 2.2, 5, 2.4, fill=fill)
        sheet.text(x + 6.2, y, words, size=LEAST_SIZE)
        x += 10.0 + advance(words, LEAST_SIZE)
    if isinstance(told.given, Pair):
        sheet.text(x, y, _("Left: the first dome. Right: the second."), size=LEAST_SIZE, colour=INK)
