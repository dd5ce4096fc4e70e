"""Which loads from one side are asked with which cuts, and which of them decides: every number put there by hand."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.joint import PLAIN, Row
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.safety.blocks import sideways
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult
from shellcheck_earth.safety.blocks.sideways import DEAD_LOAD_ALONE, Asked, Question, sideways_case

BASE = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
SITE = replace(BASE.site, earthquake=0.1, wind_pressure=0.4)
DOME = build_dome(replace(BASE, dome=replace(BASE.dome, inside_diameter=2.6), site=SITE))
QUAKE: Job = next(job for job in jobs(DOME) if job.criterion == "earthquake")
CUTS, MOST = (6, 8), 2.2
"""1.1 of an earthquake is required, told up to twice that."""
A, B, C = (replace(load, id=name) for load, name in zip(QUAKE.loads[:3], "abc", strict=True))
JOB = replace(QUAKE, loads=(A, B, C))

Table = Mapping[str, Mapping[int, float | None]]
Held = Callable[[SideLoad, int], float | None]


def question(monkeypatch: pytest.MonkeyPatch, held: Held, job: Job = JOB) -> tuple[Question, list[tuple[str, int]]]:
    """A question whose cuts hold what is told; and what it asks, in turn."""
    seen: list[tuple[str, int]] = []

    def line(mine: Question, layout: Layout, asked: Asked) -> CutResult:
        seen.append((asked.load.id, layout.cuts))
        mine.motions[asked, layout.cuts] = np.full((len(layout.blocks), 6), float(layout.cuts))
        return CutResult(layout.cuts, len(layout.blocks), held(asked.load, layout.cuts))

    monkeypatch.setattr(Question, "_line", line)
    monkeypatch.setattr(sideways, "each_once", lambda _design, loads: [(load, [load.bearing]) for load in loads])
    return Question(DOME, job, CUTS, MOST), seen


def told(table: Table, turned: float | None = 9.0) -> Held:
    return lambda load, cuts: table[load.id][cuts] if load.id in table else turned


def tables(mine: Question) -> list[tuple[str, list[float | None]]]:
    return [(one.asked.load.id, [line.multiplier for line in one.table]) for one in mine.tried()]


def test_the_load_that_leaves_least_comes_first_with_the_cuts_it_needs(monkeypatch: pytest.MonkeyPatch) -> None:
    """a is held to the end of the search: no finer cut. b leaves 1.4 less 0.1. c loses over a tenth, so that its finest
    cut is asked: 1.28 less 0.02."""
    given: dict[str, Any] = {"a": {6: 2.2}, "b": {6: 1.5, 8: 1.4}, "c": {6: 1.8, 8: 1.3, 16: 1.28}}
    mine, seen = question(monkeypatch, told(given))
    assert tables(mine) == [("c", [1.8, 1.3, 1.28]), ("b", [1.5, 1.4]), ("a", [2.2])]
    assert seen[:3] == [("a", 6), ("b", 6), ("c", 6)] and seen[3:6] == [("b", 8), ("c", 8), ("c", 16)]
    # Then half-way to the next directions of the one that governs, and half of that: none holds less.
    assert [name for name, _ in seen[6:]] == [f"c turned {a} deg" for a in ("-45", "+45", "-22.5", "+22.5")]


def test_the_one_that_governs_always_has_the_finest_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    given: dict[str, Any] = {"a": {6: 2.2}, "b": {6: 1.5, 8: 1.45, 16: 1.44}, "c": {6: 1.8, 8: 1.75, 16: 1.7}}
    assert tables(question(monkeypatch, told(given))[0]) == [
        ("b", [1.5, 1.45, 1.44]), ("c", [1.8, 1.75]), ("a", [2.2])
    ]  # fmt: skip
    # What the finest cut leaves is compared again: b is no longer the least, and c has no finest cut yet.
    given["b"][16] = 1.449
    given["c"] = {6: 1.5, 8: 1.47}
    assert tables(question(monkeypatch, told(given))[0])[0] == ("c", [1.5, 1.47])


def test_where_all_are_held_to_the_end_the_first_one_is_asked_on(monkeypatch: pytest.MonkeyPatch) -> None:
    every = question(monkeypatch, lambda _load, _cuts: MOST)[0]
    assert tables(every) == [("a", [2.2] * 3), ("b", [2.2]), ("c", [2.2])]


@pytest.mark.parametrize(("least", "last"), [(1.15, [1.0]), (1.1, [1.0]), (1.09, [])])
def test_a_finest_cut_that_does_not_converge_is_followed_where_enough_is_left(
    least: float, last: list[float], monkeypatch: pytest.MonkeyPatch
) -> None:
    given: dict[str, Any] = {"a": {6: 2.0, 8: 1.6, 16: least, 32: 1.0}, "b": {6: 2.2}, "c": {6: 2.2}}
    assert tables(question(monkeypatch, told(given))[0])[0] == ("a", [2.0, 1.6, least, *last])


def test_a_cut_that_is_not_decided_counts_as_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    given: dict[str, Any] = {"a": {6: 2.2}, "b": {6: 1.5, 8: 1.45, 16: 1.4}, "c": {6: None, 8: 1.7, 16: 1.6}}
    mine = question(monkeypatch, told(given))[0]
    tried = mine.tried()
    assert [one.asked.load.id for one in tried] == ["c", "b", "a"]
    assert tried[0].undecided and not tried[1].undecided and tried[0].known[0] == 0.0 and tried[0].left == 0.0


@pytest.mark.parametrize(
    ("least_at", "expected"),
    [(45.0, 45.0), (67.0, 67.5), (22.0, 22.5), (-30.0, -22.5), (-45.0, -45.0), (-70.0, -67.5), (1.0, None)],
)
def test_the_direction_between_is_the_least_of_the_steps(
    least_at: float, expected: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def held(load: SideLoad, _cuts: int) -> float:
        off = math.degrees(math.remainder(load.bearing - A.bearing - math.radians(least_at), 2 * math.pi))
        return 1.5 + abs(off) / 200

    mine = question(monkeypatch, held, replace(JOB, loads=(A,)))[0]
    first = mine.tried()[0]
    turn = math.degrees(math.remainder(first.asked.load.bearing - A.bearing, 2 * math.pi))
    assert turn == pytest.approx(expected or 0.0, abs=1e-9)
    assert first.turned == (() if expected is None else (("a", "", round(expected / 22.5)),))
    assert len(first.table) == 3 and first.bearings == pytest.approx([first.asked.load.bearing])


def test_a_direction_between_has_to_hold_less_by_a_thousandth(monkeypatch: pytest.MonkeyPatch) -> None:
    for share, found in ((0.9991, False), (0.9989, True)):
        given: dict[str, Any] = {"a": dict.fromkeys((6, 8, 16), 1.5)}
        mine = question(monkeypatch, told(given, 1.5 * share), replace(JOB, loads=(A,)))[0]
        assert bool(mine.tried()[0].turned) == found


@pytest.mark.parametrize(("kind", "held"), [("worker", 1.5), ("earthquake", 0.0), ("earthquake", MOST)])
def test_no_direction_between_is_sought_for_a_worker_nor_where_nothing_or_all_is_held(
    kind: Any, held: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = replace(JOB, loads=(replace(A, kind=kind),))
    mine, seen = question(monkeypatch, lambda load, _cuts: held if load.id == "a" else 0.1, job)
    mine.tried()
    assert {name for name, _ in seen} == {"a"}


# -- what decides ----------------------------------------------------------------------------------------------------


def decided(
    monkeypatch: pytest.MonkeyPatch, given: Table, without: dict[str, float | None], job: Job = JOB, **more: Any
) -> tuple[BlockResult, list[str]]:
    """The case where friction without dilation gives so much of each load; None: it does not settle."""
    question(monkeypatch, told(given), job)
    scheme: list[str] = []

    def answered(_mine: Question, asked: Asked) -> Any:
        scheme.append(asked.load.id)
        found = without.get(asked.load.id)
        return SimpleAnswer("solved" if found is not None else "cannot say", found)

    class SimpleAnswer(SimpleNamespace):
        def __init__(self, status: str, multiplier: float | None) -> None:
            super().__init__(status=status, multiplier=multiplier, why="swings", motions=None)

    monkeypatch.setattr(Question, "without_dilation", answered)
    monkeypatch.setattr(Question, "not_held", more.get("not_held", lambda _: None))
    monkeypatch.setattr(sideways, "ring_symmetric", lambda *_: more.get("ring", 1.0))
    monkeypatch.setattr(sideways, "press_at_the_load", lambda _dome, _job, load, _cuts: (load.id,))
    monkeypatch.setattr(
        sideways, "replace", lambda one, **new: SimpleAnswer(one.status, new["multiplier"])
        if isinstance(one, SimpleAnswer) else replace(one, **new),
    )  # fmt: skip
    return sideways_case(DOME, job, CUTS, more.get("states")), scheme


GIVEN: Table = {
    "a": {6: 2.2}, "b": {6: 1.5, 8: 1.45, 16: 1.44}, "c": {6: 1.8, 8: 1.75, 16: 1.7}
}  # fmt: skip


def test_every_load_is_asked_without_dilation_and_the_least_decides(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = decided(monkeypatch, GIVEN, {"a": 2.2, "b": 2.2, "c": 2.1})
    assert asked == ["b", "c", "a"]
    # 0.53 of 2.1 less c's drop of 0.05 is the least: b's 0.53 of 2.2 less 0.01, a's 0.53 of 2.2.
    assert found.relied == pytest.approx(OVERSTATED * 2.1 - 0.05) and found.meets is False
    assert (found.associated, found.non_associated) == (1.75, 2.1)
    assert [line.multiplier for line in found.convergence] == [1.8, 1.75]
    assert found.directions == ((C.bearing, 1.75), (B.bearing, 1.44), (A.bearing, 2.2))
    assert [str(place) for place in found.forces] == ["c"] and found.title == C.title and not found.at_least


def test_what_moves_is_that_of_the_cut_and_the_friction_that_decide(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a finer cut only where ordinary friction leaves less there than the scheme's share on the coarser one."""
    scheme, _ = decided(monkeypatch, GIVEN, {"a": 2.2, "b": 2.2, "c": 2.1})
    assert scheme.drawn == 0 and scheme.motions == ()  # the scheme's own, of which there are none here
    finer, _ = decided(monkeypatch, {**GIVEN, "b": {6: 1.05, 8: 1.0, 16: 0.99}}, {"a": 2.2, "b": 2.2, "c": 2.2})
    assert finer.relied == pytest.approx(0.98) and finer.drawn == 16
    assert np.abs(np.array(finer.motions)[:, :3]).max() == 1.0
    coarse, _ = decided(monkeypatch, {**GIVEN, "b": {6: 0.99, 8: 0.99, 16: 0.99}}, {"a": 2.2, "b": 2.2, "c": 2.2})
    assert coarse.relied == pytest.approx(0.99) and coarse.drawn == 0


def test_a_load_without_an_answer_is_a_cannot_say_unless_another_falls_short(monkeypatch: pytest.MonkeyPatch) -> None:
    unknown, _ = decided(monkeypatch, GIVEN, {"a": 2.2, "b": None, "c": 2.2})
    assert (unknown.meets, unknown.associated, unknown.relied) == (None, 1.44, None)
    assert "swings" in unknown.why and unknown.title == B.title
    short, _ = decided(monkeypatch, GIVEN, {"a": 1.0, "b": None, "c": 2.2})
    assert short.meets is False and short.title == A.title


def test_what_ordinary_friction_does_not_hold_falls_short_whatever_the_scheme_says(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    given: Table = {**GIVEN, "b": {6: 1.09, 8: 1.08, 16: 1.08}}
    found, _ = decided(monkeypatch, given, {"a": 2.2, "b": None, "c": 2.2})
    assert found.meets is False and found.non_associated == 1.08 and found.relied == pytest.approx(OVERSTATED * 1.08)
    just: Table = {**GIVEN, "b": {6: 1.12, 8: 1.11, 16: 1.11}}
    assert decided(monkeypatch, just, {"a": 2.2, "b": None, "c": 2.2})[0].meets is None


def test_a_load_of_which_nothing_is_held_ends_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    given: Table = {**GIVEN, "b": {6: 1.5, 8: 0.0, 16: 0.0}}
    found, asked = decided(monkeypatch, given, {"a": 2.2, "c": 2.2})
    assert asked == [] and (found.relied, found.meets) == (0.0, False) and found.title == B.title
    # What moves is that of the coarsest cut that holds nothing, the largest motion one.
    assert found.drawn == 8 and np.abs(np.array(found.motions)[:, :3]).max() == 1.0
    assert [line.multiplier for line in found.convergence] == [1.5, 0.0, 0.0]


def test_an_undecided_cut_is_a_cannot_say(monkeypatch: pytest.MonkeyPatch) -> None:
    found, _ = decided(monkeypatch, {**GIVEN, "b": {6: 1.5, 8: None, 16: 1.4}}, {"a": 2.2, "c": 2.2})
    assert found.meets is None and "decided neither way" in found.why and found.title == B.title


@pytest.mark.parametrize(("ring", "asked"), [(0.999, False), (1.0, True)])
def test_without_a_ring_symmetric_line_no_block_is_asked(
    ring: float, asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    found, scheme = decided(monkeypatch, GIVEN, {"a": 2.2, "b": 2.2, "c": 2.2}, ring=ring)
    assert bool(scheme) == asked
    if not asked:
        assert (found.meets, found.relied) == (False, 0.0) and "ring-symmetric" in found.why


def test_more_is_never_told_than_was_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    every = {name: dict.fromkeys((6, 8, 16), 2.2) for name in "abc"}
    found, _ = decided(monkeypatch, every, dict.fromkeys("abc", 3.1))
    assert (found.associated, found.non_associated, found.at_least) == (2.2, 2.2, True)
    assert found.relied == pytest.approx(OVERSTATED * 2.2) and found.meets is True and found.motions == ()


def test_what_held_is_handed_to_the_proofs_only_where_it_meets(monkeypatch: pytest.MonkeyPatch) -> None:
    every = {name: dict.fromkeys((6, 8, 16), 2.2) for name in "abc"}
    of, answer = SimpleNamespace(problem="the problem"), "the answer"
    kept = {Asked(load): (of, answer) for load in (A, B)}
    monkeypatch.setattr(Question, "solved", kept)
    for without, count in ((2.2, 2), (1.0, 0)):
        states: Any = {}
        decided(monkeypatch, every, dict.fromkeys("abc", without), states=states)
        assert len(states) == count
        if count:
            layout, reserve, problem, forces = states[A, PLAIN]
            assert (layout.cuts, reserve, problem, forces) == (6, 1.0, "the problem", "the answer")


def test_one_load_speaks_for_all_where_the_dead_load_is_not_held(monkeypatch: pytest.MonkeyPatch) -> None:
    table = (CutResult(6, 9, 0.0), CutResult(8, 9, 0.0), CutResult(16, 9, 0.0))

    def fallen(mine: Question) -> Any:
        mine.motions[Asked(C), 6] = np.ones((len(mine.layouts[0].blocks), 6))
        return sideways._Tried(Asked(C), (C.bearing,), table)

    found, asked = decided(monkeypatch, GIVEN, {}, not_held=fallen)
    assert asked == [] and (found.relied, found.why) == (0.0, DEAD_LOAD_ALONE)
    assert found.directions == ((C.bearing, 0.0),) and found.convergence == table


@pytest.mark.parametrize("name", ["", "row 1"])
def test_what_is_asked_is_named_by_its_load_its_row_and_its_stage(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    assert Asked(A, Row(name)).title == (f"{A.title}, row 1" if name else A.title)
    case = replace(JOB.case, title="Stage 9", kind="stage")
    job = replace(JOB, case=case)
    assert case.building
    found, _ = decided(monkeypatch, GIVEN, {"a": 2.2, "b": 2.2, "c": 2.1}, job)
    assert found.title == f"{C.title}, stage 9"


@pytest.mark.parametrize("door", [0.0, 0.4, 3.0, 6.0])
@pytest.mark.parametrize("top", [14, 15, 16, 17, None])
def test_all_of_a_worker_stands_on_the_top_ring(door: float, top: int | None) -> None:
    """However far round from the opening its blocks are counted: a stage lost nine tenths of him once."""
    opening = replace(BASE.openings[0], bearing=door, width=0.7, height=1.4)
    dome = build_dome(replace(DOME.design, openings=(opening,)))
    count = len(dome.courses) if top is None else top
    case = replace(case_of(dome, "finished-damp"), states=case_of(dome, "finished-damp").states[:count])
    for cuts in (18, 36):
        layout = cut_blocks(dome, cuts, count)
        for bearing in np.arange(0.0, 2 * math.pi, 0.37):
            load = SideLoad("w", "", "worker", float(bearing), 1.2, "")
            assert side_wrench(dome, case, layout, load)[:, 2].sum() == pytest.approx(-1.2)


@pytest.mark.parametrize(("dry_again", "left"), [(True, 2.5), (False, 0.0), (None, None)])
def test_what_water_in_one_half_weighs_is_not_counted_on(
    dry_again: bool | None, left: float | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is held where the weak half holds with the weight of the water and not without; wind weakens nothing."""
    bare = replace(BASE, site=replace(SITE, left_unprotected=True), plaster=replace(BASE.plaster, outside=0.0))
    dome = build_dome(replace(bare, dome=replace(bare.dome, inside_diameter=2.6)))
    asked: list[bool] = []

    def whether(problem: Any) -> Any:
        asked.append(bool((problem.live == problem.dead).all()))
        return SimpleNamespace(holds=dry_again, answer=SimpleNamespace(motions="drained"))

    monkeypatch.setattr(sideways, "only_whether", whether)
    monkeypatch.setattr(
        sideways,
        "solve_cone",
        lambda *_, **__: SimpleNamespace(multiplier=2.5, solved=True, infeasible=False, motions=None, mechanism=2.6),
    )
    for kind in ("rain", "wind"):
        job = next(job for job in jobs(dome) if job.loads and job.loads[0].kind == kind)
        mine = Question(dome, job, CUTS, 9.0)
        line = mine.line(mine.layouts[0], Asked(job.loads[0]))
        assert line.multiplier == (left if kind == "rain" else 2.5)
        moves = mine.motions[Asked(job.loads[0]), CUTS[0]]
        assert (moves == "drained") is (kind == "rain" and not dry_again)
    assert asked == [True]
