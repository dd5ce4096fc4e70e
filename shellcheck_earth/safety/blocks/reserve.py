"""The dead load alone on blocks: by how much every capacity can be divided."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from shellcheck_earth.geometry.blocks import Layout, cut_blocks
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.mechanics.blocks.assembly import Shares, block_problem, block_weights
from shellcheck_earth.mechanics.blocks.conic import assemble, solve_cone
from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.safety.blocks.cuts import (
    Found,
    ring_symmetric,
    rounded_rows,
    still_finer,
    with_answer,
    without_answer,
)
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.mechanism import mechanism_of
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, drop_of

__all__ = ["RESERVE_STEP", "dead_problem", "largest_reserve", "reserve_case"]

RESERVE_STEP = 0.02
"""Relative width at which the search for the reserve ends."""

LEAST_RESERVE = 0.25
"""A dome that holds less than this is reported as holding nothing."""

ENOUGH = 0.05
"""The dead load grows by up to this share while its own reserve is asked for: a solver needs something to maximise."""


def dead_problem(dome: Dome, case: Case, layout: Layout, q: float) -> BlockProblem:
    """The dead load with every capacity divided by q; its live load is the dead load again, up to ENOUGH of it."""
    _, weight = block_weights(dome, case, layout)
    live = np.zeros((len(weight), 6))
    live[:, 2] = -weight
    return block_problem(dome, case, layout, live, shares=Shares.reserve(q), most=ENOUGH)


@dataclass(frozen=True)
class _Edge:
    """Largest reserve found held: 0 for nothing, None when not decided; at_least: not looked for further up.
    fails: the least that was proven not to be held, inf for none; failing: its mechanism, motions (n, 6)."""

    reserve: float | None
    fails: float = math.inf
    failing: np.ndarray | None = None
    at_least: bool = False


def largest_reserve(dome: Dome, case: Case, layout: Layout, first: float, high: float, *, near: bool) -> _Edge:
    """The edge in [LEAST_RESERVE, high] to within RESERVE_STEP, looked for from `first`; `near`: what a coarser cut
    holds: the least of the cuts is relied on, so that one that holds as much is not looked for further up.
    """
    failing: np.ndarray | None = None
    fails = math.inf

    def holds(q: float) -> bool | None:
        nonlocal failing, fails
        answer = solve_cone(assemble(dead_problem(dome, case, layout, q)))
        if answer.infeasible and q < fails:
            failing, fails = answer.motions, q
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
            return _Edge(None if held is None else 0.0, fails, failing)
    if near and low == first:
        return _Edge(low, fails, failing, True)
    top = high if low >= first else math.inf
    while high > low * (1 + RESERVE_STEP):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return _Edge(low, fails, failing, high >= top)


def _edges(dome: Dome, job: Job, cuts: tuple[int, ...], required: float, ring: float) -> list[tuple[Layout, _Edge]]:
    """Every cut with its edge, coarsest first; the finest only where the one before it still takes off over a tenth
    of what would be enough."""
    finer, finest = still_finer(cuts)
    found: list[tuple[Layout, _Edge]] = []
    for count in (*cuts, finer, finest):
        known = [edge.reserve or 0.0 for _, edge in found]
        if count == finest and (math.isfinite(drop_of(known)) or known[-1] < required):
            break
        layout = cut_blocks(dome, count, len(job.case.states))
        start = known[-1] or LEAST_RESERVE if known else min(required, ring)
        high = start if known else ring
        found.append((layout, largest_reserve(dome, job.case, layout, start, high, near=bool(known))))
    return found


def reserve_case(dome: Dome, job: Job, cuts: tuple[int, ...]) -> BlockResult:
    """The dead load alone: by how much every capacity can be divided."""
    required = dome.design.criteria.required[job.criterion]
    ring = min(ring_symmetric(dome, job.case), 10.0)
    if ring <= 0.0:
        return without_answer(job, required, "the ring-symmetric check already finds no force path", associated=0.0)
    asked = _edges(dome, job, cuts, required, ring)
    layouts, edges = [layout for layout, _ in asked], [edge for _, edge in asked]
    coarse = edges[0]
    found = [edge.reserve for edge in edges]
    table = tuple(
        CutResult(
            layout.cuts,
            len(layout.blocks),
            edge.reserve,
            edge.at_least,
            edge.fails if math.isfinite(edge.fails) else None,
        )
        for layout, edge in zip(layouts, edges, strict=True)
    )
    known = [q for q in found if q is not None]
    if len(known) < len(found):
        return without_answer(job, required, "the solver decided neither way", table=table)
    least = min(*known, ring)
    fails = (
        _largest_motion(coarse.failing)
        if coarse.failing is not None
        else _failing(dome, job.case, layouts[0], max(least, LEAST_RESERVE))
    )
    # Friction without dilation: held a little under the edge, or lower? (At the edge itself the scheme cannot settle.)
    for q in (0.97 * least, 0.85 * least, required):
        if q <= 0.0 or q > least:
            continue
        answer = solve_blocks(dead_problem(dome, job.case, layouts[0], q))
        if answer.status == "solved" and (answer.associated or 0.0) > 0.0:
            return with_answer(dome, job, Found(table, least, q), answer, layouts[0], fails)
    why = "nothing is held, whatever the friction" if least <= 0 else "friction without dilation did not settle"
    return replace(
        without_answer(job, required, why, associated=max(least, 0.0), table=table),
        mechanism=mechanism_of(dome, layouts[0], fails),
        motions=rounded_rows(fails),
    )


def _largest_motion(motions: np.ndarray) -> np.ndarray:
    largest = float(np.abs(motions[:, :3]).max(initial=0.0))
    return motions / largest if largest > 0 else motions


def _failing(dome: Dome, case: Case, layout: Layout, q: float) -> np.ndarray | None:
    """Motions of the blocks just past the reserve: the solver's proof that nothing holds them."""
    for more in (1.05, 1.15, 1.4):
        answer = solve_cone(assemble(dead_problem(dome, case, layout, q * more)))
        if answer.infeasible:
            return _largest_motion(answer.motions)
    return None
