"""From the answers of the solver and of the scheme to the reserve that is relied on: each put there by hand."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.safety.blocks import reserve
from shellcheck_earth.safety.blocks.edge import Edge
from shellcheck_earth.safety.blocks.jobs import Job, jobs
from shellcheck_earth.safety.blocks.result import BlockResult

DESIGN = classroom(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
DOME = build_dome(replace(DESIGN, dome=replace(DESIGN.dome, inside_diameter=2.6)))
JOB: Job = next(job for job in jobs(DOME) if job.id.startswith("three-d-finished-dry"))
REQUIRED = DOME.design.criteria.required[JOB.criterion]  # 1.25
SOLVED = SimpleNamespace(status="solved", associated=0.05, forces=None)


def case(
    monkeypatch: pytest.MonkeyPatch, *, ring: float, edges: list[float | None], settles: dict[float, Any]
) -> tuple[BlockResult, list[float]]:
    """The reserve of one job when the cuts hold `edges`, and friction without dilation settles as `settles` says."""
    asked: list[float] = []
    given = iter(edges)
    monkeypatch.setattr(reserve, "ring_symmetric", lambda *_: ring)
    monkeypatch.setattr(reserve, "largest_reserve", lambda *_, **__: Edge(next(given), 9.0, np.zeros((3, 6))))

    def scheme(q: float) -> Any:
        asked.append(q)
        return next(
            (said for share, said in settles.items() if abs(share - q) < 1e-9),
            SimpleNamespace(status="x", associated=None),
        )

    monkeypatch.setattr(reserve, "dead_problem", lambda _dome, _case, _layout, q, _row: q)
    monkeypatch.setattr(reserve, "solve_blocks", scheme)
    monkeypatch.setattr(
        reserve, "with_answer",
        lambda _dome, job, found, *_: BlockResult(
            job.id, job.title, job.criterion, found.associated, found.without, min(found.associated, found.without),
            REQUIRED, "solved", "", False, None, (), found.table, (), (), 1,
        ),
    )  # fmt: skip
    return reserve.reserve_case(DOME, JOB, (4, 5)), asked


@pytest.mark.parametrize(
    ("ring", "edges", "settles", "associated", "without"),
    [
        (3.0, [2.0, 1.95, 1.9], {1.9 * 0.97: SOLVED}, 1.9, 1.9 * 0.97),  # the finer cut, a little under it
        (1.8, [2.0, 1.95, 1.9], {1.8 * 0.97: SOLVED}, 1.8, 1.8 * 0.97),  # never above the ring-symmetric reserve
        (3.0, [1.7, 1.9, 1.9], {1.7 * 0.97: SOLVED}, 1.7, 1.7 * 0.97),  # the lower of the cuts
        (3.0, [2.0, 2.0, 2.0], {1.7: SOLVED}, 2.0, 1.7),  # it settles only lower down
        (3.0, [2.0, 2.0, 2.0], {REQUIRED: SOLVED}, 2.0, REQUIRED),  # or only at what is required
    ],
)
def test_what_is_relied_on(
    ring: float, edges: list[float | None], settles: dict[float, Any], associated: float, without: float,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    found, asked = case(monkeypatch, ring=ring, edges=edges, settles=settles)
    assert (found.associated, found.non_associated) == pytest.approx((associated, without))
    assert found.meets is (min(associated, without) >= REQUIRED)
    assert asked[-1] == pytest.approx(without)


@pytest.mark.parametrize(
    "answer",
    [
        SimpleNamespace(status="did not settle", associated=0.05),
        SimpleNamespace(status="solved", associated=0.0),
        SimpleNamespace(status="solved", associated=None),
    ],
)
def test_friction_without_dilation_that_does_not_settle_is_never_a_pass(
    answer: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settles = {share: answer for share in (2.0 * 0.97, 2.0 * 0.85, REQUIRED)}
    found, asked = case(monkeypatch, ring=3.0, edges=[2.0, 2.0, 2.0], settles=settles)
    assert (found.meets, found.status, found.associated) == (None, "cannot say", 2.0)
    assert asked == pytest.approx([1.94, 1.7, REQUIRED]) and "without dilation" in found.why


def test_the_scheme_is_not_asked_above_what_is_held(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = case(monkeypatch, ring=3.0, edges=[1.1, 1.1, 1.1], settles={})
    assert found.meets is None and asked == pytest.approx([1.1 * 0.97, 1.1 * 0.85])  # 1.25 would be above it


def test_what_is_required_is_asked_first_where_less_than_it_would_settle() -> None:
    """A little under the edge is less than what is required where the edge lies just above that, or at it."""
    for least in (REQUIRED, REQUIRED * 1.01, REQUIRED / 0.9701):
        assert reserve._without_dilation(least, REQUIRED)[0] == REQUIRED
    for least in (REQUIRED * 0.999, REQUIRED / 0.9699):
        assert reserve._without_dilation(least, REQUIRED)[0] == pytest.approx(0.97 * least)


def test_nothing_held_and_nothing_decided(monkeypatch: pytest.MonkeyPatch) -> None:
    none_held, asked = case(monkeypatch, ring=3.0, edges=[0.0, 0.0, 0.0], settles={})
    assert (none_held.meets, none_held.relied, asked) == (False, 0.0, [])
    undecided, _ = case(monkeypatch, ring=3.0, edges=[2.0, 2.0, None], settles={1.94: SOLVED})
    assert (undecided.meets, undecided.relied) == (None, None)
    no_line, _ = case(monkeypatch, ring=0.0, edges=[], settles={})
    assert no_line.meets is False and "no force path" in no_line.why


def test_a_finest_cut_where_two_are_far_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    """A drop of over a tenth is followed once more, unless what is left is too little anyway; the least counts."""
    found, _ = case(monkeypatch, ring=3.0, edges=[2.0, 1.95, 1.6, 1.55], settles={1.55 * 0.97: SOLVED})
    assert [line.multiplier for line in found.convergence] == [2.0, 1.95, 1.6, 1.55]
    assert found.associated == 1.55
    assert [line.cuts for line in found.convergence] == [4, 5, 10, 20]
    short, _ = case(monkeypatch, ring=3.0, edges=[2.0, 1.95, 1.2, 9.0], settles={1.2 * 0.97: SOLVED})
    assert [line.cuts for line in short.convergence] == [4, 5, 10] and short.meets is False


def test_what_each_cut_is_offered() -> None:
    """1.25 required, 3 at most. On the finer cut 1.1 times that after 0.97 and the drop from 2 to it, but no tenth off;
    on the finest a step below, then as much."""
    asked = reserve._Asked(DOME, JOB, reserve.PLAIN, JOB.case, 1.25, 3.0)
    assert asked.offers([], finer=False, finest=False) == [3.0]
    assert asked.offers([2.0], finer=False, finest=False) == [2.0]
    assert asked.offers([2.0, 2.0], finer=True, finest=False) == pytest.approx([1.8], rel=1e-5)
    assert asked.offers([1.5, 1.5], finer=True, finest=False) == pytest.approx([(1.375 + 1.5) / 1.97])
    assert asked.offers([2.0, 2.0, 1.7], finer=False, finest=True) == pytest.approx([1.7 / 1.02, (1.375 + 1.7) / 1.97])
    assert asked.offers([2.0, 2.0, 1.3], finer=False, finest=True) == pytest.approx([1.3 / 1.02])
    assert asked.offers([1.3, 1.3], finer=True, finest=False) == [1.3]  # what would be enough is more than is held
    assert asked.offers([0.0], finer=False, finest=False) == [reserve.LEAST_RESERVE]


def test_motions_are_told_by_the_largest_way_of_a_block() -> None:
    """A turn is no way; where nothing moves nothing is divided."""
    motions = np.array([[0.0, -4.0, 1.0, 8.0, 0.0, 0.0], [2.0, 0.0, 0.0, 0.0, 0.0, 0.0]])
    assert (reserve._largest_motion(motions) == motions / 4.0).all()
    still = np.array([[0.0, 0.0, 0.0, 0.5, 0.0, 0.0]])
    assert (reserve._largest_motion(still) == still).all()
