"""Six domes in a row, weakened until no thrust line is left; and how the dome then collapses."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.studies.explain.ways import Step, Way
from shellcheck_earth.views.figures.explain.courses import (
    MOVED,
    WIDTH,
    Mirror,
    draw_band,
    draw_half,
    drawn_size,
    extent,
    inner_sheet,
    mirrored,
    moved,
    moves,
)
from shellcheck_earth.views.figures.explain.marks import KEY_HEIGHT, key, marks
from shellcheck_earth.views.figures.letters import LEAST_SIZE, wrapped_to
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.explain.shown import value_shown
from shellcheck_earth.views.text.explain.ways import NOUNS
from shellcheck_earth.views.text.language import _

__all__ = ["mechanisms_svg", "steps_svg"]


def _failing_bed(sheet: Sheet, step: Step) -> None:
    course = next((one for one in step.courses if one.number == step.failing_course), None)
    if course is None:
        return
    y = sheet.y(course.z_bottom)
    left, right = sheet.x(course.inner_radius), sheet.x(course.outer_radius)
    sheet.line(left, y, right, y, width=0.8, colour=RED)
    sheet.circle((left + right) / 2, y, (right - left) / 2 + 0.9, fill="none", stroke=RED, width=0.5)


def steps_svg(design: Design, way: Way) -> str:
    """Six domes in a row, the band of thrust lines in each, the number under each and whether a line is left."""
    reach, base, top = extent([step.courses for step in way.steps])
    room = WIDTH / len(way.steps)
    scale = min((room - 4.0) / reach, 40.0 / (top - base))
    height = (top - base) * scale + 17.5
    sheet = Sheet(WIDTH, height, scale, 0.0, 0.0)
    for index, step in enumerate(way.steps):
        panel = inner_sheet(sheet, index * room + (room - reach * scale) / 2, 3.0 + top * scale, scale)
        draw_half(panel, step.courses)
        draw_band(panel, step.band)
        if not step.stands:
            _failing_bed(panel, step)
        middle = index * room + room / 2
        shown = value_shown(design, way.kind, step.value, short=True)
        percent = f"{100 * step.value / design.dome.inside_diameter:.1f} %" if way.kind == "wall" else ""
        under = not step.stands and way.edge is not None and abs(step.value - way.edge[1]) < 1e-3 * way.designed
        words = [_("just under"), shown] if under else [f"{shown} =", percent] if percent else [shown]
        for line, text in enumerate(words):
            sheet.text(middle, height - 8.8 + 3.6 * line, text, size=LEAST_SIZE, anchor="middle", bold=True)
        said = _("a line is left") if step.stands else _("no line: course {course}", course=step.failing_course)
        sheet.text(middle, height - 1.6, said, size=LEAST_SIZE, anchor="middle", colour=INK if step.stands else RED)
    return sheet.svg(
        f"{said_below(way.kind)}: {said_below(way.case_title)}",
        _(
            "Half sections of {name} with the band of all thrust lines, {case}.",
            name=design.name,
            case=said_below(way.case_title),
        ),
    )


def _mechanism(sheet: Sheet, courses: Sequence[Course], found: Collapse, size: float) -> None:
    """Left at rest, with the signs; right the courses that move, displaced."""
    draw_half(sheet, courses)
    for course in courses:
        sheet.path(
            [(sheet.x(r), sheet.y(z)) for r, z in mirrored(course)], width=0.12, colour=FAINT, fill=CLAY, closed=True
        )
    for index in range(len(courses) - 1, -1, -1):
        if moves(found, index, courses[index]):
            places = [(sheet.x(r), sheet.y(z)) for r, z in moved(found, index, courses[index], size)]
            sheet.path(places, width=0.3, colour=RED, fill=MOVED, closed=True)
    base = sheet.y(min(course.z_bottom for course in courses))
    sheet.line(sheet.x(-max(course.outer_radius for course in courses)) - 1.0, base, sheet.x(0), base, width=0.25)
    marks(_flip(sheet), courses, found)


def _flip(sheet: Sheet) -> Sheet:
    """The same place on paper with radii counted to the left."""
    return Mirror(sheet.width, sheet.height, sheet.scale, sheet.x_zero, sheet.y_zero, sheet.parts)


def mechanisms_svg(design: Design, drawn: Sequence[Way]) -> str:
    """How the dome collapses, one section beside the other; ValueError when none of the ways has a mechanism."""
    shown = [way for way in drawn if way.collapse is not None]
    reach, base, top = extent([way.collapsed for way in shown])
    room = WIDTH / max(len(shown), 2)
    left = 0.0 if len(shown) > 1 else (WIDTH - room) / 2
    scale = min((room - 14.0) / (2 * reach), 52.0 / (top - base))
    titles = [wrapped_to(said_below(way.case_title), room - 2.0, LEAST_SIZE, bold=True) for way in shown]
    head = 3.8 * (max(map(len, titles)) - 1)
    height = (top - base) * scale + 14.0 + head + KEY_HEIGHT
    sheet = Sheet(WIDTH, height, scale, 0.0, 0.0)
    for index, (way, lines) in enumerate(zip(shown, titles, strict=True)):
        assert way.collapse is not None
        middle = left + (index + 0.5) * room
        half = inner_sheet(sheet, middle, 10.0 + head + top * scale, scale)
        _mechanism(half, way.collapsed, way.collapse, drawn_size(way))
        first = 3.4 + head - 3.8 * (len(lines) - 1)
        for line, text in enumerate(lines):
            sheet.text(middle, first + 3.8 * line, text, size=LEAST_SIZE, anchor="middle", bold=True)
        shown_at = f"{_(NOUNS[way.kind])} {value_shown(design, way.kind, way.collapsed_value)}"
        sheet.text(middle, 7.2 + head, shown_at, size=LEAST_SIZE, anchor="middle")
    key(sheet, height - 10.4)
    return sheet.svg(
        _("How {name} collapses", name=design.name),
        _(
            "Sections: on the left the dome at rest with the signs of its mechanism, on the right the"
            " courses that move first, displaced, motions enlarged."
        ),
    )
