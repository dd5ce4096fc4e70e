"""What something else hands into a course all around: its states, and what each of them adds to the course.

A cap or skylight on the crown ring, a loft, a roof: weight down and thrust outward, each one number or a range. Nobody
can tell on which day it comes or goes, so the finished dome is asked without it as well; and with it at every corner
of its ranges (least and greatest weight, least and greatest thrust, the weight furthest in and furthest out): with the
corners every state between them is held (admissible states are convex in loads and forces together; derived).

Under a row of factors what works against the dome is multiplied by the greatest factor on permanent loads of any row,
what may help by the least of any row, neither on the other side of 1: it comes from elsewhere than the dome's own
weight, and no row may make it kinder.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.values import combination_rows
from shellcheck_earth.design.design import Criteria, Design, RingLoad
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.loads.course_state import HandedIn

__all__ = ["Carried", "carried_states", "refuse_ring_loads"]

End = tuple[float, bool, str]
"""A value, whether it is the high end, and the word for it."""


@dataclass(frozen=True)
class Carried:
    """One state of all ring loads: what each course carries by its number, and the words of it."""

    by_course: dict[int, tuple[HandedIn, ...]]
    words: str


def _has_rows(criteria: Criteria) -> bool:
    return bool(criteria.rows or combination_rows(criteria.set_name))


def _ends(span: tuple[float, float], what: str, *, factored: bool) -> list[End]:
    """One end, or two where they differ: of themselves, or by what rows of factors make of them."""
    low, high = span
    if low == high and not (factored and low != 0.0):
        return [(high, True, "")]
    return [(low, False, f"least {what}"), (high, True, f"most {what}")]


def _corners(load: RingLoad, inner_radius: float, *, factored: bool) -> Iterator[tuple[HandedIn, str]]:
    """Every corner of a ring load on a course; the words are pieces with a comma between them."""
    places = [(load.from_inner_face[1], "")]
    if load.from_inner_face[0] < load.from_inner_face[1] and any(load.weight):
        places = [(load.from_inner_face[0], "furthest in"), (load.from_inner_face[1], "furthest out")]
    weights = _ends(load.weight, "weight", factored=factored)
    thrusts = _ends(load.thrust, "thrust", factored=factored)
    for (weight, heavy, w), (thrust, strong, t), (place, p) in itertools.product(weights, thrusts, places):
        handed = HandedIn(
            weight=weight / (2 * math.pi),
            thrust=thrust / (2 * math.pi),
            radius=inner_radius + place,
            level=load.height,
            weight_helps=heavy != (weight > 0.0),
            thrust_helps=strong != (thrust > 0.0),
        )
        said = ", ".join(word for word in (w, t, p) if word)
        yield handed, f"carrying {load.name}" + (f": {said}" if said else "")


def carried_states(dome: Dome) -> Iterator[Carried]:
    """Every state of the ring loads of a design but the one without any of them, in the order of the file."""
    design = dome.design
    factored = _has_rows(design.criteria)
    choices: list[list[tuple[int, HandedIn, str] | None]] = []
    for load in design.ring_loads:
        course = course_under(dome, load.height)
        if course is None:
            raise ValueError(f"{load.name} is off the wall")
        corners = _corners(load, course.inner_radius, factored=factored)
        choices.append([None, *((course.number, handed, words) for handed, words in corners)])
    for state in itertools.islice(itertools.product(*choices), 1, None):
        by_course: dict[int, tuple[HandedIn, ...]] = {}
        words = []
        for one in state:
            if one is not None:
                by_course[one[0]] = (*by_course.get(one[0], ()), one[1])
                words.append(one[2])
        yield Carried(by_course, "; ".join(words))


def refuse_ring_loads(design: Design, study: str) -> None:
    """InputError where a study that does not see ring loads is asked about a design that has some."""
    if design.ring_loads:
        raise InputError([Problem("ring_load", f"none: {study} does not see ring loads", "some")])
