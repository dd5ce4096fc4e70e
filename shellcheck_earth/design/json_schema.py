"""The JSON Schema of the design file, from its one declaration of keys; `design.schema.json` here is what it writes.

Written anew with: python -m shellcheck_earth.design.json_schema
"""

from __future__ import annotations

import json
import re
import types
from pathlib import Path
from typing import Any, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from shellcheck_earth.basics.units import SPOKEN, UNITS, Dimension
from shellcheck_earth.basics.values import criteria_set, criteria_sets, defaults
from shellcheck_earth.design.backfill import REASON
from shellcheck_earth.design.backfill import SPANS as EARTH_SPANS
from shellcheck_earth.design.criteria import FACTORS, FOLLOWS, MOST_ROWS, UNASKED
from shellcheck_earth.design.criteria import WORDS as ROW_WORDS
from shellcheck_earth.design.factor_set import WORDS
from shellcheck_earth.design.handed import SPANS
from shellcheck_earth.design.keys import Key, known_keys
from shellcheck_earth.design.schema import LOADS, LONGEST_TEXT, DesignTable, Table

__all__ = ["FILE", "design_schema", "schema_text"]

FILE = Path(__file__).with_name("design.schema.json")

Schema = dict[str, Any]

_NUMBER = r"[+-]?([0-9]+(\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]{1,2})?"
_FEET, _INCHES = r"(ft|foot|feet|['’′])", r"(in|inch|inches|[\"”″]|['’′]{2})"
_PART = r"[0-9]{1,2}/[0-9]{1,3}"
_LENGTHS = (
    rf"([0-9]{{1,6}}[ -])?[0-9]{{1,4}}/[0-9]{{1,4}} ?({_FEET}|{_INCHES})",
    rf"[0-9]{{1,6}} ?{_FEET}[ -]?([0-9]{{1,3}}(\.[0-9]+)?([ -]{_PART})?|{_PART}) ?{_INCHES}",
    rf"{_NUMBER} ?({_FEET}|{_INCHES})",
)
"""Fractions, feet and inches, and their marks: forms that only a length may have."""


def _quantity(dimension: Dimension) -> Schema:
    """A text of number and unit; shares and plain numbers may stand without."""
    named = (*UNITS[dimension], *(name for name in SPOKEN[dimension] if name[0].isalpha()))
    units = "|".join(re.escape(name).replace("\\ ", " ") for name in named)
    forms = [rf"{_NUMBER} ?({units})"] if units else []
    forms += _LENGTHS if dimension == "length" else []
    text = {"type": "string", "pattern": f"^({'|'.join(forms)})$", "maxLength": 60}
    if dimension == "share":
        return {"anyOf": [{"type": "number"}, text]}
    return text if units else {"type": "number"}


def _marked(schema: Schema) -> Schema:
    """The value itself, or with the word of how it is known."""
    table = {
        "type": "object",
        "properties": {"value": schema, "source": {"enum": ["measured", "assumed"]}},
        "required": ["value", "source"],
        "additionalProperties": False,
    }
    return {"anyOf": [schema, table]}


def _range(schema: Schema) -> Schema:
    """The least and the greatest that a value may be."""
    return {
        "type": "object",
        "properties": {"low": schema, "high": schema, "source": {"enum": ["measured", "assumed"]}},
        "required": ["low", "high"],
        "additionalProperties": False,
    }


def _none() -> Schema:
    """A load that the site does not have, with the reason."""
    return {
        "type": "object",
        "properties": {"value": {"const": "none"}, "reason": {"type": "string", "minLength": 5}},
        "required": ["value", "reason"],
        "additionalProperties": False,
    }


def _said(key: Key) -> str:
    """What an editor shows beside a key: its range, what is assumed without it, and how to measure it."""
    said = [key.within.span[0].upper() + key.within.span[1:]] if key.within else []
    row = defaults().get(key.path)
    if row is not None:
        said.append(f"assumed where the file says nothing: {row.value} ({row.known})")
        said += [row.how_to_measure.rstrip(".")] if row.how_to_measure else []
    return ". ".join(said) + "." if said else ""


def _single(key: Key) -> Schema:
    """A key that holds one value."""
    if key.within is None:
        schema: Schema = {"type": "boolean"} if set(key.words) == {"true", "false"} else {"enum": list(key.words)}
    else:
        kind = "whole number" if key.within.whole else key.within.dimension
        schema = {"$ref": f"#/$defs/{kind}"}
        if key.words:
            schema = {"anyOf": [{"enum": list(key.words)}, schema]}
        ranged = {f"{table}[].{name}" for table in ("ring_load", "bearing_load") for name in SPANS}
        if key.path in ranged | {f"backfill.{name}" for name in EARTH_SPANS} | {"footing.unit_weight"}:
            schema = {"anyOf": [schema, _range(_quantity(key.within.dimension))]}
        if key.path in {f"site.{name}" for name in LOADS}:
            schema = {"anyOf": [schema, {"$ref": "#/$defs/none"}]}
    return schema | ({"description": said} if (said := _said(key)) else {})


def _each_course(items: Schema, said: str) -> Schema:
    """A list with one value a course, lowest course first."""
    return {"type": "array", "items": items, "minItems": 1, "maxItems": 400, "description": said}


_PAIRS: Schema = {
    "type": "array",
    "items": {
        "type": "array",
        "prefixItems": [_quantity("duration"), _quantity("share")],
        "items": False,
        "minItems": 2,
    },
    "minItems": 1,
    "maxItems": 100,
}

_LISTS: dict[str, Schema] = {
    "dome.inner_radii": _each_course(_quantity("length"), "Measured inner radii, lowest course first."),
    "dome.course_tops": _each_course(_quantity("length"), "Measured levels of the course tops above the springing."),
    "building.laid_on": _each_course({"type": "integer"}, "Day on which each course was laid, lowest course first."),
    "building.wetted": _each_course(_quantity("length"), "Depth to which rain has wetted each course, lowest first."),
    "backfill.drained": {
        "anyOf": [
            {"const": False},
            {
                "type": "object",
                "properties": {
                    "value": {"const": True},
                    "reason": {"type": "string", "minLength": REASON[0], "maxLength": REASON[1]},
                },
                "required": ["value", "reason"],
                "additionalProperties": False,
            },
        ],
        "description": "Why no water can stand against the wall; else the verdict is at best cannot say.",
    },
    "building.drying": {
        "anyOf": [
            _PAIRS,
            {
                "type": "object",
                "properties": {"value": _PAIRS, "source": {"enum": ["measured", "assumed"]}},
                "required": ["value", "source"],
                "additionalProperties": False,
            },
        ],
        "description": "Pairs of age and moisture, ages rising, moisture not; with its source where it was measured.",
    },
}


def _table_of(field: FieldInfo) -> tuple[type[Table] | None, bool]:
    """The table behind a field, and whether it is a list of such."""
    rows, found, ahead = False, None, [field.annotation]
    while ahead:
        part = ahead.pop()
        origin = get_origin(part)
        rows |= origin is list
        if isinstance(part, type) and issubclass(part, Table):
            found = part
        elif origin in (list, Union, types.UnionType):
            ahead += get_args(part)
    return found, rows


def _criteria() -> Schema:
    factor = {"type": "number"}
    named = {path.removeprefix("criteria."): factor for path in known_keys() if path.startswith("criteria.")}
    return {
        "type": "object",
        "properties": {"set": {"enum": list(criteria_sets())}, "set_file": _TEXT, "combination": _rows()} | named,
        "additionalProperties": False,
        "description": "The set of required factors; single ones may be raised. Below the set's no verdict is given.",
    }


_TEXT: Schema = {"type": "string", "minLength": 1}


def _rows(*needed: str) -> Schema:
    """Rows of factors; needed: words that they have to say beside their name and clause."""
    words = {word: _TEXT | {"maxLength": most} for word, most in ROW_WORDS.items()}
    row = {
        "type": "object",
        "properties": words | {name: {"type": "number"} for name in FACTORS},
        "required": ["name", "clause", *needed, *(name for name in FACTORS if name not in (*FOLLOWS, *UNASKED))],
        "additionalProperties": False,
    }
    return {"type": "array", "items": row, "maxItems": MOST_ROWS}


def _factor_set() -> Schema:
    words = {word: _TEXT for word in WORDS}
    stated = {"value": {"type": "number"}, "clause": _TEXT, "source": _TEXT}
    factor = {"type": "object", "properties": stated, "required": list(stated), "additionalProperties": False}
    checks = {check.replace(" ", "_"): factor for check in criteria_set("common practice")}
    required = {"type": "object", "properties": checks, "additionalProperties": False}
    return {
        "type": "object",
        "properties": words | {"required": required, "combination": _rows("source")},
        "required": list(words),
        "additionalProperties": False,
        "description": "A set of factors beside the one that criteria.set names: the table of a file that"
        " criteria.set_file names, or of a copy of the design.",
    }


def _field(field: FieldInfo, path: str) -> Schema:
    table, rows = _table_of(field)
    if table is not None:
        inner = _table(table, f"{path}[]." if rows else f"{path}.")
        return {"type": "array", "items": inner, "maxItems": 40} if rows else inner
    if path == "criteria":
        return _criteria()
    if path == "factor_set":
        return _factor_set()
    if path in _LISTS:
        return _LISTS[path]
    key = known_keys()[path]
    return {"type": "string", "maxLength": LONGEST_TEXT} if not key.words and key.within is None else _single(key)


def _table(model: type[Table], prefix: str) -> Schema:
    fields = {field.alias or name: field for name, field in model.model_fields.items()}
    out: Schema = {
        "type": "object",
        "properties": {name: _field(field, prefix + name) for name, field in fields.items()},
        "additionalProperties": False,
    }
    required = [name for name, field in fields.items() if field.is_required()]
    return out | ({"required": required} if required else {})


def design_schema() -> Schema:
    """The schema of a design file (JSON Schema 2020-12): every key with its range, its default and how to measure it.

    It holds keys, words and the form of quantities, not the sense of them together: that is the reader's.
    """
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Design file of shellcheck_earth"}
    kinds = sorted({key.within.dimension for key in known_keys().values() if key.within})
    named: Schema = {kind: _marked(_quantity(kind)) for kind in kinds}
    named |= {"whole number": _marked({"type": "integer"}), "none": _none()}
    return head | _table(DesignTable, "") | {"$defs": named}


def schema_text() -> str:
    """The schema as it is kept beside this module."""
    return json.dumps(design_schema(), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    FILE.write_text(schema_text(), encoding="utf-8")
