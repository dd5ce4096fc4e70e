"""The whole check of the command in a process of its own: progress, cancel, and the same files byte for byte."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.safety.result import Result, Verdict
from shellcheck_earth.views.page.beside import fault_words, leave_interrupts
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.margins import why_words
from shellcheck_earth.views.text.numbers import factor_words, outcome_words, required_words
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line

__all__ = ["Checked", "Whole", "checked_of", "run_check"]


@dataclass(frozen=True)
class Checked:
    """What the whole check of one text found. `text`: the design file it is about; `files`: those of the command."""

    text: str
    verdict: Verdict
    heading: str
    sentence: str
    doubts: tuple[str, ...]
    rows: tuple[dict[str, str], ...]
    digest: str
    files: Mapping[str, bytes]


def checked_of(result: Result, text: str) -> Checked:
    """The answer as the page shows it, with every file that the command `check` would write."""
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.views.export.bundle import output_files

    rows = []
    for label, (case, margin) in result.governing().items():
        factor = why_words(margin) if margin.factor is None else factor_words(margin.factor, margin.required)
        rows.append(
            {
                "check": label,
                "factor": factor,
                "required": required_words(margin.required),
                "outcome": outcome_words(margin.meets),
                "case": case.title,
                "case_id": case.id,
            }
        )
    return Checked(
        text=text,
        verdict=result.verdict,
        heading=VERDICT_WORDS[result.verdict],
        sentence=deciding_line(result),
        doubts=tuple(doubt_sentences(result.doubts)),
        rows=tuple(rows),
        digest=design_sha256(result.design),
        files=output_files(result),
    )


def run_check(text: str, cache: Path | None, progress: Progress) -> Checked:
    """Exactly what the command `check` does with a file that holds this text; errors as there."""
    from shellcheck_earth.geometry.reading import parse_design
    from shellcheck_earth.safety.check import check

    result = check(parse_design(text), progress=progress, cache=cache)
    progress("writing the report", 1, 1)
    return checked_of(result, text)


def _work(pipe: Connection, text: str, cache: Path | None) -> None:
    leave_interrupts()

    def told(what: str, done: int, of: int) -> None:
        pipe.send(("progress", (what, done, of)))

    try:
        pipe.send(("checked", run_check(text, cache, told)))
    except Exception as error:  # whatever it was, the page waits for an answer
        with suppress(OSError):
            pipe.send(("failed", fault_words(error)))


Told = Callable[[str, Any], None]
"""Called with "progress", "checked", "failed" or "cancelled" and what goes with it, in another thread."""


class Whole:
    """One check under way; it says "cancelled" when it was ended before it had an answer."""

    def __init__(self, text: str, cache: Path | None, told: Told) -> None:
        context = multiprocessing.get_context("spawn")
        self._here, there = context.Pipe(duplex=False)
        self._told = told
        self._cancelled = False
        self._process = context.Process(target=_work, args=(there, text, cache))
        self._process.start()
        there.close()
        threading.Thread(target=self._listen, daemon=True, name="whole check").start()

    def _listen(self) -> None:
        ended: tuple[str, Any] = ("failed", "the process of the check ended without an answer")
        try:
            while True:
                kind, value = self._here.recv()
                if kind != "progress":
                    ended = (kind, value)
                    break
                self._told(kind, value)
        except (EOFError, OSError):
            pass
        self._here.close()
        self._process.join(timeout=5)
        self._told(*(("cancelled", "") if self._cancelled and ended[0] == "failed" else ended))

    def cancel(self) -> None:
        """End it, and every process that it started."""
        self._cancelled = True
        if self._process.pid is None or not self._process.is_alive():
            return
        if hasattr(os, "killpg"):
            # It leads its own group once it has started; before that only itself can be ended.
            with suppress(ProcessLookupError, PermissionError):
                if os.getpgid(self._process.pid) == self._process.pid:
                    os.killpg(self._process.pid, signal.SIGKILL)
        self._process.kill()
