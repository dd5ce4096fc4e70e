"""What is checked beside what: the plan in another process, the corrected plan in a thread."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from survey_sheets import sheet

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.survey import survey as survey_module
from shellcheck_earth.studies.survey.beside import Checker, meanwhile
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.studies.survey.survey import SurveyAnswer, survey_answer
from shellcheck_earth.studies.survey.ways import Way

REPORTS = Path(__file__).parents[2] / "reports"


@pytest.fixture(scope="module")
def store() -> Design:
    """Meets by itself, 17 courses of 5 1/4 in."""
    return read_design(REPORTS / "tool-store" / "design.toml")


def asked(design: Design, text: str) -> SurveyAnswer:
    return survey_answer(design, sheet_survey(text, build_dome(design)), blocks=False)


def test_the_plan_checked_beside_is_the_plan_checked_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same result from the second process; and where it dies, from the first."""
    from shellcheck_earth.studies.survey import beside

    monkeypatch.setattr(beside, "processors", lambda: 2)
    design = read_design(Path(__file__).parents[2] / "reports" / "garden-classroom" / "design.toml")
    expected = check(design, blocks=False, explore=False)
    with beside.checker_beside(design) as checker:
        checker.begin(design, blocks=False)
        found = checker.result(design, blocks=False)
        assert checker.second is not None and checker.second.process.returncode == 0  # it did answer
    assert (found.verdict, found.certificate, found.cases) == (expected.verdict, expected.certificate, expected.cases)
    with beside.checker_beside(design) as checker:
        assert checker.second is not None
        checker.second.process.kill()
        checker.begin(design, blocks=False)
        assert checker.result(design, blocks=False).certificate == expected.certificate
    monkeypatch.setattr(beside, "processors", lambda: 1)
    with beside.checker_beside(design) as checker:
        assert checker.second is None


class Elsewhere(Checker):
    """Checks the plan here, and says that another process does."""

    def begin(self, design: Design, *, blocks: bool) -> None:
        self.asked = design, blocks


def test_the_answer_waits_for_the_corrected_plan_only_where_it_rests_on_it(
    store: Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The plan being checked elsewhere, the corrected one is begun beside it: looked at once the answer is told."""
    told = threading.Event()
    seen: list[bool] = []
    patience: list[float] = []
    whole = survey_module._checked

    def slowly(way: Way, *, blocks: bool) -> Result | None:
        seen.append(told.wait(patience[-1]))
        return whole(way, blocks=blocks)

    monkeypatch.setattr(survey_module, "_checked", slowly)
    for text, seconds, after in (
        (sheet(store, 12, height=0.998), 60.0, True),
        (sheet(store, 12, height=0.97, out=0.02), 0.0, False),
    ):
        told.clear()
        seen.clear()
        patience.append(seconds)
        survey = sheet_survey(text, build_dome(store))
        beside = Elsewhere()
        answer = survey_answer(store, survey, blocks=False, answered=lambda _: told.set(), checker=beside)
        patience.append(0.0)
        expected = asked(store, text)
        assert seen[0] == after and beside.asked is not None
        assert answer.decision == expected.decision and answer.corrected.result is not None
        assert expected.corrected.result is not None
        assert answer.corrected.result.certificate == expected.corrected.result.certificate


def test_a_fault_in_the_thread_is_raised_where_its_result_is_asked_for() -> None:
    def fails() -> None:
        raise KeyError("gone")

    with pytest.raises(KeyError, match="gone"):
        meanwhile(fails).result(timeout=10.0)
