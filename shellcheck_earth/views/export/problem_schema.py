"""The JSON Schema of a written block problem; `problem.schema.json` beside this module is what it writes.

Written anew with: python -m shellcheck_earth.views.export.problem_schema
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from shellcheck_earth.mechanics.proof.block_problem import FORMAT, KIND, NUMBER, UNITS

__all__ = ["FILE", "problem_schema", "problem_schema_text"]

FILE = Path(__file__).with_name("problem.schema.json")

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
DECIMAL: Schema = {"type": "string", "pattern": f"^{NUMBER.pattern}$"}


def _said(schema: Schema, words: str) -> Schema:
    return schema | {"description": words}


def _list(items: Schema, words: str, count: int | None = None) -> Schema:
    size = {} if count is None else {"minItems": count, "maxItems": count}
    return {"type": "array", "items": items, "description": words} | size


def _table(properties: Schema, words: str) -> Schema:
    """Exactly these keys, all of them there."""
    keys = {"properties": properties, "required": list(properties), "additionalProperties": False}
    return {"type": "object", **keys, "description": words}


def _number(words: str) -> Schema:
    return _said(DECIMAL, words)


def _block(least: int, words: str) -> Schema:
    return {"type": "integer", "minimum": least, "description": words}


def _blocks() -> Schema:
    properties = {
        "label": _said(TEXT, "what it is in the work"),
        "centre": _list(DECIMAL, "centre of gravity: east, north and up of the middle of the springing plane", 3),
        "length": _number("a length of the block, only to scale its moments for a solver"),
        "weight": _number("downwards through the centre: the dead load"),
        "live": _list(DECIMAL, "live load: force, and moment about the centre", 6),
        "handed": _list(DECIMAL, "dead load beside the weight, of every block or of none: force and moment", 6),
    }
    block = _table(properties, "A rigid block")
    block["required"] = [key for key in block["required"] if key != "handed"]
    return _list(block, "named by their places in this list, from 0")


def _faces() -> Schema:
    point = _list(DECIMAL, "a point force acts here", 3)
    properties = {
        "upper": _block(0, "the block that the forces of the certificate act on"),
        "lower": _block(-1, "the other block; -1: the ground"),
        "label": TEXT,
        "points": _list(point, "strip 1 at the first edge and at the second, strip 2 likewise", 4),
        "friction": _number("at every point: shear at most so many times the pressing force"),
        "strength": _number("of each strip, l wide: N^2 <= 2 f l (sum of n d), about either edge"),
    }
    return _list(_table(properties, "A flat contact: presses, never pulls"), "a contact each")


def _ties() -> Schema:
    properties = {
        "upper": _block(0, "one block"),
        "lower": _block(0, "the other"),
        "at": _list(DECIMAL, "a point of its line", 3),
        "pull": _list(DECIMAL, "on the lower block per unit of tension; the upper one is drawn the other way", 3),
        "most": _number("greatest tension"),
    }
    return _list(_table(properties, "A bounded tension between two blocks"), "wire, or ties of lintels")


def problem_schema() -> Schema:
    """JSON Schema 2020-12: every number a decimal in a text; solution, certificate and digest together or none."""
    asked: Schema = {
        "format": {"const": FORMAT},
        "kind": {"const": KIND},
        "name": TEXT,
        "about": TEXT,
        "design": TEXT,
        "design_sha256": TEXT,
        "units": {"const": UNITS},
        "width": _number("of the wall: a moment that is left unbalanced is measured by it"),
        "most": _number("greatest multiple of the live load that is looked for, up to 1000"),
        "blocks": _blocks(),
        "faces": _faces(),
        "ties": _ties(),
    }
    certificate = {
        "multiple": _number("of the live load that these forces hold beside the dead load"),
        "forces": _list(_list(DECIMAL, "on the upper block at the four points", 12), "a row a face"),
        "tensions": _list(DECIMAL, "one a tie"),
    }
    solved: Schema = {
        "solution": _table({"multiple": DECIMAL, "solver": TEXT}, "the greatest multiple, as the solver found it"),
        "certificate": _table(certificate, "forces that the checker confirms"),
        "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$", "description": "SHA-256 of all the rest"},
    }
    words = (
        "The largest multiple of the live load that some forces hold beside the dead load (STATEMENT.md, section 13)."
    )
    table = _table(asked, words)
    together = {name: [one for one in solved if one != name] for name in solved}
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "A problem of rigid blocks"}
    return head | table | {"properties": asked | solved, "dependentRequired": together}


def problem_schema_text() -> str:
    """The schema as it is kept beside this module."""
    return json.dumps(problem_schema(), indent=1) + "\n"


if __name__ == "__main__":
    FILE.write_text(problem_schema_text(), encoding="utf-8")
