"""The sheet of readings to fill in: one line a course, the planned values beside what is to be read."""

from __future__ import annotations

import csv
import io
from datetime import date

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.views.text.language import Words

__all__ = ["survey_starter"]

BEARINGS = (0, 90, 180, 270)


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


def _blank(dome: Dome, imperial: bool) -> list[list[str]]:
    def length(value: float) -> str:
        return feet_inches(value) if imperial else f"{1000 * value:.0f}"

    return [
        [str(course.number), length(course.z_top), length(course.inner_radius), length(course.compass), *[""] * 11]
        for course in dome.courses
    ]


def survey_starter(dome: Dome, on: date, _: Words) -> str:
    """The sheet of a design as CSV.

    Parameters
    ----------
    dome
        The courses as planned [m].
    on
        The day of the survey that is written into it.
    """
    imperial = dome.design.unit_system == "imperial"
    unit, small = ("ft in", "in") if imperial else ("mm", "mm")
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for note in _notes(_, imperial):
        out.write(f"# {note}\n")
    writer.writerow([_("survey on"), on.isoformat()])
    writer.writerow([_("set by"), _("number")])
    out.write("\n")
    planned = [_("planned top"), _("planned radius"), _("planned compass")]
    top, radius, moisture, soft, tilt = _("top"), _("radius"), _("moisture"), _("soft depth"), _("tilt")
    writer.writerow(
        [
            _("course"),
            *(f"{name} ({unit})" for name in planned),
            f"{top} ({unit})",
            *(f"{radius} {bearing} deg ({unit})" for bearing in BEARINGS),
            f"{moisture} (%)",
            *(f"{soft} {spot} ({small})" for spot in (1, 2, 3)),
            f"{tilt} (deg)",
            _("laid on"),
        ]
    )
    writer.writerows(_blank(dome, imperial))
    out.write("\n")
    hours, amount, covered = _("hours"), _("amount"), _("covered after")
    writer.writerow([_("rain on"), f"{hours} (h)", f"{amount} ({small})", f"{covered} (h)"])
    return out.getvalue()
