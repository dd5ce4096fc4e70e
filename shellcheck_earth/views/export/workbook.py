"""Tables as a spreadsheet (.xlsx): numbers as numbers, texts never as formulas; same tables, same bytes."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

__all__ = ["Cell", "DataTable", "text_cell", "workbook"]

Cell = float | int | str | None
"""None and what is not finite become empty cells."""

MADE = datetime(2026, 1, 1)
"""The date a workbook must carry; a fixed one, for a real one would change the bytes."""


@dataclass(frozen=True)
class DataTable:
    """A sheet: `heads` name the columns, with their unit; `rows` are as wide as the heads."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def text_cell(text: str) -> str:
    """A text that a spreadsheet will not take for a formula when it opens a CSV."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def _write(sheet: Any, row: int, column: int, cell: Cell) -> None:
    if isinstance(cell, str):
        sheet.write_string(row, column, cell)
    elif cell is not None and math.isfinite(cell):
        sheet.write_number(row, column, cell)


def workbook(tables: Sequence[DataTable], title: str, digest: str) -> bytes:
    """The file: one sheet a table, then one that says which design it belongs to (its SHA-256)."""
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"title": title, "keywords": f"design_sha256:{digest}", "created": MADE})
    bold = book.add_format({"bold": True, "text_wrap": True, "valign": "top"})
    about = DataTable(
        "about",
        ("what", "value"),
        (
            ("title", title),
            ("design_sha256", digest),
            ("caution", "A calculation, not a permit: a licensed structural engineer must check it."),
        ),
    )
    for table in (*tables, about):
        sheet = book.add_worksheet(table.name)
        for column, head in enumerate(table.heads):
            sheet.write_string(0, column, head, bold)
            widest = max((len(str(row[column])) for row in table.rows), default=0)
            sheet.set_column(column, column, min(max(10, widest + 2), 60))
        for index, row in enumerate(table.rows):
            for column, cell in enumerate(row):
                _write(sheet, index + 1, column, cell)
        sheet.freeze_panes(1, 0)
    book.close()
    return out.getvalue()
