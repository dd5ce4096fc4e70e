"""The section of the dome, to scale, written straight as SVG. One unit of the drawing is one millimetre on A4 paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.safety.laying import first_needing_hand
from shellcheck_earth.safety.result import CaseResult, Result, ThrustLine
from shellcheck_earth.views.figures.decisive import decisive
from shellcheck_earth.views.figures.handed_in import handed_in_words
from shellcheck_earth.views.figures.letters import LEAST_SIZE, LINE, advance, wrapped_to
from shellcheck_earth.views.figures.outline import (
    TALLEST,
    WIDE,
    Frame,
    Mark,
    bare_section,
    length_shown,
    phone_frame,
)
from shellcheck_earth.views.figures.ringed import heavy_bed, leader
from shellcheck_earth.views.figures.size import scale_bar
from shellcheck_earth.views.figures.strokes import FAINT, INK, RED, Sheet
from shellcheck_earth.views.report.governing import drawn_case
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.verdict import deciding_line

__all__ = ["design_svg", "section_svg"]


def section_svg(
    assessment: Result,
    *,
    case_id: str | None = None,
    wetted: Mapping[int, float] | None = None,
    first_by_hand: int | None = None,
    tallest: float = TALLEST,
    phone: bool = False,
) -> str:
    """The section as SVG.

    case_id        whose thrust lines are drawn (default: the governing case that has any, else finished-dry)
    wetted         course number -> depth of its wetted outer band [m], drawn with a water hatch
    first_by_hand  the first course of which a short piece has to be held by hand (default: from the calendar, where
                   the assessment holds one)
    tallest        greatest height of the dome on paper [mm]
    phone          on a narrow sheet, whose words can be read 390 pixels wide, with all of them under the drawing
    """
    dome, design = assessment.dome, assessment.design
    case = drawn_case(assessment) if case_id is None else assessment.case(case_id)
    if first_by_hand is None and assessment.weather is not None:
        first_by_hand = first_needing_hand(assessment.weather.laying)
    marks, wet = _marks(assessment, first_by_hand), wetted or {}
    entries = _phone_entries(assessment, case, wet) if phone else []
    said = _lines_of(case, WIDE.width - (44.0 if wet else 4.0))
    frame = phone_frame(len(entries)) if phone else replace(WIDE, foot=WIDE.foot + LINE * (len(said) - 1))
    sheet = bare_section(dome, wet, marks=marks, tallest=tallest, frame=frame)
    _thrust(sheet, case)
    _forces(sheet, dome, case, design.unit_system, named=not phone)
    if phone:
        _ringed(sheet, assessment)
        _phone_foot(sheet, entries, frame, design.unit_system)
    else:
        _governing_bed(sheet, assessment)
        _foot(sheet, case, said, wet, frame, design.unit_system)
    return sheet.svg(
        _("Section of {name}", name=design.name),
        " ".join(
            (
                _to_scale(dome),
                _("Thrust lines: {case}.", case=said_below(case.title)),
                deciding_line(assessment),
            )
        ),
        design_sha256(design),
    )


def design_svg(design: Design) -> str:
    """The section of a design alone, before any force is known; UnbuildableError where no such dome can be built."""
    check_buildable(design, design.name)
    dome = build_dome(design)
    sheet = bare_section(dome, {})
    scale_bar(sheet, sheet.height - 4.2, design.unit_system)
    return sheet.svg(
        _("Section of {name}", name=design.name),
        " ".join((_to_scale(dome), _("Nothing is said of whether it stands."))),
    )


def _to_scale(dome: Dome) -> str:
    return _(
        "Section to scale: {courses} courses, top {height} above the floor.",
        courses=len(dome.courses),
        height=length_shown(dome.design, dome.top - dome.floor),
    ) + "".join(f" {said}" for said in (handed_in_words(dome),) if said)


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


def _force(value: float, system: str) -> str:
    return format_quantity(value, "force", system)


def _forces(sheet: Sheet, dome: Dome, case: CaseResult, system: str, *, named: bool = True) -> None:
    """Reaction and thrust of the middlemost line where they act on the ground, per radian of circumference."""
    line = next((one for one in case.lines if one.kind == "middlemost"), None)
    if line is None:
        return
    x, y, H = sheet.x(line.x[-1]), sheet.y(line.z[-1]), line.H[-1]
    sheet.arrow(x, y + 9, x, y + 0.6, width=0.5)
    if named:
        up, _sideways = _pushes(line, system)
        sheet.text(x - 1.6, y + 10.0, up, size=LEAST_SIZE, anchor="end")
    if abs(H) > 0.005 * line.V[-1]:
        way = 1 if H < 0 else -1  # the ground pushes back: inward where the dome thrusts outward
        sheet.arrow(x - way * 8, y + 4.5, x - way * 0.8, y + 4.5, width=0.5)
        if named:
            sheet.text(x + 10 if way < 0 else x + 1.6, y + 5.5, _pushes(line, system)[1], size=LEAST_SIZE)
    _ring_force(sheet, dome, case, line, system)


def _pushes(line: ThrustLine, system: str) -> tuple[str, str]:
    """What the ground pushes up with, and sideways; "" where that is next to nothing."""
    V, H = line.V[-1], line.H[-1]
    up = _("{force}/rad up", force=_force(V, system))
    if abs(H) <= 0.005 * V:
        return up, ""
    way = mark("{force}/rad inward") if H > 0 else mark("{force}/rad outward")
    return up, _(way, force=_force(abs(H), system))


def _ring_force(sheet: Sheet, dome: Dome, case: CaseResult, line: ThrustLine, system: str) -> None:
    """The greatest force that runs around a ring, and in which course."""
    if not any(value > 0 for value in line.ring):
        return
    index = max(range(len(line.ring)), key=lambda i: line.ring[i])
    number = dome.top_number - index if case.stage == dome.top_number else case.stage - index
    course = dome.course(number)
    words = _("greatest ring force {force}, course {course}", force=_force(line.ring[index], system), course=number)
    x, y = min(sheet.x(dome.courses[-1].outer_radius) + 9, sheet.width - advance(words, LEAST_SIZE) - 0.5), 3.4
    sheet.line(
        x - 0.6, y - 0.7, sheet.x(course.outer_radius - course.width / 2), sheet.y(course.z_mid), width=0.15
    )  # fmt: skip
    sheet.text(x, y, words, size=LEAST_SIZE)


def _ringed(sheet: Sheet, assessment: Result) -> tuple[float, float, float] | None:
    """The bed of what decides drawn heavy; the place of its ring, None where no bed does."""
    said = decisive(assessment)
    return None if said is None or said.course is None else heavy_bed(sheet, said.course)


def _governing_words(assessment: Result, room: float, most: int = 99) -> tuple[list[str], list[str]]:
    """(in bold, plain): which bed, which check, how much of what is required, in which case; [] where no bed does.

    most: lines that there is room for; what comes last, which the page says too, is left out for it."""
    said = decisive(assessment)
    if said is None:
        return [], []
    bold = [line for text in said.bold for line in wrapped_to(text, room, LEAST_SIZE, bold=True)]
    plain = [wrapped_to(text, room, LEAST_SIZE) for text in said.plain]
    while len(plain) > 1 and len(bold) + sum(map(len, plain)) > most:
        plain.pop()
    return bold, [line for lines in plain for line in lines]


HIGHEST_WORDS = 8.0
"""From the upper edge to the first words beside the drawing [mm]."""


def _governing_bed(sheet: Sheet, assessment: Result) -> None:
    ring = _ringed(sheet, assessment)
    label_x = WIDE.width - WIDE.right + 5.0
    free = sheet.y(assessment.dome.ground) - 2.0
    bold, plain = _governing_words(assessment, WIDE.right - 6.0, round((free - HIGHEST_WORDS) / LINE))
    words = bold + plain
    if not words:
        return
    beside = HIGHEST_WORDS if ring is None else ring[1] - 2.0
    label_y = max(min(max(beside, HIGHEST_WORDS + 1.0), free - LINE * len(words)), HIGHEST_WORDS)
    if ring is not None:
        leader(sheet, ring, label_x, label_y)
    for index, text in enumerate(words):
        sheet.text(label_x, label_y + 0.8 + LINE * index, text, size=LEAST_SIZE, bold=index < len(bold))


def _marks(assessment: Result, first_by_hand: int | None) -> list[Mark]:
    """Where the courses begin that step in most (common practice, no source), and from where hands must hold."""
    dome, out = assessment.dome, []
    laying = () if assessment.weather is None else assessment.weather.laying
    number = next((row.number for row in laying if row.top_third), None)
    if number is not None:
        course = dome.course(number)
        out.append(
            Mark(course.z_bottom, (_("top third:"), _("course {number} and up", number=number)), course.outer_radius)
        )
    if first_by_hand is not None:
        course = dome.course(first_by_hand)
        words = (_("short pieces"), _("held by hand from"), _("course {number}", number=first_by_hand))
        out.append(Mark(course.z_mid, words, course.outer_radius))
    return out


def _lines_of(case: CaseResult, room: float) -> list[str]:
    """Of which case the lines are that are drawn, or why there are none: the last lines under the drawing."""
    if not case.lines:
        return wrapped_to(_without_lines(case), room, LEAST_SIZE, bold=True)
    words = _("Lines: {case}; /rad: on each of the ring's 6.28 radians", case=said_below(case.title))
    return wrapped_to(words, room, LEAST_SIZE)


def _foot(
    sheet: Sheet, case: CaseResult, said: Sequence[str], wetted: Mapping[int, float], frame: Frame, system: str
) -> None:
    """The key: scale bar, band and middlemost line, and of which case they are."""
    middle = sheet.height - frame.foot + 6.0
    scale_bar(sheet, middle, system)
    at = max(60.0, sheet.scale + 42.0)
    if case.lines:
        sheet.bar(at, middle - 0.4, 6, 2.0, fill=INK, opacity=0.30)
        band = _("between least and greatest thrust")
        sheet.text(at + 7, middle + 1.6, band, size=LEAST_SIZE)
        beside = at + max(66.0, 10.0 + advance(band, LEAST_SIZE))
        sheet.line(beside, middle + 0.6, beside + 6, middle + 0.6, width=0.6)
        sheet.text(beside + 7, middle + 1.6, _("middlemost line"), size=LEAST_SIZE)
    for index, words in enumerate(said):
        y, plain = middle + 6.0 + LINE * index, bool(case.lines)
        sheet.text(2.0, y, words, size=LEAST_SIZE, bold=not plain, colour=FAINT if plain else INK)
    if wetted:
        x = WIDE.width - 40.0
        sheet.bar(x, middle + 4.0, 6, 2.0, fill="url(#water)")
        sheet.text(x + 7, middle + 6.0, _("wetted by rain"), size=LEAST_SIZE)


def _without_lines(case: CaseResult) -> str:
    """Why no line is drawn, and of which case."""
    if case.status == "inadmissible":
        return _("No thrust line exists: {case}", case=said_below(case.title))
    return _("No thrust line was computed: {case}", case=said_below(case.title))


@dataclass(frozen=True)
class _Entry:
    """One line under the drawing of a phone: its sign (scale, band, line, water, ring or none) and its words."""

    sign: str
    words: str
    bold: bool = False


def _phone_entries(assessment: Result, case: CaseResult, wetted: Mapping[int, float]) -> list[_Entry]:
    """Everything that stands beside the drawing on a wide sheet, line by line, in the same order of weight."""
    room = phone_frame(0).width - 11.0
    bold, plain = _governing_words(assessment, room)
    said = decisive(assessment)
    sign = "ring" if said is not None and said.course is not None else ""
    out = [_Entry("" if index else sign, words, bold=True) for index, words in enumerate(bold)]
    out += [_Entry("", words) for words in plain]
    out.append(_Entry("scale", ""))
    if case.lines:
        out.append(_Entry("band", _("between least and greatest thrust")))
        out.append(_Entry("line", _("middlemost line")))
        middlemost = next((one for one in case.lines if one.kind == "middlemost"), None)
        pushes = () if middlemost is None else _pushes(middlemost, assessment.design.unit_system)
        out += [_Entry("", words) for words in pushes if words]
        lines = _("Lines: {case}; /rad: on each of the ring's 6.28 radians", case=said_below(case.title))
        out += [_Entry("", words) for words in wrapped_to(lines, room, LEAST_SIZE)]
    else:
        out += [_Entry("", words, bold=True) for words in wrapped_to(_without_lines(case), room, LEAST_SIZE, bold=True)]
    if wetted:
        out.append(_Entry("water", _("wetted by rain")))
    return out


def _phone_foot(sheet: Sheet, entries: Sequence[_Entry], frame: Frame, system: str) -> None:
    y = sheet.height - frame.foot + 2.6 + 2 * LINE
    for one in entries:
        if one.sign == "scale":
            scale_bar(sheet, y - 1.6, system)
        elif one.sign == "line":
            sheet.line(2.0, y - 1.0, 8.0, y - 1.0, width=0.6)
        elif one.sign == "ring":
            sheet.circle(5.0, y - 1.0, 1.3, fill="none", stroke=RED, width=0.7)
        elif one.sign:
            faint = 0.30 if one.sign == "band" else 1.0
            sheet.bar(2.0, y - 2.0, 6, 2.0, fill=INK if one.sign == "band" else "url(#water)", opacity=faint)
        if one.words:
            sheet.text(9.5, y, one.words, size=LEAST_SIZE, bold=one.bold)
        y += LINE
