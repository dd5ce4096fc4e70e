"""The section of a preview: the drawing of the report, with the band, the governing bed, what tips and what moves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand
from shellcheck_earth.views.figures.explain.courses import MOVED, corners, moved, moves
from shellcheck_earth.views.figures.explain.marks import marks
from shellcheck_earth.views.figures.outline import bare_section
from shellcheck_earth.views.figures.ringed import heavy_bed, leader
from shellcheck_earth.views.figures.size import scale_bar
from shellcheck_earth.views.figures.strokes import FAINT, INK, RED, Sheet
from shellcheck_earth.views.page.preview import Preview
from shellcheck_earth.views.text.page.live import drawing_words, governing_words, tipping_words

__all__ = ["DRAWN", "TURNED", "draw_moving", "motion_size", "preview_svg"]

DRAWN, TURNED = 0.13, 0.6
"""The largest motion is drawn as this share of the height, and no rotation larger than this [rad]."""


def preview_svg(shown: Preview) -> str:
    """The section to scale as SVG; a mechanism's pieces carry their places at rest, so that the page can move them."""
    sheet = bare_section(shown.dome, shown.wetted, shown.laid)
    _tipping(sheet, shown)
    for side in (-1, 1):
        _band(sheet, shown.band, side)
    if shown.collapse is not None:
        _mechanism(sheet, shown, shown.collapse)
    _governing(sheet, shown)
    scale_bar(sheet, sheet.height - 4.2, shown.dome.design.unit_system)
    title, described = drawing_words(shown)
    return sheet.svg(title, described)


def _band(sheet: Sheet, band: ThrustBand, side: int) -> None:
    """Ink between the innermost and the outermost place of any line; dashed where the paths end in a bed."""
    inner = [(sheet.x(side * float(x)), sheet.y(float(z))) for x, z in zip(band.x_low, band.z, strict=True)]
    outer = [(sheet.x(side * float(x)), sheet.y(float(z))) for x, z in zip(band.x_high, band.z, strict=True)]
    if not inner:
        return
    if band.failing < 0:
        sheet.path(inner + outer[::-1], width=0.25, fill=INK, closed=True, opacity=0.45)
    else:
        sheet.path(inner + outer[::-1], width=0.25, fill="none", closed=True, dash="0.8 0.5")


def _governing(sheet: Sheet, shown: Preview) -> None:
    """The bed that fails, else the bed of the margin that comes shortest: drawn heavy and ringed."""
    least = shown.least
    number = shown.failing_course if not shown.stands else None if least is None else least.course
    if number is None:
        return
    try:
        course = shown.dome.course(number)
    except KeyError:
        return
    ring = heavy_bed(sheet, course)
    label_x = sheet.x(max(c.outer_radius for c in shown.dome.courses)) + 5.0
    words = governing_words(shown)
    label_y = min(max(ring[1] - 2.0, 12.0), sheet.y(shown.dome.ground) - 3.4 * len(words) - 1.0)
    sheet.parts.append('<g class="label">')
    leader(sheet, ring, label_x, label_y)
    for index, text in enumerate(words):
        sheet.text(label_x, label_y + 0.8 + 3.3 * index, text, size=2.6, bold=index == 0)
    sheet.parts.append("</g>")


def _tipping(sheet: Sheet, shown: Preview) -> None:
    """Courses of which a short piece tips inward by itself: dots on their inner edge, and a word at the lowest."""
    laid = shown.dome.top_number if shown.laid is None else shown.laid
    courses = [shown.dome.course(number) for number in shown.tips if number <= laid]
    for course in courses:
        for side in (-1, 1):
            x = sheet.x(side * course.inner_radius) + 1.1 * side
            sheet.circle(x, sheet.y(course.z_mid), 0.55, fill=FAINT, stroke="#ffffff", width=0.15)
    if courses:
        y = sheet.y(courses[0].z_mid)
        x = sheet.x(-courses[0].outer_radius)
        sheet.line(3.0, y - 3.4, x - 1.0, y, width=0.2)
        for index, text in enumerate(tipping_words(courses[0].number)):
            sheet.text(0.5, y - 6.6 + 3.0 * index - 1.6, text, size=2.3)


def motion_size(courses: Sequence[Course], found: Collapse) -> float:
    """By how much the rates of a mechanism are multiplied in a picture [m]."""
    height = max(course.z_top for course in courses) - min(course.z_bottom for course in courses)
    return min(DRAWN * height, TURNED / max(float(abs(found.theta).max()), 1e-9))


def _mechanism(sheet: Sheet, shown: Preview, found: Collapse) -> None:
    courses = tuple(reversed([course for course in shown.dome.courses if course.number <= shown.case.stage]))
    draw_moving(sheet, courses, found)
    marks(sheet, courses, found)


def draw_moving(sheet: Sheet, courses: Sequence[Course], found: Collapse) -> None:
    """What moves, in one colour, on both sides; what stays keeps its pale clay. Courses from the top."""
    size = motion_size(courses, found)
    sheet.parts.append('<g class="mechanism">')
    for index in reversed(range(len(courses))):
        if not moves(found, index, courses[index]):
            continue
        rest, gone = corners(courses[index]), moved(found, index, courses[index], size)
        for side in (-1, 1):
            places = [" ".join(_places(sheet, points, side)) for points in (rest, gone)]
            sheet.parts.append(
                f'<polygon class="moves" data-rest="{places[0]}" data-gone="{places[1]}" points="{places[1]}"'
                f' fill="{MOVED}" stroke="{RED}" stroke-width="0.3" stroke-linejoin="round"/>'
            )
    sheet.parts.append("</g>")


def _places(sheet: Sheet, points: Sequence[tuple[float, float]], side: int) -> Iterator[str]:
    for r, z in points:
        yield f"{sheet.x(side * r):.2f},{sheet.y(z):.2f}"
