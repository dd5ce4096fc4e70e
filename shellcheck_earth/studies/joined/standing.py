"""The study of a straight wall: dead load, wind and earthquake square to it from either side, in every state of
moisture; the wall as it is built, and each length of it by itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, cast

import numpy as np

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row, ground_limits
from shellcheck_earth.loads.side_loads import VERTICAL
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.rings.lune import Floats
from shellcheck_earth.studies.joined.ask import (
    Pose,
    held_to,
    holds_dead,
    largest_multiple,
    largest_reserve,
)
from shellcheck_earth.studies.joined.given import WallGiven
from shellcheck_earth.studies.joined.solids import Earth, Solids, earth_of, problem_of, shaken
from shellcheck_earth.studies.joined.straight import LONGEST, check_wall, straight_wall, wind_on_wall
from shellcheck_earth.studies.joined.told import Answer, Body, Drawn, Question, Told, Written

__all__ = ["WAYS", "ground_shares", "stand_wall", "states_of"]

WAYS: dict[str, float] = {"front": 1.0, "back": -1.0}
"""Towards which side of the wall a load pushes: +y, -y."""

Wetness = Literal["service", "placed", "saturated"]

Live = Callable[[Solids, Earth], Floats]


def states_of(*, protected: bool) -> tuple[Wetness, ...]:
    """States of moisture that are asked: soaked through too where nothing keeps the rain out."""
    return ("service", "placed") if protected else ("service", "placed", "saturated")


def ground_shares(design: Design, shares: Shares, *, sideways: bool, row: Row = PLAIN) -> Shares:
    """With what the ground holds, which a load from one side is always held to."""
    limits = ground_limits(design, row, sideways=sideways)
    return replace(shares, base_friction=limits.friction, base_strength=limits.bearing)


@dataclass(frozen=True)
class _Wall:
    """A wall at every cut; `by_lengths`: without the faces along the wall."""

    given: WallGiven
    by_lengths: bool = False

    @cached_property
    def cuts(self) -> tuple[Solids, ...]:
        found = [straight_wall(self.given, longest) for longest in LONGEST]
        if not self.by_lengths:
            return tuple(found)
        return tuple(
            replace(one, meetings=tuple(face for face in one.meetings if face.kind != "head joint")) for one in found
        )

    def pose(self, state: Wetness, live: Live | None = None, row: Row = PLAIN) -> Pose:
        earth = earth_of(self.given.design, state)

        def posed(cut: int, shares: Shares) -> BlockProblem:
            of = self.cuts[cut]
            load = np.zeros((len(of.solids), 6)) if live is None else live(of, earth)
            limited = ground_shares(self.given.design, shares, sideways=live is not None, row=row)
            return problem_of(of, earth, load, shares=limited)

        return posed


def _loads(wall: WallGiven) -> dict[Question, dict[str, dict[str, Live]]]:
    """Question -> way -> variant -> load; without those that are none."""
    out: dict[Question, dict[str, dict[str, Live]]] = {}
    if wall.wind_pressure > 0:
        out["wind"] = {way: {"wind": _wind(wall, side)} for way, side in WAYS.items()}
    if wall.earthquake > 0:
        out["earthquake"] = {
            way: {word: _shaking(wall.earthquake, side, up) for word, up in (("up", VERTICAL), ("down", -VERTICAL))}
            for way, side in WAYS.items()
        }
    return out


def _wind(wall: WallGiven, side: float) -> Live:
    return lambda of, _earth: wind_on_wall(wall, of, side)


def _shaking(share: float, side: float, up: float) -> Live:
    return lambda of, earth: shaken(of, earth, share, (0.0, side, up))


def _answers(wall: _Wall, body: Body, states: tuple[Wetness, ...]) -> list[Answer]:
    required = wall.given.design.criteria.required
    dead = {state: largest_reserve(wall.pose(state), required["overall reserve"]) for state in states}
    worst = min(dead, key=lambda state: held_to(dead[state]))
    out = [Answer(body, "dead", "", worst, "", dead[worst])]
    for question, ways in _loads(wall.given).items():
        for way, variants in ways.items():
            poses = {(state, name): wall.pose(state, live) for state in states for name, live in variants.items()}
            (state, load), held = largest_multiple(poses, required["storm" if question == "wind" else question])
            out.append(Answer(body, question, way, state, load, held))
    return out


def _on_the_ground(wall: _Wall, states: tuple[Wetness, ...]) -> bool | None:
    """With no more than the ground bears, divided by what is required of it, on the finer cut."""
    required = wall.given.design.criteria.required
    row = Row(ON_THE_GROUND, sliding=required["base sliding"], bearing=required["ground bearing"])
    found = [holds_dead(wall.pose(state, row=row), 1, Shares())[0] for state in states if state != "service"]
    return False if False in found else None if None in found else True


def stand_wall(given: WallGiven, where: str = "the file", progress: Progress = quiet) -> Told:
    """What a straight wall holds.

    Parameters
    ----------
    given
        The wall, its materials and loads.
    where
        What messages call the file.
    progress
        Told what is being done.

    Returns
    -------
    Told
        Of each question the worst state of moisture. A study: nothing is proven.

    Raises
    ------
    UnbuildableError
        No such wall can be built; each problem names the number that fits.
    """
    check_wall(given, where)
    states = states_of(protected=given.plastered)
    wall = _Wall(given)
    progress("the wall as it is built", 0, 2)
    answers = _answers(wall, "wall", states)
    progress("each length by itself", 1, 2)
    if given.buttress is not None or given.openings:
        answers += _answers(_Wall(given, by_lengths=True), "lengths", states)
    told = Told(given, tuple(answers), _on_the_ground(wall, states), _blocks(wall), _drawn(wall, answers[0]), ())
    decides = told.decides
    return replace(told, drawn=_drawn(wall, decides), written=(_written(wall, decides),))


def _blocks(wall: _Wall) -> tuple[int, int]:
    first, second, *_ = (len(of.solids) for of in wall.cuts)
    return first, second


def _drawn(wall: _Wall, answer: Answer) -> Drawn:
    held = answer.held
    of = wall.cuts[held.drawn]
    motions = () if held.motions is None else tuple(tuple(float(v) for v in row) for row in held.motions.round(6))
    return Drawn(tuple(one.corners for one in of.solids), tuple(one.label for one in of.solids), motions)


def _written(wall: _Wall, answer: Answer) -> Written:
    """The problem of the answer that decides: of a dead load with capacities divided by what is required."""
    of, state = wall.cuts[0], cast(Wetness, answer.state)
    labels = tuple(one.label for one in of.solids)
    if answer.question == "dead":
        q = answer.held.required
        posed = wall.pose(state)(0, Shares.reserve(q))
        about = f"Dead load, {state}. Friction, strength and the width of every face are divided by {q:g}."
        return Written("dead", about, replace(posed, live=posed.dead), labels, of.width)
    live = _loads(wall.given)[answer.question][answer.way][answer.load]
    posed = wall.pose(state, live)(0, Shares())
    about = f"{answer.question.capitalize()} towards the {answer.way}, {state}: the multiple is of the stated load."
    return Written(f"{answer.question}-{answer.way}", about, posed, labels, of.width)
