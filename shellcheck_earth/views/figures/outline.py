"""The dome as it stands on paper, to scale, before any thrust line: ground, openings, courses, plaster, levels,
compasses, a person, and arrows of what is handed in. One unit of the drawing is one millimetre on A4 paper.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.design.design import Design, Opening
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.dug import dug_to, footing_section
from shellcheck_earth.geometry.heads import Head, head_ring, lintel_course
from shellcheck_earth.geometry.openings import half_width, head_rise, levels
from shellcheck_earth.views.figures.handed_in import arrows, key_lines
from shellcheck_earth.views.figures.lettered import Arm, lettered
from shellcheck_earth.views.figures.letters import LEAST_SIZE, LINE, advance, stacked, wrapped_to
from shellcheck_earth.views.figures.size import person, person_place
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, Box, Sheet
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _

__all__ = [
    "TALLEST",
    "WIDE",
    "Frame",
    "Mark",
    "bare_section",
    "handed_in_key",
    "length_shown",
    "phone_frame",
]

TOP, BELOW, TALLEST = 9.0, 14.0, 76.0
"""Over the dome, between it and the key under it, and its greatest height [mm]."""


@dataclass(frozen=True)
class Mark:
    """Words on the left of the drawing: at a level [m], with a line to a radius [m] there (None: no line)."""

    level: float
    words: tuple[str, ...]
    to: float | None = None


@dataclass(frozen=True)
class Frame:
    """The sheet [mm]: its width, the room for words left and right of the dome, where the column of words on the left
    ends, the height of the key under the drawing; `narrow`: for a phone, every entry of the key on a line of its own.
    """

    width: float = 174.0
    left: float = 40.0
    right: float = 52.0
    column: float = 29.0
    foot: float = 14.0
    narrow: bool = False


WIDE = Frame()


def phone_frame(lines: int) -> Frame:
    """A sheet on which letters keep 9 pixels where it is 390 wide, with so many lines under the drawing."""
    return Frame(122.0, 38.0, 8.0, 27.0, (lines + 2) * LINE + 4.0, narrow=True)


def bare_section(
    dome: Dome,
    wetted: Mapping[int, float],
    laid: int | None = None,
    marks: Sequence[Mark] = (),
    tallest: float = TALLEST,
    frame: Frame = WIDE,
    aim: int | None = None,
) -> Sheet:
    """Ground, openings, courses, plaster, levels, compasses, a person, and what is handed into the finished dome.

    laid: number of the course laid last, while it is being built: those above it are dashed, and nothing is plastered
    or handed in. marks: more words for the column on the left, beside the levels. tallest: greatest height of the dome
    [mm]. frame: the sheet it stands on, whose foot grows by the lines that name what is handed in. aim: number of the
    course that the compasses are drawn to.
    """
    design = dome.design
    handed = handed_in_key(dome, frame) if laid is None else []
    frame = replace(frame, foot=frame.foot + LINE * sum(map(len, handed)))
    sheet = _sheet(dome, tallest, frame)
    _ground(sheet, dome, frame)
    _footing(sheet, dome)
    _courses(sheet, dome, wetted, dome.top_number if laid is None else laid)
    if laid is None:
        _plaster(sheet, dome, design)
        _earth(sheet, dome, frame)
    pushes = arrows(sheet, dome) if laid is None else []
    _numbers(sheet, dome, pushes)
    _openings(sheet, design, dome)
    _levels(sheet, dome, marks, frame, banked=laid is None)
    person(sheet, dome)
    arms = _compasses(sheet, dome, _aim(dome) if aim is None else dome.course(aim))
    taken = [*sheet.written, *person_place(sheet, dome), *pushes]
    lettered(sheet, dome, arms, handed, taken, sheet.height - frame.foot + 2.6, narrow=frame.narrow)
    return sheet


def handed_in_key(dome: Dome, frame: Frame = WIDE) -> list[list[str]]:
    """The lines under the drawing that say what is handed into rings, for each load."""
    return key_lines(dome, frame.width - 8.0)


def length_shown(design: Design, metres: float) -> str:
    """A length in the units of the user."""
    return feet_inches(metres) if design.unit_system == "imperial" else f"{metres:.2f} m"


def _set(design: Design, metres: float) -> str:
    """A compass setting, as a builder reads it off a tape."""
    return feet_inches(metres) if design.unit_system == "imperial" else f"{1000 * metres:.0f} mm"


def _sheet(dome: Dome, tallest: float, frame: Frame) -> Sheet:
    reach = max(course.outer_radius for course in dome.courses) + dome.design.plaster.outside
    base = dug_to(dome)
    room = frame.width - frame.left - frame.right
    scale = min(room / (2 * reach), tallest / (dome.top - base))
    scale = math.floor(50.0 * scale) / 50.0  # half a metre is a whole number of hundredths of a millimetre
    middle, zero = frame.left + room / 2, TOP + dome.top * scale
    height = zero - base * scale + BELOW + frame.foot
    return Sheet(width=frame.width, height=height, scale=scale, x_zero=middle, y_zero=zero)


def _ground(sheet: Sheet, dome: Dome, frame: Frame) -> None:
    """Ground outside, floor inside, a few earth strokes under the ground line."""
    inner = dome.courses[0].inner_radius
    outer = max(course.outer_radius for course in dome.courses)
    y = sheet.y(dome.ground)
    for side in (-1, 1):
        near = sheet.x(side * outer)
        room = min(26.0, near - frame.column - 3.1 if side < 0 else frame.width - near)
        sheet.line(near, y, near + side * room, y, width=0.35)
        for step in range(int((room - 2) / 3.6) + 1 if room > 2 else 0):
            at = near + side * (2 + 3.6 * step)
            sheet.line(at, y, at - 1.6, y + 1.6, width=0.15, colour=FAINT)
    sheet.line(sheet.x(-inner), sheet.y(dome.floor), sheet.x(inner), sheet.y(dome.floor), width=0.35)


def _earth(sheet: Sheet, dome: Dome, frame: Frame) -> None:
    """Earth laid against the finished wall: its surface, and strokes of earth between it and the ground."""
    earth = dome.design.backfill
    if earth is None or earth.height <= 0.0:
        return
    surface, plaster = dome.ground + earth.height, dome.design.plaster.outside
    touched = [course for course in dome.courses if course.z_bottom < surface and course.z_top > dome.ground]
    near = max(course.outer_radius for course in dome.courses)
    for side in (-1, 1) if earth.all_around else (1,):  # on one side: the section passes through it and the axis
        edge = sheet.x(side * near) - (5.0 if side < 0 else 0.0)  # clear of the numbers of the courses
        room = min(20.0, edge - frame.column - 3.1 if side < 0 else frame.width - edge)
        start = sheet.x(side * (touched[-1].outer_radius + plaster)) if side > 0 else edge
        y, x = sheet.y(surface), edge + side * room
        sheet.line(start, y, x, y, width=0.35)
        for step in range(int((room - 2) / 3.6) + 1 if room > 2 else 0):
            at = edge + side * (2 + 3.6 * step)
            sheet.line(at, y, at - 1.6, y + 1.6, width=0.15, colour=FAINT)


def _footing(sheet: Sheet, dome: Dome) -> None:
    """The section of the footing on both sides."""
    section = footing_section(dome)
    if section is None:
        return
    (inner, bottom), (outer, top) = section
    for side in (-1, 1):
        near, far = sorted((side * inner, side * outer))
        sheet.rect((near, bottom), (far, top), fill="none", stroke=INK, width=0.25)


def _planned(sheet: Sheet, course: Course) -> None:
    """A course that is still to be laid."""
    for side in (-1, 1):
        ends = [
            (side * r, z) for r in (course.inner_radius, course.outer_radius) for z in (course.z_bottom, course.z_top)
        ]
        places = [(sheet.x(ends[k][0]), sheet.y(ends[k][1])) for k in (0, 2, 3, 1)]
        sheet.path(places, width=0.15, colour=FAINT, closed=True, dash="0.8 0.8")


def _courses(sheet: Sheet, dome: Dome, wetted: Mapping[int, float], laid: int) -> None:
    for course in dome.courses:
        for side in (-1, 1):
            if course.number > laid:
                continue
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            sheet.rect((near, course.z_bottom), (far, course.z_top), fill=CLAY, stroke=INK, width=0.25, rounding=0.12)
            depth = min(wetted.get(course.number, 0.0), course.width)
            if depth > 0:
                wet = sorted((side * (course.outer_radius - depth), side * course.outer_radius))
                sheet.rect((wet[0], course.z_bottom), (wet[1], course.z_top), fill="url(#water)", stroke=INK, width=0.1)
        if course.number > laid:
            _planned(sheet, course)


def _numbers(sheet: Sheet, dome: Dome, taken: Sequence[Box]) -> None:
    """Numbers of courses outside the wall on the left; inside where an arrow is in the way."""
    for course in _numbered(sheet, dome):
        words, y = str(course.number), sheet.y(course.z_mid) + 1.0
        right = sheet.x(-course.outer_radius) - 1.4
        inside = any(_over((right - advance(words, LEAST_SIZE), y - LEAST_SIZE, right, y), box) for box in taken)
        x = sheet.x(-course.inner_radius) + 1.4 if inside else right
        sheet.text(x, y, words, size=LEAST_SIZE, anchor="start" if inside else "end", colour=FAINT)


def _over(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _numbered(sheet: Sheet, dome: Dome) -> list[Course]:
    """The first and the last course and every fifth between, where their numbers do not meet."""
    out: list[Course] = []
    ends = [course for course in dome.courses if course.number in (1, dome.top_number)]
    fifths = [course for course in dome.courses if course.number % 5 == 0 and course.kind == "arc"]
    for course in ends + fifths:
        if all(abs(sheet.y(course.z_mid) - sheet.y(other.z_mid)) > LINE for other in out):
            out.append(course)
    return out


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


def _levels(sheet: Sheet, dome: Dome, marks: Sequence[Mark], frame: Frame, *, banked: bool = True) -> None:
    """Levels above the finished floor, and the other marks, in one column; planes that are one share their words."""
    design = dome.design
    named = [
        (dome.top, _("top of the wall")),
        (0.0, _("springing")),
        (dome.floor, _("floor")),
        (dome.ground, _("ground")),
    ]
    if banked and design.backfill is not None and design.backfill.height > 0.0:
        named.append((dome.ground + design.backfill.height, _("earth against the wall")))
    groups: dict[float, list[str]] = {}
    for level, name in named:
        same = next((one for one in groups if abs(one - level) < 1e-9), level)
        groups.setdefault(same, []).append(name)
    outer = max(course.outer_radius for course in dome.courses)
    blocks = [Mark(one.level, tuple(_in_column(one.words, frame)), one.to) for one in marks]
    for level, names in groups.items():
        height = level - dome.floor
        shown = f"{'+' if height >= 0 else '-'}{length_shown(design, abs(height))}"
        edge = dome.courses[-1].outer_radius if level == dome.top else outer
        said = _in_column([" = ".join(reversed(names))], frame)
        blocks.append(
            Mark(level, (*said, shown), edge if names not in ([_("ground")], [_("earth against the wall")]) else None)
        )
    tops = stacked(
        [(sheet.y(one.level) - LINE * len(one.words) / 2, LINE * len(one.words) + 0.8) for one in blocks],
        0.5, sheet.height - frame.foot - LINE,
    )  # fmt: skip
    for mark, top in zip(blocks, tops, strict=True):
        _mark(sheet, mark, top, frame.column)


def _in_column(words: Sequence[str], frame: Frame) -> list[str]:
    return [line for one in words for line in wrapped_to(one, frame.column - 1.0, LEAST_SIZE)]


def _mark(sheet: Sheet, mark: Mark, top: float, column: float) -> None:
    """The words of one mark, a bracket beside them, and the line to what they are about."""
    y, middle = sheet.y(mark.level), top + LINE * len(mark.words) / 2
    if mark.to is not None:
        sheet.line(column + 3.1, y, sheet.x(-mark.to) - 7.0, y, width=0.12, dash="1.2 0.8", colour=FAINT)
    sheet.line(column + 0.6, middle, column + 3.1, y, width=0.12, colour=FAINT)
    for index, words in enumerate(mark.words):
        sheet.text(column, top + LINE * (index + 0.75), words, size=LEAST_SIZE, anchor="end")


def _aim(dome: Dome) -> Course:
    """The course that the compass arms are drawn to where none is asked for: three quarters of the way up."""
    arcs = [course for course in dome.courses if course.kind == "arc"]
    return arcs[(3 * len(arcs)) // 4 if len(arcs) > 1 else 0]


def _compasses(sheet: Sheet, dome: Dome, course: Course) -> list[Arm]:
    """Both arms, to a course."""
    design = dome.design
    start = (sheet.x(0), sheet.y(design.dome.centre_pivot_above_springing))
    end = (sheet.x(-course.inner_radius), sheet.y(course.z_mid))
    sheet.cross(*start)
    sheet.line(*start, *end, width=0.2, dash="2.2 0.9", colour=FAINT)
    set_to = _set(design, course.compass)
    words = _("centre compass {length}, here to course {course}", length=set_to, course=course.number)
    arms = [Arm(start, end, 0.6, words)]
    if design.dome.profile != "measured":
        far, near = (sheet.x(-dome.pivot_radius), sheet.y(0)), (sheet.x(course.inner_radius), sheet.y(course.z_mid))
        if dome.pivot_radius > 0:
            sheet.cross(*far)
        sheet.line(*far, *near, width=0.2, dash="2.2 0.9 0.4 0.9", colour=FAINT)
        arms.append(Arm(far, near, 0.85, _("fixed compass {length}", length=_set(design, dome.fixed_compass))))
    return arms


def _openings(sheet: Sheet, design: Design, dome: Dome) -> None:
    """Each opening in elevation with what carries it, foreshortened by where it lies on plan, dotted."""
    for opening in design.openings:
        _carried(sheet, opening, dome)
        _opening(sheet, opening, dome)


def _carried(sheet: Sheet, opening: Opening, dome: Dome) -> None:
    """The lintel with its bearings, or the bags of the ring over the head."""
    centre = dome.courses[0].inner_radius * math.sin(opening.bearing)
    flat = max(abs(math.cos(opening.bearing)), 0.12 / opening.width)
    head, lintel = (found(dome, opening, len(dome.courses)) for found in (head_ring, lintel_course))
    outlines = [bag.corners for bag in head.bags] if isinstance(head, Head) else []
    if isinstance(lintel, int) and opening.head == "lintel":
        half, course = opening.width / 2 + opening.lintel_bearing, dome.courses[lintel]
        low, high = course.z_bottom, course.z_top
        outlines = [((-half, low), (half, low), (half, high), (-half, high))]
    for corners in outlines:
        path = [(sheet.x(centre + flat * u), sheet.y(z)) for u, z in corners]
        sheet.path(path, width=0.2, colour=FAINT, closed=True)


def _opening(sheet: Sheet, opening: Opening, dome: Dome) -> None:
    """Its own outline, at least 120 mm wide where it lies edge on."""
    centre = dome.courses[0].inner_radius * math.sin(opening.bearing)
    flat = max(abs(math.cos(opening.bearing)), 0.12 / opening.width)
    low, high = levels(dome, opening)
    spring = high - head_rise(opening)
    steps = [spring + (high - spring) * step / 16 for step in range(17)] if spring < high else [high]
    side = [(flat * half_width(dome, opening, z), z) for z in (low, *steps)]
    path = [(sheet.x(centre - u), sheet.y(z)) for u, z in side]
    path += [(sheet.x(centre + u), sheet.y(z)) for u, z in reversed(side)]
    sheet.path(path, width=0.25, dash="0.6 0.6", closed=True)
    kind = said_below(opening.kind)
    wide = advance(kind, LEAST_SIZE) / 2
    inner = dome.courses[0].inner_radius * sheet.scale - wide - 1.0
    middle = sheet.x_zero + max(-inner, min(inner, centre * sheet.scale))
    sheet.text(middle, sheet.y(low) - 1.2, kind, size=LEAST_SIZE, anchor="middle")
