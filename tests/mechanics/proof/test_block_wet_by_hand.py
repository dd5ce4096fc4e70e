"""Faces of blocks that rain has wetted, by hand: which part of a bed they are, what they may hold, how far they reach.

The beds of `two_rings` have corners from 1.1 m out by 0.2 m to either side (1.1180 m from the axis) to 1.3 m out
(1.3153 m from it).
"""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin
from typing import Any

import pytest
from two_rings import N, at, bedded, changed, proven

from shellcheck_earth.mechanics.proof.block_data import (
    FRICTION,
    KINDS,
    LENGTH,
    STRENGTH,
    Layer,
    RefusedError,
    Wall,
    corners,
)
from shellcheck_earth.mechanics.proof.blocks import _State

ACROSS, FRICTION_OVER, STRENGTH_OVER = "lies across", "more friction", "more strength"


def wetted(**given: float) -> Wall:
    """The upper course wet from some radius on, the lower one dry; both would hold as much wet as dry."""
    as_dry = {"friction_wet": 0.5, "strength_wet": 500.0}
    upper = bedded(**{"wet_from": 1.39, "dry_to": 1.39, **as_dry, **given}).layers[1]
    return Wall((replace(bedded().layers[0], **as_dry), upper), (), 0.0)


def as_it_is(data: dict[str, Any]) -> None:
    pass


def test_the_corners_of_a_face_lie_half_as_far_again_as_its_points() -> None:
    patch = changed(as_it_is)["patches"][N]
    assert sorted(corners(patch)) == pytest.approx([1.1180] * 2 + [1.3153] * 2, abs=1e-4)


@pytest.mark.parametrize(
    ("wet_from", "why"),
    [(1.0, ""), (1.117, ""), (1.119, ACROSS), (1.2, ACROSS), (1.315, ACROSS), (1.316, ""), (1.39, "")],
)
def test_a_bed_lies_in_what_is_dry_or_in_what_is_wet(wet_from: float, why: str) -> None:
    found = proven(changed(as_it_is), wetted(wet_from=wet_from))
    assert (why in found) if why else found == ""


@pytest.mark.parametrize("wet_from", [1.117, 1.316])
@pytest.mark.parametrize(
    ("wet", "why"), [({"friction_wet": 0.49}, FRICTION_OVER), ({"strength_wet": 499.0}, STRENGTH_OVER)]
)
def test_what_is_wet_of_it_has_no_more_than_wet_values(wet_from: float, wet: dict[str, float], why: str) -> None:
    found = proven(changed(as_it_is), wetted(wet_from=wet_from, **wet))
    assert (why in found) == (wet_from < 1.2)


def test_the_wetter_of_the_two_courses_at_a_bed_decides() -> None:
    """The lower course is wet from 1.0 m out, the upper one dry: the bed between them is wet, so is that below."""
    lower = Layer(0.0, 0.2, 1.0, 1.4, 1.02, 1.38, 12.0, 0.5, 500.0, 2.0, 1.0, 1.0, 0.4, 500.0)
    wall = wetted()
    found = proven(changed(as_it_is), Wall((lower, wall.layers[1]), (), 0.0))
    assert found == "patches[0]: more friction than the design"

    def low_on_the_ground(data: dict[str, Any]) -> None:
        for patch in data["patches"][:N]:
            patch[14] = FRICTION // 4

    found = proven(changed(low_on_the_ground), Wall((lower, wall.layers[1]), (), 0.0))
    assert found == f"patches[{N}]: more friction than the design"


def parted(*spans: tuple[float, float]) -> dict[str, Any]:
    """The beds of the upper course in parts, each from and to so many metres out, its load in equal parts on them."""

    def change(data: dict[str, Any]) -> None:
        rows, forces = data["patches"][N:], data["forces"][N:]
        del data["patches"][N:], data["forces"][N:]
        for i, (row, force) in enumerate(zip(rows, forces, strict=True)):
            s, c = sin(2 * pi * i / N), cos(2 * pi * i / N)
            for spanned in spans:
                places = [(out * s + side * c, out * c - side * s, 0.2) for side in (-0.1, 0.1) for out in spanned]
                points = [round(v * LENGTH) for place in places for v in place]
                data["patches"].append([*row[:2], *points, *row[14:]])
                data["forces"].append([v // len(spans) for v in force])

    return changed(change)


def test_one_face_within_what_is_wet_and_one_beyond_it() -> None:
    """Ones from 1.05 to 1.15 m out and from 1.25 to 1.35: their middle is that of the block."""
    both = parted((1.05, 1.15), (1.25, 1.35))
    assert proven(both, wetted(wet_from=1.2)) == ""
    for wet_from in (1.0, 1.39):
        assert "two faces between the same blocks" in proven(both, wetted(wet_from=wet_from))
    assert "two faces between the same blocks" in proven(both)
    assert FRICTION_OVER in proven(both, wetted(wet_from=1.2, friction_wet=0.4))
    over = parted((1.05, 1.15), (1.19, 1.35))
    assert proven(over, wetted(wet_from=1.2)) != ""


def with_joint(inner: float, outer: float, kind: str = "wall") -> dict[str, Any]:
    """A face at 15 degrees between the first two blocks of the upper course, without any force, whose strips lie at
    these radii."""

    def change(data: dict[str, Any]) -> None:
        points = [v for r in (inner, outer) for z in (0.22, 0.38) for v in at(pi / N, r, z)]
        data["patches"].append([N + 1, N, *points, FRICTION // 2, 500 * STRENGTH])
        data["forces"].append([0] * 12)
        data["blocks"][N][1] = KINDS.index(kind)

    return changed(change)


@pytest.mark.parametrize(
    ("inner", "outer", "dry_to", "why"),
    [
        (1.1, 1.3, 1.5, ""),
        (1.1, 1.3, 1.4, ""),
        (1.1, 1.3, 1.39, "outside its joint"),
        (1.05, 1.15, 1.2, ""),
        (1.05, 1.15, 1.19, "outside its joint"),
        (1.04, 1.14, 1.2, "outside its joint"),
    ],
)
def test_a_joint_ends_where_its_course_is_wet(inner: float, outer: float, dry_to: float, why: str) -> None:
    found = proven(with_joint(inner, outer), wetted(wet_from=1.39 if dry_to < 1.4 else 2.0, dry_to=dry_to))
    assert (why in found) if why else found == ""


@pytest.mark.parametrize(("dry_to", "why"), [(1.36, ""), (1.34, ACROSS)])
def test_a_face_of_a_head_ends_there_too(dry_to: float, why: str) -> None:
    """Its strips at 1.1 and 1.3 m reach to 1.4 m; at 1.05 and 1.25 to 1.35. A bag is no sector of its ring."""
    data = with_joint(1.05, 1.25, "head")
    found = proven(data, wetted(dry_to=dry_to))
    assert (why in found) if why else ACROSS not in found


@pytest.mark.parametrize(("friction_wet", "why"), [(0.5, ""), (0.4, FRICTION_OVER)])
def test_a_buttress_is_as_wet_as_its_course(friction_wet: float, why: str) -> None:
    """Wet anywhere, which is no matter for the bed of a wall that lies within."""

    def to_buttress(data: dict[str, Any]) -> None:
        data["blocks"][N][1] = KINDS.index("buttress")

    wall = wetted(dry_to=1.38, friction_wet=friction_wet)
    assert proven(changed(as_it_is), wall) == ""
    state = _State(changed(to_buttress), wall)
    if not why:
        state._face(N, state.patches[N])
        return
    with pytest.raises(RefusedError, match=why):
        state._face(N, state.patches[N])
