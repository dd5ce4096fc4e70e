"""A class looks on: phones in the same network see what one tab of the teacher shows, with the code of this run.

Off unless it is asked for. The code is made anew at every start and dies with it; whoever gives it is handed a key of
their own. Guests read only, until the teacher lets them move the sliders. A slow phone never holds up the teacher: for
each guest only the newest picture waits.
"""

from __future__ import annotations

import asyncio
import hmac
import json
import secrets
import time
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from starlette.websockets import WebSocket, WebSocketDisconnect, WebSocketState

from shellcheck_earth.views.page.messages import GUESTS_MAY, HostileError, read_message

__all__ = ["MOST_GUESTS", "MOST_WRONG", "PAUSE", "Guest", "Share", "new_code"]

LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Of a code: none that is easily taken for another."""

MOST_GUESTS = 60
MOST_WRONG, WRONG_SECONDS = 20, 60.0
"""So many wrong codes within so long, and for the rest of it no code is looked at."""

PAUSE = 0.1
"""Between two pictures for one guest [s]."""

SHOWN = ("drawn", "overview", "checked", "sheet", "surveyed")
"""What guests see of the leading tab."""

SITE = "site"
"""How far the answer to a survey is: guests are told, and of the newest of these alone."""

Message = dict[str, Any]


def new_code() -> str:
    """Two groups of four, 40 bits by chance."""
    one, other = ("".join(secrets.choice(LETTERS) for _ in range(4)) for _ in range(2))
    return f"{one}-{other}"


@dataclass
class Guest:
    """One phone: what waits for it, by kind."""

    waiting: dict[str, str] = field(default_factory=dict)
    there: asyncio.Event = field(default_factory=asyncio.Event)

    def put(self, kind: str, text: str) -> None:
        """The newest of its kind takes the place of one that still waits."""
        self.waiting[kind] = text
        self.there.set()


@dataclass
class Share:
    """The sharing of one run. `leader`: the tab that guests see; `act`: what a guest may have done to it."""

    host: str
    port: int
    code: str = field(default_factory=new_code)
    allowed: bool = False
    ended: bool = False
    leader: str = ""
    act: Callable[[Message], None] | None = None
    keys: set[str] = field(default_factory=set)
    told: Callable[[], None] | None = None
    _open: dict[int, Guest] = field(default_factory=dict)
    _latest: dict[str, str] = field(default_factory=dict)
    _wrong: deque[float] = field(default_factory=deque)

    @property
    def address(self) -> str:
        """What the QR code says."""
        return f"http://{self.host}:{self.port}/?code={self.code}"

    @property
    def cookie(self) -> str:
        """Name of a guest's cookie."""
        return f"shellcheck-earth-guest-{self.port}"

    def enter(self, code: str) -> str:
        """A key for whoever gives the code; "" where it is wrong, or too many wrong ones came."""
        now = time.monotonic()
        while self._wrong and now - self._wrong[0] > WRONG_SECONDS:
            self._wrong.popleft()
        if self.ended or len(self._wrong) >= MOST_WRONG:
            return ""
        given = code.strip().upper().replace(" ", "-")
        if len(given) == 8 and "-" not in given:
            given = f"{given[:4]}-{given[4:]}"
        if not hmac.compare_digest(given.encode(), self.code.encode()):
            self._wrong.append(now)
            return ""
        key = secrets.token_urlsafe(18)
        self.keys.add(key)
        return key

    def knows(self, key: str) -> bool:
        """Whether a key was handed out in this run, and the sharing goes on."""
        return not self.ended and any(hmac.compare_digest(key.encode(), one.encode()) for one in self.keys)

    def lead(self, tab: str, act: Callable[[Message], None]) -> None:
        """Guests see this tab from now on."""
        self.leader, self.act = tab, act
        self._latest.clear()

    def left(self, tab: str) -> None:
        """A tab has gone; where it led, nobody leads until another is chosen or it comes back."""
        if tab == self.leader:
            self.leader, self.act = "", None

    def show(self, tab: str, messages: Iterable[Message]) -> None:
        """What a tab was sent, passed on where it leads."""
        if tab != self.leader or self.ended:
            return
        for message in messages:
            kind = SITE if message.get("work") == "survey" else message["kind"]
            if kind not in (*SHOWN, SITE):
                continue
            text = json.dumps({k: v for k, v in message.items() if k not in ("files", "written")}, ensure_ascii=False)
            self._latest[kind] = text
            for guest in self._open.values():
                guest.put(kind, text)

    def state(self, tab: str = "") -> Message:
        """For the teacher: how many look on, what they may do, whether this tab leads."""
        return {
            "kind": "class",
            "guests": len(self._open),
            "allowed": self.allowed,
            "ended": self.ended,
            "leads": bool(tab) and tab == self.leader,
        }

    def allow(self, allowed: bool) -> None:
        """Let guests move the sliders, or not."""
        self.allowed = allowed
        for guest in self._open.values():
            guest.put("allowed", json.dumps({"kind": "allowed", "allowed": allowed}))

    def end(self) -> None:
        """No more guests, and none of those who are there."""
        self.ended = True
        self.keys.clear()
        for guest in self._open.values():
            guest.there.set()

    async def serve(self, socket: WebSocket) -> None:
        """One guest, until they go or the sharing ends."""
        if len(self._open) >= MOST_GUESTS:
            await socket.close(1013)
            return
        await socket.accept()
        guest = Guest(dict(self._latest))
        guest.put("tab", json.dumps({"kind": "tab", "tab": ""}))
        guest.put("allowed", json.dumps({"kind": "allowed", "allowed": self.allowed}))
        self._open[id(guest)] = guest
        self._tell()
        sending = asyncio.create_task(self._send(guest, socket))
        try:
            while not self.ended:
                self._heard(read_message(await socket.receive_text()))
        except (WebSocketDisconnect, HostileError, KeyError):
            pass
        finally:
            sending.cancel()
            del self._open[id(guest)]
            self._tell()
            if socket.client_state is WebSocketState.CONNECTED:
                await socket.close(1008)

    def _heard(self, message: Message) -> None:
        if message["do"] == "hello":
            return
        if message["do"] not in GUESTS_MAY:
            raise HostileError("not for guests")
        if self.allowed and self.act is not None:
            self.act(message | {"n": 0})

    async def _send(self, guest: Guest, socket: WebSocket) -> None:
        while True:
            await guest.there.wait()
            guest.there.clear()
            if self.ended:
                await socket.close(1001)
                return
            waiting, guest.waiting = guest.waiting, {}
            for text in waiting.values():
                await socket.send_text(text)
            await asyncio.sleep(PAUSE)

    def _tell(self) -> None:
        if self.told is not None:
            self.told()

    def picture(self) -> str:
        """The QR code of the address, as SVG."""
        import segno

        out = BytesIO()
        segno.make(self.address, error="m").save(out, kind="svg", scale=6, border=3, xmldecl=False, light="#ffffff")
        return out.getvalue().decode()

    def data(self) -> Mapping[str, str]:
        """For the teacher's page."""
        return {"code": self.code, "address": f"http://{self.host}:{self.port}/", "qr": self.picture()}
