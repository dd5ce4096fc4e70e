"""The documents of a check written by a second process, which loads what draws them while the first still solves.

Loading the drawing and typesetting libraries takes longer than drawing: where a second processor is there, that time
passes beside the solving. The second process writes no file and decides nothing: it is handed the finished result and
hands back the bytes that `bundle.output_files` makes, the same that would be made here. Whatever goes wrong with it,
they are made here. It ends when it has answered, when nobody asks any more, and when the first process has gone.
"""

from __future__ import annotations

import copyreg
import hashlib
import io
import os
import pickle
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.model import needs_blocks

if TYPE_CHECKING:  # the second process is started before the solver is loaded
    from shellcheck_earth.safety.result import Result
    from shellcheck_earth.views.report.layout import Print

__all__ = ["Writer", "read_only", "serve", "writer_beside"]

START = "import sys; sys.path[:] = {path!r}; from shellcheck_earth.views.export.beside import serve; serve()"

MARK = hashlib.sha256(b"").digest_size
"""Bytes of the checksum that stands before an answer."""


class Writer:
    """Makes the files of a result, in the other process where there is one that answers."""

    def __init__(self, process: subprocess.Popen[bytes] | None = None) -> None:
        self._process = process

    def output_files(self, assessment: Result, printed: Print | None = None) -> dict[str, bytes]:
        """Name -> content, as `bundle.output_files`."""
        found = None if self._process is None else _answered(self._process, (assessment, printed))
        if found is None:
            from shellcheck_earth.views.export.bundle import output_files

            return output_files(assessment, printed)
        return found

    def end(self) -> None:
        """End the other process, whatever it is doing."""
        if self._process is None:
            return
        self._process.kill()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with suppress(OSError):
                    stream.close()
        self._process.wait()


@contextmanager
def writer_beside(design: Design) -> Iterator[Writer]:
    """A writer for the result of this design. Alone where there is one processor, and where the block model will have
    use for all of them for a minute or more.
    """
    writer = Writer(_started() if _processors() > 1 and not needs_blocks(design) else None)
    try:
        yield writer
    finally:
        writer.end()


def _processors() -> int:
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _started() -> subprocess.Popen[bytes] | None:
    if not sys.executable:
        return None
    command = [sys.executable, "-c", START.format(path=[os.path.abspath(one) for one in sys.path])]
    try:
        return subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            start_new_session=True,  # Ctrl-C is for the first process, which then ends this one
        )
    except OSError:
        return None


def _answered(process: subprocess.Popen[bytes], asked: tuple[Result, Print | None]) -> dict[str, bytes] | None:
    try:
        answer, _ = process.communicate(_packed(asked))
    except (OSError, ValueError, pickle.PicklingError, TypeError, AttributeError):
        return None
    if process.returncode != 0 or answer[:MARK] != hashlib.sha256(answer[MARK:]).digest():
        return None
    found: dict[str, bytes] = pickle.loads(answer[MARK:])
    return found


def _packed(asked: tuple[Result, Print | None]) -> bytes:
    """What is asked as bytes; the result's read-only mappings are written as what they show."""
    out = io.BytesIO()
    pickler = pickle.Pickler(out, protocol=pickle.HIGHEST_PROTOCOL)
    pickler.dispatch_table = copyreg.dispatch_table | {MappingProxyType: _taken_apart}
    pickler.dump(asked)
    return out.getvalue()


def _taken_apart(mapping: MappingProxyType[object, object]) -> tuple[Callable[..., Any], tuple[Any, ...]]:
    return read_only, (dict(mapping),)


def read_only(mapping: dict[object, object]) -> MappingProxyType[object, object]:
    """A read-only mapping; the type itself has no name under which another process would find it."""
    return MappingProxyType(mapping)


def _load() -> None:
    """What the first drawing and the first page would otherwise wait for."""
    import typst as _typst  # noqa: F401
    import xlsxwriter as _xlsxwriter  # noqa: F401

    from shellcheck_earth.views.figures.charts import drawing

    with drawing(2.0, 1.0) as (figure, write):
        figure.subplots().set_title("1")
        write()


def serve() -> None:
    """The second process: load, wait for the result, answer; nothing is said of a fault but that there is no answer."""
    from shellcheck_earth.views.export.bundle import output_files

    _load()
    asked = sys.stdin.buffer.read()
    if not asked:
        return
    answer = pickle.dumps(output_files(*pickle.loads(asked)), protocol=pickle.HIGHEST_PROTOCOL)
    sys.stdout.buffer.write(hashlib.sha256(answer).digest() + answer)
    sys.stdout.buffer.flush()
