"""The page for everybody, in a real browser: keyboard, phone, screen reader, contrast."""

from __future__ import annotations

import re

from looking import CONTRAST, Open, looked


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
