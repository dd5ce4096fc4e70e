"""Where the compiler and the drawing library keep what later runs use again; where nothing can be written, nowhere.

A package may be installed read-only and a home may be missing (containers, school rooms): neither may stop a run.
Everything here asks for a place, tries it, and goes on to the next: beside the code, the user's cache, the folder for
temporary files. What was compiled is loaded again as code, so a folder that others may write to is not used, and the
folder's name holds a digest of the sources, for the compiler's own cache does not see changes in another file.
"""

from __future__ import annotations

import hashlib
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from shellcheck_earth.basics.machine import Called, Compiled, Place

__all__ = ["charts_folder", "compiled", "compiler_folder", "keep_charts_folder", "nothing_compiled_yet"]

PACKAGE = Path(__file__).parents[1]

F = TypeVar("F", bound=Callable[..., Any])


def _usable(folder: Path) -> bool:
    """Ours alone, and a file can be written there."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if hasattr(os, "geteuid"):
            found = folder.stat()
            if found.st_uid != os.geteuid() or found.st_mode & 0o022:
                return False
        with tempfile.TemporaryFile(dir=folder) as trial:
            trial.write(b"\0" * 4096)
    except (OSError, RuntimeError):
        return False
    return True


def _bases() -> Iterator[Path]:
    if os.environ.get("XDG_CACHE_HOME"):
        yield Path(os.environ["XDG_CACHE_HOME"]) / "shellcheck_earth"
    with suppress(RuntimeError):  # no home at all
        yield Path.home() / ".cache" / "shellcheck_earth"
    who = os.geteuid() if hasattr(os, "geteuid") else "user"
    with suppress(FileNotFoundError):  # not even a folder for temporary files
        yield Path(tempfile.gettempdir()) / f"shellcheck_earth-{who}"


@cache
def _sources_digest() -> str:
    """Of every source that holds compiled functions."""
    found = hashlib.sha256()
    for path in sorted((PACKAGE / "mechanics").rglob("*.py")):
        text = path.read_bytes()
        if b"@compiled" in text or b"import compiled" in text:
            found.update(path.name.encode() + b"\0" + text)
    return found.hexdigest()[:16]


@cache
def compiler_folder() -> Path | None:
    """Where compiled functions are kept, for this process; None where there is no place for them."""
    own = f"compiled-{_sources_digest()}"
    stated = os.environ.get("NUMBA_CACHE_DIR")
    bases = [Path(stated)] if stated else []
    for base in [*bases, PACKAGE / "mechanics" / "__pycache__", *_bases()]:
        if _usable(base / own):
            return base / own
    return None


def _not_compiled() -> bool:
    """Does the interpreter run everything, as a user has set it?"""
    return os.environ.get("NUMBA_DISABLE_JIT", "0") not in ("", "0")


def nothing_compiled_yet() -> bool:
    """Will the next question to the compiled functions wait for the compiler?"""
    if _not_compiled():
        return False
    folder = compiler_folder()
    return folder is None or not any(folder.rglob("*.nbi"))


@contextmanager
def _keeping(folder: Path) -> Iterator[None]:
    """The compiler's setting for the moment in which a function of ours is marked; another program's stays as it is."""
    from numba.core import config as settings

    config: Any = settings
    before = config.CACHE_DIR
    config.CACHE_DIR = str(folder)
    try:
        yield
    finally:
        config.CACHE_DIR = before


def compiled(
    function: F | None = None, *, nogil: bool = False, inline: bool = False, takes: str = "", gives: str = ""
) -> Any:
    """Compile a function at its first call, and keep the outcome for later runs where there is a place for it.

    nogil: let other threads run meanwhile. inline: write it out in every compiled function that calls it, where a call
    and the counting of references to its arrays would cost more than its work. takes, gives: for a function that is
    called from Python and allocates nothing, the kinds of its arguments and of what it returns, a letter each
    (`machine.KINDS`): later runs load it without the compiler.
    """
    if function is None:
        return lambda inner: compiled(inner, nogil=nogil, inline=inline, takes=takes, gives=gives)
    if _not_compiled():
        return function
    way: dict[str, Any] = {"error_model": "numpy", "nogil": nogil, "inline": "always" if inline else "never"}
    return Compiled(function, way, Called(takes, gives), Place(compiler_folder, _keeping))


@cache
def charts_folder() -> Path | None:
    """A folder of our own for the drawing library: what a user has set for other charts is not to change a report."""
    for base in _bases():
        if _usable(base / "charts"):
            return base / "charts"
    return None


def keep_charts_folder() -> None:
    """Tell the drawing library where to keep its list of fonts; before it is imported."""
    folder = charts_folder()
    if folder is not None and "MPLCONFIGDIR" not in os.environ and "matplotlib" not in sys.modules:
        os.environ["MPLCONFIGDIR"] = str(folder)
