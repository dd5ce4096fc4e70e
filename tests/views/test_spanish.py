"""Everything that people read of a check, in Spanish: every sentence is in the catalogue, none is left in English, no
words of a figure cross, and what programs read stays as it is.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from layouts import assert_words_lie_free, smallest_on_a_phone
from pypdf import PdfReader
from spanish import SAME_IN_BOTH, Listening, left_in_english, listening, said_in

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.blocks.jobs import joint_job, needed_jobs
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, Press
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.export.bundle import output_files
from shellcheck_earth.views.figures.section import section_svg
from shellcheck_earth.views.figures.site_tests import DRAWN, site_test_svg
from shellcheck_earth.views.render.pdf import document_pdf
from shellcheck_earth.views.render.terminal import summary_lines
from shellcheck_earth.views.report.document import report_document
from shellcheck_earth.views.report.layout import Print
from shellcheck_earth.views.text.below import said_below, said_source
from shellcheck_earth.views.text.language import REVIEW, speaking, spoken, words
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line

REPORTS = Path(__file__).parents[2] / "reports"
EXAMPLES = ("garden-classroom", "seed-bank", "slender-hall", "tool-store")


@pytest.fixture(scope="module", params=EXAMPLES)
def example(request: pytest.FixtureRequest) -> Result:
    found = check(read_design(REPORTS / request.param / "design.toml"), proofs=False, blocks=False)
    return replace(found, blocks=tuple(answers(found))) if found.model.needs_blocks else found


def answers(found: Result) -> Iterator[BlockResult]:
    """An answer with made-up numbers to every question that the block model would be asked: minutes, solved."""
    layout = cut_blocks(found.dome, 12)
    still = tuple((0.0,) * 5 + (0.001 * (index % 5),) for index in range(len(layout.blocks)))
    top, openings = found.dome.top_number, tuple(range(len(found.design.openings)))
    moves = Mechanism((12, top), (0.3, 1.2), ("sideways", "sink", "tip"), 0.4, openings[:2], ())
    alone = Mechanism((top, top), None, ("outward", "inward", "lift"), None, openings[:1], ())
    presses = tuple(Press(place, 0, 13.5) for place in ("jambs", "head", "ring above") if openings)
    table = (CutResult(12, len(layout.blocks), 1.31, fails=1.4), CutResult(24, 606, 1.34, at_least=True))
    base = BlockResult(
        "", "", "overall reserve", 1.31, 1.23, 1.17, 1.1, "solved", "", False, moves, presses, table, (), still,
        len(found.dome.courses), (), 12,
    )  # fmt: skip
    for job in needed_jobs(found.dome):
        for one in filter(None, (job, joint_job(found.design, job))):
            titles = [f"{load.title}, {job.case.title.lower()}" for load in job.loads[:2]] or [one.title]
            for title in titles:
                yield replace(base, id=one.id, title=title, criterion=one.criterion)
    yield replace(base, id="alone", title="Snow on one half", mechanism=alone, directions=((0.0, 1.3), (1.6, 1.4)))
    unsettled = replace(base, relied=None, status="cannot say", motions=(), mechanism=None, forces=(), convergence=())
    for why in ("the solver decided neither way", "nothing is held, whatever the friction"):
        yield replace(unsettled, id="not", title="Finished, service moisture, with its openings", why=why)


def not_ours(found: Result) -> Iterator[str]:
    """What the user wrote."""
    yield found.design.name
    yield from (reason for _, reason in found.design.site.none_because)


def test_no_sentence_of_the_report_or_the_screen_is_left_in_english(example: Result) -> None:
    with speaking(listening()) as heard:
        said = [*said_in(report_document(example)), " ".join(summary_lines(example, Path("out")))]
    assert isinstance(heard, Listening) and not heard.missed - SAME_IN_BOTH
    assert not left_in_english(said, not_ours(example))
    assert any(words("es")(REVIEW) in text for text in said)


def test_no_words_of_a_spanish_figure_cross(example: Result) -> None:
    with speaking(words("es")):
        pictures = report_document(example).pictures
    for name, svg in pictures.items():
        if name.startswith(("section", "test-", "three-d")):
            assert_words_lie_free(svg)
    with speaking(words("es")):
        narrow = section_svg(example, phone=True)
    assert_words_lie_free(narrow)
    assert smallest_on_a_phone(narrow) >= 8.0


@pytest.mark.parametrize("test", list(DRAWN))
def test_no_words_of_a_spanish_site_test_cross(test: Any) -> None:
    with speaking(words("es")):
        assert_words_lie_free(site_test_svg(test))


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_first_page_is_one_page_in_spanish_too(whole: Result, paper: Any) -> None:
    with speaking(words("es")):
        reader = PdfReader(io.BytesIO(document_pdf(report_document(whole, paper), Print(paper, language="es"))))
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert "PARA LA OBRA" in pages[1] and "1 de " in pages[0] and "1 of" not in pages[0]
    assert str(reader.root_object["/Lang"]) == "es"


def test_programs_read_the_same_in_every_language(whole: Result) -> None:
    english, spanish = (output_files(whole, Print(language=language)) for language in ("en", "es"))
    assert set(english) == set(spanish)
    changed = {name for name in english if english[name] != spanish[name]}
    assert changed == {"report.pdf", "section.svg", "section-phone.svg"}
    assert spoken().language == "en"  # nothing stays behind


def test_the_verdict_is_never_said_stronger() -> None:
    spanish = words("es")
    assert [spanish(VERDICT_WORDS[one]) for one in ("meets", "falls short", "cannot say")] == [
        "Cumple lo exigido",
        "No cumple lo exigido",
        "No se puede decir",
    ]
    promises = re.compile(r"\bsegur[oa]s?\b|\bgarantiza", re.IGNORECASE)
    catalogue: Any = spanish._catalogue
    assert not [text for text in catalogue._catalog.values() if isinstance(text, str) and promises.search(text)]


def test_what_lower_floors_say_is_said_piece_by_piece(whole: Result) -> None:
    assert said_below("Building, courses 1 to 12 laid, crew on the top ring").startswith("Building")
    with speaking(words("es")):
        said = said_below("Building, courses 1 to 12 laid, crew on the top ring")
        assert said == "En obra, hiladas 1 a 12 colocadas, cuadrilla sobre el anillo más alto"
        assert said_below("Wind towards 120 deg, lee -0.5, inside +0.6") == (
            "Viento hacia 120 grados, sotavento -0.5, interior +0.6"
        )
        assert said_below("something nobody translated, 3") == "something nobody translated, 3"
        assert said_source("A cautious choice of this project, always shown as assumed").startswith("Una elección")
        assert deciding_line(whole) != deciding_line.__doc__ and "Peor caso" in deciding_line(whole)


def test_a_fault_does_not_leave_another_language_behind() -> None:
    with pytest.raises(ZeroDivisionError), speaking(words("es")):
        raise ZeroDivisionError
    assert spoken().language == "en"


def test_the_command_speaks_spanish_and_refuses_what_it_does_not_know(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (REPORTS / "tool-store" / "design.toml").read_text(encoding="utf-8")
    low = text.replace('scaffold_above = "4 ft"', 'scaffold_above = "1 ft"')  # of few rings: quick to ask of blocks
    assert low != text
    (tmp_path / "store.toml").write_text(low, encoding="utf-8")
    design = str(tmp_path / "store.toml")
    assert run(["check", design, "--language", "fr"]) == 2
    assert "en or es" in capsys.readouterr().err
    run(["check", design, "--language", "es", "--out", str(tmp_path / "out")])
    said = capsys.readouterr().out
    assert "CUMPLE LO EXIGIDO" in said or "NO SE PUEDE DECIR" in said
    assert "Escrito en" in said and "MEETS" not in said
    section = (tmp_path / "out" / "section-phone.svg").read_text(encoding="utf-8")
    assert "compás central" in section
    assert '"verdict": ' in (tmp_path / "out" / "assessment.json").read_text(encoding="utf-8")
