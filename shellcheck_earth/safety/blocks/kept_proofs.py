"""Proofs of finished block cases kept beside them, so that a second run hands over the same ones and solves nothing.

They need no trust: each is held to the wall of the design by the checker's own arithmetic before it counts, and what
does not show what is relied on is sought anew. Compressed, for they are whole numbers of many digits.
"""

from __future__ import annotations

import gzip
import json
import zlib
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from shellcheck_earth.basics.whole import write_whole
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.kept import key_of

__all__ = ["read_proofs", "write_proofs"]

MOST_KEPT, MOST_READ = 50_000_000, 400_000_000
"""Bytes of a file, and of what it unpacks to."""


def _path(folder: Path, dome: Dome, job: Job, cuts: tuple[int, ...]) -> Path:
    return folder / f"{job.id}-{key_of(dome, job, cuts)[:20]}.proofs.json.gz"


def read_proofs(folder: Path | None, dome: Dome, job: Job, cuts: tuple[int, ...]) -> Mapping[str, str]:
    """Name of the case -> its proof as JSON, unchecked; {} where none are kept or the file does not fit."""
    if folder is None:
        return {}
    path = _path(folder, dome, job, cuts)
    try:
        if not path.is_file() or path.stat().st_size > MOST_KEPT:
            return {}
        unpacked = zlib.decompressobj(wbits=31).decompress(path.read_bytes(), MOST_READ)
        found = json.loads(unpacked)
        whole = isinstance(found, list) and all(isinstance(one, dict) for one in found)
        return {str(one.get("case")): json.dumps(one, separators=(",", ":")) for one in found} if whole else {}
    except (OSError, ValueError, zlib.error, RecursionError):
        return {}


def write_proofs(folder: Path | None, dome: Dome, job: Job, cuts: tuple[int, ...], proofs: Sequence[str]) -> None:
    """Keep the proofs of a case, whole or not at all; nothing without a folder or where it cannot be written."""
    if folder is None or not proofs:
        return
    with suppress(OSError):
        write_whole(_path(folder, dome, job, cuts), gzip.compress(f"[{','.join(proofs)}]".encode(), 6, mtime=0))
