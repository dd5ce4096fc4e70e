"""What something else hands into the finished dome, all around or at one bearing: its states, and what each adds.

A cap or skylight on the crown ring, a loft, a roof: weight down and thrust outward, each one number or a range. Nobody
can tell on which day it comes or goes, so the finished dome is asked without it as well; and with it at every corner
of its ranges (least and greatest weight, least and greatest thrust, the weight furthest in and furthest out): with the
corners every state between them is held (admissible states are convex in loads and forces together; derived). A beam
or the springing of a vault comes in at one bearing: no ring knows of it, and blocks are asked it in the same way.

Under a row of factors what works against the dome is multiplied by the greatest factor on permanent loads of any row,
what may help by the least of any row, neither on the other side of 1: it comes from elsewhere than the dome's own
weight, and no row may make it kinder.

Blocks cost time, so they are asked the corners that the others and the dome without the load do not hold already
(`block_states`). Where neither a load's weight nor its thrust changes its sign, the corner at which both are nearest to
nothing is left out: with a, b >= 0, a + b <= 1, it is a times the corner of most weight, b times that of most thrust,
and the rest of the dome without it (derived: for w' = r w, t' = s t, a = (s - 1)/(r s - 1), b = (r - 1)/(r s - 1)).
An earthquake shakes what weighs: a range of weight that passes through nothing is asked at nothing too, and where rows
count weight otherwise than it is shaken every end is asked at the greatest and the least factor.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.values import combination_rows
from shellcheck_earth.design.design import BearingLoad, Criteria, Design, RingLoad
from shellcheck_earth.geometry.bearing_loads import bearing_half
from shellcheck_earth.geometry.courses import Course, Dome
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.loads.course_state import HandedIn
from shellcheck_earth.loads.earth import earth_states

__all__ = ["Carried", "block_states", "carried_states", "refuse_ring_loads"]

Load = RingLoad | BearingLoad
End = tuple[float, bool, str]
"""A value, whether it is the high end, and the word for it."""


@dataclass(frozen=True)
class Carried:
    """One state of all that is handed in: what each course carries by its number, and the words of it. `number`: that
    of the loads, `earth`: that of the earth against the wall, 0 for none; `again`: rows of factors apart it is one that
    came before; `dead`: blocks are asked it beside their dead load alone."""

    by_course: dict[int, tuple[HandedIn, ...]]
    words: str
    number: int = 0
    again: bool = False
    earth: int = 0
    dead: bool = False

    @property
    def suffix(self) -> str:
        """What the names of cases with it end in."""
        earth = f"-earth-{self.earth}" if self.earth else ""
        return earth + (f"-carrying-{self.number}" if self.number else "")


@dataclass(frozen=True)
class _Corner:
    """One corner of a load on a course; `spanned`: blocks that hold its others and nothing of it hold it, `apart`: no
    ring is asked it, for it bears at one bearing or is there for an earthquake alone."""

    course: int
    handed: HandedIn
    words: str
    spanned: bool = False
    apart: bool = False


def _has_rows(criteria: Criteria) -> bool:
    return bool(criteria.said_rows or combination_rows(criteria.set_name))


def _ends(span: tuple[float, float], what: str, *, factored: bool) -> list[End]:
    """One end, or two where they differ: of themselves, or by what rows of factors make of them."""
    low, high = span
    if low == high and not (factored and low != 0.0):
        return [(high, True, "")]
    return [(low, False, f"least {what}"), (high, True, f"most {what}")]


def _near(span: tuple[float, float], ends: list[End], end: End) -> bool:
    """Whether an end of a span is the one nearest to nothing, on the same side of it as the other."""
    if len(ends) == 1:
        return end[0] == 0.0
    return end[1] if span[1] <= 0.0 else span[0] >= 0.0 and not end[1]


def _shaken_ends(span: tuple[float, float], *, factored: bool) -> list[End]:
    """Ends of a weight that only an earthquake tells from the others."""
    low, high = span
    out: list[End] = [(0.0, True, "no weight")] if low < 0.0 < high else []
    if factored and low < high:
        if low > 0.0:
            out.append((low, True, "least weight, counted the most"))
        if high > 0.0:
            out.append((high, False, "most weight, counted the least"))
    return out


def _spread(load: Load, course: Course) -> HandedIn:
    """A load of 1 kN down and 1 kN outward on its course, per radian. At one bearing, over an arc of half-angle b, the
    thrust is spread so that its sum along the bearing, the spread times 2 sin b, is the whole (derived)."""
    if isinstance(load, RingLoad):
        each = 1.0 / (2 * math.pi)
        return HandedIn(each, each, course.inner_radius, load.height)
    half = bearing_half(load, course)
    weight, thrust = 1.0 / (2 * half), 1.0 / (2 * math.sin(half))
    return HandedIn(weight, thrust, course.inner_radius, load.height, middle=load.bearing, half=half)


def _corners(load: Load, course: Course, *, factored: bool, shaken: bool) -> Iterator[_Corner]:
    """Every corner of a load on a course; the words are pieces with a comma between them. `shaken`: the corners that an
    earthquake needs more come behind the others."""
    one = _spread(load, course)
    places = [(load.from_inner_face[1], "")]
    if load.from_inner_face[0] < load.from_inner_face[1] and any(load.weight):
        places = [(load.from_inner_face[0], "furthest in"), (load.from_inner_face[1], "furthest out")]
    weights = _ends(load.weight, "weight", factored=factored)
    thrusts = _ends(load.thrust, "thrust", factored=factored)
    more = _shaken_ends(load.weight, factored=factored) if shaken else []
    for weight, thrust, (place, p) in itertools.product([*weights, *more], thrusts, places):
        if weight in more and weight[0] == 0.0 and place != places[-1][0]:
            continue  # no weight bears nowhere
        handed = replace(
            one,
            weight=weight[0] * one.weight,
            thrust=thrust[0] * one.thrust,
            radius=course.inner_radius + place,
            weight_helps=weight[1] != (weight[0] > 0.0),
            thrust_helps=thrust[1] != (thrust[0] > 0.0),
        )
        near = _near(load.weight, weights, weight) and _near(load.thrust, thrusts, thrust)
        nothing = weight[0] == thrust[0] == 0.0
        said = ", ".join(word for word in (weight[2], thrust[2], p) if word)
        yield _Corner(
            course.number,
            handed,
            f"carrying {load.name}" + (f": {said}" if said else ""),
            spanned=nothing or (near and weight not in more and not (factored and shaken)),
            apart=weight in more or not one.all_around,
        )


def _choices(dome: Dome, loads: Sequence[Load], *, shaken: bool) -> list[list[_Corner | None]]:
    """Of every load, in the order of the file: without it, and its corners."""
    factored = _has_rows(dome.design.criteria)
    out: list[list[_Corner | None]] = []
    for load in loads:
        course = course_under(dome, load.height)
        if course is None:
            raise ValueError(f"{load.name} is off the wall")
        out.append([None, *_corners(load, course, factored=factored, shaken=shaken)])
    return out


def _together(state: tuple[_Corner | None, ...], number: int) -> Carried:
    by_course: dict[int, tuple[HandedIn, ...]] = {}
    for one in state:
        if one is not None:
            by_course[one.course] = (*by_course.get(one.course, ()), one.handed)
    return Carried(by_course, "; ".join(one.words for one in state if one is not None), number)


def carried_states(dome: Dome) -> Iterator[Carried]:
    """Every state of the ring loads of a design but the one without any of them, in the order of the file; then each
    state of the earth all around the wall, without them and with each of theirs."""
    states = itertools.product(*_choices(dome, dome.design.ring_loads, shaken=False))
    loads = [_together(state, number) for number, state in enumerate(states)]
    yield from loads[1:]
    known = dome.design.earth is not None and dome.design.earth.all_around
    for earth in earth_states(dome) if known else ():
        for one in loads:
            words = "; ".join(word for word in (earth.words, one.words) if word)
            yield Carried(_beside(one.by_course, earth.by_course), words, one.number, earth=earth.number)


def _beside(
    loads: Mapping[int, tuple[HandedIn, ...]], earth: Mapping[int, HandedIn]
) -> dict[int, tuple[HandedIn, ...]]:
    """What every course carries of loads and of the earth."""
    return {
        number: (*loads.get(number, ()), *([earth[number]] if number in earth else [])) for number in {**loads, **earth}
    }


def block_states(dome: Dome) -> Iterator[Carried]:
    """The states of all loads that blocks are asked, then those of the earth against the wall that they are, each
    without loads and with each of theirs."""
    loads = list(_block_loads(dome))
    yield from loads
    for earth in earth_states(dome):
        for one in (Carried({}, ""), *loads) if earth.blocks else ():
            words = "; ".join(word for word in (earth.words, one.words) if word)
            by_course = _beside(one.by_course, earth.by_course)
            yield Carried(by_course, words, one.number, one.again, earth.number, earth.dead)


def _block_loads(dome: Dome) -> Iterator[Carried]:
    """Those of `carried_states` that the others and the dome without the load do not hold already, then those with a
    load at one bearing, and what an earthquake needs more."""
    design = dome.design
    choices = _choices(dome, (*design.ring_loads, *design.bearing_loads), shaken=design.site.earthquake > 0)
    rings = itertools.product(*([one for one in of if one is None or not one.apart] for of in choices))
    more = (state for state in itertools.product(*choices) if any(one is not None and one.apart for one in state))
    seen: set[tuple[tuple[float, ...] | None, ...]] = {(None,) * len(choices)}
    for number, state in enumerate(itertools.chain(rings, more)):
        if number == 0 or any(one is not None and one.spanned for one in state):
            continue
        plain = tuple(None if one is None else (*one.handed.pull(), one.handed.radius) for one in state)
        yield replace(_together(state, number), again=plain in seen)
        seen.add(plain)


def refuse_ring_loads(design: Design, study: str) -> None:
    """InputError where a study that does not see loads handed in is asked about a design that has some."""
    if design.ring_loads:
        raise InputError([Problem("ring_load", f"none: {study} does not see ring loads", "some")])
    if design.bearing_loads:
        raise InputError([Problem("bearing_load", f"none: {study} does not see loads at one bearing", "some")])
    if design.footing is not None:
        raise InputError([Problem("footing", f"none: {study} does not see a footing", "some")])
    if design.backfill is not None:
        raise InputError([Problem("backfill", f"none: {study} does not see earth against the wall", "some")])
    if design.earth is not None:
        expected = f"a floor that is not below the ground: {study} does not see earth against the wall"
        raise InputError([Problem("dome.floor_above_ground", expected, "one below it")])
