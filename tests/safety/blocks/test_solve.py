"""The verdict from blocks: monotone, never above the ring-symmetric one, honest about what it does not know."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Design, Fill, Opening, Site
from shellcheck_earth.geometry.blocks import Layout, cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.model import needs_blocks
from shellcheck_earth.loads.side_loads import SideLoad
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks import sideways as three_d_sideways
from shellcheck_earth.safety.blocks import solve as three_d
from shellcheck_earth.safety.blocks.jobs import forms_out, jobs
from shellcheck_earth.safety.blocks.mechanism import mechanism_of
from shellcheck_earth.safety.blocks.reserve import RESERVE_STEP, largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, blocks_verdict, outcome
from shellcheck_earth.safety.blocks.sideways import sideways_case
from shellcheck_earth.safety.blocks.solve import block_cases
from shellcheck_earth.safety.check import verdict_of
from shellcheck_earth.safety.checks import reserve_of

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")


def _store(**changes: object) -> Design:
    """A small store with firm fill, so that few courses and cuts are enough for a test."""
    design = classroom(openings=(DOOR,))
    dome = replace(design.dome, inside_diameter=2.6)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    site: Site = replace(design.site, **changes)  # type: ignore[arg-type]
    return replace(design, dome=dome, fill=fill, site=site, building=replace(design.building, worker=0.0))


@pytest.fixture(autouse=True)
def _coarse(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(three_d, "CUTS", (4, 5))


def _quiet(what: str, done: int, of: int) -> None:
    del what, done, of


@pytest.fixture(scope="module")
def results() -> tuple[Design, tuple[BlockResult, ...]]:
    patch = pytest.MonkeyPatch()
    patch.setattr(three_d, "CUTS", (8, 12))
    design = _store(earthquake=0.1)
    try:
        return design, block_cases(build_dome(design), _quiet)
    finally:
        patch.undo()


def test_only_designs_that_need_it() -> None:
    plain = classroom()
    assert not needs_blocks(plain)
    assert block_cases(build_dome(plain), _quiet) == ()
    assert needs_blocks(replace(plain, site=replace(plain.site, wind_pressure=0.5)))


def test_each_kind_of_load_is_there_once(results: tuple[Design, tuple[BlockResult, ...]]) -> None:
    ids = [result.id for result in results[1]]
    assert ids == ["three-d-finished-dry", "three-d-finished-damp", "three-d-forms-out", "three-d-earthquake"]


def test_relied_on_is_the_lowest_and_never_above_the_ring_symmetric_reserve(
    results: tuple[Design, tuple[BlockResult, ...]],
) -> None:
    design, found = results
    stack = build_dome(design)
    cases = {f"three-d-{case.id}": case for case in dead_cases(stack)}
    for result in found:
        if result.relied is None:
            assert result.status == "cannot say"
            continue
        assert result.associated is not None
        assert result.non_associated is not None
        assert result.relied <= min(result.associated, result.non_associated) + 1e-12
        assert result.meets == (result.relied >= result.required)
        if result.id in cases:
            share = 1 / reserve_of(cut_lune(stack, cases[result.id]))
            assert share is not None
            assert result.relied <= 1.0 / share + 1e-9
            assert result.relied > 0.3 / share  # a door costs something, not everything
        assert result.convergence[0].blocks < result.convergence[1].blocks


def test_an_earthquake_twice_as_strong_is_held_half_as_often(
    results: tuple[Design, tuple[BlockResult, ...]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(three_d, "CUTS", (8, 12))
    quake = next(result for result in results[1] if result.criterion == "earthquake")
    stronger = _store(earthquake=0.2)
    stack = build_dome(stronger)
    job = next(job for job in jobs(replace(stack, design=stronger)) if job.criterion == "earthquake")
    again = sideways_case(replace(stack, design=stronger), job, three_d.CUTS)
    assert quake.associated is not None
    assert again.associated is not None
    assert again.associated == pytest.approx(quake.associated / 2, rel=1e-3)
    assert len(quake.directions) == 4


def test_cannot_say_and_short_reach_the_verdict(results: tuple[Design, tuple[BlockResult, ...]]) -> None:
    _, found = results
    good = replace(found[0], status="solved", relied=found[0].required)
    short = replace(good, relied=found[0].required * (1 - 1e-9))
    open_question = replace(good, status="cannot say", relied=None)
    assert verdict_of((), ()) == "cannot say"
    assert verdict_of((), (good, short)) == "falls short"
    assert verdict_of((), (good, open_question)) == "cannot say"


def test_what_blocks_say_together() -> None:
    base = BlockResult("a", "A", "overall reserve", 2.0, 2.0, 2.0, 1.25, "solved", "", False, None, (), (), (), (), 1)
    short, open_question = replace(base, relied=1.2), replace(base, relied=None, status="cannot say")
    assert (base.meets, short.meets, open_question.meets) == (True, False, None)
    # A number beside "cannot say" counts for nothing.
    assert replace(base, status="cannot say").meets is None
    assert blocks_verdict([base, base]) == "meets"
    assert blocks_verdict([base, open_question]) == "cannot say"
    assert blocks_verdict([open_question, short, base]) == "falls short"
    assert blocks_verdict([]) == "cannot say"
    with pytest.raises(ValueError, match="meets"):
        replace(short, meets=True)


def test_forms_come_out_when_a_ring_is_closed_above_every_head() -> None:
    design = _store()
    stack = build_dome(design)
    number = forms_out(stack)[0]
    # The top of the door at 1.5 m, the bags of its head 0.25 m deep, and one ring over them.
    assert 1.5 + 0.25 <= stack.course(number).z_top <= 1.5 + 0.25 + 3 * 0.135
    assert forms_out(replace(stack, design=replace(design, openings=()))) == {}


def test_a_stage_with_another_opening_half_built_is_left_out_and_one_without_is_not() -> None:
    low = Opening("window", math.pi, 0.6, 0.5, 0.5, "round")
    high = Opening("vent", math.pi, 1.5, 0.3, 0.2, "round")
    design = _store()

    def stages(*openings: Opening) -> list[str]:
        changed = replace(design, openings=openings)
        return [job.title for job in jobs(build_dome(changed)) if job.id.startswith("three-d-forms-out")]

    # The window's ring is closed while the door beside it still leans on its form: only the last stage can be
    # asked about.
    assert len(stages(DOOR, low)) == 1
    assert stages(DOOR, low)[0].endswith("forms out of every opening")
    two = stages(low, high)
    assert len(two) == 2
    assert two[0].endswith("forms out of window 1")


def test_two_processes_answer_as_one_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    design = _store()
    stack = build_dome(design)
    first_two = jobs(stack)[:2]
    monkeypatch.setattr(three_d, "jobs", lambda _dome: first_two)
    alone = block_cases(stack, _quiet)
    steps: list[int] = []
    beside = block_cases(stack, lambda _what, done, _of: steps.append(done), tmp_path, workers=2)
    assert beside == alone
    assert steps == list(range(len(alone) + 1))
    assert len(list(tmp_path.iterdir())) == len(alone)


def test_a_stop_while_two_processes_work_keeps_what_is_finished(tmp_path: Path) -> None:
    design = _store()
    stack = build_dome(design)

    def stop_after_one(what: str, done: int, of: int) -> None:
        del what, of
        if done == 1:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        block_cases(stack, stop_after_one, tmp_path, workers=2)
    assert any(path.suffix == ".json" for path in tmp_path.iterdir())


def test_a_finer_cut_is_looked_at_from_what_the_coarser_one_holds() -> None:
    design = _store()
    stack = build_dome(design)
    case = dead_cases(stack)[0]
    layout = cut_blocks(stack, 6)
    edge = largest_reserve(stack, case, layout, 0.5, 4.0, near=False)
    assert edge.reserve is not None
    assert edge.failing is not None
    # what is held and the mechanism that is not lie one step apart
    assert edge.reserve < edge.fails <= edge.reserve * (1 + RESERVE_STEP)
    # Told to begin far below the edge: "at least" so much, and no more is claimed.
    start = edge.reserve / 2
    stopped = largest_reserve(stack, case, layout, start, start, near=True)
    assert stopped.at_least and stopped.reserve == start and stopped.fails == math.inf
    # Begun above, it is found.
    for share in (1.04, 1.5):
        again = largest_reserve(stack, case, layout, share * edge.reserve, share * edge.reserve, near=True)
        assert again.reserve == pytest.approx(edge.reserve, rel=2 * RESERVE_STEP)
        assert not again.at_least


def test_a_direction_that_only_the_finer_cut_finds_worse_governs(monkeypatch: pytest.MonkeyPatch) -> None:
    design = _store(earthquake=0.1)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.criterion == "earthquake")
    asked: list[tuple[int, float]] = []

    def line(_question: three_d_sideways.Question, layout: Layout, load: SideLoad) -> CutResult:
        # With few blocks all directions are alike, as where the base slides; with more, the one at 90 deg is the worst.
        asked.append((layout.cuts, load.bearing))
        worse = layout.cuts > 6 and load.bearing == pytest.approx(math.pi / 2)
        return CutResult(layout.cuts, len(layout.blocks), 1.9 if worse else 2.0)

    monkeypatch.setattr(three_d_sideways.Question, "line", line)
    result = sideways_case(stack, job, (6, 8))
    # three directions (the fourth is an image) with both cuts, the one that governs with the finest too
    assert len(asked) == 7 and asked[-1] == (16, pytest.approx(math.pi / 2))
    assert result.directions[0] == (pytest.approx(math.pi / 2), 1.9)
    assert result.associated == 1.9
    assert [line.multiplier for line in result.convergence] == [2.0, 1.9, 1.9]
    assert result.relied is not None
    assert result.relied <= 1.9
    assert result.title == "Earthquake towards 90 deg"


def test_a_direction_that_does_not_converge_is_never_a_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    design = _store(earthquake=0.1)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.criterion == "earthquake")

    def line(_question: three_d_sideways.Question, layout: Layout, load: SideLoad) -> CutResult:
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
    design = _store(snow=0.01)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.id == "three-d-snow")
    result = sideways_case(stack, replace(job, loads=job.loads[:1]), (12, 18))
    assert result.at_least
    assert result.meets
    assert result.motions == ()
    assert result.mechanism is None
    # Held 1.25 x 4 times: 0.81 of the scheme's number is relied on.
    assert result.relied == pytest.approx(0.81 * 5.0, rel=1e-4)


def test_a_buttress_that_gives_way_first_is_named() -> None:
    design = replace(_store(), buttresses=(Buttress(math.pi / 2, 0.6, 0.5, 0.8),))
    stack = build_dome(design)
    layout = cut_blocks(stack, 8)
    motions = np.zeros((len(layout.blocks), 6))
    for k, block in enumerate(layout.blocks):
        if block.kind == "buttress":
            motions[k, 0] = 1.0
    assert mechanism_of(stack, layout, motions) == Mechanism(None, None, (), None, (), (0,))
    motions[:, 0] = 1.0
    both = mechanism_of(stack, layout, motions)
    assert both is not None and both.courses is not None and both.buttresses == (0,)


def test_a_ring_that_sinks_is_a_mechanism_of_its_course() -> None:
    design = _store()
    stack = build_dome(design)
    layout = cut_blocks(stack, 8)
    motions = np.zeros((len(layout.blocks), 6))
    top = max(block.course for block in layout.blocks)
    for k, block in enumerate(layout.blocks):
        if block.course == top:
            motions[k, 2] = -1.0
    number = stack.courses[top].number
    assert mechanism_of(stack, layout, motions) == Mechanism((number, number), None, ("sink",), None, (), ())
    assert mechanism_of(stack, layout, None) is None
