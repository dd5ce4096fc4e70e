"""Loads from one side: which directions and cuts are asked, how far, and which answer counts."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from small_store import quake_job, small_store

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.safety.blocks import sideways as three_d_sideways
from shellcheck_earth.safety.blocks import solve as three_d
from shellcheck_earth.safety.blocks.edge import RESERVE_STEP
from shellcheck_earth.safety.blocks.jobs import jobs, joint_job
from shellcheck_earth.safety.blocks.reserve import largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, outcome
from shellcheck_earth.safety.blocks.sideways import Asked, sideways_case


@pytest.fixture(autouse=True)
def _coarse(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(three_d, "CUTS", (4, 5))


def test_a_finer_cut_is_looked_at_from_what_the_coarser_one_holds() -> None:
    design = small_store()
    stack = build_dome(design)
    case = dead_cases(stack)[0]
    layout = cut_blocks(stack, 6)
    edge = largest_reserve(stack, case, layout, [4.0], first=0.5)
    assert edge.reserve is not None
    assert edge.failing is not None
    # what is held and the mechanism that is not lie one step apart
    assert edge.reserve < edge.fails <= edge.reserve * (1 + RESERVE_STEP)
    # Told to begin far below the edge: "at least" so much, and no more is claimed.
    start = edge.reserve / 2
    stopped = largest_reserve(stack, case, layout, [start])
    assert stopped.at_least and stopped.reserve == start and stopped.fails == math.inf
    # Begun above, it is found.
    for share in (1.04, 1.5):
        again = largest_reserve(stack, case, layout, [share * edge.reserve])
        assert again.reserve == pytest.approx(edge.reserve, rel=2 * RESERVE_STEP)
        assert not again.at_least


def test_a_direction_that_only_the_finer_cut_finds_worse_governs(monkeypatch: pytest.MonkeyPatch) -> None:
    design = small_store(earthquake=0.1)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.criterion == "earthquake")
    seen: list[tuple[int, float]] = []

    def line(_question: three_d_sideways.Question, layout: Layout, asked: Asked) -> CutResult:
        load = asked.load
        # With few blocks all directions are alike, as where the base slides; with more, the one at 90 deg is the worst.
        seen.append((layout.cuts, load.bearing))
        worse = layout.cuts > 6 and load.bearing == pytest.approx(math.pi / 2)
        return CutResult(layout.cuts, len(layout.blocks), 1.9 if worse and load.vertical > 0 else 2.0)

    monkeypatch.setattr(three_d_sideways.Question, "line", line)
    monkeypatch.setattr(three_d_sideways.Question, "not_held", lambda _: None)  # six blocks a ring fall by themselves
    result = sideways_case(stack, job, (6, 8))
    # three directions (the fourth is an image), up and down, with both cuts, the one that governs with the finest too;
    # then half-way to its neighbours, and half of that
    assert seen[:12].count((6, 0.0)) == 2 and len(seen) == 6 + 6 + 1 + 4
    assert seen[12] == (16, pytest.approx(math.pi / 2))
    assert [round(math.degrees(b)) for _, b in seen[13:17]] == [45, 135, 68, 112]
    assert result.directions[0] == (pytest.approx(math.pi / 2), 1.9)
    assert result.associated == 1.9
    assert [line.multiplier for line in result.convergence] == [2.0, 1.9, 1.9]
    assert result.relied is not None
    assert result.relied <= 1.9
    assert result.title == "Earthquake towards 90 deg, up"


def test_a_direction_that_does_not_converge_is_never_a_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    design = small_store(earthquake=0.1)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.criterion == "earthquake")

    def line(_question: three_d_sideways.Question, layout: Layout, asked: Asked) -> CutResult:
        load = asked.load
        value = 6.0 * 0.7 ** [6, 8, 16].index(layout.cuts) if load.bearing == pytest.approx(math.pi) else 5.0
        return CutResult(layout.cuts, len(layout.blocks), value)

    monkeypatch.setattr(three_d_sideways.Question, "line", line)
    result = sideways_case(stack, job, (6, 8))
    assert result.meets is not True
    assert len(result.convergence) == 3


def test_what_does_not_converge_meets_nothing_and_falls_short_only_by_a_mechanism() -> None:
    wide = outcome(2.94, 3.0, [6.0, 4.2, 2.94], 1.1, sideways=True)
    assert (wide.status, wide.relied) == ("cannot say", None) and "lintel" in wide.why
    # what one cut does not hold, no finer one holds: its mechanism is there
    assert outcome(1.0, 1.0, [6.0, 4.2, 1.0], 1.25, sideways=False).relied == 1.0
    # within a tenth the same drop is taken off once more
    assert outcome(1.5, 1.6, [1.62, 1.5], 1.25, sideways=False).relied == pytest.approx(1.38)
    assert outcome(1.44, 1.6, [1.62, 1.44], 1.25, sideways=False).relied is None


def test_a_load_held_to_the_end_of_the_search_has_no_mechanism() -> None:
    design = small_store(snow=0.01)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.id == "three-d-snow")
    result = sideways_case(stack, replace(job, loads=job.loads[:1]), (12, 18))
    assert result.at_least
    assert result.meets
    assert result.motions == ()
    assert result.mechanism is None
    # Held 1.25 x 2 times: 0.53 of the scheme's number is relied on.
    assert result.relied == pytest.approx(0.53 * 2.5, rel=1e-4)


def _joint(result: BlockResult, relied: float) -> BlockResult:
    return replace(result, relied=relied, required=1.0, criterion="combined factors")


def test_what_divided_capacities_hold_whole_ones_hold(monkeypatch: pytest.MonkeyPatch) -> None:
    """1.1 of an earthquake are asked for: of the joint question only what reaches as much answers both."""
    stack = build_dome(small_store(earthquake=0.1))
    job = quake_job(stack.design)
    together = joint_job(stack.design, job)
    assert together is not None and [row.name for row in together.rows] == ["all capacities"]
    assert {getattr(together.rows[0], name) for name in ("friction", "strength", "wire", "width")} == {1.1}
    found = BlockResult(
        together.id, "Earthquake towards 0 deg, up, all capacities", together.criterion, 1.4, 1.3, 1.2, 1.0, "solved",
        "", False, None, (), (), ((0.0, 1.4),), (), len(job.case.states), ("a proof",),
    )  # fmt: skip
    monkeypatch.setattr(three_d, "press_at_the_load", lambda *_: ())
    plain = three_d.implied(stack, job, together, found, (6, 8))
    assert plain is not None and (plain.relied, plain.required, plain.meets) == (1.2, 1.1, True)
    assert (plain.at_least, plain.proofs, plain.criterion, plain.id) == (True, (), "earthquake", job.id)
    for short in (1.0999, 1.0, 0.9):
        assert three_d.implied(stack, job, together, _joint(found, short), (6, 8)) is None
    assert three_d.implied(stack, job, together, replace(found, status="cannot say", relied=None), (6, 8)) is None
    # a row whose permanent loads are multiplied says nothing of the dome as it is
    heavy = replace(together, rows=tuple(replace(row, permanent=1.35) for row in together.rows))
    assert three_d.implied(stack, job, heavy, found, (6, 8)) is None


def test_what_falls_short_decides_before_what_does_not_settle(monkeypatch: pytest.MonkeyPatch) -> None:
    stack = build_dome(small_store(earthquake=0.1))
    job = quake_job(stack.design)
    job = replace(job, loads=(job.loads[0], job.loads[4]))
    real = three_d_sideways.Question.without_dilation

    def settles_towards_0_only(question: three_d_sideways.Question, asked: Asked) -> object:
        answer = real(question, asked)
        if asked.load == job.loads[0]:
            return replace(answer, multiplier=0.5, non_associated=0.5)
        return replace(answer, status="cannot say", why="did not settle", multiplier=None)

    monkeypatch.setattr(three_d_sideways.Question, "without_dilation", settles_towards_0_only)
    assert sideways_case(stack, job, (8, 12)).meets is False
    monkeypatch.setattr(
        three_d_sideways.Question,
        "without_dilation",
        lambda question, asked: replace(real(question, asked), status="cannot say", why="no", multiplier=None),
    )
    unsettled = sideways_case(stack, job, (8, 12))
    assert (unsettled.meets, unsettled.status) == (None, "cannot say")


def test_a_direction_between_those_of_the_design_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Least at 70 degrees: half-way from 90 lies 45, and half of that 67.5."""
    stack = build_dome(small_store(earthquake=0.1))
    job = quake_job(stack.design)

    def line(_question: three_d_sideways.Question, layout: Layout, asked: Asked) -> CutResult:
        off = abs(math.remainder(asked.load.bearing - math.radians(70), 2 * math.pi))
        return CutResult(layout.cuts, len(layout.blocks), 1.9 + off / 10)

    monkeypatch.setattr(three_d_sideways.Question, "line", line)
    result = sideways_case(stack, job, (6, 8))
    assert math.degrees(result.directions[0][0]) == pytest.approx(67.5)
    assert result.title.startswith("Earthquake towards 68 deg, ")
    assert result.associated == pytest.approx(1.9 + math.radians(2.5) / 10)


def test_what_does_not_settle_is_looked_for_no_further_than_needed_then_on_the_finer_cut(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    stack = build_dome(small_store(earthquake=0.1))
    job = quake_job(stack.design)
    question = three_d_sideways.Question(stack, job, (6, 8), 2.2, 1.5)
    asked: list[tuple[int, float]] = []

    def scheme(problem: BlockProblem, **_: object) -> SimpleNamespace:
        asked.append((problem.blocks, problem.most))
        return SimpleNamespace(status="cannot say" if len(asked) < settles else "solved", associated=held)

    monkeypatch.setattr(three_d_sideways, "solve_blocks", scheme)
    monkeypatch.setattr(
        three_d_sideways, "replace", lambda one, **given: one if "motions" in given else replace(one, **given)
    )
    coarse, fine = (len(layout.blocks) for layout in question.layouts)
    needed, reach = 1.05 * 1.1 / OVERSTATED, pytest.approx(3.3)
    for held in (3.3, 1.49 * needed):
        # not where its end would lie just below what ordinary friction holds: the scheme stays there
        retries = [(coarse, pytest.approx(needed))] if held == 3.3 else []
        calls = [(coarse, reach), *retries, (fine, reach)]
        for settles in (1, 2, 3, 9):
            asked.clear()
            said = question.without_dilation(Asked(job.loads[0]))
            assert said.status == ("solved" if settles <= len(calls) else "cannot say")
            assert asked == calls[:settles]


def test_a_joint_question_is_looked_for_as_far_as_the_plain_one() -> None:
    """1.1 of an earthquake are asked for, so that the joint one is told up to 2.2; sets of partial factors multiply the
    load beside weights as they are, so that less of that is enough."""
    design = small_store(earthquake=0.1)
    job = quake_job(design)
    together = joint_job(design, job)
    assert together is not None and (job.most(design), together.most(design)) == (2.2, 2.2)
    base = small_store(wind_pressure=0.3)
    partial = replace(base, criteria=replace(base.criteria, set_name="EN 1990"))
    storm = next(job for job in jobs(build_dome(partial)) if job.criterion == "storm")
    rows = joint_job(partial, storm)
    assert rows is not None
    times = max(row.load for row in rows.rows if row.as_it_is)
    assert rows.answers == pytest.approx(storm.required(partial) / times)
    assert rows.most(partial) == 2 * max(1.0, rows.answers)


def test_more_is_looked_for_than_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """2.0 of what ordinary friction holds beyond it; below it the mechanism is told beside."""
    stack = build_dome(small_store(earthquake=0.1))
    for found, told, fails in ((2.9, 2.0, None), (2.0, 2.0, None), (1.9, 1.9, 1.91)):
        answer = SimpleNamespace(solved=True, multiplier=found, mechanism=found + 0.01, motions=np.zeros((1, 6)))
        monkeypatch.setattr(three_d_sideways, "solve_cone", lambda *_, answer=answer, **__: answer)
        question = three_d_sideways.Question(stack, quake_job(stack.design), (6, 8), 2.0, 1.5)
        asked = Asked(question.job.loads[0])
        assert question.problem(question.layouts[0], asked).most == 3.0
        line = question.line(question.layouts[0], asked)
        assert (line.multiplier, line.fails) == (told, fails if fails is None else pytest.approx(fails))


def test_a_direction_between_has_its_name_and_its_place_from_its_load() -> None:
    load = quake_job(small_store(earthquake=0.1)).loads[0]
    turned = three_d_sideways.between(load, -3)
    assert turned.id == f"{load.id} turned -67.5 deg" and math.degrees(turned.bearing) == pytest.approx(292.5)
    assert turned.vertical == load.vertical and "292 deg" in turned.title
