"""Which states of what is handed in, all around or at one bearing, blocks are asked: the corners no others hold.

Part of the checker: standard library only. STATEMENT.md, section 12.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain, product
from math import pi, sin
from typing import Any

from shellcheck_earth.mechanics.proof.backfill import Earth
from shellcheck_earth.mechanics.proof.block_loads import Handed
from shellcheck_earth.mechanics.proof.carried import course_of, ends_of, pressed_states, refuse_states
from shellcheck_earth.mechanics.proof.courses import UNIT, Course, grid
from shellcheck_earth.mechanics.proof.earth import Pressed
from shellcheck_earth.mechanics.proof.reading import Design

__all__ = ["HandedState", "handed_states"]

Span = tuple[Fraction, Fraction]
End = tuple[Fraction, bool]
"""A value, and whether it is the high end of its range."""


@dataclass(frozen=True)
class HandedState:
    """One state of all loads: as it is, and as rows of factors count it. `again`: as it is, one that came before;
    `dead`: asked of the dead load alone."""

    suffix: str
    plain: tuple[Handed, ...]
    counted: tuple[Handed, ...]
    again: bool
    dead: bool = False

    @property
    def aside(self) -> bool:
        """Whether any of it bears on a part of its ring alone."""
        return any(one.half < pi for one in self.plain)


@dataclass(frozen=True)
class _Corner:
    """As it is and as rows count it; whether others hold it; whether no ring is asked it."""

    plain: Handed
    counted: Handed
    spanned: bool
    apart: bool


def _nearest(span: Span, ends: Sequence[End], end: End) -> bool:
    """Whether it is the end next to nothing, of a range that does not pass through nothing."""
    if len(ends) == 1:
        return end[0] == 0
    return (span[0] >= 0 and not end[1]) or (span[1] <= 0 and end[1])


def _for_earthquakes(span: Span, rows: bool) -> list[End]:
    """Ends of a weight that an earthquake needs beside the others: nothing, where the range passes through it; and what
    weighs and is a range at the other factor too, for it is shaken without one."""
    low, high = span
    out = [(Fraction(0), True)] if low < 0 < high else []
    if rows and low < high:
        out += [(low, True)] if low > 0 else []
        out += [(high, False)] if high > 0 else []
    return out


def _corners(d: Design, load: Mapping[str, Any], index: int, course: Course) -> Iterator[_Corner]:
    quakes, rows = d["site.earthquake"] > 0, bool(d.rows)
    factors = [Fraction(1), *(row["permanent"] for row in d.rows)]
    most, least = max(factors), min(factors)
    near, far = load["from_inner_face"]
    places = [near, far] if near < far and any(load["weight"]) else [far]
    weights, thrusts = (ends_of(load[key], rows) for key in ("weight", "thrust"))
    extra = _for_earthquakes(load["weight"], rows) if quakes else []
    middle, half = 0.0, pi
    down = out = 1 / (2 * pi)
    if "bearing" in load:
        middle, half = float(load["bearing"]), float(load["width"]) / 2 / (course.inner / UNIT)
        down, out = 1 / (2 * half), 1 / (2 * sin(half))
    for weight, thrust, place in product([*weights, *extra], thrusts, places):
        more = weight in extra
        if more and weight[0] == 0 and place != places[-1]:
            continue
        radius, level = (course.inner + grid(place)) / UNIT, grid(load["height"]) / UNIT
        times = [most if high == (value > 0) else least for value, high in (weight, thrust)]
        w, t = float(weight[0]) * down, float(thrust[0]) * out
        next_to_nothing = _nearest(load["weight"], weights, weight) and _nearest(load["thrust"], thrusts, thrust)
        spanned = weight[0] == thrust[0] == 0 or (next_to_nothing and not more and not (quakes and rows))
        yield _Corner(
            Handed(index, w, t, radius, level, middle, half),
            Handed(index, w * float(times[0]), t * float(times[1]), radius, level, middle, half),
            spanned,
            more or half < pi,
        )


def _against(earth: Earth, index: int, course: Course, one: Pressed) -> Handed:
    """What earth hands into a course."""
    radius = one.weight_moment / one.weight / UNIT if one.weight else course.outer / UNIT
    weight, thrust = one.weight / (6 * UNIT**4), -one.push / (6 * UNIT**4)
    return Handed(index, weight, thrust, radius, one.push_moment / one.push / UNIT, earth.middle, earth.half, gaps=True)


def handed_states(d: Design, courses: Sequence[Course], ground: int) -> Iterator[HandedState]:
    """Every state that blocks are asked but the one without anything: of loads, then of the earth against the wall,
    each without loads and with each of theirs."""
    loads = list(_of_loads(d, courses, ground))
    yield from loads
    for earth in pressed_states(d, courses, ground):
        plain, counted = (
            tuple(_against(d["earth"], index, courses[index], both[k]) for index, both in earth.courses.items())
            for k in (0, 1)
        )
        for one in (HandedState("", (), (), False), *loads) if earth.blocks else ():
            suffix = f"-earth-{earth.number}{one.suffix}"
            yield HandedState(suffix, (*one.plain, *plain), (*one.counted, *counted), one.again, earth.dead)


def _of_loads(d: Design, courses: Sequence[Course], ground: int) -> Iterator[HandedState]:
    """Every state of the loads that blocks are asked but the one without any."""
    loads = [*d["ring_load"], *d["bearing_load"]]
    refuse_states(d, courses, ground)
    at = [course_of(courses, ground, load["height"]) for load in loads]
    choices = [[None, *_corners(d, load, i, courses[i])] for load, i in zip(loads, at, strict=True)]
    rings = product(*([one for one in of if one is None or not one.apart] for of in choices))
    more = (state for state in product(*choices) if any(one is not None and one.apart for one in state))
    seen: set[tuple[Handed | None, ...]] = {(None,) * len(loads)}
    for number, state in enumerate(chain(rings, more)):
        there = [one for one in state if one is not None]
        if number and not any(one.spanned for one in there):
            plain = tuple(None if one is None else one.plain for one in state)
            as_is, counted = tuple(one.plain for one in there), tuple(one.counted for one in there)
            yield HandedState(f"-carrying-{number}", as_is, counted, plain in seen)
            seen.add(plain)
