"""The state of one tab: its design, what of it is shown, what was found. No other tab sees any of it."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from shellcheck_earth.basics.errors import InputError, ShellcheckError
from shellcheck_earth.design.design import Design, UnitSystem
from shellcheck_earth.geometry.reading import design_from_document, parse_design
from shellcheck_earth.safety.cautions import cautions
from shellcheck_earth.views.page.controls import key_rows, values_of
from shellcheck_earth.views.page.document import Document, changed_text
from shellcheck_earth.views.page.drawing import preview_svg
from shellcheck_earth.views.page.following import changed_with_followers, followers
from shellcheck_earth.views.page.overview import Overview
from shellcheck_earth.views.page.preview import Preview, Shown, preview
from shellcheck_earth.views.page.site import Site
from shellcheck_earth.views.page.solid import solid
from shellcheck_earth.views.page.whole import Checked
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.language import Language
from shellcheck_earth.views.text.page.live import (
    Said,
    followed_sentence,
    lost_sentences,
    margin_row,
    overview_said,
    quick_said,
    ringed_sentence,
    tipping_sentence,
    worst_row,
)
from shellcheck_earth.views.text.page.words import word
from shellcheck_earth.views.text.refusals import refusal_words

__all__ = ["Message", "Tab"]

Message = dict[str, Any]
"""What goes to the browser, or comes from it, as JSON says it."""

ON_SITE = frozenset({"sheet", "readings"})
"""Messages about the sheet of readings: the section stays as it is."""

ONE_STEP = 1.2
"""Changes of one key closer to each other than this are one step to undo [s]: an arrow key held down."""


@dataclass
class _Kept:
    """The picture that is kept beside the one that moves."""

    svg: str
    said: Said
    rows: list[dict[str, str]]
    text: str


class Tab:
    """One tab. Everything here runs in one thread; messages have been checked for their form."""

    def __init__(self, identity: str, text: str, name: str, language: Language = "en") -> None:
        self.identity, self.name = identity, name
        self.document = Document([text])
        self.system: UnitSystem = parse_design(text).unit_system
        self.shown = Shown()
        self.overview: Overview | None = None
        self.checked: Checked | None = None
        self.before: _Kept | None = None
        self.site = Site(language)
        self._moves: dict[str, Any] = {}
        self._moving: dict[str, Any] | None = None
        self._followed: tuple[str, ...] = ()
        self._last: tuple[str, float] = ("", 0.0)
        self._drawn: tuple[Preview, str] | None = None
        self._refused = ""

    @property
    def settled(self) -> bool:
        """Whether nothing is being dragged."""
        return self._moving is None

    def take(self, messages: Sequence[Message]) -> list[Message]:
        """Apply what the browser sent, in order, and draw once; what goes back to it."""
        out: list[Message] = []
        for message in messages:
            try:
                getattr(self, f"_{message['do']}")(message)
            except ShellcheckError as error:
                out.append({"kind": "refused", "n": message.get("n", 0), "message": str(error)})
        last = max((int(message.get("n", 0)) for message in messages), default=0)
        asked = {message["do"] for message in messages}
        if asked & ON_SITE:
            out.append(self.site.state(self.document.text, last, opened="readings" in asked))
        if asked - ON_SITE:
            out.append(self.draw(last))
        return out

    def _changed(self) -> None:
        self.overview = None

    def _move(self, message: Message) -> None:
        self._moves[message["path"]] = message["value"]
        moving: Mapping[str, Any] = self.document.plain
        self._followed = ()
        for path, value in self._moves.items():
            moving, followed = changed_with_followers(moving, path, value)
            self._followed += followed
        self._moving = dict(moving)
        self._changed()

    def _rest(self) -> None:
        """Nothing is being dragged any more."""
        self._moves, self._moving = {}, None
        self._changed()

    def _set(self, message: Message) -> None:
        path, now = message["path"], time.monotonic()
        last, at = self._last
        if last == path and now - at < ONE_STEP and self.document.may_undo and not self.document.may_redo:
            self.document.move(-1)
        following = followers(self.document.plain, path, message["value"])
        text = changed_text(self.document.text, path, message["value"], measured=message["measured"])
        for follower, lower in following:
            text = changed_text(text, follower, lower)
        self.document.put(text)
        self._followed = tuple(follower for follower, _ in following)
        self._last = (path, now)
        self._rest()

    def _pick(self, message: Message) -> None:
        """A point of the map, as one step."""
        text, followed = self.document.text, []
        for path, value in message["settings"]:
            text = changed_text(text, path, value)
            for follower, lower in followers(self.document.plain, path, value):
                text = changed_text(text, follower, lower)
                followed.append(follower)
        self.document.put(text)
        self._followed, self._last = tuple(followed), ("", 0.0)
        self._rest()

    def _sheet(self, message: Message) -> None:
        self.site.change(message["changes"], self.document.text)

    def _readings(self, message: Message) -> None:
        self.site.open(message["text"], message["name"], self.document.text)

    def _undo(self, message: Message) -> None:
        self._step(-1)
        del message

    def _redo(self, message: Message) -> None:
        self._step(1)
        del message

    def _step(self, by: int) -> None:
        self.document.move(by)
        self._last, self._followed = ("", 0.0), ()
        self._rest()

    def _open(self, message: Message) -> None:
        text = message["text"]
        self.system = parse_design(text, message["name"]).unit_system  # refused as a whole, or taken as a whole
        self.name = message["name"]
        self.document.put(text)
        self._last, self._followed = ("", 0.0), ()
        self.shown = Shown()
        self._rest()

    def _units(self, message: Message) -> None:
        self.system = message["system"]

    def _show(self, message: Message) -> None:
        stage = message["stage"]
        self.shown = Shown(stage, message["case"], message["hours"], message["crew"])

    def _keep(self, message: Message) -> None:
        """Keep the picture as it is, to have the next ones beside it."""
        del message
        if self._drawn is not None:
            shown, svg = self._drawn
            rows = [margin_row(margin, shown) for margin in shown.margins]
            self.before = _Kept(svg, self._said(shown), rows, self.document.text)

    def _forget(self, message: Message) -> None:
        del message
        self.before = None

    def _back(self, message: Message) -> None:
        """The design that was kept, as a new step."""
        del message
        if self.before is not None:
            self.document.put(self.before.text)
            self._rest()

    def _hello(self, message: Message) -> None:
        """Only to be drawn."""
        del message

    _keys = _hello
    _solid = _hello

    def design(self) -> Design:
        """The design as it stands, a drag included; InputError, UnbuildableError."""
        found = design_from_document(self._moving or self.document.plain, self.name)
        return found if found.unit_system == self.system else replace(found, unit_system=self.system)

    def _said(self, shown: Preview) -> Said:
        checked = self.checked
        if checked is not None and self.settled and checked.text == self.document.text:
            return Said(checked.verdict, checked.heading, checked.sentence, preview=False)
        if self.overview is None:
            return quick_said(shown)
        found = self.overview
        return overview_said(found.margins, found.titles, found.doubts, blocks=found.needs_blocks)

    def draw(self, number: int) -> Message:
        """The section as it stands, with all that is said beside it; `number`: of the browser's newest message."""
        state: Message = {
            "kind": "drawn",
            "n": number,
            "name": self.name,
            "system": self.system,
            "settled": self.settled,
            "undo": self.document.may_undo,
            "redo": self.document.may_redo,
            "stale": self.checked is not None and self.checked.text != self.document.text,
        }
        try:
            design = self.design()
            shown = preview(design, self.shown)
        except InputError as error:
            self._refused = str(error)
            said = Said("cannot say", word("unbuildable"), refusal_words(self._refused))
            return state | {"said": vars(said), "refused": True}
        self._refused = ""
        svg = preview_svg(shown)
        self._drawn = (shown, svg)
        return state | self._picture(design, shown, svg)

    def _picture(self, design: Design, shown: Preview, svg: str) -> Message:
        return {
            "refused": False,
            "svg": svg,
            "said": vars(self._said(shown)),
            "case": said_below(shown.case.title),
            "rows": [margin_row(margin, shown) for margin in shown.margins],
            "lost": lost_sentences(shown),
            "tipping": tipping_sentence(shown),
            "ringed": ringed_sentence(shown),
            "followed": followed_sentence(self._followed),
            "title": design.name,
            "cautions": [caution_sentence(one) for one in cautions(shown.dome)],
            "values": values_of(design),
            "stage": {"now": self.shown.stage, "top": shown.dome.top_number},
            "hours": {"now": self.shown.hours, "most": design.site.rain_hours},
            "worker": design.building.worker > 0,
        }

    def keys(self) -> Message:
        """Every key with its range and what the file says of it; without values where the design is refused."""
        try:
            return {"kind": "keys", "rows": key_rows(self.document.plain, self.design())}
        except InputError as error:
            return {"kind": "refused", "n": 0, "message": str(error)}

    def solid(self) -> Message:
        """The dome to turn round: as its blocks move, where a whole check of this very design found that."""
        checked = self.checked
        if checked is not None and checked.solid is not None and self.settled and checked.text == self.document.text:
            return {"kind": "solid", **checked.solid}
        if self._drawn is None:
            return {"kind": "refused", "n": 0, "message": self._refused}
        return {"kind": "solid", **solid(self._drawn[0])}

    def kept(self) -> Message:
        """The picture that was kept."""
        if self.before is None:
            return {"kind": "kept", "svg": ""}
        return {"kind": "kept", "svg": self.before.svg, "said": vars(self.before.said), "rows": self.before.rows}

    def looked(self, found: Overview | None, why: str, text: str) -> list[Message]:
        """All cases have been looked at, of the design that had this text; [] where it has changed since."""
        if text != self.document.text or not self.settled:
            return []
        if found is None:
            return [{"kind": "overview", "why": why, "rows": []}]
        self.overview = found
        out: Message = {
            "kind": "overview",
            "why": "",
            "rows": [worst_row(one, found.titles.get(one.case_id, one.case_id)) for one in found.margins],
            "cases": [[identity, said_below(title)] for identity, title in found.finished],
            "chart": [list(point) for point in found.chart],
        }
        if self._drawn is not None:
            out["said"] = vars(self._said(self._drawn[0]))
            out |= self._point(self._drawn[0].dome.design)
        return [out]

    def _point(self, design: Design) -> Mapping[str, Any]:
        """This design on the chart "what holds it up"."""
        return {
            "wire": design.beds.wire_tension,
            "friction": design.beds.friction,
            "required": design.criteria.required["bed friction"],
        }

    def found(self, checked: Checked) -> Message:
        """The whole check has ended; its answer counts for the text that it was of."""
        self.checked = checked
        return {
            "kind": "checked",
            "said": vars(Said(checked.verdict, checked.heading, checked.sentence, preview=False)),
            "doubts": list(checked.doubts),
            "rows": list(checked.rows),
            "digest": checked.digest,
            "files": [[name, len(content)] for name, content in checked.files.items()],
            "stale": checked.text != self.document.text or not self.settled,
        }
