"""Proofs of block cases: forces at what a case relies on, as whole numbers that the checker confirms exactly.

One state for the dead load (every capacity divided by what is relied on or more, finest cut that was asked), one for
every direction of a load from one side, those found between the design's too (the dead load and as many times the load
as is relied on or more, coarser cut; a direction that is the mirror image of another is not proven twice). No case
meets without: neither solver nor scheme is believed.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from types import MappingProxyType
from typing import Any

import numpy as np

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.footing import footing_ring
from shellcheck_earth.geometry.heads import head_ring
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.geometry.openings import course_cuts, head_rise, levels
from shellcheck_earth.loads.cases import Case, CourseState
from shellcheck_earth.loads.footing import asked_weight, pressed_more
from shellcheck_earth.loads.joint import PLAIN, Row, fits, ground_limits
from shellcheck_earth.loads.side_loads import DRIFT, SideLoad, each_once
from shellcheck_earth.mechanics.blocks.assembly import soaked_tensions, wire_tensions
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone
from shellcheck_earth.mechanics.blocks.exact import exact_state
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Forces
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.proof.block_loads import Handed, Load
from shellcheck_earth.mechanics.proof.block_places import Clear, Layer, Under, Wall
from shellcheck_earth.mechanics.proof.blocks import Finding, check_block_proof
from shellcheck_earth.mechanics.proof.reading import RefusedError
from shellcheck_earth.safety.blocks.cuts import States
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.reserve import dead_problem
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.blocks.sideways import Asked, Question, between

__all__ = ["States", "proof_name", "proven", "pushed", "wall_of"]

LOST = 1e-5
"""Share of what is relied on that a proof may fall behind it: what it shows is relied on then."""


def wall_of(dome: Dome, job: Job, row: Row = PLAIN, load: SideLoad | None = None) -> Wall:
    """What the design says of the blocks of a case at a row of factors, for the checker: capacities divided already."""
    case = job.beside(row)
    wire = wire_tensions(dome, case, 1 / row.friction, 1 / row.wire)
    layers = []
    for k, (course, state) in enumerate(zip(dome.courses, case.states, strict=False)):
        middle, half = (course.bed_inner + course.bed_outer) / 2, (course.bed_outer - course.bed_inner) / 2
        layers.append(
            Layer(
                course.z_bottom,
                course.z_top,
                course.inner_radius,
                course.outer_radius,
                middle - half / row.width,
                middle + half / row.width,
                state.weight,
                state.friction / row.friction,
                state.strength / row.strength,
                wire[k],
                *_wetted(state, row),
            )
        )
    openings = []
    for index, opening in enumerate(dome.design.openings):
        sill, top = levels(dome, opening)
        bearing = (opening.bearing + math.pi) % (2 * math.pi) - math.pi
        openings.append(
            Clear(
                bearing,
                sill,
                top - head_rise(opening),
                top,
                opening.width,
                opening.tie / row.wire,
                carried_beside(opening),
                *cuts_and_bags(dome, index),
            )
        )
    ground = ground_limits(dome.design, row, sideways=load is not None)
    return Wall(
        tuple(layers),
        tuple(openings),
        max((buttress.length for buttress in dome.design.buttresses), default=0.0),
        None if math.isinf(ground.friction) else ground.friction / row.friction,
        None if load is None else pushed(dome, job, load, row),
        row.width,
        None if math.isinf(ground.bearing) else ground.bearing,
        handed_in(case),
        None if load is None and not row.grounded else under(dome, row, ground.friction),
    )


def under(dome: Dome, row: Row, ground: float) -> Under | None:
    """The footing as the checker has it, on ground of this friction."""
    ring = footing_ring(dome)
    if ring is None:
        return None
    light, heavy = (weight * ring.volume for weight in asked_weight(dome.design))
    steady, width = light * min(row.permanent, 1.0), ring.steady(ground)
    more = pressed_more(dome.design, ring, width) if width > 0 else math.inf
    return Under(ring.middle, ring.width, width, steady, heavy, more)


def _wetted(state: CourseState, row: Row) -> tuple[float, ...]:
    """From where on a course is wet, and what it holds there, for the checker."""
    friction, strength = min(state.friction, state.friction_wet), min(state.strength, state.strength_wet)
    return state.wet_from, state.dry_to, friction / row.friction, strength / row.strength


def cuts_and_bags(dome: Dome, index: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Of each course half the angle that an opening takes out of it [rad], and the area of the bags of its head
    [m2]."""
    opening = dome.design.openings[index]
    head = head_ring(dome, opening, len(dome.courses))
    outline = {} if head is None else head.outline
    bags = [0.0] * len(dome.courses)
    for bag in () if head is None else head.bags:
        bags[bag.course] += bag.area
    cuts = []
    for k, course in enumerate(dome.courses):
        start, end = dict(course_cuts(dome, course)).get(index, (0.0, 0.0))
        cuts.append(outline[k] / course.inner_radius if k in outline else (end - start) / 2)
    return tuple(cuts), tuple(bags)


def handed_in(case: Case) -> tuple[Handed, ...]:
    """What is handed into the courses of a case, as the checker has it."""
    return tuple(
        Handed(index, one.weight, one.thrust, one.radius, one.level, one.middle, one.half, one.gaps)
        for index, state in enumerate(case.states)
        for one in state.handed
    )


def carried_beside(opening: Opening) -> float:
    """How far what carries an opening reaches beside it, for the checker [m]."""
    return opening.lintel_bearing if opening.head == "lintel" else opening.head_depth + 0.05


def pushed(dome: Dome, job: Job, load: SideLoad, row: Row = PLAIN) -> Load:
    """A load from one side as the checker has it."""
    added: list[tuple[float, float]] = []
    if load.kind in ("snow", "rain") and job.heavier is not None:
        times = DRIFT if load.kind == "snow" else 1.0
        for lighter, more in zip(job.case.states, job.heavier.states, strict=True):
            added.append((times * (more.weight - lighter.weight), times * (more.moment - lighter.moment)))
    soaked = job.heavier if load.kind == "rain" else None
    case, weak = job.beside(row), () if soaked is None else soaked.states
    wire = () if soaked is None else soaked_tensions(dome, case, soaked, 1 / row.friction, 1 / row.wire)
    plain, beside, gust = load.kind in ("wind", "earthquake", "worker"), None, load.beside
    if gust is not None:
        beside = Load("wind", 0.0, gust.amount, gust.lee, gust.inside, ground=dome.ground, even_to=gust.even_to)
    return Load(
        load.kind,
        load.bearing,
        load.amount if plain else 0.0,
        load.lee,
        load.inside,
        load.vertical,
        tuple(added),
        dome.ground,
        weak=tuple((state.friction / row.friction, state.strength / row.strength) for state in weak),
        wire=tuple(wire),
        even_to=load.even_to,
        own=_own(job, row) if load.kind == "earthquake" else (),
        permanent=row.permanent if load.kind == "earthquake" else 1.0,
        beside=beside,
        share=row.wind / row.load if beside else 0.0,
        shaken_with=handed_in(job.beside(row, 1.0)) if load.kind == "earthquake" else (),
    )


def _own(job: Job, row: Row) -> tuple[float, ...]:
    """What of the weight of a radian of each course an earthquake shakes: what there is, over what it counts as."""
    if row.permanent == 1.0:
        return ()
    real, counted = job.beside(row, 1.0).states, job.beside(row).states
    return tuple(one.weight / more.weight for one, more in zip(real, counted, strict=True))


def proven(
    dome: Dome,
    job: Job,
    result: BlockResult,
    states: States | None = None,
    kept: Mapping[str, str] = MappingProxyType({}),
) -> BlockResult:
    """A result that meets, with its proofs and what is relied on lowered to what they show; without a proof it becomes
    "cannot say". Any other result is handed back as it is. `states`: what held while the result was looked for, which
    is tried first and shows more than is relied on. `kept`: proofs of an earlier run by their names, which count as far
    as they are confirmed today.
    """
    if result.meets is not True or result.relied is None:
        return result
    loads = [load for load, _ in each_once(dome.design, job.loads)] if job.loads else [None]
    proofs, least = [], math.inf
    for load, row in [*_asked(loads, job.rows), *_between(job, result)]:
        known = (states or {}).get((load, row))
        claim = _Claim(dome, job, result, load, row)
        text, shown, why = _again(claim, kept.get(claim.name, "")) or _state(claim, known)
        if shown is None:
            said = f"the forces could not be confirmed in exact arithmetic{f', {load.title}' if load else ''}: {why}"
            return replace(result, status="cannot say", relied=None, why=said)
        proofs.append(text)
        least = min(least, shown)
    return replace(result, relied=min(result.relied, least), proofs=tuple(proofs), below=least)


def _asked(loads: Sequence[SideLoad | None], rows: tuple[Row, ...]) -> Iterator[tuple[SideLoad | None, Row]]:
    """Every load of the design with each row it is asked at."""
    yield from ((load, row) for load in loads for row in rows if load is None or fits(load, row))


def _between(job: Job, result: BlockResult) -> list[tuple[SideLoad, Row]]:
    """The directions between those of the design, with their rows."""
    loads, rows = {load.id: load for load in job.loads}, {row.name: row for row in job.rows}
    return [(between(loads[load], steps), rows[row]) for load, row, steps in result.between]


def proof_name(job: Job, load: SideLoad | None, row: Row) -> str:
    """How a state of forces is called in a certificate."""
    return ", ".join([job.id, *([load.id] if load else []), *([row.name] if row.name else [])])


@dataclass(frozen=True)
class _Claim:
    """What a state of forces has to show: a result's number, of one load (None: the dead load) at one row."""

    dome: Dome
    job: Job
    result: BlockResult
    load: SideLoad | None
    row: Row

    @property
    def name(self) -> str:
        return proof_name(self.job, self.load, self.row)

    @property
    def wall(self) -> Wall:
        return wall_of(self.dome, self.job, self.row, self.load)

    def shown(self, finding: Finding) -> float:
        """What a confirmed state shows, of the row's own load; 0 for nothing."""
        return 0.0 if finding.proven is None else float(finding.proven) / (self.row.load if self.load else 1.0)

    @property
    def relied(self) -> float:
        return self.result.relied or 0.0

    def sought(self) -> Iterator[_Held]:
        """What is looked for at what is relied on, and the same with a little less friction and strength."""
        cuts = [line.cuts for line in self.result.convergence]
        count, founded = cuts[0] if self.load else cuts[-1], self.load is not None or self.row.grounded
        layout = cut_blocks(self.dome, count, len(self.job.case.states), founded=founded)
        if self.load is None:
            problem = dead_problem(self.dome, self.job.beside(self.row), layout, self.relied, self.row)
        else:
            question = Question(self.dome, self.job, (layout.cuts,), self.relied)
            problem = question.problem(layout, Asked(self.load, self.row))
        for one in (problem, problem.shaved()):
            yield layout, self.relied, one, solve_cone(assemble(one))

    def data(self, held: _Held) -> dict[str, Any]:
        """The forces as data, in whole numbers."""
        layout, reserve, problem, answer = held
        name = self.name
        if self.load is None:
            forces, still = _of_the_dead_load(answer.forces, answer.multiplier), _without_live(problem)
            return exact_state(name, layout, still, forces, reserve=reserve)
        # the factor is a multiple of the load as the design has it
        own = replace(problem, live=problem.live / self.row.load)
        return exact_state(name, layout, own, answer.forces, factor=answer.multiplier * self.row.load)


_Held = tuple[Layout, float, BlockProblem, ConeAnswer]


def _again(claim: _Claim, text: str) -> tuple[str, float, str] | None:
    """A kept proof as `_state` gives one; None where it does not show, today, what is relied on."""
    if not text:
        return None
    data = json.loads(text)
    if data.get("case") != claim.name or bool(data.get("factor")) != (claim.load is not None):
        return None
    try:
        shown = claim.shown(check_block_proof(data, claim.wall))
    except (RefusedError, ValueError, TypeError, LookupError, ArithmeticError, AttributeError):
        return None  # cut short, edited, or from elsewhere
    return (text, shown, "") if shown >= claim.relied * (1 - LOST) else None


def _state(claim: _Claim, known: _Held | None) -> tuple[str, float | None, str]:
    """(proof as JSON, what it shows of the row's own load, why it shows nothing) of one state."""
    said = ""
    wall = claim.wall
    for held in chain([] if known is None else [known], claim.sought()):
        if not held[3].solved:
            said = said or f"the solver ended as {held[3].status}"
            continue
        data = claim.data(held)
        finding = check_block_proof(data, wall)
        shown = claim.shown(finding)
        if shown >= claim.relied * (1 - LOST):
            return json.dumps(data, separators=(",", ":")), shown, ""
        said = said or finding.why
    return "", None, said


def _of_the_dead_load(forces: Forces, more: float) -> Forces:
    """Forces that hold the dead load and a share `more` of it: less by that share they hold the dead load, and every
    limit of a contact that they kept they keep when they are made smaller together (derived)."""
    share = 1.0 / (1.0 + more)
    return Forces(forces.normal * share, forces.shear * share, forces.tension * share)


def _without_live(problem: BlockProblem) -> BlockProblem:
    return replace(problem, live=np.zeros_like(problem.live))
