"""The working of blocks: every printed line can be typed in, and it comes to what is relied on."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, outcome
from shellcheck_earth.views.text.arithmetic import worked_out
from shellcheck_earth.views.text.block_working import block_workings, governing_blocks
from shellcheck_earth.views.text.worksheet import Working


def result(
    known: list[float], without: float, *, towards: bool, required: float = 1.25, associated: float | None = None
) -> BlockResult:
    """A case whose cuts held so much, with what is relied on of it by the one rule."""
    least = min(known) if associated is None else associated
    said = outcome(least, without, known, required, sideways=towards)
    table = tuple(CutResult(18 * 2**k, 100 * 2**k, value) for k, value in enumerate(known))
    return BlockResult(
        "a", "Wind", "wind" if towards else "overall reserve", least, without, said.relied, required, said.status,
        said.why, said.at_least, None, (), table, ((0.0, least),) if towards else (), (), 1,
    )  # fmt: skip


def value(working: Working, name: str) -> float:
    return next(float(line.result.split(" = ")[1]) for line in working.lines if line.result.startswith(f"{name} = "))


CASES = {
    "the finer cut less, from one side": ([2.27, 1.811, 1.817], 2.251, True, None),
    "the last refinement takes off": ([2.0, 1.9, 1.8], 2.2, True, None),
    "a dead load": ([1.7, 1.6], 1.5, False, None),
    "a dead load, the rings hold less": ([1.7, 1.7], 1.45, False, 1.5),
    "friction without dilation decides": ([3.0, 3.0, 3.0], 1.2, True, None),
    "one cut": ([1.4], 1.35, False, None),
    "too far apart, short already": ([2.0, 1.0], 0.9, False, None),
}


@pytest.mark.parametrize("name", CASES)
def test_it_comes_to_what_is_relied_on(name: str) -> None:
    known, without, towards, associated = CASES[name]
    one = result(known, without, towards=towards, associated=associated)
    assert one.relied is not None
    (working,) = block_workings([one])
    for line in working.lines:
        assert float(line.result.split(" = ")[1]) == pytest.approx(worked_out(line.numbers), rel=1e-6, abs=1e-12)
    assert value(working, "r") == pytest.approx(one.relied, rel=1e-6)
    assert value(working, "s") == pytest.approx(one.relied / one.required, rel=1e-6)
    assert any(f"{OVERSTATED:g} x" in line.numbers for line in working.lines) is towards
    assert any(line.result.startswith("d = ") for line in working.lines) is (len(known) > 1 and name[:3] != "too")
    assert all(f"{held:.7g}" in working.lines[0].numbers for held in known)
    assert ("c_r" in working.lines[0].formula) is (associated is not None)


def test_the_case_that_governs_each_criterion_is_shown_and_none_without_numbers() -> None:
    wide, thin = result([2.0, 2.0], 2.0, towards=False), result([1.5, 1.5], 1.5, towards=False)
    blown = result([3.0, 3.0], 3.0, towards=True, required=1.1)
    unsaid = [
        replace(thin, relied=None),
        replace(thin, convergence=(), relied=0.1),
        replace(thin, non_associated=None),
        replace(thin, convergence=(CutResult(18, 100, None),), relied=0.1),
    ]
    # the ground's yes or no is asked a thousandth beyond what is required, and no further
    ground = replace(result([1.25125, 1.25125], 1.25125, towards=False), at_least=True)
    assert governing_blocks([ground]) == []
    found = governing_blocks([wide, ground, *unsaid, thin, blown])
    assert [one is shown for one, shown in zip(found, (thin, blown), strict=True)] == [True, True]
    assert governing_blocks(unsaid) == [] and math.isclose(thin.relied or 0.0, 1.5)
