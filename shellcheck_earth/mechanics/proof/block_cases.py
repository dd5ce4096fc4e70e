"""Which block cases a design demands, and what it says of the blocks in each: rebuilt from the design file alone.

Part of the checker: standard library only. STATEMENT.md, section 12. Bounds on places and capacities are in doubles:
they refuse another dome's blocks; the forces themselves are checked in whole numbers (`blocks.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import degrees, pi, remainder
from typing import Any

from shellcheck_earth.mechanics.proof.block_handed import HandedState, handed_states
from shellcheck_earth.mechanics.proof.block_loads import Load
from shellcheck_earth.mechanics.proof.block_places import Wall
from shellcheck_earth.mechanics.proof.block_walls import DesignWalls
from shellcheck_earth.mechanics.proof.blocks import check_block_proof
from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.reading import Design, RefusedError
from shellcheck_earth.mechanics.proof.states import State

__all__ = ["Demand", "block_demands", "block_faults"]

DIRECTIONS, STEPS = 4, 4
LEE, SHUT, OPEN_DOOR, OPEN_TOP = -0.5, (0.2, -0.3), 0.55, 0.6
EVEN_TO = pi * 25 / 180
VERTICAL, DRIFT = 0.3, 2.0
"""Coefficients of wind, the slope up to which its push is even in the second of its cases, the vertical share of an
earthquake, snow drifted onto one half."""
ALIKE = 1e-9


@dataclass(frozen=True)
class Demand:
    """One state of forces that a "meets" needs: its name, what it must reach, and the wall its blocks stand in.

    `instead`: demands with every capacity divided, whose forces hold this one too where they reach as much.
    """

    name: str
    least: Fraction
    sideways: bool
    wall: Wall
    instead: tuple[str, ...] = ()


class _Demands(DesignWalls):
    # -- loads from one side -----------------------------------------------------------------------------------------

    def mirrored(self, axis: float) -> bool:
        """Whether openings and buttresses are their own image in the upright plane through a bearing [rad], and every
        load at one bearing, and earth on one side, lies in it."""
        if any(abs(remainder(2 * (at - axis), 2 * pi)) >= ALIKE for at in self.at_one_bearing()):
            return False
        parts = [(o.bearing, replace(o, bearing=0.0)) for o in self.openings]
        parts += [(b[0], b[1:]) for b in self.buttresses]  # type: ignore[misc]
        return all(
            any(same == other and abs(remainder(at + place - 2 * axis, 2 * pi)) < ALIKE for at, other in parts)
            for place, same in parts
        )

    def at_one_bearing(self) -> list[float]:
        """Bearings of loads at one bearing, then of the middle of earth on one side."""
        earth = self.d["earth"]
        aside = [] if earth is None or not earth.aside else [earth.middle]
        return [*(float(one["bearing"]) for one in self.d["bearing_load"]), *aside]

    def directions(self) -> list[float]:
        widest = max(self.openings, key=lambda o: o.width, default=None)
        handed = next(iter(self.at_one_bearing()), 0.0)
        first = widest.bearing if widest else handed
        return [(first + 2 * pi * k / DIRECTIONS) % (2 * pi) for k in range(DIRECTIONS)]

    def once(self, loads: Iterable[tuple[str, Load]]) -> list[tuple[str, Load]]:
        """The loads without those that are the mirror image of another."""
        kept: list[tuple[str, Load]] = []
        for name, load in loads:
            alike = [at.bearing for _, at in kept if replace(at, bearing=0.0) == replace(load, bearing=0.0)]
            if not any(self.mirrored((load.bearing + at) / 2) for at in alike):
                kept.append((name, load))
        return kept

    def wind(self, open_top: bool) -> list[tuple[str, Load]]:
        """A dome with a door is taken with the door open, a stage with its top open; both cases of the charts."""
        door = any(row["kind"] == "door" for row in self.d["opening"])
        either = max(OPEN_DOOR if door else 0.0, OPEN_TOP if open_top else 0.0)
        inside = max(SHUT[0], either), min(SHUT[1], -either)
        pressure, out = float(self.d["site.wind_pressure"]), []
        for b in self.directions() if pressure > 0 else ():
            for leeward, lee in (("suction", LEE), ("still", 0.0)):
                for word, within in zip(("out", "in"), inside, strict=True):
                    for case, even_to in (("", 0.0), ("-even", EVEN_TO)):
                        load = Load("wind", b, pressure, lee, within, ground=self.ground, even_to=even_to)
                        out.append((f"wind-{degrees(b):03.0f}-{leeward}-{word}{case}", load))
        return out

    def earthquake(self) -> list[tuple[str, Load]]:
        share, out = float(self.d["site.earthquake"]), []
        for b in self.directions() if share > 0 else ():
            for word, sign in (("up", VERTICAL), ("down", -VERTICAL)):
                load = Load("earthquake", b, share, vertical=sign * share, ground=self.ground)
                out.append((f"earthquake-{degrees(b):03.0f}-{word}", load))
        return out

    def heavier(
        self, kind: str, lighter: Sequence[State], more: Sequence[State], times: float
    ) -> list[tuple[str, Load]]:
        """What all around weighs more than what is there, on one half."""
        added = []
        for a, b in zip(lighter, more, strict=True):
            w, m = (b.dead[i] + b.imposed[i] - a.dead[i] - a.imposed[i] for i in (0, 1))
            added.append((times * (w / (6 * UNIT**4)), times * (m / (6 * UNIT**5))))
        weak = tuple((float(state.friction), float(state.strength)) for state in more) if kind == "rain" else ()
        loads = [Load(kind, b, added=tuple(added), ground=self.ground, weak=weak) for b in self.directions()]
        return [(f"{kind}-half-{degrees(load.bearing):03.0f}", load) for load in loads]

    def drifted(self, snow: list[tuple[str, Load]]) -> list[tuple[str, Load]]:
        """Snow on one half, alone and with each wind towards that half: it lies in the lee."""
        out = []
        for name, load in snow:
            out.append((name, load))
            for blown, wind in self.wind(open_top=False):
                if wind.bearing == load.bearing:
                    first = f"wind-{degrees(load.bearing):03.0f}-"
                    beside = replace(load, beside=replace(wind, bearing=0.0))
                    out.append((f"{name}-wind-{blown.removeprefix(first)}", beside))
        return out

    def workers(self, over: Sequence[int] | None, top: int) -> list[tuple[str, Load]]:
        """One on so many courses, anywhere (None), or over each of these openings; none where the crew stands on no
        ring so high."""
        amount = float(self.d["building.worker"])
        if not self.cases.stood_on(self.courses[top - 1]):
            return []
        if over is None:
            return [("worker", Load("worker", self.directions()[0], amount, ground=self.ground))]
        bearings = dict.fromkeys(self.openings[index].bearing % (2 * pi) for index in over)
        return [(f"worker-{degrees(b):03.0f}", Load("worker", b, amount, ground=self.ground)) for b in bearings]

    # -- the list ----------------------------------------------------------------------------------------------------

    def as_it_stands(self) -> Iterable[Demand]:
        """Of an unfinished dome: its dead load, and what comes from one side into its open top."""
        states, need = self.cases.stage_states(len(self.courses)), self.d.required
        stage = f"stage-{self.courses[-1].number:02d}"
        for suffix, standing in [("", states), *self.in_rain(states)] if self.d.needs_more_than_crew else []:
            yield from self._standing(f"{stage}{suffix}", standing, building=True, ground=True)
        for job, loads, check in (
            ("three-d-wind", self.wind(open_top=True), "storm"),
            ("three-d-earthquake", self.earthquake(), "earthquake"),
            ("three-d-worker", self.workers(None, len(self.courses)), "overall reserve"),
        ):
            yield from self._sideways(job, states, loads, need[check], building=True)

    def demands(self) -> Iterable[Demand]:
        if self.d["building.unfinished"]:
            yield from self.as_it_stands()
            return
        more = self.d.needs_more_than_crew  # else the rings are asked the dead load
        yield from self.finished_dead(None) if more else ()
        yield from self.forms_out()
        yield from self.highest_stood_on()
        yield from self.from_one_side(None)
        if self.d["ring_load"] or self.d["bearing_load"] or self.d["earth"] is not None:
            for state in handed_states(self.d, self.courses, self.cases.ground):
                yield from self.finished_dead(state) if more else ()
                yield from () if state.dead else self.from_one_side(state)

    def finished_dead(self, handed: HandedState | None) -> Iterable[Demand]:
        """The dead load of the finished dome, with what is handed in."""
        d = self.d
        protected = (d["plaster.outside"] > 0 or d["site.roof"]) and not d["site.left_unprotected"]
        kinds = [("finished-dry", "dry", False), ("finished-damp", "damp", False)]
        kinds += [] if protected else [("soaked-through", "soaked", False)]
        kinds.append(("base-soaked", "base", False))
        under = [("finished-snow", "dry"), ("finished-damp-snow", "damp"), ("base-soaked-snow", "base")]
        kinds += [(*one, True) for one in under] if d["site.snow"] > 0 else []
        for name, moisture, snow in kinds:
            states = self.cases.finished_states(moisture, snow=snow)
            yield from self._standing(name, states, snow=snow, handed=handed)
        if d["beds.wire_strands"] > 0 and not (handed and handed.again):
            bare = self.wall(self.cases.finished_states("damp"), beside=handed, wireless=True)
            name = "three-d-wire-gone" + (handed.suffix if handed else "")
            yield Demand(name, d.required["standing without wire"], False, bare)

    def forms_out(self) -> Iterable[Demand]:
        """Each stage at which forms come out, with a worker and wind on it; nothing is handed in yet."""
        need = self.d.required
        for top, name, shut in self.stages():
            states = self.cases.stage_states(top)
            dead = [("", states), *self.in_rain(states)] if self.openings or self.buttresses else []
            for suffix, standing in dead:  # else the rings are asked
                yield from self._standing(name.removeprefix("three-d-") + suffix, standing, building=True)
            reserve = need["overall reserve"]
            crew = self.workers(shut if self.openings else None, top)
            yield from self._sideways(f"{name}-worker", states, crew, reserve, building=True)
            yield from self._sideways(f"{name}-wind", states, self.wind(open_top=True), need["storm"], building=True)

    def highest_stood_on(self) -> Iterable[Demand]:
        """One worker on the highest ring that the crew stands on, where it works off a scaffold above."""
        asked, stood = {top for top, _, _ in self.stages()}, self.cases.rings_stood_on()
        if not stood or stood[-1] in asked:
            return
        top, need = stood[-1], self.d.required["overall reserve"]
        shut = [index for index, at in self.closing().items() if at <= top]
        name, states = f"three-d-stage-{self.courses[top - 1].number:02d}-worker", self.cases.stage_states(top)
        yield from self._sideways(name, states, self.workers(shut or None, top), need, building=True)

    def from_one_side(self, handed: HandedState | None) -> Iterable[Demand]:
        """Every load from one side of the finished dome, its foot soaked, beside what is handed in."""
        d, need, said = self.d, self.d.required, handed.suffix if handed else ""
        foot, made = self.cases.with_soaked_foot, self.cases.finished_states
        dry, damp, soaked = foot(made("dry")), foot(made("damp")), made("soaked")
        bare = d["site.left_unprotected"]
        snowed = {name: foot(made(name, snow=True)) for name in ("dry", "damp")}
        wind, storm, reserve = self.wind(open_top=False), need["storm"], need["overall reserve"]
        yield from self._sideways(f"three-d-wind{said}", dry, wind, storm, snowed=snowed["dry"], handed=handed)
        if any(fill["service_moisture"] != fill["placing_moisture"] for _, _, fill in d.fills):
            job = f"three-d-wind-damp{said}"
            yield from self._sideways(job, damp, wind, storm, snowed=snowed["damp"], handed=handed)
        job, shaken = f"three-d-earthquake{said}", self.earthquake()
        yield from self._sideways(job, damp, shaken, need["earthquake"], snowed=snowed["damp"], handed=handed)
        if d["site.snow"] > 0:
            loads = self.drifted(self.heavier("snow", damp, snowed["damp"], DRIFT))
            yield from self._sideways(f"three-d-snow{said}", damp, loads, reserve, handed=handed)
        if bare and soaked[0].dead[0] > dry[0].dead[0]:
            loads = self.heavier("rain", dry, soaked, 1.0)
            yield from self._sideways(f"three-d-rain{said}", dry, loads, reserve, handed=handed)
        crew = self.workers(None, len(self.courses))
        yield from self._sideways(f"three-d-worker{said}", damp, crew, reserve, handed=handed)

    def _standing(
        self,
        name: str,
        states: Sequence[State],
        *,
        building: bool = False,
        snow: bool = False,
        ground: bool | None = None,
        handed: HandedState | None = None,
    ) -> Iterable[Demand]:
        said = f"three-d-{name}" + (handed.suffix if handed else "")
        if handed is None or not handed.again:
            yield Demand(said, self.d.required["overall reserve"], False, self.wall(states, beside=handed))
        if ground is None:
            ground = not (building or "-dry" in name or name == "finished-snow")
            ground = ground or (name == "finished-dry" and handed is not None and handed.aside)
        on_it = [self.rows.on_the_ground(sliding=True)] if ground else []
        rows = self.rows.dead(building=building, snow=snow, grounded=ground, handed=handed is not None)
        for row in [*rows, *on_it]:
            yield Demand(f"{said}-joint, {row.name}", Fraction(1), False, self.wall(states, row, beside=handed))

    def _sideways(
        self,
        job: str,
        states: Sequence[State],
        loads: list[tuple[str, Load]],
        least: Fraction,
        *,
        building: bool = False,
        snowed: Sequence[State] = (),
        handed: HandedState | None = None,
    ) -> Iterable[Demand]:
        """`snowed`: the states with snow all around, for rows that have it beside the load."""
        for name, load in self.once(loads):
            rows = self.rows.beside(load.kind, least, building=building, handed=handed is not None)
            # snow with wind beside it is asked where, and only where, a row has both
            rows = [row for row in rows if (row.wind > 0) == bool(load.beside)]
            named = {f"{job}-joint, {name}, {row.name}": row for row in rows}
            if len(named) < len(rows):
                raise RefusedError("criteria: expected rows of different names")
            instead = tuple(other for other, row in named.items() if row.as_it_is)
            if load.beside is None and not (handed and handed.again):
                yield Demand(f"{job}, {name}", least, True, self.wall(states, load=load, beside=handed), instead)
            for other, row in named.items():
                wall = self.wall(snowed if row.snow > 0 else states, row, load, handed)
                yield Demand(other, row.load, True, wall)


def block_demands(design: Design) -> tuple[Demand, ...]:
    """Every state of forces that a "meets" of this design needs from the block model; () where it needs none.
    RefusedError where two go by one name: one proof would stand for both."""
    found = tuple(_Demands(design).demands()) if design.needs_blocks else ()
    if len({one.name for one in found}) < len(found):
        raise RefusedError("blocks: expected block cases of different names")
    return found


def _turned(demands: Sequence[Demand]) -> Iterable[Demand]:
    """The same of every load but a worker's, turned by whole steps of a fraction of the angle between directions."""
    for demand in demands:
        load = demand.wall.load
        if load is None or load.kind == "worker":
            continue
        job, name, *row = demand.name.split(", ")
        for steps in [k for k in range(1 - STEPS, STEPS) if k]:
            angle = 2 * pi / DIRECTIONS / STEPS * steps
            turned = replace(load, bearing=(load.bearing + angle) % (2 * pi))
            called = ", ".join([job, f"{name} turned {degrees(angle):+g} deg", *row])
            yield replace(demand, name=called, wall=replace(demand.wall, load=turned), instead=())


def block_faults(design: Design, entries: Any, wanted: bool) -> list[str]:
    """What is missing of the block cases; RefusedError for proofs of cases that the design does not demand.

    wanted: the certificate claims a "meets"; else it may hold none.
    """
    if not isinstance(entries, list) or not all(isinstance(one, Mapping) for one in entries):
        raise RefusedError("blocks: expected a list of proofs")
    demands = block_demands(design) if entries or wanted else ()
    held = {one.get("case"): one for one in entries}
    more = set(held) - {demand.name for demand in demands}
    if more:  # directions between those of the design: not demanded, and held to the same where they are given
        demands += tuple(one for one in _turned(demands) if one.name in more)
    if len(held) < len(entries) or not set(held) <= {demand.name for demand in demands}:
        raise RefusedError("blocks: expected one proof for each block case that the design demands")
    out = [] if wanted or not design.needs_blocks else ["its block cases are not proven"]
    proven: dict[str, Fraction | None] = {}
    said: dict[str, str] = {}
    seen: list[Any] = []
    for demand in demands if wanted else ():
        if demand.name in held:
            finding = check_block_proof(held[demand.name], demand.wall, seen)
            right = demand.sideways == bool(held[demand.name].get("factor"))
            proven[demand.name] = finding.proven if right else None
            said[demand.name] = finding.why or "another question"
    for demand in demands if wanted else ():
        found = [proven.get(name) or Fraction(0) for name in (demand.name, *demand.instead)]
        if max(found) >= demand.least:
            continue
        if demand.name not in held:
            out.append(f"block case {demand.name} is not proven")
        elif proven[demand.name] is None:
            out.append(f"block case {demand.name} is not proven: {said[demand.name]}")
        else:
            shown, least = float(found[0]), float(demand.least)
            out.append(f"block case {demand.name} is proven to {shown:.4g}, {least:.4g} is required")
    if wanted and design.needs_blocks:
        out += [f"beyond the range of validation: {line}" for line in _Demands(design).beyond_range()]
    return out
