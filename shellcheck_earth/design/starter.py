"""The commented design file a new user starts from."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from shellcheck_earth.basics.errors import OutputError

__all__ = ["starter_text", "write_new_file", "write_starter"]

SCHEMA = "design.schema.json"


def starter_text() -> str:
    """The commented design that `new` writes."""
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
    """Write the starter design, and beside it the schema that editors complete its keys from; an existing design is
    never overwritten (OutputError); a file that has the schema's name already stays as it is."""
    write_new_file(path, starter_text())
    schema = path.with_name(SCHEMA)
    if not schema.exists():
        write_new_file(schema, files("shellcheck_earth.design").joinpath(SCHEMA).read_text(encoding="utf-8"))
