"""What a design says of its blocks in each state, row of factors and load; and when the forms come out of its heads.

Part of the checker: standard library only. STATEMENT.md, section 12. In doubles: bounds that refuse another dome.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import inf, pi

from shellcheck_earth.mechanics.proof.block_handed import HandedState
from shellcheck_earth.mechanics.proof.block_loads import Handed, Load
from shellcheck_earth.mechanics.proof.block_openings import Opening, Ring
from shellcheck_earth.mechanics.proof.block_places import Layer, Under, Wall
from shellcheck_earth.mechanics.proof.block_range import beyond
from shellcheck_earth.mechanics.proof.block_rows import PLAIN, BlockRows, Row
from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.doubts import wetted_the_most
from shellcheck_earth.mechanics.proof.reading import Design
from shellcheck_earth.mechanics.proof.rebuild import WallCases
from shellcheck_earth.mechanics.proof.states import State

__all__ = ["DesignWalls"]

STAGES, TINY = 3, 1e-6


def _m(length: int) -> float:
    return length / UNIT


class DesignWalls:
    """The walls, stages and openings of one design."""

    def __init__(self, design: Design) -> None:
        self.d, self.rows, self.cases = design, BlockRows(design), WallCases(design)
        self.rained = WallCases(wetted_the_most(design))
        self.courses = self.cases.courses
        self.floor, self.ground = _m(self.cases.floor), _m(self.cases.ground)
        self.openings = [
            Opening(
                float(row["bearing"]), self.floor + float(row["sill"]),
                self.floor + float(row["sill"]) + float(row["height"]),
                float(row["width"]), float(row["height"]), row["head"], float(row.get("tie", 0)),
                float(row["head_depth"]), float(row["lintel_bearing"]),
            )
            for row in design["opening"]
        ]  # fmt: skip
        self.rings = [Ring(_m(course.z_bottom), _m(course.z_top), _m(course.inner)) for course in self.courses]
        self.buttresses = [
            tuple(float(row[key]) for key in ("bearing", "length", "width", "height")) for row in design["buttress"]
        ]

    # -- what the design says of its blocks --------------------------------------------------------------------------

    def wall(
        self,
        states: Sequence[State],
        row: Row = PLAIN,
        load: Load | None = None,
        beside: HandedState | None = None,
        *,
        wireless: bool = False,
    ) -> Wall:
        """`beside`: what is handed in; `wireless`: neither wire nor what it lends to the friction of beds is left."""
        handed = () if beside is None else beside.counted if row.counts else beside.plain
        d, above, layers = self.d, 0.0, []
        wire = float(d["beds.wire_strands"] * d["beds.wire_breaking_load"] * d["beds.wire_counted_share"] / row.wire)
        imposed = row.load if load is None else row.snow
        beds = self.cases.beds(list(states), wireless)
        most = d["beds.friction_no_wire"] if wireless else None
        down: dict[int, float] = {}
        soaked: list[float] = []
        for one in handed:
            more = one.weight if one.half == pi else min(one.weight, 0.0) * 2 * one.half
            down[one.course] = down.get(one.course, 0.0) + more
        rows = zip(range(len(states) - 1, -1, -1), beds, reversed(states), strict=True)
        for index, bed, state in rows:
            course = self.courses[index]
            weight = (state.dead[0] * float(row.permanent) + state.imposed[0] * float(imposed)) / (6 * UNIT**4)
            above += weight + down.get(index, 0.0)  # what bears at one bearing only lowers what wire holds
            bond, slick = float((bed.friction or 0) / row.friction) * above, 0.0
            if load is not None and load.weak:
                of = min(load.weak[index][0], load.weak[max(index - 1, 0)][0])
                slick = of / float(row.friction) * above
            if bed.bond is not None:
                bond = slick = float(bed.bond / row.wire)
            soaked.append(min(wire, bond, slick) if bed.wire > 0 else 0.0)
            middle, half = _m(course.bed_inner + course.bed_outer) / 2, _m(course.bed_outer - course.bed_inner) / 2
            half /= float(row.width)
            friction = state.friction if most is None else min(state.friction, most)
            layers.append(
                Layer(
                    _m(course.z_bottom), _m(course.z_top), _m(course.inner), _m(course.outer),
                    middle - half, middle + half, weight,
                    float(friction / row.friction), float(state.strength / row.strength),
                    min(wire, bond) if bed.wire > 0 else 0.0,
                    *self._wetted(replace(state, friction=friction), row),
                )
            )  # fmt: skip
        clear = tuple(o.clear(float(row.wire), self.rings) for o in self.openings)
        if load is not None:
            load = self._at(load, row, states, () if beside is None else beside.plain, tuple(reversed(soaked)))
        reach = max((b[1] for b in self.buttresses), default=0.0)
        slips, bears = self.rows.under("friction"), self.rows.under("bearing")
        ground = None if load is None and not row.sliding else float(slips / (row.sliding or 1) / row.friction)
        pressure = float(bears / row.bearing) if row.bearing else None
        under = None if ground is None and pressure is None else self.under(row)
        return Wall(tuple(reversed(layers)), clear, reach, ground, load, float(row.width), pressure, handed, under)

    @staticmethod
    def _at(
        load: Load, row: Row, states: Sequence[State], beside: tuple[Handed, ...], soaked: tuple[float, ...]
    ) -> Load:
        """A load as a row asks it; beside: what is handed in as it is, soaked: tensions of the wire in wet beds."""
        if load.kind == "earthquake" and row.permanent != 1:
            own = tuple(
                float((s.dead[0] + s.imposed[0] * row.snow) / (s.dead[0] * row.permanent + s.imposed[0] * row.snow))
                for s in states
            )
            load = replace(load, own=own, permanent=float(row.permanent))
        if load.kind == "earthquake" and beside:
            load = replace(load, shaken_with=beside)
        if load.beside is not None:
            load = replace(load, share=float(row.wind / row.load))
        if load.weak:
            weak = tuple((mu / float(row.friction), f / float(row.strength)) for mu, f in load.weak)
            load = replace(load, weak=weak, wire=soaked)
        return load

    def under(self, row: Row) -> Under | None:
        """The footing, where there is one: it steadies with its least weight, never multiplied by more than 1, and an
        earthquake shakes its greatest; what it may weigh more presses on the ground evenly. All that the ground's
        friction holds tips it at its depth, which is taken off the width over which it presses."""
        footing, lowest = self.d["footing"], self.courses[0]
        if footing is None:
            return None
        width, depth = float(footing.width), float(footing.depth)
        middle, bed = _m(lowest.bed_inner + lowest.bed_outer) / 2, _m(lowest.bed_outer - lowest.bed_inner)
        holds = self.rows.under("friction") / (row.sliding or 1)
        reach, area = min(width, bed + depth) - 2 * float(holds) * depth, middle * width * depth
        light, heavy = float(footing.lightest), float(footing.heaviest)
        steady = light * min(float(row.permanent), 1.0) * area
        more = (heavy - light) * depth * width / reach if reach > 0 else inf
        return Under(middle, width, reach, steady, heavy * area, more)

    @staticmethod
    def _wetted(state: State, row: Row) -> tuple[float, ...]:
        """From where on a course is wet, and what it holds there."""
        wet = min(state.friction, state.friction_wet), min(state.strength, state.strength_wet)
        return _m(state.wet_from), _m(state.ring_to), float(wet[0] / row.friction), float(wet[1] / row.strength)

    # -- when the forms come out -------------------------------------------------------------------------------------

    def closed(self, o: Opening, top: int) -> bool:
        """Whether `top` courses close over an opening."""
        if o.head == "lintel":
            return any(_m(course.z_bottom) >= o.top - TINY for course in self.courses[:top])
        arch = o.arch(self.rings)
        return (arch is not None and arch.last < top) or o.top <= _m(self.courses[top - 1].z_bottom) + TINY

    def closing(self) -> dict[int, int]:
        """Opening -> how many courses stand when a ring is first closed over its head."""
        closing: dict[int, int] = {}
        for top in range(2, len(self.courses)):
            for index, o in enumerate(self.openings):
                if index not in closing and self.courses[top - 1].number >= 1 and self.closed(o, top - 1):
                    closing[index] = top
        return closing

    def stages(self) -> list[tuple[int, str, list[int]]]:
        """(how many courses stand, name of the case, openings that are closed) of the stages asked with forms out, and
        of that with every course laid."""
        closing = self.closing()
        # Of a wall that stands higher already they come out now, at the soonest.
        now = max(int(self.d["building.laid"] or 1), 1)
        standing = next(top for top, course in enumerate(self.courses, 1) if course.number >= now)
        whole = []
        for top in sorted({max(top, standing) for top in closing.values()}):
            begun = [i for i, o in enumerate(self.openings) if o.sill < _m(self.courses[top - 1].z_top) - TINY]
            if all(closing.get(i, top + 1) <= top for i in begun):
                whole.append(top)
        whole = whole if len(whole) <= STAGES else [*whole[: STAGES - 1], whole[-1]]
        out = []
        for top in whole:
            shut = [index for index, at in closing.items() if at <= top]
            every = len(shut) == len(self.openings)
            name = "three-d-forms-out" + ("" if every else f"-{self.courses[top - 1].number:02d}")
            out.append((top, name, shut))
        return [*out, (len(self.courses), "three-d-all-laid", list(closing))]

    def in_rain(self, laid: Sequence[State]) -> Iterable[tuple[str, list[State]]]:
        """(suffix of the name, states) of a stage in the rain on its last day, with all that decides how wet it gets
        and was not measured at the bad end at once; none where that is no weaker than what was just laid."""
        wall, top = self.rained, len(laid) - 1
        days = [wall.laying_day(index) for index in range(top + 1)]
        fallen = bool(self.d["building.unfinished"]) and any(self.d["building.wetted"])
        for suffix, more in (*((("-wetted", False),) if fallen else ()), ("-rain", True)):
            heavy, light = (
                [wall.rained(index, top, days[top] - days[index], full, more) for index in range(top + 1)]
                for full in (True, False)
            )
            weaker = any(
                wet.ring_to < course.outer or wet.strength < dry.strength or wet.friction < dry.friction
                for course, wet, dry in zip(self.courses, heavy, laid, strict=False)
            )
            if weaker:
                yield suffix, heavy
            if weaker and heavy != light:
                yield f"{suffix}-light", light

    def beyond_range(self) -> list[str]:
        """What of it, finished or on the way, lies beyond what blocks were compared with."""
        rings, tops = self.rings, [] if self.d["building.unfinished"] else [top for top, _, _ in self.stages()[:-1]]
        said = [(rings, bool(self.d["building.unfinished"])), *((rings[:top], True) for top in tops)]
        across = float(self.d["dome.inside_diameter"])
        found = [beyond(self.openings, some, self.floor, across, open_top=open_top) for some, open_top in said]
        return list(dict.fromkeys(line for lines in found for line in lines))
