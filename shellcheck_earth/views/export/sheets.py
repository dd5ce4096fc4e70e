"""Tables and data for others: the build sheet (CSV) and the whole assessment (JSON)."""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import replace
from typing import Any

from shellcheck_earth.basics.units import FOOT, INCH, LBF, feet_inches
from shellcheck_earth.design.criteria import FACTORS
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.loads.combinations import Combination, combinations
from shellcheck_earth.safety.asked import rows_asked
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.crossed import crossed
from shellcheck_earth.safety.result import CaseResult, Margin, Result, ThrustLine
from shellcheck_earth.views.export.workbook import DataTable, workbook
from shellcheck_earth.views.text.block_working import block_workings
from shellcheck_earth.views.text.blocks import mechanism_sentence, press_named
from shellcheck_earth.views.text.cautions import caution_sentence
from shellcheck_earth.views.text.course_weights import course_tables
from shellcheck_earth.views.text.margins import why_words
from shellcheck_earth.views.text.numbers import outcome_words
from shellcheck_earth.views.text.openings import advice_sentence
from shellcheck_earth.views.text.verdict import deciding_line, rule_of_thumb
from shellcheck_earth.views.text.weather import instructions
from shellcheck_earth.views.text.working import workings_of

__all__ = ["assessment_data", "assessment_json", "courses_csv", "courses_xlsx"]

FORMAT = 1


_HEADS = (
    "compass_mm",
    "compass_ft_in",
    "course",
    "kind",
    "bottom_above_springing_mm",
    "inner_radius_mm",
    "inner_radius_ft_in",
    "step_in_mm",
    "step_in_in",
    "bed_width_mm",
    "bed_width_in",
    "ring_weight_kN",
    "ring_weight_lbf",
    "tube_to_cut_m",
    "tube_to_cut_ft_in",
    "fill_m3",
    "fill_ft3",
    "wire_m",
    "wire_ft",
)
_SO_FAR = {
    "metric": ("tube_so_far_m", "fill_so_far_m3", "wire_so_far_m"),
    "imperial": ("tube_so_far_ft", "fill_so_far_ft3", "wire_so_far_ft"),
}


def _course_rows(assessment: Result) -> list[list[str]]:
    """The heads, then one row a course, lowest first; running totals of tube, fill and wire.

    Of a design in feet the compass in feet comes first, and levels and totals are in feet too.
    """
    imperial = assessment.design.unit_system == "imperial"
    rows, tube, fill, wire = [[*_HEADS, *_SO_FAR[assessment.design.unit_system]]], 0.0, 0.0, 0.0
    for course, weight in zip(assessment.dome.courses, assessment.ring_weights, strict=True):
        tube, fill, wire = tube + course.tube_length, fill + course.fill_volume, wire + course.wire_length
        long, cubic = (FOOT, FOOT**3) if imperial else (1.0, 1.0)
        rows.append(
            [
                f"{1000 * course.compass:.0f}",
                feet_inches(course.compass),
                str(course.number),
                course.kind,
                f"{1000 * course.z_bottom:.0f}",
                f"{1000 * course.inner_radius:.0f}",
                feet_inches(course.inner_radius),
                f"{1000 * course.step_in:.1f}",
                f"{course.step_in / INCH:.2f}",
                f"{1000 * course.bed_width:.0f}",
                f"{course.bed_width / INCH:.2f}",
                f"{weight:.2f}",
                f"{weight / LBF:.0f}",
                f"{course.tube_length:.2f}",
                feet_inches(course.tube_length),
                f"{course.fill_volume:.3f}",
                f"{course.fill_volume / FOOT**3:.2f}",
                f"{course.wire_length:.1f}",
                f"{course.wire_length / FOOT:.1f}",
                f"{tube / long:.2f}",
                f"{fill / cubic:.3f}",
                f"{wire / long:.1f}",
            ]
        )
        if imperial:
            rows[-1][4] = feet_inches(course.z_bottom)
    return [_feet_first(row) for row in rows] if imperial else rows


def _feet_first(row: list[str]) -> list[str]:
    """The compass in feet before the one in millimetres, and the level under its own name."""
    level = "bottom_above_springing_ft_in" if row[4] == _HEADS[4] else row[4]
    return [row[1], row[0], *row[2:4], level, *row[5:]]


def courses_csv(assessment: Result) -> str:
    """One row a course, the compass setting first; the digest of the design last."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    head, *rows = _course_rows(assessment)
    digest = design_sha256(assessment.design)
    writer.writerow([*head, "design_sha256"])
    writer.writerows([*row, digest] for row in rows)
    return out.getvalue()


def courses_xlsx(assessment: Result) -> bytes:
    """The same as a spreadsheet; on sheets of their own every factor by case, combination and check, and the rows of
    factors."""
    head, *rows = _course_rows(assessment)
    texts = {index for index, name in enumerate(head) if name == "kind" or name.endswith("_ft_in")}
    cells = (tuple(c if i in texts else float(c) for i, c in enumerate(row)) for row in rows)
    table = DataTable("courses", tuple(head), tuple(cells))
    design = assessment.design
    tables = [table, _crossed_sheet(assessment), *_rows_sheet(combinations(design.criteria))]
    return workbook(tables, f"{design.name}: build sheet", design_sha256(design))


def _crossed_sheet(assessment: Result) -> DataTable:
    heads = (
        "model",
        "case",
        "title",
        "combination",
        "check",
        "factor",
        "required",
        "share_of_required",
        "outcome",
        "mark",
    )
    rows = []
    for line in crossed(assessment):
        mark = "decides" if line.decides else "governs" if line.governs else ""
        said = outcome_words(line.meets)
        rows.append(
            (line.model, line.case, line.title, line.combination, line.check, _number(line.factor), line.required,
             _number(line.share), said, mark)
        )  # fmt: skip
    return DataTable("factors", heads, tuple(rows))


def _rows_sheet(rows: tuple[Combination, ...]) -> list[DataTable]:
    """The rows of factors that act together; none where there are none."""
    heads = ("combination", *FACTORS, "clause", "loads_known", "capacities_known")
    cells = tuple(
        (row.name, *(getattr(row, name) for name in FACTORS), row.clause, row.source, row.capacities) for row in rows
    )
    return [DataTable("combinations", heads, cells)] if rows else []


def _number(value: float | None) -> float | None:
    """Nine significant figures: more than any input deserves, few enough to be the same on every machine."""
    if value is None or not math.isfinite(value):
        return None
    return float(f"{value:.9g}")


def _margin(margin: Margin) -> dict[str, Any]:
    return {
        "check": margin.check,
        "available": _number(margin.available),
        "needed": _number(margin.needed),
        "unit": margin.unit,
        "factor": _number(margin.factor),
        "required": margin.required,
        "meets": margin.meets,
        "course": margin.course,
        "basis": margin.basis,
        "why": why_words(margin),
    }


def _line(line: ThrustLine) -> dict[str, Any]:
    names = {"x": "x_m", "z": "z_m", "H": "H_kN_per_rad", "V": "V_kN_per_rad", "ring": "ring_kN", "wire": "wire_kN"}
    return {"kind": line.kind} | {key: [_number(v) for v in getattr(line, name)] for name, key in names.items()}


def _case(case: CaseResult) -> dict[str, Any]:
    return {
        "id": case.id,
        "title": case.title,
        "stage": case.stage,
        "wetting": case.wetting,
        "counts": case.counts,
        "status": case.status,
        "failing_course": case.failing_course,
        "least_thrust_kN_per_rad": _number(case.least_thrust),
        "greatest_thrust_kN_per_rad": _number(case.greatest_thrust),
        "weight_kN_per_rad": _number(case.vertical),
        "needed_bed_friction": _number(case.needed_bed_friction),
        "needed_bed_friction_no_wire": _number(case.needed_bed_friction_no_wire),
        "needed_strength_kPa": _number(case.needed_strength),
        "needed_wire_tension_kN": _number(case.needed_wire_tension),
        "geometric_factor": _number(case.geometric_factor),
        "overall_reserve": _number(case.overall_reserve),
        "why": dict(sorted(case.why.items())),
        "governs": dict(sorted(case.governs.items())),
        "proof": case.proof,
        "margins": [_margin(margin) for margin in case.margins],
        "lines": [_line(line) for line in case.lines],
    }


def _courses(assessment: Result) -> list[dict[str, Any]]:
    return [
        {
            "number": course.number,
            "kind": course.kind,
            "bottom_m": _number(course.z_bottom),
            "inner_radius_m": _number(course.inner_radius),
            "compass_m": _number(course.compass),
            "step_in_m": _number(course.step_in),
            "bed_width_m": _number(course.bed_width),
            "ring_weight_kN": _number(weight),
            "tube_length_m": _number(course.tube_length),
            "fill_m3": _number(course.fill_volume),
            "wire_length_m": _number(course.wire_length),
        }
        for course, weight in zip(assessment.dome.courses, assessment.ring_weights, strict=True)
    ]


def plain(node: Any) -> Any:
    """Dataclasses, mappings and tuples as plain data, floats rounded; what is not finite becomes null."""
    if isinstance(node, float):
        return _number(node)
    if isinstance(node, str | int | None):
        return node
    if isinstance(node, dict) or hasattr(node, "items"):
        return {str(key): plain(value) for key, value in node.items()}
    if isinstance(node, tuple | list):
        return [plain(value) for value in node]
    return {name: plain(getattr(node, name)) for name in node.__dataclass_fields__}


def _weather(assessment: Result) -> dict[str, Any] | None:
    weather = assessment.weather
    if weather is None:
        return None
    return {**plain(weather), "instructions": list(instructions(assessment.dome, weather))}


def _blocks(assessment: Result, result: BlockResult) -> dict[str, Any]:
    """One load of the block model; `moves` is the mechanism as data, `mechanism` in words."""
    moves = result.mechanism
    said = {
        "mechanism": "" if moves is None else mechanism_sentence(assessment.dome, moves),
        "moves": None if moves is None else plain(moves),
        "forces": [[press_named(assessment.design, press), _number(press.force)] for press in result.forces],
        "motions": len(result.motions),
        "proofs": len(result.proofs),
        "apart": result.apart,
    }
    return {**plain(replace(result, motions=(), proofs=(), forces=(), mechanism=None)), **said}


def assessment_json(assessment: Result) -> str:
    """Everything in the report as data, SI, keys with their unit; `assessment.schema.json` says what each holds."""
    return json.dumps(assessment_data(assessment), indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def assessment_data(assessment: Result) -> dict[str, Any]:
    """The data of assessment.json."""
    totals = assessment.totals
    return {
        "format": FORMAT,
        "design": assessment.design.name,
        "design_sha256": design_sha256(assessment.design),
        "verdict": assessment.verdict,
        "decisive": deciding_line(assessment),
        "rule_of_thumb": rule_of_thumb(assessment.design),
        "cautions": [caution_sentence(one) for one in assessment.cautions],
        "advice": [advice_sentence(assessment.design, one) for one in assessment.advice],
        "fixed_compass_m": _number(assessment.dome.fixed_compass),
        "courses": _courses(assessment),
        "totals": {
            "weight_kN": _number(totals.weight),
            "tube_length_m": _number(totals.tube_length),
            "fill_m3": _number(totals.fill_volume),
            "wire_length_m": _number(totals.wire_length),
            "courses": totals.courses,
        },
        "cases": [_case(case) for case in assessment.cases],
        "combinations": plain(combinations(assessment.design.criteria)),
        "rows_asked": plain(rows_asked(assessment.model)),
        "factors": plain(crossed(assessment)),
        "assumptions": plain(assessment.assumptions),
        "fixed": plain(assessment.fixed),
        "sensitivity": plain(assessment.sensitivity),
        "friction_chart": [
            {"wire_tension_kN": _number(p.wire_tension), "needed_bed_friction": _number(p.needed_friction)}
            for p in assessment.friction_chart
        ],
        "working": plain(tuple(workings_of(assessment.workings))),
        "working_weights": plain(course_tables(assessment.workings)),
        "working_of_blocks": plain(tuple(block_workings(assessment.blocks))),
        "proofs": list(assessment.proofs),
        "weather": _weather(assessment),
        "three_d": [_blocks(assessment, result) for result in assessment.blocks],
    }
