"""What moves first, drawn as the blocks that were solved: before, after, and from above, with slides and hinges
marked.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.layout import Layout, at
from shellcheck_earth.views.figures.letters import LEAST_SIZE, advance
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Point, Sheet
from shellcheck_earth.views.text.language import _

__all__ = ["hull", "mechanism_svg"]

Floats = NDArray[np.float64]

WIDTH, PANEL, MARGIN, TOP, KEY = 174.0, 58.0, 2.5, 7.5, 12.0
"""Of the picture, of one of its three panels, around each, above and below them [mm]."""

TALLEST = 62.0
"""Height of a panel [mm] at most."""

BELOW = 2.0
"""How far moved blocks may hang below the lowest bed [mm]."""

DRAWN = 0.12
"""The largest motion is drawn as this share of the dome's height, or as what its panel has room for: a mechanism has no
size of its own."""

MOVES = 0.4
"""A block is drawn as moving from this share of the largest motion, as in the mechanism's words."""

MARKED, MOST_MARKS, MOST_ARROWS = 0.5, 12, 16
"""A slide or a hinge is marked from this share of the largest, and so many of each, and of the arrows, at most."""

MOVING = "#dd9a80"
"""Fill of what moves: darker than clay in black and white as well."""


@dataclass(frozen=True)
class _View:
    """Blocks as corners (8, 3) at rest and moved, which of them move, and the directions of the elevation."""

    rest: list[Floats]
    gone: list[Floats]
    size: Floats
    moves: NDArray[np.bool_]
    right: Floats
    front: Floats


@dataclass(frozen=True)
class _Sign:
    """One mark on a bed: where [m], how strong, along which way it slides (None: it turns there)."""

    place: Floats
    strength: float
    way: Floats | None


@dataclass(frozen=True)
class _Room:
    """What a panel has room for: half its width, and levels from its ground to its top [m]."""

    aside: float
    low: float
    high: float


def _view(layout: Layout, motions: Floats, towards: float, room: _Room) -> _View:
    size = np.linalg.norm(motions[:, :3], axis=1)
    largest = float(size.max(initial=0.0))
    right = np.array([-math.cos(towards), math.sin(towards), 0.0])
    rest = [np.array(block.corners, dtype=float) for block in layout.blocks]
    rates = [_rate(points, points.mean(axis=0), m) for points, m in zip(rest, motions, strict=True)]
    most = DRAWN * (room.high - room.low) / (1 + DRAWN)
    drawn = min(most / largest, _longest(rest, rates, right, room)) if largest > 0 else 0.0
    return _View(
        rest=rest,
        gone=[points + drawn * rate for points, rate in zip(rest, rates, strict=True)],
        size=size,
        moves=(size >= MOVES * largest) & (largest > 0),
        right=right,
        front=np.array([math.sin(towards), math.cos(towards), 0.0]),
    )


def _longest(rest: list[Floats], rates: list[Floats], right: Floats, room: _Room) -> float:
    """The largest multiple of the rates at which every corner is still in the panel."""
    points, rate = np.concatenate(rest), np.concatenate(rates)
    aside, level = points @ right, points[:, 2]
    ways = ((room.aside - aside, rate @ right), (room.aside + aside, -(rate @ right)), (room.high - level, rate[:, 2]))
    ends = [left[goes > 1e-12] / goes[goes > 1e-12] for left, goes in (*ways, (level - room.low, -rate[:, 2]))]
    return max(float(min((end.min() for end in ends if end.size), default=math.inf)), 0.0)


def _rate(points: Floats, centre: Floats, motion: Floats) -> Floats:
    """How fast points (..., 3) of a rigid block go."""
    return np.asarray(motion[:3] + np.cross(motion[3:], points - centre))


def hull(points: Iterable[Point]) -> list[Point]:
    """Outline of a convex solid from its corners as projected (monotone chain, Andrew 1979, memory)."""
    ordered = sorted(set(points))

    def chain(some: list[Point]) -> list[Point]:
        out: list[Point] = []
        for p in some:
            while len(out) > 1 and _turn(out[-2], out[-1], p) <= 0:
                out.pop()
            out.append(p)
        return out[:-1]

    return ordered if len(ordered) < 3 else chain(ordered) + chain(ordered[::-1])


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def mechanism_svg(dome: Dome, layout: Layout, motions: Floats, towards: float, title: str) -> str:
    """Elevation seen from the bearing `towards` [rad] before and after, and plan; ValueError when motions (n, 6) are
    not the layout's.
    """
    if motions.shape != (len(layout.blocks), 6):
        raise ValueError(f"{len(layout.blocks)} blocks, but motions of shape {motions.shape}")
    radius = max(math.hypot(x, y) for block in layout.blocks for x, y, _z in block.corners)
    base = min([dome.base, *(z for block in layout.blocks if block.kind == "footing" for _x, _y, z in block.corners)])
    height = dome.top - base
    scale = min((PANEL - 2 * MARGIN) / (2 * radius), TALLEST / max(height * (1 + DRAWN), 2 * radius))
    tall = scale * max(height * (1 + DRAWN), 2 * radius)
    sheet = Sheet(WIDTH, TOP + tall + KEY + 3.0, scale, 0.0, TOP + tall + base * scale)
    room = _Room((PANEL - MARGIN) / (2 * scale), base - BELOW / scale, base + height * (1 + DRAWN))
    view = _view(layout, motions, towards, room)
    signs = _signs(layout, motions, view)
    before = _("Before, seen from bearing {bearing:.0f} deg", bearing=math.degrees(towards) % 360)
    sheet.text(PANEL / 2, 3.6, before, size=LEAST_SIZE, anchor="middle", bold=True)
    sheet.text(1.5 * PANEL, 3.6, _("After, enlarged"), size=LEAST_SIZE, anchor="middle", bold=True)
    sheet.text(2.5 * PANEL, 3.6, _("From above"), size=LEAST_SIZE, anchor="middle", bold=True)
    _elevation(sheet, view, view.rest, PANEL / 2)
    _mark(sheet, signs, _side(sheet, view, PANEL / 2), lambda p: float(p @ view.front) > 0.2 * radius)
    _elevation(sheet, view, view.gone, 1.5 * PANEL)
    _arrows(sheet, view, _side(sheet, view, 1.5 * PANEL), lambda p: float(p @ view.front) > 0)
    _plan(sheet, view, (2.5 * PANEL, TOP + tall / 2))
    _key(sheet, TOP + tall + 6.0)
    return sheet.svg(
        title,
        _(
            "Blocks as they were solved. What moves first is filled dark; in the middle its motion is enlarged, with"
            " arrows. Marks show the beds that slide and those that turn. Right: from above."
        ),
    )


Place = Callable[[Floats], Point]


def _side(sheet: Sheet, view: _View, middle: float) -> Place:
    return lambda p: (middle + float(p @ view.right) * sheet.scale, sheet.y(float(p[2])))


def _block(sheet: Sheet, corners: Floats, place: Place, *, moves: bool) -> None:
    sheet.path(
        hull([place(p) for p in corners]),
        width=0.25 if moves else 0.15,
        colour=RED if moves else FAINT,
        fill=MOVING if moves else CLAY,
        closed=True,
    )


def _elevation(sheet: Sheet, view: _View, corners: list[Floats], middle: float) -> None:
    """All blocks, the farthest first, so that the near ones hide them."""
    place = _side(sheet, view, middle)
    depth = [round(float(points.mean(axis=0) @ view.front), 9) for points in corners]
    for index in sorted(range(len(corners)), key=lambda i: (depth[i], i)):
        _block(sheet, corners[index], place, moves=bool(view.moves[index]))
    lowest = max(sheet.y(float(points[:, 2].min())) for points in view.rest)
    edge = PANEL / 2 - MARGIN / 2
    sheet.line(middle - edge, lowest, middle + edge, lowest, width=0.35)


def _arrows(sheet: Sheet, view: _View, place: Place, near: Callable[[Floats], bool]) -> None:
    """The way the fastest of the near blocks go, from where they lay."""
    indices = [i for i in range(len(view.rest)) if view.moves[i] and near(view.rest[i].mean(axis=0))]
    for index in sorted(indices, key=lambda i: (-round(float(view.size[i]), 9), i))[:MOST_ARROWS]:
        start, end = place(view.rest[index].mean(axis=0)), place(view.gone[index].mean(axis=0))
        if math.dist(start, end) > 1.5:
            sheet.arrow(*start, *end, width=0.4)


def _plan(sheet: Sheet, view: _View, middle: Point) -> None:
    """From above, what is nearest to the viewer of the elevation at the bottom; upper blocks hide lower ones."""

    def place(p: Floats) -> Point:
        return middle[0] + float(p @ view.right) * sheet.scale, middle[1] + float(p @ view.front) * sheet.scale

    level = [round(float(points[:, 2].mean()), 9) for points in view.rest]
    for index in sorted(range(len(level)), key=lambda i: (level[i], i)):
        _block(sheet, view.rest[index], place, moves=bool(view.moves[index]))
    _arrows(sheet, view, place, lambda _point: True)


def _signs(layout: Layout, motions: Floats, view: _View) -> list[_Sign]:
    """The beds that slide most and those that turn most: the relative motion of the blocks above and below."""
    slides, turns = [], []
    for bed in layout.beds:
        middle = (bed.start + bed.end) / 2
        inner, outer = (np.array(at(radius, middle, bed.z)) for radius in (bed.inner, bed.outer))
        gap = [_relative(view, motions, bed.upper, bed.lower, p) for p in (inner, outer)]
        along = (gap[0] + gap[1]) / 2
        slip = np.array([along[0], along[1], 0.0])
        slides.append(_Sign(outer, round(float(np.linalg.norm(slip)), 9), slip))
        turns.append(_Sign(outer, round(abs(float(gap[0][2] - gap[1][2])), 9), None))
    return [*_strongest(slides), *_strongest(turns)]


def _relative(view: _View, motions: Floats, upper: int, lower: int, p: Floats) -> Floats:
    above = _rate(p, view.rest[upper].mean(axis=0), motions[upper])
    return above if lower < 0 else above - _rate(p, view.rest[lower].mean(axis=0), motions[lower])


def _strongest(signs: list[_Sign]) -> list[_Sign]:
    most = max((one.strength for one in signs), default=0.0)
    return [one for one in signs if most > 1e-9 and one.strength >= MARKED * most]


def _mark(sheet: Sheet, signs: list[_Sign], place: Place, near: Callable[[Floats], bool]) -> None:
    """The strongest of the near marks."""
    for kind in (True, False):
        chosen = [one for one in signs if (one.way is None) == kind and near(one.place)]
        ranked = sorted(chosen, key=lambda one: (-one.strength, tuple(one.place)))[:MOST_MARKS]
        for one in ranked:
            x, y = place(one.place)
            if one.way is None:
                _hinge(sheet, x, y)
            else:
                ahead = place(one.place + one.way)
                _slide(sheet, x, y, 1 if ahead[0] >= x else -1)


def _hinge(sheet: Sheet, x: float, y: float) -> None:
    sheet.circle(x, y, 0.9, fill="#ffffff", stroke=INK, width=0.45)


def _slide(sheet: Sheet, x: float, y: float, way: int) -> None:
    """A line along the bed with half an arrowhead on its upper side."""
    sheet.line(x - 1.6 * way, y, x + 1.8 * way, y, width=0.5)
    sheet.line(x + 1.8 * way, y, x + 0.7 * way, y - 0.9, width=0.5)


def _key(sheet: Sheet, y: float) -> None:
    draw: Mapping[str, Callable[[float], None]] = {
        _("moves first"): lambda x: sheet.bar(x, y - 2.2, 5, 2.4, fill=MOVING),
        _("stays or moves less"): lambda x: sheet.bar(x, y - 2.2, 5, 2.4, fill=CLAY),
        _("the way it goes"): lambda x: sheet.arrow(x, y - 1.0, x + 5, y - 1.0, width=0.4),
        _("slides on its bed"): lambda x: _slide(sheet, x + 2.0, y - 1.0, 1),
        _("turns on its bed"): lambda x: _hinge(sheet, x + 3.0, y - 1.0),
    }
    at_x = 2.0
    for words, sign in draw.items():
        sign(at_x)
        sheet.text(at_x + 6.2, y, words, size=LEAST_SIZE)
        at_x += 9.5 + advance(words, LEAST_SIZE)
    note = _("Motion has no size of its own: only directions and proportions are computed.")
    sheet.text(2.0, y + 4.2, note, size=LEAST_SIZE, colour=FAINT)
