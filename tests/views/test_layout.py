"""How the pages lie: no page of a few lines only, nothing under 8 points, no words over words or over the edge."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import pytest
from layouts import assert_words_lie_free, boxes, smallest_on_a_phone
from pypdf import PdfReader
from samples import classroom, redesigned, sturdy

from shellcheck_earth.design.design import DomeShape, Opening
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Doubt, Result
from shellcheck_earth.safety.to_test import TESTS, deciding_values, first_tests
from shellcheck_earth.views.figures.letters import stacked, wrapped_to
from shellcheck_earth.views.figures.section import section_svg
from shellcheck_earth.views.figures.site_tests import DRAWN, site_test_svg
from shellcheck_earth.views.render.pdf import AUTHOR, document_pdf
from shellcheck_earth.views.report.document import report_document
from shellcheck_earth.views.report.first_page import FIRST_SECTION, LARGE_SECTION
from shellcheck_earth.views.report.layout import (
    Column,
    Document,
    Print,
    heading,
    paragraph,
    picture,
    reader,
    small,
    table,
    words_before_pictures,
)
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.report.weather_pages import site_blocks
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.language import Language, speaking, words
from shellcheck_earth.views.text.report import FOR_BUILDER, FOR_ENGINEER, FOR_RECORD, FOR_SITE
from shellcheck_earth.views.text.tests import change_sentences, how_much_was_tested
from shellcheck_earth.views.text.verdict import deciding_line

READERS = (FOR_BUILDER, FOR_SITE, FOR_ENGINEER, FOR_RECORD)


@dataclass(frozen=True)
class Piece:
    """Words as they lie on a page of a PDF: height above its lower edge and size of the letters [pt]."""

    text: str
    y: float
    size: float


@cache
def pieces(pdf: bytes) -> tuple[list[Piece], ...]:
    """Page by page, every piece of text that is not white space; read once, which takes longer than to print it."""
    out = []
    for page in PdfReader(io.BytesIO(pdf)).pages:
        found: list[Piece] = []

        def seen(text: str, cm: Any, tm: Any, _font: Any, size: Any, found: list[Piece] = found) -> None:
            if text.strip():
                a, b = float(tm[0]) * cm[0] + float(tm[1]) * cm[2], float(tm[0]) * cm[1] + float(tm[1]) * cm[3]
                y = float(tm[4]) * cm[1] + float(tm[5]) * cm[3] + cm[5]
                found.append(Piece(text.strip(), y, float(size) * math.hypot(a, b)))

        page.extract_text(visitor_text=seen)
        out.append(found)
    return tuple(out)


def used(page: list[Piece], height: float) -> float:
    """Share of the room between the margins down to the lowest words above the footer."""
    room, foot = height - 107.7, 56.0
    body = [piece.y for piece in page if piece.y > foot]
    return (height - 51.0 - min(body)) / room if body else 0.0


def begins_part(page: list[Piece], language: Language = "en") -> bool:
    """Whether the page names its reader."""
    begin = " ".join(piece.text for piece in page[:6]).upper()
    return any(words(language)(name).upper() in begin for name in READERS)


@pytest.fixture(scope="module")
def stabilised() -> Result:
    return check(classroom(unit_system="imperial"), proofs=False)


@pytest.fixture(scope="module")
def press(whole: Result, stabilised: Result) -> Callable[[str], bytes]:
    """Each report in English, printed once."""

    @cache
    def pdf(name: str) -> bytes:
        large = name == "large"
        return document_pdf(report_document(stabilised if name == "Letter" else whole, large=large), Print(large=large))

    return pdf


@pytest.fixture(scope="module", params=["A4", "Letter", "large"])
def printed(request: pytest.FixtureRequest, press: Callable[[str], bytes]) -> tuple[str, bytes, float]:
    """(name, PDF, least size of letters)."""
    return request.param, press(request.param), 12.0 if request.param == "large" else 8.0


def test_nothing_is_smaller_than_eight_points(printed: tuple[str, bytes, float]) -> None:
    _, pdf, least = printed
    small = {(piece.text, round(piece.size, 2)) for page in pieces(pdf) for piece in page if piece.size < least - 0.05}
    # subscripts and superscripts of the formulas are as mathematics sets them
    assert {one for one in small if len(one[0]) > 3} == set()


def test_no_page_holds_a_few_lines_only(printed: tuple[str, bytes, float]) -> None:
    _, pdf, _ = printed
    height = float(PdfReader(io.BytesIO(pdf)).pages[0].mediabox.height)
    pages = pieces(pdf)
    for number, page in enumerate(pages):
        if not begins_part(page):
            assert used(page, height) > 0.22, number + 1  # LEAST_TAIL, less its margin


def test_a_picture_as_large_as_a_page_leaves_none_half_empty_before_it(printed: tuple[str, bytes, float]) -> None:
    name, pdf, _ = printed
    if name != "large":
        return
    height = float(PdfReader(io.BytesIO(pdf)).pages[0].mediabox.height)
    filled = [used(page, height) for page in pieces(pdf) if begins_part(page)]
    assert min(filled) > 0.5, filled


@pytest.mark.parametrize("language", ["en", "es"])
def test_large_print_leaves_no_page_mostly_empty(
    whole: Result, press: Callable[[str], bytes], language: Language
) -> None:
    """Nor does it leave a third of a page where a drawing did not fit: but for the last page of a part."""
    if language == "en":
        pdf = press("large")
    else:
        with speaking(words(language)):
            pdf = document_pdf(report_document(whole, large=True), Print(large=True, language=language))
    height = float(PdfReader(io.BytesIO(pdf)).pages[0].mediabox.height)
    pages = pieces(pdf)
    parts = {number for number, page in enumerate(pages) if begins_part(page, language)}
    assert len(parts) == len(READERS)
    for number, page in enumerate(pages[:-1]):
        assert number + 1 in parts or used(page, height) > 0.45, number + 1


def test_in_large_print_words_come_before_the_only_picture_of_their_section() -> None:
    one, legend, said, head = picture("a.svg", ""), small("Key."), paragraph("Words."), heading("More", 2)
    rows = table([Column("A")], [["1"]])
    begin, after = heading("First"), heading("Second")
    assert words_before_pictures([begin, one, legend, said, after]) == [begin, said, one, legend, after]
    assert words_before_pictures([begin, one, head, said, rows]) == [begin, head, said, one, rows]
    assert words_before_pictures([begin, one, said, head, rows]) == [begin, said, one, head, rows]
    assert words_before_pictures([begin, one, head, rows]) == [begin, one, head, rows]
    two = [begin, one, said, one, said]
    assert words_before_pictures(two) == two
    assert words_before_pictures([begin, said, after, one, said]) == [begin, said, after, said, one]


def test_each_reader_begins_on_a_page_of_his_own(printed: tuple[str, bytes, float]) -> None:
    _, pdf, _ = printed
    first = [page[0].text.upper() for page in pieces(pdf) if begins_part(page)]
    assert [name for name in READERS if any(name.upper() in words for words in first)] == list(READERS)
    assert len(first) == len(READERS)


def test_the_builder_has_all_on_one_page(whole: Result, stabilised: Result, press: Callable[[str], bytes]) -> None:
    for found, name in ((whole, "A4"), (stabilised, "Letter")):
        pages = pieces(press(name))
        assert begins_part(pages[1])
        words = " ".join(piece.text for piece in pages[0]).replace(" ", "")
        for text in (caution_sentence(found.cautions[0]), "What to test first", *change_sentences(found)):
            assert text.replace(" ", "") in words


def test_what_is_in_doubt_is_said_once_on_the_first_page() -> None:
    """The answer names the first doubt; what to change names the others, and says so where there are none."""
    loads = tuple(Doubt("load not stated", f"site.{key}") for key in ("wind_pressure", "earthquake", "snow"))
    found = check(sturdy(), proofs=False, explore=False)
    unsaid = replace(found, doubts=(*loads, *found.doubts))
    assert unsaid.verdict == "cannot say" and len(unsaid.doubts) > 3
    above, changes = deciding_line(unsaid), change_sentences(unsaid)
    doubts = doubt_sentences(unsaid.doubts)
    assert above == doubts[0] and changes == ["First what the answer above says.", *doubts[1:3]]
    words = " ".join(piece.text for piece in pieces(document_pdf(report_document(unsaid)))[0]).replace(" ", "")
    assert words.count(above.replace(" ", "")) == 1
    alone = replace(unsaid, doubts=unsaid.doubts[:1])
    assert change_sentences(alone) == ["What the answer above says; nothing else stands before a verdict."]
    other = replace(unsaid, doubts=(Doubt("not established", "Finished", "why"), *unsaid.doubts[1:]))
    assert deciding_line(other) == doubts[1] and len(change_sentences(other)) == 3


def test_pages_for_the_site_are_set_in_ten_points(whole: Result) -> None:
    on_site = [one for one in whole.cautions if one.key in ("rain", "building")]
    blocks = (reader(FOR_SITE, least=10.0), *site_blocks(whole, on_site, ()))
    pdf = document_pdf(Document("Site", "Footer", blocks, {}))
    assert min(piece.size for page in pieces(pdf) for piece in page) >= 9.95


def test_a_caution_stands_once(whole: Result, printed: tuple[str, bytes, float]) -> None:
    name, pdf, _ = printed
    if name != "A4":
        return
    words = "".join(piece.text for page in pieces(pdf) for piece in page).replace(" ", "")
    for one in whole.cautions:
        assert words.count(caution_sentence(one).replace(" ", "")) == 1


def test_paper_is_chosen_apart_from_units_and_the_program_is_the_author(whole: Result) -> None:
    short = Document("A title", "Footer", (heading("A"), paragraph("b")), {}, subject="What it is about")
    for paper, width in (("a4", 595.28), ("us-letter", 612.0)):
        reader_of = PdfReader(io.BytesIO(document_pdf(short, Print(paper))))  # type: ignore[arg-type]
        assert float(reader_of.pages[0].mediabox.width) == pytest.approx(width, abs=0.5)
        assert reader_of.metadata is not None
        assert reader_of.metadata.author == AUTHOR
        assert reader_of.metadata.subject == "What it is about"
    assert report_document(whole, "us-letter").paper == "us-letter"
    turned = PdfReader(io.BytesIO(document_pdf(short, Print("a4", large=True)))).pages[0].mediabox
    assert float(turned.width) == pytest.approx(841.89, abs=0.5)


DOOR = Opening("door", 0.0, 0.0, 0.9, 2.0, "round")
WINDOW = Opening("window", math.radians(95), 1.0, 0.5, 0.5, "pointed")
SHAPES = (
    DomeShape(2.0, "pointed", 0.385, 0.30, 0.0, 0.15, 0.0),
    DomeShape(6.0, "pointed", 0.385, 0.30, 0.675, 0.15, 0.0),
    DomeShape(3.0, "round", 0.0, 0.30, 0.0, 0.0, 0.0),
)
"""Small, wide with its springing above the floor, and round."""


@pytest.fixture(scope="module")
def drawn(whole: Result) -> list[Result]:
    more = [check(classroom(dome=shape), proofs=False, explore=False) for shape in SHAPES]
    return [
        whole,
        redesigned(whole, openings=(DOOR, WINDOW)),
        redesigned(whole, unit_system="imperial"),
        redesigned(whole, unit_system="imperial", openings=(DOOR, WINDOW)),
        *more,
        redesigned(more[1], unit_system="imperial"),
    ]


@pytest.mark.parametrize("tallest", [24.0, 29.0, 44.0, 76.0])
def test_no_words_of_a_section_cross(drawn: list[Result], tallest: float) -> None:
    assert tallest in (*FIRST_SECTION.values(), LARGE_SECTION, 76.0)
    for found in drawn:
        assert_words_lie_free(
            section_svg(found, tallest=tallest, first_by_hand=min(20, found.dome.top_number - 2), wetted={3: 0.05})
        )


def test_a_section_can_be_read_on_a_phone(drawn: list[Result]) -> None:
    """Eight pixels and more where it is 390 wide, nothing crossed, and all that the wide one says."""
    for found in drawn:
        by_hand = min(20, found.dome.top_number - 2)
        narrow = section_svg(found, phone=True, first_by_hand=by_hand, wetted={3: 0.05})
        wide = section_svg(found, first_by_hand=by_hand, wetted={3: 0.05})
        assert_words_lie_free(narrow)
        assert smallest_on_a_phone(narrow) >= 8.0 > smallest_on_a_phone(wide)
        said = [" ".join(words for words, _ in boxes(one)).split() for one in (wide, narrow)]
        assert sorted(said[0]) == sorted(said[1])


@pytest.mark.parametrize("test", list(DRAWN))
def test_no_words_of_a_site_test_cross(test: Any) -> None:
    assert_words_lie_free(site_test_svg(test))


def test_words_over_words_and_over_the_edge_are_found() -> None:
    head = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 40 20">'
    word = '<text x="{}" y="10" font-size="3">window</text>'
    assert_words_lie_free(f"{head}{word.format(2)}{word.format(20)}</svg>")
    for places in ((2, 6), (2, 34)):
        with pytest.raises(AssertionError):
            assert_words_lie_free(f"{head}{''.join(map(word.format, places))}</svg>")


def test_no_drawing_relies_on_the_order_of_painting(whole: Result) -> None:
    svg = section_svg(redesigned(whole, openings=(DOOR, WINDOW)))
    assert "paint-order" not in svg
    assert svg.index(">window</text>") > svg.rindex('fill="#efe6d8"')  # after the last course


def test_columns_that_never_change_are_told_once() -> None:
    columns = [Column("Course"), Column("Wire"), Column("Reserve"), Column("Note")]
    rows = [[str(n), "0", f"{n / 3:.2f}", "-"] for n in range(4)]
    said, shown = told_once(columns, rows)
    assert said["text"] == "The same in every row, and left out of the table: Wire: 0."
    assert [column["title"] for column in shown["columns"]] == ["Course", "Reserve"]
    assert [row[1] for row in shown["rows"]] == [row[2] for row in rows]
    assert len(told_once(columns, rows[:2])) == 1  # two rows are no pattern
    zeros = told_once(columns[:2], [[str(n), "0"] for n in range(5)])
    assert [block["kind"] for block in zeros] == ["paragraph"]


def test_columns_of_words_keep_their_order_and_do_not_meet() -> None:
    tops = stacked([(10.0, 5.0), (11.0, 5.0), (40.0, 5.0)], 0.0, 42.0)
    assert tops == [10.0, 15.0, 37.0]
    assert wrapped_to("a thrust line of the dome", 12.0, 3.0) == ["a thrust", "line of", "the", "dome"]


def test_what_decides_is_counted_and_the_untested_come_first(whole: Result) -> None:
    values = deciding_values(whole)
    paths = [one.path for one in values]
    assert len(paths) == len(set(paths)) and {"fill.dry_density", "fill.placing_moisture"} <= set(paths)
    for one in values:
        assert one.tested == (whole.design.basis(one.path) == "measured")
    first = first_tests(values)
    assert 0 < len(first) <= 2 and len({one.test for one in first}) == len(first)
    assert all(not one.tested and TESTS[one.path] == one.test for one in first)
    assert first[0] == next(one for one in values if not one.tested and one.test)
    done = sum(one.tested for one in values)
    said = how_much_was_tested(values, first)
    assert said.startswith(f"{done or 'None'} of the {len(values)} values")


def test_a_tested_design_is_asked_for_nothing_more(whole: Result) -> None:
    bases = dict.fromkeys([*whole.design.bases, *TESTS, "site.ground_friction", "site.ground_bearing",
                           "site.ground_friction_wet", "site.ground_bearing_wet"], "measured")  # fmt: skip
    tested = redesigned(whole, bases=bases)
    values = deciding_values(tested)
    assert first_tests(values) == ()
    assert how_much_was_tested(values, ()).startswith(f"All {len(values)} values")
