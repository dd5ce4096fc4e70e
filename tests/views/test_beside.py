"""The documents written by a second process: the same bytes, every fault of it made good here, nothing left behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.explore import explored
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export import beside
from shellcheck_earth.views.export.bundle import output_files
from shellcheck_earth.views.report.layout import Print

ROOT = Path(__file__).parents[2]
CLASSROOM = ROOT / "reports" / "garden-classroom" / "design.toml"


@pytest.fixture(autouse=True)
def two_processors(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "processors", lambda: 2)


@pytest.fixture(scope="module")
def design() -> Design:
    return read_design(CLASSROOM)


@pytest.fixture(scope="module")
def result(design: Design) -> Result:
    return check(design)


@contextmanager
def writing(design: Design) -> Iterator[beside.Writer]:
    with beside.writer_beside() as writer:
        writer.begin(design)
        yield writer


@pytest.fixture(scope="module")
def expected(result: Result) -> dict[str, bytes]:
    return output_files(result)


def process_of(writer: beside.Writer) -> subprocess.Popen[bytes]:
    assert writer.second is not None
    return writer.second.process


def test_the_same_bytes_in_the_same_order(design: Design, result: Result, expected: dict[str, bytes]) -> None:
    for printed, wanted in (
        (None, expected),
        (Print("us-letter", True), output_files(result, Print("us-letter", True))),
    ):
        with writing(design) as writer:
            process = process_of(writer)
            found = writer.output_files(result, printed)
            assert process.returncode == 0  # it was the other process that answered
        assert list(found.items()) == list(wanted.items())


def test_what_the_design_alone_says_is_looked_at_by_the_other(design: Design, result: Result) -> None:
    for asked in (True, False):
        with writing(design) as writer:
            assert not asked or writer.explored(design) == explored(design)
            assert writer.second is not None and writer.second.begun is not asked
            assert writer.output_files(result) == output_files(result)
            assert process_of(writer).returncode == 0


FAULTS = {
    "ended while it waits": lambda process: process.kill(),
    "stopped by its user": lambda process: process.send_signal(signal.SIGTERM),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_process_that_was_ended_is_made_good_here(
    fault: str, design: Design, result: Result, expected: dict[str, bytes]
) -> None:
    with writing(design) as writer:
        FAULTS[fault](process_of(writer))
        process_of(writer).wait()
        assert writer.explored(design) == explored(design)
        assert writer.output_files(result) == expected


@pytest.mark.parametrize(
    "start",
    [
        "import sys; sys.exit(0)",
        "import sys; sys.stdin.buffer.read(9); sys.exit(3)",
        "import sys; sys.stdin.buffer.read(9); sys.stdout.write('no answer')",
        "import sys; sys.stdin.buffer.read(9); sys.stdout.buffer.write(bytes(7) + b'c' + bytes(32) + b'x' * 99)",
        "import sys; sys.stdout.buffer.write(b'x' * 9999)",
        "raise MemoryError",
        "no python at all",
    ],
)
def test_a_process_that_gives_no_answer_is_made_good_here(
    start: str, monkeypatch: pytest.MonkeyPatch, design: Design, result: Result, expected: dict[str, bytes]
) -> None:
    monkeypatch.setattr(beside, "START", start)
    with writing(design) as writer:
        assert writer.explored(design) == explored(design)
        assert writer.output_files(result) == expected


def test_no_process_where_it_cannot_be_started(
    monkeypatch: pytest.MonkeyPatch, design: Design, result: Result, expected: dict[str, bytes]
) -> None:
    for executable in ("", "/nowhere/python"):
        monkeypatch.setattr(sys, "executable", executable)
        with writing(design) as writer:
            assert writer.second is None
    assert writer.output_files(result) == expected


def test_no_process_with_one_processor_or_for_the_block_model(monkeypatch: pytest.MonkeyPatch, design: Design) -> None:
    with writing(read_design(ROOT / "reports" / "seed-bank" / "design.toml")) as writer:
        assert writer.second is None
    monkeypatch.setattr(beside, "processors", lambda: 1)
    with writing(design) as writer:
        assert writer.second is None


def test_nothing_is_left_when_the_work_is_broken_off(design: Design) -> None:
    with pytest.raises(KeyboardInterrupt), writing(design) as writer:
        process = process_of(writer)
        raise KeyboardInterrupt
    assert process.returncode is not None  # ended and waited for


def test_it_goes_when_the_first_process_has_gone() -> None:
    script = (
        "import os; from pathlib import Path; from shellcheck_earth.geometry.reading import read_design;"
        "from shellcheck_earth.views.export import beside; beside.processors = lambda: 2;"
        "manager = beside.writer_beside(); writer = manager.__enter__();"
        f"writer.begin(read_design(Path({str(CLASSROOM)!r})));"
        "print(writer.second.process.pid, flush=True); os._exit(0)"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True)
    pid = int(done.stdout)
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return
        state = Path(f"/proc/{pid}/stat")
        if state.exists() and state.read_text().rsplit(")", 1)[1].split()[0] == "Z":
            return  # gone; whoever inherited it has not looked yet
        time.sleep(0.1)
    os.kill(pid, signal.SIGKILL)
    raise AssertionError("the second process stayed")
