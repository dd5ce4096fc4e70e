"""What holds the dome as it is: its thrust lines, its friction, and what would go first."""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.ways import Kind
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.explain.shown import (
    friction_shown,
    mass_shown,
    share_shown,
    value_shown,
    width_shown,
)
from shellcheck_earth.views.text.explain.ways import THE
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import course_named, lower

__all__ = ["section_words", "short_words"]


def section_words(teaching: Teaching) -> tuple[str, ...]:
    """What the band of thrust lines is, and how wide it is in this dome."""
    design, here = teaching.design, teaching.here
    system, wall = design.unit_system, design.wall.filled_width
    size = _(
        "{name} is {inside_diameter} wide inside and {height} high, of {courses} courses above the"
        " springing; its wall of {width} is {share} of the diameter.",
        name=design.name,
        inside_diameter=both(design.dome.inside_diameter, "length", system),
        height=both(here.height, "length", system),
        courses=here.courses,
        width=width_shown(design, wall),
        share=share_shown(design, wall),
    )
    weight = _(
        "Finished, at its service moisture of {service_moisture:.3g} %, it weighs {weight}, and this"
        " weight has to find a way down inside the wall: a thrust line.",
        service_moisture=100 * design.fill.service_moisture,
        weight=mass_shown(design, here.weight),
    )
    if here.band.failing >= 0:
        number = here.dome.top_number - here.band.failing
        return (
            size,
            weight,
            _("In this dome it finds none: no path crosses the bed under course {number}.", number=number),
        )
    return size, weight, _room(teaching), _held(teaching)


def _room(teaching: Teaching) -> str:
    """Where the band is narrowest."""
    design, band = teaching.design, teaching.here.band
    wide = band.x_high - band.x_low
    at = int(np.argmin(wide))
    course = teaching.here.dome.courses[::-1][at]
    return _(
        "The dark band of the section holds every thrust line there is in the finished dome. It is"
        " narrowest in the bed under {course}: {wide} of the bed's {bed_width}.",
        course=course_named(course),
        wide=width_shown(design, float(wide[at])),
        bed_width=width_shown(design, course.bed_width),
    )


def _held(teaching: Teaching) -> str:
    """Friction and wire: demand and capacity."""
    design, cell = teaching.design, teaching.here.cell
    beds, has = design.beds, _("the beds have {friction:.3g}", friction=float(design.beds.friction))
    if beds.wire_tension > 0:
        return _(
            "Friction and wire hold it: with {wire_tension} of wire counted in each bed the demand for"
            " bed friction is {friction}, without any wire {friction_no_wire}; {has}.",
            wire_tension=both(beds.wire_tension, "force", design.unit_system),
            friction=friction_shown(cell.friction),
            friction_no_wire=friction_shown(cell.friction_no_wire),
            has=has,
        )
    none = _("No wire is counted on") if beds.wire_strands else _("It has no wire")
    return _(
        "{none}: friction alone holds it. The demand is {friction}; {has}.",
        none=none,
        friction=friction_shown(cell.friction),
        has=has,
    )


NOT_ENOUGH: dict[Kind, str] = {
    "wall": mark("no wall up to {most} is enough ({where})"),
    "friction": mark("no bed friction up to {most} is enough ({where})"),
    "wire": mark("no wire up to {most} is enough ({where})"),
}


def short_words(teaching: Teaching) -> tuple[str, ...]:
    """What goes first: each capacity's own reserve, alone, in the case where it is least."""
    enough, missing = [], []
    for kind in NOT_ENOUGH:
        found = [way for way in teaching.ways if way.kind == kind]
        if not found:
            continue
        way = found[-1]  # the governing case follows the finished dome where it is another
        the, where = _(THE[way.kind]), lower(said_below(way.case_title))
        if way.outcome == "falls" and way.edge is not None:
            enough.append(
                _(
                    "{the} may be divided by {times:.3g} ({where})",
                    the=the,
                    times=way.designed / way.edge[0],
                    where=where,
                )
            )
        elif way.outcome == "never falls":
            enough.append(
                _(
                    "{the} may go from {designed} to nothing",
                    the=the,
                    designed=value_shown(teaching.design, way.kind, way.designed),
                )
            )
        elif way.edge is not None:
            missing.append(
                _(
                    "{times:.3g} times {the} ({where})",
                    times=way.edge[0] / way.designed,
                    the=the,
                    where=where,
                )
            )
        else:
            most = value_shown(teaching.design, way.kind, way.steps[-1].value)
            missing.append(_(NOT_ENOUGH[way.kind], most=most, where=where))
    out = []
    if enough:
        out.append(
            _("Alone, before the last thrust line is gone in any case examined: {enough}.", enough="; ".join(enough))
        )
    if missing:
        out.append(
            _(
                "Some case has no thrust line as designed. With one thing changed alone, a line would take: {missing}.",
                missing="; ".join(missing),
            )
        )
    return tuple(out)
