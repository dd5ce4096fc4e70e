"""Every row of factors that blocks were asked at is kept with its worst load, printed, and believed only as it fits."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from small_store import quiet, small_store

from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.joint import ON_THE_GROUND, Row
from shellcheck_earth.safety.blocks import kept, solve
from shellcheck_earth.safety.blocks.cuts import in_order, rows_found
from shellcheck_earth.safety.blocks.jobs import Job, jobs, joint_job
from shellcheck_earth.safety.blocks.kept import read_result, write_result
from shellcheck_earth.safety.blocks.reserve import reserve_case
from shellcheck_earth.safety.blocks.result import BlockResult, RowFound
from shellcheck_earth.safety.blocks.sideways import sideways_case
from shellcheck_earth.safety.blocks.validity import in_range
from shellcheck_earth.safety.crossed import crossed
from shellcheck_earth.views.report import factor_pages

CUTS = (12, 18)
A, B = Row("a"), Row("b")


def _result(title: str, relied: float | None, required: float = 1.0) -> BlockResult:
    status: Any = "cannot say" if relied is None else "solved"
    return BlockResult("x-joint", title, "combined factors", relied, relied, relied, required, status, "", False,
                       None, (), (), (), (), 9)  # fmt: skip


def test_of_each_row_the_load_held_the_least_that_of_the_case_first() -> None:
    every = [(A, 0.0, _result("n, a", 1.4)), (B, 0.0, _result("n, b", 1.3)), (A, 1.5, _result("e, a", 1.2)),
             (B, 1.5, _result("e, b", None)), (A, 3.0, _result("s, a", 1.2))]  # fmt: skip
    worst = min((result for *_, result in every), key=in_order)
    assert rows_found(every, worst) == (
        RowFound("b", "e, b", 1.5, 2, None, False), RowFound("a", "e, a", 1.5, 3, 1.2, False),
    )  # fmt: skip
    # of two that are alike the one that the case is about, wherever it stands
    last = every[4][2]
    assert rows_found([every[2], every[4]], last) == (RowFound("a", "s, a", 3.0, 2, 1.2, False),)


@pytest.fixture(scope="module")
def dome() -> Dome:
    base = small_store(snow=0.4, ground_friction=0.8, friction_wet=0.8, ground_bearing=500.0, bearing_wet=500.0)
    return build_dome(replace(base, criteria=replace(base.criteria, set_name="EN 1990")))


def _joint(dome: Dome, name: str) -> Job:
    found = joint_job(dome.design, next(job for job in jobs(dome) if job.id == name))
    assert found is not None
    return found


@pytest.fixture(scope="module")
def dead(dome: Dome) -> tuple[Job, BlockResult]:
    job = _joint(dome, "three-d-finished-damp")
    return job, reserve_case(dome, job, CUTS)


@pytest.fixture(scope="module")
def snow(dome: Dome) -> tuple[Job, BlockResult]:
    job = _joint(dome, "three-d-snow")
    light = (Row("light", load=1.1), Row("lighter", load=1.3, friction=1.02), job.rows[-1])
    job = replace(job, loads=job.loads[:2], rows=light)  # so light that every load is asked at each
    return job, sideways_case(dome, job, CUTS)


def test_every_row_that_was_asked_is_there(dead: tuple[Job, BlockResult], snow: tuple[Job, BlockResult]) -> None:
    for job, found in (dead, snow):
        assert {row.row for row in found.rows} == {row.name for row in job.rows} and len(job.rows) > 2
        assert found.rows[0].relied == found.relied and found.rows[0].title == found.title
        known = [row.relied for row in found.rows if row.relied is not None]
        assert min(known) == pytest.approx(found.relied, abs=1e-6)
    assert {row.bearing for row in dead[1].rows} == {None}
    asked = {load.bearing for load in snow[0].loads}
    assert all(row.bearing in asked or snow[1].between for row in snow[1].rows)
    assert all(row.loads >= 2 for row in snow[1].rows[1:])


def test_where_nothing_is_held_at_one_row_the_others_are_not_asked(dome: Dome) -> None:
    job = _joint(dome, "three-d-snow")
    rows = (Row("light"), Row("hard", friction=20.0))
    found = sideways_case(dome, replace(job, loads=job.loads[:2], rows=rows), CUTS)
    assert found.relied == 0.0 and [(row.row, row.relied) for row in found.rows] == [("hard", 0.0)]


def test_each_is_a_line_of_the_table_and_the_least_governs(dead: tuple[Job, BlockResult]) -> None:
    found = replace(dead[1], question="Finished, damp")
    told: Any = SimpleNamespace(cases=(), blocks=(found,))
    lines = crossed(told)
    assert [(line.combination, line.factor) for line in lines] == [(row.row, row.relied) for row in found.rows]
    assert {line.question for line in lines} == {"Finished, damp"} and {line.case for line in lines} == {found.id}
    (decides,) = [line for line in lines if line.decides]
    assert decides.governs and decides.title == found.title and decides.share == found.relied
    assert all(line.meets is (line.factor >= 1.0) for line in lines if line.factor is not None)


def test_what_is_beyond_the_range_of_blocks_says_nothing_of_any_row(
    dead: tuple[Job, BlockResult], dome: Dome, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("shellcheck_earth.safety.blocks.validity.beyond_validation", lambda *_: ("too wide",))
    rows = tuple(replace(row, relied=1.5) for row in dead[1].rows)
    found = in_range(dome, replace(dead[1], relied=1.5, rows=rows))
    assert found.meets is None and {row.relied for row in found.rows} == {None}
    told: Any = SimpleNamespace(cases=(), blocks=(found,))
    assert {(line.share, line.meets, line.governs) for line in crossed(told)} == {(None, None, False)}


def test_the_report_prints_each_with_where_it_is_held_the_least(
    dead: tuple[Job, BlockResult], snow: tuple[Job, BlockResult]
) -> None:
    found = [replace(dead[1], question="Finished, damp"), replace(snow[1], question="Snow on one half")]
    told: Any = SimpleNamespace(cases=(), blocks=found)
    tables = [block for block in factor_pages._blocks(crossed(told)) if block["kind"] == "table"]
    least, of_dead, of_snow = tables
    assert [row[0] for row in least["rows"]] == [one.title for one in found]
    assert [row[0] for row in of_dead["rows"]] == [
        "of the ground" if row.row == ON_THE_GROUND else row.row for row in found[0].rows
    ]
    assert len(of_dead["columns"]) == 2 and of_snow["caption"] == "Snow on one half"
    for row, cells in zip(found[1].rows, of_snow["rows"], strict=True):
        assert row.row not in cells[1] and cells[3] == str(row.loads) and cells[2].isdigit()
    marks = [cell for one in tables for row in one["rows"] for cell in row if cell.endswith("**")]
    assert len(marks) == 2  # beside its question, and beside its row


def _again(folder: Path, dome: Dome, job: Job, change: Any) -> BlockResult | None:
    """What is read of a kept case whose rows were changed, by one who knows how to sign it."""
    (path,) = folder.glob("*.json")
    raw = json.loads(path.read_text(encoding="utf-8"))
    change(raw["case"]["rows"])
    raw["digest"] = kept._digest(raw["case"], raw["key"])
    changed = folder / "changed"
    changed.mkdir(exist_ok=True)
    (changed / path.name).write_text(json.dumps(raw), encoding="utf-8")
    return read_result(changed, dome, job, CUTS, lambda: 5.0)


BAD: dict[str, Any] = {
    "a row that is not asked": lambda rows: rows[1].update(row="EQU of ours"),
    "left out": lambda rows: rows.pop(),
    "twice": lambda rows: rows.append(dict(rows[1])),
    "less than the case": lambda rows: rows[1].update(relied=rows[0]["relied"] * 0.9),
    "more than is looked for": lambda rows: rows[1].update(relied=1e3),
    "another one first": lambda rows: rows.reverse(),
    "no number": lambda rows: rows[1].update(relied="1.5"),
    "a bearing of a dead load, or none of one from one side": lambda rows: rows[1].update(
        bearing=None if rows[1]["bearing"] is not None else 0.5
    ),
    "no loads": lambda rows: rows[1].update(loads=0),
    "yes for loads": lambda rows: rows[1].update(loads=True),
    "more loads than there are": lambda rows: rows[1].update(loads=99),
    "words for yes": lambda rows: rows[1].update(at_least="no"),
    "one more key": lambda rows: rows[1].update(meets=True),
    "a title that steers": lambda rows: rows[1].update(title="\x1b[31m"),
}


@pytest.mark.parametrize("name", BAD)
@pytest.mark.parametrize("which", ["dead", "snow"])
def test_kept_rows_that_do_not_fit_are_refused(
    which: str, name: str, dome: Dome, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    job, found = request.getfixturevalue(which)
    assert found.relied and found.relied > 0.0
    write_result(tmp_path, dome, job, CUTS, found)
    assert _again(tmp_path, dome, job, lambda _rows: None) == found
    assert _again(tmp_path, dome, job, BAD[name]) is None


def test_the_first_row_is_judged_anew(dome: Dome, tmp_path: Path, dead: tuple[Job, BlockResult]) -> None:
    job, found = dead
    write_result(tmp_path, dome, job, CUTS, found)
    eased = _again(tmp_path, dome, job, lambda rows: rows[0].update(relied=rows[0]["relied"] * 0.9999))
    assert eased is not None and eased.rows[0].relied == found.relied


def test_the_question_is_the_jobs_and_no_word_of_a_file(
    dome: Dome, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = jobs(dome)[0]
    monkeypatch.setattr(solve, "needed_jobs", lambda _dome: [replace(job, rows=job.rows)])
    monkeypatch.setattr(solve, "joint_job", lambda *_: None)
    monkeypatch.setattr(solve, "CUTS", CUTS)
    first = solve.block_cases(dome, quiet, tmp_path)
    again = solve.block_cases(dome, quiet, tmp_path)
    assert [one.question for one in (*first, *again)] == [job.title] * 2
    assert "question" not in json.loads(next(tmp_path.glob("*.json")).read_text(encoding="utf-8"))["case"]
    assert asdict(again[0])["rows"] == asdict(first[0])["rows"]
