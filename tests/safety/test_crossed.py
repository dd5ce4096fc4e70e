"""Cases crossed with combinations and checks: every counted margin once, and the least of each check marked."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest
from samples import sturdy

from shellcheck_earth.loads.joint import ON_THE_GROUND
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.crossed import crossed, governing_line
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export.sheets import assessment_data
from shellcheck_earth.views.report.factor_pages import factor_blocks


@cache
def _result() -> Result:
    base = sturdy()
    small = replace(base.dome, inside_diameter=2.4)
    design = replace(base, dome=small, criteria=replace(base.criteria, set_name="ASCE 7 strength"))
    return check(design, blocks=False, proofs=False, explore=False)


def _case(
    name: str, *margins: tuple[str, float | None, bool | None], status: str = "admissible", counts: bool = True
) -> Any:
    said = [
        SimpleNamespace(check=check, combination="", factor=share, required=1.0, share=share, meets=meets)
        for check, share, meets in margins
    ]
    return SimpleNamespace(id=name, title=name, kind="finished", counts=counts, status=status, margins=said)


def _block(name: str, relied: float | None, required: float, status: Any = "solved") -> BlockResult:
    return BlockResult(
        name, name, "storm", relied, relied, relied, required, status, "", False, None, (), (), (), (), 9
    )


def test_every_counted_margin_stands_in_the_table_once() -> None:
    result = _result()
    counted = [margin for case in result.cases if case.counts for margin in case.margins]
    lines = crossed(result)
    assert len(lines) == len(counted) and any(line.combination == "1.4 D" for line in lines)
    assert [line.factor for line in lines] == [margin.factor for margin in counted]


def test_the_least_of_each_check_governs_and_the_least_of_all_decides() -> None:
    result: Any = SimpleNamespace(
        cases=(
            _case("a", ("friction", 1.2, True), ("strength", 1.1, True)),
            _case("b", ("friction", 1.05, True), ("strength", 1.1, True)),
            _case("what if", ("friction", 0.2, False), counts=False),
            _case("open", ("friction", 0.1, False), status="cannot say"),
            _case("not closed", ("friction", 0.0, None)),
        ),
        blocks=(_block("wind-joint", 1.5, 1.5), _block("worker", 1.2, 1.25), _block("none", None, 1.0, "cannot say")),
    )
    lines = crossed(result)
    assert [(line.case, line.check) for line in lines if line.governs] == [
        ("a", "strength"), ("b", "friction"), ("worker", "storm"),
    ]  # fmt: skip
    (decides,) = [line for line in lines if line.decides]
    assert governing_line(result) is decides or governing_line(result) == decides
    assert (decides.case, decides.model, decides.share) == ("worker", "blocks", pytest.approx(0.96))
    assert {line.case: line.share for line in lines if line.share is None} == {
        "open": None,
        "not closed": None,
        "none": None,
    }
    assert next(line for line in lines if line.case == "wind-joint").combination == "every capacity at once"
    assert governing_line(SimpleNamespace(cases=(), blocks=())) is None  # type: ignore[arg-type]


@pytest.mark.parametrize("shares", [(1.2, 1.05, 1.3), (1.05, 1.3, 1.2), (1.3, 1.2, 1.05)])
def test_the_least_governs_wherever_it_stands(shares: tuple[float, ...]) -> None:
    cases = tuple(_case(f"{share:g}", ("friction", share, True)) for share in shares)
    result: Any = SimpleNamespace(cases=cases, blocks=())
    assert [line.case for line in crossed(result) if line.governs and line.decides] == ["1.05"]


def test_a_joint_question_on_the_ground_alone_is_called_that() -> None:
    ground = replace(_block("wind-joint", 1.5, 1.5), title=f"Wind, {ON_THE_GROUND}")
    plain = replace(ground, id="wind")
    result: Any = SimpleNamespace(cases=(), blocks=(ground, plain))
    assert [line.combination for line in crossed(result)] == [ON_THE_GROUND, ""]


def test_the_report_has_each_of_them_and_one_that_decides() -> None:
    tables = [block for block in factor_blocks(_result()) if block["kind"] == "table"]
    cells = [cell for one in tables for row in one["rows"] for cell in row]
    assert sum(cell.endswith("**") for cell in cells) in (1, 2)  # beside its check, and beside its combination
    by_check, by_row, rows, asked = tables
    named = [name for row in asked["rows"] for name in row[0].split("; ")]
    assert {"1.4 D", "1.2 D + 1.6 L or R", "all capacities"} - {*named} == {"all capacities"} and len(
        set(named)
    ) == len(named)
    lift = next(row for row in asked["rows"] if "0.9 D + 1.0 W" in row[0].split("; "))
    assert lift[1].startswith("weight (finished: dry, ") and "building: damp as placed" in lift[1]
    assert len(by_check["rows"]) == len({line.title for line in crossed(_result()) if line.kind == "finished"}) + 2
    assert [row[0] for row in by_row["rows"]] == ["1.4 D", "1.2 D + 1.6 L or R", "0.9 D + 1.0 W"]
    wind = next(row for row in rows["rows"] if row[0] == "0.9 D + 1.0 W")
    assert wind[1:8] == ["0.9", "-", "-", "-", "1", "-", "1.25"] and "2.3.1, 5" in wind[-1]


def test_the_data_hold_the_table_and_the_rows() -> None:
    data = assessment_data(_result())
    json.dumps(data, allow_nan=False)
    assert len(data["factors"]) == len(crossed(_result())) and sum(one["decides"] for one in data["factors"]) == 1
    row = next(one for one in data["combinations"] if one["name"] == "0.9 D + 1.0 W")
    assert (row["permanent"], row["wind"], row["wind_strength_level"]) == (0.9, 1.6, 1.0)


def _of_blocks(name: str, relied: float | None, criterion: str = "storm") -> BlockResult:
    status: Any = "cannot say" if relied is None else "solved"
    return BlockResult(
        name, name, criterion, relied, relied, relied, 1.0, status, "", False, None, (), (), (), (), 1
    )  # fmt: skip


def _told(cases: list[Any], blocks: list[BlockResult]) -> Any:
    return SimpleNamespace(cases=cases, blocks=blocks)


def test_of_two_that_are_alike_one_decides_and_each_governs_its_check() -> None:
    lines = crossed(_told([_case("a", ("strength", 1.2, True))], [_of_blocks("wind", 1.2), _of_blocks("later", 1.2)]))
    assert [line.governs for line in lines] == [True, True, False]
    assert [line.decides for line in lines] == [True, False, False]


def test_what_is_not_established_neither_governs_nor_stops_the_table() -> None:
    lines = crossed(_told([], [_of_blocks("wind", None), _of_blocks("snow", 1.5, "overall reserve")]))
    assert [(line.share, line.governs) for line in lines] == [(None, False), (1.5, True)]
    alone = _told([], [_of_blocks("wind", None)])
    assert [line.governs for line in crossed(alone)] == [False] and governing_line(alone) is None


@pytest.mark.parametrize(("building", "kind"), [(True, "stage"), (False, "finished")])
def test_blocks_of_a_stage_are_a_stage(building: bool, kind: str) -> None:
    (line,) = crossed(_told([], [replace(_of_blocks("three-d-wind", 1.5), building=building)]))
    assert line.kind == kind and line.model == "blocks"
