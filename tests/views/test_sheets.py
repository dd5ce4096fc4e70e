"""The build sheet and the data file hold what the assessment holds."""

from __future__ import annotations

import csv
import io
import json
import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from samples import classroom

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export.bundle import save_result
from shellcheck_earth.views.export.sheets import assessment_json, courses_csv, courses_xlsx
from shellcheck_earth.views.export.workbook import DataTable, text_cell, workbook

PROMISED = {
    "": {"format", "design", "verdict", "courses", "totals", "cases"},
    "courses": {
        "number",
        "bottom_m",
        "inner_radius_m",
        "compass_m",
        "step_in_m",
        "bed_width_m",
        "ring_weight_kN",
        "tube_length_m",
        "fill_m3",
    },
    "totals": {"weight_kN", "tube_length_m", "fill_m3", "wire_length_m"},
    "cases": {
        "id",
        "stage",
        "wetting",
        "status",
        "least_thrust_kN_per_rad",
        "greatest_thrust_kN_per_rad",
        "needed_bed_friction",
        "needed_bed_friction_no_wire",
        "needed_strength_kPa",
        "needed_wire_tension_kN",
        "geometric_factor",
        "overall_reserve",
        "margins",
    },
    "margins": {"check", "available", "needed", "factor", "required", "meets", "course", "basis"},
}
"""Keys that others rely on: the format that was agreed, copied by hand."""


@pytest.fixture(scope="module")
def data(whole: Result) -> dict[str, Any]:
    return dict(json.loads(assessment_json(whole)))


def test_promised_keys_are_there(data: dict[str, Any]) -> None:
    assert data.keys() >= PROMISED[""] and data["totals"].keys() >= PROMISED["totals"] and data["format"] == 1
    for course in data["courses"]:
        assert course.keys() >= PROMISED["courses"]
    for case in data["cases"]:
        assert case.keys() >= PROMISED["cases"]
        for margin in case["margins"]:
            assert margin.keys() >= PROMISED["margins"]


def test_null_has_a_reason(data: dict[str, Any]) -> None:
    named = {
        "needed_bed_friction": "needed_bed_friction",
        "needed_strength_kPa": "needed_strength",
        "needed_wire_tension_kN": "needed_wire_tension",
        "least_thrust_kN_per_rad": "least_thrust",
        "needed_bed_friction_no_wire": "needed_bed_friction_no_wire",
        "geometric_factor": "geometric_factor",
        "overall_reserve": "overall_reserve",
    }
    nulls = 0
    for case in data["cases"]:
        for key, reason in named.items():
            if case[key] is None:
                nulls += 1
                assert case["why"][reason]
        for margin in case["margins"]:
            if margin["factor"] is None:
                assert margin["why"]
    assert nulls > 0  # the soaked dome has no line, so the loop above has looked at something


def test_numbers_are_those_of_the_assessment(whole: Result, data: dict[str, Any]) -> None:
    for row, course in zip(data["courses"], whole.dome.courses, strict=True):
        assert row["compass_m"] == pytest.approx(course.compass, rel=1e-8)  # nine figures are written
    for row, case in zip(data["cases"], whole.cases, strict=True):
        assert (row["id"], row["status"], len(row["margins"])) == (case.id, case.status, len(case.margins))
        for value, there in (
            (row["overall_reserve"], case.overall_reserve),
            (row["needed_strength_kPa"], case.needed_strength),
        ):
            assert value is there is None or value == pytest.approx(there, rel=1e-8)
    assert data["totals"]["weight_kN"] == pytest.approx(sum(row["ring_weight_kN"] for row in data["courses"]), rel=1e-7)


def test_not_a_number_never_reaches_the_file(whole: Result) -> None:
    broken = replace(whole, totals=replace(whole.totals, weight=float("nan")))
    assert json.loads(assessment_json(broken))["totals"]["weight_kN"] is None


def test_words_of_a_user_survive(hostile: Result, hostile_name: str) -> None:
    assert json.loads(assessment_json(hostile))["design"] == hostile_name


def test_build_sheet_starts_with_the_compass_and_sums_up(whole: Result) -> None:
    rows = list(csv.DictReader(io.StringIO(courses_csv(whole))))
    assert next(iter(rows[0])) == "compass_mm" and len(rows) == len(whole.dome.courses)
    assert [int(row["course"]) for row in rows] == list(
        range(-1, 25)
    )  # lowest first: two buried, 24 above the springing
    # by hand: springing course, inner radius sqrt(3.985^2 - 0.0675^2) - 2.185 = 1.79943 m at 0.0675 m up: 1.80069 m
    assert rows[2]["compass_mm"] == "1801" and rows[2]["compass_ft_in"] == "5 ft 10 7/8 in"
    # a row is rounded to 5 mm at most, so 26 of them may differ from the rounded total by 13 cm
    assert float(rows[-1]["tube_so_far_m"]) == pytest.approx(sum(float(row["tube_to_cut_m"]) for row in rows), abs=0.13)
    assert float(rows[-1]["tube_so_far_m"]) == pytest.approx(whole.totals.tube_length, abs=0.006)
    for row in rows:  # both systems say the same, to what is printed
        assert float(row["wire_ft"]) == pytest.approx(float(row["wire_m"]) / 0.3048, abs=0.25)
        assert float(row["ring_weight_lbf"]) == pytest.approx(float(row["ring_weight_kN"]) * 224.809, abs=1.7)


def test_the_spreadsheet_holds_the_build_sheet_as_numbers(whole: Result) -> None:
    content = courses_xlsx(whole)
    assert content == courses_xlsx(whole)
    book = openpyxl.load_workbook(io.BytesIO(content))
    assert book.sheetnames == ["courses", "factors", "about"]
    found = [list(row) for row in book["courses"].iter_rows(values_only=True)]
    head, *rows = csv.reader(io.StringIO(courses_csv(whole)))
    assert found[0] == head[:-1] and head[-1] == "design_sha256"
    for written, row in zip(found[1:], rows, strict=True):
        assert row[-1] == design_sha256(whole.design)
        for name, cell, text in zip(head[:-1], written, row[:-1], strict=True):
            if name == "kind" or name.endswith("_ft_in"):
                assert cell == text
            else:
                assert isinstance(cell, int | float) and math.isclose(cell, float(text))
    about = dict(book["about"].iter_rows(values_only=True))
    assert about["design_sha256"] == design_sha256(whole.design)


def test_no_text_becomes_a_formula() -> None:
    table = DataTable("t", ("design", "factor"), (("=1+1", 2.5), ("@sum", math.inf), ("-a", None)))
    book = openpyxl.load_workbook(io.BytesIO(workbook([table], "=t", "0" * 64)))
    rows = list(book["t"].iter_rows(min_row=2))
    assert [row[0].data_type for row in rows] == ["s", "s", "s"]
    assert [[cell.value for cell in row] for row in rows] == [["=1+1", 2.5], ["@sum", None], ["-a", None]]
    assert [text_cell(text) for text in ("=1+1", "@sum", "-a", "Store")] == ["'=1+1", "'@sum", "'-a", "Store"]


def test_the_digest_is_of_the_design_and_nothing_else(whole: Result) -> None:
    design = whole.design
    assert json.loads(assessment_json(whole))["design_sha256"] == design_sha256(design)
    assert design_sha256(replace(design)) == design_sha256(design)
    changed = [
        replace(design, name="Another"),
        replace(design, fill=replace(design.fill, dry_density=design.fill.dry_density * (1 + 1e-15))),
        replace(design, bases={**design.bases, "fill.dry_density": "measured"}),
    ]
    assert len({design_sha256(one) for one in [design, *changed]}) == 4


@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_every_file_of_a_check_is_known_again_as_ours(system: Any, tmp_path: Path) -> None:
    """The first bytes of each file are those by which a later run knows that it may write over it."""
    result = check(replace(classroom(), unit_system=system), proofs=False, explore=False)
    for _ in range(2):
        save_result(result, tmp_path)
