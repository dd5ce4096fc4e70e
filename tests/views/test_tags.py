"""Row heads of the PDF's tables: what is read aloud with a cell."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pikepdf
import pytest

from shellcheck_earth.basics.errors import OutputError
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.render.pdf import document_pdf
from shellcheck_earth.views.render.tags import with_row_heads
from shellcheck_earth.views.report.document import report_document
from shellcheck_earth.views.report.layout import Column, Document, Print, paragraph, table


@pytest.fixture(scope="module")
def report(whole: Result) -> bytes:
    return document_pdf(report_document(whole))


def rows(pdf: bytes) -> Iterator[list[Any]]:
    """The cells of every row of every table, one row after the other while the document is open."""
    with pikepdf.open(io.BytesIO(pdf)) as document:
        for one in document.objects:
            if isinstance(one, pikepdf.Dictionary) and one.get("/S") == "/TR":
                yield [cell for cell in one.K if isinstance(cell, pikepdf.Dictionary)]


def attribute(cell: Any, name: str) -> Any:
    every = list(cell.get("/A", [])) if isinstance(cell.get("/A", []), pikepdf.Array) else [cell.A]
    return next((one[name] for one in every if name in one), None)


def named(pdf: bytes) -> set[str]:
    with pikepdf.open(io.BytesIO(pdf)) as document:
        return set(pikepdf.NameTree(document.Root.StructTreeRoot.IDTree).keys())


def test_every_cell_names_the_heads_of_its_column_and_of_its_row(report: bytes) -> None:
    ids, body = named(report), 0
    for cells in rows(report):
        first = str(attribute(cells[0], "/Scope"))
        if first == "/Column":  # heads of columns, or a table of one column
            assert {str(cell.S) for cell in cells} == {"/TH"}
            continue
        body += 1
        assert str(cells[0].S) == "/TH" and first == "/Row" and str(cells[0].ID) in ids
        for cell in cells[1:]:
            heads = [str(one) for one in attribute(cell, "/Headers")]
            assert str(cell.S) == "/TD" and len(heads) == 2 and heads[1] == str(cells[0].ID) and set(heads) <= ids
    assert body > 100


def test_it_stays_an_archive_that_repeats(report: bytes, whole: Result) -> None:
    assert report == document_pdf(report_document(whole))
    with pikepdf.open(io.BytesIO(report)) as document:
        assert not document.check_pdf_syntax()
        said = bytes(document.Root.Metadata.read_bytes())
    assert b"pdfaid:part" in said and b"pdfuaid:part" in said and report.startswith(b"%PDF-1.7\n%")
    assert any(byte > 127 for byte in report[10:14])  # as PDF/A asks of the second line


def test_a_list_of_one_column_has_no_row_heads() -> None:
    columns, wide = [Column("Name", right=False)], [Column("Name", right=False), Column("Value")]
    blocks = [paragraph("Two tables."), table(columns, [["a"], ["b"]], "One"), table(wide, [["a", "1"]], "Two")]
    pdf = document_pdf(Document("Tables", "A test.", tuple(blocks), {}), Print())
    kinds = [[str(cell.S) for cell in cells] for cells in rows(pdf)]
    assert sorted(kinds) == sorted([["/TH"], ["/TD"], ["/TD"], ["/TH", "/TH"], ["/TH", "/TD"]])


def test_tables_that_are_not_there_are_refused(report: bytes) -> None:
    with pytest.raises(OutputError, match="expected 1 tables"):
        with_row_heads(report, [True])
