"""What the design says of a face between two courses, by hand: the worse of both, wherever that is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shellcheck_earth.mechanics.proof.block_data import KINDS, NEAR, Both, Clear, Layer, Wall

LOWER = Layer(0.0, 0.2, 1.0, 1.4, 1.02, 1.38, 12.0, 0.5, 500.0, 2.0, 1.3, 1.25, 0.3, 90.0)
UPPER = Layer(0.2, 0.45, 0.9, 1.3, 1.02, 1.28, 11.0, 0.4, 600.0, 2.0, 1.2, 1.15, 0.35, 80.0)
DOOR = Clear(0.5, -1.0, 1.0, 1.2, 0.8, 0.0, beside=0.25)
WALL = Wall((LOWER, UPPER), (DOOR,), 0.7, width=1.25)
COURSE, HEAD, BUTTRESS, FOOTING = (KINDS.index(kind) for kind in ("wall", "head", "buttress", "footing"))


@pytest.mark.parametrize("ends", [(1, COURSE, 0, COURSE), (0, COURSE, 1, COURSE)])
def test_a_face_is_held_to_both_of_its_courses(ends: tuple[int, ...]) -> None:
    both = Both.of(WALL, ends)
    assert both.courses == ends[::2] and both.layers == tuple(WALL.layers[course] for course in ends[::2])
    assert (both.near, both.out) == (0.9 - NEAR, 1.4 + NEAR)
    assert (both.low, both.high) == (0.0 - NEAR, 0.45 + NEAR)
    assert (both.friction, both.strength, both.friction_wet, both.strength_wet) == (0.4, 500.0, 0.3, 80.0)
    assert both.wetted and (both.wet_from, both.dry_to) == (1.2, 1.15)
    assert not both.buttress and not both.head and not both.on_footing
    # the bed is that under the upper one, whichever is named first
    assert both.bed == ("bed", pytest.approx(1.15), pytest.approx(0.13))


def test_a_joint_lies_in_what_is_dry_of_its_course() -> None:
    """From 1.0 m to 1.25 m; points a quarter of that from its ends, thinned by what a row divides widths by."""
    dry = Both.of(WALL, (0, COURSE, 0, COURSE))
    assert dry.joint == ("joint", pytest.approx(1.125), pytest.approx(0.25 / 4 / 1.25))
    whole = Both.of(replace(WALL, layers=(replace(LOWER, dry_to=9.0), UPPER)), (0, COURSE, 0, COURSE))
    assert whole.joint == ("joint", pytest.approx(1.2), pytest.approx(0.4 / 4 / 1.25))


def test_an_opening_is_kept_clear_a_course_from_its_ends() -> None:
    """Of courses of 0.2 m: over the sill and under the spring; nine tenths of its width."""
    (clear,) = Both.of(WALL, (0, COURSE)).clear
    assert clear == (pytest.approx(-0.8 + NEAR), pytest.approx(0.8), 0.5, pytest.approx(0.36))
    (clear,) = Both.of(WALL, (1, COURSE, 0, COURSE)).clear
    assert clear[:2] == (pytest.approx(-0.75 + NEAR), pytest.approx(0.75))


def test_buttresses_and_heads_reach_further_and_lie_in_no_bed() -> None:
    for ends in ((1, BUTTRESS, 0, COURSE), (1, COURSE, 0, BUTTRESS)):
        both = Both.of(WALL, ends)
        assert both.out == pytest.approx(1.4 + 0.7 + NEAR) and both.low == 0.0 - NEAR
        assert both.buttress and both.clear == () and both.bed[0] == both.joint[0] == ""
    for ends in ((1, HEAD, 0, COURSE), (1, COURSE, 0, HEAD)):
        both = Both.of(WALL, ends)
        assert both.low == pytest.approx(0.0 - 0.25 - NEAR) and both.out == 1.4 + NEAR
        assert both.head and len(both.clear) == 1 and both.bed[0] == both.joint[0] == ""


def test_what_lies_on_a_footing() -> None:
    assert Both.of(WALL, (0, COURSE, 0, FOOTING)).on_footing
    assert not Both.of(WALL, (0, FOOTING)).on_footing
