"""A second process that takes one question, answers it and goes: work beside work where a second processor is there.

It writes no file and decides nothing; whatever goes wrong with it, its work is done in the first process. It ends when
it has answered, when nobody asks any more, and when the first process has gone.
"""

from __future__ import annotations

import copyreg
import hashlib
import io
import os
import pickle
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from types import MappingProxyType
from typing import Any

__all__ = ["Second", "processors", "read_only", "serve_one", "started"]

MARK = hashlib.sha256(b"").digest_size
"""Bytes of the checksum that stands before an answer."""

LENGTH = 8
"""Bytes of the length that stands before what is said."""

LARGEST = 1_000_000_000
"""Bytes that are read at once; a report has some million."""

Begin = tuple[Callable[[Any], object], Callable[[Any], object]]


def processors() -> int:
    """How many this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Second:
    """A process that was started, may be told what to begin with, and is asked once."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self.begun = False

    def tell(self, what: object) -> bool:
        """Hand over what it can begin with before the question comes; `begun_with` is what that gave."""
        stream = self.process.stdin
        assert stream is not None
        with suppress(OSError, ValueError, pickle.PicklingError, TypeError, AttributeError):
            _send(stream, _packed(what))
            self.begun = True
        return self.begun

    def begun_with(self) -> Any | None:
        """Wait for what came of that which was told; None where nothing did."""
        if not self.begun:
            return None
        self.begun = False
        stream = self.process.stdout
        assert stream is not None
        try:
            return pickle.loads(_received(stream))
        except (OSError, ValueError, EOFError):
            return None

    def ask(self, question: object) -> bool:
        """Hand the question over; False where that failed, and there will be no answer."""
        stream = self.process.stdin
        assert stream is not None
        try:
            _send(stream, _packed(question))
            stream.close()
        except (OSError, ValueError, pickle.PicklingError, TypeError, AttributeError):
            return False
        return True

    def answer(self) -> Any | None:
        """Wait for the answer to what was asked; None where there is none."""
        self.begun_with()  # stands before it, whether anyone has waited for it or not
        stream = self.process.stdout
        assert stream is not None
        try:
            found = pickle.loads(_received(stream))
        except (OSError, ValueError, EOFError):
            return None
        return found if self.process.wait() == 0 else None

    def end(self) -> None:
        """End it, whatever it is doing."""
        self.process.kill()
        for stream in (self.process.stdin, self.process.stdout):
            if stream is not None:
                with suppress(OSError):
                    stream.close()
        self.process.wait()


def started(start: str) -> Second | None:
    """A new process that runs `start`, in which {path!r} stands for the path of imports; None where it cannot."""
    if not sys.executable:
        return None
    command = [sys.executable, "-c", start.format(path=[os.path.abspath(one) for one in sys.path])]
    try:
        return Second(
            subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                start_new_session=True,  # Ctrl-C is for the first process, which then ends this one
            )
        )
    except OSError:
        return None


def serve_one(make: Callable[[Any], object], begin: Begin | None = None) -> None:
    """The second process: wait for the question, answer; nothing is said of a fault but that there is no answer.

    begin: what it begins with, of which the first process is told as soon as it is there, and what is done after that
    before the question comes, whose faults do not matter.
    """
    asked, said = sys.stdin.buffer, sys.stdout.buffer
    teller = None
    if begin is not None:
        told = pickle.loads(_received(asked))
        # Whoever is told may be busy, and a pipe holds little: it is written by a thread of its own.
        teller = threading.Thread(target=_send, args=(said, _packed(begin[0](told))))
        teller.start()
        with suppress(Exception):
            begin[1](told)
    question = pickle.loads(_received(asked))
    out = _packed(make(question))
    if teller is not None:
        teller.join()
    _send(said, out)


def _send(stream: Any, what: bytes) -> None:
    """With its length and a checksum before it."""
    stream.write(len(what).to_bytes(LENGTH, "big") + hashlib.sha256(what).digest() + what)
    stream.flush()


def _received(stream: Any) -> bytes:
    """What was sent; EOFError where it ended before that, or is not as it was sent."""
    size = int.from_bytes(stream.read(LENGTH), "big")
    if not 0 < size <= LARGEST:
        raise EOFError
    seal, found = stream.read(MARK), stream.read(size)
    if seal != hashlib.sha256(found).digest():
        raise EOFError
    return bytes(found)


def _packed(what: object) -> bytes:
    """As bytes; read-only mappings are written as what they show."""
    out = io.BytesIO()
    pickler = pickle.Pickler(out, protocol=pickle.HIGHEST_PROTOCOL)
    pickler.dispatch_table = copyreg.dispatch_table | {MappingProxyType: _taken_apart}
    pickler.dump(what)
    return out.getvalue()


def _taken_apart(mapping: MappingProxyType[object, object]) -> tuple[Callable[..., Any], tuple[Any, ...]]:
    return read_only, (dict(mapping),)


def read_only(mapping: dict[object, object]) -> MappingProxyType[object, object]:
    """A read-only mapping; the type itself has no name under which another process would find it."""
    return MappingProxyType(mapping)
