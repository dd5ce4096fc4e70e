"""Pictures of the teaching report drawn as half sections: the shrinking band, the way it gives way, two shapes side
by side.
"""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand
from shellcheck_earth.studies.explain.map import Shape
from shellcheck_earth.studies.explain.ways import Step, Way
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet
from shellcheck_earth.views.text.explain import NOUNS, value_shown
from shellcheck_earth.views.text.numbers import course_named

__all__ = [
    "KEY_HEIGHT",
    "MOVED",
    "Mirror",
    "Point",
    "corners",
    "drawn_size",
    "key",
    "marks",
    "mechanisms_svg",
    "moved",
    "moves",
    "section_band_svg",
    "shapes_svg",
    "steps_svg",
]

WIDTH = 174.0

MOVED = "#f3d9cf"
"""Courses that move: paler than their red outline."""

DRAWN = 0.13
"""The largest motion is drawn as this share of the dome's height: a mechanism has no size of its own."""

TURNED = 0.6
"""No rotation is drawn larger than this [rad]: enlarged straight-line motion swells what turns further."""

SEEN = 0.05
"""Hinges and slips under this share of the largest are not marked, as they are not named in words."""

Point = tuple[float, float]


def corners(course: Course) -> list[Point]:
    """Of the section of a course (r, z) [m], counter-clockwise from the inner bottom."""
    return [
        (course.inner_radius, course.z_bottom),
        (course.outer_radius, course.z_bottom),
        (course.outer_radius, course.z_top),
        (course.inner_radius, course.z_top),
    ]


def moved(found: Collapse, index: int, course: Course, size: float) -> list[Point]:
    """The corners of a course displaced by `size` times its rates; the index counts from the top."""
    out = []
    for r, z in corners(course):
        outward, upward = found.at(index, r, z)
        out.append((r + size * float(outward), z + size * float(upward)))
    return out


def _inner(sheet: Sheet, x_zero: float, y_zero: float, scale: float) -> Sheet:
    """A picture within the picture: its own axis and scale, the same sheet of paper."""
    return Sheet(sheet.width, sheet.height, scale, x_zero, y_zero, sheet.parts)


def _band(sheet: Sheet, band: ThrustBand) -> None:
    """Ink between the innermost and outermost place of any line; paths that end in a bed nothing crosses are hatched
    with strokes.
    """
    inner = [(sheet.x(float(x)), sheet.y(float(z))) for x, z in zip(band.x_low, band.z, strict=True)]
    outer = [(sheet.x(float(x)), sheet.y(float(z))) for x, z in zip(band.x_high, band.z, strict=True)]
    if not inner:
        return
    if band.failing < 0:
        sheet.path(inner + outer[::-1], width=0.25, fill=INK, closed=True, opacity=0.6)
    else:
        sheet.path(inner + outer[::-1], width=0.25, fill="none", closed=True, dash="0.8 0.5")


def _half(sheet: Sheet, courses: Sequence[Course], *, ground: bool = True) -> None:
    for course in courses:
        sheet.rect(
            course.inner_radius, course.z_bottom, course.outer_radius, course.z_top, fill=CLAY, stroke=FAINT, width=0.12
        )
    base = min(course.z_bottom for course in courses)
    top = max(course.z_top for course in courses)
    if ground:
        sheet.line(
            sheet.x(0),
            sheet.y(base),
            sheet.x(max(course.outer_radius for course in courses)) + 1.0,
            sheet.y(base),
            width=0.25,
        )
        sheet.line(sheet.x(0), sheet.y(base), sheet.x(0), sheet.y(top), width=0.1, dash="1.6 0.7 0.3 0.7", colour=FAINT)


def _failing_bed(sheet: Sheet, step: Step) -> None:
    course = next((one for one in step.courses if one.number == step.failing_course), None)
    if course is None:
        return
    y = sheet.y(course.z_bottom)
    left, right = sheet.x(course.inner_radius), sheet.x(course.outer_radius)
    sheet.line(left, y, right, y, width=0.8, colour=RED)
    sheet.circle((left + right) / 2, y, (right - left) / 2 + 0.9, fill="none", stroke=RED, width=0.5)


def _extent(groups: Sequence[Sequence[Course]]) -> tuple[float, float, float]:
    """Greatest radius, lowest and highest level of several sections."""
    every = [course for group in groups for course in group]
    return max(c.outer_radius for c in every), min(c.z_bottom for c in every), max(c.z_top for c in every)


def steps_svg(design: Design, way: Way) -> str:
    """Six domes in a row, the band of thrust lines in each, the number under each and whether a line is left."""
    reach, base, top = _extent([step.courses for step in way.steps])
    room = WIDTH / len(way.steps)
    scale = min((room - 4.0) / reach, 46.0 / (top - base))
    height = (top - base) * scale + 13.0
    sheet = Sheet(WIDTH, height, scale, 0.0, 0.0)
    for index, step in enumerate(way.steps):
        panel = _inner(sheet, index * room + (room - reach * scale) / 2, 3.0 + top * scale, scale)
        _half(panel, step.courses)
        _band(panel, step.band)
        if not step.stands:
            _failing_bed(panel, step)
        middle = index * room + room / 2
        shown = value_shown(design, way.kind, step.value, short=True)
        percent = f" = {100 * step.value / design.dome.inside_diameter:.1f} %" if way.kind == "wall" else ""
        under = (
            "just under "
            if not step.stands and way.edge is not None and abs(step.value - way.edge[1]) < 1e-3 * way.designed
            else ""
        )
        sheet.text(
            middle, height - 5.0, under + shown if under else shown + percent, size=2.5, anchor="middle", bold=True
        )
        said = "a line is left" if step.stands else f"no line: course {step.failing_course}"
        sheet.text(middle, height - 1.6, said, size=2.2, anchor="middle", colour=INK if step.stands else RED)
    return sheet.svg(
        f"{way.kind}: {way.case_title}",
        f"Half sections of {design.name} with the band of all thrust lines, {way.case_title}.",
    )


def _out(sheet: Sheet) -> int:
    """The sign of outward on paper."""
    return -1 if sheet.x(1.0) < sheet.x(0.0) else 1


def _hinges(sheet: Sheet, found: Collapse, index: int, most: float) -> None:
    z = float(found.point_z[index])
    for turn, radius in ((found.hinge_inner, found.r_inner), (found.hinge_outer, found.r_outer)):
        if float(turn[index]) > SEEN * most:
            sheet.circle(sheet.x(float(radius[index])), sheet.y(z), 1.0, fill="#ffffff", stroke=INK, width=0.55)


def _slips(sheet: Sheet, found: Collapse, index: int, course: Course, most: float) -> None:
    y, out = sheet.y(float(found.point_z[index])), _out(sheet)
    for slip, way in ((found.slip_outward, out), (found.slip_inward, -out)):
        if float(slip[index]) > max(SEEN * most, 0.005):
            x = sheet.x(course.outer_radius if way == out else course.inner_radius) + 0.8 * way
            sheet.line(x, y, x + 2.2 * way, y, width=0.3)
            sheet.path(
                [(x + 3.0 * way, y), (x + 1.9 * way, y - 0.55), (x + 1.9 * way, y + 0.55)],
                width=0.1,
                fill=INK,
                closed=True,
            )


def _ring_mark(sheet: Sheet, x: float, y: float, name: str) -> None:
    """Two bars that part for a ring that opens, a cross for one that is crushed."""
    if name.startswith("opens"):
        sheet.line(x - 0.4, y - 0.5, x - 0.4, y + 0.5, width=0.28)
        sheet.line(x + 0.4, y - 0.5, x + 0.4, y + 0.5, width=0.28)
    elif name == "crushes":
        sheet.line(x - 0.5, y - 0.5, x + 0.5, y + 0.5, width=0.28)
        sheet.line(x - 0.5, y + 0.5, x + 0.5, y - 0.5, width=0.28)


def _wire_mark(sheet: Sheet, x: float, y: float) -> None:
    sheet.path(
        [(x - 1.2, y), (x - 0.6, y - 0.5), (x, y + 0.5), (x + 0.6, y - 0.5), (x + 1.2, y)], width=0.28, colour=RED
    )


def marks(sheet: Sheet, courses: Sequence[Course], found: Collapse) -> None:
    """Hinges, slips, rings and wires of a mechanism, each with a sign of its own, at the places they have at rest."""
    turning = max(float(found.hinge_inner.max()), float(found.hinge_outer.max()), 1e-6)
    sliding = max(float(found.slip_outward.max()), float(found.slip_inward.max()))
    for index, course in enumerate(courses):
        middle = (course.inner_radius + course.outer_radius) / 2
        _ring_mark(sheet, sheet.x(middle), sheet.y(course.z_mid), found.ring[index])
        if found.wire_yields[index]:
            _wire_mark(sheet, sheet.x(course.inner_radius) - 2.0 * _out(sheet), sheet.y(course.z_bottom))
        _slips(sheet, found, index, course, sliding)
        if float(found.squash[index]) > 0:
            sheet.line(
                sheet.x(course.bed_inner),
                sheet.y(course.z_bottom),
                sheet.x(course.bed_outer),
                sheet.y(course.z_bottom),
                width=1.3,
                colour=RED,
            )
    for index in range(len(courses)):
        _hinges(sheet, found, index, turning)


KEY_HEIGHT = 9.0


def key(sheet: Sheet, y: float, *, moving: bool = False) -> None:
    """What the signs mean, in two lines from `y` down (one in the moving picture)."""
    at = 4.0
    sheet.circle(at, y - 0.8, 1.0, fill="#ffffff", stroke=INK, width=0.55)
    sheet.text(at + 2.2, y, "hinge", size=2.3)
    at = 22.0
    sheet.line(at - 1.5, y - 0.8, at + 0.7, y - 0.8, width=0.3)
    sheet.path([(at + 1.5, y - 0.8), (at + 0.4, y - 1.35), (at + 0.4, y - 0.25)], width=0.1, fill=INK, closed=True)
    sheet.text(at + 3.0, y, "slides over what is below", size=2.3)
    _ring_mark(sheet, 62.0, y - 0.8, "opens")
    sheet.text(64.0, y, "ring opens", size=2.3)
    _ring_mark(sheet, 84.0, y - 0.8, "crushes")
    sheet.text(86.0, y, "ring is crushed", size=2.3)
    _wire_mark(sheet, 112.0, y - 0.8)
    sheet.text(114.5, y, "wire yields", size=2.3)
    sheet.line(133.0, y - 0.8, 137.0, y - 0.8, width=1.3, colour=RED)
    sheet.text(138.5, y, "bed crushed whole", size=2.3)
    if moving:
        return
    sheet.text(
        4.0,
        y + 4.0,
        "Left: at rest. Right, in red: where the courses begin to go, enlarged; only directions and proportions are"
        " computed.",
        size=2.3,
    )


def drawn_size(way: Way) -> float:
    """By how much the rates of a way's mechanism are multiplied in a picture [m]."""
    if way.collapse is None:
        return 0.0
    height = max(course.z_top for course in way.collapsed) - min(course.z_bottom for course in way.collapsed)
    return min(DRAWN * height, TURNED / max(float(abs(way.collapse.theta).max()), 1e-9))


def moves(found: Collapse, index: int, course: Course) -> bool:
    """Whether a course moves at all: by more than a hundredth of the largest motion."""
    places = moved(found, index, course, 1.0)
    return max(abs(a - c) + abs(b - d) for (a, b), (c, d) in zip(places, corners(course), strict=True)) > 0.01


def mirrored(course: Course) -> list[Point]:
    """The corners of the left half of the section."""
    return [(-r, z) for r, z in corners(course)]


def _mechanism(sheet: Sheet, courses: Sequence[Course], found: Collapse, size: float) -> None:
    """Left at rest, with the signs; right the courses that move, displaced."""
    _half(sheet, courses)
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


class Mirror(Sheet):
    """A sheet whose radii run to the left."""

    def x(self, metres: float) -> float:
        return self.x_zero - metres * self.scale


def mechanisms_svg(design: Design, drawn: Sequence[Way]) -> str:
    """How the dome gives way, one section beside the other; ValueError when none of the ways has a mechanism."""
    shown = [way for way in drawn if way.collapse is not None]
    reach, base, top = _extent([way.collapsed for way in shown])
    room = WIDTH / max(len(shown), 2)
    left = 0.0 if len(shown) > 1 else (WIDTH - room) / 2
    scale = min((room - 14.0) / (2 * reach), 58.0 / (top - base))
    height = (top - base) * scale + 14.0 + KEY_HEIGHT
    sheet = Sheet(WIDTH, height, scale, 0.0, 0.0)
    for index, way in enumerate(shown):
        assert way.collapse is not None
        middle = left + (index + 0.5) * room
        _mechanism(_inner(sheet, middle, 10.0 + top * scale, scale), way.collapsed, way.collapse, drawn_size(way))
        sheet.text(middle, 3.4, way.case_title, size=2.4, anchor="middle", bold=True)
        sheet.text(
            middle,
            6.6,
            f"{NOUNS[way.kind]} {value_shown(design, way.kind, way.collapsed_value)}",
            size=2.3,
            anchor="middle",
        )
    key(sheet, height - 6.0)
    return sheet.svg(
        f"How {design.name} gives way",
        "Sections: on the left the dome at rest with the signs of its mechanism, on the right the "
        "courses that move first, displaced, motions enlarged.",
    )


def _level(design: Design, metres: float) -> str:
    return feet_inches(metres) if design.unit_system == "imperial" else f"{metres:.2f} m"


def _shape(sheet: Sheet, shape: Shape, name: str) -> None:
    dome: Dome = shape.dome
    for side in (-1, 1):
        for course in dome.courses:
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            sheet.rect(near, course.z_bottom, far, course.z_top, fill=CLAY, stroke=FAINT, width=0.12)
        inner = [
            (sheet.x(side * float(x)), sheet.y(float(z))) for x, z in zip(shape.band.x_low, shape.band.z, strict=True)
        ]
        outer = [
            (sheet.x(side * float(x)), sheet.y(float(z))) for x, z in zip(shape.band.x_high, shape.band.z, strict=True)
        ]
        if inner and shape.band.failing < 0:
            sheet.path(inner + outer[::-1], width=0.25, fill=INK, closed=True, opacity=0.6)
        elif inner:
            sheet.path(inner + outer[::-1], width=0.25, closed=True, dash="0.8 0.5")
    reach = dome.courses[0].outer_radius
    sheet.line(sheet.x(-reach) - 2, sheet.y(dome.floor), sheet.x(reach) + 2, sheet.y(dome.floor), width=0.3)
    sheet.text(sheet.x(0), sheet.y(dome.base) + 4.0, name, size=2.6, anchor="middle", bold=True)
    line = "a thrust line exists" if shape.band.failing < 0 else "no thrust line"
    sheet.text(
        sheet.x(0),
        sheet.y(dome.base) + 7.6,
        f"{_level(shape.design, shape.height)} high, {line}",
        size=2.3,
        anchor="middle",
    )
    sheet.text(
        sheet.x(0),
        sheet.y(dome.top) - 1.6,
        f"opening {_level(shape.design, shape.opening)}",
        size=2.2,
        anchor="middle",
    )


def section_band_svg(shape: Shape) -> str:
    """The whole section with the band of all thrust lines, finished and dry, its narrowest bed named."""
    dome, design = shape.dome, shape.design
    reach, base, top = _extent([dome.courses])
    scale = min((WIDTH - 64.0) / (2 * reach), 88.0 / (top - base))
    sheet = Sheet(WIDTH, (top - base) * scale + 16.0, scale, WIDTH / 2, 5.0 + top * scale)
    _shape(sheet, shape, "finished, service moisture")
    for course in dome.courses:
        if (course.number % 5 == 0 and course.kind == "arc") or course.number in (1, dome.top_number):
            sheet.text(
                sheet.x(-course.outer_radius) - 1.2,
                sheet.y(course.z_mid) + 0.75,
                str(course.number),
                size=2.1,
                anchor="end",
                colour=FAINT,
            )
    if shape.band.failing >= 0:
        course, words = dome.courses[::-1][shape.band.failing], ["no path crosses", "this bed"]
    else:
        wide = shape.band.x_high - shape.band.x_low
        at = int(wide.argmin())
        course = dome.courses[::-1][at]
        words = [
            "narrowest in the bed",
            f"under {course_named(course)}:",
            (
                f"{value_shown(design, 'wall', float(wide[at]), short=True)} of "
                f"{value_shown(design, 'wall', course.bed_width, short=True)}"
            ),
        ]
    x, y, radius = (
        sheet.x((course.bed_inner + course.bed_outer) / 2),
        sheet.y(course.z_bottom),
        course.width / 2 * scale + 1.0,
    )
    sheet.circle(x, y, radius, fill="none", stroke=RED, width=0.5)
    label_x, label_y = sheet.x(reach) - 6.0, max(min(y - 8.0, sheet.height - 30.0), 5.0)
    if x + radius > label_x - 2.0:
        label_x = x + radius + 4.0
    sheet.line(x + radius * 0.8, y - radius * 0.6, label_x - 0.8, label_y, width=0.25, colour=RED)
    for index, text in enumerate(words):
        sheet.text(label_x, label_y + 0.8 + 2.9 * index, text, size=2.3)
    bar = sheet.height - 3.0
    for index in range(2):
        sheet.bar(2.0 + index * scale / 2, bar, scale / 2, 1.2, fill=INK if index == 0 else "#ffffff")
    sheet.text(2.0, bar - 0.8, "1 m (3 ft 3 3/8 in)", size=2.1)
    return sheet.svg(
        f"Section of {design.name}", "Section to scale with the band that holds every thrust line of the finished dome."
    )


def shapes_svg(here: Shape, other: Shape, names: tuple[str, str]) -> str:
    """Two domes of the same diameter and tube, side by side at one scale, each with its band."""
    shapes = (here, other)
    reach, base, top = _extent([shape.dome.courses for shape in shapes])
    scale = min((WIDTH / 2 - 8.0) / (2 * reach), 72.0 / (top - base))
    height = (top - base) * scale + 14.0
    sheet = Sheet(WIDTH, height, scale, 0.0, 0.0)
    for index, (shape, name) in enumerate(zip(shapes, names, strict=True)):
        _shape(_inner(sheet, WIDTH * (1 + 2 * index) / 4, 4.5 + top * scale, scale), shape, name)
    return sheet.svg("Two shapes of one diameter", f"Sections at the same scale: {names[0]} and {names[1]}.")
