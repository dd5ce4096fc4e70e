"""The page as a user starts it, in a process of its own, and which browser looks at it."""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from websockets.sync import client as websockets

from shellcheck_earth.basics.errors import InputError, Problem

ROOT = Path(__file__).parents[3]
CLASSROOM = ROOT / "reports" / "garden-classroom" / "design.toml"
STORE = ROOT / "reports" / "tool-store" / "design.toml"
NARROW = ROOT / "reports" / "examples" / "narrow-store.toml"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@dataclass(frozen=True)
class Served:
    """A page of a run of its own: its address with the key, its port and its process."""

    address: str
    process: subprocess.Popen[str]

    @property
    def port(self) -> int:
        return int(re.search(r":(\d+)/", self.address)[1])  # type: ignore[index]

    @property
    def key(self) -> str:
        return self.address.partition("key=")[2]

    @property
    def cookie(self) -> str:
        return f"shellcheck-earth-{self.port}={self.key}"


def fetched(
    served: Served, path: str, method: str = "GET", host: str = "127.0.0.1", **headers: str
) -> tuple[int, dict[str, str], bytes]:
    """Status, headers, body of one request, by an address of the server, with these headers alone."""
    given = {"Host": f"{host}:{served.port}"} | {name.replace("_", "-"): value for name, value in headers.items()}
    connection = http.client.HTTPConnection(host, served.port, timeout=10)
    try:
        connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
        for name, value in given.items():
            connection.putheader(name, value)
        connection.endheaders()
        answer = connection.getresponse()
        return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
    finally:
        connection.close()


def socket_of(served: Served, host: str = "127.0.0.1", tab: str = "", **changed: str) -> Any:
    """A socket as the page opens it, with this run's cookie; a header that is "" is left out."""
    headers = {"Cookie": served.cookie, "Origin": f"http://{host}:{served.port}"} | changed
    return websockets.connect(
        f"ws://{host}:{served.port}/live?tab={tab}",
        additional_headers={name: value for name, value in headers.items() if value},
        max_size=None,
        open_timeout=10,
    )


def until(line: Any, kind: str, number: int = 0, **wanted: object) -> dict[str, Any]:
    """The next message of a kind that shows at least message `number`, with these values."""
    while True:
        message: dict[str, Any] = json.loads(line.recv(timeout=20))
        if message["kind"] != kind or message.get("n", number) < number:
            continue
        if all(message.get(name) == value for name, value in wanted.items()):
            return message


def start(*arguments: str) -> Served:
    """The command in a process of its own, as a user starts it."""
    process = subprocess.Popen(
        [sys.executable, "-m", "shellcheck_earth", "page", *arguments, "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        cwd=ROOT,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )
    assert process.stdout is not None
    line = process.stdout.readline()
    found = re.search(r"http://127\.0\.0\.1:\d+/\?key=[\w-]+", line)
    assert found, line + process.stdout.read()
    return Served(found[0], process)


def stop(served: Served) -> int:
    """Ctrl-C; the exit code."""
    served.process.send_signal(signal.SIGINT)
    try:
        return served.process.wait(timeout=15)
    finally:
        served.process.kill()
        if served.process.stdout is not None:
            served.process.stdout.close()


def slow_work(asked: str, cache: Path | None, progress: Callable[[str, int, int], None]) -> str:
    """Work that starts a process of its own, says where it is, and never ends by itself."""
    del cache
    child = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
    Path(asked).write_text(f"{os.getpid()} {child.pid}", encoding="utf-8")
    progress("waiting", 1, 2)
    child.wait()
    return "never"


def quick_work(asked: str, cache: Path | None, progress: Callable[[str, int, int], None]) -> str:
    """Work that ends at once, well or with what it is asked for."""
    del cache
    progress("working", 0, 1)
    if asked == "refuse":
        raise InputError([Problem("design", "one that can be used", "none")])
    if asked == "fail":
        raise ZeroDivisionError("/home/someone/secret")
    return asked.upper()
