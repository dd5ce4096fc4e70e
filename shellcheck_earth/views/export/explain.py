"""The numbers of the teaching report as JSON, and its files."""

from __future__ import annotations

import json
import math
from typing import Any

from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand
from shellcheck_earth.studies.explain.lesson import Teaching
from shellcheck_earth.studies.explain.map import Cell, DomeMap, Shape, Trial
from shellcheck_earth.studies.explain.ways import Step, Way
from shellcheck_earth.views.report.layout import Print
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.explain.map import map_words, no_map_words
from shellcheck_earth.views.text.explain.page import NO_VERDICT
from shellcheck_earth.views.text.explain.section import section_words, short_words
from shellcheck_earth.views.text.explain.shape import shape_words
from shellcheck_earth.views.text.explain.thumb import thumb_words
from shellcheck_earth.views.text.explain.ways import mechanism_words, way_words
from shellcheck_earth.views.text.language import speaking, words

__all__ = ["explain_files", "explain_json"]

FORMAT = 1


def _number(value: float | None) -> float | None:
    """Nine significant figures, the same on every machine; None for what has no finite value."""
    if value is None or not math.isfinite(value):
        return None
    return float(f"{float(value):.9g}")


def _numbers(values: Any) -> list[float | None]:
    return [_number(value) for value in values]


def _band(band: ThrustBand) -> dict[str, Any]:
    return {
        "z_m": _numbers(band.z),
        "x_low_m": _numbers(band.x_low),
        "x_high_m": _numbers(band.x_high),
        "H_low_kN_per_rad": _numbers(band.H_low),
        "H_high_kN_per_rad": _numbers(band.H_high),
    }


def _step(step: Step) -> dict[str, Any]:
    return {
        "share": _number(step.share),
        "value": _number(step.value),
        "line": step.stands,
        "failing_course": step.failing_course,
        "band": _band(step.band),
    }


def _collapse(found: Collapse) -> dict[str, Any]:
    arrays = (
        "number",
        "point_r",
        "point_z",
        "u",
        "w",
        "theta",
        "hinge_inner",
        "hinge_outer",
        "r_inner",
        "r_outer",
        "slip_outward",
        "slip_inward",
        "rise",
        "squash",
        "ring_low",
        "ring_high",
        "wire_rate",
    )
    return {
        "relaxation": _number(found.relaxation),
        "ring": list(found.ring),
        "wire_yields": list(found.wire_yields),
        "in_words": mechanism_words(found),
    } | {name: _numbers(getattr(found, name)) for name in arrays}


UNITS = {"wall": "m", "friction": "", "wire": "kN", "friction without wire": ""}


def _way(teaching: Teaching, way: Way) -> dict[str, Any]:
    return {
        "kind": way.kind,
        "case": way.case_id,
        "title": way.case_title,
        "unit": UNITS[way.kind],
        "designed": _number(way.designed),
        "outcome": way.outcome,
        "last_with_line": None if way.edge is None else _number(way.edge[0]),
        "first_without": None if way.edge is None else _number(way.edge[1]),
        "in_words": way_words(teaching.design, way),
        "steps": [_step(step) for step in way.steps],
        "collapse_at": None if way.collapse is None else _number(way.collapsed_value),
        "collapse": None if way.collapse is None else _collapse(way.collapse),
    }


def _cell(cell: Cell) -> dict[str, Any]:
    return {
        "state": cell.state,
        "state_no_wire": cell.state_no_wire,
        "needed_friction": _number(cell.friction),
        "needed_friction_no_wire": _number(cell.friction_no_wire),
        "geometric_factor": _number(cell.factor),
        "geometric_factor_no_wire": _number(cell.factor_no_wire),
    }


def _map(found: DomeMap) -> dict[str, Any]:
    return {
        "width_over_diameter": _numbers(found.widths),
        "pivot_over_diameter": _numbers(found.pivots),
        "this_dome": _numbers(found.here),
        "limit_needed_friction": _number(found.most_friction),
        "limit_geometric_factor": _number(found.least_factor),
        "rows_by_pivot": [[_cell(cell) for cell in row] for row in found.cells],
    }


def _shape(shape: Shape | None) -> dict[str, Any] | None:
    if shape is None:
        return None
    names = ("height", "opening", "weight", "tube", "largest_step", "least_bed", "thrust")
    units = (
        "height_m",
        "crown_opening_m",
        "weight_kN",
        "tube_m",
        "largest_step_in_m",
        "narrowest_bed_m",
        "thrust_nearest_zero_kN_per_rad",
    )
    return (
        {
            "profile": shape.design.dome.profile,
            "courses": shape.courses,
            "failing": shape.band.failing,
            "band": _band(shape.band),
        }
        | {unit: _number(getattr(shape, name)) for name, unit in zip(names, units, strict=True)}
        | _cell(shape.cell)
    )


def _trial(trial: Trial) -> dict[str, Any]:
    return {
        "share": _number(trial.share),
        "width_m": _number(trial.width),
        "falls_short_in": list(trial.short),
        "meets": trial.meets,
    } | _cell(trial.cell)


def explain_json(teaching: Teaching) -> str:
    """Every number of the report, SI units in the names; same design, same bytes."""
    data = {
        "format": FORMAT,
        "kind": "explanation",
        "design": teaching.design.name,
        "design_sha256": teaching.file_sha256,
        "strength_set_aside": teaching.strength_aside,
        "caution": ENGINEER,
        "no_verdict": NO_VERDICT,
        "this_dome": _shape(teaching.here),
        "section_in_words": list(section_words(teaching)),
        "first_to_go_in_words": list(short_words(teaching)),
        "ways": [_way(teaching, way) for way in teaching.ways],
        "map": None if teaching.map is None else _map(teaching.map),
        "no_map_because": no_map_words(teaching.design),
        "map_in_words": list(map_words(teaching)),
        "other_shape": _shape(teaching.other),
        "other_shape_with_a_line": _shape(teaching.other_standing),
        "shape_in_words": list(shape_words(teaching)),
        "rule_of_thumb": [_trial(trial) for trial in teaching.trials],
        "least_share_that_meets_all": _number(teaching.least_meeting),
        "rule_of_thumb_in_words": list(thumb_words(teaching)),
    }
    return json.dumps(data, indent=1, ensure_ascii=False) + "\n"


def explain_files(teaching: Teaching, printed: Print | None = None) -> dict[str, bytes]:
    """explain.pdf and explain.json, and collapse.svg where the dome can be made to give way; the JSON in English,
    whatever the language.
    """
    from shellcheck_earth.views.figures.explain.animation import animated, collapse_svg
    from shellcheck_earth.views.pages.explain import teaching_document
    from shellcheck_earth.views.render.pdf import document_pdf

    shown = animated(teaching.ways)
    with speaking(words((printed or Print()).language)):
        out = {"explain.pdf": document_pdf(teaching_document(teaching), printed)}
        moving = collapse_svg(teaching.design, shown) if shown else ""
    out["explain.json"] = explain_json(teaching).encode()
    if moving:
        out["collapse.svg"] = moving.encode()
    return out
