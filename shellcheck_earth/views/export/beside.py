"""The documents of a check written by a second process, which loads what draws them while the first still solves.

Loading the drawing and typesetting libraries takes longer than drawing: where a second processor is there, that time
passes beside the solving. The second process is handed the finished result and hands back the bytes that
`bundle.output_files` makes, the same that would be made here. Whatever goes wrong with it, they are made here.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from shellcheck_earth.basics.second import Second, processors, serve_one, started
from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.model import needs_blocks

if TYPE_CHECKING:  # the second process is started before the solver is loaded
    from shellcheck_earth.safety.result import Result
    from shellcheck_earth.views.report.layout import Print

__all__ = ["Writer", "serve", "writer_beside"]

START = "import sys; sys.path[:] = {path!r}; from shellcheck_earth.views.export.beside import serve; serve()"


class Writer:
    """Makes the files of a result, in the other process where there is one that answers."""

    def __init__(self, second: Second | None = None) -> None:
        self.second = second

    def output_files(self, assessment: Result, printed: Print | None = None) -> dict[str, bytes]:
        """Name -> content, as `bundle.output_files`."""
        second = self.second
        found: dict[str, bytes] | None = None
        if second is not None and second.ask((assessment, printed)):
            found = second.answer()
        if found is None:
            from shellcheck_earth.views.export.bundle import output_files

            return output_files(assessment, printed)
        return found


@contextmanager
def writer_beside(design: Design) -> Iterator[Writer]:
    """A writer for the result of this design. Alone where there is one processor, and where the block model will have
    use for all of them for a minute or more.
    """
    second = started(START) if processors() > 1 and not needs_blocks(design) else None
    try:
        yield Writer(second)
    finally:
        if second is not None:
            second.end()


def _load() -> None:
    """What the first drawing and the first page would otherwise wait for."""
    import typst as _typst  # noqa: F401
    import xlsxwriter as _xlsxwriter  # noqa: F401

    from shellcheck_earth.views.figures.charts import drawing

    with drawing(2.0, 1.0) as (figure, write):
        figure.subplots().set_title("1")
        write()


def serve() -> None:
    """The second process: load, wait for the result, answer."""
    from shellcheck_earth.views.export.bundle import output_files

    _load()
    serve_one(lambda asked: output_files(*asked))
