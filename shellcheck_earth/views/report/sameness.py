"""Columns that say the same in every row: a sentence instead of a column of zeros or of one word."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.views.report.layout import Block, Column, paragraph, table
from shellcheck_earth.views.text.language import _

__all__ = ["told_once"]

FEWEST = 3
"""Rows from which on a column that never changes is told once."""

NOTHING = ("", "-")


def told_once(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], caption: str = "", size: float = 8.0
) -> list[Block]:
    """A table without the columns in which every row says the same, and a sentence with what they say; what is only
    dashes is not even said. The first column, which names the rows, stays.
    """
    if len(rows) < FEWEST:
        return [table(columns, rows, caption, size)]
    same = {index for index in range(1, len(columns)) if len({row[index] for row in rows}) == 1}
    kept = [index for index in range(len(columns)) if index not in same]
    said = [
        " ".join(f"{columns[index].title}: {rows[0][index]}".split())
        for index in sorted(same)
        if rows[0][index] not in NOTHING and columns[index].title
    ]
    out: list[Block] = []
    if said:
        out.append(paragraph(_("The same in every row, and left out of the table: {said}.", said="; ".join(said))))
    if len(kept) < 2:
        return out
    return [*out, table([columns[index] for index in kept], [[row[i] for i in kept] for row in rows], caption, size)]
