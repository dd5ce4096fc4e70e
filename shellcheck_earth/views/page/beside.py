"""A process beside the server for what takes longer than a drag may wait: the newest request of each asker counts."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

from shellcheck_earth.basics.errors import ShellcheckError

__all__ = ["Beside", "fault_words", "leave_interrupts"]

Answer = Callable[[Any, str], None]
"""Called with the answer, or None and why there is none."""


def leave_interrupts() -> None:
    """In a process that was started: Ctrl-C is for the one that started it, which then ends it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "setsid"):
        os.setsid()


def fault_words(error: BaseException) -> str:
    """What a browser may be told of a fault: the program's own messages, and of others only their kind."""
    return str(error) if isinstance(error, ShellcheckError) else f"a fault in this program ({type(error).__name__})"


def _serve(pipe: Connection) -> None:
    leave_interrupts()
    from shellcheck_earth.views.page.overview import overview

    while True:
        try:
            text = pipe.recv()
        except (EOFError, OSError):
            return
        answer: tuple[Any, str]
        try:
            answer = (overview(text), "")
        except Exception as error:  # whatever it was, the asker waits for an answer
            answer = (None, fault_words(error))
        with suppress(OSError):  # whoever asked may have gone meanwhile
            pipe.send(answer)


class Beside:
    """One process that answers one request at a time; a newer request of the same asker takes an older one's place."""

    def __init__(self) -> None:
        self._waiting: dict[str, tuple[str, Answer]] = {}
        self._there = threading.Condition()
        self._ended = False
        self._thread: threading.Thread | None = None

    def ask(self, asker: str, text: str, answer: Answer) -> None:
        """Look at the design in a text; `answer` is called in another thread."""
        with self._there:
            self._waiting[asker] = (text, answer)
            self._there.notify()
            if self._thread is None:  # the first drawing does not wait for the start of another process
                self._thread = threading.Thread(target=self._run, daemon=True, name="overview")
                self._thread.start()

    def forget(self, asker: str) -> None:
        """The asker no longer waits."""
        with self._there:
            self._waiting.pop(asker, None)

    def end(self) -> None:
        """End the process."""
        with self._there:
            self._ended = True
            self._there.notify()
        if self._thread is not None:
            self._thread.join(timeout=5)

    def _next(self) -> tuple[str, Answer] | None:
        with self._there:
            while not self._waiting and not self._ended:
                self._there.wait()
            if self._ended:
                return None
            return self._waiting.pop(next(iter(self._waiting)))

    def _run(self) -> None:
        context = multiprocessing.get_context("spawn")
        while True:
            here, there = context.Pipe()
            process = context.Process(target=_serve, args=(there,), daemon=True)
            process.start()
            there.close()
            try:
                while (asked := self._next()) is not None:
                    text, answer = asked
                    here.send(text)
                    answer(*here.recv())
                return
            except (EOFError, OSError):  # the process is gone: another one
                answer(None, "the process that looks at all cases ended")
            finally:
                here.close()
                process.terminate()
                process.join(timeout=2)
