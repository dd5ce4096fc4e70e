"""Every state of what is handed into the courses all around: the corners of its ranges, each with and without the rest.

Part of the checker: standard library only. STATEMENT.md, section 5.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from math import pi, prod, remainder
from typing import Any

from shellcheck_earth.mechanics.proof.courses import NEAR, UNIT, Course, grid
from shellcheck_earth.mechanics.proof.earth import EarthState, earth_states
from shellcheck_earth.mechanics.proof.keys import default
from shellcheck_earth.mechanics.proof.quantities import PI, RefusedError
from shellcheck_earth.mechanics.proof.reading import Design
from shellcheck_earth.mechanics.proof.states import Carried

__all__ = ["MOST_STATES", "CarriedBy", "carried_states", "course_of", "ends_of", "pressed_states", "refuse_states"]

MOST_STATES = 36
MOST_BESIDE_EARTH = 8
LIFTED = Fraction(1, 2)
GRAVITY = Fraction("9.80665") / 1000
MOST_HALF, TINY = PI / 6, Fraction(1, 10**6)

CarriedBy = Mapping[int, tuple[Carried, Carried]]
"""By the index of the course: as it is, and as rows of factors count it."""


def course_of(courses: Sequence[Course], ground: int, height: Fraction) -> int:
    """Index of the lowest course whose top is not under the height."""
    level = grid(height)
    found = next((index for index, course in enumerate(courses) if course.z_top >= level - NEAR), None)
    if found is None or level < max(courses[0].z_bottom, ground) - NEAR:
        raise RefusedError("ring_load.height, bearing_load.height: expected a height on the wall")
    return found


def ends_of(span: tuple[Fraction, Fraction], rows: bool) -> list[tuple[Fraction, bool]]:
    """(value, whether it is the high end): one where both are one and no factor parts them."""
    low, high = span
    return [(high, True)] if low == high and not (rows and low) else [(low, False), (high, True)]


def _pull(weight: Fraction, thrust: Fraction, radius: int, level: int) -> Carried:
    """Of the whole ring, per radian: force, moment W r + z T, thrust, in the units of `states`."""
    w, t = (grid(one / (2 * PI)) for one in (weight, thrust))
    return 6 * w * UNIT**3, 6 * (w * radius + t * level) * UNIT**3, 6 * t * UNIT**3


def _corners(d: Design, load: Mapping[str, Any], course: Course) -> Iterator[tuple[Carried, Carried]]:
    factors = [Fraction(1), *(row["permanent"] for row in d.rows)]
    more, less = max(factors), min(factors)
    near, far = load["from_inner_face"]
    places = [near, far] if near < far and any(load["weight"]) else [far]
    ends = [ends_of(load[key], bool(d.rows)) for key in ("weight", "thrust")]
    for (weight, heavy), (thrust, strong), place in product(*ends, places):
        at = course.inner + grid(place), grid(load["height"])
        weighed = weight * (more if heavy == (weight > 0) else less)
        pushed = thrust * (more if strong == (thrust > 0) else less)
        yield _pull(weight, thrust, *at), _pull(weighed, pushed, *at)


def _sum(one: Carried, other: Carried) -> Carried:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def _off_lintels(d: Design, courses: Sequence[Course], at: Sequence[int]) -> None:
    """Refused at one bearing on a lintel, or over it as high as half its opening is wide."""
    floor = -d["dome.springing_above_floor"]
    for load, index in zip(d["bearing_load"], at[len(d["ring_load"]) :], strict=True):
        course = courses[index]
        inner, low = Fraction(course.inner, UNIT), Fraction(course.z_bottom, UNIT)
        for row in d["opening"]:
            top = floor + row["sill"] + row["height"]
            lintel = next((one for one in courses if Fraction(one.z_bottom, UNIT) >= top - TINY), None)
            if row["head"] != "lintel" or lintel is None or course.z_top <= grid(top):
                continue
            on_it = course.z_bottom == lintel.z_bottom
            over = low >= Fraction(lintel.z_top, UNIT) - TINY and low < Fraction(lintel.z_top, UNIT) + row["width"] / 2
            reach = row["width"] / 2 + (row["lintel_bearing"] if on_it else 0) + load["width"] / 2
            off = abs(remainder(float(load["bearing"] - row["bearing"]), 2 * pi)) * float(inner)
            if (on_it or over) and off < float(reach) * (1 - 1e-9):
                raise RefusedError("bearing_load.height: expected a place off lintels, and off what they carry")


def _uplift(d: Design, courses: Sequence[Course], at: Sequence[int]) -> None:
    """Refused where what is lifted from a course up is more than half of those courses, of dry fill and bare; at one
    bearing as if on every radian."""
    light = [
        PI * c.height * (c.outer**2 - c.inner**2) * c.fill["dry_density"] * GRAVITY / Fraction(UNIT) ** 3
        for c in courses
    ]
    up = [max(-load["weight"][0], Fraction(0)) for load in d["ring_load"]]
    up += [max(-load["weight"][0], Fraction(0)) * 2 * PI for load in d["bearing_load"]]
    for index, lifts in zip(at, up, strict=True):
        if lifts and sum(u for i, u in zip(at, up, strict=True) if i >= index) > LIFTED * sum(light[index:]):
            raise RefusedError(
                "ring_load.weight, bearing_load.weight: expected no more uplift than half the dry weight of the courses"
                " above"
            )


def refuse_states(d: Design, courses: Sequence[Course], ground: int) -> list[int]:
    """Index of the course of every ring load; RefusedError for loads, those at one bearing too, that no wall takes, or
    with too many states."""
    loads = [*d["ring_load"], *d["bearing_load"]]
    at = [course_of(courses, ground, load["height"]) for load in loads]
    for load, index in zip(loads, at, strict=True):
        name, inner = "bearing_load" if "bearing" in load else "ring_load", Fraction(courses[index].inner, UNIT)
        if grid(load["from_inner_face"][1]) > courses[index].width + NEAR:
            raise RefusedError(f"{name}.from_inner_face: expected at most the width of the wall")
        if "bearing" in load and load["width"] / 2 / inner > MOST_HALF * (1 + TINY):
            raise RefusedError("bearing_load.width: expected at most a sixth of its course")
    _uplift(d, courses, at)
    _off_lintels(d, courses, at)
    most = prod(_most(load) for load in loads)
    if most > (MOST_STATES if d["earth"] is None else MOST_BESIDE_EARTH):
        raise RefusedError("ring_load, bearing_load: expected loads with fewer states together")
    return at[: len(d["ring_load"])]


def carried_states(d: Design, courses: Sequence[Course], ground: int) -> Iterator[tuple[str, CarriedBy]]:
    """(suffix of the case's name, what each course carries) of every state but the one without anything: of the ring
    loads, then of the earth against the wall, each without them and with each of theirs."""
    at = refuse_states(d, courses, ground)
    choices = [[None, *_corners(d, load, courses[index])] for load, index in zip(d["ring_load"], at, strict=True)]
    loads: list[tuple[str, dict[int, tuple[Carried, Carried]]]] = []
    for number, state in enumerate(product(*choices)):
        found: dict[int, tuple[Carried, Carried]] = {}
        for index, one in zip(at, state, strict=True):
            if one is not None:
                _add(found, index, one)
        loads.append((f"-carrying-{number}" if number else "", found))
    yield from loads[1:]
    known = d["earth"] is not None and not d["earth"].aside  # of earth on one side no ring knows
    for earth in pressed_states(d, courses, ground) if known else ():
        for suffix, found in loads:
            both = dict(found)
            for index, (plain, counted) in earth.courses.items():
                _add(both, index, (plain.carried, counted.carried))
            yield f"-earth-{earth.number}{suffix}", both


def pressed_states(d: Design, courses: Sequence[Course], ground: int) -> Iterator[EarthState]:
    """Every state of the earth against the wall but the one without it; none where there is no earth."""
    if d["earth"] is not None:
        yield from earth_states(d["earth"], courses, ground, grid(d["plaster.outside"]), _earth_factors(d))


def _add(to: dict[int, tuple[Carried, Carried]], index: int, one: tuple[Carried, Carried]) -> None:
    had = to.get(index, ((0, 0, 0), (0, 0, 0)))
    to[index] = _sum(had[0], one[0]), _sum(had[1], one[1])


def _earth_factors(d: Design) -> tuple[Fraction, Fraction]:
    """Of its greatest pressure and its weight, and of its least pressure, under rows of factors."""
    factors = [Fraction(1), *(row["permanent"] for row in d.rows)]
    most = max(factors)
    return max(most, default("backfill.factor")) if most > 1 else most, min(factors)


def _most(load: Mapping[str, Any]) -> int:
    """How many states one load may have at most: two ends of what is there, weight, thrust and place, and none."""
    places = 2 if load["from_inner_face"][0] < load["from_inner_face"][1] and any(load["weight"]) else 1
    return 1 + places * prod(2 if any(load[key]) else 1 for key in ("weight", "thrust"))
