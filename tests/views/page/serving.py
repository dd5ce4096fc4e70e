"""The page as a user starts it, in a process of its own, and which browser looks at it."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from shellcheck_earth.basics.errors import InputError, Problem

ROOT = Path(__file__).parents[3]
CLASSROOM = ROOT / "reports" / "garden-classroom" / "design.toml"
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
