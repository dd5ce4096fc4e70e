"""Survey mode of one tab: its sheet against the design of the tab, what is asked, what was answered."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from shellcheck_earth.basics.errors import InputError, ShellcheckError
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.views.page.sheet import SheetOfTab
from shellcheck_earth.views.page.survey import AskedSurvey, Surveyed
from shellcheck_earth.views.text.language import Language

__all__ = ["Site"]

Message = dict[str, Any]


@lru_cache(maxsize=8)
def _dome(text: str) -> Dome:
    return build_dome(parse_design(text))


class Site:
    """One for a tab. `text`, everywhere: the design file as the tab has it now."""

    def __init__(self, language: Language = "en") -> None:
        self.sheet = SheetOfTab(language)
        self.surveyed: Surveyed | None = None

    def change(self, changes: Sequence[Sequence[Any]], text: str) -> None:
        """What was typed; InputError."""
        self.sheet.change(changes, _dome(text))

    def open(self, sheet: str, name: str, text: str) -> None:
        """A sheet from a file; InputError, which names the file."""
        try:
            self.sheet.open(sheet, _dome(text))
        except InputError as error:
            raise InputError(error.problems, name) from None

    def csv(self, text: str) -> str:
        """The sheet as a file."""
        return self.sheet.csv(_dome(text))

    def state(self, text: str, number: int, *, opened: bool = False, asked: bool = False) -> Message:
        """The sheet with its faults. `opened`: another sheet than before; `asked`: an answer was asked for."""
        try:
            dome = _dome(text)
        except ShellcheckError as error:
            return {"kind": "refused", "n": number, "message": str(error)}
        return {
            "kind": "sheet",
            "n": number,
            "opened": opened,
            "asked": asked,
            "plan": dome.design.name,
            "stale": self.surveyed is not None and not self._is_of(self.surveyed, text),
            **self.sheet.state(dome),
        }

    def _is_of(self, surveyed: Surveyed, text: str) -> bool:
        return surveyed.asked == AskedSurvey(text, self.sheet.csv(_dome(text)), self.sheet.language)

    def ask(self, changes: Sequence[Sequence[Any]], text: str, number: int) -> tuple[Message, AskedSurvey | None]:
        """(the sheet as it is now, what is to be answered); None where it has faults, or no such dome can be built."""
        try:
            self.change(changes, text)
        except ShellcheckError as error:
            return {"kind": "refused", "n": number, "message": str(error)}, None
        state = self.state(text, number, asked=True)
        if state["kind"] == "refused" or state["faults"]:
            return state, None
        return state, AskedSurvey(text, self.csv(text), self.sheet.language)

    def again(self, text: str) -> Message:
        """The last answer, for a page that is loaded again; {} where nothing was answered yet."""
        return {} if self.surveyed is None else self.found(self.surveyed, text)

    def found(self, surveyed: Surveyed, text: str) -> Message:
        """The answer, kept for the readings that it is of."""
        self.surveyed = surveyed
        return {"kind": "surveyed", **surveyed.shown(), "stale": not self._is_of(surveyed, text)}
