"""The JSON Schema of assessment.json: current, valid itself, and strict about every example."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from samples import classroom

from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.sample.study import make_study, run_study
from shellcheck_earth.views.export.schema import CHANCE_FILE, FILE, assessment_schema, chance_schema, schema_text
from shellcheck_earth.views.pages.sample import chance_json

REPORTS = Path(__file__).parents[2] / "reports"
EXAMPLES = sorted(REPORTS.glob("*/assessment.json"))


def faults(data: object) -> list[str]:
    found = Draft202012Validator(assessment_schema()).iter_errors(data)
    return [f"{'.'.join(map(str, one.absolute_path))}: {one.message[:120]}" for one in found]


def test_the_file_is_what_the_function_writes() -> None:
    again = "python -m shellcheck_earth.views.export.schema"
    assert FILE.read_text(encoding="utf-8") == schema_text(assessment_schema()), again
    Draft202012Validator.check_schema(assessment_schema())
    assert CHANCE_FILE.read_text(encoding="utf-8") == schema_text(chance_schema()), again
    Draft202012Validator.check_schema(chance_schema())


def test_a_study_of_today_fits_and_one_without_a_key_does_not() -> None:
    found = json.loads(chance_json(run_study(make_study(classroom(), stated_scatter(), 32, 1), quiet)))
    check = Draft202012Validator(chance_schema())
    assert list(check.iter_errors(found)) == []
    assert list(check.iter_errors({key: value for key, value in found.items() if key != "margins"}))
    assert list(check.iter_errors({**found, "margins": {**found["margins"], "points": "many"}}))


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
