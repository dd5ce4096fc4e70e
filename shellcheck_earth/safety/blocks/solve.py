"""The second way to the verdict: a dome with openings or sideways loads as blocks, case by case.

Every case is solved with two numbers of cuts and, with the coarser one, also for friction without dilation; what is
relied on is the lowest of them (of the last, under a load from one side, only OVERSTATED of it), and never more than
the ring-symmetric check gives for the same dead load. Where the finer cut gives less than the coarser one, the same
drop is taken off once more (what is left of it if it halves with every doubling of the cuts). Where that drop is large,
a still finer cut is compared with the fine one, and if that drop is large too the answer is "cannot say", never a pass.
"""

from __future__ import annotations

import os
import warnings
from collections.abc import Generator, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from shellcheck_earth.basics.parallel import NOTHING_KEPT, in_processes, worker_lost
from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.model import needs_blocks
from shellcheck_earth.loads.side_loads import SideLoad, turned
from shellcheck_earth.safety.blocks.cuts import ring_symmetric
from shellcheck_earth.safety.blocks.jobs import Job, joint_job, needed_jobs, whole_load
from shellcheck_earth.safety.blocks.kept import read_result, write_result
from shellcheck_earth.safety.blocks.kept_proofs import read_proofs, write_proofs
from shellcheck_earth.safety.blocks.proofs import States, proven
from shellcheck_earth.safety.blocks.reserve import reserve_case
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.blocks.sideways import press_at_the_load, sideways_case
from shellcheck_earth.safety.blocks.validity import in_range

__all__ = ["CUTS", "BlockResult", "CutResult", "block_cases", "crew_cases", "processors"]

CUTS = (18, 36)
"""Blocks a ring, coarse then fine."""

MOST_WORKERS = 4
"""Cases are solved beside each other by at most so many processes; each takes some 0.3 GiB."""


def processors() -> int:
    """How many cases may be solved beside each other on this computer."""
    return max(
        min(len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1, MOST_WORKERS), 1
    )


def block_cases(
    dome: Dome,
    progress: Progress,
    cache_dir: Path | None = None,
    workers: int = 1,
) -> tuple[BlockResult, ...]:
    """All cases of a design; () where it needs none. With `cache_dir` each finished case is kept, and a run that was
    broken off goes on after it. `progress` may raise to stop; `workers` processes change the time only, not the
    answers."""
    if not needs_blocks(dome):
        return ()
    asked = needed_jobs(dome)
    found: dict[str, tuple[BlockResult, ...]] = {}
    if workers <= 1 or len(asked) <= 1:
        for job in asked:
            progress(f"blocks: {job.title}", len(found), len(asked))
            found[job.id] = _answer(dome, job, CUTS, cache_dir)
    else:
        progress("blocks", 0, len(asked))
        with closing(_beside_each_other(dome, asked, cache_dir, workers)) as results:
            for name, of_job in results:
                found[name] = of_job
                progress(f"blocks: {of_job[0].title}", len(found), len(asked))
    return tuple(result for job in asked for result in found[job.id])


def crew_cases(dome: Dome) -> Iterator[tuple[BlockResult, ...]]:
    """What blocks say of one person on one side, a question at a time, those of the highest ring first: whoever has
    heard enough asks no more."""
    asked = [job for job in needed_jobs(dome) if job.loads and job.loads[0].kind == "worker"]
    for job in sorted(asked, key=lambda job: -job.case.stage):
        yield _answer(dome, job, CUTS, None)


def _beside_each_other(
    dome: Dome,
    asked: list[Job],
    cache_dir: Path | None,
    workers: int,
) -> Generator[tuple[str, tuple[BlockResult, ...]], None, None]:
    # Reserves and loads with many directions take longest: first, so that no process ends with one while the
    # others have nothing to do.
    order = sorted(asked, key=lambda job: -len(job.loads) if job.loads else -20)
    pieces = [(dome, job, CUTS, cache_dir) for job in order]
    results = in_processes(_named, pieces, min(workers, len(asked)), as_they_end=True)
    kept = f"Finished cases are kept in {cache_dir}: the same command goes on there." if cache_dir else NOTHING_KEPT
    try:
        with worker_lost(kept):
            for result in results:  # noqa: UP028 - `yield from` would pass the close on before its warning is caught
                yield result
    finally:
        with (
            warnings.catch_warnings()
        ):  # that work is lost when the caller stops early is known: what is finished has been kept
            warnings.simplefilter("ignore")
            results.close()


def _named(dome: Dome, job: Job, cuts: tuple[int, ...], cache_dir: Path | None) -> tuple[str, tuple[BlockResult, ...]]:
    """What a job says, with the name of the job."""
    return job.id, _answer(dome, job, cuts, cache_dir)


def _answer(dome: Dome, job: Job, cuts: tuple[int, ...], cache_dir: Path | None) -> tuple[BlockResult, ...]:
    """What a job says, and what its joint question says where it has one.

    Capacities divided hold no more than whole ones: where they hold the multiple of the load that is required, that
    is the answer to both.
    """
    together = joint_job(dome.design, job)
    joint = None if together is None else _one(dome, together, cuts, cache_dir)
    if joint is None or together is None:
        return (_one(dome, job, cuts, cache_dir),)
    if job.only_joint:
        return (joint,)
    return (implied(dome, job, together, joint, cuts) or _one(dome, job, cuts, cache_dir), joint)


def _governing(job: Job, joint: BlockResult) -> SideLoad:
    """The load that a joint result is about, by its title; between two directions the one it was turned from."""
    bearing = joint.directions[0][0]
    known = next((load for load in job.loads if joint.title.startswith(f"{load.title}, ")), None)
    turning = [turned(load, bearing) for load in job.loads]
    return known or next((load for load in turning if joint.title.startswith(f"{load.title}, ")), job.loads[0])


def implied(dome: Dome, job: Job, together: Job, joint: BlockResult, cuts: tuple[int, ...]) -> BlockResult | None:
    """The multiple of a load that follows from its joint question; None where it does not. Its proofs are the joint
    ones."""
    times = whole_load(together.rows)
    relied = times * (joint.relied or 0.0)
    if not job.loads or joint.meets is not True or relied < job.required(dome.design):
        return None
    return replace(
        joint,
        id=job.id,
        title=f"{job.title}, from every capacity divided at once",
        criterion=job.criterion,
        associated=None if joint.associated is None else times * joint.associated,
        non_associated=None if joint.non_associated is None else times * joint.non_associated,
        relied=relied,
        required=job.required(dome.design),
        at_least=True,
        mechanism=None,
        forces=press_at_the_load(dome, job, _governing(job, joint), cuts),
        convergence=(),
        directions=tuple((bearing, times * held) for bearing, held in joint.directions),
        motions=(),
        proofs=(),
        drawn=0,
        between=(),
        rows=(),
        question=job.title,
        below=None if joint.below is None else times * joint.below,
    )


def _one(dome: Dome, job: Job, cuts: tuple[int, ...], cache_dir: Path | None) -> BlockResult:
    """A case read or solved, and proven today either way."""
    result = read_result(cache_dir, dome, job, cuts, lambda: ring_symmetric(dome, job.case))
    states: States = {}
    kept = {} if result is None else read_proofs(cache_dir, dome, job, cuts)
    if result is None:
        result = (sideways_case if job.loads else reserve_case)(dome, job, cuts, states)
        write_result(cache_dir, dome, job, cuts, result)
    found = proven(dome, job, in_range(dome, result), states, kept)
    if list(found.proofs) != list(kept.values()):
        write_proofs(cache_dir, dome, job, cuts, found.proofs)
    return replace(found, question=job.title)
