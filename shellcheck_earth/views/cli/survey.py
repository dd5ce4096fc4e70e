"""`shellcheck-earth survey`: a dome that is being built, as it was found."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.views.cli.options import OutFolder

if TYPE_CHECKING:
    from shellcheck_earth.studies.survey.answer import Answer
    from shellcheck_earth.studies.survey.beside import Checker

__all__ = ["survey"]

EXIT_CODES: dict[Answer, int] = {"go on": 0, "cover first": 1, "correct": 1, "stop": 1, "cannot say": 2}


def survey(
    design: Path,
    readings: Path | None = None,
    *,
    out: OutFolder = None,
    starter: Path | None = None,
    blocks: Annotated[
        bool, Parameter(help="Ask the block model, where openings or loads from one side need it.")
    ] = True,
    language: str = "en",
    json: bool = False,
) -> int:
    """May the crew go on? Readings of the courses laid and of the rain, held against the design.

    Exit codes: 0 go on; 1 cover first, correct, or stop; 2 cannot say, or the input was refused; 3 could not run.

    Parameters
    ----------
    design
        The design file (TOML), as planned.
    readings
        The sheet of readings (CSV); --starter writes it.
    out
        Folder for survey.pdf, build-card.pdf, settings.csv, survey.json, and each assessment's design file with its
        certificate, for `recheck`. Without it nothing is written, only _.
    starter
        Write the sheet to fill in, with the planned values beside; an existing file is never overwritten.
    language
        en or es (the Spanish is to be looked over by a native reader).
    json
        Print the answer as JSON instead.
    """
    if starter is not None:
        return _write_starter(design, starter, language)
    if readings is None:
        expected = "a sheet of readings (CSV), or --starter FILE"
        raise InputError([Problem("READINGS", expected, "neither")])
    from shellcheck_earth.studies.survey.beside import checker_beside

    with checker_beside() as checker:  # which loads while this process does
        return _answer(design, readings, out, language, checker, blocks=blocks, json=json)


def _answer(
    design: Path,
    readings: Path,
    out: Path | None,
    language: str,
    checker: Checker,
    *,
    blocks: bool,
    json: bool,
) -> int:
    """Say and write the answer; the exit code."""
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.studies.survey.sheet import read_sheet
    from shellcheck_earth.studies.survey.survey import survey_answer
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.pages.survey import answer_lines, behind_lines, survey_files, survey_json
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import words

    _, planned = words(language), read_design(design)
    if out is not None:
        check_folder(out, "survey.pdf", "survey.json", "settings.csv")
    with progress_bar(shown=not json) as progress:
        answer = survey_answer(
            planned,
            read_sheet(readings, build_dome(planned)),
            blocks=blocks,
            progress=progress,
            checker=checker,
            answered=lambda known: None if json else say(answer_lines(known, _)),
        )
    say([survey_json(answer).rstrip()] if json else behind_lines(answer, _))
    if out is not None:
        from shellcheck_earth.design.digest import design_sha256

        files = survey_files(answer, _)
        leftovers = write_outputs(out, files, design_sha256(planned))
        if not json:
            written = _("Written to {folder}:", folder=out)
            say(["", f"{written} {', '.join(files)}", *leftovers.lines()])
    return EXIT_CODES[answer.decision.answer]


def _write_starter(design: Path, starter: Path, language: str) -> int:
    from datetime import date

    from shellcheck_earth.design.starter import write_new_file
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.views.pages.survey_sheet import survey_starter
    from shellcheck_earth.views.text.language import words

    write_new_file(starter, survey_starter(build_dome(read_design(design)), date.today(), words(language)))
    _, command = words(language), f"shellcheck-earth survey {design} {starter} --out OUT"
    print(_("Wrote {file}. Fill it in, then run: {command}", file=starter, command=command))
    return 0
