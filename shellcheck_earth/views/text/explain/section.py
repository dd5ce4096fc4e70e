"""What holds the dome as it is: its thrust lines, its friction, and what would go first."""

from __future__ import annotations

import numpy as np

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.views.text.explain.shown import (
    friction_shown,
    mass_shown,
    share_shown,
    value_shown,
    width_shown,
)
from shellcheck_earth.views.text.explain.ways import NOUNS
from shellcheck_earth.views.text.numbers import course_named, lower

__all__ = ["section_words", "short_words"]


def section_words(teaching: Teaching) -> tuple[str, ...]:
    """What the band of thrust lines is, and how wide it is in this dome."""
    design, here = teaching.design, teaching.here
    system, wall = design.unit_system, design.wall.filled_width
    size = (
        f"{design.name} is {both(design.dome.inside_diameter, 'length', system)} wide inside and"
        f" {both(here.height, 'length', system)} high, of {here.courses} courses above the springing; its wall of"
        f" {width_shown(design, wall)} is {share_shown(design, wall)} of the diameter."
    )
    weight = (
        f"Finished, at its service moisture of {100 * design.fill.service_moisture:.3g} %, it weighs"
        f" {mass_shown(design, here.weight)}, and this weight has to find a way down inside the wall: a thrust line."
    )
    if here.band.failing >= 0:
        number = here.dome.top_number - here.band.failing
        return size, weight, f"In this dome it finds none: no path crosses the bed under course {number}."
    return size, weight, _room(teaching), _held(teaching)


def _room(teaching: Teaching) -> str:
    """Where the band is narrowest."""
    design, band = teaching.design, teaching.here.band
    wide = band.x_high - band.x_low
    at = int(np.argmin(wide))
    course = teaching.here.dome.courses[::-1][at]
    return (
        "The dark band of the section holds every thrust line there is in the finished dome. It is narrowest in the"
        f" bed under {course_named(course)}: {width_shown(design, float(wide[at]))} of the bed's"
        f" {width_shown(design, course.bed_width)}."
    )


def _held(teaching: Teaching) -> str:
    """Friction and wire: demand and capacity."""
    design, cell = teaching.design, teaching.here.cell
    beds, has = design.beds, f"the beds have {float(design.beds.friction):.3g}"
    if beds.wire_tension > 0:
        return (
            f"Friction and wire hold it: with {both(beds.wire_tension, 'force', design.unit_system)} of wire counted in"
            f" each bed the demand for bed friction is {friction_shown(cell.friction)}, without any wire"
            f" {friction_shown(cell.friction_no_wire)}; {has}."
        )
    none = "No wire is counted on" if beds.wire_strands else "It has no wire"
    return f"{none}: friction alone holds it. The demand is {friction_shown(cell.friction)}; {has}."


def short_words(teaching: Teaching) -> tuple[str, ...]:
    """What goes first: each capacity's own reserve, alone, in the case where it is least."""
    enough, missing = [], []
    for kind in ("wall", "friction", "wire"):
        found = [way for way in teaching.ways if way.kind == kind]
        if not found:
            continue
        way = found[-1]  # the governing case follows the finished dome where it is another
        noun, where = NOUNS[way.kind], lower(way.case_title)
        if way.outcome == "falls" and way.edge is not None:
            enough.append(f"the {noun} may be divided by {way.designed / way.edge[0]:.3g} ({where})")
        elif way.outcome == "never falls":
            enough.append(f"the {noun} may go from {value_shown(teaching.design, way.kind, way.designed)} to nothing")
        elif way.edge is not None:
            missing.append(f"{way.edge[0] / way.designed:.3g} times the {noun} ({where})")
        else:
            most = value_shown(teaching.design, way.kind, way.steps[-1].value)
            missing.append(f"no {noun} up to {most} is enough ({where})")
    out = []
    if enough:
        out.append(f"Alone, before the last thrust line is gone in any case examined: {'; '.join(enough)}.")
    if missing:
        out.append(
            "Some case has no thrust line as designed. With one thing changed alone, a line would take:"
            f" {'; '.join(missing)}."
        )
    return tuple(out)
