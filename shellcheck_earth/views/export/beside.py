"""The report of a check set by a second process, which works and loads what draws it while the first still solves.

Loading the drawing and typesetting libraries takes longer than drawing: where a second processor is there, that time
passes beside the solving. The second process is handed the design, finds what `safety.explore` asks of it, and loads;
then it is handed the result and hands back the bytes that `bundle.report_pdf` makes, the same that would be made here;
the data is written here meanwhile. Whatever goes wrong with it, its work is done here.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from shellcheck_earth.basics.second import Second, processors, serve_one, started

if TYPE_CHECKING:  # the second process is started before anything else is loaded
    from shellcheck_earth.design.design import Design
    from shellcheck_earth.safety.explore import Explored
    from shellcheck_earth.safety.result import Result
    from shellcheck_earth.views.report.layout import Print

__all__ = ["Writer", "serve", "writer_beside"]

START = "import sys; sys.path[:] = {path!r}; from shellcheck_earth.views.export.beside import serve; serve()"


class Writer:
    """Has a part of the work done by the other process where there is one that answers."""

    def __init__(self, second: Second | None = None) -> None:
        self.second = second

    def begin(self, design: Design) -> None:
        """The design that is checked. It goes on alone where the block model will have use for all processors for a
        minute or more.
        """
        from shellcheck_earth.loads.model import needs_more_than_crew

        if self.second is not None and (needs_more_than_crew(design) or not self.second.tell(design)):
            self.second.end()
            self.second = None

    def explored(self, design: Design) -> Explored:
        """As `explore.explored`."""
        from shellcheck_earth.safety import explore

        found = None if self.second is None else self.second.begun_with()
        return found if isinstance(found, explore.Explored) else explore.explored(design)

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
def writer_beside() -> Iterator[Writer]:
    """A writer for the result of one design, begun at once; alone where there is one processor."""
    writer = Writer(started(START) if processors() > 1 else None)
    try:
        yield writer
    finally:
        if writer.second is not None:
            writer.second.end()


def _explored(design: Design) -> Explored:
    from shellcheck_earth.safety.explore import explored

    return explored(design)


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
    serve_one(_report, (_explored, _load))
