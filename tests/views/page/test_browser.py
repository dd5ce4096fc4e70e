"""The page in a real browser: drag, verdict, check, cancel, files up and down, before and after."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from looking import Open, drag, load, looked, said
from serving import NARROW, STORE

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.views.export.bundle import output_files


def test_a_drag_redraws_and_changes_the_answer(open_page: Open) -> None:
    page = open_page()
    load(page, STORE)
    mark, preview, heading = said(page)
    assert (mark, preview) == ("cannot say", "yes") and "Preview" in heading
    assert "licensed structural engineer" in page.inner_text("#cautions")
    before = page.locator("#figure svg").inner_html()
    drag(page, "#beds-friction", 0.02)
    page.wait_for_selector("#answer[data-mark='falls short']")
    page.wait_for_selector("#lost:not([hidden])")
    assert page.locator("#figure svg").inner_html() != before
    assert "No thrust line crosses" in page.inner_text("#why") and "friction" in page.inner_text("#why")
    assert page.locator("#figure polygon.moves").count() > 4
    assert said(page)[1] == "yes"
    page.click("#undo")  # the whole drag is one step
    page.wait_for_selector("#answer[data-mark='cannot say']")
    page.wait_for_selector("#lost[hidden]", state="attached")
    page.click("#redo")
    page.wait_for_selector("#lost:not([hidden])")


def test_while_it_is_dragged_nothing_is_said_of_the_other_cases(open_page: Open) -> None:
    page = open_page()
    load(page, STORE)
    slider = page.locator("#wall-filled_width")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    at = box["x"] + box["width"] * 0.42
    page.mouse.move(at, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(at + 40, box["y"] + box["height"] / 2, steps=5)
    page.wait_for_selector("#rows td:has-text('looking')")
    assert said(page)[1:] == ("yes", "Preview: cannot say yet")
    page.mouse.up()
    looked(page)


def test_the_mechanism_moves_and_stays_still_where_that_is_asked_for(open_page: Open) -> None:
    for motion in ("no-preference", "reduce"):
        page = open_page(reduced_motion=motion)
        page.locator("#beds-friction").fill("0.2")
        page.wait_for_selector("#figure polygon.moves", state="attached")
        page.wait_for_timeout(300)
        first = page.locator("#figure polygon.moves").first
        places = [first.get_attribute("points")]
        page.click("#again")
        page.wait_for_timeout(500)
        places.append(first.get_attribute("points"))
        moved = places[1] != first.get_attribute("data-gone")
        assert moved == (motion == "no-preference")


def test_the_whole_check_gives_the_files_of_the_command(open_page: Open, tmp_path: Path) -> None:
    page = open_page()
    load(page, NARROW)
    with ThreadPoolExecutor(max_workers=1) as meanwhile:
        command = meanwhile.submit(lambda: output_files(check(parse_design(NARROW.read_text(encoding="utf-8")))))
        page.click("#run")
        page.wait_for_selector("#files:not([hidden])", timeout=90_000)
        wanted = command.result()
    mark, preview, heading = said(page)
    assert (mark, preview, heading) == ("falls short", "no", "Falls short of what is required")
    names = page.locator("#file-list a").all_inner_texts()
    assert set(names) == set(wanted) and {"report.pdf", "certificate.json"} <= set(names)
    for name in names:
        with page.expect_download() as waiting:
            page.click(f"#file-list a:text-is('{name}')")
        kept = tmp_path / name
        waiting.value.save_as(kept)
        assert kept.read_bytes() == wanted[name], name
    page.locator("#beds-friction").fill("0.62")  # the design is another now, and the answer a preview again
    page.wait_for_selector("#answer[data-preview='yes']")
    page.wait_for_selector("#stale:not([hidden])")
    page.click("#undo")
    page.wait_for_selector("#answer[data-preview='no']")


def test_a_check_can_be_cancelled(open_page: Open) -> None:
    page = open_page()
    page.click("#run")
    page.wait_for_selector("#doing:has-text('/')")
    assert page.is_disabled("#run")
    page.click("#cancel")
    page.wait_for_selector("#check-said:has-text('Cancelled')")
    assert page.is_enabled("#run") and page.is_hidden("#files") and said(page)[1] == "yes"


def test_a_design_goes_up_and_comes_down_with_its_comments(open_page: Open, tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text("# my own remark\n" + STORE.read_text(encoding="utf-8"), encoding="utf-8")
    page = open_page()
    load(page, mine)
    page.locator("#dome-crown_opening-number").fill("12")
    page.locator("#dome-crown_opening-number").press("Enter")
    page.wait_for_selector("#undo:enabled")
    with page.expect_download() as waiting:
        page.click("#save")
    waiting.value.save_as(tmp_path / "down.toml")
    after = (tmp_path / "down.toml").read_text(encoding="utf-8")
    assert after.startswith("# my own remark\n")
    assert parse_design(after).dome.crown_opening == pytest.approx(12 * 0.0254)  # the store is drawn in inches
    bad = tmp_path / "bad.toml"
    bad.write_text("[dome]\ninside_diameter = 'wide'\n", encoding="utf-8")
    page.set_input_files("#open", str(bad))
    page.wait_for_selector("#notice:has-text('expected a length')")
    assert page.inner_text("#file") == "mine.toml"
    page.locator("#beds-friction").fill("0.5")
    page.wait_for_selector("#notice[hidden]", state="attached")


def test_metric_and_imperial_at_a_touch(open_page: Open) -> None:
    page = open_page()
    assert page.input_value("#dome-inside_diameter-number") == "3.6"
    page.check("input[value='imperial']")
    page.wait_for_selector("#dome-inside_diameter-unit:text-is('ft')")
    assert float(page.input_value("#dome-inside_diameter-number")) == pytest.approx(3.6 / 0.3048, abs=0.01)
    page.check("input[value='metric']")
    page.wait_for_selector("#figure svg text:has-text('3985 mm')")


def test_the_building_is_followed_course_by_course_and_in_the_rain(open_page: Open) -> None:
    page = open_page()
    page.locator("#stage").fill("12")
    page.wait_for_selector("#case-drawn:has-text('courses 1 to 12 laid, crew')")
    assert page.inner_text("#stage-now") == "12 / 24" and page.is_disabled("#case")
    page.uncheck("#crew")
    page.wait_for_selector("#case-drawn:not(:has-text('crew'))")
    page.locator("#hours").fill("6")
    page.wait_for_selector("#figure svg rect[fill='url(#water)']", state="attached")
    page.locator("#hours").fill("0")
    page.locator("#stage").fill("25")
    page.wait_for_selector("#case:enabled")
    looked(page)
    page.select_option("#case", "wire-gone")
    page.wait_for_selector("#case-drawn:has-text('wire and its interlock gone')")
    page.locator("#rows .link").first.click()  # the case that decides, from the table
    page.wait_for_selector("#case-drawn:not(:has-text('wire and its interlock gone'))")


def test_before_and_after_stand_side_by_side(open_page: Open) -> None:
    page = open_page()
    page.click("#keep")
    page.wait_for_selector("#compare:not([hidden])")
    page.locator("#dome-inside_diameter").fill("5")
    page.wait_for_selector("#undo:enabled")
    before, after = (page.locator(f"#{name}-figure svg").inner_html() for name in ("before", "after"))
    assert before != after
    page.click("#back")
    page.wait_for_selector("#dome-inside_diameter-number")
    page.wait_for_timeout(300)
    assert page.input_value("#dome-inside_diameter-number") == "3.6"
    page.click("#forget")
    page.wait_for_selector("#compare[hidden]", state="attached")


def test_every_other_key_is_found_and_set(open_page: Open) -> None:
    page = open_page()
    page.click("#search")
    page.keyboard.type("edge round")
    page.wait_for_selector("#found li code:text-is('wall.edge_rounding')")
    assert "from 0 m to" in page.inner_text("#found li")
    page.locator("#found input[type=text]").fill("20 mm")
    page.click("#found button")
    page.wait_for_selector("#found .note:has-text('20 mm (stated)')")
    page.locator("#search").fill("snow")
    page.locator("#found input[type=text]").first.fill("none: no snow has lain here")
    page.locator("#found button").first.click()
    page.wait_for_selector("#undo:enabled")
    page.locator("#search").fill("zzz")
    page.wait_for_selector("#found li:has-text('No key')")
