"""Long work in a process of its own: how far it is, its answer, and a way to end it with all that it started."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.views.page.beside import fault_words, leave_interrupts
from shellcheck_earth.views.text.language import Language

__all__ = ["AskedText", "Job", "Told", "Work"]

Work = Callable[[Any, Path | None, Progress], Any]
"""A function of a module, so that another process finds it: what is asked, the folder for kept cases, the progress."""

Told = Callable[[str, Any], None]
"""Called with "progress", "found", "failed" or "cancelled" and what goes with it, in another thread."""


def _work(pipe: Connection, work: Work, asked: Any, cache: Path | None) -> None:
    leave_interrupts()

    def told(what: str, done: int, of: int) -> None:
        pipe.send(("progress", (what, done, of)))

    try:
        pipe.send(("found", work(asked, cache, told)))
    except Exception as error:  # whatever it was, the page waits for an answer
        with suppress(OSError):
            pipe.send(("failed", fault_words(error)))


@dataclass(frozen=True)
class AskedText:
    """A design file, and the language of what is told of it."""

    text: str
    language: Language = "en"


class Job:
    """One piece of work under way; it says "cancelled" when it was ended before it had an answer."""

    def __init__(self, work: Work, asked: Any, cache: Path | None, told: Told) -> None:
        context = multiprocessing.get_context("spawn")
        self._here, there = context.Pipe(duplex=False)
        self._told = told
        self._cancelled = False
        self._process = context.Process(target=_work, args=(there, work, asked, cache))
        self._process.start()
        there.close()
        threading.Thread(target=self._listen, daemon=True, name="job").start()

    @property
    def pid(self) -> int | None:
        """Of the process."""
        return self._process.pid

    def _listen(self) -> None:
        ended: tuple[str, Any] = ("failed", "the process ended without an answer")
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
