"""Spread independent pieces of work over the cores of this machine, or over a dask cluster: same answers, same order.

Every piece depends on its own input alone, so where it runs cannot change a bit of the answer.
"""

from __future__ import annotations

import logging
import signal
import threading
import time
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any, TypeVar

from shellcheck_earth.basics.errors import InputError, Problem, RunError

__all__ = [
    "ALL_CORES",
    "ALONE",
    "FEW",
    "NOTHING_KEPT",
    "Crew",
    "connect",
    "each",
    "in_processes",
    "spread",
    "worker_lost",
]

FEW = 8
"""So few pieces are done here: starting workers would take longer."""

MOST_WORKERS, CONNECT_SECONDS = 1024, 10

LOOK_SECONDS, ANSWER_SECONDS, ALONE_SECONDS = 0.1, 10, 15
"""How often a cluster is looked at; how long its scheduler may take to answer; how long it may be without a worker,
which one that is started again has to be back in."""

NOTHING_KEPT = "Nothing of this work is kept: the same command begins it again."

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
    for name in list(logging.root.manager.loggerDict):  # what is lost is said in one sentence, not in a log
        if name.split(".")[0] in ("distributed", "tornado"):
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)
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


ALONE, ALL_CORES = Crew(workers=1), Crew()


def spread(
    work: Callable[[Piece], Answer],
    pieces: Sequence[Piece],
    crew: Crew,
    done: Callable[[int], None] = lambda _: None,
) -> list[Answer]:
    """`work` on every piece, in order; `done(count)` as they end. Errors as `each`."""
    out = []
    for answer in each(work, pieces, crew):
        out.append(answer)
        done(len(out))
    return out


def each(
    work: Callable[[Piece], Answer],
    pieces: Sequence[Piece],
    crew: Crew,
    *,
    threads: bool = False,
    kept: str = NOTHING_KEPT,
) -> Iterator[Answer]:
    """The answers in order, each as soon as it and all before it are there.

    threads: in this process, for work that leaves the interpreter free. kept: what a user is told to be kept when
    workers are lost. InputError when the cluster cannot be reached; RunError when it, all of its workers, or a worker
    process is lost meanwhile.
    """
    if not crew.cluster and (crew.workers == 1 or (len(pieces) <= FEW and not threads)):
        yield from map(work, pieces)
        return
    if crew.cluster:
        yield from _on_cluster(work, pieces, crew.cluster, kept)
        return
    import joblib

    if threads:
        in_threads = joblib.Parallel(n_jobs=crew.workers or -1, return_as="generator", prefer="threads", batch_size=1)
        yield from in_threads(joblib.delayed(work)(piece) for piece in pieces)
        return
    with worker_lost(kept):
        yield from in_processes(work, [(piece,) for piece in pieces], crew.workers)


def in_processes(
    work: Callable[..., Answer], pieces: Sequence[tuple[Any, ...]], workers: int, *, as_they_end: bool = False
) -> Any:
    """A generator of `work(*piece)` from processes that do not hear Ctrl-C; `as_they_end`: in that order.

    Ctrl-C goes to all of a terminal's processes: the one that started these ends them, and theirs would only be
    tracebacks. Each is told so as it starts, whoever starts it and when: they are kept and used again, and one that
    was idle for long is replaced. Until it has been told it goes by what its starter does.
    """
    import joblib

    # An idle worker may end just as it is given work: it is replaced, which is nothing to tell a user.
    warnings.filterwarnings("ignore", "A worker stopped while some jobs were given to the executor", UserWarning)
    order = "generator_unordered" if as_they_end else "generator"
    parallel = joblib.Parallel(n_jobs=workers or -1, return_as=order, initializer=_hear_no_interrupt)
    with _not_interrupted():
        return parallel(joblib.delayed(work)(*piece) for piece in pieces)


@contextmanager
def worker_lost(kept: str) -> Iterator[None]:
    """RunError in place of the traceback of a worker process that was ended."""
    from joblib.externals.loky.process_executor import BrokenProcessPool

    try:
        yield
    except BrokenProcessPool:
        raise RunError(
            f"a worker process was ended before its work was done, by hand or for want of memory. {kept}"
        ) from None


def _on_cluster(work: Callable[[Piece], Answer], pieces: Sequence[Piece], address: str, kept: str) -> Iterator[Answer]:
    """The answers in order. Nothing here waits for ever: while it waits it asks whether anyone is still there."""
    client = connect(address)
    cluster = _Cluster(client, address, kept)
    try:
        futures = client.map(work, pieces, pure=False)
        for at in range(len(pieces)):
            answer = cluster.answer(futures[at], at, len(pieces))
            futures[at] = None  # the cluster need not keep it
            yield answer
    finally:
        with suppress(Exception):  # whatever is left of it has gone already
            client.close(timeout=1)


class _Cluster:
    """Watches over a cluster while its answers are waited for."""

    def __init__(self, client: Any, address: str, kept: str) -> None:
        self.client, self.address, self.kept = client, address, kept
        self.alone_since: float | None = None

    def lost(self, why: str, done: int, of: int) -> RunError:
        return RunError(f"the cluster at {self.address} was lost: {why}; {done} of {of} parts were done. {self.kept}")

    def answer(self, future: Any, done: int, of: int) -> Any:
        """The answer of one piece as soon as it is there."""
        from distributed import CancelledError, KilledWorker

        while not future.done():
            self.still_there(done, of)
        try:
            return future.result(timeout=ANSWER_SECONDS)
        except KilledWorker:
            raise self.lost("one worker after the other was ended at the same piece of work", done, of) from None
        except (CancelledError, OSError, TimeoutError):
            raise self.lost("its scheduler no longer answers", done, of) from None

    def still_there(self, done: int, of: int) -> None:
        """Waits a moment; RunError when the scheduler does not answer, or has had no worker for a while."""
        time.sleep(LOOK_SECONDS)
        if self.client.status != "running":
            raise self.lost("its scheduler no longer answers", done, of)
        try:
            workers = self.client.sync(self.client.scheduler.ncores, callback_timeout=ANSWER_SECONDS)
        except (OSError, TimeoutError, RuntimeError):
            raise self.lost("its scheduler no longer answers", done, of) from None
        if workers:
            self.alone_since = None
            return
        self.alone_since = self.alone_since or time.monotonic()
        if time.monotonic() - self.alone_since > ALONE_SECONDS:
            raise self.lost(f"it has had no worker for {ALONE_SECONDS} s", done, of)


def _hear_no_interrupt() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)


@contextmanager
def _not_interrupted() -> Iterator[None]:
    """Processes started in here do not hear Ctrl-C from the first. Ignored, not blocked: what starts the processes
    lifts a block. Only the main thread may say so."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
