"""The page in a real browser: drag, verdict, check, cancel, phone, keyboard, screen reader; nothing from outside."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader
from serving import NARROW, ROOT, Served

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.views.export.bundle import output_files

STORE = ROOT / "reports" / "tool-store" / "design.toml"
Open = Callable[..., Any]


def _fault(line: Any) -> bool:
    """What the page should not say; a driver without a graphics card says that it is slow."""
    return line.type in ("error", "warning") and "GL Driver Message" not in line.text


@pytest.fixture
def open_page(served: Served, browser: Any) -> Iterator[Open]:
    """Opens the page in a browser of its own; at the end nothing was said on the console, nothing asked of others."""
    faults: list[str] = []
    contexts = []

    def opened(**how: Any) -> Any:
        context = browser.new_context(**({"viewport": {"width": 1280, "height": 900}} | how))
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.on("console", lambda line: faults.append(line.text) if _fault(line) else None)
        page.on("pageerror", lambda error: faults.append(str(error)))
        own = f"http://127.0.0.1:{served.port}/"
        page.on(
            "request", lambda asked: None if asked.url.startswith((own, "blob:", "data:")) else faults.append(asked.url)
        )
        page.on(
            "websocket", lambda line: None if f"127.0.0.1:{served.port}/live" in line.url else faults.append(line.url)
        )
        page.goto(served.address)
        page.wait_for_selector("html[data-drawn]")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not faults


def load(page: Any, file: Path) -> None:
    """Open a design file, as a user does, and wait until all its cases have been looked at."""
    page.set_input_files("#open", str(file))
    page.wait_for_selector(f"#file:has-text('{file.name}')")
    looked(page)


def looked(page: Any) -> None:
    """Wait for the answer about all cases."""
    page.wait_for_selector("#rows td .link")


def said(page: Any) -> tuple[str, str, str]:
    """(mark, preview or not, heading) of the answer."""
    box = page.locator("#answer")
    return box.get_attribute("data-mark"), box.get_attribute("data-preview"), page.inner_text("#heading")


def drag(page: Any, selector: str, share: float) -> None:
    """With the mouse, in many steps, from where the thumb is to a share of the slider's length; then let go."""
    slider = page.locator(selector)
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    now, low, high = (float(slider.evaluate(f"one => one.{name}")) for name in ("value", "min", "max"))
    thumb = 16.0
    start = box["x"] + thumb / 2 + (box["width"] - thumb) * (now - low) / (high - low)
    y = box["y"] + box["height"] / 2
    page.mouse.move(start, y)
    page.mouse.down()
    page.mouse.move(box["x"] + thumb / 2 + (box["width"] - thumb) * share, y, steps=25)
    page.mouse.up()


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


def test_it_works_by_keyboard_alone(open_page: Open) -> None:
    page = open_page()
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    reached = set()
    for _ in range(60):
        page.keyboard.press("Tab")
        name = page.evaluate("document.activeElement.id")
        reached.add(name)
        if name == "dome-inside_diameter":
            break
    assert {"open", "save", "stage", "case", "keep"} <= reached
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.wait_for_selector("#undo:enabled")
    page.wait_for_timeout(200)
    assert page.input_value("#dome-inside_diameter-number") == "3.8"
    page.keyboard.press("Control+z")
    page.wait_for_selector("#undo:disabled")
    page.locator("#run").focus()
    page.keyboard.press("Enter")
    page.wait_for_selector("#cancel:focus")
    page.keyboard.press("Enter")
    page.wait_for_selector("#check-said:has-text('Cancelled')")
    assert page.evaluate("document.activeElement.id") == "run"


def test_on_a_phone_nothing_runs_off_the_side(open_page: Open) -> None:
    page = open_page(viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True, device_scale_factor=2)
    looked(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.locator("#wall-filled_width").scroll_into_view_if_needed()
    box = page.locator("#figure").bounding_box()
    assert 0 <= box["y"] < 844  # the section stays in sight while a slider moves
    before = page.locator("#figure svg").inner_html()
    page.locator("#wall-filled_width").fill("300")
    page.wait_for_selector("#undo:enabled")
    assert page.locator("#figure svg").inner_html() != before
    small = page.evaluate(
        "[...document.querySelectorAll('button, .button, select, summary')].filter(one => one.offsetHeight && "
        "!one.classList.contains('link') && one.offsetHeight < 32).map(one => one.id)"
    )
    assert small == []


def test_a_screen_reader_is_told_everything(open_page: Open) -> None:
    page = open_page()
    looked(page)
    tree = page.locator("body").aria_snapshot()
    for wanted in (
        'heading "Garden classroom" [level=1]', 'slider "Inside diameter"', 'spinbutton "Bed friction"',
        'slider "Courses laid"',
        'combobox "Case of the finished dome"', 'button "Run the whole check"', 'radio "metric" [checked]',
        'searchbox "Find any other key of the design file"', 'rowheader "bed friction"', 'heading "Cautions"',
    ):  # fmt: skip
        assert wanted in tree, wanted
    assert re.search(r'img "Section of Garden classroom', tree)
    spoken = page.locator("#spoken")
    assert spoken.get_attribute("aria-live") == "polite" and "Preview: falls short" in spoken.inner_text()
    nameless = page.evaluate(
        "[...document.querySelectorAll('input, select, button')].filter(one => !(one.labels && one.labels.length) && "
        "!one.getAttribute('aria-label') && !one.textContent.trim()).map(one => one.id || one.outerHTML)"
    )
    assert nameless == []
    assert page.locator("#stage").get_attribute("aria-valuetext") == "finished"


def test_contrast_is_enough(open_page: Open) -> None:
    """WCAG 2.1, 1.4.3 (from memory): 4.5 to 1 for text, of every visible piece of text on its background."""
    page = open_page()
    looked(page)
    found = page.evaluate(CONTRAST)
    assert found["looked"] > 80
    assert found["low"] == []


CONTRAST = """() => {
  const numbers = (text) => text.match(/[\\d.]+/g).map(Number);
  const light = (rgb) => {
    const [r, g, b] = rgb.map((v) => v / 255).map((v) => (v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const behind = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const found = numbers(getComputedStyle(at).backgroundColor);
      if (found.length < 4 || found[3] > 0) return found.slice(0, 3);
    }
    return [255, 255, 255];
  };
  const low = [];
  let looked = 0;
  for (const one of document.querySelectorAll("body *")) {
    const own = [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (!own || !one.offsetParent || one.disabled || one.closest("svg")) continue;
    const [a, b] = [light(numbers(getComputedStyle(one).color).slice(0, 3)), light(behind(one))];
    looked += 1;
    if ((Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05) < 4.5) low.push(one.textContent);
  }
  return { low, looked };
}"""


def test_a_lesson_is_given_from_the_keyboard_and_prints_as_slides(open_page: Open) -> None:
    page = open_page()
    load(page, STORE)
    page.focus("#lesson-begin")
    page.keyboard.press("Enter")
    page.wait_for_selector("#stage-set[open]", timeout=60_000)
    count = int(page.inner_text("#slide-at").split("/")[1])
    assert count >= 6 and page.inner_text("#slide-title") == "What holds it up?"
    assert page.inner_text("#slide-answer") == ""  # the question comes first
    seen: dict[str, list[str]] = {}
    for _ in range(120):
        title = page.inner_text("#slide-title")
        seen.setdefault(title, []).append(page.inner_text("#slide-words") + "|" + page.inner_text("#slide-answer"))
        if page.get_attribute("#slide-next", "aria-disabled") == "true":
            break
        page.keyboard.press("ArrowRight")
    assert len(seen) == count
    for title, states in seen.items():
        assert states[-1].partition("|")[2], title  # each ends in its answer
    wall = [state.partition("|")[0] for state in seen["A thinner wall"]]
    assert wall[0] == "" and "15.0 in: a line is left" in wall and any("no line is left" in words for words in wall)
    page.keyboard.press("Home")
    assert page.inner_text("#slide-at").startswith("Slide 1 ")
    page.keyboard.press("Escape")
    page.wait_for_selector("#lesson-begin:focus")
    pages = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
    assert len(pages) == count
    width, height = pages[0].mediabox[2:]
    assert width > height
    assert "How much friction" in pages[2].extract_text() and "No verdict" in pages[2].extract_text()


def test_a_press_on_the_map_sets_the_design(open_page: Open) -> None:
    page = open_page()
    load(page, STORE)
    page.select_option("#map-across", "beds.wire_strands")
    page.click("#map-draw")
    page.wait_for_selector("#map-table button[aria-current]", timeout=60_000)
    cells = page.locator("#map-table button")
    assert cells.count() >= 25
    answers = {cells.nth(k).get_attribute("data-answer") for k in range(cells.count())}
    assert answers <= {"falls short", "cannot say", "not buildable"} and "falls short" in answers
    name = cells.first.get_attribute("aria-label")
    cells.first.click()
    page.wait_for_selector("#undo:enabled")
    page.wait_for_timeout(300)
    assert name.startswith("0: ") and page.input_value("#beds-wire_strands-number") == "0"
    assert f"{page.input_value('#dome-inside_diameter-number')} ft" in name


def test_the_dome_is_turned_in_three_dimensions(open_page: Open) -> None:
    page = open_page()
    looked(page)
    page.click("#three-show")
    page.wait_for_selector("#three-canvas[data-triangles], #three-said:has-text('WebGL')")
    if page.is_hidden("#three-canvas"):
        pytest.skip("this browser has no WebGL; the page says so")
    canvas = page.locator("#three-canvas")
    assert int(canvas.get_attribute("data-triangles")) > 10_000 and page.is_hidden("#three-moving")

    def shot() -> bytes:
        page.wait_for_timeout(150)
        return bytes(canvas.screenshot())

    pictures = [shot()]
    seen = np.array(Image.open(BytesIO(pictures[0])).convert("RGB")).reshape(-1, 3)
    assert len(np.unique(seen, axis=0)) > 50  # there is something to see
    canvas.focus()
    page.keyboard.press("ArrowRight")
    pictures.append(shot())
    page.keyboard.press("+")
    pictures.append(shot())
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 200)
    page.mouse.down()
    page.mouse.move(box["x"] + 320, box["y"] + 230, steps=4)
    page.mouse.up()
    pictures.append(shot())
    page.check("#three-open")
    pictures.append(shot())
    page.locator("#beds-friction").fill("0.2")  # no line is left: the mechanism, before and after
    page.wait_for_selector("#three-moving:not([hidden])")
    pictures.append(shot())
    page.locator("#three-moves").fill("0")
    pictures.append(shot())
    assert len(set(pictures)) == len(pictures)
