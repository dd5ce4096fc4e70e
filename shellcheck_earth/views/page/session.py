"""One connection of one tab: messages in, pictures out. The newest state always wins, whatever came in between."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from starlette.websockets import WebSocket, WebSocketDisconnect, WebSocketState

from shellcheck_earth.views.page.beside import fault_words
from shellcheck_earth.views.page.job import AskedText, Job, Work
from shellcheck_earth.views.page.lesson import run_lesson
from shellcheck_earth.views.page.map import Asked, run_map
from shellcheck_earth.views.page.messages import HostileError, read_message
from shellcheck_earth.views.page.survey import run_survey
from shellcheck_earth.views.page.tab import Message, Tab
from shellcheck_earth.views.page.whole import run_check
from shellcheck_earth.views.text.page.words import word

if TYPE_CHECKING:
    from shellcheck_earth.views.page.engine import Engine

__all__ = ["MOST_WAITING", "Session"]

MOST_WAITING = 200
"""Messages that may wait for the drawing: the page never has so many under way."""

REST = 0.10
"""So long after the last change all cases are looked at [s]."""

WORKS: Mapping[str, Work] = {"check": run_check, "lesson": run_lesson, "map": run_map, "survey": run_survey}
"""Long work that a message asks for, of the design as the tab's file says it."""

CLASS = frozenset({"lead", "allow", "end"})
"""Messages about the class that looks on."""

APART = frozenset({"cancel", *CLASS, *WORKS})
"""Messages that are answered by themselves."""


class Session:
    """Reads, folds what is superseded, draws, sends."""

    def __init__(self, socket: WebSocket, tab: Tab, engine: Engine) -> None:
        self.socket, self.tab, self.engine = socket, tab, engine
        self._inbox: list[Message] = []
        self._there = asyncio.Event()
        self._sending = asyncio.Lock()
        self._resting: asyncio.TimerHandle | None = None
        self._job: Job | None = None
        self._starting = asyncio.Lock()
        self._guests: set[asyncio.Task[None]] = set()
        self._also: Mapping[frozenset[str], Callable[[], Message]] = {
            frozenset({"keep", "forget", "hello"}): tab.kept,
            frozenset({"hello"}): lambda: tab.site.again(tab.document.text),
            frozenset({"keys"}): tab.keys,
            frozenset({"solid"}): tab.solid,
        }
        self._loop = asyncio.get_running_loop()
        share = engine.share
        if share is not None and not share.leader:  # the first tab leads; another only where it is chosen
            share.lead(tab.identity, self._of_guest)
        if share is not None and share.leader == tab.identity:
            share.told = self._class

    async def run(self) -> None:
        """Until the browser goes away or sends what no page sends."""
        drawing = asyncio.create_task(self._draw())
        self._class()
        try:
            while True:
                message = read_message(await self.socket.receive_text())
                if message["do"] in APART:
                    await self._apart(message)
                else:
                    self._fold(message)
        except WebSocketDisconnect:
            pass
        except (HostileError, KeyError):
            await self._close(1008)
        finally:
            drawing.cancel()
            self._end()

    async def _close(self, code: int) -> None:
        if self.socket.client_state is WebSocketState.CONNECTED:
            await self.socket.close(code)

    def _end(self) -> None:
        if self._resting is not None:
            self._resting.cancel()
        self.engine.beside.forget(self.tab.identity)
        if self._job is not None:
            self._job.cancel()

    def _fold(self, message: Message) -> None:
        """A move of the same slider, and another look, take the place of the one before them."""
        last = self._inbox[-1] if self._inbox else {}
        same = message["do"] == last.get("do") and message.get("path") == last.get("path")
        if same and message["do"] in ("move", "show"):
            self._inbox[-1] = message
        else:
            self._inbox.append(message)
        if len(self._inbox) > MOST_WAITING:
            raise HostileError("more than a page sends")
        self._there.set()

    def _of_guest(self, message: Message) -> None:
        """What a guest may have done, as if it were done here."""
        if message["do"] not in APART:
            self._fold(message)
            return
        task = self._loop.create_task(self._apart(message))
        self._guests.add(task)
        task.add_done_callback(self._guests.discard)

    async def _draw(self) -> None:
        while True:
            await self._there.wait()
            self._there.clear()
            taken, self._inbox = self._inbox, []
            if not taken:
                continue
            answers = await self._drawn(self._taken, taken)
            for what, answer in self._also.items():
                if any(message["do"] in what for message in taken):
                    answers.append(await self._drawn(answer))
            await self.send(filter(None, answers))
            self._rest()

    async def _drawn(self, work: Callable[..., Any], *asked: Any) -> Any:
        """What the drawing thread makes of it."""
        return await self._loop.run_in_executor(self.engine.pool, self.engine.told, work, *asked)

    def _taken(self, taken: list[Message]) -> list[Message]:
        """The tab's answers; a fault of this program is said, and the page goes on."""
        try:
            return self.tab.take(taken)
        except Exception as error:
            return [{"kind": "refused", "n": taken[-1].get("n", 0), "message": fault_words(error)}]

    def _rest(self) -> None:
        """Look at all cases once nothing has changed for a moment."""
        if self._resting is not None:
            self._resting.cancel()
        if self.tab.settled and self.tab.overview is None:
            self._resting = self._loop.call_later(REST, self._look)

    def _look(self) -> None:
        text = self.tab.document.text

        def answer(found: Any, why: str) -> None:
            self._later(lambda: self.tab.looked(found, why, text))

        self.engine.beside.ask(self.tab.identity, text, answer)

    def _later(self, work: Callable[[], list[Message]]) -> None:
        """From another thread: do it where the tab lives, and send what it gives."""

        async def done() -> None:
            await self.send(await self._drawn(work))

        if not self._loop.is_closed():
            asyncio.run_coroutine_threadsafe(done(), self._loop)

    async def _apart(self, message: Message) -> None:
        what = message["do"]
        if what in CLASS:
            self._lead_class(message)
        elif what == "cancel":
            if self._job is not None:
                await self._loop.run_in_executor(None, self._job.cancel)
        else:
            async with self._starting:
                await self._begin(what, message)

    async def _begin(self, what: str, message: Message) -> None:
        """Start long work, where none is under way and there is a place for it."""
        if self._job is not None:
            await self.send([{"kind": "failed", "work": what, "message": word("work under way")}])
        elif not self.engine.may_work():
            await self.send([{"kind": "failed", "work": what, "message": word("other work")}])
        else:
            asked = await self._asked(what, message)
            if asked is None:
                self.engine.work_ended()
            else:
                await self._start(what, asked)

    def _lead_class(self, message: Message) -> None:
        share = self.engine.share
        if share is None:
            return
        if message["do"] == "lead":
            share.lead(self.tab.identity, self._of_guest)
            share.told = self._class
            self._fold({"do": "hello", "n": 0})  # draws, so that guests see it at once
        elif message["do"] == "allow":
            share.allow(message["allowed"])
        else:
            share.end()
        self._class()

    def _class(self) -> None:
        """Tell the teacher who looks on."""
        share = self.engine.share
        if share is not None:
            told = share.state(self.tab.identity)
            self._later(lambda: [told])

    async def _asked(self, what: str, message: Message) -> Any:
        """What the work is asked; None where it cannot be asked, which has been said."""
        text = self.tab.document.text
        if what == "map":
            return Asked(text, self.tab.system, message["across"], message["up"], self.engine.said.language)
        if what != "survey":
            return AskedText(text, self.engine.said.language)
        said, asked = await self._drawn(self.tab.site.ask, message["changes"], text, message.get("n", 0))
        await self.send([said])
        return asked

    async def _start(self, what: str, asked: Any) -> None:

        def told(kind: str, value: Any) -> None:
            self._loop.call_soon_threadsafe(self._told, what, kind, value)

        self._job = Job(WORKS[what], asked, self.engine.cache, told)
        await self.send([_progress(what, word("starting"), 0, 1)])

    def _told(self, what: str, kind: str, value: Any) -> None:
        if kind == "progress":
            self._later(lambda: [_progress(what, *value)])
            return
        self._job = None
        self.engine.work_ended()
        if kind == "found":
            self._later(lambda: [self._found(what, value)])
        else:
            self._later(lambda: [{"kind": kind, "work": what, "message": str(value)}])

    def _found(self, what: str, value: Any) -> Message:
        if what == "check":
            return self.engine.keep(self.tab.found(value), value)
        if what == "survey":
            return self.engine.keep(self.tab.site.found(value, self.tab.document.text), value)
        if what == "map":
            return {"kind": what, **asdict(value)}
        return {"kind": what, "slides": [asdict(slide) for slide in value]}

    async def send(self, messages: Iterable[Message]) -> None:
        """In order, and whole; a browser that has gone is no fault."""
        messages = list(messages)
        if self.engine.share is not None:
            self.engine.share.show(self.tab.identity, messages)
        async with self._sending:
            for message in messages:
                if self.socket.client_state is not WebSocketState.CONNECTED:
                    return
                try:
                    await self.socket.send_text(json.dumps(message, ensure_ascii=False, allow_nan=False))
                except (RuntimeError, WebSocketDisconnect):
                    return


def _progress(work: str, what: str, done: int, of: int) -> Message:
    return {"kind": "progress", "work": work, "what": what, "done": done, "of": of}
