"""The conformance suite: the proofs of every interval hold, and both of the program's own solvers answer inside it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shellcheck_earth.mechanics.rings.programme import needed_friction, widest_contact
from validation.conformance import Problem, hold, polygon_method, problems, proof_faults

PROBLEMS = problems()
BY_HAND = {
    "01-overhang-held-by-its-ring": 0.25,
    "02-leaning-out-held-by-its-wire": 0.625,
    # (2/3)(c^2 + 2 c + 4)/(c + 2) = 2.2, c = (2.6 + sqrt(2.6^2 + 8 x 5.2))/4, f = 40/(c^2 - 4) of 100 kPa
    "03-pier": 0.4 / (((2.6 + (2.6**2 + 8 * 5.2) ** 0.5) / 4) ** 2 - 4),
}


def test_there_are_problems_of_every_kind() -> None:
    assert len(PROBLEMS) >= 10
    assert {problem.capacity for problem in PROBLEMS} == {"friction", "strength", "wire", "contact", "everything"}


@pytest.mark.parametrize("problem", PROBLEMS, ids=lambda one: one.name)
def test_both_ends_are_proven(problem: Problem) -> None:
    assert proof_faults(problem) == ("", "")
    # The interval says something: a fiftieth at most, where rings press at their strength a twentieth.
    assert 0 < problem.low < problem.high < problem.low * 1.06
    if problem.name in BY_HAND:
        assert problem.low <= BY_HAND[problem.name] <= problem.high


@pytest.mark.parametrize("problem", PROBLEMS, ids=lambda one: one.name)
def test_the_proofs_prove_no_more(problem: Problem) -> None:
    """The line is none at the lower end, and the multipliers exclude nothing at the upper one."""
    line, none = proof_faults(replace(problem, low=problem.high, high=problem.low))
    assert line != "" and none != ""


def test_the_polygon_method_lies_inside() -> None:
    assert [problem.name for problem, _, inside in hold(polygon_method) if not inside] == []


def test_the_linear_programme_lies_inside() -> None:
    for problem in PROBLEMS:
        if problem.capacity == "contact":
            assert problem.low <= (widest_contact(problem.lune) or 0.0) <= problem.high
        elif problem.capacity == "friction" and problem.lune.friction.min() == problem.lune.friction.max() == 1.0:
            assert problem.low <= (needed_friction(problem.lune) or 0.0) <= problem.high


def test_a_wrong_solver_is_caught() -> None:
    assert not any(inside for _, _, inside in hold(lambda lune, capacity: 1.1 * polygon_method(lune, capacity)))
