"""The commented design file a new user starts from."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from shellcheck_earth.basics.errors import OutputError

__all__ = ["starter_text", "write_new_file", "write_starter"]


def starter_text() -> str:
    return files("shellcheck_earth.design").joinpath("starter_design.toml").read_text(encoding="utf-8")


def write_new_file(path: Path, text: str) -> None:
    """Write a file that must not exist yet, whole or not at all; OutputError otherwise."""
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(text)
    except FileExistsError:
        raise OutputError(
            f"{path}: expected a name that is free, found a file or folder; nothing was written"
        ) from None
    except OSError as error:
        raise OutputError(
            f"{path}: expected a place to write, found: {(error.strerror or 'an error').lower()}"
        ) from None


def write_starter(path: Path) -> None:
    """Write the starter design; an existing file is never overwritten (OutputError)."""
    write_new_file(path, starter_text())
