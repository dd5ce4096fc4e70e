"""What all tabs of one run have in common: the thread that draws, the process beside it, the folder for results."""

from __future__ import annotations

import secrets
import shutil
import tempfile
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from shellcheck_earth.basics.errors import OutputError, RunError, ShellcheckError
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.views.export.output import write_outputs
from shellcheck_earth.views.figures.outline import bare_section
from shellcheck_earth.views.page.beside import Beside
from shellcheck_earth.views.page.share import Share
from shellcheck_earth.views.text.language import Language, speaking, words

if TYPE_CHECKING:
    from shellcheck_earth.views.page.survey import Surveyed
    from shellcheck_earth.views.page.tab import Message, Tab
    from shellcheck_earth.views.page.whole import Checked

__all__ = ["MOST_JOBS", "MOST_TABS", "Engine"]

T = TypeVar("T")

MOST_TABS = 40
"""Tabs that are remembered; the oldest that nobody looks at goes first."""

MOST_JOBS = 2
"""Long works at a time."""


class Engine:
    """One for a run. `text`, `name`: the design that a new tab begins with; `out`: where results are written;
    `share`: the class that looks on, where one does; `said`: the words of all that is told."""

    def __init__(
        self, text: str, name: str, out: Path | None, share: Share | None = None, language: Language = "en"
    ) -> None:
        self.text, self.name, self.out, self.share, self.said = text, name, out, share, words(language)
        self.pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="drawing")
        self.warm = self.pool.submit(self._warm)
        self.beside = Beside()
        self.tabs: dict[str, Tab] = {}
        self.open: set[str] = set()
        self._own = None if out is not None else Path(tempfile.mkdtemp(prefix="shellcheck-earth-"))
        self._jobs = 0

    def _warm(self) -> None:
        """Load the solver, and what was compiled, while the browser still loads the page."""
        import shellcheck_earth.views.page.lesson
        import shellcheck_earth.views.page.map
        import shellcheck_earth.views.page.tab  # noqa: F401
        from shellcheck_earth.views.page.preview import Shown, preview

        with suppress(ShellcheckError):  # said where the tab itself draws it
            preview(parse_design(self.text), Shown())

    def outline(self) -> str:
        """The dome that a new tab begins with, before any force is known, as SVG: it needs no solver."""
        design = parse_design(self.text)
        return bare_section(build_dome(design), {}).svg(design.name, design.name)

    def told(self, work: Callable[..., T], *asked: Any) -> T:
        """What is done in another thread, which has to be told in which language."""
        with speaking(self.said):
            return work(*asked)

    @property
    def cache(self) -> Path:
        """Where finished cases of the block model are kept: as the command does, or for this run alone."""
        return (self.out if self._own is None and self.out is not None else self._own or Path()) / "block-cases"

    def tab(self, identity: str) -> Tab:
        """The tab of that name where nobody else has it open, as after a reload; else a new one."""
        from shellcheck_earth.views.page.tab import Tab

        found = self.tabs.get(identity)
        if found is None or identity in self.open:
            found = Tab(secrets.token_urlsafe(18), self.text, self.name, self.said.language)
            self._make_room()
            self.tabs[found.identity] = found
        self.open.add(found.identity)
        return found

    def _make_room(self) -> None:
        for identity in [one for one in self.tabs if one not in self.open][: max(len(self.tabs) - MOST_TABS + 1, 0)]:
            del self.tabs[identity]

    @property
    def full(self) -> bool:
        """No room for another tab."""
        return len(self.open) >= MOST_TABS

    def left(self, tab: Tab) -> None:
        """Its browser has gone; it is remembered for a reload."""
        self.open.discard(tab.identity)
        if self.share is not None:
            self.share.left(tab.identity)

    def may_work(self) -> bool:
        """Take a place for long work, where one is free."""
        if self._jobs >= MOST_JOBS:
            return False
        self._jobs += 1
        return True

    def work_ended(self) -> None:
        """Its place is free."""
        self._jobs = max(self._jobs - 1, 0)

    def keep(self, message: Message, found: Checked | Surveyed) -> Message:
        """Write a result into the folder that the command was given; the message that tells of it, and of that."""
        if self.out is not None:
            try:
                leftovers = write_outputs(self.out, found.files, found.digest)
                message["written"] = [str(self.out), *leftovers.lines()]
            except (OutputError, RunError) as error:
                message["written"] = [str(error)]
        return message

    def end(self) -> None:
        """End the process beside, and remove what was kept for this run alone."""
        self.beside.end()
        self.pool.shutdown(wait=False, cancel_futures=True)
        if self._own is not None:
            shutil.rmtree(self._own, ignore_errors=True)
