"""What the blocks of a dome weigh in a case, and what is handed into them."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.layout import Block, Layout, at, bearing_of
from shellcheck_earth.loads.cases import Case, CourseState, moist_unit_weight, plastered_heights
from shellcheck_earth.loads.course_state import HandedIn
from shellcheck_earth.loads.footing import asked_weight
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["arc_share", "block_weights", "handed_places", "handed_wrench"]


def arc_share(angle: float) -> float:
    """sin(b)/b for an arc of angle 2 b [rad]."""
    return math.sin(angle / 2) / (angle / 2) if angle > 0 else 1.0


def _wall_centre(block: Block, course: Course, state: CourseState) -> Floats:
    """Centre of gravity of a sector with all that rests on it; at the course's mid-height."""
    radius = state.moment / state.weight * arc_share(block.end - block.start)
    return np.array(at(radius, (block.start + block.end) / 2, course.z_mid))


def block_weights(dome: Dome, case: Case, layout: Layout) -> tuple[Floats, Floats]:
    """(centre (n, 3) [m], weight (n,) [kN]) of the blocks in a case; a footing has its least
    weight, never counted more than it is."""
    centre, weight = [], []
    for block in layout.blocks:
        course, state = dome.courses[block.course], case.states[block.course]
        if block.centre is None:
            centre.append(_wall_centre(block, course, state))
            weight.append(state.weight * (block.end - block.start))
        elif block.kind == "footing":
            centre.append(np.array(block.centre))
            weight.append(block.volume * asked_weight(dome.design)[0] * min(case.permanent, 1.0))
        else:
            centre.append(np.array(block.centre))
            weight.append(_fill_of(dome, case, block) + _plaster_of(dome, case, block) * case.permanent)
    return np.array(centre), np.array(weight)


def _fill_of(dome: Dome, case: Case, block: Block) -> float:
    """Weight of the fill of a bag of a head or a course of a buttress [kN]. In the rain a bag weighs what as much of
    its course does, with the water where that counts; a buttress, which is to hold, what it weighed when placed."""
    state, fill = case.states[block.course], dome.design.fill_of(case.states[block.course].number)
    if case.kind == "rain" and block.kind == "head":
        area = sum((part.outer**2 - part.inner**2) / 2 * part.height for part in state.parts)
        return block.volume * state.weight / area
    moisture = fill.placing_moisture if case.kind == "rain" else state.moisture
    return block.volume * moist_unit_weight(fill, moisture) * case.permanent


def _plaster_of(dome: Dome, case: Case, block: Block) -> float:
    """Plaster on both faces of a bag of a head [kN]: its area at mid-width times the thickness of both; 0 for others.

    Taken to act at the bag's centre, as what weighs on a course is taken at its mid-height.
    """
    plaster, course = dome.design.plaster, dome.courses[block.course]
    if block.kind != "head" or not case.plastered:
        return 0.0
    outside, inside = plastered_heights(dome, course)
    thick = (plaster.outside * outside + plaster.inside * inside) / course.height
    return block.volume / course.width * thick * plaster.unit_weight


def handed_places(case: Case, layout: Layout) -> Iterator[tuple[int, HandedIn, float, Floats]]:
    """(block, load, angle [rad], place [m]) of what is handed into the courses, block by block: each takes the load of
    the angle 2 b that bears on it, the middle of whose arc lies at sin(b)/b of the load's radius (derived)."""
    for k, block in enumerate(layout.blocks):
        if block.kind not in ("wall", "lintel"):
            continue
        for one in case.states[block.course].handed:
            arc = one.on(block.start, block.end)
            if arc is not None:
                angle, middle = arc[1] - arc[0], (arc[0] + arc[1]) / 2
                yield k, one, angle, np.array(at(one.radius * arc_share(angle), middle, one.level))


def handed_wrench(case: Case, layout: Layout, centre: Floats) -> Floats:
    """(n, 6) force [kN] and moment about its centre [kN m] of what is handed into the courses, on every block.

    Thrust acts along the middle of that angle, along which sin(b)/b of it is left (derived).
    """
    out = np.zeros((len(centre), 6))
    for k, one, angle, place in handed_places(case, layout):
        x, y, _ = at(one.thrust * angle * arc_share(angle), bearing_of(place[0], place[1]), 0.0)
        force = np.array([x, y, -one.weight * angle])
        out[k] += np.concatenate([force, np.cross(place - centre[k], force)])
    return out
