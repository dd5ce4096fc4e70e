"""The section of the dome, to scale, written straight as SVG. One unit of the drawing is one millimetre on A4 paper."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Mapping

from shellcheck_earth.basics.units import feet_inches, format_quantity
from shellcheck_earth.design.design import Design, Opening
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import Course, Dome, build_dome
from shellcheck_earth.safety.laying import first_needing_hand
from shellcheck_earth.safety.result import CaseResult, Result, ThrustLine
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet
from shellcheck_earth.views.report.governing import drawn_case, governing
from shellcheck_earth.views.text.numbers import factor_words, outcome_words, required_words
from shellcheck_earth.views.text.verdict import deciding_line

__all__ = ["PERSON_HEIGHT", "design_svg", "section_svg"]

PERSON_HEIGHT = 1.7
"""Height of the silhouette [m]."""

WIDTH, LEFT, RIGHT, TOP, BELOW, TALLEST = 174.0, 33.0, 43.0, 9.0, 23.0, 92.0
"""Width of the sheet, its margins and the greatest height of the dome on it [mm]."""


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
    sheet = _bare(dome, wetted or {})
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
        f"Section to scale: {len(dome.courses)} courses, top {_length(design, dome.top - dome.floor)} above the"
        f" floor. Thrust lines: {case.title}. {deciding_line(assessment)}",
        design_sha256(design),
    )


def design_svg(design: Design) -> str:
    """The section of a design alone, before any force is known; UnbuildableError where no such dome can be built."""
    check_buildable(design, design.name)
    dome = build_dome(design)
    sheet = _bare(dome, {})
    _scale_bar(sheet, sheet.height - 4.2)
    return sheet.svg(
        f"Section of {design.name}",
        f"Section to scale: {len(dome.courses)} courses, top {_length(design, dome.top - dome.floor)} above the floor."
        " Nothing is said of whether it stands.",
    )


def _bare(dome: Dome, wetted: Mapping[int, float]) -> Sheet:
    """Ground, openings, courses, plaster, levels, compasses and a person."""
    design = dome.design
    sheet = _sheet(dome, design)
    _ground(sheet, dome)
    _openings(sheet, design, dome)
    _courses(sheet, dome, wetted)
    _plaster(sheet, dome, design)
    _levels(sheet, dome, design)
    _compasses(sheet, dome, design)
    _person(sheet, dome)
    return sheet


def _length(design: Design, metres: float) -> str:
    return feet_inches(metres) if design.unit_system == "imperial" else f"{metres:.2f} m"


def _set(design: Design, metres: float) -> str:
    """A compass setting, as a builder reads it off a tape."""
    return feet_inches(metres) if design.unit_system == "imperial" else f"{1000 * metres:.0f} mm"


def _sheet(dome: Dome, design: Design) -> Sheet:
    reach = max(course.outer_radius for course in dome.courses) + design.plaster.outside
    base = min(dome.base, dome.ground)
    scale = min((WIDTH - LEFT - RIGHT) / (2 * reach), TALLEST / (dome.top - base))
    middle = LEFT + (WIDTH - LEFT - RIGHT) / 2
    zero = TOP + dome.top * scale
    return Sheet(width=WIDTH, height=zero - base * scale + BELOW, scale=scale, x_zero=middle, y_zero=zero)


def _ground(sheet: Sheet, dome: Dome) -> None:
    """Ground outside, floor inside, a few earth strokes under the ground line."""
    inner = dome.courses[0].inner_radius
    outer = max(course.outer_radius for course in dome.courses)
    y = sheet.y(dome.ground)
    for side in (-1, 1):
        near = sheet.x(side * outer)
        room = min(26.0, near - 24.5 if side < 0 else WIDTH - near)
        sheet.line(near, y, near + side * room, y, width=0.35)
        for step in range(int((room - 2) / 3.6) + 1 if room > 2 else 0):
            at = near + side * (2 + 3.6 * step)
            sheet.line(at, y, at - 1.6, y + 1.6, width=0.15, colour=FAINT)
    sheet.line(sheet.x(-inner), sheet.y(dome.floor), sheet.x(inner), sheet.y(dome.floor), width=0.35)


def _courses(sheet: Sheet, dome: Dome, wetted: Mapping[int, float]) -> None:
    for course in dome.courses:
        for side in (-1, 1):
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            sheet.rect(near, course.z_bottom, far, course.z_top, fill=CLAY, stroke=INK, width=0.25, rounding=0.12)
            depth = min(wetted.get(course.number, 0.0), course.width)
            if depth > 0:
                wet = sorted((side * (course.outer_radius - depth), side * course.outer_radius))
                sheet.rect(wet[0], course.z_bottom, wet[1], course.z_top, fill="url(#water)", stroke=INK, width=0.1)
        if (course.number % 5 == 0 and course.kind == "arc") or course.number in (1, dome.top_number):
            sheet.text(
                sheet.x(-course.outer_radius) - 1.2,
                sheet.y(course.z_mid) + 0.75,
                str(course.number),
                size=2.1,
                anchor="end",
                colour=FAINT,
            )


def _plaster(sheet: Sheet, dome: Dome, design: Design) -> None:
    for thickness, which in ((design.plaster.outside, 1), (design.plaster.inside, -1)):
        if thickness <= 0:
            continue
        above = [c for c in dome.courses if c.z_top > (dome.ground if which > 0 else dome.floor)]
        for side in (-1, 1):
            points = []
            for course in above:
                radius = course.outer_radius + thickness if which > 0 else max(course.inner_radius - thickness, 0.0)
                points += [
                    (sheet.x(side * radius), sheet.y(course.z_bottom)),
                    (sheet.x(side * radius), sheet.y(course.z_top)),
                ]
            sheet.path(points, width=0.15, colour=FAINT)


def _levels(sheet: Sheet, dome: Dome, design: Design) -> None:
    """Levels above the finished floor; planes nearer than a line of text share one label."""
    named = [(dome.top, "top"), (0.0, "springing"), (dome.floor, "floor"), (dome.ground, "ground")]
    groups: list[tuple[float, list[str]]] = []
    for level, name in named:
        if groups and abs(groups[-1][0] - level) < 1e-9:
            groups[-1][1].append(name)
        else:
            groups.append((level, [name]))
    last = -math.inf
    outer = max(course.outer_radius for course in dome.courses)
    for level, names in groups:
        y = sheet.y(level)
        shown = max(y, last + 6.0)
        edge = dome.courses[-1].outer_radius if level == dome.top else outer
        if names != ["ground"]:
            sheet.line(24.5, y, sheet.x(-edge) - 1, y, width=0.12, dash="1.2 0.8", colour=FAINT)
        sheet.line(22.0, shown, 24.5, y, width=0.12, colour=FAINT)
        height = level - dome.floor
        sheet.text(21.4, shown - 0.4, " = ".join(reversed(names)), size=2.2, anchor="end")
        sheet.text(
            21.4, shown + 2.2, f"{'+' if height >= 0 else '-'}{_length(design, abs(height))}", size=2.2, anchor="end"
        )
        last = shown


def _aim(dome: Dome) -> Course:
    """The course that the compass arms are drawn to: three quarters of the way up."""
    arcs = [course for course in dome.courses if course.kind == "arc"]
    return arcs[(3 * len(arcs)) // 4 if len(arcs) > 1 else 0]


def _compasses(sheet: Sheet, dome: Dome, design: Design) -> None:
    course = _aim(dome)
    pivot = design.dome.centre_pivot_above_springing
    sheet.cross(sheet.x(0), sheet.y(pivot))
    ends = (sheet.x(0), sheet.y(pivot), sheet.x(-course.inner_radius), sheet.y(course.z_mid))
    sheet.line(*ends, width=0.2, dash="2.2 0.9", colour=FAINT)
    sheet.text_along(*ends, f"centre compass {_set(design, course.compass)}", size=2.1, at=0.34)
    if design.dome.profile == "measured":
        return
    far = (sheet.x(-dome.pivot_radius), sheet.y(0), sheet.x(course.inner_radius), sheet.y(course.z_mid))
    if dome.pivot_radius > 0:
        sheet.cross(far[0], far[1])
    sheet.line(*far, width=0.2, dash="2.2 0.9 0.4 0.9", colour=FAINT)
    # under a low crown the person stands where the upper half of the arm would be named
    at = 0.79 if dome.top - dome.floor > 2.8 else 0.36
    sheet.text_along(*far, f"fixed compass {_set(design, dome.fixed_compass)}", size=2.1, at=at)


def _person(sheet: Sheet, dome: Dome) -> None:
    """A figure of 1.7 m: head, trunk, legs; left out where it does not fit under the crown."""
    inner = min(course.inner_radius for course in dome.courses if course.z_bottom < dome.floor + PERSON_HEIGHT)
    at = min(0.42 * dome.courses[0].inner_radius, inner - 0.30)
    if dome.top - dome.floor < PERSON_HEIGHT + 0.05 or at < 0:
        return

    def place(dx: float, dz: float) -> tuple[float, float]:
        return sheet.x(at + dx), sheet.y(dome.floor + dz)

    body = [
        place(dx, dz)
        for dx, dz in (
            (-0.17, 1.42),
            (0.17, 1.42),
            (0.23, 1.36),
            (0.25, 0.84),
            (0.19, 0.82),
            (0.165, 1.22),
            (0.15, 0.80),
            (0.12, 0.0),
            (0.02, 0.0),
            (0.0, 0.72),
            (-0.02, 0.0),
            (-0.12, 0.0),
            (-0.15, 0.80),
            (-0.165, 1.22),
            (-0.19, 0.82),
            (-0.25, 0.84),
            (-0.23, 1.36),
        )
    ]
    sheet.path(body, width=0.5, colour="#ffffff", fill=FAINT, closed=True)
    x, y = place(0.0, 1.58)
    sheet.circle(x, y, 0.12 * sheet.scale, fill=FAINT, stroke="#ffffff", width=0.3)
    x, y = place(0.0, -0.02)
    sheet.text(x, sheet.y(dome.floor) + 2.7, "1.7 m", size=2.1, anchor="middle", colour=FAINT)


def _openings(sheet: Sheet, design: Design, dome: Dome) -> None:
    """Each opening in elevation, foreshortened by where it lies on plan, dotted."""
    for opening in design.openings:
        _opening(sheet, opening, dome)


def _opening(sheet: Sheet, opening: Opening, dome: Dome) -> None:
    radius = dome.courses[0].inner_radius
    centre = radius * math.sin(opening.bearing)
    half = max(opening.width / 2 * abs(math.cos(opening.bearing)), 0.06)
    low, high = dome.floor + opening.sill, dome.floor + opening.sill + opening.height
    crown = {"lintel": high, "round": high - half, "pointed": high - 1.2 * half}[opening.head]
    left, right = sheet.x(centre - half), sheet.x(centre + half)
    path = [(left, sheet.y(low)), (left, sheet.y(crown))]
    if opening.head == "lintel":
        path.append((right, sheet.y(crown)))
    else:
        power = 1.0 if opening.head == "round" else 0.75
        for step in range(1, 17):
            u = -1 + step / 8
            path.append(
                (sheet.x(centre + half * u), sheet.y(crown + (high - crown) * max(1 - u * u, 0.0) ** (power / 2)))
            )
    path.append((right, sheet.y(low)))
    sheet.path(path, width=0.25, dash="0.6 0.6", closed=True)
    sheet.text(sheet.x(centre), sheet.y(low) - 1.0, opening.kind, size=2.1, anchor="middle")


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
    for side in (-1, 1):
        sheet.line(
            sheet.x(side * course.inner_radius),
            sheet.y(course.z_bottom),
            sheet.x(side * course.outer_radius),
            sheet.y(course.z_bottom),
            width=0.8,
            colour=RED,
        )
    x, y = sheet.x((course.inner_radius + course.outer_radius) / 2), sheet.y(course.z_bottom)
    radius = (course.width / 2) * sheet.scale + 1.3
    sheet.circle(x, y, radius, fill="none", stroke=RED, width=0.7)
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
    label_y = min(max(y - 2.0, 14.0), sheet.y(assessment.dome.ground) - 2.9 * len(words) - 1.0)
    sheet.line(x + radius * 0.94, y - radius * 0.34, label_x - 0.8, label_y, width=0.25, colour=RED)
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


def _scale_bar(sheet: Sheet, y: float) -> None:
    x = 2.0
    for index in range(2):
        sheet.bar(x + index * sheet.scale / 2, y, sheet.scale / 2, 1.2, fill=INK if index == 0 else "#ffffff")
    sheet.text(x, y - 0.8, "0", size=2.1, anchor="middle")
    sheet.text(x + sheet.scale, y - 0.8, "1 m (3 ft 3 3/8 in)", size=2.1, anchor="middle")


def _foot(sheet: Sheet, case: CaseResult, wetted: Mapping[int, float]) -> None:
    """Scale bar on the left, key on the right."""
    y = sheet.height - 4.2
    _scale_bar(sheet, y)
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
