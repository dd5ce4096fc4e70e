"""How far long work is: the time that is left, by hand, and the bar on a terminal of its own."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from shellcheck_earth.views.render.progress import Estimate, left_in_words

ROOT = Path(__file__).parents[2]


def test_the_time_left_by_hand() -> None:
    found = Estimate()
    found.step("pairs of changes", 0, 10, now=100.0)
    assert found.left(100.5) is None  # too soon
    found.step("pairs of changes", 2, 10, now=104.0)
    assert found.left(104.0) == pytest.approx(16.0)  # 2 s a step, 8 steps left
    assert found.left(110.0) == pytest.approx(10.0)
    assert found.left(200.0) == 0.0


def test_work_that_goes_on_from_earlier_counts_only_its_own_steps() -> None:
    found = Estimate()
    found.step("sampled domes", 30, 40, now=0.0)
    found.step("sampled domes", 32, 40, now=6.0)
    assert found.left(6.0) == pytest.approx(24.0)


def test_each_part_has_its_own_time_and_an_open_end_has_none() -> None:
    found = Estimate()
    found.step("blocks: wind", 1, 4, now=0.0)
    found.step("blocks: earthquake", 2, 4, now=10.0)
    assert found.left(10.0) == pytest.approx(20.0)
    found.step("proofs of the margins", 0, 4, now=11.0)
    assert found.left(20.0) is None
    found.step("writing the report", 1, 1, now=12.0)
    assert found.left(20.0) is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(None, ""), (1.0, "nearly done"), (4.0, "about 5 s left"), (43.0, "about 45 s left"), (130.0, "about 2 min left")],
)
def test_words(seconds: float | None, words: str) -> None:
    assert left_in_words(seconds) == words


WORK = """
import time
from shellcheck_earth.views.render.progress import progress_bar
with progress_bar(shown=True) as progress:
    for step in range(30):
        progress("pairs of changes", step, 120)
        time.sleep(0.1)
"""


def on_terminal(script: str) -> str:
    """What a script writes to the error stream of a terminal of its own."""
    ours, theirs = pty.openpty()
    started = subprocess.Popen(
        [sys.executable, "-c", script],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm", "COLUMNS": "120"},
        stdout=subprocess.DEVNULL,
        stderr=theirs,
    )
    os.close(theirs)
    seen = b""
    while True:
        try:
            part = os.read(ours, 65536)
        except OSError:  # the other end has closed
            part = b""
        if not part:
            break
        seen += part
    os.close(ours)
    assert started.wait(60) == 0
    return seen.decode(errors="replace")


def test_the_bar_says_how_long_it_still_takes() -> None:
    seen = on_terminal(WORK)
    assert "pairs of changes" in seen
    assert re.search(r"about \d+ s left", seen)
