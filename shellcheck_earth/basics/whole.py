"""A file that is there whole or not at all, whatever breaks off its writing."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

__all__ = ["write_whole"]


def write_whole(path: Path, content: bytes) -> None:
    """Write it under another name and move it there, with its folder where that is missing; processes that write the
    same file at once do not meet. OSError as the system says it: nothing of it is left then.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(path)
    except OSError:
        with suppress(OSError):
            part.unlink()
        raise
