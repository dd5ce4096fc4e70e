"""Workers, schedulers and worker processes that are killed in mid-run: one sentence, what is kept, and no waiting."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

pytest.importorskip("distributed")

ROOT = Path(__file__).parents[2]
STORE = ROOT / "reports" / "tool-store" / "design.toml"
DASK = [sys.executable, "-W", "ignore", "-m", "dask"]
QUIET = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "200", "OMP_NUM_THREADS": "1"}


@contextmanager
def process(*command: str) -> Iterator[subprocess.Popen[bytes]]:
    """A process of its own group, gone at the end with all it started."""
    started = subprocess.Popen(command, env=environment(), start_new_session=True, **QUIET)  # type: ignore[call-overload]
    try:
        yield started
    finally:
        end(started)


def end(started: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError):
        os.killpg(started.pid, signal.SIGKILL)
    started.wait(10)


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def cluster() -> Iterator[tuple[str, subprocess.Popen[bytes], subprocess.Popen[bytes]]]:
    """(address, scheduler, worker): real processes, one thread."""
    port = free_port()
    address = f"tcp://127.0.0.1:{port}"
    host = ("--host", "127.0.0.1")
    with (
        process(*DASK, "scheduler", *host, "--port", str(port), "--no-dashboard", "--no-jupyter") as scheduler,
        process(*DASK, "worker", address, *host, "--nthreads", "1", "--no-dashboard") as worker,
    ):
        wait_for(lambda: reachable(port))
        yield address, scheduler, worker


def reachable(port: int) -> bool:
    with suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
        return True
    return False


def wait_for(there: object, seconds: float = 120.0) -> None:
    until = time.monotonic() + seconds
    while not there():  # type: ignore[operator]
        assert time.monotonic() < until, "it did not come"
        time.sleep(0.05)


def chance(out: Path, *more: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "shellcheck_earth", "chance", str(STORE), "--samples", "32768"]
    return subprocess.Popen(
        [*command, "--out", str(out), *more],
        env=environment(),
        text=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )


def blocks(out: Path) -> list[Path]:
    return list((out / "chance-blocks").glob("[!.]*.json"))


def said(run: subprocess.Popen[str]) -> str:
    """What it says at its end, which has to come by itself."""
    try:
        return " ".join(run.communicate(timeout=120)[1].split())
    finally:
        with suppress(ProcessLookupError):
            os.killpg(run.pid, signal.SIGKILL)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """What a run that nothing happens to writes."""
    out = tmp_path_factory.mktemp("whole")
    said(chance(out))
    return (out / "chance.json").read_bytes()


@pytest.mark.parametrize("killed", ["scheduler", "worker"])
def test_a_cluster_lost_in_mid_run_is_one_sentence_and_the_same_command_goes_on(
    killed: str, whole: bytes, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    with cluster() as (address, scheduler, worker):
        run = chance(out, "--cluster", address)
        wait_for(lambda: len(blocks(out)) >= 2 or run.poll() is not None)
        assert run.poll() is None, said(run)
        end(scheduler if killed == "scheduler" else worker)
        text = said(run)
    assert run.returncode == 3, text
    assert f"Could not run. the cluster at {address} was lost" in text and "Traceback" not in text
    assert "Finished blocks are kept in" in text and text.count("Could not run") == 1
    assert "its scheduler no longer answers" in text if killed == "scheduler" else "no worker" in text
    kept = {path: path.stat().st_mtime_ns for path in blocks(out)}
    assert kept
    again = chance(out)
    assert "Traceback" not in said(again) and again.returncode in (0, 1, 2)
    assert all(path.stat().st_mtime_ns == when for path, when in kept.items() if path.exists())
    assert (out / "chance.json").read_bytes() == whole


SLEEPERS = """
import os, sys, time
from shellcheck_earth.basics.errors import RunError
from shellcheck_earth.basics.parallel import Crew, spread

def work(piece):
    if piece == 5:
        os.kill(os.getpid(), 9)
    time.sleep(0.01)
    return piece

if __name__ == "__main__":
    try:
        spread(work, range(20), Crew(workers=2))
    except RunError as error:
        print("said:", error)
"""


def test_a_worker_process_that_is_killed_is_one_sentence(tmp_path: Path) -> None:
    script = tmp_path / "sleepers.py"
    script.write_text(SLEEPERS)
    asked = subprocess.run(
        [sys.executable, str(script)], env=environment(), capture_output=True, text=True, timeout=120, check=False
    )
    assert asked.stdout.startswith("said: a worker process was ended before its work was done"), asked.stderr
    assert "Nothing of this work is kept" in asked.stdout and "Traceback" not in asked.stderr
