"""What moves first, drawn from the side and from above."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shellcheck_earth.geometry.blocks import Block, Layout, at
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet

__all__ = ["mechanism_svg"]

Floats = NDArray[np.float64]

WIDTH, HEIGHT, MARGIN = 180.0, 100.0, 8.0
"""Of the picture [mm]."""

DRAWN = 0.15
"""The largest motion is drawn as this share of the dome's height: a mechanism has no size of its own."""

MOVES = 0.4
"""A block is drawn as moving from this share of the largest motion, as in the mechanism's words."""


def _outer_face(dome: Dome, block: Block) -> Floats:
    """Corners (4, 3) of the face seen from outside."""
    if block.kind in ("wall", "lintel"):
        course = dome.courses[block.course]
        return np.array(
            [
                at(course.outer_radius, b, z)
                for b, z in (
                    (block.start, course.z_bottom),
                    (block.end, course.z_bottom),
                    (block.end, course.z_top),
                    (block.start, course.z_top),
                )
            ]
        )
    half = len(block.corners) // 2
    return np.array(block.corners[half:])


def _moved(points: Floats, motion: Floats, scale: float) -> Floats:
    centre = points.mean(axis=0)
    return points + scale * (motion[:3] + np.cross(motion[3:], points - centre))


@dataclass(frozen=True)
class _View:
    """Blocks and their motions, and the viewer: unit vectors to the right and towards the viewer. `drawn`: metres of
    picture for one unit of motion; `moves`: which blocks count as moving.
    """

    faces: list[Floats]
    motions: Floats
    moves: NDArray[np.bool_]
    drawn: float
    right: Floats
    front: Floats


def _view(dome: Dome, layout: Layout, motions: Floats, towards: float) -> _View:
    size = np.linalg.norm(motions[:, :3], axis=1)
    largest = float(size.max(initial=0.0))
    return _View(
        faces=[_outer_face(dome, block) for block in layout.blocks],
        motions=motions,
        moves=(size >= MOVES * largest) & (largest > 0),
        drawn=DRAWN * (dome.top - dome.base) / largest if largest > 0 else 0.0,
        right=np.array([-math.cos(towards), math.sin(towards), 0.0]),
        front=np.array([math.sin(towards), math.cos(towards), 0.0]),
    )


def mechanism_svg(dome: Dome, layout: Layout, motions: Floats, towards: float, title: str) -> str:
    """Elevation seen from the bearing `towards` [rad] and plan; ValueError when motions (n, 6) are not the layout's."""
    if motions.shape != (len(layout.blocks), 6):
        raise ValueError(f"{len(layout.blocks)} blocks, but motions of shape {motions.shape}")
    radius = max(course.outer_radius for course in dome.courses)
    height = dome.top - dome.base
    scale = min((WIDTH / 2 - 2 * MARGIN) / (2 * radius), (HEIGHT - 2 * MARGIN - 6) / max(height, 2 * radius))
    sheet = Sheet(WIDTH, HEIGHT, scale, WIDTH / 4, HEIGHT - MARGIN + dome.base * scale)
    view = _view(dome, layout, motions, towards)
    _elevation(sheet, view)
    sheet.text(WIDTH / 4, 6, f"Seen from bearing {math.degrees(towards) % 360:.0f} deg", size=3.4, anchor="middle")
    _plan(sheet, view)
    return sheet.svg(
        title,
        "Blocks at rest in brown; the blocks that move first in red, their motion enlarged. Left from the side, "
        "right from above.",
    )


def _elevation(sheet: Sheet, view: _View) -> None:
    """The side towards the viewer: at rest, then what moves."""
    for moving in (False, True):
        for face, motion, moves in zip(view.faces, view.motions, view.moves, strict=True):
            if float(face.mean(axis=0) @ view.front) <= 0 or (moving and not moves):
                continue
            shape = _moved(face, motion, view.drawn) if moving else face
            points = [(sheet.x(float(p @ view.right)), sheet.y(float(p[2]))) for p in shape]
            if moving:
                sheet.path(points, width=0.3, colour=RED, fill="none", closed=True)
            else:
                sheet.path(points, width=0.15, colour=FAINT, fill=CLAY, closed=True)


def _plan(sheet: Sheet, view: _View) -> None:
    """From above, what is nearest to the viewer of the elevation at the bottom."""
    x0, y0 = 3 * WIDTH / 4, HEIGHT / 2 + 2

    def place(p: Floats) -> tuple[float, float]:
        return x0 + float(p @ view.right) * sheet.scale, y0 + float(p @ view.front) * sheet.scale

    for face in view.faces:
        sheet.path([place(p) for p in face[:2]], width=0.2, colour=FAINT)
    for face, motion, moves in zip(view.faces, view.motions, view.moves, strict=True):
        if moves:
            start = face.mean(axis=0)
            (x1, y1), (x2, y2) = place(start), place(start + view.drawn * motion[:3])
            sheet.line(x1, y1, x2, y2, width=0.3, colour=RED)
            sheet.circle(x2, y2, 0.5, fill=RED, stroke=RED, width=0.1)
    sheet.text(x0, 6, "From above", size=3.4, anchor="middle", colour=INK)
