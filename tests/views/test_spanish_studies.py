"""The studies in Spanish: no sentence of their pages, figures and screens is left in English, no words of a figure
cross, and what programs read is the same in every language.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from layouts import assert_words_lie_free, smallest_on_a_phone
from samples import classroom
from spanish import SAME_IN_BOTH, Listening, left_in_english, listening, said_in, words_of

from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.studies.explain.lesson import Teaching, teach
from shellcheck_earth.studies.survey.matters import HOWS, CourseMatters, Moved
from shellcheck_earth.views.cli.explain import explain_lines
from shellcheck_earth.views.export.explain import explain_files
from shellcheck_earth.views.figures.explain.animation import LENGTH, animated, collapse_svg
from shellcheck_earth.views.pages.explain import teaching_document
from shellcheck_earth.views.report.layout import Document, Print
from shellcheck_earth.views.text.explain.course import course_sentences, most_felt_lines
from shellcheck_earth.views.text.language import REVIEW, speaking, spoken, words

REPORTS = Path(__file__).parents[2] / "reports"
STORE, CLASSROOM = (REPORTS / name / "design.toml" for name in ("tool-store", "garden-classroom"))


def assert_spanish(heard: object, said: Iterable[str], not_ours: Iterable[str]) -> None:
    """Nothing was asked for that the catalogue does not have, nothing said in English; and a native reader is asked
    for.
    """
    said = list(said)
    assert isinstance(heard, Listening) and not heard.missed - SAME_IN_BOTH
    assert not left_in_english(said, not_ours)
    assert any(words("es")(REVIEW) in text for text in said)


def assert_figures_lie_free(document: Document, drawn: tuple[str, ...]) -> None:
    """Of the pictures that this program sets itself, no words cross; charts leave room for their own."""
    found = [name for name in document.pictures if name.startswith(drawn)]
    assert found
    for name in found:
        assert_words_lie_free(document.pictures[name])


def changed(english: dict[str, bytes], spanish: dict[str, bytes]) -> set[str]:
    """The files that are not the same in both languages."""
    assert set(english) == set(spanish) and spoken().language == "en"
    return {name for name in english if english[name] != spanish[name]}


@pytest.fixture(scope="module")
def told() -> Teaching:
    return teach(classroom())


def test_what_explain_says_is_spanish(told: Teaching) -> None:
    with speaking(listening()) as heard:
        document = teaching_document(told)
        film = collapse_svg(told.design, animated(told.ways))
        screen = " ".join([*explain_lines(told, None), *explain_lines(told, Path("out"))])
    assert document.language == "es"
    assert_spanish(heard, [*said_in(document), *words_of(film), screen], [told.design.name])


def test_no_words_of_a_figure_of_explain_cross(told: Teaching) -> None:
    with speaking(words("es")):
        document = teaching_document(told)
        film = [collapse_svg(told.design, animated(told.ways), at=second) for second in (0.0, LENGTH / 2, LENGTH - 1)]
    assert_figures_lie_free(document, ("section", "steps", "mechanism", "shapes"))
    for frame in film:
        seen = re.sub(r'<g opacity="0">.*?</g>', "", frame, flags=re.DOTALL)
        assert_words_lie_free(seen)
        assert smallest_on_a_phone(seen) >= 8.0


def test_explain_writes_the_same_data_in_every_language(told: Teaching) -> None:
    english, spanish = (explain_files(told, Print(language=language)) for language in ("en", "es"))
    assert changed(english, spanish) == {"explain.pdf", "collapse.svg"}


def matters() -> Iterator[CourseMatters]:
    """A course with made-up numbers, one with nothing to say, and one that may not be moved."""
    least = WorstMargin("bed friction", 1.2, 1.5, "finished-dry", 7)
    moved = tuple(Moved(how, 0.01, least) for how in HOWS)
    yield CourseMatters(7, 1.5, 0.012, least, (least,), least, moved)
    yield CourseMatters(8, 1.5, -0.012, least, (), None, tuple(Moved(how, 0.01, None) for how in HOWS))
    yield CourseMatters(9, 1.5, None, least, (), None, moved)


def test_why_a_course_matters_is_said_in_spanish() -> None:
    with speaking(listening()) as heard:
        found = list(matters())
        said = [text for one in found for whole in (True, False) for text in course_sentences(one, "metric", whole)]
        said += most_felt_lines(found, "metric")
    assert_spanish(heard, [*said, words("es")(REVIEW)], [])
