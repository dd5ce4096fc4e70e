"""The JSON Schemas of assessment.json and chance.json, a function each; `*.schema.json` beside it are what they write.

Written anew with: python -m shellcheck_earth.views.export.schema
"""

from __future__ import annotations

import json
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from shellcheck_earth.design.criteria import Combination
from shellcheck_earth.design.design import Basis
from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.safety.asked import RowAsked
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.checks import LABELS
from shellcheck_earth.safety.crossed import Crossed
from shellcheck_earth.safety.result import Assumption, CaseResult, FixedNumber, Sensitivity, ThrustLine, Verdict
from shellcheck_earth.safety.weather_result import Weather
from shellcheck_earth.studies.sample.study import Chance
from shellcheck_earth.views.export.sheets import FORMAT
from shellcheck_earth.views.pages.sample import FORMAT as CHANCE_FORMAT
from shellcheck_earth.views.text.course_weights import CourseTable
from shellcheck_earth.views.text.worksheet import Working

__all__ = [
    "CHANCE_FILE",
    "FILE",
    "assessment_schema",
    "chance_schema",
    "schema_text",
]

FILE = Path(__file__).with_name("assessment.schema.json")
CHANCE_FILE = Path(__file__).with_name("chance.schema.json")
DRAFT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]

TEXT: Schema = {"type": "string"}
WHOLE: Schema = {"type": "integer"}
YES: Schema = {"type": "boolean"}
NUMBER: Schema = {"type": ["number", "null"]}
"""A number of nine significant figures; null where there is no finite value."""

PLAIN: dict[Any, Schema] = {str: TEXT, int: WHOLE, bool: YES, float: NUMBER, type(None): {"type": "null"}}


def _list(items: Schema, said: str = "") -> Schema:
    return {"type": "array", "items": items} | ({"description": said} if said else {})


def _table(properties: Mapping[str, Schema], said: str = "") -> Schema:
    """Exactly these keys, all of them there."""
    out: Schema = {"type": "object", "properties": dict(properties), "required": list(properties)}
    return out | {"additionalProperties": False} | ({"description": said} if said else {})


def _said(schema: Schema, words: str) -> Schema:
    return schema | {"description": words}


def _or_null(schema: Schema) -> Schema:
    return {"anyOf": [schema, {"type": "null"}]}


def _of(annotation: Any) -> Schema:
    """The schema of a type as `sheets.plain` writes it; TypeError for one that it does not know."""
    if annotation in PLAIN:
        return PLAIN[annotation]
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Literal:
        return {"enum": list(inner)}
    if origin in (Union, types.UnionType):
        return NUMBER if set(inner) == {float, type(None)} else {"anyOf": [_of(one) for one in inner]}
    if origin is tuple and inner[-1] is Ellipsis:
        return _list(_of(inner[0]))
    if origin is tuple:
        count = len(inner)
        return {"type": "array", "prefixItems": [_of(one) for one in inner], "minItems": count, "maxItems": count}
    if origin is Mapping:
        return {"type": "object", "additionalProperties": _of(inner[1])}
    if is_dataclass(annotation):
        hints = get_type_hints(annotation)
        said = " ".join((annotation.__doc__ or "").split())
        return _table({field.name: _of(hints[field.name]) for field in fields(annotation)}, said)
    raise TypeError(f"no schema for {annotation!r}")


def _margin() -> Schema:
    properties = {
        "check": {"enum": sorted(set(LABELS) | {"tipping", "storm", "earthquake"})},
        "available": _said(NUMBER, "capacity, in `unit`"),
        "needed": _said(NUMBER, "demand, in `unit`"),
        "unit": TEXT,
        "factor": _said(NUMBER, "capacity over demand; null where there is no finite value, with the reason in `why`"),
        "required": {"type": "number", "description": "the least factor that the criteria accept"},
        "meets": _said({"type": ["boolean", "null"]}, "null: neither answer could be established"),
        "course": _said({"type": ["integer", "null"]}, "the bed under this course, or the course, that governs"),
        "basis": _of(Basis),
        "why": TEXT,
    }
    return _table(properties, "One check of one case")


def _line() -> Schema:
    names = {
        "x_m": "radius where the resultant crosses each bed, top bed first",
        "z_m": "level of each bed above the springing",
        "H_kN_per_rad": "thrust outward",
        "V_kN_per_rad": "weight down",
        "ring_kN": "ring compression of each course, top first",
        "wire_kN": "wire tension of each bed, top first",
    }
    kinds = _of(get_type_hints(ThrustLine)["kind"])
    return _table({"kind": kinds} | {name: _list(NUMBER, said) for name, said in names.items()}, "A thrust line")


def _case() -> Schema:
    hints = get_type_hints(CaseResult)
    numbers = {
        "least_thrust_kN_per_rad": "at the lowest bed",
        "greatest_thrust_kN_per_rad": "at the lowest bed",
        "weight_kN_per_rad": "V at the lowest bed",
        "needed_bed_friction": "least friction coefficient with a thrust line",
        "needed_bed_friction_no_wire": "the same without the wire",
        "needed_strength_kPa": "least strength with a thrust line",
        "needed_wire_tension_kN": "least wire tension with a thrust line",
        "geometric_factor": "how many times narrower the beds may be",
        "overall_reserve": "what friction, strength, wire and wall width may be divided by together",
    }
    properties = {
        "id": TEXT,
        "title": TEXT,
        "stage": _said(WHOLE, "number of the highest course laid"),
        "wetting": TEXT,
        "counts": _said(YES, "false: a what-if that the verdict leaves out"),
        "status": _of(hints["status"]),
        "failing_course": {"type": ["integer", "null"]},
        **{name: _said(NUMBER, said) for name, said in numbers.items()},
        "why": {"type": "object", "additionalProperties": TEXT, "description": "why a quantity is null"},
        "governs": {"type": "object", "additionalProperties": WHOLE, "description": "quantity to course number"},
        "proof": _said(TEXT, "what the independent check established; empty where no proof was asked for"),
        "margins": _list(_margin()),
        "lines": _list(_line()),
    }
    return _table(properties, "A stage of building, a moisture, a load")


def _course() -> Schema:
    names = ("bottom_m", "inner_radius_m", "compass_m", "step_in_m", "bed_width_m", "ring_weight_kN", "tube_length_m")
    numbers: dict[str, Schema] = {name: NUMBER for name in (*names, "fill_m3", "wire_length_m")}
    kind = _of(get_type_hints(Course)["kind"])
    return _table({"number": WHOLE, "kind": kind} | numbers, "A course, lowest first; whole ring")


def _weather() -> Schema:
    said = _of(Weather)
    properties = said["properties"] | {"instructions": _list(TEXT)}
    return _or_null(_table(properties, said["description"]))


def _blocks() -> Schema:
    said = _of(BlockResult)
    moves = said["properties"]["mechanism"]
    force = {"type": "array", "prefixItems": [TEXT, NUMBER], "minItems": 2, "maxItems": 2}
    changed = {
        "mechanism": _said(TEXT, "what moves first, in words"),
        "moves": moves,
        "forces": _list(force, "where, and the force [kN]"),
        "motions": _said(WHOLE, "how many blocks have a motion"),
        "proofs": _said(WHOLE, "how many states of forces are proven"),
        "apart": _said(NUMBER, "how far `above` lies over `below`, as a share of it"),
    }
    return _table(said["properties"] | changed, said["description"])


def assessment_schema() -> Schema:
    """The schema of assessment.json (JSON Schema 2020-12): every key, none besides, SI units in their names."""
    totals = {"weight_kN": NUMBER, "tube_length_m": NUMBER, "fill_m3": NUMBER, "wire_length_m": NUMBER}
    chart = _table({"wire_tension_kN": NUMBER, "needed_bed_friction": NUMBER})
    properties = {
        "format": {"const": FORMAT},
        "design": _said(TEXT, "the design's name"),
        "design_sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        "verdict": _said(_of(Verdict), '"cannot say" is never a pass'),
        "decisive": _said(TEXT, "what decides the verdict"),
        "rule_of_thumb": TEXT,
        "cautions": _list(TEXT, "what could hurt someone, most important first"),
        "advice": _list(TEXT),
        "fixed_compass_m": NUMBER,
        "courses": _list(_course()),
        "totals": _table(totals | {"courses": WHOLE}),
        "cases": _list(_case()),
        "combinations": _list(_of(Combination), "rows of factors that act together, of the set and of the design file"),
        "rows_asked": _list(_of(RowAsked), "of what each row is asked: stages, moisture, loads and their directions"),
        "factors": _list(_of(Crossed), "every factor by case, combination and check; what governs is marked"),
        "assumptions": _list(_of(Assumption)),
        "fixed": _list(_of(FixedNumber), "numbers of the method that no design file changes"),
        "sensitivity": _list(_of(Sensitivity)),
        "friction_chart": _list(chart),
        "working": _list(_of(Working), "of each check the bed that governs it, line by line"),
        "working_weights": _list(_of(CourseTable), "what the courses weigh that the working sums, top course first"),
        "working_of_blocks": _list(_of(Working), "of each criterion the case of blocks that governs; course 0"),
        "proofs": _list(TEXT),
        "weather": _weather(),
        "three_d": _list(_blocks()),
    }
    head = {"$schema": DRAFT, "title": "assessment.json of shellcheck_earth"}
    return head | _table(properties, "A calculation, not a permit. Every key is there; null is no finite value.")


def chance_schema() -> Schema:
    """The schema of chance.json: every key, none besides; null where there is no finite value."""
    hints = get_type_hints(Chance)
    asked = dict.fromkeys(("samples", "scramblings", "seed"), WHOLE)
    found = ("shares", "checks", "first_in", "first_course", "indices", "margins", "scatter")
    properties: dict[str, Schema] = {
        "format": {"const": CHANCE_FORMAT},
        "kind": {"const": "chance"},
        "design": _said(TEXT, "the design's name"),
        "design_sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
        "what_it_is": TEXT,
        **asked,
        **{name: _of(hints[name]) for name in found},
        "radial_error_per_compass_error": _of(hints["crown"]),
        "notes": _list(TEXT, "what is left out"),
    }
    head = {"$schema": DRAFT, "title": "chance.json of shellcheck_earth"}
    return head | _table(properties, "A sensitivity study of a model, no failure probability of a building.")


def schema_text(schema: Schema) -> str:
    """A schema as it is kept beside this module."""
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    FILE.write_text(schema_text(assessment_schema()), encoding="utf-8")
    CHANCE_FILE.write_text(schema_text(chance_schema()), encoding="utf-8")
