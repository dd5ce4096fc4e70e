"""The second way to the verdict: a dome with openings or sideways loads as blocks, case by case.

Every case is solved with two numbers of cuts and, with the coarser one, also for friction without dilation; what is
relied on is the lowest of them (of the last, under a load from one side, only OVERSTATED of it), and never more than the
ring-symmetric check gives for the same dead load. Where the finer cut gives less than the coarser one, the same drop is taken
off once more (what is left of it if it halves with every doubling of the cuts). Where that drop is large, a still finer cut is
compared with the fine one, and if that drop is large too the answer is "cannot say", never a pass.
"""

from __future__ import annotations

import math
import os
import warnings
from collections.abc import Callable, Generator
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from shellcheck_earth.dome.courses import Stack
from shellcheck_earth.dome.design import Design
from shellcheck_earth.dome.ring_blocks import Layout, cut_blocks
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.sideways import SideLoad
from shellcheck_earth.statics.blocks import BlockAnswer, BlockProblem
from shellcheck_earth.statics.cone import assemble, solve_cone
from shellcheck_earth.statics.cut import cut_lune
from shellcheck_earth.statics.dome_blocks import Shares, WetHalf, block_problem, block_weights
from shellcheck_earth.statics.friction_scheme import OVERSTATED, solve_blocks
from shellcheck_earth.statics.quantities import quantities
from shellcheck_earth.statics.side_wrench import side_wrench

from .mechanism import mechanism_in_words, opening_forces
from .three_d_jobs import Job, jobs, needs_three_d
from .three_d_result import CutResult, Status, ThreeDResult, read_result, write_result

__all__ = ["CUTS", "CutResult", "Progress", "ThreeDResult", "needs_three_d", "processors", "three_d_cases"]

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

FAR_ENOUGH = 1.15
"""The finer cut is followed up to this multiple of the coarser one's reserve: the lower of the two is relied on."""

MOST_WORKERS = 4
"""Cases are solved beside each other by at most so many processes; each takes some 0.3 GiB."""

Progress = Callable[[str, int, int], None]


def processors() -> int:
    """How many cases may be solved beside each other on this computer."""
    return max(min(len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1, MOST_WORKERS), 1)


def three_d_cases(
    design: Design, stack: Stack, progress: Progress, cache_dir: Path | None = None, workers: int = 1,
) -> tuple[ThreeDResult, ...]:
    """All cases of a design; () where it needs none. With `cache_dir` each finished case is kept, and a run that was broken
    off goes on after it. `progress` may raise to stop; `workers` processes change the time only, not the answers."""
    if not needs_three_d(design):
        return ()
    asked = jobs(design, stack)
    found = {job.id: read_result(cache_dir, design, job.id, CUTS) for job in asked}
    left = [job for job in asked if found[job.id] is None]
    done = len(asked) - len(left)
    if workers <= 1 or len(left) <= 1:
        for job in left:
            progress(f"blocks: {job.title}", done, len(asked))
            found[job.id] = _solved(design, stack, job, CUTS, cache_dir)
            done += 1
    else:
        progress("blocks", done, len(asked))
        with closing(_beside_each_other(design, stack, left, cache_dir, workers)) as results:
            for result in results:
                found[result.id] = result
                done += 1
                progress(f"blocks: {result.title}", done, len(asked))
    return tuple(result for result in found.values() if result is not None)


def _beside_each_other(
    design: Design, stack: Stack, left: list[Job], cache_dir: Path | None, workers: int,
) -> Generator[ThreeDResult, None, None]:
    from joblib import Parallel, delayed

    # A mapping proxy cannot be sent to another process; the blocks need no bases.
    sent = replace(design, bases={}, criteria=replace(design.criteria, required=dict(design.criteria.required)))
    # Reserves and loads with many directions take longest: first, so that no process ends with one while the others have nothing to do.
    order = sorted(left, key=lambda job: -len(job.loads) if job.loads else -20)
    results = Parallel(n_jobs=min(workers, len(left)), return_as="generator_unordered")(
        delayed(_solved)(sent, stack, job, CUTS, cache_dir) for job in order)
    try:
        for result in results:  # noqa: UP028 - `yield from` would pass the close on before its warning is caught
            yield result
    finally:
        with warnings.catch_warnings():  # that work is lost when the caller stops early is known: what is finished has been kept
            warnings.simplefilter("ignore")
            results.close()


def _solved(design: Design, stack: Stack, job: Job, cuts: tuple[int, ...], cache_dir: Path | None) -> ThreeDResult:
    result = (_sideways if job.loads else _reserve)(design, stack, job, cuts)
    write_result(cache_dir, design, cuts, result)
    return result


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


@dataclass(frozen=True)
class _Edge:
    """Largest reserve found held: 0 for nothing, None when not decided; at_least: not looked for further up.
    failing: motions of the least one that was proven not to be held."""

    reserve: float | None
    failing: np.ndarray | None = None
    at_least: bool = False


def _largest_reserve(
    design: Design, stack: Stack, case: Case, layout: Layout, first: float, high: float, *, near: bool,
) -> _Edge:
    """The edge in [LEAST_RESERVE, high] to within RESERVE_STEP, looked for from `first`; `near`: expected just there."""
    failing: np.ndarray | None = None

    def holds(q: float) -> bool | None:
        nonlocal failing
        answer = solve_cone(assemble(_dead(design, stack, case, layout, q)))
        if answer.infeasible:
            failing = answer.motions
        return True if answer.solved else False if answer.infeasible else None

    low = 0.0
    for share in (1.0, 0.95, 0.8, 0.0) if near else (1.0, 0.0):
        q = max(share * first, LEAST_RESERVE)
        held = holds(q)
        if held:
            low = q
            break
        high = q
        if q <= LEAST_RESERVE:
            return _Edge(None if held is None else 0.0, failing)
    if near and low == first and high > low * (1 + RESERVE_STEP):
        if not holds(low * (1 + RESERVE_STEP)):
            return _Edge(low, failing)
        low *= 1 + RESERVE_STEP
    top = high if low >= first else math.inf
    while high > low * (1 + RESERVE_STEP):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return _Edge(low, failing, high >= top)


def _reserve(design: Design, stack: Stack, job: Job, cuts: tuple[int, ...]) -> ThreeDResult:
    """The dead load alone: by how much every capacity can be divided."""
    required = design.criteria.required[job.criterion]
    top = len(job.case.states)
    ring = min(_ring_symmetric(design, stack, job.case), 10.0)
    layouts = [cut_blocks(design, stack, count, top) for count in cuts]
    if ring <= 0.0:
        return _nothing(job, required, top, "solved", "the ring-symmetric check already finds no force path", 0.0)
    coarse = _largest_reserve(design, stack, job.case, layouts[0], min(required, ring), ring, near=False)
    start = coarse.reserve or LEAST_RESERVE
    edges = [coarse]
    for layout in layouts[1:]:
        start = edges[-1].reserve or start
        edges.append(_largest_reserve(design, stack, job.case, layout, start, max(min(ring, start * FAR_ENOUGH), start), near=True))
    if _large_drop(edges[0].reserve, edges[-1].reserve):
        start = edges[-1].reserve or LEAST_RESERVE
        layouts.append(cut_blocks(design, stack, _still_finer(cuts), top))
        edges.append(_largest_reserve(design, stack, job.case, layouts[-1], start, max(min(ring, start * FAR_ENOUGH), start), near=True))
    found = [edge.reserve for edge in edges]
    limited = [edge.at_least for edge in edges]
    table = tuple(CutResult(layout.cuts, len(layout.blocks), q, limit) for layout, q, limit in zip(layouts, found, limited, strict=True))
    known = [q for q in found if q is not None]
    if len(known) < len(found):
        return replace(_nothing(job, required, top, "cannot say", "the solver decided neither way", None), convergence=table)
    least = min(*known, ring)
    fails = _largest_motion(coarse.failing) if coarse.failing is not None else _failing(
        design, stack, job.case, layouts[0], max(least, LEAST_RESERVE))
    # Friction without dilation: held a little under the edge, or lower? (At the edge itself the scheme cannot settle.)
    for q in (0.97 * least, 0.85 * least, required):
        if q <= 0.0 or q > least:
            continue
        answer = solve_blocks(_dead(design, stack, job.case, layouts[0], q))
        if answer.status == "solved" and (answer.associated or 0.0) > 0.0:
            return _result(design, stack, job, required, table, least, q, answer, layouts[0], _drop(known), (), fails)
    why = "nothing is held, whatever the friction" if least <= 0 else "friction without dilation did not settle"
    status: Status = "solved" if least <= 0 else "cannot say"
    return replace(_nothing(job, required, top, status, why, 0.0 if least <= 0 else None), convergence=table, associated=least,
                   mechanism=mechanism_in_words(design, stack, layouts[0], fails), motions=_rows(fails))


def _largest_motion(motions: np.ndarray) -> np.ndarray:
    largest = float(np.abs(motions[:, :3]).max(initial=0.0))
    return motions / largest if largest > 0 else motions


def _failing(design: Design, stack: Stack, case: Case, layout: Layout, q: float) -> np.ndarray | None:
    """Motions of the blocks just past the reserve: the solver's proof that nothing holds them."""
    for more in (1.05, 1.15, 1.4):
        answer = solve_cone(assemble(_dead(design, stack, case, layout, q * more)))
        if answer.infeasible:
            return _largest_motion(answer.motions)
    return None


def _rows(motions: np.ndarray | None) -> tuple[tuple[float, ...], ...]:
    return () if motions is None else tuple(tuple(float(v) for v in row) for row in motions.round(6))


def _drop(known: list[float]) -> float:
    """By how much the finest cut lies below the one before; inf when that is too much to be called converging."""
    drop = max(known[-2] - known[-1], 0.0)
    return drop if drop <= known[-2] * NOT_CONVERGED else math.inf


def _large_drop(coarse: float | None, fine: float | None) -> bool:
    """Whether two cuts are too far apart, and a third is worth asking (not where the finer one holds nothing at all)."""
    return bool(coarse and fine) and math.isinf(_drop([coarse or 0.0, fine or 0.0]))


def _still_finer(cuts: tuple[int, ...]) -> int:
    return cuts[-1] * 3 // 2


def _nothing(job: Job, required: float, top: int, status: Status, why: str, relied: float | None) -> ThreeDResult:
    return ThreeDResult(job.id, job.title, job.criterion, relied, relied, relied, required, False, status, why, False, "", (), (), (),
                        (), top)


def _sideways(design: Design, stack: Stack, job: Job, cuts: tuple[int, ...]) -> ThreeDResult:
    """The worst of the loads of one kind."""
    required = design.criteria.required[job.criterion]
    top = len(job.case.states)
    if _ring_symmetric(design, stack, job.case) < 1.0:
        return _nothing(job, required, top, "solved", "the dead load alone is not held by the ring-symmetric check", 0.0)
    coarse, fine = (cut_blocks(design, stack, count, top) for count in cuts)

    def problem(layout: Layout, load: SideLoad) -> BlockProblem:
        live = side_wrench(design, stack, job.case, layout, load, job.heavier)
        wet = WetHalf(job.heavier, load.bearing) if load.kind == "rain" and job.heavier else None
        return block_problem(design, stack, job.case, layout, live, base_friction=design.site.ground_friction,
                             most=MOST_FACTOR * required, wet=wet)

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
    table = [CutResult(coarse.cuts, len(coarse.blocks), answer.associated),
             CutResult(fine.cuts, len(fine.blocks), None if held is None else finer)]
    if _large_drop(*(line.multiplier for line in table)):
        finest = cut_blocks(design, stack, _still_finer(cuts), top)
        held, finer = _answer(problem(finest, load))
        table.append(CutResult(finest.cuts, len(finest.blocks), None if held is None else finer))
    if held is None:
        return replace(_nothing(job, required, top, "cannot say", "the solver decided neither way for the finer cut", None),
                       convergence=tuple(table), directions=directions)
    known = [line.multiplier or 0.0 for line in table]
    associated = min(known)
    job = replace(job, title=load.title)
    return _result(design, stack, job, required, tuple(table), associated, answer.multiplier or 0.0, answer, coarse,
                   _drop(known), directions, answer.motions)


def _result(
    design: Design, stack: Stack, job: Job, required: float, table: tuple[CutResult, ...], associated: float, without: float,
    answer: BlockAnswer, layout: Layout, drop: float, directions: tuple[tuple[float, float], ...], motions: np.ndarray | None,
) -> ThreeDResult:
    converged = math.isfinite(drop)
    # Dividing capacities for the reserve is a test of its own at each share; a multiple of a load is the scheme's number itself.
    share = OVERSTATED if job.loads else 1.0
    relied = max(min(associated, share * without) - drop, 0.0) if converged else 0.0
    at_least = bool(job.loads) and min(associated, without) >= MOST_FACTOR * required * (1 - 1e-4)
    # Where the search stopped at its end nothing moves yet: what the solver gives as motions says nothing.
    motions = None if at_least else motions
    return ThreeDResult(
        id=job.id, title=job.title, criterion=job.criterion, associated=associated, non_associated=without,
        relied=relied if converged else None, required=required, meets=converged and relied >= required,
        status="solved" if converged else "cannot say",
        why="" if converged else "the finer cut gives notably less than the coarser one: not converged",
        at_least=at_least,
        mechanism=mechanism_in_words(design, stack, layout, motions),
        forces=opening_forces(design, stack, job.case, layout, answer),
        convergence=table, directions=directions, motions=_rows(motions), course_top=len(job.case.states),
    )
