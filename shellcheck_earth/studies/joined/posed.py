"""Two domes and the passage between them as problems: joined, each alone, each with the passage leaning on it.

Contact between them presses, rubs and is crushed as the weaker of both sides; it never pulls. A dome that is leant on
carries what the passage may press on it at the worst: the whole weight of the vault's bags that are cut to it hangs on
its face, and all that the load from one side pushes of the passage along towards it arrives there, as if the passage
held nothing of it by its own base (taken on the side of the cautious; derived from nothing but its weight).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from shellcheck_earth.loads.cases import Case, MoistureState, case_of
from shellcheck_earth.loads.joint import PLAIN, Row
from shellcheck_earth.loads.side_loads import SideLoad, directions_to_try, mirrored, side_loads, turned
from shellcheck_earth.mechanics.blocks.assembly import block_problem
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.interfaces import Patch
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.safety.blocks.cuts import ring_symmetric
from shellcheck_earth.studies.joined.ask import Pose
from shellcheck_earth.studies.joined.given import Pair
from shellcheck_earth.studies.joined.passage import snow_on, wind_on_passage
from shellcheck_earth.studies.joined.placed import Placed, Touch, place_pair, turning
from shellcheck_earth.studies.joined.solids import Earth, Solids, earth_of, problem_of, shaken, thinned
from shellcheck_earth.studies.joined.standing import ground_shares
from shellcheck_earth.studies.joined.told import LEANT_ON, Body, Question, State
from shellcheck_earth.studies.joined.union import moved, together

__all__ = ["ALONE", "WAYS", "Asked", "Posed", "posed_pair"]

ALONE: tuple[Body, Body] = ("first dome", "second dome")

WAYS: dict[str, float] = {"second": math.pi / 2, "first": -math.pi / 2, "left": 0.0, "right": math.pi}
"""Bearing that a load pushes to in the frame of the passage [rad]: x = sin, y = cos."""

TOWARDS = {"first dome, leant on": "first", "second dome, leant on": "second"}


@dataclass(frozen=True)
class Asked:
    """One question to one body, in every state that it is asked in; way: "" for the dead load."""

    body: Body
    question: Question
    way: str
    states: tuple[State, ...]


@dataclass(frozen=True)
class Posed:
    """A pair as problems."""

    placed: Placed

    @property
    def given(self) -> Pair:
        return self.placed.given

    def required(self, asked: Asked) -> float:
        """The factor that the criteria of the domes in question ask for."""
        criterion = {"dead": "overall reserve", "wind": "storm", "earthquake": "earthquake"}[asked.question]
        return max(self.given.designs[k].criteria.required[criterion] for k in _domes_in(asked.body))

    def cap(self, asked: Asked, state: State) -> float:
        """The least that the ring-symmetric check gives for the dead load of the domes in question; inf without any."""
        indices = _domes_in(asked.body) if asked.body != "passage" else ()
        return min((ring_symmetric(self.placed.domes[k], self._case(k, state)) for k in indices), default=math.inf)

    def _case(self, index: int, state: State) -> Case:
        """The case of a dome in a state of the whole; where it is kept dry it is as damp as placed instead."""
        dome = self.placed.domes[index]
        names = {"service": "finished-dry", "placed": "finished-damp", "saturated": "soaked-through"}
        names |= {"service, snow": "finished-snow", "placed, snow": "finished-damp-snow"}
        case = case_of(dome, names[state])
        return case if case.counts else case_of(dome, "finished-damp")

    def _earth(self, state: State) -> Earth:
        moisture: MoistureState = "saturated" if state == "saturated" else "placed" if "placed" in state else "service"
        if moisture == "saturated" and self.given.passage.plastered:
            moisture = "placed"
        return earth_of(self.given.designs[0], moisture)

    @cached_property
    def states(self) -> tuple[State, ...]:
        """Those that are asked of the dead load."""
        out: list[State] = ["service", "placed"]
        soaked = [case_of(dome, "soaked-through").counts for dome in self.placed.domes]
        if any(soaked) or not self.given.passage.plastered:
            out.append("saturated")
        if self.given.designs[0].site.snow > 0:
            out += ["service, snow", "placed, snow"]
        return tuple(out)

    @cached_property
    def mirrored(self) -> bool:
        """Whether both domes are their own mirror image in the axis of the passage."""
        return all(mirrored(design, b) for design, b in zip(self.given.designs, self.given.facing, strict=True))

    def questions(self) -> list[Asked]:
        """Everything that is asked, of every body."""
        site, out = self.given.designs[0].site, []
        ways = [way for way in WAYS if way != "right" or not self.mirrored]
        sides: list[tuple[Question, tuple[State, ...]]] = []
        if site.wind_pressure > 0:  # it lifts: dry, which is lightest, and damp, which is weaker
            sides.append(("wind", ("service", "placed")))
        if site.earthquake > 0:
            sides.append(("earthquake", ("placed",)))
        bodies: tuple[Body, ...] = ("joined", *ALONE, "passage", *LEANT_ON)
        for body in bodies:
            if body in LEANT_ON and not self._touched(LEANT_ON.index(body), 0):
                continue
            out.append(Asked(body, "dead", "", self.states))
            asked_ways = [TOWARDS[body]] if body in TOWARDS else ways
            out += [Asked(body, question, way, states) for question, states in sides for way in asked_ways]
        return out

    def loads(self, asked: Asked) -> dict[str, SideLoad]:
        """Every variant of a load from one side, in the frame of the passage, by its name; {} of the dead load."""
        if asked.question == "dead":
            return {}
        out: dict[str, SideLoad] = {}
        for design in self.given.designs:
            first = directions_to_try(design)[0]
            for load in side_loads(design, 0.0):
                if load.kind == asked.question and load.bearing == first:
                    name = _variant(load)
                    out.setdefault(name, turned(load, WAYS[asked.way]))
        return out

    def pose(self, body: Body, state: State, load: SideLoad | None = None, row: Row = PLAIN) -> Pose:
        """The problem of a body in a state, under a load from one side."""
        return lambda cut, shares: self._problem(body, state, cut, shares, load, row)

    def _problem(
        self, body: Body, state: State, cut: int, shares: Shares, load: SideLoad | None, row: Row
    ) -> BlockProblem:
        if body == "passage":
            return self._passage(self.placed.free[cut].solids, state, shares, load, row)
        parts = [self._dome(k, state, cut, shares, load, row) for k in _domes_in(body)]
        if body in ALONE:
            return parts[0]
        if body in LEANT_ON:
            return self._leant_on(LEANT_ON.index(body), parts[0], state, cut, load)
        passage = self._passage(self.placed.passages[cut].solids, state, shares, load, row)
        first = (0, parts[0].blocks)
        last = parts[0].blocks + parts[1].blocks
        between = [self._patch(touch, state, cut, shares, first[touch.dome], last) for touch in self.touches(cut)]
        return together([*parts, passage], between)

    def touches(self, cut: int) -> tuple[Touch, ...]:
        """Every face between the passage and a dome."""
        if cut not in self._touches:
            self._touches[cut] = self.placed.touches(cut)
        return self._touches[cut]

    def _touched(self, index: int, cut: int) -> list[Touch]:
        return [touch for touch in self.touches(cut) if touch.dome == index]

    @cached_property
    def _touches(self) -> dict[int, tuple[Touch, ...]]:
        return {}

    @cached_property
    def _bare(self) -> dict[tuple[int, State, int, Shares], BlockProblem]:
        """Domes without a load from one side, which all directions share."""
        return {}

    def _dome(
        self, index: int, state: State, cut: int, shares: Shares, load: SideLoad | None, row: Row
    ) -> BlockProblem:
        dome, case = self.placed.domes[index], self._case(index, state)
        layout = self.placed.layout(index, cut)
        limited = ground_shares(dome.design, shares, sideways=load is not None, row=row)
        key = index, state, cut, limited
        if key not in self._bare:
            if len(self._bare) > MOST_KEPT:
                self._bare.clear()
            nothing = np.zeros((len(layout.blocks), 6))
            self._bare[key] = block_problem(dome, case, layout, nothing, shares=limited)
        posed = self._bare[key]
        turn = self.placed.turn(index)
        if load is not None:
            own = turned(load, load.bearing + turn)
            posed = replace(posed, live=side_wrench(dome, case, layout, own))
        return moved(posed, turning(turn), self.placed.shift(index))

    def _passage(self, of: Solids, state: State, shares: Shares, load: SideLoad | None, row: Row) -> BlockProblem:
        earth = self._earth(state)
        limited = shares
        for design in self.given.designs:
            own = ground_shares(design, shares, sideways=load is not None, row=row)
            limited = replace(
                limited,
                base_friction=min(limited.base_friction, own.base_friction),
                base_strength=min(limited.base_strength, own.base_strength),
            )
        snow = snow_on(of, self.given.designs[0].site.snow) if "snow" in state else None
        return problem_of(of, earth, self._live(of, load, earth), shares=limited, handed=snow)

    @staticmethod
    def _live(of: Solids, load: SideLoad | None, earth: Earth) -> Floats:
        """(n, 6) on the passage."""
        if load is None:
            return np.zeros((len(of.solids), 6))
        if load.kind == "wind":
            return wind_on_passage(of, load)
        level = load.amount * math.sin(load.bearing), load.amount * math.cos(load.bearing)
        return shaken(of, earth, 1.0, (*level, load.vertical))

    def _patch(self, touch: Touch, state: State, cut: int, shares: Shares, first: int, last: int) -> Patch:
        """first, last: where the blocks of its dome and those of the passage begin."""
        block = self.placed.layout(touch.dome, cut).blocks[touch.block]
        of_dome, earth = self._case(touch.dome, state).states[block.course], self._earth(state)
        friction = min(of_dome.friction, of_dome.friction_wet, earth.friction)
        strength = min(of_dome.strength, of_dome.strength_wet, earth.strength)
        return Patch(
            thinned(touch.edges, shares.half_width, along=True),
            last + touch.solid,
            first + touch.block,
            self.placed.passages[cut].solids.solids[touch.solid].centre,
            friction * shares.friction,
            strength * shares.strength,
            "passage",
        )

    def _leant_on(self, index: int, dome: BlockProblem, state: State, cut: int, load: SideLoad | None) -> BlockProblem:
        touched, passage = self._touched(index, cut), self.placed.passages[cut]
        earth, handed = self._earth(state), np.zeros_like(dome.dead)
        hanging = {piece.solid for piece in passage.pieces if piece.vault and piece.end == index}
        weight = float(passage.solids.weights(earth)[sorted(hanging)].sum())
        if "snow" in state:
            weight -= float(snow_on(passage.solids, self.given.designs[0].site.snow)[sorted(hanging), 2].sum())
        vault = [touch for touch in touched if touch.vault]
        _spread(handed, dome.centre, vault, np.array([0.0, 0.0, -weight]))
        live = dome.live.copy()
        push = float(self._live(passage.solids, load, earth)[:, 0].sum())
        if push * (1 if index else -1) > 0:
            _spread(live, dome.centre, touched, np.array([push, 0.0, 0.0]))
        before = np.zeros_like(dome.dead) if dome.handed is None else dome.handed
        return replace(dome, dead=dome.dead + handed, handed=before + handed, live=live)


MOST_KEPT = 40
"""Problems of domes that are kept at a time."""


def _domes_in(body: Body) -> tuple[int, ...]:
    """Domes in question; the passage is held to what both ask for."""
    if body in ALONE:
        return (ALONE.index(body),)
    return (LEANT_ON.index(body),) if body in LEANT_ON else (0, 1)


def _spread(load: Floats, centre: Floats, faces: list[Touch], force: Floats) -> None:
    """A force shared out over faces by their area, added to the load of the blocks behind them."""
    area = sum(face.area for face in faces)
    for face in faces:
        part = force * (face.area / area)
        load[face.block] += np.concatenate([part, np.cross(np.array(face.middle) - centre[face.block], part)])


def _variant(load: SideLoad) -> str:
    """The name of a variant, without its direction."""
    if load.kind == "earthquake":
        return "up" if load.vertical > 0 else "down"
    return f"lee {load.lee:g}, inside {load.inside:+g}" + (", even" if load.even_to else "")


@lru_cache(maxsize=2)
def posed_pair(given: Pair, where: str) -> Posed:
    """The pair in its places; UnbuildableError where it does not fit."""
    return Posed(place_pair(given, where))
