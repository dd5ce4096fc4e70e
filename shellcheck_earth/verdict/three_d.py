"""The second way to the verdict: a dome with openings or sideways loads as blocks, case by case.

Every case is solved with two numbers of cuts and, with the coarser one, also for friction without dilation; what is
relied on is the lowest of them, and never more than the ring-symmetric check gives for the same dead load. Where the finer cut
gives less than the coarser one, the same drop is taken off once more (what is left of it if it halves with every doubling of
the cuts); a large drop is "cannot say", never a pass.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Literal

import numpy as np

from shellcheck_earth.dome.courses import Stack
from shellcheck_earth.dome.design import Design, Opening
from shellcheck_earth.dome.heads import head_ring, lintel_course
from shellcheck_earth.dome.openings import levels
from shellcheck_earth.dome.ring_blocks import Layout, cut_blocks
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.loads.sideways import SideLoad, side_loads
from shellcheck_earth.statics.blocks import BlockAnswer, BlockProblem
from shellcheck_earth.statics.cone import assemble, solve_cone
from shellcheck_earth.statics.cut import cut_lune
from shellcheck_earth.statics.dome_blocks import Shares, block_problem, block_weights
from shellcheck_earth.statics.friction_scheme import solve_blocks
from shellcheck_earth.statics.quantities import quantities
from shellcheck_earth.statics.side_wrench import side_wrench

from .mechanism import mechanism_in_words, opening_forces

__all__ = ["CUTS", "CutResult", "Progress", "ThreeDResult", "needs_three_d", "three_d_cases"]

CUTS = (18, 36)
"""Blocks a ring, coarse then fine."""

MOST_FACTOR = 4.0
"""Multipliers are looked for up to this many times what is asked for; an answer there means "at least"."""

NOT_CONVERGED = 0.25
"""A finer cut may give this share less than the coarser one before the result counts as not established."""

NEARLY_WORST = 1.1
"""Directions whose multiplier is within this factor of the least are also solved without dilation."""

MIRRORED = 1e-6
"""Directions whose multipliers are this alike (relative) are taken for mirror images, and solved without dilation once."""

RESERVE_STEP = 0.02
"""Relative width at which the search for the reserve ends."""

LEAST_RESERVE = 0.25
"""A dome that holds less than this is reported as holding nothing."""

ENOUGH = 0.05
"""The dead load grows by up to this share while its own reserve is asked for: a solver needs something to maximise."""

VERSION = 5

Progress = Callable[[str, int, int], None]
Status = Literal["solved", "cannot say"]


@dataclass(frozen=True)
class CutResult:
    """One line of the convergence table; multiplier None: not established."""

    cuts: int
    blocks: int
    multiplier: float | None


@dataclass(frozen=True)
class ThreeDResult:
    """One kind of load on one state of the dome.

    associated, non_associated  with ordinary friction (least over the cuts) and without dilation (coarser cut)
    relied, required            relied on and asked for; at_least: `relied` is only what was looked for
    mechanism                   what moves first, in words; forces: (what, kN) at jambs, over heads, on buttresses
    directions                  (bearing [rad], multiplier with ordinary friction, coarser cut) of everything tried
    motions                     of the coarser cut's blocks (n, 6), for pictures; course_top: how many courses stand
    """

    id: str
    title: str
    criterion: str
    associated: float | None
    non_associated: float | None
    relied: float | None
    required: float
    meets: bool
    status: Status
    why: str
    at_least: bool
    mechanism: str
    forces: tuple[tuple[str, float], ...]
    convergence: tuple[CutResult, ...]
    directions: tuple[tuple[float, float], ...]
    motions: tuple[tuple[float, ...], ...]
    course_top: int


def needs_three_d(design: Design) -> bool:
    """Whether the design has anything that the ring-symmetric check cannot see."""
    site = design.site
    return bool(design.openings or design.buttresses or site.wind_pressure > 0 or site.earthquake > 0 or site.snow > 0)


@dataclass(frozen=True)
class _Job:
    """One state of the dome with the loads of one kind (none: its dead load alone)."""

    id: str
    title: str
    criterion: str
    case: Case
    loads: tuple[SideLoad, ...] = ()
    heavier: Case | None = None


def three_d_cases(
    design: Design, stack: Stack, progress: Progress, cache_dir: Path | None = None,
) -> tuple[ThreeDResult, ...]:
    """All cases of a design; () where it needs none. With `cache_dir` each finished case is kept, and a run that was broken
    off goes on after it. `progress` may raise to stop between cases."""
    if not needs_three_d(design):
        return ()
    jobs = _jobs(design, stack)
    out = []
    for index, job in enumerate(jobs):
        progress(f"blocks: {job.title}", index, len(jobs))
        kept = _read(cache_dir, design, job)
        result = kept or (_sideways(design, stack, job) if job.loads else _reserve(design, stack, job))
        if kept is None:
            _write(cache_dir, design, job, result)
        out.append(result)
    return tuple(out)


def _jobs(design: Design, stack: Stack) -> list[_Job]:
    cases = {case.id: case for case in dead_cases(design, stack)}
    dry, damp, soaked = cases["finished-dry"], cases["finished-damp"], cases["soaked-through"]
    jobs = [_Job(f"three-d-{case.id}", f"{case.title}, with its openings", "overall reserve", case)
            for case in (dry, damp, soaked) if case.counts]
    out = _forms_out(design, stack)
    if out is not None:
        stage = cases[f"stage-{out:02d}"]
        jobs.append(_Job("three-d-forms-out", f"{stage.title}, forms out of every opening", "overall reserve", stage))
    wet = soaked.states[0].weight / dry.states[0].weight - 1
    loads = side_loads(design, wet)
    titles = {"wind": "Wind", "earthquake": "Earthquake", "snow": "Snow on one half", "rain": "Water in one half of the dome",
              "worker": "One worker on the top ring"}
    for kind, title in titles.items():
        of_kind = tuple(load for load in loads if load.kind == kind)
        if of_kind:
            # Wind lifts: the dry dome, which is lightest. Everything else finds the damp one weaker.
            case = dry if kind == "wind" else damp
            heavier = {"snow": cases.get("finished-snow"), "rain": soaked}.get(kind)
            base = dry if kind in ("snow", "rain") else case
            jobs.append(_Job(f"three-d-{kind}", title, of_kind[0].criterion, base, of_kind, heavier))
    return jobs


def _forms_out(design: Design, stack: Stack) -> int | None:
    """Number of the course from which every head is closed with a ring above it; None without openings, or only when finished."""
    for top in range(2, len(stack.courses)):
        number = stack.courses[top - 1].number
        if design.openings and number >= 1 and all(_closed(stack, opening, top - 1) for opening in design.openings):
            return number
    return None


def _closed(stack: Stack, opening: Opening, top: int) -> bool:
    if opening.head == "lintel":
        return lintel_course(stack, opening, top) is not None
    return head_ring(stack, opening, top) is not None or levels(stack, opening)[1] <= stack.courses[top - 1].z_bottom + 1e-6


def _ring_symmetric(design: Design, stack: Stack, case: Case) -> float:
    """Overall reserve of the ring-symmetric check; 0 when there is no line at all."""
    share = quantities(cut_lune(design, stack, case)).reserve_share.value
    return 0.0 if share is None else 1.0 / max(share, 1e-3)


def _answer(problem: BlockProblem) -> tuple[bool | None, float]:
    """(held, multiplier): held None when the solver decided neither."""
    answer = solve_cone(assemble(problem))
    if answer.solved:
        return True, answer.multiplier
    return (False, 0.0) if answer.infeasible else (None, 0.0)


def _dead(design: Design, stack: Stack, case: Case, layout: Layout, q: float) -> BlockProblem:
    _, weight = block_weights(design, stack, case, layout)
    live = np.zeros((len(weight), 6))
    live[:, 2] = -weight
    return block_problem(design, stack, case, layout, live, shares=Shares.reserve(q), most=ENOUGH)


def _largest_reserve(design: Design, stack: Stack, case: Case, layout: Layout, low: float, high: float) -> float | None:
    """Largest q in [low, high] that is held, 0 when not even `low` is; None when it was not decided at `low`."""
    held, _ = _answer(_dead(design, stack, case, layout, low))
    if not held:
        return None if held is None else 0.0
    while high > low * (1 + RESERVE_STEP):
        middle = math.sqrt(low * high)
        held, _ = _answer(_dead(design, stack, case, layout, middle))
        low, high = (middle, high) if held else (low, middle)
    return low


def _reserve(design: Design, stack: Stack, job: _Job) -> ThreeDResult:
    """The dead load alone: by how much every capacity can be divided."""
    required = design.criteria.required[job.criterion]
    top = len(job.case.states)
    ring = _ring_symmetric(design, stack, job.case)
    layouts = [cut_blocks(design, stack, cuts, top) for cuts in CUTS]
    if ring <= 0.0:
        return _nothing(job, required, top, "solved", "the ring-symmetric check already finds no force path", 0.0)
    found: list[float | None] = []
    for layout in layouts:
        low = next((q for q in found[::-1] if q), LEAST_RESERVE)
        high = max(min(ring, 10.0), low * (1 + RESERVE_STEP))
        low = min(low, high)
        reserve = _largest_reserve(design, stack, job.case, layout, low, high)
        # The finer cut may hold less than the coarser one: a little less first, then anything.
        for lower in (0.9 * low, LEAST_RESERVE):
            if reserve == 0.0 and low > lower >= LEAST_RESERVE:
                reserve = _largest_reserve(design, stack, job.case, layout, lower, low)
                low = lower
        found.append(reserve)
    table = tuple(CutResult(layout.cuts, len(layout.blocks), q) for layout, q in zip(layouts, found, strict=True))
    known = [q for q in found if q is not None]
    if len(known) < len(found):
        return replace(_nothing(job, required, top, "cannot say", "the solver decided neither way", None), convergence=table)
    least = min(*known, ring)
    # Friction without dilation: held a little under the edge, or lower? (At the edge itself the scheme cannot settle.)
    for q in (0.97 * least, 0.85 * least, required):
        if q <= 0.0 or q > least:
            continue
        answer = solve_blocks(_dead(design, stack, job.case, layouts[0], q))
        if answer.status == "solved" and (answer.associated or 0.0) > 0.0:
            fails = _failing(design, stack, job.case, layouts[0], least)
            return _result(design, stack, job, required, table, least, q, answer, layouts[0], _drop(known), (), fails)
    why = "nothing is held, whatever the friction" if least <= 0 else "friction without dilation did not settle"
    status: Status = "solved" if least <= 0 else "cannot say"
    fails = _failing(design, stack, job.case, layouts[0], max(least, LEAST_RESERVE))
    return replace(_nothing(job, required, top, status, why, 0.0 if least <= 0 else None), convergence=table, associated=least,
                   mechanism=mechanism_in_words(design, stack, layouts[0], fails), motions=_rows(fails))


def _failing(design: Design, stack: Stack, case: Case, layout: Layout, q: float) -> np.ndarray | None:
    """Motions of the blocks just past the reserve: the solver's proof that nothing holds them."""
    for more in (1.05, 1.15, 1.4):
        answer = solve_cone(assemble(_dead(design, stack, case, layout, q * more)))
        if answer.infeasible:
            motions = answer.motions
            largest = float(np.abs(motions[:, :3]).max(initial=0.0))
            return motions / largest if largest > 0 else motions
    return None


def _rows(motions: np.ndarray | None) -> tuple[tuple[float, ...], ...]:
    return () if motions is None else tuple(tuple(float(v) for v in row) for row in motions.round(6))


def _drop(known: list[float]) -> float:
    """By how much the finer cut lies below the coarser one; inf when that is too much to be called converging."""
    drop = max(known[0] - known[-1], 0.0)
    return drop if drop <= known[0] * NOT_CONVERGED else math.inf


def _nothing(job: _Job, required: float, top: int, status: Status, why: str, relied: float | None) -> ThreeDResult:
    return ThreeDResult(job.id, job.title, job.criterion, relied, relied, relied, required, False, status, why, False, "", (), (), (),
                        (), top)


def _sideways(design: Design, stack: Stack, job: _Job) -> ThreeDResult:
    """The worst of the loads of one kind."""
    required = design.criteria.required[job.criterion]
    top = len(job.case.states)
    if _ring_symmetric(design, stack, job.case) < 1.0:
        return _nothing(job, required, top, "solved", "the dead load alone is not held by the ring-symmetric check", 0.0)
    coarse, fine = (cut_blocks(design, stack, cuts, top) for cuts in CUTS)

    def problem(layout: Layout, load: SideLoad) -> BlockProblem:
        live = side_wrench(design, stack, job.case, layout, load, job.heavier)
        return block_problem(design, stack, job.case, layout, live, base_friction=design.site.ground_friction,
                             most=MOST_FACTOR * required)

    tried = []
    for load in job.loads:
        held, multiplier = _answer(problem(coarse, load))
        if held is None:
            return _nothing(job, required, top, "cannot say", f"the solver decided neither way: {load.title}", None)
        tried.append((multiplier, load))
    tried.sort(key=lambda pair: pair[0])
    directions = tuple((load.bearing, multiplier) for multiplier, load in tried)
    worst: tuple[BlockAnswer, SideLoad] | None = None
    before = -1.0
    for multiplier, load in tried:
        if abs(multiplier - before) <= MIRRORED * multiplier:
            continue
        before = multiplier
        if multiplier > tried[0][0] * NEARLY_WORST or (worst and multiplier >= MOST_FACTOR * required * (1 - 1e-6)):
            break
        answer = solve_blocks(problem(coarse, load))
        if answer.status == "cannot say":
            return replace(_nothing(job, required, top, "cannot say", f"{load.title}: {answer.why}", None),
                           associated=answer.associated, directions=directions)
        if worst is None or (answer.multiplier or 0.0) < (worst[0].multiplier or 0.0):
            worst = answer, load
    assert worst is not None  # job.loads is not empty
    answer, load = worst
    held, finer = _answer(problem(fine, load))
    table = (CutResult(coarse.cuts, len(coarse.blocks), answer.associated),
             CutResult(fine.cuts, len(fine.blocks), None if held is None else finer))
    if held is None:
        return replace(_nothing(job, required, top, "cannot say", "the solver decided neither way for the finer cut", None),
                       convergence=table, directions=directions)
    associated = min(answer.associated or 0.0, finer)
    job = replace(job, title=load.title)
    return _result(design, stack, job, required, table, associated, answer.multiplier or 0.0, answer, coarse,
                   _drop([answer.associated or 0.0, finer]), directions, answer.motions)


def _result(
    design: Design, stack: Stack, job: _Job, required: float, table: tuple[CutResult, ...], associated: float, without: float,
    answer: BlockAnswer, layout: Layout, drop: float, directions: tuple[tuple[float, float], ...], motions: np.ndarray | None,
) -> ThreeDResult:
    converged = math.isfinite(drop)
    relied = max(min(associated, without) - drop, 0.0) if converged else 0.0
    most = MOST_FACTOR * required
    return ThreeDResult(
        id=job.id, title=job.title, criterion=job.criterion, associated=associated, non_associated=without,
        relied=relied if converged else None, required=required, meets=converged and relied >= required,
        status="solved" if converged else "cannot say",
        why="" if converged else "the finer cut gives notably less than the coarser one: not converged",
        at_least=bool(job.loads) and relied >= most * (1 - 1e-4),
        mechanism=mechanism_in_words(design, stack, layout, motions),
        forces=opening_forces(design, stack, job.case, layout, answer),
        convergence=table, directions=directions, motions=_rows(motions), course_top=len(job.case.states),
    )


def _key(design: Design, job: _Job) -> str:
    said = repr((VERSION, CUTS, job.id, replace(design, bases={}), sorted(design.criteria.required.items())))
    return hashlib.sha256(said.encode()).hexdigest()[:20]


def _read(cache_dir: Path | None, design: Design, job: _Job) -> ThreeDResult | None:
    """A finished case from an earlier run; None where there is none or it cannot be read."""
    path = cache_dir / f"{job.id}-{_key(design, job)}.json" if cache_dir else None
    if path is None or not path.is_file():
        return None
    try:
        raw = json.loads(path.read_text(encoding="utf-8"))
        raw["convergence"] = tuple(CutResult(**line) for line in raw["convergence"])
        raw["forces"] = tuple((str(what), float(value)) for what, value in raw["forces"])
        raw["directions"] = tuple((float(a), float(b)) for a, b in raw["directions"])
        raw["motions"] = tuple(tuple(float(v) for v in row) for row in raw["motions"])
        return ThreeDResult(**raw)
    except (OSError, ValueError, TypeError, KeyError):
        return None  # a file cut short by a stop: the case is solved again


def _write(cache_dir: Path | None, design: Design, job: _Job, result: ThreeDResult) -> None:
    if cache_dir is None:
        return
    cache_dir.mkdir(parents=True, exist_ok=True)
    path = cache_dir / f"{job.id}-{_key(design, job)}.json"
    part = path.with_suffix(".part")
    part.write_text(json.dumps(asdict(result)), encoding="utf-8")
    part.replace(path)
