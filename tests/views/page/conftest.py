"""What the tests of the page have in common: one page that is served, one browser."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

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
