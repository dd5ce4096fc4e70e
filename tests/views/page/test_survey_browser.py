"""Survey mode in a real browser: a phone, the keyboard, a lost connection; the answer and the files of the command."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from looking import CONTRAST, Open, load
from serving import ROOT, STORE
from survey_sheets import sheet

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.studies.survey.sheet import read_sheet
from shellcheck_earth.views.page.survey import AskedSurvey, run_survey

ORCHARD = ROOT / "reports" / "orchard-dome"
PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "is_mobile": True, "has_touch": True}


def on_site(page: Any, design: Path = ORCHARD / "plan.toml", readings: Path | None = None) -> None:
    """Go to the sheet with a design, and with the readings of a file."""
    load(page, design)
    page.click("#mode-survey")
    name = page.inner_text("#title")
    page.wait_for_selector(f"#site-plan:has-text('{name}')")
    if readings is not None:
        page.set_input_files("#site-open", str(readings))
        page.wait_for_selector(".card.filled")


def kept(page: Any) -> None:
    page.wait_for_selector("#site-kept:has-text('Everything')")


@pytest.fixture(scope="module")
def low_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Courses three in a hundred low and an inch out: to be corrected."""
    path = tmp_path_factory.mktemp("sheets") / "low.csv"
    path.write_text(sheet(read_design(STORE), 12, height=0.97, out=0.02), encoding="utf-8")
    return path


def test_a_phone_is_answered_with_the_files_of_the_command(open_page: Open, low_store: Path, tmp_path: Path) -> None:
    page = open_page(**PHONE)
    on_site(page, STORE, low_store)
    page.click("#card-course-12 summary")
    page.fill("#cell-course-12-radius_90", "9 ft")
    page.wait_for_selector("#fault-course-12:has-text('Course 12, radius 90 deg: expected about')")
    assert page.get_attribute("#cell-course-12-radius_90", "aria-invalid") == "true"
    page.click("#site-run")
    page.wait_for_selector("#site-spoken:has-text('1 to look at')", state="attached")
    assert page.evaluate("document.activeElement.id") == "cell-course-12-radius_90"
    assert page.is_hidden("#site-answer") and page.is_enabled("#site-run")
    wanted = read_sheet(low_store, build_dome(read_design(STORE))).top.radii[1][1]
    page.fill("#cell-course-12-radius_90", f"{wanted:.9f}")
    page.wait_for_selector("#fault-course-12", state="hidden")
    asked = AskedSurvey(STORE.read_text(encoding="utf-8"), low_store.read_text(encoding="utf-8"), "en")
    with ThreadPoolExecutor(max_workers=1) as meanwhile:
        command = meanwhile.submit(run_survey, asked, None, quiet)
        page.click("#site-run")
        page.wait_for_selector("#site-answer:not([hidden])", timeout=180_000)
        answer = command.result()
    assert page.inner_text("#site-word") == "/_\\ Correct" and page.evaluate("document.activeElement.id") == "site-word"
    assert page.inner_text("#site-order") == answer.order and page.inner_text("#site-behind") == answer.behind
    assert answer.order in page.inner_text("#site-spoken")
    rows = page.locator("#site-table tbody tr")
    assert rows.count() == 5 and "5 ft 9 1/2 in" in rows.first.inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.evaluate("document.querySelector('#site-table').scrollWidth") <= 390
    names = page.locator("#site-files a").all_inner_texts()
    assert set(names) == set(answer.files) and {"survey.pdf", "build-card.pdf", "settings.csv"} <= set(names)
    for name in names:
        link = page.locator(f"#site-files a:text-is('{name}')")
        if name in ("survey.pdf", "settings.csv"):
            with page.expect_download() as waiting:
                link.click()
            waiting.value.save_as(tmp_path / name)
        else:  # a browser without a head lets only so many downloads through
            where = link.get_attribute("href")
            assert link.get_attribute("download") == name
            (tmp_path / name).write_bytes(page.request.get(page.url.partition("/#")[0] + where).body())
        assert (tmp_path / name).read_bytes() == answer.files[name], name
    page.fill("#cell-course-12-moisture", "3")
    page.wait_for_selector("#site-stale:not([hidden])")
    with page.expect_download() as waiting:
        page.click("#site-save")
    waiting.value.save_as(tmp_path / "saved.csv")
    again = read_sheet(tmp_path / "saved.csv", build_dome(read_design(STORE)))
    assert again.top.moisture == 0.03 and again.top.radii[1][1] == pytest.approx(wanted, abs=1e-9)


def test_it_is_filled_in_with_the_keyboard_alone(open_page: Open) -> None:
    page = open_page()
    load(page, ORCHARD / "plan.toml")
    page.focus("#mode-survey")
    page.keyboard.press("Enter")
    page.wait_for_selector("#card-course-1", state="attached")
    assert page.is_hidden("#figure") and page.is_hidden("#answer")
    page.focus("#card-course--1 summary")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    for row in ("-135 1801 1800 1802 1797", "0 1802 1799 1803 1800", "135 1797 1800 1799 1801"):
        for text in row.split():
            page.keyboard.type(text)
            page.keyboard.press("Enter")
        for _ in range(6):  # moisture, three places of the rod, tilt, the day: left empty
            page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "cell-course-2-top"
    kept(page)
    assert page.input_value("#cell-course-1-radius_270") == "1801"
    assert page.inner_text("#card-course-1 .read") == "top 135; 4 radii"
    page.focus("#site-run")
    page.keyboard.press("Enter")
    page.wait_for_selector("#site-cancel:focus", timeout=30_000)
    page.wait_for_selector("#site-doing:has-text('/')", timeout=30_000)
    page.keyboard.press("Enter")
    page.wait_for_selector("#site-doing:has-text('Cancelled')", timeout=30_000)
    assert page.evaluate("document.activeElement.id") == "site-run" and page.is_hidden("#site-answer")


def test_bearings_rains_and_units(open_page: Open) -> None:
    page = open_page(**PHONE)
    on_site(page, readings=ORCHARD / "day-4.csv")
    page.click("#site-bearings")
    page.fill("#site-at", "45")
    page.click("#site-add-go")
    page.click("#card-course-12 summary")
    page.fill("#cell-course-12-radius_45", "1496")
    kept(page)
    page.once("dialog", lambda dialog: dialog.dismiss())
    page.click("[aria-label='Remove radius at 45°']")
    page.wait_for_timeout(500)
    assert page.input_value("#cell-course-12-radius_45") == "1496"
    page.once("dialog", lambda dialog: dialog.accept())
    page.click("[aria-label='Remove radius at 45°']")
    page.wait_for_selector("#cell-course-12-radius_45", state="detached")
    page.select_option("#site-unit", "m")
    page.wait_for_selector("#card-course-12 .planned:has-text('top 1.620')")
    assert page.input_value("#cell-course-12-top") == "1593 mm" and page.locator("#site .fault:visible").count() == 0
    page.click("#site-add-rain")
    page.wait_for_selector("[id^=cell-rain]:focus")
    assert page.locator("#site-rains .card").count() == 2
    page.click("[aria-label='Remove Rain 2']")
    page.locator("#site-rains .card").nth(1).wait_for(state="detached")
    page.select_option("#site-language", "es")
    page.wait_for_selector("#site-run:has-text('Dar la respuesta')")
    assert page.get_attribute("#site", "lang") == "es" and "Hilada 12" in page.inner_text("#card-course-12 summary")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_nothing_is_lost_when_the_connection_drops_and_the_page_is_loaded_again(open_page: Open) -> None:
    lines: list[Any] = []
    down: list[bool] = []

    def between(route: Any) -> None:
        if down:
            route.close()
        else:
            route.connect_to_server()
            lines.append(route)

    def before(page: Any) -> None:
        page.route_web_socket(re.compile("/live"), between)

    page = open_page(before=before)
    on_site(page)
    page.click("#card-course-1 summary")
    page.fill("#cell-course-1-top", "135")
    kept(page)
    down.append(True)
    lines[-1].close()
    page.fill("#cell-course-1-radius_0", "1797")
    page.fill("#cell-course-1-radius_90", "1800")
    page.wait_for_selector("#site-kept:has-text('2 readings wait')")
    down.clear()
    kept(page)
    down.append(True)
    lines[-1].close()
    page.fill("#cell-course-1-radius_180", "1799")
    page.wait_for_selector("#site-kept:has-text('1 readings wait')")
    down.clear()
    page.reload()
    page.wait_for_selector("#card-course-1.filled")
    kept(page)
    assert [page.input_value(f"#cell-course-1-{key}") for key in ("top", "radius_0", "radius_90", "radius_180")] == [
        "135", "1797", "1800", "1799",
    ]  # fmt: skip


def test_the_sheet_is_read_out_and_readable(open_page: Open) -> None:
    page = open_page()
    on_site(page, readings=ORCHARD / "day-4.csv")
    page.click("#card-course-12 summary")
    page.fill("#cell-course-12-top", "1")
    page.wait_for_selector("#fault-course-12:not([hidden])")
    tree = page.locator("#site").aria_snapshot()
    for wanted in ('textbox "Radius at 90° (mm)"', 'button "Give the answer"', 'combobox "Language of the answer"',
                   'heading "Courses, from the top down"', 'group "Rain 1'):  # fmt: skip
        assert wanted in tree, wanted
    assert page.get_attribute("#cell-course-12-top", "aria-describedby") == "fault-course-12"
    assert page.get_attribute("#site-spoken", "aria-live") == "polite"
    nameless = page.evaluate(
        "[...document.querySelectorAll('#site input, #site select, #site button')].filter(one => "
        "!(one.labels && one.labels.length) && !one.getAttribute('aria-label') && "
        "!one.getAttribute('aria-labelledby') && !one.textContent.trim()).map(one => one.id || one.outerHTML)"
    )
    assert nameless == []
    found = page.evaluate(CONTRAST)
    assert found["looked"] > 60 and found["low"] == []


def test_a_file_that_is_no_sheet_changes_nothing(open_page: Open, tmp_path: Path) -> None:
    page = open_page()
    on_site(page, readings=ORCHARD / "day-4.csv")
    bad = tmp_path / "bad.csv"
    bad.write_text("hello\n", encoding="utf-8")
    page.set_input_files("#site-open", str(bad))
    page.wait_for_selector("#notice:has-text('bad.csv')")
    assert page.input_value("#cell-course-12-top") == "1593"
    page.go_back()
    page.wait_for_selector("#figure svg")
    assert page.is_hidden("#site")
