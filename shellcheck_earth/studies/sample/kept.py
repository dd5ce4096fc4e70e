"""Finished blocks of a study, one file each, so that an interrupted study carries on."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import fields
from pathlib import Path
from typing import Any, Protocol, TypeVar

import numpy as np

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.basics.whole import write_whole

__all__ = ["keep", "known_blocks"]

LARGEST_BLOCK = 20_000_000
"""Bytes of a block that is read."""


class Named(Protocol):
    @property
    def name(self) -> str: ...


N = TypeVar("N", bound=Named)
T = TypeVar("T")


def _path(folder: Path, digest: str, job: Named) -> Path:
    return folder / f"{digest}-{job.name}.json"


def _read(path: Path, kind: type[T]) -> T | None:
    """A finished block, a frozen class of arrays, from its file; None when it is not whole."""
    try:
        data = json.loads(read_text(path, "a finished block", LARGEST_BLOCK))
        arrays: dict[str, Any] = {name: np.array(data[name], dtype=np.float64) for name in _names(kind)}
        return kind(**arrays)
    except (InputError, ValueError, KeyError, TypeError, RecursionError):
        return None


def _names(kind: Any) -> list[str]:
    return [field.name for field in fields(kind)]


def known_blocks(folder: Path | None, digest: str, jobs: Iterable[N], kind: type[T]) -> dict[N, T]:
    """Those of the blocks that the folder holds; none where there is no folder."""
    known: dict[N, T] = {}
    if folder is None or not folder.is_dir():
        return known
    for job in jobs:
        path = _path(folder, digest, job)
        kept = _read(path, kind) if path.is_file() else None
        if kept is not None:
            known[job] = kept
    return known


def keep(folder: Path | None, digest: str, job: Named, block: object) -> None:
    """The block in its file, whole or not at all; nothing where there is no folder."""
    if folder is None:
        return
    text = json.dumps({name: getattr(block, name).tolist() for name in _names(block)})
    write_whole(_path(folder, digest, job), text.encode())
