"""The report of a check set by a second process, which loads what draws it while the first still solves.

Loading the drawing and typesetting libraries takes longer than drawing: where a second processor is there, that time
passes beside the solving. The second process is handed the finished result and hands back the bytes that
`bundle.report_pdf` makes, the same that would be made here; the data is written here meanwhile. Whatever goes wrong
with it, the report is set here.
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
    """Makes the files of a result, the report in the other process where there is one that answers."""

    def __init__(self, second: Second | None = None) -> None:
        self.second = second

    def output_files(self, assessment: Result, printed: Print | None = None) -> dict[str, bytes]:
        """Name -> content, as `bundle.output_files`."""
        second, found = self.second, None
        asked = second is not None and second.ask((assessment, printed))
        from shellcheck_earth.views.export.bundle import data_files, report_pdf

        others = data_files(assessment, printed)
        if second is not None and asked:
            found = second.answer()
        report = found if isinstance(found, bytes) else report_pdf(assessment, printed)
        return {"report.pdf": report} | others


@contextmanager
def writer_beside(design: Design) -> Iterator[Writer]:
    """A writer for the result of this design. Alone where there is one processor, and where the block model will have
    use for all of them for a minute or more.
    """
    second = started(START) if processors() > 1 and not needs_blocks(design) else None
    try:
        if second is not None:
            second.tell(design)
        yield Writer(second)
    finally:
        if second is not None:
            second.end()


def _load(design: Design) -> None:
    """What the first drawing, the first page and the build sheet would otherwise wait for."""
    from shellcheck_earth.studies.survey.tolerance import of_plan
    from shellcheck_earth.views.export import bundle as _bundle  # noqa: F401
    from shellcheck_earth.views.figures.charts import drawing
    from shellcheck_earth.views.render.pdf import load_typesetter

    load_typesetter()
    with drawing(2.0, 1.0) as (figure, write):
        figure.subplots().set_title("1")
        write()
    if design.dome.profile != "measured":
        of_plan(design)


def _report(asked: tuple[Result, Print | None]) -> bytes:
    from shellcheck_earth.views.export.bundle import report_pdf

    return report_pdf(*asked)


def serve() -> None:
    """The second process: load, wait for the result, answer."""
    serve_one(_report, told=_load)
