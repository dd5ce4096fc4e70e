"""Cut one radian out of a case: from courses and their state to the arrays of a lune."""

from __future__ import annotations

import numpy as np

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.loads.cases import Case, CourseState
from shellcheck_earth.mechanics.rings.lune import FRICTION_BOND, Lune

__all__ = ["cut_lune"]


def _bed_friction(above: CourseState, below: CourseState, inner: float, outer: float, wet_from: float) -> float:
    """Friction of the bed between two courses, the wetter one deciding; a wetted share of the bed counts by area."""
    dry, wet = min(above.friction, below.friction), min(above.friction_wet, below.friction_wet)
    if wet_from >= outer or wet >= dry:
        return dry
    share = (outer * outer - wet_from * wet_from) / (outer * outer - inner * inner)
    return dry + (wet - dry) * share


def _bond(design: Design, course: Course) -> float:
    """What the bed passes on to its wire, per radian [kN]: the tested hold of every strand along its middle radius."""
    beds = design.beds
    if beds.wire_bond is None:
        return FRICTION_BOND
    return beds.wire_strands * beds.wire_bond * (course.bed_inner + course.bed_outer) / 2


def cut_lune(dome: Dome, case: Case) -> Lune:
    """The lune of a case, top course first.

    The lowest ring takes no compression and no wire lies under it: it rests on the ground, and a ring held between
    nothing but its own prestress is not counted.
    """
    by_number: dict[int, Course] = {course.number: course for course in dome.courses}
    states = case.states[::-1]
    rows = []
    for index, state in enumerate(states):
        course = by_number[state.number]
        below = states[index + 1] if index + 1 < len(states) else state
        lowest = index + 1 == len(states)
        wet_from = min(max(min(state.wet_from, below.wet_from), course.bed_inner), course.bed_outer)
        wire = 0.0 if lowest or not course.has_wire or not case.wire else dome.design.beds.wire_tension
        dry_area = (wet_from**2 - course.bed_inner**2) / 2
        wet_area = (course.bed_outer**2 - wet_from**2) / 2
        # Only the dry band of a wetted ring is counted on: one stress block of one strength.
        ring_to = state.wet_from if state.ring_to is None else state.ring_to
        depth = max(min(ring_to, course.outer_radius) - course.inner_radius, 0.0)
        counted = state.closed and not lowest
        rows.append(
            (
                course.number,
                course.z_bottom,
                course.z_top,
                state.weight,
                state.moment,
                course.bed_inner,
                course.bed_outer,
                min(state.strength, below.strength),
                min(state.strength_wet, below.strength_wet),
                wet_from,
                _bed_friction(state, below, course.bed_inner, course.bed_outer, wet_from),
                min(state.cohesion, below.cohesion) * dry_area + min(state.cohesion_wet, below.cohesion_wet) * wet_area,
                state.strength if counted else 0.0,
                depth if counted else 0.0,
                wire,
                course.z_bottom,
                course.z_top,
                _bond(dome.design, course),
            )
        )
    return Lune(*np.array(rows, dtype=np.float64).T)
