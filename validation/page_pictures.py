"""The pictures of the live page that README shows: the classroom on a screen, and on a phone with too little friction,
and a survey answered there.

python validation/page_pictures.py           # needs the extra `test` and Debian's chromium
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from typing import Any

from page_latency import CLASSROOM, ROOT, serve

__all__ = ["pictures"]

FOLDER = ROOT / "reports" / "page"
ORCHARD = ROOT / "reports" / "orchard-dome"


def pictures(folder: Path = FOLDER) -> None:
    """Write desktop.png, phone.png and survey.png."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium")
    if chromium is None:
        raise SystemExit("no chromium on this machine: apt-get install chromium")
    folder.mkdir(parents=True, exist_ok=True)
    process, address, _ = serve(CLASSROOM)
    try:
        with sync_playwright() as driver:
            browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
            page = browser.new_page(viewport={"width": 1280, "height": 1000})
            page.goto(address)
            page.wait_for_selector("#rows .link")
            page.locator("#stage").fill("18")
            page.locator("#hours").fill("6")
            page.wait_for_selector("#case-drawn:has-text('6 h of rain')")
            page.wait_for_timeout(1500)
            page.screenshot(path=folder / "desktop.png")
            page.close()
            phone = browser.new_context(
                viewport={"width": 390, "height": 844}, device_scale_factor=1.5, reduced_motion="reduce"
            ).new_page()
            phone.goto(address)
            phone.wait_for_selector("#figure svg")
            phone.locator("#beds-friction").fill("0.21")
            phone.wait_for_selector("#lost:not([hidden])")
            phone.wait_for_selector("#rows .link")
            phone.locator("#answer").scroll_into_view_if_needed()
            phone.wait_for_timeout(800)
            phone.evaluate("window.scrollTo(0, document.getElementById('answer').offsetTop - 8)")
            phone.screenshot(path=folder / "phone.png")
            _survey(phone, folder)
            browser.close()
    finally:
        process.terminate()
        process.wait()


def _survey(phone: Any, folder: Path) -> None:
    """The orchard dome on its fourth day, answered."""
    phone.set_input_files("#open", str(ORCHARD / "plan.toml"))
    phone.wait_for_selector("#file:has-text('plan.toml')")
    phone.click("#mode-survey")
    phone.set_input_files("#site-open", str(ORCHARD / "day-4.csv"))
    phone.wait_for_selector(".card.filled")
    phone.click("#site-run")
    phone.wait_for_selector("#site-answer:not([hidden])", timeout=240_000)
    phone.evaluate("window.scrollTo(0, document.getElementById('site-answer').offsetTop - 8)")
    phone.screenshot(path=folder / "survey.png")


if __name__ == "__main__":
    pictures()
    sys.exit(0)
