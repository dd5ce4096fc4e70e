"""`shellcheck-earth explain`: what holds this dome, and how it collapses."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.texts import wrapped
from shellcheck_earth.views.cli.options import OutFolder, Printing, StrengthAside, Work, printed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shellcheck_earth.design.design import Design
    from shellcheck_earth.studies.explain.lesson import Teaching
    from shellcheck_earth.studies.survey.matters import CourseMatters

__all__ = ["explain", "explain_lines"]


def explain_lines(teaching: Teaching, out: Path | None) -> list[str]:
    """The sentences of the report for the terminal, cautions first."""
    from shellcheck_earth.views.text.cautions import ENGINEER, OPENINGS, STRENGTH_ASIDE, UNSTABILISED
    from shellcheck_earth.views.text.explain.page import NO_VERDICT, NOT_SEEN
    from shellcheck_earth.views.text.explain.section import section_words, short_words
    from shellcheck_earth.views.text.explain.shape import shape_words
    from shellcheck_earth.views.text.explain.thumb import thumb_words
    from shellcheck_earth.views.text.explain.ways import title, way_words
    from shellcheck_earth.views.text.language import _, review_sentences

    texts = [
        *([_(STRENGTH_ASIDE)] if teaching.strength_aside else []),
        f"{_('Caution.')} {_(ENGINEER)}",
        _(NO_VERDICT),
        *review_sentences(),
    ]
    if teaching.design.fill.stabiliser == "none":
        texts.append(f"{_('Beyond the tests.')} {_(UNSTABILISED)}")
    if teaching.design.openings:
        texts.append(f"{_('Caution.')} {_(OPENINGS)} {_(NOT_SEEN)}")
    texts += [*section_words(teaching), *short_words(teaching)]
    texts += [f"{title(way)}. {way_words(teaching.design, way)}" for way in teaching.ways]
    texts += [" ".join(shape_words(teaching)), " ".join(thumb_words(teaching))]
    lines: list[str] = []
    for text in texts:
        lines += [*wrapped(text), ""]
    lines.append(
        _("Written to {folder}.", folder=out)
        if out is not None
        else _("Nothing was written: add --out FOLDER for the report and the moving picture.")
    )
    return lines


def explain(
    design: Path,
    *,
    readings: Path | None = None,
    course: int | None = None,
    out: OutFolder = None,
    strength_aside: StrengthAside = False,
    work: Work | None = None,
    printing: Printing | None = None,
) -> int:
    """Explain what holds this dome and how it would give way; no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    readings
        The sheet of readings (CSV) of a wall that is being built: says why its courses matter, and writes nothing.
    course
        With --readings: the course that is asked about; without it the one that is felt most.
    out
        Folder for explain.pdf, collapse.svg (a moving picture) and explain.json; until they are written, finished parts
        are kept in its explain-parts, so that interrupted work carries on. Without it nothing is written, only said.
    """
    from shellcheck_earth.basics.parallel import Crew
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.studies.explain.lesson import lesson_parts, teach
    from shellcheck_earth.views.export.explain import explain_files
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import speaking, words

    spread, how = work or Work(), printed(printing)
    crew = Crew(spread.workers, spread.cluster)
    read = read_design(design)
    if readings is not None:
        return _of_course(read, readings, course, out, how.language)
    if course is not None:
        raise InputError([Problem("--course", "--readings SHEET beside it", "none")])
    if out is not None:
        check_folder(out, "explain.pdf", "explain.json", "collapse.svg")
    leftovers = None
    with progress_bar(shown=True) as progress:
        parts = None if out is None else lesson_parts(out / "explain-parts", read, aside=strength_aside)
        teaching = teach(read, progress, crew, aside=strength_aside, parts=parts)
        if out is not None:
            progress("writing the report", 1, 1)
            leftovers = write_outputs(out, explain_files(teaching, how), design_sha256(read))
        if parts is not None:
            parts.clear()
    with speaking(words(how.language)):
        say(explain_lines(teaching, out))
        if leftovers is not None:
            say(leftovers.lines())
    return 0


def _of_course(planned: Design, readings: Path, course: int | None, out: Path | None, language: str) -> int:
    """Why a course that was read matters: said, not written."""
    from shellcheck_earth.design.write import design_document
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.studies.survey.matters import course_matters, most_felt, whole_wall
    from shellcheck_earth.studies.survey.plans import as_built
    from shellcheck_earth.studies.survey.sheet import read_sheet
    from shellcheck_earth.studies.survey.ways import corrected
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.cautions import ENGINEER
    from shellcheck_earth.views.text.explain.course import course_sentences, most_felt_lines
    from shellcheck_earth.views.text.explain.page import NO_VERDICT
    from shellcheck_earth.views.text.language import _, review_sentences, speaking, words

    if out is not None:
        raise InputError([Problem("--out", "no folder beside --readings, which writes nothing", str(out))])
    wall = as_built(design_document(planned), planned, read_sheet(readings, build_dome(planned)))
    way = corrected(wall)
    whole = way.design is not None and way.taken_down == 0
    dome, system = whole_wall(wall, way), planned.unit_system
    courses: Sequence[CourseMatters] = ()
    if course is None:
        with progress_bar(shown=True) as progress:
            courses = most_felt(wall, dome, progress)
    found = courses[0] if course is None else course_matters(wall, dome, course)
    with speaking(words(language)):
        texts = [f"{_('Caution.')} {_(ENGINEER)}", _(NO_VERDICT), *review_sentences()]
        texts += course_sentences(found, system, whole)
        ranking = ["", *most_felt_lines(courses, system)] if courses else []
        say([*(line for text in texts for line in wrapped(text)), *ranking])
    return 0
