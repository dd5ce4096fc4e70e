"""The verdict from blocks: monotone, never above the ring-symmetric one, honest about what it does not know."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Buttress, Design, Fill, Opening, Site
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.joint import ON_THE_GROUND, dead_rows
from shellcheck_earth.loads.model import build_model, needs_blocks
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks import sideways as three_d_sideways
from shellcheck_earth.safety.blocks import solve as three_d
from shellcheck_earth.safety.blocks.jobs import Job, forms_out, jobs, joint_job
from shellcheck_earth.safety.blocks.mechanism import mechanism_of
from shellcheck_earth.safety.blocks.reserve import RESERVE_STEP, dead_problem, largest_reserve
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, blocks_verdict, outcome
from shellcheck_earth.safety.blocks.sideways import Asked, sideways_case
from shellcheck_earth.safety.blocks.solve import block_cases
from shellcheck_earth.safety.check import verdict_of
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.ground import ground_demand

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")


def _store(**changes: object) -> Design:
    """A small store with firm fill on measured ground, so that few courses and cuts are enough for a test."""
    design = classroom(openings=(DOOR,))
    dome = replace(design.dome, inside_diameter=2.6)
    fill = Fill(1750.0, 2650.0, 0.10, 0.03, "cement", 0.08, 1000.0, 600.0, 400.0, 0.1 / 100 / 3600, 0.21)
    ground = {"ground_friction": 0.35, "friction_wet": 0.35, "ground_bearing": 150.0, "bearing_wet": 150.0}
    site: Site = replace(design.site, **(ground | changes))  # type: ignore[arg-type]
    measured = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    bases = FrozenMap({**design.bases, **measured})
    building = replace(design.building, worker=0.0)
    return replace(design, dome=dome, fill=fill, site=site, building=building, bases=bases)


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
    damp = ["three-d-finished-damp", "three-d-finished-damp-joint"]
    bare = ["three-d-wire-gone", "three-d-base-soaked", "three-d-base-soaked-joint"]
    quake = ["three-d-earthquake", "three-d-earthquake-joint"]
    wet = ["", "-rain", "-rain-light"]
    stages = [f"three-d-{stage}{how}" for stage in ("forms-out", "all-laid") for how in wet]
    assert ids == ["three-d-finished-dry", *damp, *bare, *stages, *quake]


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
        if result.convergence:  # what follows from its joint question has none of its own
            assert result.convergence[0].blocks < result.convergence[1].blocks


def test_an_earthquake_twice_as_strong_is_held_half_as_often(
    results: tuple[Design, tuple[BlockResult, ...]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(three_d, "CUTS", (8, 12))
    quake = next(result for result in results[1] if result.criterion == "earthquake")
    once, again = (_store(earthquake=share) for share in (0.2, 0.4))
    found = [sideways_case(build_dome(one), quake_job(one), three_d.CUTS) for one in (once, again)]
    assert found[0].associated is not None and found[1].associated is not None and not found[0].at_least
    assert found[1].associated == pytest.approx(found[0].associated / 2, rel=1e-3)
    # four of the design, each up and down, and the one between them that was found to be worse, if any
    assert all(len(one.directions) in (8, 9) for one in found)
    # a tenth is held to the end of the search, or from its joint question; never for more than half the share says
    assert quake.associated is not None and quake.associated <= 2 * found[0].associated * (1 + 1e-6)


def quake_job(design: Design) -> Job:
    return next(job for job in jobs(build_dome(design)) if job.criterion == "earthquake")


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
        found = [job for job in jobs(build_dome(changed)) if job.id.startswith("three-d-forms-out")]
        return [job.title for job in found if job.case.wetting == "none"]

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
    assert steps == list(range(len(first_two) + 1))
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
    design = _store(earthquake=0.1)
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
    design = _store(snow=0.01)
    stack = build_dome(design)
    job = next(job for job in jobs(stack) if job.id == "three-d-snow")
    result = sideways_case(stack, replace(job, loads=job.loads[:1]), (12, 18))
    assert result.at_least
    assert result.meets
    assert result.motions == ()
    assert result.mechanism is None
    # Held 1.25 x 2 times: 0.53 of the scheme's number is relied on.
    assert result.relied == pytest.approx(0.53 * 2.5, rel=1e-4)


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


def _joint(result: BlockResult, relied: float) -> BlockResult:
    return replace(result, relied=relied, required=1.0, criterion="combined factors")


def test_what_divided_capacities_hold_whole_ones_hold(monkeypatch: pytest.MonkeyPatch) -> None:
    """1.1 of an earthquake are asked for: of the joint question only what reaches as much answers both."""
    stack = build_dome(_store(earthquake=0.1))
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


def test_the_dead_load_of_a_set_of_global_factors_has_its_reserve_and_is_asked_of_the_ground() -> None:
    stack = build_dome(_store(earthquake=0.1))
    joint = {job.id: joint_job(stack.design, job) for job in jobs(stack) if not job.loads}
    asked = {name: job for name, job in joint.items() if job is not None}
    assert "three-d-finished-damp" in asked and "three-d-finished-dry" not in asked
    assert {row.name for job in asked.values() for row in job.rows} == {ON_THE_GROUND}
    assert not any("divided" in job.title for job in asked.values())


def test_under_a_jamb_the_ground_has_to_bear_more_than_under_a_ring() -> None:
    """Ground that bears a tenth more than the ring-symmetric check asks of it: it is not enough beside a door."""
    lune = cut_lune(build_dome(_store()), build_model(_store()).case("finished-damp"))
    base = base_state(lune.rows)
    assert base is not None
    pressure = ground_demand(lune, base).edge_stress
    for share, held in ((1.1, False), (2.0, True)):
        design = _store(ground_bearing=share * pressure, bearing_wet=share * pressure)
        dome, case = build_dome(design), build_model(design).case("finished-damp")
        (row,) = dead_rows(design, case)
        layout = cut_blocks(dome, 18, len(case.states))
        assert solve_cone(assemble(dead_problem(dome, case, layout, 1.0))).solved
        assert solve_cone(assemble(dead_problem(dome, case, layout, 1.0, row))).solved is held


def test_what_falls_short_decides_before_what_does_not_settle(monkeypatch: pytest.MonkeyPatch) -> None:
    stack = build_dome(_store(earthquake=0.1))
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
    stack = build_dome(_store(earthquake=0.1))
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
    stack = build_dome(_store(earthquake=0.1))
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
    design = _store(earthquake=0.1)
    job = quake_job(design)
    together = joint_job(design, job)
    assert together is not None and (job.most(design), together.most(design)) == (2.2, 2.2)
    base = _store(wind_pressure=0.3)
    partial = replace(base, criteria=replace(base.criteria, set_name="EN 1990"))
    storm = next(job for job in jobs(build_dome(partial)) if job.criterion == "storm")
    rows = joint_job(partial, storm)
    assert rows is not None
    times = max(row.load for row in rows.rows if row.as_it_is)
    assert rows.answers == pytest.approx(storm.required(partial) / times)
    assert rows.most(partial) == 2 * max(1.0, rows.answers)


def test_more_is_looked_for_than_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """2.0 of what ordinary friction holds beyond it; below it the mechanism is told beside."""
    stack = build_dome(_store(earthquake=0.1))
    for found, told, fails in ((2.9, 2.0, None), (2.0, 2.0, None), (1.9, 1.9, 1.91)):
        answer = SimpleNamespace(solved=True, multiplier=found, mechanism=found + 0.01, motions=np.zeros((1, 6)))
        monkeypatch.setattr(three_d_sideways, "solve_cone", lambda *_, answer=answer, **__: answer)
        question = three_d_sideways.Question(stack, quake_job(stack.design), (6, 8), 2.0, 1.5)
        asked = Asked(question.job.loads[0])
        assert question.problem(question.layouts[0], asked).most == 3.0
        line = question.line(question.layouts[0], asked)
        assert (line.multiplier, line.fails) == (told, fails if fails is None else pytest.approx(fails))


def test_a_direction_between_has_its_name_and_its_place_from_its_load() -> None:
    load = quake_job(_store(earthquake=0.1)).loads[0]
    turned = three_d_sideways.between(load, -3)
    assert turned.id == f"{load.id} turned -67.5 deg" and math.degrees(turned.bearing) == pytest.approx(292.5)
    assert turned.vertical == load.vertical and "292 deg" in turned.title


@pytest.mark.parametrize("kind", ["wind", "earthquake"])
def test_where_the_dead_load_is_not_held_one_load_says_what_all_say(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The short way, which asks one load, and the long one, which asks all, end alike; the short way says why."""
    design = _store(wind_pressure=0.5, earthquake=0.1)
    dome = build_dome(replace(design, beds=replace(design.beds, friction=0.2, friction_wet=0.2, friction_no_wire=0.2)))
    job = next(one for one in jobs(dome) if one.id == f"three-d-{kind}")
    few = replace(job, loads=job.loads[:4])
    short = sideways_case(dome, few, (8, 12))
    monkeypatch.setattr(three_d_sideways.Question, "not_held", lambda _: None)
    long = sideways_case(dome, few, (8, 12))
    assert short.relied == long.relied == 0.0 and short.meets is long.meets is False
    assert short.why == three_d_sideways.DEAD_LOAD_ALONE and not long.why
    assert len(short.directions) < len(long.directions) and short.mechanism is not None
    assert sideways_case(dome, job, (8, 12)).relied == 0.0


def test_a_dead_load_that_is_held_is_asked_about_every_load() -> None:
    dome = build_dome(_store(earthquake=0.1))
    job = next(one for one in jobs(dome) if one.id == "three-d-earthquake")
    question = three_d_sideways.Question(dome, job, (8, 12), job.most(dome.design))
    assert question.not_held() is None
