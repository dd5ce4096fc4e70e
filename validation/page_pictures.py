"""The pictures of the live page that README shows: the classroom on a screen, and on a phone with too little friction.

python validation/page_pictures.py           # needs the extra `test` and Debian's chromium
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from page_latency import CLASSROOM, ROOT, serve

__all__ = ["pictures"]

FOLDER = ROOT / "reports" / "page"


def pictures(folder: Path = FOLDER) -> None:
    """Write desktop.png and phone.png."""
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
            browser.close()
    finally:
        process.terminate()
        process.wait()


if __name__ == "__main__":
    pictures()
    sys.exit(0)
