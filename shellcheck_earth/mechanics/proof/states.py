"""From a design's exact numbers to what stands: weights and capacities of its courses in every state, and their beds.

Part of the checker: standard library only, no code shared with the solver. Lengths and unit weights are first rounded
to a whole number of 2^-40 (m, kN/m3); from there weights and moments are exact whole numbers: a force is counted in
1/(6 2^160) kN, a moment in 1/(6 2^200) kN m, both per radian. STATEMENT.md gives every formula used here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor
from typing import Any

from shellcheck_earth.mechanics.proof.courses import NEAR, UNIT, Course, courses_of, grid
from shellcheck_earth.mechanics.proof.moisture import (
    WET,
    Fill,
    early,
    infiltrated,
    moisture_at,
    strength_at,
    strength_of_age,
)
from shellcheck_earth.mechanics.proof.reading import Design

__all__ = ["NOTHING", "Bed", "Carried", "State", "WallStates"]

WIND_SHARE = Fraction(1, 2)

Weight = tuple[int, int]
"""Force and moment per radian in the units above."""


Carried = tuple[int, int, int]
"""What is handed into a course all around: force down, moment (with z times the thrust), thrust outward; as above."""

NOTHING: Carried = (0, 0, 0)


@dataclass(frozen=True)
class State:
    """One course in one case; radii from which the bed, and the section, are wetted (the outer radius: none).

    carried: what is handed into it; carried_rows: the same under rows of factors, multiplied by theirs."""

    dead: Weight
    imposed: Weight
    strength: Fraction
    friction: Fraction
    strength_wet: Fraction
    friction_wet: Fraction
    wet_from: int
    ring_to: int
    soaked: bool
    carried: Carried = NOTHING
    carried_rows: Carried = NOTHING


@dataclass(frozen=True)
class Bed:
    """A course and the bed under it. Capacities None: without limit. `bond` None: as much as friction holds. `carried`,
    `carried_rows`: as of a state."""

    number: int
    z_bottom: int
    z_top: int
    dead: Weight
    imposed: Weight
    inner: int
    outer: int
    wet_from: int
    strength_in: Fraction | None
    strength_out: Fraction | None
    friction: Fraction | None
    cohesion: Fraction
    ring_strength: Fraction | None
    ring_depth: int
    wire: Fraction
    bond: Fraction | None
    carried: Carried = NOTHING
    carried_rows: Carried = NOTHING


def _band(inner: int, outer: int, height: int, unit_weight: int) -> Weight:
    """gamma h (ro^2 - ri^2)/2 and gamma h (ro^3 - ri^3)/3."""
    return 3 * unit_weight * height * (outer**2 - inner**2), 2 * unit_weight * height * (outer**3 - inner**3)


def _sum(weights: Iterable[Weight]) -> Weight:
    listed = list(weights)
    return sum(one[0] for one in listed), sum(one[1] for one in listed)


class WallStates:
    """What stands of one design: every course's state is computed once for each moisture."""

    def __init__(self, design: Design) -> None:
        self.d = d = design
        self.courses = courses_of(d)
        self.floor = -grid(d["dome.springing_above_floor"])
        self.ground = self.floor - grid(d["dome.floor_above_ground"])
        earth = d["earth"]
        self.soaked_to = self.ground if earth is None else self.ground + grid(earth.height)
        self.splashed = self.soaked_to + grid(d["site.splash_height"])
        self.fronts: dict[tuple[Any, ...], Fraction | None] = {}
        self.states: dict[tuple[Any, ...], State] = {}
        self.aged: dict[tuple[Any, ...], Fraction] = {}
        self.weights: dict[tuple[Any, ...], int] = {}
        self.moist: dict[tuple[Any, ...], Fraction] = {}
        self.made: dict[tuple[Any, ...], tuple[State, State, Bed]] = {}

    def unit_weight(self, fill: Fill, moisture: Fraction) -> int:
        key = (id(fill), moisture)
        if key not in self.weights:
            self.weights[key] = grid(fill["dry_density"] * (1 + moisture) * Fraction("9.80665") / 1000)
        return self.weights[key]

    def friction_at(self, fill: Fill, moisture: Fraction) -> Fraction:
        """[-]; equation (5)."""
        dry, wet, wet_end = self.d["beds.friction"], self.d["beds.friction_wet"], WET * fill["full"]
        placed = min(fill["placing_moisture"], wet_end)
        if moisture >= wet_end or moisture <= placed:
            return Fraction(wet if moisture >= wet_end else dry)
        return Fraction(dry + (wet - dry) * (moisture - placed) / (wet_end - placed))

    def state(self, course: Course, moisture: Fraction, hardened: bool) -> State:
        key = (course.number, moisture, hardened)
        if key not in self.states:
            fill = course.fill
            weight = _band(course.inner, course.outer, course.height, self.unit_weight(fill, moisture))
            f, mu = strength_at(fill, moisture, hardened), self.friction_at(fill, moisture)
            soaked = moisture > fill["placing_moisture"]
            self.states[key] = State(weight, (0, 0), f, mu, f, mu, course.outer, course.outer, soaked)
        return self.states[key]

    @staticmethod
    def above(course: Course, level: int) -> int:
        """How much of a course stands above a level: plaster ends at the ground outside and at the floor inside."""
        if course.z_bottom >= level - NEAR:
            return course.height
        return course.z_top - level if course.z_top > level + NEAR else 0

    def plaster(self, index: int) -> Weight:
        """A band on each face, the outer ledge on top of the course, the underside of its step-in."""
        course, gamma = self.courses[index], grid(self.d["plaster.unit_weight"])
        outside, inside = grid(self.d["plaster.outside"]), grid(self.d["plaster.inside"])
        parts, seen, uncovered = [], self.above(course, self.ground), self.above(course, self.floor)
        if outside > 0 and seen > 0:
            parts.append(_band(course.outer, course.outer + outside, seen, gamma))
            top = index + 1 == len(self.courses)
            ledge = course.inner if top else self.courses[index + 1].outer
            if ledge < course.outer:
                parts.append(_band(ledge, course.outer, outside, gamma))
        if inside > 0 and uncovered > 0:
            parts.append(_band(max(course.inner - inside, 0), course.inner, uncovered, gamma))
            stepped = index > 0 and self.courses[index - 1].inner > course.inner
            if stepped and course.z_bottom > self.floor + NEAR:
                parts.append(_band(course.inner, self.courses[index - 1].inner, inside, gamma))
        return _sum(parts)

    def snow(self, index: int) -> Weight:
        course = self.courses[index]
        inner = 0 if index + 1 == len(self.courses) else self.courses[index + 1].outer
        if course.buried or inner >= course.outer:
            return 0, 0
        return _band(inner, course.outer, UNIT, grid(self.d["site.snow"]))

    def finished(
        self, moisture: Callable[[Course], Fraction], plastered: bool = True, snow: bool = False
    ) -> list[State]:
        out = []
        for index, course in enumerate(self.courses):
            state = self.state(course, moisture(course), hardened=True)
            dead = _sum((state.dead, self.plaster(index))) if plastered else state.dead
            out.append(replace(state, dead=dead, imposed=self.snow(index) if snow else (0, 0)))
        return out

    def finished_states(self, name: str, snow: bool = False) -> list[State]:
        """Of the finished dome: "dry", "damp", "soaked", or "base": soaked up to where ground, earth and splash
        reach, the lowest course in any case, else dry; with snow all around where asked for."""
        key = {"dry": "service_moisture", "damp": "placing_moisture", "soaked": "full", "base": "service_moisture"}[
            name
        ]
        plastered = name != "soaked" or not self.d["site.left_unprotected"]

        def moisture(course: Course) -> Fraction:
            return Fraction(course.fill["full" if name == "base" and self.at_the_foot(course) else key])

        return self.finished(moisture, plastered, snow)

    def in_wet_ground(self, course: Course) -> bool:
        """Whether ground that rain soaks soaks a course."""
        return course.number == self.courses[0].number or course.z_bottom <= self.ground + NEAR

    def at_the_foot(self, course: Course) -> bool:
        """Whether ground, earth or splash may soak a course."""
        z = course.z_bottom
        return self.in_wet_ground(course) or z <= self.soaked_to + NEAR or z < self.splashed - NEAR

    def with_soaked_foot(self, states: list[State]) -> list[State]:
        """Of the finished dome: its foot as weak as it is soaked, and no heavier than it is."""

        def weak(course: Course, state: State) -> State:
            wet = self.state(course, Fraction(course.fill["full"]), hardened=True)
            f, mu = min(state.strength, wet.strength), min(state.friction, wet.friction)
            return replace(state, strength=f, friction=mu, strength_wet=f, friction_wet=mu, soaked=True)

        pairs = zip(self.courses, states, strict=True)
        return [weak(course, one) if self.at_the_foot(course) else one for course, one in pairs]

    def stage_states(self, count: int) -> list[State]:
        """Of the lowest `count` courses, just laid."""
        laid = self.courses[:count]
        return [self.state(course, Fraction(course.fill["placing_moisture"]), hardened=False) for course in laid]

    # -- the calendar of the work and its rain -----------------------------------------------------------------------

    def laying_day(self, index: int) -> int:
        known = self.d["building.laid_on"]
        if index < len(known):
            return int(known[index])
        start = int(known[-1]) if known else 0
        index -= max(len(known) - 1, 0)
        return start + self.by_pace(index)

    def by_pace(self, index: int) -> int:
        working: int = floor(index / self.d["building.courses_per_day"] + Fraction(1, 10**9))
        return working + int(self.d["building.rest_days"]) * (working // 6)

    def front(self, fill: Fill, moisture: Fraction, catch: Fraction, hours: Fraction) -> Fraction | None:
        """Depth [m] that counts as wet (None: everything); equations (8)."""
        key = (id(fill), moisture, catch, hours)
        if key not in self.fronts:
            n, start = 1 - fill["dry_density"] / fill["particle_density"], min(moisture / fill["full"], Fraction(1))
            if catch <= 0 or hours <= 0:
                self.fronts[key] = Fraction(0)
            elif start >= WET:
                self.fronts[key] = None
            else:
                water = infiltrated(
                    fill["hydraulic_conductivity"], fill["suction_head"] * n * (1 - start), catch, hours
                )
                self.fronts[key] = water / (n * (WET - start))
        return self.fronts[key]

    def dried(self, fill: Fill, age: int) -> Fraction:
        if (id(fill), age) not in self.moist:
            self.moist[id(fill), age] = moisture_at(self.d, fill, age)
        return self.moist[id(fill), age]

    def strength(self, course: Course, moisture: Fraction, age: int) -> Fraction:
        key = (id(course.fill), moisture, age, course.width, course.height)
        if key not in self.aged:
            size = Fraction(course.width, UNIT), Fraction(course.height, UNIT)
            self.aged[key] = strength_of_age(self.d, course.fill, moisture, age, *size)
        return self.aged[key]

    def rained(self, index: int, top: int, age: int, heavy: bool, more: bool = True) -> State:
        """`more`: the stated rain comes on top of what has wetted the course already."""
        d, course = self.d, self.courses[index]
        fill, moisture = course.fill, self.dried(course.fill, age)
        ledge = course.width if index == top else max(course.outer - self.courses[index + 1].outer, 0)
        bed = section = 0
        fallen = more and d["site.rain.intensity"] > 0 and d["site.rain.hours"] > 0
        if self.in_wet_ground(course) and (fallen or any(d["building.wetted"])):
            bed = section = course.width
        elif course.z_top > self.ground + NEAR:
            rain, cover = d["site.rain.intensity"], d["building.cover_after"]
            hours = d["site.rain.hours"] if cover is None else min(d["site.rain.hours"], cover)
            hours = hours if more else Fraction(0)
            catch = rain * (ledge + WIND_SHARE * course.height) / (ledge + course.height)
            depth, already = self.front(fill, moisture, catch, hours), d["building.wetted"]
            if depth is not None and index < len(already):
                depth += already[index]
            if depth is None:
                bed = section = course.width
            elif depth > 0:
                deep = -floor(-depth * UNIT)
                bed = min(deep + (ledge if deep >= course.height else 0), course.width)
                section = min(deep - (-ledge * min(deep, course.height) // course.height), course.width)
        placed = self.unit_weight(fill, fill["placing_moisture"])
        soaked_from = course.outer - section
        dry_to = soaked_from if heavy else course.outer
        weights = [_band(course.inner, dry_to, course.height, placed)]
        if dry_to < course.outer:
            weights.append(_band(dry_to, course.outer, course.height, self.unit_weight(fill, fill["full"])))
        f = self.strength(course, moisture, age)
        share = Fraction(1) if fill["stabiliser"] == "none" else early(age)
        f_wet, mu = min(share * fill["strength_wet"], f), self.friction_at(fill, moisture)
        wet_from = course.outer - bed
        return State(_sum(weights), (0, 0), f, mu, f_wet, d["beds.friction_wet"], wet_from, soaked_from, False)

    # -- beds ----------------------------------------------------------------------------------------------------------

    def beds(self, states: list[State], wireless: bool = False) -> tuple[Bed, ...]:
        """Of courses 0.. of the wall, handed over lowest first; the lowest takes no ring force and no wire.

        A bed between the same two states, as many stages have it, is made once; the states are kept with it, so that
        no other can come to stand at their address.
        """
        out = []
        for index, state in enumerate(states):
            below = states[max(index - 1, 0)]
            key = (index, id(state), id(below), wireless)
            if key not in self.made:
                self.made[key] = (state, below, self.bed(index, state, below, wireless))
            out.append(self.made[key][2])
        return tuple(reversed(out))

    def bed(self, index: int, state: State, below: State, wireless: bool) -> Bed:
        """Of course `index` on the one below; the lowest lies on the ground as on a course like itself."""
        d, course = self.d, self.courses[index]
        tension = d["beds.wire_strands"] * d["beds.wire_breaking_load"] * d["beds.wire_counted_share"]
        a, b = course.bed_inner, course.bed_outer
        wet_from = min(max(min(state.wet_from, below.wet_from), a), b)
        dry, wet = min(state.friction, below.friction), min(state.friction_wet, below.friction_wet)
        share = Fraction(b * b - wet_from * wet_from, b * b - a * a) if wet < dry else Fraction(0)
        friction = dry + (wet - dry) * share
        all_wet = state.soaked or below.soaked
        dry_area = Fraction(0 if all_wet else wet_from**2 - a * a, 2 * UNIT**2)
        wet_area = Fraction(b * b - a * a, 2 * UNIT**2) - dry_area
        cohesion = d["beds.cohesion"] * dry_area + d["beds.cohesion_wet"] * wet_area
        wire = tension if index and not wireless else Fraction(0)
        bond = d["beds.wire_bond"]
        if bond is not None:
            bond = bond * d["beds.wire_strands"] * Fraction(a + b, 2 * UNIT)
        if wireless:
            friction, cohesion = min(friction, d["beds.friction_no_wire"]), Fraction(0)
        depth = max(min(state.ring_to, course.outer) - course.inner, 0) if index else 0
        return Bed(
            course.number, course.z_bottom, course.z_top, state.dead, state.imposed, a, b, wet_from,
            min(state.strength, below.strength), min(state.strength_wet, below.strength_wet),
            friction, cohesion, state.strength if index else Fraction(0), depth, Fraction(wire), bond,
            state.carried, state.carried_rows,
        )  # fmt: skip
