"""The moved blocks as a film: seen from the side of the motion, and from above. SVG with SMIL, nothing but the file;
a viewer that cannot play it shows the dome before the ground moves."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.studies.shake.study import Shaking
from shellcheck_earth.views.figures.letters import PHONE_SIZE, wrapped_to
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet, _n
from shellcheck_earth.views.text.language import _, review_sentences
from shellcheck_earth.views.text.shake import asked_words, found_words

__all__ = ["LENGTH", "enlarged", "shake_svg"]

WIDTH, ROOM, MARGIN, HEAD, FOOT = 174.0, 84.0, 4.0, 12.0, 12.0

ROOM_FOR_WORDS = 46.0
"""For nine lines of them under the film [mm]."""

LENGTH = 10.0
"""Of one round of the film [s]; the last picture stays for a while."""

HOLDS = 0.85

SHOWN = 0.06
"""Of the dome's width: smaller motions are drawn enlarged until the largest is about that."""

OUTER, UPPER = (1, 2, 6, 5), (4, 5, 6, 7)
"""Corners of the outer and of the upper face."""

MOVES = 0.25
"""mm on paper under which a face is drawn still."""


def enlarged(told: Shaking) -> float:
    """By how much the motions are drawn larger than they are: 1, 2, 5, 10 ..."""
    reach = 2 * max(course.outer_radius for course in told.dome.courses)
    most = float(told.found.most.max())
    if most <= 0 or most >= SHOWN * reach:
        return 1.0
    wanted = min(SHOWN * reach / most, 1000.0)
    power = 10.0 ** math.floor(math.log10(wanted))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= wanted)


def _places(told: Shaking, corners: Sequence[int]) -> Floats:
    """(f, n, 4, 3): corners of one face of every block at every frame, motions enlarged."""
    found, grow = told.found, enlarged(told)
    blocks = np.array([[block.corners[k] for k in corners] for block in told.layout.blocks])
    first = found.centre[0]
    arms = blocks - first[:, None, :]
    turned = np.einsum("fnij,nkj->fnki", found.turned, arms)
    moved = turned + found.centre[:, :, None, :] - blocks
    out: Floats = blocks + grow * moved
    return out


def _face(shapes: Floats, times: str, style: str, at: int | None) -> str:
    """A polygon (f, 4, 2) in mm that goes through its frames; at: only that frame."""

    def points(shape: Floats) -> str:
        return " ".join(f"{_n(float(x))},{_n(float(y))}" for x, y in shape)

    if at is not None or float(np.abs(shapes - shapes[0]).max()) < MOVES:
        return f'<polygon points="{points(shapes[at or 0])}" {style}/>'
    values = ";".join(points(shape) for shape in [*shapes, shapes[-1]])
    return (
        f'<polygon points="{points(shapes[0])}" {style}><animate attributeName="points" dur="{LENGTH:g}s"'
        f' repeatCount="indefinite" keyTimes="{times}" values="{values}"/></polygon>'
    )


def shake_svg(told: Shaking, at: int | None = None) -> str:
    """The film, or with `at` one of its frames (-1: the last)."""
    found = told.found
    count = len(found.times)
    at = None if at is None else at % count
    whole = max(float(found.times[-1]), 1e-9)
    times = ";".join(f"{HOLDS * t / whole:.4f}" for t in found.times) + ";1"
    reach = max(course.outer_radius for course in told.dome.courses)
    low, high = min(c.z_bottom for c in told.dome.courses), max(c.z_top for c in told.dome.courses)
    scale = (ROOM - 2 * MARGIN) / (2 * reach) * 0.9
    tall = max(high - low, 2 * reach) * scale
    sheet = Sheet(WIDTH, HEAD + tall + FOOT + ROOM_FOR_WORDS, scale, 0.0, 0.0)
    s, c = math.sin(told.bearing), math.cos(told.bearing)
    foot = HEAD + tall
    style = f'fill="{CLAY}" stroke="{INK}" stroke-width="0.12" stroke-linejoin="round"'
    # From the side: the motion runs to the right, the viewer stands on the side of its right hand.
    outer = _places(told, OUTER)
    right, depth = outer[..., 0] * s + outer[..., 1] * c, outer[..., 0] * c - outer[..., 1] * s
    side = np.stack([ROOM / 2 + right * scale, foot - (outer[..., 2] - low) * scale], axis=-1)
    near = depth[0].mean(axis=1)
    for k in np.argsort(near, kind="stable"):
        if near[k] > 0:
            sheet.parts.append(_face(side[:, k], times, style, at))
    upper = _places(told, UPPER)
    over = np.stack(
        [
            WIDTH - ROOM / 2 + (upper[..., 0] * s + upper[..., 1] * c) * scale,
            foot - tall / 2 + (upper[..., 0] * c - upper[..., 1] * s) * scale,
        ],
        axis=-1,
    )
    for k in np.argsort(upper[0, :, :, 2].mean(axis=1), kind="stable"):
        sheet.parts.append(_face(over[:, k], times, style, at))
    sheet.line(MARGIN, foot, ROOM - MARGIN, foot, width=0.3)
    _words(sheet, told, foot)
    title = _("{name} on a moving ground", name=told.design.name)
    return sheet.svg(title, found_words(told), design_sha256(told.design))


def _words(sheet: Sheet, told: Shaking, foot: float) -> None:
    grow = enlarged(told)
    sheet.text(ROOM / 2, 6.0, _("From the side"), size=PHONE_SIZE, anchor="middle", bold=True)
    sheet.text(WIDTH - ROOM / 2, 6.0, _("From above"), size=PHONE_SIZE, anchor="middle", bold=True)
    said = _("motion to the right; as large as computed")
    if grow != 1:
        said = _("motion to the right; drawn {times:g} times", times=grow)
    sheet.text(WIDTH / 2, foot + 6.0, said, size=PHONE_SIZE, anchor="middle", colour=FAINT)
    stopped = told.found.how != "ended"
    y = foot + 12.0
    paragraphs = [(asked_words(told), INK), (found_words(told), RED if stopped else INK)]
    for words, colour in (*paragraphs, *((text, FAINT) for text in review_sentences())):
        for line in wrapped_to(words, WIDTH - 2 * MARGIN, PHONE_SIZE):
            sheet.text(MARGIN, y, line, size=PHONE_SIZE, colour=colour)
            y += 4.6
    sheet.text(MARGIN, y + 1.0, _("A study of a model, never a verdict."), size=PHONE_SIZE, bold=True, colour=RED)
