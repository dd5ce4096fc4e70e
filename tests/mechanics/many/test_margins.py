"""Margins of sampled domes: the step that the yes and no at every level gives, and the one-design path's."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sampled import stack_of, state_of
from samples import classroom

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.sampled import dimensions, draw
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.mechanics.many.batch import Plan, ask_domes, can_sample
from shellcheck_earth.mechanics.many.margins import LADDER, find_margins
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.checks import LINE, reserve_of
from shellcheck_earth.studies.sample.study import Study, make_study

SLOTS = [check.slots for check in LINE]
ONE = 512


@pytest.fixture(scope="module", params=["as designed", "strong"])
def study(request: pytest.FixtureRequest) -> Study:
    base = classroom()
    small: Design = replace(
        base,
        dome=replace(base.dome, inside_diameter=3.0),
        wall=replace(base.wall, course_height=0.18),
        fill=replace(base.fill, strength_wet=80.0),
        beds=replace(base.beds, friction_no_wire=0.45),
    )
    if request.param == "strong":
        strong = replace(small.fill, strength_dry=1500.0, strength_as_placed=500.0, strength_wet=300.0)
        small = replace(small, fill=strong)
    return make_study(small, stated_scatter(), 1, 1)


def drawn(study: Study, count: int) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(11)
    one = draw(study.dome, study.inputs, rng.random((count, dimensions(study.inputs, len(study.dome.courses)))))
    return one.radii, one.states


def found_by(study: Study, plan: Plan, radii: np.ndarray, states: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    steps = find_margins(plan, SLOTS, study.design.criteria.required["overall reserve"], radii, states)
    assert steps.buildable.all()
    return steps.reserve, steps.share


def at_share(plan: Plan, share: float) -> Plan:
    """The same questions where only this share of every required factor is asked for."""
    asked = plan.asked.copy()
    for q, slots in enumerate(SLOTS):
        asked[:, q, list(slots)] /= share
    shape = plan.shape.copy()
    shape[9:11] *= share
    return replace(plan, asked=asked, shape=shape)


def test_the_ladder_has_one_in_its_middle() -> None:
    assert (LADDER[0], LADDER[ONE], LADDER[-1]) == (0.125, 1.0, 8.0) and len(LADDER) == 1025
    assert (np.diff(LADDER) > 0).all()


def test_a_margin_below_one_is_what_the_yes_or_no_calls_short(study: Study) -> None:
    radii, states = drawn(study, 60)
    answers = ask_domes(study.plan, radii, states)
    reserve, share = found_by(study, study.plan, radii, states)
    assert ((share < ONE) == answers.short).all()
    assert ((reserve < ONE) == answers.no_line).all()


def test_the_step_is_the_last_one_at_which_nothing_falls_short(study: Study) -> None:
    """Every step asked one after the other of the kernel that counts shortfalls: none below, some above."""
    radii, states = drawn(study, 12)
    reserve, share = found_by(study, study.plan, radii, states)
    for d in range(len(radii)):
        one = radii[d : d + 1], states[d : d + 1]
        for step, short in ((share[d], False), (share[d] + 1, True)):
            if 0 < step < len(LADDER):
                assert bool(ask_domes(at_share(study.plan, LADDER[step]), *one).short[0]) is short
        for step, short in ((reserve[d], False), (reserve[d] + 1, True)):
            if 0 < step < len(LADDER):
                asked = study.plan.asked.copy()
                asked[:, 4] = 1.0
                asked[:, 4, 5:] = -1.0
                asked[:, 4, list(SLOTS[4])] = 1.0 / LADDER[step]
                answers = ask_domes(replace(study.plan, asked=asked), *one)
                assert bool(answers.short_case[0, 4] >= 0) is short


def test_the_reserve_is_that_of_the_one_design_path(study: Study) -> None:
    """The design itself, rings moved by some millimetres: the least reserve of its cases, searched to 1e-9."""
    stack = build_dome(study.design)
    radii = np.array([course.inner_radius for course in stack.courses])
    moved = radii + 0.008 * np.random.default_rng(2).normal(size=(3, len(radii)))
    states = np.tile(state_of(study.design), (3, 1))
    reserve, _ = found_by(study, study.plan, moved, states)
    for d in range(3):
        dome = stack_of(stack, moved[d], study.design.wall.filled_width, study.design.wall.edge_rounding)
        cases = [case for case in dead_cases(dome) if case.counts and can_sample(case) and not case.only]
        slow = min(value for case in cases if (value := reserve_of(cut_lune(dome, case))) is not None)
        assert LADDER[reserve[d]] * (1 - 1e-8) <= slow < LADDER[reserve[d] + 1] * (1 + 1e-8)


def test_the_answer_of_a_dome_does_not_hang_on_its_neighbours(study: Study) -> None:
    """The case that is asked first is that of the dome before: another order, the same steps."""
    radii, states = drawn(study, 40)
    forward = found_by(study, study.plan, radii, states)
    backward = found_by(study, study.plan, radii[::-1], states[::-1])
    assert all((one == other[::-1]).all() for one, other in zip(forward, backward, strict=True))


def test_what_cannot_be_built_stands_on_the_lowest_step(study: Study) -> None:
    radii, states = drawn(study, 1)
    radii[0, 3] += 1.0
    steps = find_margins(study.plan, SLOTS, 1.25, radii, states)
    assert not steps.buildable[0] and (steps.reserve[0], steps.share[0]) == (0, 0)


def test_more_of_everything_never_lowers_a_margin(study: Study) -> None:
    radii, states = drawn(study, 40)
    reserve, share = found_by(study, study.plan, radii, states)
    more = states.copy()
    more[:, 3:14] *= 1.05  # strengths, frictions, cohesions (none here) and wire
    better = found_by(study, study.plan, radii, more)
    assert (better[0] >= reserve).all() and (better[1] >= share).all()
    assert (better[0] > reserve).any()
