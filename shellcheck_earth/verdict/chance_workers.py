"""Blocks of work over the cores of this machine (joblib, threads) or of a dask cluster; results as they come."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, TypeVar

from .spread import connect

__all__ = ["finished_blocks"]

Work = TypeVar("Work")
Job = TypeVar("Job")
Result = TypeVar("Result")


def finished_blocks(
    work: Callable[[Work, Job], Result], shared: Work, jobs: Sequence[Job], workers: int, cluster: str | None,
) -> Iterator[tuple[Job, Result]]:
    """(job, work(shared, job)) in the order in which they finish. The compiled loop leaves the interpreter free, so threads
    are enough on one machine. InputError when no cluster answers at the address."""
    if not jobs:
        return iter(())
    if cluster is not None:
        return _on_cluster(work, shared, jobs, cluster)
    return _on_threads(work, shared, jobs, workers)


def _on_threads(work: Callable[[Work, Job], Result], shared: Work, jobs: Sequence[Job], workers: int) -> Iterator[tuple[Job, Result]]:
    from joblib import Parallel, delayed

    def one(job: Job) -> tuple[Job, Result]:
        return job, work(shared, job)

    yield from Parallel(n_jobs=workers, prefer="threads", return_as="generator_unordered", batch_size=1)(delayed(one)(job) for job in jobs)


def _on_cluster(work: Callable[[Work, Job], Result], shared: Work, jobs: Sequence[Job], address: str) -> Iterator[tuple[Job, Result]]:
    client = connect(address)
    try:
        import dask.distributed as dask

        as_they_come: Any = dask.as_completed
        everywhere = client.scatter(shared, broadcast=True)
        futures = {client.submit(work, everywhere, job, pure=False): job for job in jobs}
        for future in as_they_come(list(futures)):
            yield futures[future], future.result()
    finally:
        client.close()
