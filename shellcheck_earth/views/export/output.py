"""Write results whole or not at all, into the folder the user named, over nothing of another kind."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Mapping
from pathlib import Path

from shellcheck_earth.basics.errors import OutputError, RunError
from shellcheck_earth.views.export.stale import Leftovers, clear_leftovers

__all__ = ["NAMES", "check_folder", "write_outputs"]

STARTS: dict[str, tuple[bytes, ...]] = {
    ".pdf": (b"%PDF-",),
    ".json": (b'{\n "format"', b'{\n "certificates"'),
    ".svg": (b"<svg", b"<?xml"),
    ".csv": (
        b"compass_mm",
        b"compass_ft_in",
        b"design,",
        b"path,",
        b"chance_of",
        b"wall_height_m",
        b"time_s,largest_mm",
    ),
    ".gltf": (b"{",),
    ".glb": (b"glTF",),
    ".toml": (b"\n[design]", b"# From "),
    ".xlsx": (b"PK\x03\x04",),
    ".dxf": (b"  0\nSECTION",),
    ".stl": (b"dome 1:",),
    ".3mf": (b"PK\x03\x04",),
}
"""How a file of each kind begins; one that begins otherwise is of another kind and is not overwritten. JSON and CSV
are told from a user's own by their first key or column, so a new kind of result has to be named here."""


NAMES = ("report.pdf", "assessment.json", "certificate.json", "courses.csv", "courses.xlsx", "section.svg")
"""What `check` always writes."""


def _refusal(path: Path, expected: str, found: str) -> OutputError:
    return OutputError(f"{path}: expected {expected}, found {found}; nothing was written")


def check_folder(folder: Path, *names: str) -> None:
    """OutputError unless the folder, or the nearest one above it that exists, can be written to, and nothing of
    another kind lies under these names: said before long work begins, not after it."""
    if folder.exists() and not folder.is_dir():
        raise _refusal(folder, "a folder", "a file")
    existing = folder
    while not existing.exists() and existing != existing.parent:
        existing = existing.parent
    if not existing.is_dir() or not os.access(existing, os.W_OK | os.X_OK):
        raise _refusal(folder, "a folder that can be written to", f"no permission to write in {existing}")
    for name in names:
        _check_target(folder / name)


def _check_target(path: Path) -> None:
    if not path.exists():
        return
    if not path.is_file():
        raise _refusal(path, "a free name or an older result", "a folder")
    with path.open("rb") as file:
        head = file.read(32)
    starts = STARTS.get(path.suffix, ())
    if head and not head.startswith(starts):
        raise _refusal(path, f"a free name or an older {path.suffix} result", "a file of another kind")


def write_outputs(folder: Path, contents: Mapping[str, bytes], digest: str) -> Leftovers:
    """Write all files or none: first beside their places, then renamed over them.

    digest: of the design they are about; gives what the folder held of another one. OutputError for a place that is
    taken or closed, RunError when the disk fails meanwhile.
    """
    check_folder(folder, *contents)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _refusal(folder, "a folder that can be written to", (error.strerror or "an error").lower()) from None
    waiting: list[tuple[Path, Path]] = []
    try:
        for name, content in contents.items():
            part = folder / f".{name}.{os.getpid()}.part"
            waiting.append((part, folder / name))
            part.write_bytes(content)
        for part, target in waiting:
            part.replace(target)
    except OSError as error:
        reason = (error.strerror or "an error").lower()
        raise RunError(f"{folder}: the results could not be written ({reason}); nothing was written") from None
    finally:
        for part, _ in waiting:
            with contextlib.suppress(OSError):
                part.unlink(missing_ok=True)
    return clear_leftovers(folder, digest, contents)
