"""The foot of the wall soaked while a load comes from one side."""

from __future__ import annotations

from dataclasses import replace

from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.earth import soaked_by_the_ground
from shellcheck_earth.loads.cases import Case, course_state
from shellcheck_earth.loads.course_state import CourseState
from shellcheck_earth.loads.materials import saturated_moisture

__all__ = ["with_soaked_foot"]


def with_soaked_foot(dome: Dome, case: Case) -> Case:
    """A finished case with the foot of the wall as weak as it is soaked, and no heavier than it is: what wets it may be
    there whenever a load comes from one side, and its weight may have drained away."""

    def weak(course: Course, state: CourseState) -> CourseState:
        full = saturated_moisture(dome.design.fill_of(course.number))
        soaked = course_state(dome.design, course, full, hardened=True)
        return replace(
            state,
            moisture=soaked.moisture,
            strength=min(state.strength, soaked.strength),
            friction=min(state.friction, soaked.friction),
            strength_wet=min(state.strength_wet, soaked.strength_wet),
            friction_wet=min(state.friction_wet, soaked.friction_wet),
            cohesion=min(state.cohesion, soaked.cohesion),
            cohesion_wet=min(state.cohesion_wet, soaked.cohesion_wet),
        )

    pairs = zip(dome.courses, case.states, strict=True)
    states = tuple(weak(course, one) if soaked_by_the_ground(dome, course) else one for course, one in pairs)
    return replace(case, states=states, wetting="base" if case.wetting == "none" else case.wetting)
