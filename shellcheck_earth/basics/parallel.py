"""Spread independent pieces of work over the cores of this machine, or over a dask cluster: same answers, same order.

Every piece depends on its own input alone, so where it runs cannot change a bit of the answer.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, TypeVar

from shellcheck_earth.basics.errors import InputError, Problem

__all__ = ["ALONE", "FEW", "Crew", "connect", "each", "spread"]

FEW = 8
"""So few pieces are done here: starting workers would take longer."""

MOST_WORKERS, CONNECT_SECONDS = 1024, 10

Piece = TypeVar("Piece")
Answer = TypeVar("Answer")


def connect(address: str) -> Any:
    """A client of the dask scheduler at the address; InputError when there is none, or no dask."""
    try:
        from distributed import Client as Connection
    except ImportError:
        raise InputError(
            [Problem("--cluster", 'the extra "cluster": pip install "shellcheck_earth[cluster]"', "no dask")]
        ) from None
    try:
        client: Any = Connection
        return client(address, timeout=CONNECT_SECONDS)
    except (OSError, ValueError, TimeoutError) as error:
        raise InputError(
            [
                Problem(
                    "--cluster",
                    "the address of a running dask scheduler, such as tcp://host:8786",
                    f"{address}: {error}",
                )
            ]
        ) from None


@dataclass(frozen=True)
class Crew:
    """Who does the work. workers 0: all cores of this machine; `cluster`: address of a dask scheduler, which then
    does it all.
    """

    workers: int = 0
    cluster: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.workers <= MOST_WORKERS:
            raise InputError(
                [
                    Problem(
                        "--workers", f"a number of workers up to {MOST_WORKERS}, or 0 for all cores", str(self.workers)
                    )
                ]
            )


ALONE = Crew(workers=1)


def spread(
    work: Callable[[Piece], Answer],
    pieces: Sequence[Piece],
    crew: Crew,
    done: Callable[[int], None] = lambda _: None,
) -> list[Answer]:
    """`work` on every piece, in order; `done(count)` as they end. InputError when the cluster cannot be reached."""
    out = []
    for answer in each(work, pieces, crew):
        out.append(answer)
        done(len(out))
    return out


def each(
    work: Callable[[Piece], Answer], pieces: Sequence[Piece], crew: Crew, *, threads: bool = False
) -> Iterator[Answer]:
    """The answers in order, each as soon as it and all before it are there. InputError when the cluster cannot be
    reached.

    threads: in this process, for work that leaves the interpreter free.
    """
    if not crew.cluster and (crew.workers == 1 or (len(pieces) <= FEW and not threads)):
        yield from map(work, pieces)
        return
    import joblib

    calls = [joblib.delayed(work)(piece) for piece in pieces]
    if not crew.cluster:
        kind: dict[str, Any] = {"prefer": "threads", "batch_size": 1} if threads else {}
        yield from _started(joblib.Parallel(n_jobs=crew.workers or -1, return_as="generator", **kind), calls)
        return
    client = connect(crew.cluster)
    try:
        with joblib.parallel_config(backend="dask", client=client):
            answers = _started(joblib.Parallel(return_as="generator"), calls)
        yield from answers
    finally:
        client.close()


def _started(parallel: Any, calls: list[Any]) -> Iterator[Any]:
    with _not_interrupted():
        answers: Iterator[Any] = parallel(calls)
    return answers


@contextmanager
def _not_interrupted() -> Iterator[None]:
    """Processes started in here do not hear Ctrl-C, which goes to all of a terminal's: the one that started them ends
    them, and theirs
    would only be tracebacks. Ignored, not blocked: what starts the processes lifts a block. Only the main thread may
    say so."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
