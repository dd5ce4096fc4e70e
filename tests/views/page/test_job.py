"""Long work: its answer, its faults without what is private in them, and its end with all that it started."""

from __future__ import annotations

import os
import queue
import time
from multiprocessing import Pipe
from pathlib import Path
from typing import Any

import pytest
from serving import quick_work, slow_work

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.views.cli import page as command
from shellcheck_earth.views.page import beside
from shellcheck_earth.views.page.engine import Engine
from shellcheck_earth.views.page.job import Job
from shellcheck_earth.views.page.whole import Checked


def alive(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


def told(work: Any, asked: str) -> tuple[Job, queue.Queue[tuple[str, Any]]]:
    said: queue.Queue[tuple[str, Any]] = queue.Queue()
    return Job(work, asked, None, lambda kind, value: said.put((kind, value))), said


def test_an_answer_and_how_far_it_is() -> None:
    _, said = told(quick_work, "dome")
    assert said.get(timeout=30) == ("progress", ("working", 0, 1))
    assert said.get(timeout=30) == ("found", "DOME")


@pytest.mark.parametrize(("asked", "words"), [("refuse", "design: expected one"), ("fail", "ZeroDivisionError")])
def test_faults_are_said_without_what_is_private(asked: str, words: str) -> None:
    _, said = told(quick_work, asked)
    said.get(timeout=30)
    kind, value = said.get(timeout=30)
    assert kind == "failed" and words in value and "secret" not in value


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="asks the system for its processes by /proc")
def test_cancelling_ends_it_and_what_it_started(tmp_path: Path) -> None:
    job, said = told(slow_work, str(tmp_path / "pids"))
    assert said.get(timeout=30)[0] == "progress"
    pids = [int(pid) for pid in (tmp_path / "pids").read_text(encoding="utf-8").split()]
    assert len(pids) == 2 and all(map(alive, pids)) and os.getpid() not in pids
    job.cancel()
    assert said.get(timeout=30) == ("cancelled", "")
    until = time.monotonic() + 10
    while any(map(alive, pids)) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any(map(alive, pids))
    job.cancel()  # a second time is no fault


def test_a_checked_design_is_written_into_the_folder_of_the_command(tmp_path: Path) -> None:
    files = {"section.svg": b"<svg></svg>", "assessment.json": b'{\n "format": 1}'}
    checked = Checked("text", "falls short", "Falls short", "Because.", (), (), "0" * 64, files)
    engine = Engine(starter_text(), "starter", tmp_path / "out")
    try:
        message = engine.keep(engine.tab("").found(checked), checked)
        assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == files
        assert message["written"][0] == str(tmp_path / "out")
        (tmp_path / "out" / "section.svg").write_text("my own notes", encoding="utf-8")
        said = engine.keep(engine.tab("").found(checked), checked)["written"]
        assert "file of another kind" in said[0]  # never overwritten, and said
        assert (tmp_path / "out" / "section.svg").read_text(encoding="utf-8") == "my own notes"
    finally:
        engine.end()


def test_who_asked_and_has_gone_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(beside, "leave_interrupts", lambda: None)
    monkeypatch.setattr("shellcheck_earth.views.page.overview.overview", lambda text: text)
    here, there = Pipe()
    here.send("one")
    here.send("two")
    here.close()
    beside._serve(there)  # ends without a word: Ctrl-C while all cases are looked at


def test_without_a_folder_nothing_is_left_on_the_disk() -> None:
    engine = Engine(starter_text(), "starter", None)
    kept = engine.cache.parent
    assert kept.is_dir()
    engine.end()
    assert not kept.exists()


def test_the_extra_is_named_where_it_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(command, "LIBRARIES", ("starlette", "no_such_library"))
    with pytest.raises(InputError) as refused:
        command.page(browser=False)
    assert 'pip install "shellcheck_earth[page]"' in str(refused.value) and "no_such_library" in str(refused.value)
