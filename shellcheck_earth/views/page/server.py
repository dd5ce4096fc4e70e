"""The page's server: a handful of addresses, each held to `security`; nothing a browser sends names a file."""

from __future__ import annotations

import asyncio
import html
import json
import re
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from functools import cache
from importlib.resources import files
from urllib.parse import parse_qs

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from starlette.websockets import WebSocket

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.views.page.controls import slider_rows
from shellcheck_earth.views.page.engine import Engine
from shellcheck_earth.views.page.security import HEADERS, Door, cookie_of, one_header
from shellcheck_earth.views.text.language import Words, speaking, spoken
from shellcheck_earth.views.text.page.site import site_words
from shellcheck_earth.views.text.page.words import page_words, word

__all__ = ["Guard", "page_app", "static_files"]

TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".csv": "text/csv; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}
LONGEST_QUERY = 400


@cache
def static_files() -> Mapping[str, bytes]:
    """The page's own files by name, read once: an address is looked up among them and never becomes a path."""
    folder = files("shellcheck_earth.views.page").joinpath("static")
    return {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()}


def _kind(name: str) -> str:
    return TYPES.get("." + name.rpartition(".")[2], "application/octet-stream")


def filled(template: bytes) -> bytes:
    """The page with its words put in, each made harmless for HTML."""

    def word(found: re.Match[str]) -> str:
        return html.escape(said[found[1]])

    said = page_words()
    return re.sub(r"\{\{([^}]+)\}\}", word, template.decode()).encode()


class Guard:
    """Refuses, before anything else reads it, what does not come from the page of this run; adds the headers. All that
    is answered is said in the words of the run."""

    def __init__(self, app: ASGIApp, door: Door, said: Words) -> None:
        self.app, self.door, self.said = app, door, said

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        with speaking(self.said):
            await self._answer(scope, receive, send)

    async def _answer(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        why = self._fault(scope)
        if scope["type"] == "websocket":
            if why:
                await send({"type": "websocket.close", "code": 1008})
            else:
                await self.app(scope, receive, send)
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message = {**message, "headers": [*message["headers"], *_headers(scope)]}
            await send(message)

        if why:
            await Response(why, 403 if why != word("method") else 405, media_type="text/plain")(scope, receive, guarded)
        else:
            await self.app(scope, receive, guarded)

    def _fault(self, scope: Scope) -> str:
        """Why a request is refused; "" where it is not."""
        headers = scope["headers"]
        host = one_header(headers, "host")
        peer = (scope.get("client") or ("",))[0]
        if not self.door.knows_host(host, peer):
            return word("host")
        if len(scope.get("query_string", b"")) > LONGEST_QUERY:
            return word("long")
        origin = one_header(headers, "origin")
        if scope["type"] == "websocket":
            return "" if self.door.own_origin(origin, host) else word("origin")
        if scope["method"] not in ("GET", "HEAD"):
            return word("method")
        if origin and not self.door.own_origin(origin, host):
            return word("origin")
        fetched = one_header(headers, "sec-fetch-site")
        return "" if fetched in ("", "same-origin", "none") else word("origin")


def _headers(scope: Scope) -> list[tuple[bytes, bytes]]:
    """Of every answer. Browsers take COOP from this machine or over TLS alone, and complain of it elsewhere."""
    here = Door.is_here((scope.get("client") or ("",))[0])
    kept = {name: value for name, value in HEADERS.items() if here or name != "Cross-Origin-Opener-Policy"}
    return [(name.lower().encode(), value.encode()) for name, value in kept.items()]


class _Pages:
    """The answers to each address."""

    def __init__(self, engine: Engine, door: Door) -> None:
        self.engine, self.door = engine, door

    def _knows(self, request: Request | WebSocket) -> bool:
        """Whether the browser has the key of this run, and is on this machine."""
        given = cookie_of(request.headers.get("cookie", ""), self.door.cookie)
        peer = request.client.host if request.client else ""
        return self.door.is_key(given) and self.door.is_here(peer)

    def _guest(self, request: Request | WebSocket) -> bool:
        """Whether the browser has the key of a guest."""
        share = self.engine.share
        return share is not None and share.knows(cookie_of(request.headers.get("cookie", ""), share.cookie))

    def _join(self, request: Request) -> Response:
        """For who comes from the network: the page with the right code, else the place to type it."""
        share = self.engine.share
        if share is None or share.ended:
            return Response(word("class ended"), 403, media_type="text/plain")
        code = (parse_qs(request.url.query).get("code") or [""])[0]
        if code and (key := share.enter(code[:40])):
            answer = RedirectResponse("/", 303)
            answer.set_cookie(share.cookie, key, httponly=True, samesite="strict")
            return answer
        if self._guest(request):
            return Response(filled(static_files()["index.html"]), media_type=TYPES[".html"])
        why = word("wrong code") if code else ""
        page = filled(static_files()["join.html"]).replace(b"<!-- why -->", html.escape(why).encode())
        return Response(page, 403 if code else 200, media_type=TYPES[".html"])

    async def first(self, request: Request) -> Response:
        """The page; with the key in its address, once, the cookie."""
        if request.client and not self.door.is_here(request.client.host):
            return self._join(request)
        key = (parse_qs(request.url.query).get("key") or [""])[0]
        peer = request.client.host if request.client else ""
        if key and self.door.is_key(key) and self.door.is_here(peer):
            answer = RedirectResponse("/", 303)
            answer.set_cookie(self.door.cookie, key, httponly=True, samesite="strict")
            return answer
        if not self._knows(request):
            return Response(word("no key"), 403, media_type="text/plain")
        return Response(filled(static_files()["index.html"]), media_type=TYPES[".html"])

    async def static(self, request: Request) -> Response:
        """One of the page's own files."""
        content = static_files().get(request.path_params["name"])
        if content is None or request.path_params["name"].endswith(".html"):
            return Response(word("nothing here"), 404, media_type="text/plain")
        return Response(content, media_type=_kind(request.path_params["name"]))

    async def words(self, request: Request) -> Response:
        """The words and the sliders."""
        teacher = self._knows(request)
        if not teacher and not self._guest(request):
            return Response(word("no key"), 403, media_type="text/plain")
        share = self.engine.share
        data = {"words": page_words(), "sliders": slider_rows(), "guest": not teacher}
        data["site"] = site_words(spoken())
        data["share"] = share.data() if teacher and share is not None else None
        return Response(json.dumps(data), media_type=TYPES[".json"])

    async def design(self, request: Request) -> Response:
        """The design file of a tab."""
        tab = self.engine.tabs.get(request.path_params["tab"])
        if not self._knows(request) or tab is None:
            return Response(word("nothing here"), 404, media_type="text/plain")
        return _attached("design.toml", tab.document.text.encode(), "text/plain; charset=utf-8")

    async def result(self, request: Request) -> Response:
        """One file of the last whole check of a tab."""
        tab = self.engine.tabs.get(request.path_params["tab"])
        name = request.path_params["name"]
        if not self._knows(request) or tab is None or tab.checked is None or name not in tab.checked.files:
            return Response(word("nothing here"), 404, media_type="text/plain")
        return _attached(name, tab.checked.files[name], _kind(name))

    async def sheet(self, request: Request) -> Response:
        """The sheet of readings of a tab, as the command reads it."""
        tab = self.engine.tabs.get(request.path_params["tab"])
        if not self._knows(request) or tab is None:
            return Response(word("nothing here"), 404, media_type="text/plain")
        try:
            text = tab.site.csv(tab.document.text)
        except InputError as error:
            return Response(str(error), 404, media_type="text/plain")
        return _attached("readings.csv", text.encode(), TYPES[".csv"])

    async def survey(self, request: Request) -> Response:
        """One file of the last answer to the readings of a tab."""
        tab = self.engine.tabs.get(request.path_params["tab"])
        name = request.path_params["name"]
        found = None if tab is None else tab.site.surveyed
        if not self._knows(request) or found is None or name not in found.files:
            return Response(word("nothing here"), 404, media_type="text/plain")
        return _attached(name, found.files[name], _kind(name))

    async def live(self, socket: WebSocket) -> None:
        """The connection of a tab, or of a guest."""
        share = self.engine.share
        if share is not None and not self._knows(socket) and self._guest(socket):
            await share.serve(socket)
            return
        if not self._knows(socket) or self.engine.full:
            await socket.close(1008)
            return
        await socket.accept()
        if not self.engine.warm.done():
            await socket.send_text(json.dumps({"kind": "outline", "svg": self.engine.outline()}))
            await asyncio.wait([asyncio.wrap_future(self.engine.warm)])
        from shellcheck_earth.views.page.session import Session  # loaded by now

        tab = self.engine.tab(socket.query_params.get("tab", ""))
        try:
            session = Session(socket, tab, self.engine)
            await session.send([{"kind": "tab", "tab": tab.identity}])
            await session.run()
        finally:
            self.engine.left(tab)


def _attached(name: str, content: bytes, kind: str) -> Response:
    """A download; its name is one of ours, or plain letters."""
    return Response(content, media_type=kind, headers={"content-disposition": f'attachment; filename="{name}"'})


def page_app(engine: Engine, door: Door) -> ASGIApp:
    """The whole application, guarded."""
    pages = _Pages(engine, door)

    @asynccontextmanager
    async def lifespan(_: Starlette) -> AsyncIterator[None]:
        try:
            yield
        finally:
            engine.end()

    routes = [
        Route("/", pages.first),
        Route("/static/{name}", pages.static),
        Route("/words.json", pages.words),
        Route("/design/{tab}", pages.design),
        Route("/result/{tab}/{name}", pages.result),
        Route("/sheet/{tab}", pages.sheet),
        Route("/survey/{tab}/{name}", pages.survey),
        WebSocketRoute("/live", pages.live),
    ]
    return Guard(Starlette(routes=routes, lifespan=lifespan), door, engine.said)
