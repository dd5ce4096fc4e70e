"""The dome in three dimensions as plain numbers: rings where it is round, blocks where it has openings.

A mechanism of rings (no line is left) or of blocks (from a whole check) goes with it, as places after a drawn motion.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from shellcheck_earth.geometry.blocks import blocks_drawn, cut_blocks
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export.gltf import LARGEST_MOTION, MOVES, body
from shellcheck_earth.views.figures.explain.courses import corners, moved, moves
from shellcheck_earth.views.page.drawing import motion_size
from shellcheck_earth.views.page.preview import Preview
from shellcheck_earth.views.text.below import said_below

__all__ = ["CUTS", "Solid", "of_blocks", "solid"]

Solid = dict[str, Any]
"""`rings`: sections [[r, z] x 4] with `gone`, after the motion (or none); or `bodies`: kind, corners, triangles, and
`gone`. `title` of the mechanism's case; `floor` and `top` [m]."""

CUTS = 24
"""Blocks of a whole ring, where the dome is only looked at."""


def _frame(dome: Dome) -> Solid:
    return {
        "floor": round(dome.floor, 4),
        "top": round(dome.top, 4),
        "base": round(min(dome.base, dome.ground), 4),
        "ground": round(dome.ground, 4),
        "reach": round(max(course.outer_radius for course in dome.courses), 4),
        "title": "",
    }


def _places(points: Sequence[tuple[float, float]]) -> list[list[float]]:
    return [[round(r, 4), round(z, 4)] for r, z in points]


def _rings(courses: Sequence[Course], found: Collapse | None) -> list[Solid]:
    size = 0.0 if found is None else motion_size(courses, found)
    out = []
    for index, course in enumerate(courses):
        ring: Solid = {"number": course.number, "section": _places(corners(course)), "gone": None}
        if found is not None and moves(found, index, course):
            ring["gone"] = _places(moved(found, index, course, size))
        out.append(ring)
    return out


def _bodies(dome: Dome, layout: Layout, motions: np.ndarray[Any, Any] | None) -> list[Solid]:
    sizes = None if motions is None else np.linalg.norm(motions[:, :3], axis=1)
    most = 0.0 if sizes is None else float(sizes.max(initial=0.0))
    out = []
    for index, block in enumerate(layout.blocks):
        points, triangles = body(dome, block)
        one: Solid = {
            "kind": block.kind,
            "course": block.course,
            "points": np.round(points, 4).tolist(),
            "triangles": triangles.tolist(),
            "gone": None,
        }
        if motions is not None and sizes is not None and most > 0 and sizes[index] >= MOVES * most:
            centre = points.mean(axis=0)
            turn = np.cross(motions[index, 3:], points - centre)
            gone = points + LARGEST_MOTION / most * (motions[index, :3] + turn)
            one["gone"] = np.round(gone, 4).tolist()
        out.append(one)
    return out


def solid(shown: Preview) -> Solid:
    """What stands in the case that is drawn; the courses still to be laid are left out."""
    dome = shown.dome
    design = dome.design
    standing = [course for course in dome.courses if course.number <= shown.case.stage]
    if not (design.openings or design.buttresses):
        found = shown.collapse
        title = said_below(shown.case.title) if found is not None else ""
        return _frame(dome) | {"rings": _rings(standing[::-1], found), "title": title}
    return _frame(dome) | {"bodies": _bodies(dome, cut_blocks(dome, CUTS, len(standing)), None)}


def of_blocks(result: Result) -> Solid | None:
    """How the block case that comes shortest moves; None where no block moves."""
    drawn = [one for one in result.blocks if one.motions]
    if not drawn:
        return None
    worst: BlockResult = min(drawn, key=lambda one: (one.relied or 0.0) / one.required)
    layout = blocks_drawn(result.dome, worst.drawn, worst.course_top, len(worst.motions))
    bodies = _bodies(result.dome, layout, np.array(worst.motions))
    return _frame(result.dome) | {"bodies": bodies, "title": said_below(worst.title)}
