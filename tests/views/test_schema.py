"""The JSON Schema of assessment.json: current, valid itself, and strict about every example."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export.schema import FILE, assessment_schema, schema_text

REPORTS = Path(__file__).parents[2] / "reports"
EXAMPLES = sorted(REPORTS.glob("*/assessment.json"))


def faults(data: object) -> list[str]:
    found = Draft202012Validator(assessment_schema()).iter_errors(data)
    return [f"{'.'.join(map(str, one.absolute_path))}: {one.message[:120]}" for one in found]


def test_the_file_is_what_the_function_writes() -> None:
    assert FILE.read_text(encoding="utf-8") == schema_text(), "python -m shellcheck_earth.views.export.schema"
    Draft202012Validator.check_schema(assessment_schema())


def test_a_result_of_today_fits(whole: Result) -> None:
    assert faults(whole.to_dict()) == []


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_the_examples_fit(path: Path) -> None:
    assert len(EXAMPLES) == 4
    assert faults(json.loads(path.read_text(encoding="utf-8"))) == []


def test_the_schema_refuses_what_is_no_assessment(whole: Result) -> None:
    good = whole.to_dict()
    assert faults({**good, "verdict": "safe"}) and faults({**good, "extra": 1})
    assert faults({key: value for key, value in good.items() if key != "cautions"})
    case = {**good["cases"][0], "stage": "top"}
    assert any("stage" in fault or "top" in fault for fault in faults({**good, "cases": [case]}))
