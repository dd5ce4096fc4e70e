"""Finished parts of a long study, kept in its output folder until the study is done.

A part's name holds a digest of all that its numbers come from: what is asked, the sources and the version. What is read
is bounded and carries a checksum of its own; what does not fit is computed again. Once the results are written, the
parts go.
"""

from __future__ import annotations

import hashlib
import json
import types
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

import shellcheck_earth
from shellcheck_earth.basics.errors import InputError, RunError
from shellcheck_earth.basics.parallel import NOTHING_KEPT, Crew, each
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.basics.whole import write_whole

__all__ = ["Parts", "as_kind", "kept_or_made", "parts_digest", "sources_digest", "spread_kept"]

Piece = TypeVar("Piece")
Answer = TypeVar("Answer")

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
        try:
            write_whole(self._path(number), f"{self._seal(number, text)}\n{text}".encode())
        except OSError as error:
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


def as_kind(kind: Any, data: Any) -> Any:
    """What a part holds, as the frozen data it was written from; TypeError where it does not fit.

    kind: a dataclass, a tuple of kinds, a choice of kinds or of words, None, or the class of a plain value.
    """
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        for one in inner:
            with suppress(TypeError):
                return as_kind(one, data)
        raise TypeError
    if origin is Literal and data in inner:
        return data
    if origin is tuple and isinstance(data, list):
        kinds = [inner[0]] * len(data) if inner[1:] == (Ellipsis,) else list(inner)
        if len(kinds) == len(data):
            return tuple(as_kind(one, value) for one, value in zip(kinds, data, strict=True))
    elif is_dataclass(kind) and isinstance(kind, type) and isinstance(data, dict):
        hints = get_type_hints(kind)
        if set(hints) == set(data):
            return kind(**{name: as_kind(hints[name], value) for name, value in data.items()})
    elif type(data) is kind or (kind is float and type(data) is int):
        return data
    raise TypeError


def _plain(data: Any) -> Any:
    if is_dataclass(data) and not isinstance(data, type):
        return asdict(data)
    return [_plain(one) for one in data] if isinstance(data, tuple) else data


def _known(parts: Parts | None, number: int, kind: Any) -> list[Any]:
    """A list of the one answer that a part holds; empty where there is none that fits."""
    data = None if parts is None else parts.read(number)
    if isinstance(data, list) and len(data) == 1:
        with suppress(TypeError):
            return [as_kind(kind, data[0])]
    return []


def kept_or_made(parts: Parts | None, number: int, kind: Any, make: Callable[[], Answer]) -> Answer:
    """The answer of a part, or else what `make` gives, which is then kept; RunError when the disk fails."""
    known = _known(parts, number, kind)
    if known:
        found: Answer = known[0]
        return found
    made = make()
    if parts is not None:
        parts.write(number, [_plain(made)])
    return made


def spread_kept(
    work: Callable[[Piece], Answer],
    pieces: Sequence[Piece],
    crew: Crew,
    done: Callable[[int], None],
    parts: tuple[Parts | None, int, Any] = (None, 0, None),
) -> list[Answer]:
    """As `basics.parallel.spread`, each answer kept as a part of its own as soon as it and all before it are there.

    parts: where they are kept, the number of the first, and what an answer is. RunError as `Parts.write`.
    """
    keeper, first, kind = parts
    found = {at: known[0] for at in range(len(pieces)) if (known := _known(keeper, first + at, kind))}
    missing = [at for at in range(len(pieces)) if at not in found]
    kept = NOTHING_KEPT if keeper is None else keeper.kept
    for at, answer in zip(missing, each(work, [pieces[at] for at in missing], crew, kept=kept), strict=True):
        found[at] = answer
        if keeper is not None:
            keeper.write(first + at, [_plain(answer)])
        done(len(found))
    return [found[at] for at in range(len(pieces))]
