"""Row heads in the tags of a PDF: the typesetter tags the heads of columns, but every cell below them as data.

What is read aloud with a cell are the heads that its element names (ISO 14289-1, 7.5; ISO 32000-1, 14.8.4.3.4 and table
349, recalled): here the first cell of a row becomes its head, and the others name it beside that of their column.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from typing import Any

from shellcheck_earth.basics.errors import OutputError

__all__ = ["with_row_heads"]


def with_row_heads(pdf: bytes, heads: Sequence[bool]) -> bytes:
    """The PDF with the first cell of every body row tagged as its head, in tables that have such heads; the same bytes
    always come of the same PDF.

    heads: of every table in the order of the document. OutputError where the document does not have so many tables.
    """
    if not any(heads):
        return pdf
    import pikepdf

    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        root = document.Root.StructTreeRoot
        tables = list(_below(root, "/Table"))
        if len(tables) != len(heads):
            raise OutputError(f"the report could not be tagged: expected {len(heads)} tables, found {len(tables)}")
        names = pikepdf.NameTree(root.IDTree) if "/IDTree" in root else pikepdf.NameTree.new(document)
        for number, table in enumerate(tables):
            for row, cells in enumerate(_rows(table) if heads[number] else ()):
                _name_row(document, names, cells, f"R{number}y{row}")
        root.IDTree = names.obj
        document.save(out, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.preserve)
    return out.getvalue()


def _children(element: Any) -> list[Any]:
    """The structure elements right below one, without the marks of what is on the page."""
    import pikepdf

    found = element.get("/K", [])
    every = list(found) if isinstance(found, pikepdf.Array) else [found]
    return [one for one in every if isinstance(one, pikepdf.Dictionary) and "/S" in one]


def _below(element: Any, kind: str) -> Iterator[Any]:
    for child in _children(element):
        if kind == str(child.S):
            yield child
        else:
            yield from _below(child, kind)


def _rows(table: Any) -> list[list[Any]]:
    """The cells of every row of the table's body."""
    rows = [_children(row) for row in _below(table, "/TR")]
    return [cells for cells in rows if cells and str(cells[0].S) == "/TD"]


def _name_row(document: Any, names: Any, cells: list[Any], name: str) -> None:
    import pikepdf

    head, *others = cells
    if not head.get("/K"):
        return  # an empty cell is the head of nothing
    head.S = pikepdf.Name("/TH")
    head.ID = pikepdf.String(name)
    _attributes(head)["/Scope"] = pikepdf.Name("/Row")
    names[name] = head if head.is_indirect else document.make_indirect(head)
    for cell in others:
        said = _attributes(cell)
        said["/Headers"] = pikepdf.Array([*said.get("/Headers", []), pikepdf.String(name)])


def _attributes(cell: Any) -> Any:
    """The attributes of a cell as one of a table; made where it has none."""
    import pikepdf

    found = cell.get("/A", [])
    every = list(found) if isinstance(found, pikepdf.Array) else [found]
    for one in every:
        if one.get("/O") == "/Table":
            return one
    cell.A = pikepdf.Array([*every, pikepdf.Dictionary({"/O": pikepdf.Name("/Table")})])
    return cell.A[-1]
