"""What the map of wall width and pivot shows, and where this dome lies on it."""

from __future__ import annotations

from dataclasses import replace

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.profile import arc_course_count
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import DomeMap
from shellcheck_earth.views.text.explain.shown import factor_shown, friction_shown

__all__ = ["map_words", "no_map_words"]


def no_map_words(design: Design) -> str:
    """Why there is no map; "" where there is one."""
    if design.dome.profile == "round":
        return (
            f"This dome is round: its compass of {both(design.dome.inside_diameter / 2, 'length', design.unit_system)}"
            " turns about the centre, and there is no fixed-compass pivot to move. So no map over the pivot is drawn."
        )
    if design.dome.profile == "measured":
        return (
            f"This dome was measured: its {len(design.dome.inner_radii)} inner radii are given course by course, and no"
            " fixed-compass pivot belongs to them. So no map over the pivot is drawn."
        )
    return ""


def _this_dome(teaching: Teaching, found: DomeMap) -> str:
    """Where the dot lies, and its two numbers."""
    design, here = teaching.design, teaching.here.cell
    factors, frictions = factor_shown(here.factor), friction_shown(here.friction)
    if design.beds.wire_tension > 0:
        factors = f"{factors} with its wire and {factor_shown(here.factor_no_wire)} without"
        frictions = f"{frictions} with its wire and {friction_shown(here.friction_no_wire)} without"
    pivot = both(design.dome.pivot_beyond_inner_face, "length", design.unit_system)
    return (
        "Each point is this dome, finished, with another wall width and another pivot:"
        f" {sum(map(len, found.cells))} domes. The dot is this one: {100 * found.here[0]:.1f} % wide, pivot {pivot}"
        f" ({100 * found.here[1]:.1f} %) beyond the inner face. Its demand for bed friction is {frictions}; its"
        f" geometric factor is {factors}."
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
    with_wire = " even with the wire" if teaching.design.beds.wire_tension > 0 else ""
    return (
        f"The thick lines are limits: a demand for friction of {found.most_friction:.3g} (this dome's"
        f" {found.most_friction * required:.3g} over the required {required:.3g}), a geometric factor of"
        f" {found.least_factor:.3g}. Of the {len(cells)} domes, {states.count('not buildable')} cannot be built (some"
        f" bed has no width), {lost} {'has' if lost == 1 else 'have'} no thrust line{with_wire}, and {within} keep both"
        " limits."
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
        wire = " without wire" if design.beds.wire_tension > 0 else ""
        said.append(
            f"At this wall width the demand for friction{wire} goes from {friction_shown(first)} with the pivot at"
            f" {100 * near:.0f} % to {friction_shown(last)} with it at {100 * far:.0f} %: the farther out the pivot,"
            " the steeper the dome."
        )
    counts = [
        arc_course_count(
            replace(design.dome, pivot_beyond_inner_face=share * design.dome.inside_diameter), design.wall.course_height
        )
        for share in (found.pivots[0], found.pivots[-1])
    ]
    said.append(
        f"From the lowest pivot of the map to the highest the courses go from {counts[0]} to {counts[1]}, one at a"
        " time: hence the corners in the lines."
    )
    return said


def map_words(teaching: Teaching) -> tuple[str, ...]:
    """What the map shows and where this dome lies on it; () where there is none."""
    found = teaching.map
    if found is None:
        return ()
    return (_this_dome(teaching, found), _limits(teaching, found), *_pivots(teaching, found))
