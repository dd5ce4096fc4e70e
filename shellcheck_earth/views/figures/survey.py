"""Drawings of a survey: the wall as it stands with the courses to come, and how far each course stands off its curve.
Drawn as wide as they are printed, their letters are 10 points: they are read on site.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import INCH
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.studies.survey.survey import Deviation
from shellcheck_earth.views.figures.letters import LEAST_SIZE, advance
from shellcheck_earth.views.figures.outline import Frame, Mark, bare_section
from shellcheck_earth.views.figures.size import scale_bar
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, Sheet
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.survey.lengths import chain, signed

__all__ = ["WIDTH", "off_curve_drawing", "wall_drawing"]

WIDTH = 140.0
"""Of both sheets [mm]: on a page whose text is 174 mm wide and more, 2.85 mm become 3.54, which is 10 points."""

FRAME = Frame(WIDTH, 40.0, 12.0, 29.0, 14.0)

AROUND, LOWEST = 37.0, 20.0
"""Of the sheet of a wall, over and under the dome; a dome that would be lower is not drawn [mm]."""


def wall_drawing(dome: Dome, laid: int, aim: int | None, wet: Mapping[int, float], room: float) -> str | None:
    """SVG: the courses that stand, wet as they are, those to come dashed; None where `room` is too little.

    Parameters
    ----------
    dome
        The wall as it stands, with the courses to come [m].
    laid
        Number of the top course that stands, or is to stand when courses have been taken down.
    aim
        Number of the course to be laid next; None where none is.
    wet
        How deep courses are wet from outside [m], by number.
    room
        Greatest height of the sheet [mm].
    """
    tallest = room - AROUND
    if tallest < LOWEST:
        return None
    marks = []
    if dome.courses[0].number <= laid < dome.top_number:
        top = dome.course(laid)
        marks.append(Mark(top.z_top, (_("stands up to"), _("course {number}", number=laid)), top.outer_radius))
    wetted = {number: depth for number, depth in wet.items() if depth > 0 and number <= laid}
    sheet = bare_section(dome, wetted, laid, marks, tallest, FRAME, aim)
    scale_bar(sheet, sheet.height - 4.2, dome.design.unit_system)
    if wetted:
        words = _("wetted by rain")
        x = WIDTH - 11.0 - advance(words, LEAST_SIZE)
        sheet.bar(x, sheet.height - 4.6, 6, 2.0, fill="url(#water)")
        sheet.text(x + 7.5, sheet.height - 2.6, words, size=LEAST_SIZE)
    return sheet.svg(_("The wall as it stands"), _("Section to scale: the courses that stand, those to come dashed."))


HEAD, FOOT, THINNEST, THICKEST = 6.0, 7.0, 3.0, 5.4
"""Over and under the rows of bars; the thinnest row, which a number still fits into, and the thickest [mm]."""

MIDDLE, HALF, SAID = 66.0, 38.0, 128.0
"""Where no deviation is drawn, the longest bar, where numbers end [mm]."""

STEPS: Mapping[str, Sequence[float]] = {
    "metric": (0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5),
    "imperial": (INCH / 4, INCH / 2, INCH, 2 * INCH, 4 * INCH, 8 * INCH, 20 * INCH),
}
"""Deviations that a line is drawn at [m]."""


def off_curve_drawing(found: Sequence[Deviation], system: str, room: float) -> str | None:
    """SVG: a bar a course from its curve to where its ring stands in the mean, and a line from its innermost side to
    its outermost; None where nothing was measured, or `room` [mm] is too little for a line of words a course.
    """
    row = min((room - HEAD - FOOT) / max(len(found), 1), THICKEST)
    if not found or row < THINNEST:
        return None
    steps = STEPS["imperial" if system == "imperial" else "metric"]
    widest = max(max(abs(one.off_curve) + one.shift for one in found), steps[0])
    scale = HALF / widest
    height = HEAD + row * len(found) + FOOT
    sheet = Sheet(width=WIDTH, height=height, scale=scale, x_zero=MIDDLE, y_zero=0.0)
    low, high = HEAD, height - FOOT
    at = max(step for step in steps if step <= widest)
    sheet.text(2.0, HEAD - 2.2, _("course"), size=LEAST_SIZE, colour=FAINT)
    for side, words in (
        (-1, _("{length} inside", length=chain(at, system))),
        (1, _("{length} outside", length=chain(at, system))),
    ):
        sheet.line(sheet.x(side * at), low, sheet.x(side * at), high, width=0.12, dash="1.2 0.8", colour=FAINT)
        sheet.text(sheet.x(side * at), HEAD - 2.2, words, size=LEAST_SIZE, anchor="middle", colour=FAINT)
    for index, one in enumerate(reversed(found)):
        y = low + row * (index + 0.5)
        start, end = sorted((sheet.x(0.0), sheet.x(one.off_curve)))
        sheet.bar(start, y - 0.3 * row, end - start, 0.6 * row, fill=CLAY)
        sheet.line(sheet.x(one.off_curve - one.shift), y, sheet.x(one.off_curve + one.shift), y, width=0.5)
        sheet.text(2.0, y + 1.0, str(one.number), size=LEAST_SIZE)
        sheet.text(SAID, y + 1.0, signed(one.off_curve, system), size=LEAST_SIZE, anchor="end")
    sheet.line(MIDDLE, low - 1.0, MIDDLE, high, width=0.35)
    sheet.bar(2.0, height - 4.4, 6.0, 2.0, fill=CLAY)
    sheet.text(9.5, height - 2.6, _("the ring in the mean"), size=LEAST_SIZE)
    sheet.line(66.0, height - 3.4, 72.0, height - 3.4, width=0.5)
    sheet.text(73.5, height - 2.6, _("from side to side"), size=LEAST_SIZE)
    return sheet.svg(_("How far does each course stand off its curve?"), _("One bar a course, top course first."))
