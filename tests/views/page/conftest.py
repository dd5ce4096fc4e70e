"""What the tests of the page have in common: one page that is served, one browser."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from looking import Open, watched
from serving import CHROMIUM, CLASSROOM, Served, start, stop


@pytest.fixture(scope="session")
def served() -> Iterator[Served]:
    """The classroom, served for all tests that only look."""
    found = start(str(CLASSROOM))
    yield found
    assert stop(found) == 0


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """One browser for all tests; skipped, with the reason, where there is none."""
    if CHROMIUM is None:
        pytest.skip("no chromium on this machine: apt-get install chromium")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        found = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--enable-unsafe-swiftshader"])
        yield found
        found.close()


@pytest.fixture
def open_page(served: Served, browser: Any) -> Iterator[Open]:
    """Opens the page in a browser of its own; at the end nothing was said on the console, nothing asked of others."""
    faults: list[str] = []
    contexts = []

    def opened(before: Callable[[Any], None] | None = None, **how: Any) -> Any:
        context = browser.new_context(**({"viewport": {"width": 1280, "height": 900}} | how))
        contexts.append(context)
        return watched(context, served, faults, before)

    yield opened
    for context in contexts:
        context.close()
    assert not faults
