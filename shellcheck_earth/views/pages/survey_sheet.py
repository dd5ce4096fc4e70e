"""The sheet of readings to fill in: one line a course, the planned values beside what is to be read."""

from __future__ import annotations

import csv
import io
from datetime import date

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.studies.survey.filled import Filled, Head, blank
from shellcheck_earth.views.text.language import Words, mark

__all__ = ["planned_row", "sheet_csv", "survey_starter"]

WRITTEN = {"mm": (1000.0, 0), "cm": (100.0, 1), "m": (1.0, 3), "in": (1 / 0.0254, 2), "ft": (1 / 0.3048, 3)}
"""How many of a unit are a metre, and the decimals of a planned value in it."""

NAMED = (
    mark("top"), mark("radius"), mark("compass"), mark("moisture"), mark("soft depth"), mark("tilt"), mark("laid on"),
    mark("rain on"), mark("hours"), mark("amount"), mark("covered after"), mark("number"), mark("height"),
)  # fmt: skip
"""Heads and words of a sheet, as its reader knows them in each language."""


def _notes(_: Words, imperial: bool) -> list[str]:
    unit = _("feet and inches, such as 4 ft 3 1/2 in") if imperial else _("millimetres, or with another unit: 1.79 m")
    return [
        _("Readings of a dome that is being built. Lines that begin with # are not read."),
        _("Fill in every course that is laid, from the lowest that can be reached; leave the others empty."),
        _(
            "top: level of the top of the course above the springing, the plane of the pivot. Lengths in {unit}.",
            unit=unit,
        ),
        _(
            "radius: from the axis to the inner face at half the height of the course, at bearings clockwise from the"
            " entrance. Or what the centre compass reads there: write compass for radius in the heads."
        ),
        _("soft depth: how far a 6 mm rod goes into the outer face by hand. Three places or more can replace what is"
          " computed from the rain; fewer can only make it worse."),
        _("tilt: greatest slope of the top of the course across the wall, from a level; leave empty if not read."),
        _(
            "set by: height, if the crew sets the compass by the height of the wall, as the build card says; else"
            " number."
        ),
        _("laid on: the day, as 2026-05-06. Each rain needs a line of its own: day, hours, water in the gauge."),
    ]  # fmt: skip


def planned_row(course: Course, unit: str) -> list[str]:
    """(top, radius, compass) of a course as planned, in the unit of a sheet."""
    return [_length(value, unit) for value in (course.z_top, course.inner_radius, course.compass)]


def _length(value: float, unit: str) -> str:
    if unit in ("ft in", ""):
        return feet_inches(value)
    times, decimals = WRITTEN[unit]
    return f"{times * value:.{decimals}f}"


def _head(head: Head, _: Words) -> str:
    at = "" if head.at is None else f" {head.at:g}" + (" deg" if head.name in ("radius", "compass") else "")
    return f"{_(head.name)}{at}" + (f" ({head.unit})" if head.unit else "")


def survey_starter(dome: Dome, on: date, _: Words) -> str:
    """The sheet of a design as CSV, to be filled in.

    Parameters
    ----------
    dome
        The courses as planned [m].
    on
        The day of the survey that is written into it.
    """
    return sheet_csv(dome, blank(dome, on), _)


def sheet_csv(dome: Dome, filled: Filled, _: Words) -> str:
    """A sheet as CSV, with the planned values beside what is filled in; the command reads it as it is.

    A course that is read and not planned is written too: the reader refuses it, nothing is left out in silence.
    """
    imperial, unit = dome.design.unit_system == "imperial", filled.unit
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for note in _notes(_, imperial):
        out.write(f"# {note}\n")
    writer.writerow([_("survey on"), filled.on])
    writer.writerow([_("set by"), _(filled.set_by)])
    out.write("\n")
    planned = [_("planned top"), _("planned radius"), _("planned compass")]
    heads = [f"{name} ({unit})" for name in planned] + [_head(head, _) for head in filled.columns]
    writer.writerow([_("course"), *heads])
    courses = {course.number: planned_row(course, unit) for course in dome.courses}
    others = sorted(
        number for number in filled.courses if number not in courses and any(filled.courses[number].values())
    )
    for number in (*courses, *others):
        read = [filled.cell(number, head.key) for head in filled.columns]
        writer.writerow([str(number), *courses.get(number, ["", "", ""]), *read])
    out.write("\n")
    writer.writerow([_("rain on"), *(_head(head, _) for head in filled.rain_columns)])
    for row in filled.rains.values():
        writer.writerow([row.get("rain on", ""), *(row.get(head.key, "") for head in filled.rain_columns)])
    return out.getvalue()
