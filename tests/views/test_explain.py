"""The teaching report, the moving picture and the command: what is in them, that they repeat, and what is refused."""

from __future__ import annotations

import io
import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest
from layouts import smallest_on_a_phone
from pypdf import PdfReader
from samples import classroom

from shellcheck_earth.__main__ import main
from shellcheck_earth.design.design import Beds, Opening
from shellcheck_earth.studies.explain.lesson import Teaching, teach
from shellcheck_earth.studies.explain.ways import ways
from shellcheck_earth.views.cli.explain import explain_lines
from shellcheck_earth.views.export.explain import explain_json
from shellcheck_earth.views.figures.explain import animation
from shellcheck_earth.views.figures.explain.animation import LENGTH, animated, collapse_svg
from shellcheck_earth.views.figures.explain.courses import corners, drawn_size, moved, moves
from shellcheck_earth.views.figures.explain.map import map_svg
from shellcheck_earth.views.figures.explain.steps import steps_svg
from shellcheck_earth.views.pages.explain import teaching_document
from shellcheck_earth.views.render.pdf import document_pdf
from shellcheck_earth.views.text.cautions import OPENINGS, UNSTABILISED
from shellcheck_earth.views.text.explain.page import NO_VERDICT
from shellcheck_earth.views.text.explain.section import section_words
from shellcheck_earth.views.text.explain.thumb import thumb_words
from shellcheck_earth.views.text.explain.ways import mechanism_words, way_words

REPORTS = Path(__file__).parents[2] / "reports"
STORE = REPORTS / "tool-store" / "design.toml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def told() -> Teaching:
    return teach(classroom(name='Dome #let $y$ <b>&"'))


def _flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def test_the_report_says_the_cautions_first_and_every_sentence(told: Teaching) -> None:
    pages = [_flat(page.extract_text()) for page in PdfReader(io.BytesIO(document_pdf(teaching_document(told)))).pages]
    assert 4 <= len(pages) <= 9
    first = pages[0]
    assert (
        first.index("licensed structural engineer")
        < first.index("gives no verdict")
        < first.index("The line inside the wall")
    )
    text = " ".join(pages)
    for words in (*section_words(told), *thumb_words(told), *(way_words(told.design, way) for way in told.ways)):
        assert _flat(words) in text
    for way in told.ways:
        assert way.case_title in text
        if way.collapse is not None:
            assert _flat(mechanism_words(way.collapse)) in text
    assert not re.search(r"\b(un)?safe(ly|ty)?\b", text.lower())


def test_no_wire_and_no_pivot_are_said_not_drawn() -> None:
    design = classroom(
        dome=replace(classroom().dome, profile="round", crown_opening=1.6),
        beds=replace(classroom().beds, wire_strands=0),
    )
    found = teach(design)
    document = teaching_document(found)
    text = json.dumps([dict(block) for block in document.blocks])
    assert "map.svg" not in document.pictures and "no fixed-compass pivot to move" in text and "0 strands" in text
    assert "Pointed, same tube" in text


def test_the_steps_show_each_number_and_the_bed_that_fails(told: Teaching) -> None:
    way = next(way for way in told.ways if way.kind == "friction")
    drawn = steps_svg(told.design, way)
    words = [text.text or "" for text in ET.fromstring(drawn).iter(f"{SVG}text")]
    assert words.count("a line is left") == 5 and f"no line: course {way.steps[-1].failing_course}" in words
    assert [f"{step.value:.3g}" for step in way.steps[:5]] == [word for word in words if re.fullmatch(r"0\.\d+", word)][
        :5
    ]


def test_a_course_is_drawn_where_its_rigid_motion_puts_it(told: Teaching) -> None:
    way = next(way for way in told.ways if way.kind == "friction without wire" and way.collapse is not None)
    assert way.collapse is not None
    found, size = way.collapse, drawn_size(way)
    assert moves(found, 0, way.collapsed[0]) and not moves(found, len(way.collapsed) - 1, way.collapsed[-1])
    for index in (0, 5):
        course = way.collapsed[index]
        for (r, z), (x, y) in zip(corners(course), moved(found, index, course, size), strict=True):
            # a turn whose top goes outward moves a point outward by theta times its height above the
            # pole, down by theta times its distance
            theta = float(found.theta[index])
            assert x - r == pytest.approx(
                size * (float(found.u[index]) + theta * (z - float(found.point_z[index]))), abs=1e-12
            )
            assert y - z == pytest.approx(
                size * (float(found.w[index]) - theta * (r - float(found.point_r[index]))), abs=1e-12
            )
    assert size * max(abs(found.theta)) <= 0.6 + 1e-12


def _at(animate: ET.Element, second: float, *, discrete: bool) -> list[float]:
    """What a player shows at a moment: the rules of SMIL, apart from the code that wrote the file."""
    assert animate.attrib["dur"] == f"{LENGTH:g}s" and animate.attrib["repeatCount"] == "indefinite"
    times = [float(t) for t in animate.attrib["keyTimes"].split(";")]
    values = [[float(n) for n in re.split(r"[ ,]", value)] for value in animate.attrib["values"].split(";")]
    assert len(times) == len(values) and times[0] == 0.0 and times == sorted(times)
    share = second / LENGTH
    last = max(k for k, t in enumerate(times) if t <= share)
    if discrete or last + 1 == len(times):
        return values[last]
    part = (share - times[last]) / (times[last + 1] - times[last])
    return [a + part * (b - a) for a, b in zip(values[last], values[last + 1], strict=True)]


@pytest.mark.parametrize("second", [0.0, 3.1, 7.4, 8.6, 9.7, 10.9, 13.5])
def test_the_moving_picture_plays_its_frames(told: Teaching, second: float) -> None:
    shown = animated(told.ways)
    playing, still = (
        ET.fromstring(collapse_svg(told.design, shown)),
        ET.fromstring(collapse_svg(told.design, shown, second)),
    )
    for played, frame in zip(playing.iter(f"{SVG}g"), still.iter(f"{SVG}g"), strict=True):
        animate = played.find(f"{SVG}animate")
        opacity = float(played.attrib["opacity"]) if animate is None else _at(animate, second, discrete=True)[0]
        assert opacity == float(frame.attrib["opacity"])
    moving, stopped = (
        [one for one in root.iter(f"{SVG}polygon") if one.get("class") != "ground"] for root in (playing, still)
    )
    pairs = list(zip(moving, stopped, strict=True))
    assert pairs
    for played, frame in pairs:
        animate = played.find(f"{SVG}animate")
        assert animate is not None
        wanted = [float(n) for n in re.split(r"[ ,]", frame.attrib["points"])]
        # places are written to 0.01 mm and times to 1e-4 of the round: together a few hundredths of a millimetre
        assert _at(animate, second, discrete=False) == pytest.approx(wanted, abs=0.05)


def test_exactly_one_dome_of_each_way_is_seen_at_any_moment(told: Teaching) -> None:
    shown = animated(told.ways)
    assert len({way.kind for way in shown}) == len(shown) == 4
    for second in (0.0, 1.8, 6.9, 7.0, 8.5, 13.99):
        seen = [
            float(g.attrib["opacity"]) for g in ET.fromstring(collapse_svg(told.design, shown, second)).iter(f"{SVG}g")
        ]
        assert sum(seen) == len(shown)


def test_the_moving_picture_needs_nothing_but_itself(told: Teaching) -> None:
    text = collapse_svg(told.design, animated(told.ways))
    assert text.startswith("<svg") and "href" not in text and "<script" not in text and "url(http" not in text
    assert text == collapse_svg(told.design, animated(told.ways))
    assert smallest_on_a_phone(text) >= 8.0
    with pytest.raises(ValueError, match="mechanism"):
        collapse_svg(told.design, [way for way in told.ways if way.collapse is None])
    assert animation.GOES < animation.RESTS < LENGTH


def test_the_map_draws_limits_hatches_and_this_dome(told: Teaching) -> None:
    assert told.map is not None
    drawn = map_svg(told.map, wired=True)
    assert drawn == map_svg(told.map, wired=True)
    for words in (
        "no line",
        "not buildable",
        "8 %",
        "10 %",
        "demand for friction, no wire",
        "geometric factor, no wire",
        "limit 0.333",
    ):
        assert words in drawn
    assert drawn.count("<pattern") >= 2


def test_the_numbers_of_the_text_are_in_the_data(told: Teaching) -> None:
    text = explain_json(told)
    data = json.loads(text)
    assert text.startswith('{\n "format"') and data["kind"] == "explanation" and data["no_verdict"] == NO_VERDICT
    assert data["section_in_words"] == list(section_words(told))
    for way, row in zip(told.ways, data["ways"], strict=True):
        assert row["in_words"] == way_words(told.design, way) and row["outcome"] == way.outcome
        if way.edge is not None:
            assert row["last_with_line"] == pytest.approx(way.edge[0], rel=1e-8)
        if way.collapse is not None:
            assert len(row["collapse"]["theta"]) == len(way.collapsed)
    assert told.map is not None and len(data["map"]["rows_by_pivot"]) == len(told.map.pivots)


def run(*tokens: object) -> int:
    with pytest.raises(SystemExit) as done:
        main([str(token) for token in tokens])
    return int(done.value.code or 0)


def test_the_command_writes_three_files_twice_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    names = {"explain.pdf", "explain.json", "collapse.svg"}
    assert run("explain", STORE, "--out", tmp_path / "a", "--workers", 1) == 0
    said = capsys.readouterr().out
    assert said.startswith("Caution.") and "gives no verdict" in said.replace("\n", " ")
    assert run("explain", STORE, "--out", tmp_path / "b", "--workers", 2) == 0
    assert {path.name for path in (tmp_path / "a").iterdir()} == names
    for name in names:
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_what_is_wrong_ends_in_2_and_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "explain.json").write_text('{"mine": 1}')
    for tokens in (
        ("nowhere.toml",),
        (STORE, "--workers", -1),
        (STORE, "--out", STORE),
        (STORE, "--out", tmp_path, "--workers", 1),
    ):
        assert run("explain", *tokens) == 2
    said = capsys.readouterr()
    assert "Traceback" not in said.err + said.out
    assert [path.name for path in tmp_path.iterdir()] == ["explain.json"] and (
        tmp_path / "explain.json"
    ).read_text() == '{"mine": 1}'


def test_the_screen_is_80_columns_wide(told: Teaching) -> None:
    lines = explain_lines(told, None)
    assert max(len(line) for line in lines) <= 90 and "Nothing was written" in lines[-1]


def test_a_dome_without_a_line_moves_once_and_as_designed() -> None:
    design = classroom(beds=Beds(0.2, 0.2, 0.0, 2, 4.2, 0.1))
    found = ways(design)
    assert {way.outcome for way in found if way.kind == "friction"} == {"rises"}
    shown = animated(found)
    assert (
        len({(way.case_id, way.collapsed_value) for way in shown if way.kind != "friction without wire"})
        == len(shown)
        == 1
    )
    text = collapse_svg(design, shown)
    assert (
        ">As designed<" in text
        and "Less friction" not in text
        and "More friction" not in text
        and "A thicker wall" not in text
    )


def test_the_screen_has_the_cautions_of_the_pages(told: Teaching) -> None:
    door = Opening("door", 0.0, 0.0, 0.8, 1.8, "round")
    said = " ".join(" ".join(explain_lines(replace(told, design=replace(told.design, openings=(door,))), None)).split())
    assert (
        f"Beyond the tests. {UNSTABILISED}" in said and f"Caution. {OPENINGS} Nothing in this report sees them." in said
    )
    assert OPENINGS not in " ".join(" ".join(explain_lines(told, None)).split())
    uncounted = replace(
        told, design=replace(told.design, beds=replace(told.design.beds, wire_strands=2, wire_counted_share=0.0))
    )
    written = json.dumps([dict(block) for block in teaching_document(uncounted).blocks])
    assert "None of the wire in its beds is counted on" in written and "2 strands of wire" not in written
