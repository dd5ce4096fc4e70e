"""The studies in Spanish: no sentence of their pages, figures and screens is left in English, no words of a figure
cross, and what programs read is the same in every language.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from layouts import assert_words_lie_free, smallest_on_a_phone
from samples import classroom
from spanish import (
    assert_spanish,
    changed,
    left_in_english,
    listening,
    said_in,
    strings,
    words_of,
    written_in_both,
)

from shellcheck_earth.design.file import read_document
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.studies.choice import Choice, Largest, Pair
from shellcheck_earth.studies.choose import choose as find_changes
from shellcheck_earth.studies.compare import Comparison, compare
from shellcheck_earth.studies.explain.lesson import Teaching, teach
from shellcheck_earth.studies.remedies import remedies
from shellcheck_earth.studies.survey.matters import HOWS, CourseMatters, Moved
from shellcheck_earth.views.cli.explain import explain_lines
from shellcheck_earth.views.export.explain import explain_files
from shellcheck_earth.views.figures.explain.animation import LENGTH, animated, collapse_svg
from shellcheck_earth.views.pages.choose import choice_document, choice_lines
from shellcheck_earth.views.pages.compare import MARKS, comparison_document, comparison_lines
from shellcheck_earth.views.pages.explain import teaching_document
from shellcheck_earth.views.report.layout import Document, Print
from shellcheck_earth.views.text.choose import NAMES
from shellcheck_earth.views.text.explain.course import course_sentences, most_felt_lines
from shellcheck_earth.views.text.language import REVIEW, speaking, words
from shellcheck_earth.views.text.refusals import refusal_words

REPORTS = Path(__file__).parents[2] / "reports"
STORE, CLASSROOM = (REPORTS / name / "design.toml" for name in ("tool-store", "garden-classroom"))


def assert_figures_lie_free(document: Document, drawn: tuple[str, ...]) -> None:
    """Of the pictures that this program sets itself, no words cross; charts leave room for their own."""
    found = [name for name in document.pictures if name.startswith(drawn)]
    assert found
    for name in found:
        assert_words_lie_free(document.pictures[name])


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


@pytest.fixture(scope="module")
def compared() -> dict[str, Comparison]:
    """One key, two keys, designs side by side, and strength set aside with domes that cannot be built. Nobody stands on
    their rings, so that no blocks are asked, which would say no other sentence."""
    store, room = (
        design_from_document(set_key(read_document(file), "building.scaffold_above", "0 m"))
        for file in (STORE, CLASSROOM)
    )
    widths = "wall.filled_width=150..600:3 mm"
    return {
        "curves": compare([store], ["fill.dry_density=1200..2000:3 kg/m3"], workers=1),
        "maps": compare([room], [widths, "beds.wire_strands=0,2"], workers=1),
        "designs": compare([store, room], workers=1),
        "aside": compare([store], [widths, "dome.inside_diameter=2..12:3 m"], workers=1, strength_aside=True),
    }


def keys_of(comparison: Comparison) -> Iterator[str]:
    """Names of designs, and of the keys of their files, as they stand and as an axis or a column has them."""
    yield from (name.partition(" (")[0] for name in comparison.designs)
    for variation in comparison.variations:
        yield from (variation.path, variation.path.replace(".", ". ").replace("_", " "))
        yield from (variation.path.split(".")[-1], variation.path.split(".")[-1].replace("_", " "))


ANSWERS = {
    "meets": "cumple",
    "falls short": "no cumple",
    "cannot say": "no se puede decir",
    "not buildable": "no construible",
    "holds, strength set aside": "aguanta, resistencia apartada",
}
"""Each answer of a comparison, as a Spanish page has it."""


@pytest.mark.parametrize("kind", ["curves", "maps", "designs", "aside"])
def test_what_compare_says_is_spanish(compared: dict[str, Comparison], kind: str) -> None:
    found = compared[kind]
    with speaking(listening()) as heard:
        document = comparison_document(found)
        screen = comparison_lines(found)
    assert_spanish(heard, [*said_in(document), *screen], keys_of(found))
    assert document.language == "es"
    answers = {point.answer for point in found.points}
    assert answers <= set(ANSWERS)
    table, shown = " ".join(strings(document.blocks)), " ".join(screen)
    for answer in answers:
        assert re.search(rf"(?<!no ){ANSWERS[answer]}", table) and f"{MARKS[answer]} {ANSWERS[answer]}" in shown
    drawn = [text for svg in document.pictures.values() for text in words_of(svg)]
    if kind == "designs":  # the legend names each design with its answer; only there do answers stand in a picture
        legends = {f"{point.design}: {ANSWERS[point.answer]}" for point in found.points}
        assert legends <= set(drawn)
    else:
        assert not [text for text in drawn if text.endswith(tuple(ANSWERS.values()))]
    assert kind != "aside" or {"not buildable", "holds, strength set aside"} <= answers


def test_the_columns_of_a_spanish_screen_stand_under_their_names(compared: dict[str, Comparison]) -> None:
    with speaking(words("es")):
        head, required, *rows = comparison_lines(compared["designs"])[:4]
    end = head.index("  respuesta")
    ends = [found.end() for found in re.finditer(r"\S+(?: \S+)*", head[:end])]
    for line in (required, *rows):
        assert all(line[at - 1] != " " and line[at : at + 1] in ("", " ") for at in ends[1:])


def test_compare_writes_the_same_data_in_every_language(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    low, text = tmp_path / "store.toml", STORE.read_text(encoding="utf-8")
    assert 'scaffold_above = "4 ft"' in text  # up to 1 ft few rings are asked of blocks, and quickly
    low.write_text(text.replace('scaffold_above = "4 ft"', 'scaffold_above = "1 ft"'), encoding="utf-8")
    english, spanish = written_in_both(
        tmp_path, capsys, "compare", str(low), "--vary", "beds.wire_strands=0,2", "--workers", "1"
    )
    assert changed(english, spanish) == {"compare.pdf"}


def test_a_refusal_is_said_in_spanish_where_there_are_words_for_it() -> None:
    why = (
        "wall.course_height: expected courses that overlap: a step-in under 0.1 m, the width less the rounded edges,"
        " found course 11 steps in 0.2 m over course 10 (a wider crown opening or a wider tube would work)"
    )
    unknown = "fill: expected something that nobody has translated, found nothing of it"
    assert refusal_words(why) == why
    with speaking(words("es")):
        said = refusal_words(why)
        assert said.startswith("wall.course_height: se pide: hiladas que se solapen: un vuelo menor que 0.1 m")
        assert "la hilada 11 vuela 0.2 m" in said and not left_in_english([said], ["wall.course_height"])
        assert refusal_words(unknown) == unknown and refusal_words(f"{why}; {unknown}") == f"{why}; {unknown}"
        two = "beds.friction_wet: expected at most the dry friction 0.3, found 0.4; "
        two += "beds.friction_no_wire: expected at most the friction with wire 0.3, found 0.42"
        said = refusal_words(two)
        assert said.count("se encontró") == 2 and not left_in_english(
            [said], ["beds.friction_wet", "beds.friction_no_wire"]
        )


@pytest.fixture(scope="module")
def choices() -> list[Choice]:
    """Every answer there can be to every change: made up, for the search takes minutes."""
    design = design_from_document(set_key(read_document(CLASSROOM), "building.scaffold_above", "0 m"))
    real = find_changes(design, changes=["more wire", "stabilised fill"], pairs=False, largest=False)
    amounts = {"smaller diameter": 2.0, "pivot farther out": 0.5, "wider crown opening": 0.6, "wider tube": 0.5}
    amounts |= {"stabilised fill": 1.0, "tested fill": 1.0, "drier fill": 0.05, "more wire": 1.0, "slower pace": 1.0}
    known = {remedy.name for remedy in remedies(real.design)}
    doubt = Doubt("its range overturns", "fill.strength_dry", "1 MPa", "0.5 MPa")
    base = replace(real.singles[0], curve=((1.0, 0.5), (2.0, 1.2)), least=None, doubt=None, cost=real.cost)
    variants = []
    for name in NAMES:
        amount = amounts[name]
        enough = replace(base, name=name, least=amount, amount=amount, best=amount)
        if name in known:
            variants.append(enough)
        doubtful = replace(enough, least=None, doubt=doubt)
        part = replace(enough, least=None)
        none = replace(enough, least=None, best=None, amount=None)
        variants += [doubtful, part, none]
    pair = Pair(("wider tube", "more wire"), (0.5, 3.0), 0.4, real.cost)
    largest = Largest(3.0, 4.0, 8.0, capped=True)
    full = replace(real, singles=tuple(variants), pairs=(pair,), largest=largest, sought=(True, True), block_model=True)
    met = tuple(replace(margin, factor=99.0) for margin in real.now.margins)
    return [
        real,
        full,
        replace(full, singles=tuple(one for one in variants if one.least is None), pairs=(), doubts=(doubt,)),
        replace(full, largest=None),
        replace(full, largest=replace(largest, all_up_to=None)),
        replace(full, now=replace(real.now, verdict="meets", margins=met)),
        replace(full, now=replace(real.now, verdict="cannot say", margins=met, doubts=(doubt,))),
    ]


def test_what_choose_says_is_spanish(choices: list[Choice]) -> None:
    with speaking(listening()) as heard:
        said: list[str] = []
        for choice in choices:
            said += said_in(choice_document(choice))
            # lines of a design file are pasted as they are, under a comment
            said += [line for line in choice_lines(choice) if not re.match(r" {4}[\[\w]", line)]
    assert_spanish(heard, said, [choices[0].design.name])


def test_choose_writes_the_same_data_in_every_language(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    english, spanish = written_in_both(
        tmp_path,
        capsys,
        "choose",
        str(CLASSROOM),
        "--change",
        "more wire",
        "--no-pairs",
        "--no-largest",
        "--workers",
        "1",
    )
    assert changed(english, spanish) == {"choose.pdf"}
