"""`shellcheck-earth page`: the live page on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.views.cli.options import OutFolder, Spoken

__all__ = ["page"]

LIBRARIES = ("starlette", "uvicorn", "websockets", "tomlkit", "segno")


def _require() -> None:
    """InputError naming the extra where one of its libraries is missing."""
    from importlib.util import find_spec

    missing = [name for name in LIBRARIES if find_spec(name) is None]
    if missing:
        extra = 'the extra "page": pip install "shellcheck_earth[page]"'
        raise InputError([Problem("page", extra, f"no {', '.join(missing)}")])


def page(
    design: Path | None = None,
    *,
    out: OutFolder = None,
    port: Annotated[int, Parameter(help="Port on this machine; 0 for a free one.")] = 0,
    browser: Annotated[bool, Parameter(help="Open the browser.")] = True,
    share: bool = False,
    language: Spoken = "en",
) -> int:
    """Show a dome live in the browser: move a slider, see the thrust lines move. Nothing leaves this machine.

    Parameters
    ----------
    design
        The design file (TOML) to begin with; without it, the starter design of `new`. It is never written to.
    out
        Folder for the files of a whole check, and of an answer to a survey. Without it they can be downloaded from the
        page, and are kept nowhere.
    share
        Let phones in the same network look on, with a code that is good for this run alone. They see one tab, and
        change nothing unless you let them; what is sent is not encrypted.
    """
    _require()
    if not 0 <= port <= 65535:
        raise InputError([Problem("--port", "a port from 0 to 65535", str(port))])
    from shellcheck_earth.views.page.run import serve
    from shellcheck_earth.views.text.language import words

    return serve(design, out=out, port=port, browser=browser, share=share, language=words(language).language)
