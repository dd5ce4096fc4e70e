"""The study of two domes joined by a passage: dead load, wind and earthquake along the passage and across it, of the
whole as one problem, of each part with its neighbours absent, and of each dome with the passage leaning on it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.basics.parallel import Crew, each
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.loads.joint import ON_THE_GROUND, Row
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.safety.blocks.validity import beyond_validation
from shellcheck_earth.studies.joined.ask import Held, held_to, holds_dead, largest_multiple, largest_reserve
from shellcheck_earth.studies.joined.given import Pair
from shellcheck_earth.studies.joined.placed import turning
from shellcheck_earth.studies.joined.posed import ALONE, Asked, Posed, posed_pair
from shellcheck_earth.studies.joined.told import LEANT_ON, Answer, Body, Drawn, Told, Written

__all__ = ["join_domes"]


@dataclass(frozen=True)
class _Piece:
    """One question, for a process of its own."""

    given: Pair
    where: str
    asked: Asked


def _answered(piece: _Piece) -> Answer:
    """The worst state, and variant of the load."""
    posed, asked = posed_pair(piece.given, piece.where), piece.asked
    required, state, load = posed.required(asked), asked.states[0], ""
    if asked.question == "dead":
        found = {
            one: largest_reserve(posed.pose(asked.body, one), required, posed.cap(asked, one)) for one in asked.states
        }
        state = min(found, key=lambda one: held_to(found[one]))
        held = found[state]
    else:
        standing = [one for one in asked.states if posed.cap(asked, one) >= 1.0]
        if len(standing) < len(asked.states):
            state = next(one for one in asked.states if one not in standing)
            why = "the dead load alone is not held by the ring-symmetric check"
            held = Held(0.0, required, 0.0, 0.0, (), False, why, None)
            return Answer(asked.body, asked.question, asked.way, state, load, held)
        poses = {
            (one, name): posed.pose(asked.body, one, variant)
            for one in asked.states
            for name, variant in posed.loads(asked).items()
        }
        (state, load), held = largest_multiple(poses, required)
    return Answer(asked.body, asked.question, asked.way, state, load, held)


def join_domes(given: Pair, where: str = "the file", progress: Progress = quiet, workers: int = 1) -> Told:
    """What two joined domes hold, and each of them alone.

    Parameters
    ----------
    given
        Both designs and the passage.
    where
        What messages call the file.
    progress
        Told what is being done.
    workers
        Processes; the answers do not depend on their number.

    Returns
    -------
    Told
        Of each question the worst state of moisture and variant of the load. A study: nothing is proven.

    Raises
    ------
    UnbuildableError
        They do not fit together; each problem names the number that does.
    """
    posed = posed_pair(given, where)
    asked = posed.questions()
    found, answers = [], each(_answered, [_Piece(given, where, one) for one in asked], Crew(workers))
    for done, answer in enumerate(answers, 1):
        progress(f"{answer.body}: {answer.question}", done, len(asked))
        found.append(answer)
    first = (_blocks(posed, 0), _blocks(posed, 1))
    told = Told(given, tuple(found), _on_the_ground(posed), first, Drawn((), (), ()), (), _beyond(posed))
    return replace(told, drawn=_drawn(posed, told.decides), written=tuple(_written(posed, told)))


def _beyond(posed: Posed) -> str:
    """What lies beyond the range in which blocks of domes were compared; that nobody compared a passage is said of
    every pair."""
    found = [f"{dome.design.name}: {one}" for dome in posed.placed.domes for one in beyond_validation(dome)]
    return "beyond the range of validation: " + "; ".join(found) if found else ""


def _blocks(posed: Posed, cut: int) -> int:
    domes = sum(len(posed.placed.layout(k, cut).blocks) for k in (0, 1))
    return domes + len(posed.placed.passages[cut].solids.solids)


def _on_the_ground(posed: Posed) -> bool | None:
    """Whether every part alone is held with no more on the ground than it bears, divided by what is required of it."""
    criteria = [design.criteria.required for design in posed.given.designs]
    sliding, bearing = (max(one[name] for one in criteria) for name in ("base sliding", "ground bearing"))
    row = Row(ON_THE_GROUND, sliding=sliding, bearing=bearing)
    bodies: tuple[Body, ...] = (*ALONE, "passage")
    found = [
        holds_dead(posed.pose(body, state, row=row), 0, Shares())[0]
        for body in bodies
        for state in posed.states
        if not state.startswith("service")
    ]
    return False if False in found else None if None in found else True


def _drawn(posed: Posed, answer: Answer) -> Drawn:
    """The whole, whichever part the answer is about."""
    cut = answer.held.drawn
    corners, labels = [], []
    for k, name in enumerate(ALONE):
        layout, dome = posed.placed.layout(k, cut), posed.placed.domes[k]
        turn, shift = turning(posed.placed.turn(k)), posed.placed.shift(k)
        for block in layout.blocks:
            placed = np.array(block.corners) @ turn.T + shift
            corners.append(tuple((float(x), float(y), float(z)) for x, y, z in placed))
            labels.append(f"{name}, {block.kind}, course {dome.courses[block.course].label}")
    starts = [0, len(posed.placed.layout(0, cut).blocks), len(corners)]
    for solid in posed.placed.passages[cut].solids.solids:
        corners.append(solid.corners)
        labels.append(solid.label)
    motions = np.zeros((len(corners), 6))
    if answer.held.motions is not None:
        own = answer.held.motions.round(6)
        start = {ALONE[1]: starts[1], LEANT_ON[1]: starts[1], "passage": starts[2]}.get(answer.body, 0)
        motions[start : start + len(own)] = own
    rows = tuple(tuple(float(v) for v in row) for row in motions) if answer.held.motions is not None else ()
    return Drawn(tuple(corners), tuple(labels), rows)


def _written(posed: Posed, told: Told) -> list[Written]:
    """Of the whole: its dead load with capacities divided by what is required, and the load from one side that decides
    among those on the whole."""
    whole = [answer for answer in told.of("joined")]
    dead = [answer for answer in whole if answer.question == "dead"]
    pushed = sorted((answer for answer in whole if answer.question != "dead"), key=lambda one: held_to(one.held))
    labels = _drawn(posed, replace(dead[0], held=replace(dead[0].held, drawn=0, motions=None))).labels
    width = posed.given.designs[0].wall.filled_width
    out = []
    for answer in (*dead, *pushed[:1]):
        asked = Asked(answer.body, answer.question, answer.way, (answer.state,))
        if answer.question == "dead":
            q = answer.held.required
            about = f"Dead load, {answer.state}. Friction, strength, wire and every face's width are divided by {q:g}."
            problem = posed.pose("joined", answer.state)(0, Shares.reserve(q))
            out.append(Written("dead", about, replace(problem, live=problem.dead), labels, width))
            continue
        problem = posed.pose("joined", answer.state, posed.loads(asked)[answer.load])(0, Shares())
        about = f"{answer.question.capitalize()} towards the {answer.way}, {answer.load}, {answer.state}: the multiple"
        about += " is of the stated load."
        out.append(Written(f"{answer.question}-{answer.way}", about, problem, labels, width))
    return out
