"""The section of the dome, to scale, written straight as SVG. One unit of the drawing is one millimetre on A4 paper."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.laying import first_needing_hand
from shellcheck_earth.safety.result import CaseResult, Result, ThrustLine
from shellcheck_earth.views.figures.outline import RIGHT, WIDTH, bare_section, length_shown, scale_bar
from shellcheck_earth.views.figures.ringed import heavy_bed, leader
from shellcheck_earth.views.figures.strokes import FAINT, INK, Sheet
from shellcheck_earth.views.report.governing import drawn_case, governing
from shellcheck_earth.views.text.numbers import factor_words, outcome_words, required_words
from shellcheck_earth.views.text.verdict import deciding_line

__all__ = ["design_svg", "section_svg"]


def section_svg(
    assessment: Result,
    *,
    case_id: str | None = None,
    wetted: Mapping[int, float] | None = None,
    first_by_hand: int | None = None,
) -> str:
    """The section as SVG.

    case_id        whose thrust lines are drawn (default: the governing case that has any, else finished-dry)
    wetted         course number -> depth of its wetted outer band [m], drawn with a water hatch
    first_by_hand  the first course of which a short piece has to be held by hand (default: from the calendar, where
                   the assessment holds one)
    """
    dome, design = assessment.dome, assessment.design
    case = drawn_case(assessment) if case_id is None else assessment.case(case_id)
    sheet = bare_section(dome, wetted or {})
    _thrust(sheet, case)
    _forces(sheet, dome, case, design.unit_system)
    _governing_bed(sheet, assessment)
    if first_by_hand is None and assessment.weather is not None:
        first_by_hand = first_needing_hand(assessment.weather.laying)
    if assessment.weather is not None:
        _top_third(sheet, dome, next((row.number for row in assessment.weather.laying if row.top_third), None))
    if first_by_hand is not None:
        _by_hand(sheet, dome, first_by_hand)
    _foot(sheet, case, wetted or {})
    return sheet.svg(
        f"Section of {design.name}",
        f"Section to scale: {len(dome.courses)} courses, top {length_shown(design, dome.top - dome.floor)} above the"
        f" floor. Thrust lines: {case.title}. {deciding_line(assessment)}",
        design_sha256(design),
    )


def design_svg(design: Design) -> str:
    """The section of a design alone, before any force is known; UnbuildableError where no such dome can be built."""
    check_buildable(design, design.name)
    dome = build_dome(design)
    sheet = bare_section(dome, {})
    scale_bar(sheet, sheet.height - 4.2)
    return sheet.svg(
        f"Section of {design.name}",
        f"Section to scale: {len(dome.courses)} courses, top {length_shown(design, dome.top - dome.floor)} above the"
        " floor. Nothing is said of whether it stands.",
    )


def _points(sheet: Sheet, line: ThrustLine, side: int) -> list[tuple[float, float]]:
    return [(sheet.x(side * x), sheet.y(z)) for x, z in zip(line.x, line.z, strict=True)]


def _thrust(sheet: Sheet, case: CaseResult) -> None:
    lines = {line.kind: line for line in case.lines}
    for side in (-1, 1):
        if "least" in lines and "greatest" in lines:
            band = _points(sheet, lines["least"], side) + _points(sheet, lines["greatest"], side)[::-1]
            sheet.path(band, width=0.0, colour="none", fill=INK, closed=True, opacity=0.30)
            for kind in ("least", "greatest"):
                sheet.path(_points(sheet, lines[kind], side), width=0.2)
        if "middlemost" in lines:
            sheet.path(_points(sheet, lines["middlemost"], side), width=0.6)
    if not case.lines:
        sheet.text(
            sheet.x(0),
            sheet.y(0) - 3.0,
            "no thrust line exists in this case" if case.status == "inadmissible" else "no thrust line was computed",
            size=2.6,
            anchor="middle",
            bold=True,
        )


def _force(value: float, system: str) -> str:
    return format_quantity(value, "force", system)


def _forces(sheet: Sheet, dome: Dome, case: CaseResult, system: str) -> None:
    """Reaction and thrust of the middlemost line where they act on the ground, per radian of circumference."""
    line = next((one for one in case.lines if one.kind == "middlemost"), None)
    if line is None:
        return
    x, y, H = sheet.x(line.x[-1]), sheet.y(line.z[-1]), line.H[-1]
    sheet.arrow(x, y + 9, x, y + 0.6, width=0.5)
    sheet.text(x - 1.2, y + 8.8, f"{_force(line.V[-1], system)}/rad up", size=2.3, anchor="end")
    if abs(H) > 0.005 * line.V[-1]:
        way = 1 if H < 0 else -1  # the ground pushes back: inward where the dome thrusts outward
        sheet.arrow(x - way * 8, y + 4.5, x - way * 0.8, y + 4.5, width=0.5)
        sheet.text(
            x + 10 if way < 0 else x + 1.2,
            y + 5.3,
            f"{_force(abs(H), system)}/rad {'inward' if way < 0 else 'outward'}",
            size=2.3,
        )
    outer = dome.courses[-1].outer_radius
    top = next((value for value in line.ring if value > 0), None)
    if top is not None:
        index = max(range(len(line.ring)), key=lambda i: line.ring[i])
        number = dome.top_number - index if case.stage == dome.top_number else case.stage - index
        course = dome.course(number)
        text_x, text_y = sheet.x(outer) + 9, sheet.y(dome.top) - 3.0
        sheet.line(
            text_x - 0.6,
            text_y - 0.7,
            sheet.x(course.outer_radius - course.width / 2),
            sheet.y(course.z_mid),
            width=0.15,
        )
        sheet.text(text_x, text_y, f"greatest ring force {_force(line.ring[index], system)}, course {number}", size=2.3)


def _governing_bed(sheet: Sheet, assessment: Result) -> None:
    found = governing(assessment)
    if found is None or found[1].course is None:
        return
    case, margin = found
    try:
        course = assessment.dome.course(found[1].course)
    except KeyError:
        return
    ring = heavy_bed(sheet, course)
    label_x = WIDTH - RIGHT + 4.0
    kind = "" if course.kind == "arc" else f"{course.kind} "
    words = [
        f"bed under {kind}course {course.number}:",
        margin.check,
        *_outcome(margin.factor, margin.required, margin.meets),
    ]
    words += textwrap.wrap(case.title, 26)[:3]
    drawn = drawn_case(assessment)
    if drawn.id != case.id:
        words += textwrap.wrap(f"(lines drawn: {drawn.title})", 30)[:3]
    label_y = min(max(ring[1] - 2.0, 14.0), sheet.y(assessment.dome.ground) - 2.9 * len(words) - 1.0)
    leader(sheet, ring, label_x, label_y)
    for index, text in enumerate(words):
        sheet.text(label_x, label_y + 0.8 + 2.9 * index, text, size=2.3, bold=index < 2)


def _outcome(factor: float | None, required: float, meets: bool | None) -> list[str]:
    said = outcome_words(meets)
    return [
        f"{said}"
        if factor is None
        else f"{factor_words(factor, required)}, required {required_words(required)}: {said}"
    ]


def _top_third(sheet: Sheet, dome: Dome, number: int | None) -> None:
    """Where the courses begin that step in most (common practice, no source)."""
    if number is None:
        return
    course = dome.course(number)
    x, y = sheet.x(-course.outer_radius), sheet.y(course.z_bottom)
    sheet.line(0.5, y, x - 5.0, y, width=0.2)
    sheet.text(0.5, y + 2.8, "top third:", size=2.1)
    sheet.text(0.5, y + 5.4, f"course {number} and up", size=2.1)


def _by_hand(sheet: Sheet, dome: Dome, number: int) -> None:
    course = dome.course(number)
    x, y = sheet.x(-course.outer_radius), sheet.y(course.z_mid)
    sheet.line(3.0, y - 4.0, x - 5.0, y, width=0.2)
    sheet.text(0.5, y - 7.6, "short pieces held by", size=2.1)
    sheet.text(0.5, y - 5.0, f"hand from course {number}", size=2.1)


def _foot(sheet: Sheet, case: CaseResult, wetted: Mapping[int, float]) -> None:
    """Scale bar on the left, key on the right."""
    y = sheet.height - 4.2
    scale_bar(sheet, y)
    at = 52.0
    if case.lines:
        sheet.bar(at, y - 0.6, 6, 2.0, fill=INK, opacity=0.30)
        sheet.text(at + 7, y + 1.1, "between least and greatest thrust", size=2.2)
        sheet.line(at + 47, y + 0.4, at + 53, y + 0.4, width=0.6)
        sheet.text(at + 54, y + 1.1, "middlemost line", size=2.2)
        sheet.text(at + 76, y + 1.1, textwrap.shorten(case.title, 34, placeholder=" ..."), size=2.2)
        sheet.text(at + 76, y - 2.0, "/rad: on each of the ring's 6.28 radians", size=2.0, colour=FAINT)
    if wetted:
        sheet.bar(at, y - 4.4, 6, 2.0, fill="url(#water)")
        sheet.text(at + 7, y - 2.7, "wetted by rain", size=2.2)
