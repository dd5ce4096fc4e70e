"""From numbers of the block model to what is relied on, and from results to the one that decides; by hand."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.joint import ON_THE_GROUND, PLAIN, Row
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.blocks.cuts import (
    Found,
    Moving,
    in_order,
    ring_symmetric,
    rounded_rows,
    still_finer,
    with_answer,
    without_answer,
)
from shellcheck_earth.safety.blocks.jobs import jobs
from shellcheck_earth.safety.blocks.result import (
    GROUND_SLACK,
    MOST_FACTOR,
    MOST_RESERVE,
    NOT_CONVERGED,
    BlockResult,
    CutResult,
    Status,
    drop_of,
    outcome,
)
from shellcheck_earth.safety.checks import reserve_of

DESIGN = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
DOME = build_dome(replace(DESIGN, dome=replace(DESIGN.dome, inside_diameter=2.6), site=replace(DESIGN.site, snow=0.5)))
DEAD = next(job for job in jobs(DOME) if not job.loads)
SNOW = next(job for job in jobs(DOME) if job.loads and job.loads[0].kind == "snow")
REQUIRED = 1.25
"""Of both of them: the overall reserve."""


# -- what is relied on -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("known", "drop"),
    [
        ([], 0.0),
        ([1.0], 0.0),
        ([1.0, 0.95], 0.05),
        ([1.0, 1.2], 0.0),
        ([2.0, 1.0, 0.95], 0.05),
        ([1.0, 0.89], math.inf),
    ],
)
def test_the_drop_is_that_of_the_last_refinement(known: list[float], drop: float) -> None:
    assert drop_of(known) == pytest.approx(drop)


def test_a_drop_of_a_tenth_still_converges() -> None:
    assert NOT_CONVERGED == 0.1
    assert drop_of([8.0, 7.2]) == pytest.approx(0.8) and math.isinf(drop_of([8.0, 7.19]))


@pytest.mark.parametrize(
    ("associated", "without", "known", "sideways", "relied"),
    [
        (2.0, 1.9, [2.0], False, 1.9),
        (1.8, 1.9, [1.8], False, 1.8),
        (2.0, 1.9, [2.1, 2.0], False, 1.9 - 0.1),
        (2.0, 1.9, [2.0], True, 1.9 * OVERSTATED),  # of a load from one side: its share of the scheme's number
        (0.9, 1.9, [0.9], True, 0.9),
        (2.0, 1.9, [2.1, 2.0], True, 1.9 * OVERSTATED - 0.1),
        (0.05, 0.04, [0.055, 0.05], False, 0.04 - 0.005),
    ],
)
def test_the_lower_of_the_two_frictions_less_the_drop(
    associated: float, without: float, known: list[float], sideways: bool, relied: float
) -> None:
    found = outcome(associated, without, known, REQUIRED, sideways=sideways)
    assert (found.status, found.why, found.at_least) == ("solved", "", False)
    assert found.relied == pytest.approx(relied)


def test_what_is_relied_on_is_never_below_nothing() -> None:
    assert outcome(1.0, 0.05, [1.1, 1.0], REQUIRED, sideways=False).relied == 0.0
    assert outcome(0.5, -0.1, [1.0, 0.5], REQUIRED, sideways=False).relied == 0.0


def test_nothing_held_is_an_answer_and_no_number_is_none() -> None:
    nothing = outcome(0.0, None, [], REQUIRED, sideways=True, why="no force path")
    assert (nothing.relied, nothing.status, nothing.why, nothing.at_least) == (0.0, "solved", "no force path", False)
    for associated, without in ((None, 2.0), (2.0, None), (None, None)):
        found = outcome(associated, without, [2.0], REQUIRED, sideways=False)
        assert (found.relied, found.status, found.at_least) == (None, "cannot say", False)
        assert found.why == "the block model found no answer"
        assert outcome(associated, without, [2.0], REQUIRED, sideways=False, why="lost").why == "lost"


@pytest.mark.parametrize(("sideways", "share"), [(False, 1.0), (True, OVERSTATED)])
def test_what_does_not_converge_falls_short_only_where_it_is_short_already(sideways: bool, share: float) -> None:
    for without, status in ((REQUIRED / share * 0.999, "solved"), (REQUIRED / share * 1.001, "cannot say")):
        found = outcome(5.0, without, [6.0, 5.0], REQUIRED, sideways=sideways)
        assert found.status == status and not found.at_least
        assert found.relied == (pytest.approx(without * share) if status == "solved" else None)
        assert ("limit is not known" in found.why) == (status == "cannot say")
    # just what is required is not short
    assert outcome(REQUIRED, REQUIRED / share, [6.0, 5.0], REQUIRED, sideways=sideways).status == "cannot say"


def test_at_least_is_said_only_where_both_frictions_reached_the_end() -> None:
    """To a ten-thousandth of the end."""
    for associated, without, said in (
        (2.0, 2.0, True), (2.0, 2.0 * (1 - 0.9e-4), True), (2.0, 2.0 * (1 - 1.1e-4), False),
        (2.0 * (1 - 1.1e-4), 2.0, False), (2.0, 1.0, False),
    ):  # fmt: skip
        assert outcome(associated, without, [2.0], REQUIRED, sideways=True, most=2.0).at_least == said
        assert not outcome(associated, without, [2.0], REQUIRED, sideways=True).at_least


# -- results ---------------------------------------------------------------------------------------------------------


def result(relied: float | None, required: float = REQUIRED, table: tuple[CutResult, ...] = ()) -> BlockResult:
    status: Status = "cannot say" if relied is None else "solved"
    return BlockResult(
        "a", "A", "overall reserve", 2.0, 2.0, relied, required, status, "", False, None, (), table, (), (), 1
    )


def test_the_bounds_of_a_result_and_how_far_they_lie_apart() -> None:
    lines = (CutResult(8, 9, 2.0, fails=2.2), CutResult(16, 9, 1.9, fails=1.995), CutResult(32, 9, 1.9))
    found = replace(result(1.9, table=lines), below=1.9)
    assert found.above == 1.995 and found.apart == pytest.approx(0.05)
    assert replace(found, below=2.1).apart == pytest.approx(-0.05)
    assert result(1.9).above is None and replace(result(1.9), below=1.9).apart is None
    assert replace(found, below=None).apart is None and replace(found, below=0.0).apart is None


def test_just_what_is_required_meets() -> None:
    assert result(1.25).meets is True and result(1.25 * (1 - 1e-12)).meets is False and result(None).meets is None


def test_what_falls_short_comes_first_then_what_is_not_known_then_the_least_share() -> None:
    short, worse, unknown, good = result(1.2), result(0.5), result(None), result(1.3)
    twice, nothing = result(2.0, 2.0), result(0.0)
    order = [nothing, worse, short, unknown, twice, good]
    assert sorted((good, unknown, short, nothing, worse, twice), key=in_order) == order
    # Shares, not numbers: 2.0 of 2.0 is less than 1.3 of 1.25; alike to a millionth they are one.
    assert in_order(result(1.3)) == in_order(result(1.3 * (1 + 1e-7))) != in_order(result(1.3 * (1 + 2e-6)))


def test_finer_cuts_keep_every_joint() -> None:
    assert still_finer((18, 36)) == (72, 144) and still_finer((5,)) == (10, 20)


def test_motions_are_kept_to_six_decimals() -> None:
    assert rounded_rows(None) == ()
    assert rounded_rows(np.array([[0.12345649, -1.0], [0.0, 2e-7]])) == ((0.123456, -1.0), (0.0, 0.0))


def test_the_ring_symmetric_reserve_beyond_a_row() -> None:
    """A row that divides every capacity by 1.1 leaves the reserve over 1.1 where the width is divided alike; here, of
    capacities alone, less is taken off than that, and more than nothing."""
    lune = cut_lune(DOME, DEAD.case)
    plain = ring_symmetric(DOME, DEAD.case)
    assert plain == reserve_of(lune) and plain is not None
    row = Row("x", friction=1.1, strength=1.1, wire=1.1)
    assert plain / 1.1 - 1e-9 <= ring_symmetric(DOME, DEAD.case, row) < plain
    assert ring_symmetric(DOME, DEAD.case, row) == reserve_of(lune.divided(1.1, 1.1, 1.1, 1.1))
    for name in ("friction", "strength"):
        only = ring_symmetric(DOME, DEAD.case, Row("x", **{name: 1.3}))
        assert plain / 1.3 - 1e-9 <= only <= plain
    weak = replace(DEAD.case, states=tuple(replace(s, friction=0.01, friction_wet=0.01) for s in DEAD.case.states))
    bare = build_dome(replace(DOME.design, beds=replace(DOME.design.beds, wire_strands=0)))
    assert ring_symmetric(bare, weak) == pytest.approx(reserve_of(cut_lune(bare, weak)) or 0.0)
    strengthless = replace(
        DEAD.case, states=tuple(replace(s, strength=0.0, strength_wet=0.0) for s in DEAD.case.states)
    )
    assert ring_symmetric(DOME, strengthless) == 0.0


def test_without_an_answer() -> None:
    found = without_answer(DOME, DEAD, "lost")
    assert (found.meets, found.relied, found.status, found.why) == (None, None, "cannot say", "lost")
    assert (found.associated, found.non_associated, found.at_least, found.drawn) == (None, None, False, 0)
    assert (found.required, found.course_top) == (REQUIRED, len(DEAD.case.states))
    held = without_answer(DOME, DEAD, "unsettled", associated=1.7)
    assert (held.meets, held.associated, held.non_associated) == (None, 1.7, None)
    none = without_answer(DOME, DEAD, "no path", associated=0.0, directions=((0.5, 0.0),))
    assert (none.meets, none.relied, none.non_associated, none.directions) == (False, 0.0, 0.0, ((0.5, 0.0),))


def test_an_answer_is_at_least_at_the_end_of_its_own_search_and_moves_nothing_then() -> None:
    layout = cut_blocks(DOME, 8)
    motions = np.zeros((len(layout.blocks), 6))
    motions[-1, 2] = -1.0
    for job, most, row in (
        (DEAD, MOST_RESERVE, PLAIN),
        (SNOW, MOST_FACTOR * max(REQUIRED, SNOW.answers), PLAIN),
        (DEAD, REQUIRED * GROUND_SLACK, Row(ON_THE_GROUND)),
    ):
        for share, end in ((1.0, True), (0.99, False)):
            table = (CutResult(8, 9, most * share), CutResult(16, 9, None), CutResult(32, 9, most * share))
            found = with_answer(
                DOME, job, Found(table, most * share, most * share, ((0.1, 2.0),)), Moving(layout, motions), (), row
            )
            assert found.at_least == end and found.convergence == table and found.directions == ((0.1, 2.0),)
            factor = OVERSTATED if job.loads else 1.0
            assert found.relied == pytest.approx(most * share * factor)
            assert (found.motions == ()) == (found.mechanism is None) == (found.drawn == 0) == end
            assert found.drawn in (0, 8) and found.required == REQUIRED
    stays = with_answer(DOME, DEAD, Found((), 2.0, 2.0), Moving(layout, None))
    assert (stays.motions, stays.mechanism, stays.drawn, stays.course_top) == ((), None, 0, len(DEAD.case.states))
