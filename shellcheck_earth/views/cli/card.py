"""`shellcheck-earth card`: the build card, one page for the site."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem

if TYPE_CHECKING:
    from shellcheck_earth.design.design import Design
    from shellcheck_earth.views.pages.card import Card, Paper

__all__ = ["card"]

PAPERS: dict[str, Paper] = {"a4": "a4", "letter": "us-letter"}


def card(
    design: Path,
    readings: Path | None = None,
    *,
    out: Annotated[Path, Parameter(name=["--out", "-o"])],
    paper: Literal["a4", "letter"] | None = None,
    language: str = "en",
) -> int:
    """Write the build card: both chains, height and compass setting of every course, how far each may stand off, a box
    to tick. Exit code 0 says it is written; it is no verdict.

    Parameters
    ----------
    design
        The design file (TOML), as planned.
    readings
        The sheet of readings (CSV) of a wall that is being built: the card then goes on from it. Where the answer of
        `survey` is to stop, no card is written.
    out
        Where to (a name that ends in .pdf); an older card is replaced.
    paper
        Without it that of the design's units.
    language
        en or es (the Spanish is to be looked over by a native reader).
    """
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.pages.card import build_card
    from shellcheck_earth.views.text.language import words

    if out.suffix != ".pdf":
        raise InputError([Problem("--out", "a name that ends in .pdf", f"{out.name!r}")])
    _, planned = words(language), read_design(design)
    check_folder(out.parent)
    made = _of_plan(planned) if readings is None else _of_survey(planned, readings)
    size: Paper = PAPERS["letter" if planned.unit_system == "imperial" else "a4"] if paper is None else PAPERS[paper]
    write_outputs(out.parent, {out.name: build_card(made, size, _)}, design_sha256(planned))
    print(_("Wrote {file}.", file=out))
    return 0


def _of_plan(planned: Design) -> Card:
    """For the wall before its first course; tolerances are looked for from the first course to the last."""
    from shellcheck_earth.studies.survey.tolerance import of_plan
    from shellcheck_earth.views.pages.card import Card

    way, table, found = of_plan(planned)
    return Card(way.wall.planned, table, found, way.wall.number)


def _of_survey(planned: Design, readings: Path) -> Card:
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.studies.survey.sheet import read_sheet
    from shellcheck_earth.studies.survey.survey import survey_answer
    from shellcheck_earth.views.pages.survey import card_of

    found = card_of(survey_answer(planned, read_sheet(readings, build_dome(planned))))
    if found is None:
        expected = "readings after which the work may go on"
        raise InputError([Problem(str(readings), expected, "an answer to stop: ask `survey`")])
    return found
