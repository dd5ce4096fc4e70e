"""Rings that are not round, by hand: corners, beds and weights of the blocks, and what is left of the reserve."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.survey import Ring
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.mechanics.blocks.assembly import block_weights
from shellcheck_earth.safety.blocks.out_of_round import moved_layout, reserve_out_of_round

DOME = build_dome(classroom())
CASE = case_of(DOME, "stage-04")
LAYOUT = cut_blocks(DOME, 12, len(CASE.states))


def pushed(number: int, shift: float, oval: float = 0.0) -> dict[int, Ring]:
    """One ring pushed towards bearing 0."""
    course = DOME.course(number)
    return {number: Ring(number, course.z_bottom, course.z_top, course.inner_radius, shift, 0.0, oval, 0.0, 0.0, 4)}


def test_round_rings_are_the_round_dome() -> None:
    same = moved_layout(DOME, CASE, LAYOUT, pushed(4, 0.0))
    for mine, theirs in zip(same.blocks, LAYOUT.blocks, strict=True):
        assert np.array(mine.corners) == pytest.approx(np.array(theirs.corners), abs=1e-12)
    for mine, theirs in zip(same.beds, LAYOUT.beds, strict=True):
        assert (mine.inner, mine.outer) == pytest.approx((theirs.inner, theirs.outer), abs=1e-12)
    (centre, weight), (round_centre, round_weight) = (block_weights(DOME, CASE, one) for one in (same, LAYOUT))
    assert weight == pytest.approx(round_weight, rel=1e-12) and centre == pytest.approx(round_centre, abs=1e-12)


def test_a_ring_pushed_aside_by_hand() -> None:
    """The top ring 40 mm towards the entrance: its corner there, the bed that is left, weight and centre of gravity."""
    moved = moved_layout(DOME, CASE, LAYOUT, pushed(4, 0.04))
    top, below = DOME.course(4), DOME.course(3)
    first = next(i for i, block in enumerate(moved.blocks) if block.course == 5 and abs(block.start) < 1e-9)
    assert math.hypot(*moved.blocks[first].corners[0][:2]) == pytest.approx(top.inner_radius + 0.04)
    bed = next(bed for bed in moved.beds if bed.upper == first)
    off = 0.04 * math.cos(math.radians(30))  # where the block ends
    assert bed.inner == pytest.approx(max(top.inner_radius + 0.04, below.inner_radius) + 0.03)
    assert bed.outer == pytest.approx(min(top.inner_radius + off, below.inner_radius) + 0.385 - 0.03)
    centre, weight = block_weights(DOME, CASE, moved)
    ring = [i for i, block in enumerate(moved.blocks) if block.course == 5]
    assert weight[ring].sum() == pytest.approx(2 * math.pi * CASE.states[5].weight, rel=1e-9)
    along = float(weight[ring] @ centre[ring, 1]) / float(weight[ring].sum())
    assert along == pytest.approx(0.04, abs=0.004)  # the whole ring has gone 40 mm


def test_a_lower_ring_pushed_the_same_way_leaves_the_whole_bed() -> None:
    """Both 40 mm towards the entrance: the bed between them goes along and stays as wide as it was there."""
    moved = moved_layout(DOME, CASE, LAYOUT, pushed(4, 0.04) | pushed(3, 0.04))
    first = next(i for i, block in enumerate(moved.blocks) if block.course == 5 and abs(block.start) < 1e-9)
    beds = [(mine, was) for mine, was in zip(moved.beds, LAYOUT.beds, strict=True) if mine.upper == first]
    spread = 0.04 * (1 - math.cos(math.radians(30)))  # the arc's own turn against the push, from end to end
    for mine, was in beds:
        assert mine.inner == pytest.approx(was.inner + 0.04, abs=1e-9)
        assert was.outer + 0.04 - spread - 1e-9 <= mine.outer <= was.outer + 0.04
    other = moved_layout(DOME, CASE, LAYOUT, pushed(4, 0.04) | pushed(3, -0.04))
    narrow = next(bed for bed in other.beds if bed.upper == first)
    top, below, end = DOME.course(4).inner_radius, DOME.course(3).inner_radius, 0.04 * math.cos(math.radians(30))
    assert narrow.inner == pytest.approx(max(top + 0.04, below - end) + 0.03)
    assert narrow.outer == pytest.approx(min(top + end, below - 0.04) + 0.385 - 0.03)


def test_a_dome_that_is_crushed_meets_nothing() -> None:
    soft = build_dome(classroom(fill=replace(classroom().fill, strength_as_placed=2.0)))
    found = reserve_out_of_round(soft, case_of(soft, "stage-20"), {})
    assert found.blocks is not None and found.blocks <= found.rings < 1.0 and not found.meets


def test_further_aside_never_holds_more_and_too_far_holds_nothing() -> None:
    found = [reserve_out_of_round(DOME, CASE, pushed(4, shift)) for shift in (0.0, 0.12, 0.5)]
    held = [one.blocks for one in found]
    assert all(value is not None for value in held)
    assert held[0] >= held[1] > held[2] == 0.0  # type: ignore[operator]
    assert not found[2].meets and found[2].governs and found[0].rings == found[2].rings
