"""Finished parts of a long study, kept in its output folder until the study is done.

A part's name holds a digest of all that its numbers come from: what is asked, the sources and the version. What is read
is bounded and carries a checksum of its own; what does not fit is computed again. Once the results are written, the
parts go.
"""

from __future__ import annotations

import hashlib
import json
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import shellcheck_earth
from shellcheck_earth.basics.errors import InputError, RunError
from shellcheck_earth.basics.reading import read_text

__all__ = ["Parts", "parts_digest", "sources_digest"]

PACKAGE = Path(__file__).parents[1]

LARGEST_PART = 20_000_000
"""Bytes of a part that is read; one of a comparison has some ten thousand."""


@cache
def sources_digest() -> str:
    """Of everything that answers come from: all sources and value files but the views (line ends apart)."""
    found = hashlib.sha256()
    for path in sorted(one for kind in ("*.py", "*.toml") for one in PACKAGE.rglob(kind)):
        place = path.relative_to(PACKAGE).as_posix()
        if not place.startswith("views/"):
            found.update(f"{place}\0".encode() + path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return found.hexdigest()


def parts_digest(*asked: Any) -> str:
    """Of what is asked (plain data, by its `repr`), the sources and the version."""
    said = repr((shellcheck_earth.__version__, sources_digest(), asked))
    return hashlib.sha256(said.encode()).hexdigest()[:20]


@dataclass(frozen=True)
class Parts:
    """The parts of one study in their folder, by number."""

    folder: Path
    digest: str

    @property
    def kept(self) -> str:
        """What a user is told when workers are lost."""
        return f"Finished parts are kept in {self.folder}: the same command goes on there."

    def _path(self, number: int) -> Path:
        return self.folder / f"{self.digest}-{number:05d}.json"

    def read(self, number: int) -> Any:
        """The data of a part; None when it is not there, or not as it was written."""
        path = self._path(number)
        try:
            if not path.is_file():
                return None
            seal, _, text = read_text(path, "a finished part", LARGEST_PART).partition("\n")
            return json.loads(text) if seal == self._seal(number, text) else None
        except (InputError, OSError, ValueError, RecursionError):
            return None

    def write(self, number: int, data: Any) -> None:
        """Keep a part, whole or not at all; RunError when the disk fails."""
        text = json.dumps(data)
        part = self.folder / f".{self.digest}-{number:05d}.part"
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            part.write_text(f"{self._seal(number, text)}\n{text}", encoding="utf-8", newline="\n")
            part.replace(self._path(number))
        except OSError as error:
            with suppress(OSError):
                part.unlink(missing_ok=True)
            reason = (error.strerror or "an error").lower()
            raise RunError(f"{self.folder}: a finished part could not be kept ({reason})") from None

    def clear(self) -> None:
        """Take this study's parts away, and the folder where nothing else is in it."""
        with suppress(OSError):
            for path in self.folder.glob(f"*{self.digest}-*"):
                path.unlink(missing_ok=True)
            self.folder.rmdir()

    def _seal(self, number: int, text: str) -> str:
        return hashlib.sha256(f"{self.digest}\0{number}\0{text}".encode()).hexdigest()
