"""The whole section with the band of all thrust lines, and two shapes side by side."""

from __future__ import annotations

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.studies.explain.map import Shape
from shellcheck_earth.views.figures.explain.courses import WIDTH, extent, inner_sheet
from shellcheck_earth.views.figures.letters import LEAST_SIZE
from shellcheck_earth.views.figures.size import scale_bar
from shellcheck_earth.views.figures.strokes import CLAY, FAINT, INK, RED, Sheet
from shellcheck_earth.views.text.explain.shown import value_shown
from shellcheck_earth.views.text.language import _
from shellcheck_earth.views.text.numbers import course_named

__all__ = ["section_band_svg", "shapes_svg"]


def _level(design: Design, metres: float) -> str:
    return feet_inches(metres) if design.unit_system == "imperial" else f"{metres:.2f} m"


def _shape(sheet: Sheet, shape: Shape, name: str) -> None:
    dome: Dome = shape.dome
    for side in (-1, 1):
        for course in dome.courses:
            near, far = sorted((side * course.inner_radius, side * course.outer_radius))
            sheet.rect((near, course.z_bottom), (far, course.z_top), fill=CLAY, stroke=FAINT, width=0.12)
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
    sheet.text(sheet.x(0), sheet.y(dome.base) + 4.0, name, size=LEAST_SIZE, anchor="middle", bold=True)
    line = _("a thrust line exists") if shape.band.failing < 0 else _("no thrust line")
    sheet.text(
        sheet.x(0),
        sheet.y(dome.base) + 7.6,
        _("{height} high, {line}", height=_level(shape.design, shape.height), line=line),
        size=LEAST_SIZE,
        anchor="middle",
    )
    sheet.text(
        sheet.x(0),
        sheet.y(dome.top) - 4.6,
        _("opening {opening}", opening=_level(shape.design, shape.opening)),
        size=LEAST_SIZE,
        anchor="middle",
    )


def section_band_svg(shape: Shape) -> str:
    """The whole section with the band of all thrust lines, finished and dry, its narrowest bed named."""
    dome, design = shape.dome, shape.design
    reach, base, top = extent([dome.courses])
    scale = min((WIDTH - 64.0) / (2 * reach), 88.0 / (top - base))
    sheet = Sheet(WIDTH, (top - base) * scale + 20.0, scale, WIDTH / 2, 8.0 + top * scale)
    _shape(sheet, shape, _("finished, service moisture"))
    for course in dome.courses:
        if (course.number % 5 == 0 and course.kind == "arc") or course.number in (1, dome.top_number):
            sheet.text(
                sheet.x(-course.outer_radius) - 1.2,
                sheet.y(course.z_mid) + 0.75,
                str(course.number),
                size=LEAST_SIZE,
                anchor="end",
                colour=FAINT,
            )
    if shape.band.failing >= 0:
        course, words = dome.courses[::-1][shape.band.failing], [_("no path crosses"), _("this bed")]
    else:
        wide = shape.band.x_high - shape.band.x_low
        at = int(wide.argmin())
        course = dome.courses[::-1][at]
        words = [
            _("narrowest in the bed"),
            _("under {course}:", course=course_named(course)),
            (
                _(
                    "{wide} of {bed_width}",
                    wide=value_shown(design, "wall", float(wide[at]), short=True),
                    bed_width=value_shown(design, "wall", course.bed_width, short=True),
                )
            ),
        ]
    x, y, radius = (
        sheet.x((course.bed_inner + course.bed_outer) / 2),
        sheet.y(course.z_bottom),
        course.width / 2 * scale + 1.0,
    )
    sheet.circle(x, y, radius, fill="none", stroke=RED, width=0.5)
    label_x, label_y = sheet.x(reach) - 6.0, max(min(y - 8.0, sheet.height - 32.0), 5.0)
    if x + radius > label_x - 2.0:
        label_x = x + radius + 4.0
    sheet.line(x + radius * 0.8, y - radius * 0.6, label_x - 0.8, label_y, width=0.25, colour=RED)
    for index, text in enumerate(words):
        sheet.text(label_x, label_y + 0.8 + 3.6 * index, text, size=LEAST_SIZE)
    scale_bar(sheet, sheet.height - 3.0, design.unit_system, over=True)
    return sheet.svg(
        _("Section of {name}", name=design.name),
        _("Section to scale with the band that holds every thrust line of the finished dome."),
    )


def shapes_svg(here: Shape, other: Shape, names: tuple[str, str]) -> str:
    """Two domes of the same diameter and tube, side by side at one scale, each with its band."""
    shapes = (here, other)
    reach, base, top = extent([shape.dome.courses for shape in shapes])
    scale = min((WIDTH / 2 - 8.0) / (2 * reach), 72.0 / (top - base))
    height = (top - base) * scale + 18.0
    sheet = Sheet(WIDTH, height, scale, 0.0, 0.0)
    for index, (shape, name) in enumerate(zip(shapes, names, strict=True)):
        _shape(inner_sheet(sheet, WIDTH * (1 + 2 * index) / 4, 8.0 + top * scale, scale), shape, name)
    return sheet.svg(
        _("Two shapes of one diameter"),
        _("Sections at the same scale: {first} and {second}.", first=names[0], second=names[1]),
    )
