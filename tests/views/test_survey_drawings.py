"""The pages of a survey: a picture on each where it leaves room, never a page more, letters of ten points."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from layouts import assert_words_lie_free, boxes
from pypdf import PdfReader
from survey_sheets import sheet

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.studies.survey.sheet import read_sheet, sheet_survey
from shellcheck_earth.studies.survey.survey import Deviation, SurveyAnswer, survey_answer
from shellcheck_earth.views.figures.letters import LEAST_SIZE
from shellcheck_earth.views.figures.strokes import CLAY
from shellcheck_earth.views.figures.survey import WIDTH, off_curve_drawing, wall_drawing
from shellcheck_earth.views.pages.survey import TEXT_WIDTH, survey_document
from shellcheck_earth.views.render.pdf import document_pdf, room_left
from shellcheck_earth.views.report.layout import Document, heading, page_break, paragraph, picture
from shellcheck_earth.views.text.language import Language, words

ORCHARD = Path(__file__).parents[2] / "reports" / "orchard-dome"


@cache
def orchard(day: int) -> SurveyAnswer:
    planned = read_design(ORCHARD / "plan.toml")
    return survey_answer(planned, read_sheet(ORCHARD / f"day-{day}.csv", build_dome(planned)))


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("day", [2, 4, 6, 7])
def test_every_page_of_a_survey_has_its_picture_and_there_are_two(day: int, language: Language) -> None:
    document = survey_document(orchard(day), words(language))
    assert set(document.pictures) == {"wall.svg", "off-curve.svg"}
    for svg in document.pictures.values():
        assert_words_lie_free(svg)
    pages = PdfReader(io.BytesIO(document_pdf(document))).pages
    assert len(pages) == 2
    assert all(left > 0.0 for left in room_left(document))


def test_the_wall_says_what_stands_and_what_to_set_next() -> None:
    """On day 6 course 16 comes down and is laid again: the picture stands up to 15 and its compass goes to 16."""
    svg = survey_document(orchard(6), words("en")).pictures["wall.svg"]
    said = [text for text, _box in boxes(svg)]
    assert "course 15" in said and "stands up to" in said and "wetted by rain" in said
    assert any(text.startswith("centre compass 2393 mm, here to course 16") for text in said)
    stands = len(re.findall(f'<rect [^>]*fill="{CLAY}"', svg))
    assert stands == 2 * 17  # courses -1 to 15, cut on both sides
    dry = wall_drawing(orchard(6).now.dome, 16, None, {}, 150.0)
    assert dry is not None and "wetted" not in dry and "stands up to" not in dry


def test_bars_are_as_long_as_courses_stand_off() -> None:
    found = [
        Deviation(1, 0.135, 0.135, 1.8, 0.02, 0.0, 0.0),
        Deviation(2, 0.27, 0.27, 1.8, -0.01, 0.03, 0.0),
        Deviation(3, 0.405, 0.405, 1.8, 0.0, 0.0, 0.0),
    ]
    svg = off_curve_drawing(found, "metric", 90.0)
    assert svg is not None
    assert_words_lie_free(svg)
    bars = [
        (float(x), float(w)) for x, w in re.findall(rf'<rect x="([^"]+)" [^>]*?width="([^"]+)"[^>]*fill="{CLAY}"', svg)
    ]
    (_, nothing), (left, inside), (middle, outside) = bars[:3]  # top course first
    assert nothing == 0.0 and outside == pytest.approx(2 * inside, abs=0.03)
    assert left + inside == pytest.approx(middle, abs=0.02)
    said = [text for text, _box in boxes(svg)]
    assert said.index("+20 mm") > said.index("-10 mm") and "20 mm outside" in said
    feet = off_curve_drawing(found, "imperial", 90.0)
    assert feet is not None and "1 in outside" in [text for text, _box in boxes(feet)]


def test_what_has_no_room_or_was_not_measured_is_not_drawn() -> None:
    answer = orchard(7)
    assert wall_drawing(answer.now.dome, 17, None, {}, 56.0) is None
    assert off_curve_drawing(answer.deviations, "metric", 60.0) is None
    assert off_curve_drawing((), "metric", 200.0) is None
    many = replace(answer, deviations=answer.deviations * 3)
    document = survey_document(many, words("en"))
    assert "off-curve.svg" not in document.pictures


def test_letters_are_ten_points_as_they_are_printed() -> None:
    assert all(LEAST_SIZE * wide / WIDTH * 72 / 25.4 >= 10.0 for wide in TEXT_WIDTH.values())


def test_what_is_left_of_a_page_is_what_a_picture_may_take() -> None:
    """A picture as high as what is left does not begin a page; one that is higher does."""
    pages = Document("Two", "Foot", (heading("A"), paragraph("One. " * 900), page_break(), heading("B")), {})
    first, second = room_left(pages)
    assert 50.0 < first < 200.0 < second < 259.0

    def count(high: float) -> int:
        svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 174 {high}"><rect width="9" height="9"/></svg>'
        drawn = replace(
            pages, blocks=(*pages.blocks[:2], picture("a.svg", "A"), *pages.blocks[2:]), pictures={"a.svg": svg}
        )
        return len(PdfReader(io.BytesIO(document_pdf(drawn))).pages)

    assert count(first - 8.0) == 2 and count(first + 15.0) == 3


def test_a_survey_in_feet_is_drawn_in_feet() -> None:
    store = read_design(ORCHARD.parent / "tool-store" / "design.toml")
    found = sheet_survey(sheet(store, 12, height=0.97, out=0.02, aside=0.015), build_dome(store))
    document = survey_document(survey_answer(store, found, blocks=False), words("en"))
    assert document.paper == "us-letter" and len(document.pictures) == 2
    for svg in document.pictures.values():
        assert_words_lie_free(svg)
        assert not any(re.search(r"\d (mm|m)$", said) for said, _box in boxes(svg))
    assert "3 ft (0.914 m)" in document.pictures["wall.svg"]
