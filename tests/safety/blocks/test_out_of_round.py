"""Rings that are not round, by hand: corners, beds and weights of the blocks, and what is left of the reserve."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.geometry.survey import Ring
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.safety.blocks import out_of_round
from shellcheck_earth.safety.blocks.edge import RESERVE_STEP
from shellcheck_earth.safety.blocks.out_of_round import OutOfRound, moved_layout, reserve_out_of_round
from shellcheck_earth.safety.blocks.reserve import largest_reserve

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
    for bed, was in zip(same.beds, LAYOUT.beds, strict=True):
        assert (bed.inner, bed.outer) == pytest.approx((was.inner, was.outer), abs=1e-12)
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


@pytest.mark.parametrize("shift", [0.0, 0.04])
@pytest.mark.parametrize("oval", [0.0, 0.03])
def test_every_corner_goes_out_by_what_its_ring_is_off_there(shift: float, oval: float) -> None:
    """By shift cos(b) + oval cos(2 b) at its own bearing b, level with where it was."""
    ring = pushed(4, shift, oval)
    for mine, was in zip(moved_layout(DOME, CASE, LAYOUT, ring).blocks, LAYOUT.blocks, strict=True):
        for corner, before in zip(mine.corners, was.corners, strict=True):
            bearing = math.atan2(before[0], before[1])
            off = shift * math.cos(bearing) + oval * math.cos(2 * bearing) if mine.course == 5 else 0.0
            assert math.hypot(*corner[:2]) == pytest.approx(math.hypot(*before[:2]) + off, abs=1e-9)
            assert math.atan2(corner[0], corner[1]) == pytest.approx(bearing, abs=1e-9) and corner[2] == before[2]


def searched(monkeypatch: pytest.MonkeyPatch, ring: float, held: list[float | None]) -> tuple[OutOfRound, list[Any]]:
    """What comes of it where the rings hold `ring` and the cuts in turn hold `held`; what each was asked."""
    given, asked = iter(held), []

    def search(_dome: Any, _case: Any, layout: Layout, offers: list[float], *, first: float | None) -> Any:
        asked.append((layout.cuts, offers, first))
        return SimpleNamespace(reserve=next(given))

    monkeypatch.setattr(out_of_round, "ring_symmetric", lambda *_: ring)
    monkeypatch.setattr(out_of_round, "largest_reserve", search)
    return reserve_out_of_round(DOME, CASE, pushed(4, 0.02)), asked


def test_the_finer_cut_is_asked_from_what_the_coarser_one_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    """1.25 are required; looked for up to what the round rings hold, 10 at most."""
    coarse, fine = out_of_round.CUTS
    found, asked = searched(monkeypatch, 3.0, [2.0, 1.9])
    assert (found.blocks, found.rings, found.required, found.case_id) == (1.9, 3.0, 1.25, CASE.id)
    assert asked == [(coarse, [3.0], 1.25), (fine, [2.0], None)] and found.meets
    assert searched(monkeypatch, 30.0, [2.0, 1.9])[1][0] == (coarse, [10.0], 1.25)
    assert searched(monkeypatch, 1.1, [1.1, 1.1])[1][0] == (coarse, [1.1], 1.25)
    # What falls short on the coarser cut is asked no further; at what is required it does not.
    assert (
        len(searched(monkeypatch, 3.0, [1.24, 9.0])[1]) == 1 and len(searched(monkeypatch, 3.0, [1.25, 1.25])[1]) == 2
    )


def test_what_no_cut_decides_is_not_known_and_no_line_is_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    for held in ([None], [2.0, None]):
        found, _ = searched(monkeypatch, 3.0, held)  # type: ignore[arg-type]
        assert (found.blocks, found.rings, found.required) == (None, 3.0, 1.25) and not found.meets
    nothing, asked = searched(monkeypatch, 0.0, [])
    assert (nothing.blocks, nothing.rings, asked) == (0.0, 0.0, []) and not nothing.meets


DOOR = Opening("door", 0.0, 0.0, 0.8, 1.4, "round", head_depth=0.25)
BEAM = Opening("window", 2.5, 0.7, 0.5, 0.6, "lintel", lintel_bearing=0.3)
OPEN = build_dome(classroom(openings=(DOOR, BEAM)))
OPEN_CASE = case_of(OPEN, "finished-damp")
OPEN_LAYOUT = cut_blocks(OPEN, 12, len(OPEN_CASE.states))


def all_pushed(dome: Dome, shift: float, bearing: float) -> dict[int, Ring]:
    return {
        c.number: Ring(c.number, c.z_bottom, c.z_top, c.inner_radius, shift, bearing, 0.0, 0.0, 0.0, 4)
        for c in dome.courses
    }


def test_round_rings_with_openings_are_the_round_dome() -> None:
    assert {block.kind for block in OPEN_LAYOUT.blocks} == {"wall", "head", "lintel"}
    same = moved_layout(OPEN, OPEN_CASE, OPEN_LAYOUT, all_pushed(OPEN, 0.0, 0.0))
    for mine, theirs in zip(same.blocks, OPEN_LAYOUT.blocks, strict=True):
        assert np.array(mine.corners) == pytest.approx(np.array(theirs.corners), abs=1e-12)
    for face, was in zip(same.faces, OPEN_LAYOUT.faces, strict=True):
        assert np.array(face.edge1 + face.edge2) == pytest.approx(np.array(was.edge1 + was.edge2), abs=1e-12)
    (centre, weight), (round_centre, round_weight) = (
        block_weights(OPEN, OPEN_CASE, one) for one in (same, OPEN_LAYOUT)
    )
    assert weight == pytest.approx(round_weight, rel=1e-9) and centre == pytest.approx(round_centre, abs=1e-9)


def test_a_bag_goes_out_with_its_ring_and_keeps_its_weight() -> None:
    number = next(OPEN.courses[block.course].number for block in OPEN_LAYOUT.blocks if block.kind == "head")
    course = OPEN.course(number)
    ring = {number: Ring(number, course.z_bottom, course.z_top, course.inner_radius, 0.03, 0.0, 0.0, 0.0, 0.0, 4)}
    moved = moved_layout(OPEN, OPEN_CASE, OPEN_LAYOUT, ring)
    weights = [block_weights(OPEN, OPEN_CASE, one)[1] for one in (moved, OPEN_LAYOUT)]
    seen = 0
    for k, (mine, was) in enumerate(zip(moved.blocks, OPEN_LAYOUT.blocks, strict=True)):
        if was.kind != "head":
            continue
        assert mine.centre is not None and was.centre is not None and weights[0][k] == weights[1][k]
        bearing = math.atan2(was.centre[0], was.centre[1])
        out = 0.03 * math.cos(bearing) if OPEN.courses[was.course].number == number else 0.0
        assert math.hypot(*mine.centre[:2]) == pytest.approx(math.hypot(*was.centre[:2]) + out, abs=1e-12)
        assert mine.centre[2] == was.centre[2]
        seen += out > 0
    assert seen == 2


def test_a_dome_that_stands_elsewhere_holds_as_much() -> None:
    """All rings 10 mm the same way, openings and all: the dome, 10 mm further on, but for the second order."""
    found = [
        largest_reserve(OPEN, OPEN_CASE, moved_layout(OPEN, OPEN_CASE, OPEN_LAYOUT, rings), [10.0], first=1.0)
        for rings in ({}, all_pushed(OPEN, 0.01, 1.1))
    ]
    assert found[0].reserve and found[1].reserve
    assert found[1].reserve == pytest.approx(found[0].reserve, rel=2 * RESERVE_STEP)


def test_one_ring_aside_of_a_dome_with_a_door_never_holds_more(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(out_of_round, "CUTS", (12,))
    top = OPEN.courses[-3].number
    rings = [{top: all_pushed(OPEN, shift, math.pi / 2)[top]} for shift in (0.0, 0.1, 0.5)]
    held = [reserve_out_of_round(OPEN, OPEN_CASE, one).blocks for one in rings]
    least = [0.0 if one is None else one for one in held]
    assert least[0] * (1 + RESERVE_STEP) >= least[1] > least[2] == 0.0
