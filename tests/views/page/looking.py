"""How the tests look at the page in a browser: with nothing on the console, and nothing asked of others."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from serving import Served

Open = Callable[..., Any]


def _fault(line: Any) -> bool:
    """What the page should not say; a driver without a graphics card says that it is slow."""
    return line.type in ("error", "warning") and "GL Driver Message" not in line.text


def watched(context: Any, served: Served, faults: list[str], before: Callable[[Any], None] | None = None) -> Any:
    """A page of this browser window that tells every fault, and every request that goes elsewhere; `before`: what is
    done to it before it is opened."""
    page = context.new_page()
    if before is not None:
        before(page)
    page.set_default_timeout(15_000)
    page.on("console", lambda line: faults.append(line.text) if _fault(line) else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    own = f"http://127.0.0.1:{served.port}/"
    page.on(
        "request", lambda asked: None if asked.url.startswith((own, "blob:", "data:")) else faults.append(asked.url)
    )
    page.on("websocket", lambda line: None if f"127.0.0.1:{served.port}/live" in line.url else faults.append(line.url))
    page.goto(served.address)
    page.wait_for_selector("html[data-drawn]")
    return page


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
"""Text whose contrast with what is behind it is under 4.5 to 1, of all that is looked at."""
