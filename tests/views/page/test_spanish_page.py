"""The page in Spanish: nothing of what it says is left in English, and what programs read is the same."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from serving import CLASSROOM, NARROW, Served, fetched, socket_of, start, stop, until
from spanish import SAME_IN_BOTH, Listening, left_in_english, listening, words_of

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.views.page.controls import slider_rows
from shellcheck_earth.views.page.job import AskedText
from shellcheck_earth.views.page.lesson import lesson_slides
from shellcheck_earth.views.page.map import Asked, run_map
from shellcheck_earth.views.page.overview import overview
from shellcheck_earth.views.page.tab import Tab
from shellcheck_earth.views.page.whole import run_check
from shellcheck_earth.views.text.language import REVIEW, speaking, spoken, words
from shellcheck_earth.views.text.page.words import open_line, page_words, share_lines

KEYS = ("moisture, snow, plaster ...", "fill.strength_as_placed", "beds.friction_wet", "byte por byte")
"""Keys of the design file are English in every language."""


def strings(node: Any) -> Iterator[str]:
    if isinstance(node, str):
        yield from words_of(node) if node.startswith("<svg") else (node,)
    elif isinstance(node, dict):
        for name, part in node.items():
            yield from () if name in ("kind", "mark", "state", "path", "case_id", "name", "title") else strings(part)
    elif isinstance(node, list | tuple):
        for part in node:
            yield from strings(part)


def assert_said(heard: object, said: Any, *not_ours: str) -> None:
    assert isinstance(heard, Listening)
    assert not heard.missed - SAME_IN_BOTH - {KEYS[0]}
    left = left_in_english(strings(said), [*KEYS, *not_ours])
    assert not left, left


def test_all_fixed_words_are_there() -> None:
    with speaking(listening()) as heard:
        said = page_words()
        rows = [[one["label"], one["group_label"]] for one in slider_rows()]
        lines = [open_line("http://127.0.0.1:1/"), *share_lines("http://10.0.0.2:1/", "ABCD")]
    assert words("es")(REVIEW) in said["engineer"] and said["language"] == "es"
    assert_said(heard, [{k: v for k, v in said.items() if k != "language"}, rows, lines])
    assert page_words()["language"] == spoken().language == "en"


@pytest.mark.parametrize("path", [CLASSROOM, NARROW], ids=["stands", "does not"])
def test_a_tab_says_nothing_in_english(path: Path) -> None:
    """Drawn, changed, in the rain, short of friction, with all cases looked at and with nothing to build."""
    text = path.read_text(encoding="utf-8")
    design = parse_design(text)
    with speaking(listening()) as heard:
        tab = Tab("one", text, path.name, "es")
        said: list[Any] = tab.take([{"do": "hello", "n": 1}])
        said += tab.looked(overview(text), "", text)
        said += tab.take([{"do": "show", "n": 2, "stage": 8, "case": "", "hours": 1.0, "crew": True}])
        said += tab.take([{"do": "move", "n": 3, "path": "beds.friction", "value": 0.05}])
        said += tab.take([{"do": "set", "n": 4, "path": "beds.friction", "value": 0.2, "measured": False}])
        said.append(tab.solid())
    none = [reason for _, reason in design.site.none_because]
    assert_said(heard, said, design.name, path.name, *none)


def test_the_lesson_says_nothing_in_english() -> None:
    for path in (CLASSROOM, NARROW):
        with speaking(listening()) as heard:
            slides = lesson_slides(parse_design(path.read_text(encoding="utf-8")), quiet)
        said = [[one.title, one.question, *one.answer, *(frame.words for frame in one.frames)] for one in slides]
        drawn = [frame.svg for one in slides for frame in one.frames]
        assert_said(heard, [said, drawn], parse_design(path.read_text(encoding="utf-8")).name)
        assert words("es")(REVIEW) in slides[-1].answer


def test_the_whole_check_writes_the_same_data_and_the_report_in_spanish() -> None:
    text = NARROW.read_text(encoding="utf-8")
    english, spanish = (run_check(AskedText(text, language), None, quiet) for language in ("en", "es"))
    differ = {name for name in english.files if english.files[name] != spanish.files[name]}
    assert differ == {"report.pdf", "section.svg", "section-phone.svg"}
    assert (spanish.heading, english.heading) == ("No cumple lo exigido", "Falls short of what is required")
    assert [row["state"] for row in spanish.rows] == [row["state"] for row in english.rows]
    assert not left_in_english([spanish.sentence, *(row["check"] for row in spanish.rows)], [])


def test_the_map_names_its_checks_in_spanish() -> None:
    asked = Asked(NARROW.read_text(encoding="utf-8"), "metric", "fill.dry_density", "wall.filled_width", "es")
    cells = [cell for row in run_map(asked, None, quiet).cells for cell in row]
    assert {cell.answer for cell in cells} <= {"not buildable", "falls short", "cannot say"}  # what the page goes by
    assert not left_in_english(
        [text for cell in cells for text in (cell.check, cell.why)],
        ["wall.filled_width", "fill.placing_moisture", "fill.service_moisture"],
    )


@pytest.fixture(scope="module")
def served() -> Iterator[Served]:
    found = start(str(CLASSROOM), "--language", "es")
    yield found
    assert stop(found) == 0


def test_the_served_page_is_spanish_from_its_first_byte_on(served: Served) -> None:
    status, _, page = fetched(served, "/", Cookie=served.cookie)
    assert status == 200 and b'<html lang="es">' in page and "Hacer la comprobación completa".encode() in page
    status, _, refusal = fetched(served, "/")
    assert status == 403 and "Rechazado" in refusal.decode()
    said = json.loads(fetched(served, "/words.json", Cookie=served.cookie)[2])
    assert said["site"]["title"] == "Levantamiento en obra" and said["words"]["undo"] == "Deshacer"
    with socket_of(served) as line:
        line.send(json.dumps({"do": "hello", "n": 1}))
        assert until(line, "drawn", 1)["said"]["heading"].startswith("Vista previa")
        looked = until(line, "overview")
        assert "fricción en las juntas" in [row["check"] for row in looked["rows"]]
        assert {row["state"] for row in looked["rows"]} == {"meets", "falls short"}
        line.send(json.dumps({"do": "sheet", "n": 2, "changes": []}))
        assert until(line, "sheet", 2)["language"] == "es"
