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
from collections.abc import Callable
from contextlib import suppress
from types import MappingProxyType
from typing import Any

__all__ = ["Second", "processors", "read_only", "serve_one", "started"]

MARK = hashlib.sha256(b"").digest_size
"""Bytes of the checksum that stands before an answer."""

LENGTH = 8
"""Bytes of the length that stands before what is told."""


def processors() -> int:
    """How many this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class Second:
    """A process that was started and is asked once."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process

    def tell(self, what: object) -> None:
        """Hand over what it can begin with before the question comes; where that fails, so will the question."""
        stream = self.process.stdin
        assert stream is not None
        with suppress(OSError, ValueError, pickle.PicklingError, TypeError, AttributeError):
            packed = _packed(what)
            stream.write(len(packed).to_bytes(LENGTH, "big") + packed)
            stream.flush()

    def ask(self, question: object) -> bool:
        """Hand the question over; False where that failed, and there will be no answer."""
        stream = self.process.stdin
        assert stream is not None
        try:
            stream.write(_packed(question))
            stream.close()
        except (OSError, ValueError, pickle.PicklingError, TypeError, AttributeError):
            return False
        return True

    def answer(self) -> Any | None:
        """Wait for the answer to what was asked; None where there is none."""
        stream = self.process.stdout
        assert stream is not None
        try:
            found = stream.read()
        except (OSError, ValueError):
            return None
        whole = found[:MARK] == hashlib.sha256(found[MARK:]).digest()
        if self.process.wait() != 0 or not whole:
            return None
        return pickle.loads(found[MARK:])

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


def serve_one(make: Callable[[Any], object], told: Callable[[Any], object] | None = None) -> None:
    """The second process: wait for the question, answer; nothing is said of a fault but that there is no answer.

    told: what is done with what is told before; where it fails, the question is answered all the same.
    """
    stream = sys.stdin.buffer
    if told is not None:
        size = int.from_bytes(stream.read(LENGTH), "big")
        if not size:
            return
        with suppress(Exception):
            told(pickle.loads(stream.read(size)))
    asked = stream.read()
    if not asked:
        return
    out = _packed(make(pickle.loads(asked)))
    sys.stdout.buffer.write(hashlib.sha256(out).digest() + out)
    sys.stdout.buffer.flush()


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
