"""The comparisons with the outside world hold, and one that does not hold is reported."""

from __future__ import annotations

import pytest

from validation.run import FILES, all_checks, results_text
from validation.table import Check


@pytest.mark.parametrize("name", FILES)
def test_every_comparison_agrees_or_says_what_it_means_that_it_does_not(name: str) -> None:
    rows = all_checks((name,))
    assert rows
    assert not [check for _, check in rows if not check.expected]


def test_a_wrong_value_is_reported() -> None:
    wrong = Check("x", "nobody", "memory", 1.0, 1.2, 0.1, "shown to fail")
    assert not wrong.passed
    assert "DIFFERS" in results_text([("x", wrong)])
    assert Check("x", "nobody", "memory", None, 1.05, 0.1, "y", recomputed=1.0).passed
    assert not Check("x", "nobody", "memory", None, 1.05, 0.1, "nothing to compare with").passed
    assert not Check("x", "nobody", "memory", 1.0, float("nan"), 0.1, "not a number").passed
    assert not Check("x", "nobody", "memory", 1.0, None, 0.1, "no answer").passed


def test_a_row_that_is_known_to_differ_is_shown_with_what_that_says_and_counts_as_not_agreeing() -> None:
    known = Check("x", "a model", "read", 1.0, 1.2, 0.1, "one reading", differs="ours is favourable")
    assert known.expected
    assert not known.passed
    text = results_text([("x", known)])
    assert "0 of 1 comparisons agree" in text
    assert "| DIFFERS: ours is favourable |" in text
    assert not Check("x", "a model", "read", 1.0, 1.0, 0.1, "y", differs="ours is favourable").expected


def test_the_benchmark_runs_and_the_exact_set_is_far_ahead() -> None:
    from validation.benchmark import exact_against_programme

    (line,) = exact_against_programme()
    assert float(line.rsplit(" ", 1)[1]) > 20.0, line
