"""What an output folder still holds of another design: removed where `check` writes it, named where it does not.

Only files that this program writes, by name, and that carry the digest of a design are looked at.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from shellcheck_earth.views.text.language import _

__all__ = ["Leftovers", "clear_leftovers", "digest_in"]

OF_CHECK = (
    *("courses.csv", "courses.xlsx", "section.svg", "section-phone.svg"),
    *("assessment.json", "report.pdf", "mechanism.glb"),
)
OF_STUDIES = (
    *("explain.pdf", "explain.json", "collapse.svg", "choose.pdf", "choose.json"),
    *("compare.csv", "compare.xlsx", "compare.pdf", "chance.json", "chance.csv", "chance.pdf"),
    *("shake.svg", "shake.csv", "shake.json", "survey.pdf", "survey.json", "settings.csv", "build-card.pdf"),
    *("joined.json", "joined.svg", "joined.pdf"),
    *("section.dxf", "plan.dxf", "elevations.dxf", "dome.stl", "dome.3mf"),
)

LARGEST = 50_000_000
"""Bytes; a larger file is none of ours."""

_DIGEST = re.compile(rb"design_sha256[\":\s,]{1,6}([0-9a-f]{64})")
_LAST_COLUMN = re.compile(rb"design_sha256\n(?:[^\n]*,)?([0-9a-f]{64})\n")


@dataclass(frozen=True)
class Leftovers:
    """Names of files of another design: those that were removed, and those that stay (a study may have taken hours)."""

    removed: tuple[str, ...] = ()
    left: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """What to tell the user."""
        out = []
        if self.removed:
            out.append(_("Removed, for it belonged to another design: {names}.", names=", ".join(self.removed)))
        if self.left:
            out.append(
                _(
                    "Still there, but of another design or of this one before a change: {names}.",
                    names=", ".join(self.left),
                )
            )
        return out


def digest_in(path: Path) -> str:
    """The digest of the design that a file of ours carries; empty when there is none or it cannot be read."""
    try:
        if not path.is_file() or path.stat().st_size > LARGEST:
            return ""
        if path.suffix == ".xlsx":
            with zipfile.ZipFile(path) as book:
                content = book.read("docProps/core.xml")
        else:
            content = path.read_bytes()
    except (OSError, KeyError, zipfile.BadZipFile):
        return ""
    # In a table the digest is the last column, under its head.
    found = (_LAST_COLUMN if path.suffix == ".csv" else _DIGEST).search(content)
    return found[1].decode() if found else ""


def clear_leftovers(folder: Path, digest: str, written: Iterable[str]) -> Leftovers:
    """Remove what `check` once wrote for another design and has not written now; name what the studies wrote for one.

    written: names of the files that were written just now.
    """
    new, removed, left = set(written), [], []
    for name in (*OF_CHECK, *OF_STUDIES):
        if name in new or digest_in(folder / name) in ("", digest):
            continue
        if name in OF_CHECK and "report.pdf" in new:
            with suppress(OSError):
                (folder / name).unlink()
                removed.append(name)
                continue
        left.append(name)
    return Leftovers(tuple(removed), tuple(left))
