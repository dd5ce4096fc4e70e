"""What is checked beside what: the plan in another process, the corrected plan in a thread."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import pytest
from survey_sheets import asked, sheet

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.survey import survey as survey_module
from shellcheck_earth.studies.survey.beside import Checker, meanwhile
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.studies.survey.survey import survey_answer
from shellcheck_earth.studies.survey.ways import Way

REPORTS = Path(__file__).parents[2] / "reports"


@pytest.fixture(scope="module")
def store() -> Design:
    """Meets by itself, 17 courses of 5 1/4 in."""
    return read_design(REPORTS / "tool-store" / "design.toml")


def test_the_plan_checked_beside_is_the_plan_checked_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same result from the second process; and where it dies, from the first."""
    from shellcheck_earth.studies.survey import beside

    monkeypatch.setattr(beside, "processors", lambda: 2)
    design = read_design(Path(__file__).parents[2] / "reports" / "garden-classroom" / "design.toml")
    expected = check(design, blocks=False, explore=False)
    with beside.checker_beside() as checker:
        checker.begin(design)
        checker.ask(blocks=False)
        found = checker.result(design, blocks=False)
        assert checker.second is not None and checker.second.process.returncode == 0  # it did answer
    assert (found.verdict, found.certificate, found.cases) == (expected.verdict, expected.certificate, expected.cases)
    with beside.checker_beside() as checker:
        assert checker.second is not None
        checker.second.process.kill()
        checker.begin(design)
        checker.ask(blocks=False)
        assert checker.result(design, blocks=False).certificate == expected.certificate
    monkeypatch.setattr(beside, "processors", lambda: 1)
    with beside.checker_beside() as checker:
        assert checker.second is None
        checker.begin(design)
        checker.ask(blocks=False)
        assert not checker.elsewhere and checker.result(design, blocks=False).certificate == expected.certificate


@pytest.mark.parametrize("dies", ["never", "before blocks have answered", "with what they found"])
def test_what_blocks_found_here_ends_the_check_there(dies: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """One person stands on this dome: blocks are asked in this process, once, whatever becomes of the other."""
    from shellcheck_earth.safety.blocks import solve
    from shellcheck_earth.studies.survey import beside

    monkeypatch.setattr(beside, "processors", lambda: 2)
    design = read_design(REPORTS / "orchard-dome" / "plan.toml")
    expected, asked, whole = check(design, explore=False), [], solve.block_cases

    def counted(*arguments: Any) -> tuple[BlockResult, ...]:
        asked.append(arguments)
        return whole(*arguments)

    monkeypatch.setattr(solve, "block_cases", counted)
    with beside.checker_beside() as checker:
        assert checker.second is not None
        checker.begin(design)
        if dies.startswith("before"):
            checker.second.process.kill()
        checker.ask(blocks=True)
        if dies.startswith("with"):
            checker.second.process.kill()
        found = checker.result(design, blocks=True)
    assert len(asked) == 1 and expected.verdict == found.verdict == "meets"
    assert (found.certificate, found.blocks, found.proofs) == (expected.certificate, expected.blocks, expected.proofs)


def test_no_answer_is_taken_for_that_to_another_question(store: Design, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another design than was handed over, or one asked with blocks and without: checked here."""
    from shellcheck_earth.studies.survey import beside

    monkeypatch.setattr(beside, "processors", lambda: 2)
    other = read_design(REPORTS / "garden-classroom" / "design.toml")
    expected = check(other, blocks=False, explore=False).certificate
    with beside.checker_beside() as checker:
        checker.begin(store)
        checker.ask(blocks=False)
        assert checker.elsewhere and checker.result(other, blocks=False).certificate == expected


def test_blocks_that_take_all_processors_leave_none_beside(monkeypatch: pytest.MonkeyPatch) -> None:
    from shellcheck_earth.studies.survey import beside

    monkeypatch.setattr(beside, "processors", lambda: 2)
    with beside.checker_beside() as checker:
        checker.begin(read_design(REPORTS / "seed-bank" / "design.toml"))
        assert checker.second is None and not checker.elsewhere


class Elsewhere(Checker):
    """Checks the plan here, and says that another process does."""

    def ask(self, *, blocks: bool) -> None:
        self.elsewhere = not blocks


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
        assert seen[0] == after
        assert answer.decision == expected.decision and answer.corrected.result is not None
        assert expected.corrected.result is not None
        assert answer.corrected.result.certificate == expected.corrected.result.certificate


def test_a_fault_in_the_thread_is_raised_where_its_result_is_asked_for() -> None:
    def fails() -> None:
        raise KeyError("gone")

    with pytest.raises(KeyError, match="gone"):
        meanwhile(fails).result(timeout=10.0)
