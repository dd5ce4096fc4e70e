"""Lesson, map and the dome in three dimensions, in a real browser."""

from __future__ import annotations

from io import BytesIO

import numpy as np
import pytest
from looking import Open, load, looked
from PIL import Image
from pypdf import PdfReader
from serving import STORE


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
