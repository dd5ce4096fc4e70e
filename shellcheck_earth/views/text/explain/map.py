"""What the map of wall width and pivot shows, and where this dome lies on it."""

from __future__ import annotations

from dataclasses import replace

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.profile import arc_course_count
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import DomeMap
from shellcheck_earth.views.text.explain.shown import factor_shown, friction_shown
from shellcheck_earth.views.text.language import _, mark

__all__ = ["map_words", "no_map_words"]


def no_map_words(design: Design) -> str:
    """Why there is no map; "" where there is one."""
    if design.dome.profile == "round":
        return _(
            "This dome is round: its compass of {inside_diameter} turns about the centre, and there is"
            " no fixed-compass pivot to move. So no map over the pivot is drawn.",
            inside_diameter=both(design.dome.inside_diameter / 2, "length", design.unit_system),
        )
    if design.dome.profile == "measured":
        return _(
            "This dome was measured: its {count} inner radii are given course by course, and no"
            " fixed-compass pivot belongs to them. So no map over the pivot is drawn.",
            count=len(design.dome.inner_radii),
        )
    return ""


def _this_dome(teaching: Teaching, found: DomeMap) -> str:
    """Where the dot lies, and its two numbers."""
    design, here = teaching.design, teaching.here.cell
    factors, frictions = factor_shown(here.factor), friction_shown(here.friction)
    if design.beds.wire_tension > 0:
        factors = _(
            "{factors} with its wire and {factor_no_wire} without",
            factors=factors,
            factor_no_wire=factor_shown(here.factor_no_wire),
        )
        frictions = _(
            "{frictions} with its wire and {friction_no_wire} without",
            frictions=frictions,
            friction_no_wire=friction_shown(here.friction_no_wire),
        )
    pivot = both(design.dome.pivot_beyond_inner_face, "length", design.unit_system)
    return _(
        "Each point is this dome, finished, with another wall width and another pivot: {domes} domes."
        " The dot is this one: {width:.1f} % wide, pivot {pivot} ({share:.1f} %) beyond the inner"
        " face. Its demand for bed friction is {frictions}; its geometric factor is {factors}.",
        domes=sum(map(len, found.cells)),
        width=100 * found.here[0],
        pivot=pivot,
        share=100 * found.here[1],
        frictions=frictions,
        factors=factors,
    )


def _limits(teaching: Teaching, found: DomeMap) -> str:
    """How many of the domes keep the limits."""
    required = teaching.design.criteria.required["bed friction"]
    cells = [cell for row in found.cells for cell in row]
    states = [cell.state for cell in cells]
    within = sum(
        cell.friction is not None
        and cell.friction <= found.most_friction
        and cell.factor is not None
        and cell.factor >= found.least_factor
        for cell in cells
    )
    lost = states.count("no line")
    if teaching.design.beds.wire_tension > 0:
        one = mark("{count} has no thrust line even with the wire")
        more = mark("{count} have no thrust line even with the wire")
    else:
        one, more = mark("{count} has no thrust line"), mark("{count} have no thrust line")
    without = _(one if lost == 1 else more, count=lost)
    return _(
        "The thick lines are limits: a demand for friction of {most_friction:.3g} (this dome's"
        " {friction:.3g} over the required {required:.3g}), a geometric factor of"
        " {least_factor:.3g}. Of the {domes} domes, {unbuilt} cannot be built (some bed has no"
        " width), {without}, and {within} keep both limits.",
        most_friction=found.most_friction,
        friction=found.most_friction * required,
        required=required,
        least_factor=found.least_factor,
        domes=len(cells),
        unbuilt=states.count("not buildable"),
        without=without,
        within=within,
    )


def _pivots(teaching: Teaching, found: DomeMap) -> list[str]:
    """What the pivot does at this wall width, and why the lines have corners."""
    design = teaching.design
    column = found.widths.index(found.here[0])
    known = [
        (pivot, row[column].friction_no_wire)
        for pivot, row in zip(found.pivots, found.cells, strict=True)
        if row[column].friction_no_wire is not None
    ]
    said = []
    if len(known) > 1:
        (near, first), (far, last) = known[0], known[-1]
        wire = _(" without wire") if design.beds.wire_tension > 0 else ""
        said.append(
            _(
                "At this wall width the demand for friction{wire} goes from {first} with the pivot at"
                " {near:.0f} % to {last} with it at {far:.0f} %: the farther out the pivot, the steeper the"
                " dome.",
                wire=wire,
                first=friction_shown(first),
                near=100 * near,
                last=friction_shown(last),
                far=100 * far,
            )
        )
    counts = [
        arc_course_count(
            replace(design.dome, pivot_beyond_inner_face=share * design.dome.inside_diameter), design.wall.course_height
        )
        for share in (found.pivots[0], found.pivots[-1])
    ]
    said.append(
        _(
            "From the lowest pivot of the map to the highest the courses go from {lowest} to {highest},"
            " one at a time: hence the corners in the lines.",
            lowest=counts[0],
            highest=counts[1],
        )
    )
    return said


def map_words(teaching: Teaching) -> tuple[str, ...]:
    """What the map shows and where this dome lies on it; () where there is none."""
    found = teaching.map
    if found is None:
        return ()
    return (_this_dome(teaching, found), _limits(teaching, found), *_pivots(teaching, found))
