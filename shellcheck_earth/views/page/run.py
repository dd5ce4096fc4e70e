"""Start the page: take a port, open the browser, load the solver while the browser starts, serve until Ctrl-C."""

from __future__ import annotations

import socket
import sys
import threading
import webbrowser
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.kept import nothing_compiled_yet
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.views.page.security import Door
from shellcheck_earth.views.page.share import Share
from shellcheck_earth.views.render.screen import say
from shellcheck_earth.views.text.language import Language, _, speaking, words
from shellcheck_earth.views.text.page.words import COMPILING, ENDED, open_line, share_lines

if TYPE_CHECKING:  # loaded once the browser starts
    from shellcheck_earth.views.page.engine import Engine

__all__ = ["listen", "network_address", "serve"]

STARTER = "starter design"


def listen(port: int, address: str = "127.0.0.1") -> socket.socket:
    """A listening socket: a browser may knock before anything answers. InputError where the port is taken."""
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((address, port))
        found.listen(64)
    except OSError as error:
        found.close()
        reason = (error.strerror or "an error").lower()
        raise InputError([Problem("--port", "a port that is free on this machine", f"{port}: {reason}")]) from None
    return found


def _given(design: Path | None) -> tuple[str, str]:
    """Text and name of the design to begin with; InputError where it cannot be read."""
    if design is None:
        return starter_text(), STARTER
    from shellcheck_earth.design.file import read_text

    return read_text(design), design.name


def _check_design(text: str, name: str) -> None:
    from shellcheck_earth.geometry.reading import parse_design

    parse_design(text, name)


def network_address() -> str:
    """This machine's address in its network; InputError where it has none. Nothing is sent to find it out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address kept for documentation (RFC 5737)
            found = str(probe.getsockname()[0])
        except OSError:
            found = ""
    if not found or found.startswith(("127.", "0.")):
        raise InputError([Problem("--share", "a network that this machine is in", "none")])
    return found


def serve(
    design: Path | None,
    *,
    out: Path | None,
    port: int,
    browser: bool,
    share: bool = False,
    language: Language = "en",
) -> int:
    """Serve the page until it is interrupted; the exit code.

    language: of all that the page says. InputError for a design or a port that cannot be used, OutputError for a folder
    that cannot be written to.
    """
    text, name = _given(design)
    _check_design(text, name)
    if out is not None:
        from shellcheck_earth.views.export.output import check_folder

        check_folder(out)
    with speaking(words(language)), ExitStack() as sockets:
        there = [sockets.enter_context(listen(port))]
        door, others = Door(there[0].getsockname()[1]), None
        if share:
            others = Share(network_address(), door.port)
            there.append(sockets.enter_context(listen(door.port, others.host)))
            door = replace(door, others=(others.host,))
        address = f"http://127.0.0.1:{door.port}/?key={door.key}"
        lines = [open_line(address), *([] if others is None else share_lines(others.address, others.code))]
        say([*lines, *([_(COMPILING)] if nothing_compiled_yet() else [])])
        sys.stdout.flush()  # whoever reads the address may wait for it
        if browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        from shellcheck_earth.views.page.engine import Engine

        _serve(there, door, Engine(text, name, out, others, language))
        say([_(ENDED)])
    return 0


def _serve(there: list[socket.socket], door: Door, engine: Engine) -> None:
    import uvicorn

    from shellcheck_earth.views.page.security import LARGEST_MESSAGE
    from shellcheck_earth.views.page.server import page_app

    config = uvicorn.Config(
        page_app(engine, door),
        log_level="warning",
        access_log=False,
        server_header=False,
        date_header=False,
        ws_max_size=LARGEST_MESSAGE,
        ws_per_message_deflate=False,
        h11_max_incomplete_event_size=16_384,
        limit_concurrency=200,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=2,
    )
    try:
        uvicorn.Server(config).run(sockets=there)
    except KeyboardInterrupt:  # the one way to end the page
        pass
    finally:
        engine.end()
