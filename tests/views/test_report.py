"""The report: verdict, caution and numbers are in it as words; a user's words stay words; same bytes."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache

import pytest
from pypdf import PdfReader
from samples import redesigned

from shellcheck_earth.basics.errors import OutputError
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.render.pdf import document_pdf
from shellcheck_earth.views.render.terminal import summary_lines
from shellcheck_earth.views.report.document import report_document
from shellcheck_earth.views.report.layout import Column, Document, picture, table
from shellcheck_earth.views.report.margin_pages import margin_rows
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, rule_of_thumb
from shellcheck_earth.views.text.working import printed_workings


@pytest.fixture(scope="module")
def report(whole: Result) -> bytes:
    return document_pdf(report_document(whole))


def _flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@cache
def _pages(pdf: bytes) -> tuple[str, ...]:
    return tuple(_flat(page.extract_text()) for page in PdfReader(io.BytesIO(pdf)).pages)


def test_first_page_has_the_verdict_its_reason_and_both_cautions(whole: Result, report: bytes) -> None:
    first = _pages(report)[0]
    for words in (VERDICT_WORDS[whole.verdict], deciding_line(whole), *map(caution_sentence, whole.cautions[:2])):
        assert _flat(words) in first


def test_every_caution_case_and_assumption_is_in_the_report(whole: Result, report: bytes) -> None:
    text = " ".join(_pages(report))
    for words in (
        *map(caution_sentence, whole.cautions),
        rule_of_thumb(whole.design),
        *(line.result for working in printed_workings(whole.workings) for line in working.lines),
    ):
        assert _flat(words) in text
    for case in whole.cases:
        if not case.building:
            assert case.title in text
    for assumption in whole.assumptions:
        assert assumption.path in text.replace(" ", "") or assumption.path in text


def test_build_sheet_holds_every_compass_setting(whole: Result, report: bytes) -> None:
    text = " ".join(_pages(report))
    for course in whole.dome.courses:
        assert f"{1000 * course.compass:.0f}" in text


def test_the_word_safe_promises_nothing(whole: Result, report: bytes) -> None:
    text = " ".join(_pages(report)).lower() + " ".join(summary_lines(whole, None)).lower()
    assert not re.search(r"\b(un)?safe(ly|ty(?! factor))?\b", text)


def test_archival_and_accessible(report: bytes) -> None:
    reader = PdfReader(io.BytesIO(report))
    metadata = reader.xmp_metadata
    assert metadata is not None
    raw = metadata.stream.get_data() if hasattr(metadata, "stream") else report
    assert b"pdfaid" in raw and b"pdfuaid" in raw
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/Lang"].startswith("en")


def test_same_bytes_twice(whole: Result, report: bytes) -> None:
    assert document_pdf(report_document(whole)) == report


def test_words_of_a_user_stay_words(hostile: Result, hostile_name: str) -> None:
    pdf = document_pdf(report_document(hostile))
    assert PdfReader(io.BytesIO(pdf)).metadata.title == f"{hostile_name}: will it stand?"  # type: ignore[union-attr]
    assert hostile_name.replace(" ", "") in _pages(pdf)[0].replace(" ", "")


def test_letter_paper_for_feet_and_inches(whole: Result) -> None:
    feet = report_document(redesigned(whole, unit_system="imperial"))
    width = float(PdfReader(io.BytesIO(document_pdf(feet))).pages[0].mediabox.width)
    assert width == pytest.approx(8.5 * 72, abs=0.5)


def test_a_report_that_cannot_be_set_is_one_message() -> None:
    broken = Document("t", "f", (picture("gone.svg", "nothing"),), {})
    with pytest.raises(OutputError, match="could not be set"):
        document_pdf(broken)


def test_a_row_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(ValueError, match="cells"):
        table([Column("a"), Column("b")], [["1"]])


def test_terminal_fits_one_screen_and_says_the_same(whole: Result) -> None:
    lines = summary_lines(whole, None)
    text = _flat(" ".join(lines))
    assert 20 <= len(lines) <= 40
    assert max(map(len, lines)) <= 90  # the table may run a little over; words are wrapped at 80
    for words in (deciding_line(whole), caution_sentence(whole.cautions[0]), VERDICT_WORDS[whole.verdict].upper()):
        assert _flat(words) in text


@pytest.mark.parametrize("columns", [60, 79, 80, 132])
def test_no_line_is_wider_than_the_screen(whole: Result, columns: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    lines = summary_lines(whole, None)
    assert max(map(len, lines)) <= columns
    assert ("strength" in next(line for line in lines if line.startswith("  case"))) == (columns >= 80)


def test_margins_are_printed_in_the_units_of_the_user(whole: Result) -> None:
    rows = {row[0]: row for row in margin_rows(whole.case("finished-dry").margins, "imperial")}
    assert rows["strength"][2] == "72.5 psi"  # 500 kPa / 6.8948
    assert margin_rows(whole.case("finished-dry").margins)[2][2] == "500 kPa"
    large = replace(whole.case("finished-dry").margins[2], available=15200.0)
    assert margin_rows((large,))[0][2] == "15200 kPa"
