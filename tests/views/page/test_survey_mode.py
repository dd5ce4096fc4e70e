"""Survey mode without a browser: the sheet cell by cell, faults at their place, what is hostile, guests, the answer."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from serving import ROOT
from survey_sheets import sheet

from shellcheck_earth.__main__ import main
from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.studies.survey.filled import blank, filled_of
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.views.page.messages import HostileError, read_message
from shellcheck_earth.views.page.sheet import faults_of
from shellcheck_earth.views.page.survey import AskedSurvey, run_survey
from shellcheck_earth.views.page.tab import Tab
from shellcheck_earth.views.pages.survey_sheet import sheet_csv
from shellcheck_earth.views.text.language import words

ORCHARD = ROOT / "reports" / "orchard-dome"
PLAN = (ORCHARD / "plan.toml").read_text(encoding="utf-8")
STORE = (ROOT / "reports" / "tool-store" / "design.toml").read_text(encoding="utf-8")
DAY = (ORCHARD / "day-4.csv").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(parse_design(PLAN))


def tab_with(text: str = PLAN) -> Tab:
    return Tab("one", text, "plan.toml")


def told(tab: Tab, *changes: list[Any]) -> dict[str, Any]:
    """The sheet after some changes; every message is one that the browser may send."""
    message = {"do": "sheet", "changes": list(changes), "n": 1}
    return tab.take([read_message(json.dumps(message))])[-1]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("text", [PLAN, STORE], ids=["metric", "imperial"])
def test_a_blank_sheet_is_the_starter_of_the_command(
    tmp_path: Path, text: str, language: str, capsys: pytest.CaptureFixture[str]
) -> None:
    design = tmp_path / "design.toml"
    design.write_text(text, encoding="utf-8")
    with pytest.raises(SystemExit):
        main(["survey", str(design), "--starter", str(tmp_path / "s.csv"), "--language", language])
    capsys.readouterr()
    tab = tab_with(text)
    told(tab, ["language", language], ["on", date.today().isoformat()])
    assert tab.site.csv(text).encode() == (tmp_path / "s.csv").read_bytes()


@pytest.mark.parametrize("day", [2, 4, 6, 7])
def test_a_sheet_goes_up_and_comes_down_as_the_same_readings(dome: Dome, day: int) -> None:
    text = (ORCHARD / f"day-{day}.csv").read_text(encoding="utf-8")
    for language in ("en", "es"):
        again = sheet_csv(dome, filled_of(text, dome), words(language))
        assert sheet_survey(again, dome) == sheet_survey(text, dome)


def test_what_is_typed_is_what_the_command_reads(dome: Dome) -> None:
    """Every cell of a day typed one by one, with units of its own here and there, is that day's sheet."""
    tab, wanted = tab_with(), filled_of(DAY, dome)
    changes: list[list[Any]] = [["on", wanted.on]]
    for number, row in wanted.courses.items():
        changes += [["course", number, key, text] for key, text in row.items() if text]
    changes += [["rain", "a", "rain on", "2026-05-07"], ["rain", "a", "hours", "2"], ["rain", "a", "amount", "14,0"]]
    for start in range(0, len(changes), 50):
        state = told(tab, *changes[start : start + 50])
    state = told(tab, ["course", 12, "radius 90", "1,494 m"])  # a comma, as many keyboards have it
    assert state["faults"] == []
    found = sheet_survey(tab.site.csv(PLAN), dome)
    assert found == sheet_survey(DAY, dome)
    state = told(tab, ["unit", "m"])
    assert state["faults"] == [] and state["courses"][-12]["planned"] != []
    assert tab.site.csv(PLAN).count(" mm,") > 40  # what was bare has its unit beside it
    assert sheet_survey(tab.site.csv(PLAN), dome) == found


def test_bearings_come_and_go(dome: Dome) -> None:
    tab = tab_with()
    state = told(tab, ["column", "radius", 45], ["column", "radius", 45.0], ["column", "soft depth", 4])
    keys = [one["key"] for one in state["columns"]]
    assert keys[:6] == ["top", "radius 0", "radius 45", "radius 90", "radius 180", "radius 270"]
    assert keys.count("soft depth 4") == 1
    told(tab, ["course", 1, "radius 45", "1799"])
    state = told(tab, ["no column", "radius 45"], ["no column", "radius 45"], ["no column", "top"])
    assert "radius 45" not in [one["key"] for one in state["columns"]] and state["columns"][0]["key"] == "top"
    assert (
        "radius 45" not in tab.site.csv(PLAN) and "1799" not in tab.site.csv(PLAN).split("1,135")[1].split("\n")[0][20:]
    )
    assert state["faults"]
    del dome


def test_faults_are_told_at_their_place(dome: Dome) -> None:
    tab = tab_with()
    tab.take([{"do": "readings", "name": "day.csv", "text": DAY, "n": 1}])
    state = told(
        tab,
        ["course", 12, "radius 90", "149"], ["course", 11, "top", "high"], ["course", 3, "laid on", "May"],
        ["rain", "file-1", "hours", "-2"], ["on", "soon"],
    )  # fmt: skip
    at = {(one["row"], one["column"]): one["text"] for one in state["faults"]}
    assert {
        ("course 12", "radius 90"),
        ("course 11", "top"),
        ("course 3", "laid on"),
        ("rain file-1", "hours"),
        ("on", ""),
    } <= set(at)
    assert "expected about 1.485 m" in at["course 12", "radius 90"] and at["course 12", "radius 90"].startswith(
        "Course 12, "
    )
    assert not any("line " in text for text in at.values())
    state = told(tab, ["course", 12, "radius 90", ""], ["course", 11, "top", "1463"], ["course", 3, "laid on", ""],
                 ["rain", "file-1", "hours", "2"], ["on", "2026-05-07"])  # fmt: skip
    assert state["faults"] == []
    state = told(tab, *([["course", 7, key, ""] for key in filled_of(DAY, dome).courses[7]]))
    assert "none of 7" in state["faults"][0]["text"]


def test_a_course_that_the_plan_no_longer_has_is_not_lost_in_silence() -> None:
    tab = tab_with()
    tab.take([{"do": "readings", "name": "day.csv", "text": DAY, "n": 1}])
    told(tab, ["course", 99, "top", "9000"])
    state = told(tab)
    assert any("99" in one["text"] and "a course of the plan" in one["text"] for one in state["faults"])
    assert state["courses"][-1]["number"] == 99


HOSTILE_CHANGES: list[Any] = [
    "x", None, {}, [["course"]], [["course", 1, "top"]], [["course", "1", "top", "3"]], [["course", True, "top", "3"]],
    [["course", 10**9, "top", "3"]], [["course", 1, "top", 3]], [["course", 1, "top", "3" * 61]],
    [["course", 1, "top", "3\u0000"]], [["course", 1, "top", "3\n4"]], [["course", 1, "top", "\u2028"]],
    [["course", 1, ["top"], "3"]], [["column", "radius", float("nan")]], [["column", "radius", "90"]],
    [["column", "radius", 1e9]], [["language", "fr"]], [["language", ["en"]]], [["__class__", "x"]], [[["on"], "x"]],
    [["on", "x"]] * 61, [["rain", "", "hours", "2"]], [["rain", "\u00e9", "hours", "2"]], [["on", "a", "b"]], [[]],
]  # fmt: skip


@pytest.mark.parametrize("changes", HOSTILE_CHANGES, ids=range(len(HOSTILE_CHANGES)))
@pytest.mark.parametrize("what", ["sheet", "survey"])
def test_changes_that_no_page_sends_are_refused(what: str, changes: Any) -> None:
    with pytest.raises(HostileError):
        read_message(json.dumps({"do": what, "changes": changes}))


ODD_CHANGES: list[list[Any]] = [
    ["course", 1, "top", "9" * 60], ["course", 1, "top", "1e99 m"], ["course", 1, "radius 90", "=1+1"],
    ["course", 1, "radius 90", "'; drop"], ["course", 1, "no such", "1"], ["course", 400, "top", "1"],
    ["rain", "r", "rain on", "# not a day"], ["rain", "r", "rain on", "course"], ["rain", "r", "no such", "1"],
    ["column", "radius", 400], ["column", "name", 1], ["unit", "furlong"], ["set by", "luck"], ["on", '"'],
    ["course", 1, "laid on", "survey on"], ["course", 1, "moisture", "\u0661"], ["no rain", "nobody"],
]  # fmt: skip


@pytest.mark.parametrize("change", ODD_CHANGES, ids=str)
def test_odd_readings_are_told_and_the_page_goes_on(change: list[Any]) -> None:
    tab = tab_with()
    said = tab.take([read_message(json.dumps({"do": "sheet", "changes": [change], "n": 3}))])
    assert said[-1]["kind"] == "sheet" and {one["kind"] for one in said[:-1]} <= {"refused"}
    assert all(len(one["message"].splitlines()) == 1 for one in said[:-1])
    assert tab.site.ask([], PLAN, 4)[1] is None  # nothing can be answered of it
    tab.take([{"do": "readings", "name": "day.csv", "text": DAY, "n": 5}])
    assert told(tab)["faults"] == []


@given(
    st.lists(st.tuples(st.sampled_from(["top", "radius 0", "moisture", "laid on"]), st.text(max_size=60)), max_size=4)
)
def test_no_text_in_a_cell_is_a_fault_of_the_program(cells: list[tuple[str, str]]) -> None:
    dome = build_dome(parse_design(PLAN))
    filled = blank(dome, date(2026, 5, 7))
    for key, text in cells:
        try:
            filled = filled.with_cell(2, key, text)
        except InputError as error:
            assert "the character" in str(error)
    faults = faults_of(filled, dome)
    assert faults and all(fault.text for fault in faults)


HOSTILE_SHEETS = {
    "a hundred thousand rows": "survey on,2026-05-07\ncourse,top (mm)\n" + "1,2\n" * 100_000,
    "a hundred thousand cells": "survey on,2026-05-07\ncourse" + ",1" * 100_000,
    "one endless cell": 'survey on,2026-05-07\n"' + "x" * 900_000,
    "a zero": "survey on,2026-05-07\ncourse,top (mm)\n1,\x00\n",
    "a terminal's orders": "survey on,2026-05-07\ncourse,top (mm)\n1,\x1b[2J\n",
    "no sheet": "hello",
    "nothing": "",
    "a head of its own": "survey on,2026-05-07\ncourse,wage\n1,2\n",
    "a bearing past all": "survey on,2026-05-07\ncourse,radius " + "9" * 150 + " deg (m)\n1,2\n",
    "courses past all": "survey on,2026-05-07\ncourse,top (mm)\n99999999999,2\n",
    "a way of its own": "survey on,2026-05-07\nset by,luck\ncourse,top (mm)\n1,2\n",
}


@pytest.mark.parametrize("why", HOSTILE_SHEETS)
def test_hostile_sheets_are_refused_and_the_one_before_stays(why: str, dome: Dome) -> None:
    tab = tab_with()
    tab.take([{"do": "readings", "name": "day.csv", "text": DAY, "n": 1}])
    before = tab.site.csv(PLAN)
    message = {"do": "readings", "name": "bad.csv", "text": HOSTILE_SHEETS[why], "n": 2}
    said = tab.take([read_message(json.dumps(message))])
    if why == "nothing":
        assert said[0]["kind"] == "sheet" and said[0]["faults"]
        return
    assert said[0]["kind"] == "refused" and said[0]["message"].startswith("bad.csv") and len(said[0]["message"]) < 400
    assert "\x1b" not in said[0]["message"] and tab.site.csv(PLAN) == before
    with pytest.raises(InputError):
        sheet_survey(HOSTILE_SHEETS[why], dome)  # the command refuses it as well


def test_a_sheet_past_the_limit_is_no_message() -> None:
    with pytest.raises(HostileError):
        read_message(json.dumps({"do": "readings", "name": "x", "text": "x" * 1_000_001}))
    with pytest.raises(HostileError):
        read_message(json.dumps({"do": "sheet", "changes": [["on", "x" * 60]] * 60, "pad": "x"}))


def test_the_answer_is_that_of_the_command_to_the_byte(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design = parse_design(STORE)
    readings = sheet(design, 12, height=0.97, out=0.02)
    (tmp_path / "design.toml").write_text(STORE, encoding="utf-8")
    (tmp_path / "given.csv").write_text(readings, encoding="utf-8")
    tab = tab_with(STORE)
    tab.take([{"do": "readings", "name": "given.csv", "text": readings, "n": 1}])
    state, asked = tab.site.ask([["language", "es"]], STORE, 2)
    assert state["asked"] and isinstance(asked, AskedSurvey)
    found = run_survey(asked, None, quiet)
    assert tab.site.again(STORE) == {}
    (tmp_path / "saved.csv").write_text(tab.site.csv(STORE), encoding="utf-8")
    for name in ("given", "saved"):
        command = ["survey", tmp_path / "design.toml", tmp_path / f"{name}.csv", "--out", tmp_path / name]
        with pytest.raises(SystemExit) as done:
            main([*map(str, command), "--language", "es"])
        assert done.value.code == 1
        written = {path.name: path.read_bytes() for path in (tmp_path / name).iterdir()}
        assert written == dict(found.files)
    lines = capsys.readouterr().out
    shown = tab.site.found(found, STORE)
    assert tab.site.again(STORE) == shown  # for a page that is loaded again
    assert shown["kind_of"] == "correct" and not shown["stale"] and found.answer.upper() in lines.splitlines()[0]
    for text in (shown["order"], shown["behind"], *shown["found"]):
        assert text in " ".join(lines.split())
    assert shown["settings"] and len(shown["settings"]) == 5 and "asked" not in shown
    assert tab.take([{"do": "sheet", "changes": [["course", 12, "moisture", "3 %"]], "n": 9}])[-1]["stale"]
