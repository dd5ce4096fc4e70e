"""The checker of block proofs on two rings of twelve blocks made by hand: every bound just kept, and just passed."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi
from typing import Any

import pytest
from two_rings import QUAKE, WALL, WEIGHT, N, W, at, bedded, changed, loaded, proven, rings, tied

from shellcheck_earth.mechanics.proof.block_loads import Load
from shellcheck_earth.mechanics.proof.block_places import FRICTION, LENGTH, STRENGTH, Clear, RefusedError
from shellcheck_earth.mechanics.proof.blocks import _State, check_block_proof


def test_two_rings_stand_and_nothing_is_left() -> None:
    finding = check_block_proof(rings(), WALL)
    assert (finding.proven, finding.why) == (1, "")


# -- blocks and their places -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("radius", "z", "ok"),
    [(0.51, 0.3, True), (0.49, 0.3, False), (1.39, 0.3, True), (1.41, 0.3, False), (1.2, 0.21, True),
     (1.2, 0.19, False), (1.2, 0.39, True), (1.2, 0.41, False)],
)  # fmt: skip
def test_a_block_lies_in_its_course(radius: float, z: float, ok: bool) -> None:
    state = _State(changed(lambda d: d["blocks"][N].__setitem__(slice(2, 5), at(0.0, radius, z))), WALL)
    if ok:
        state.places()
    else:
        with pytest.raises(RefusedError, match="outside its course"):
            state.places()


def test_only_a_buttress_stands_out_of_its_course() -> None:
    wall = replace(WALL, reach=0.5)
    for kind, radius, ok in ((0, 1.41, False), (1, 1.41, False), (3, 1.89, True), (3, 1.91, False)):

        def moved(data: dict[str, Any], kind: int = kind, radius: float = radius) -> None:
            data["blocks"][N][1:5] = [kind, *at(0.0, radius, 0.3)]

        found = check_block_proof(changed(moved), wall)
        assert ("centre is outside" not in found.why) == ok


@pytest.mark.parametrize(("share", "ok"), [(1 + 1e-7, True), (1 + 1e-4, False), (1 - 1e-7, True), (1 - 1e-4, False)])
def test_a_course_weighs_what_the_design_says(share: float, ok: bool) -> None:
    assert ("kN where the design has" not in proven(rings(), bedded(weight=WEIGHT * share))) == ok


def test_two_blocks_do_not_share_a_place() -> None:
    def turned(data: dict[str, Any]) -> None:
        data["blocks"][N][2:5] = at(0.01, 1.2, 0.3)

    assert "share a place" in proven(changed(turned))


def test_a_face_reaches_no_further_round_than_its_blocks() -> None:
    """A block of 0.3 of the weight is 4.5 degrees wide to either side; a point lies atan(0.1/1.1) = 5.2 degrees off."""

    for share, ok in ((0.3, False), (0.4, True)):
        state = _State(changed(lambda d, share=share: d["blocks"][N].__setitem__(5, round(share * W))), WALL)  # type: ignore[misc]
        if ok:
            state._face(N, state.patches[N])
        else:
            with pytest.raises(RefusedError, match="beyond its blocks"):
                state._face(N, state.patches[N])


@pytest.mark.parametrize(
    ("inner", "outer", "q", "ok"),
    [
        (1.02, 1.38, 1.0, True),
        (1.11, 1.38, 1.0, False),
        (1.02, 1.29, 1.0, False),
        (1.0, 1.4, 1.9, True),
        (1.0, 1.4, 2.1, False),
        (1.11, 1.38, 0.99, True),  # a reserve under 1 is no pass, whatever its bed
    ],
)
def test_a_bed_is_as_wide_as_the_design_leaves_it(inner: float, outer: float, q: float, ok: bool) -> None:
    """Points from sqrt(1.1^2 + 0.1^2) = 1.1045 m to 1.3038 m; about 1.2 m, 0.1038 m of 0.2 m are taken."""
    layers = tuple(replace(one, friction=2.0, strength=2000.0, bed_inner=inner, bed_outer=outer) for one in WALL.layers)
    data = changed(lambda d: d.update(reserve=round(q * FRICTION)))
    assert ("outside its bed" not in proven(data, replace(WALL, layers=layers))) == ok


@pytest.mark.parametrize(("key", "word"), [("inner", "outside the wall"), ("outer", "outside the wall")])
def test_no_point_outside_the_wall(key: str, word: str) -> None:
    layers = tuple(
        replace(one, inner=1.15, bed_inner=1.0) if key == "inner" else replace(one, outer=1.25, bed_outer=1.4)
        for one in WALL.layers
    )
    assert word in proven(rings(), replace(WALL, layers=layers))
    for z in (-0.01, 0.41):
        moved = changed(lambda d, z=z: [d["patches"][N].__setitem__(i, round(z * LENGTH)) for i in (4, 7, 10, 13)])  # type: ignore[misc]
        assert word in proven(moved)


@pytest.mark.parametrize(("key", "word"), [("friction", "more friction"), ("strength", "more strength")])
@pytest.mark.parametrize("course", [0, 1])
def test_a_face_is_as_good_as_the_worse_of_its_courses(key: str, word: str, course: int) -> None:
    value = getattr(WALL.layers[0], key)
    for share, ok in ((1.0, True), (0.999, False)):
        layers = list(WALL.layers)
        layers[course] = replace(layers[course], **{key: value * share})
        assert (word not in proven(rings(), replace(WALL, layers=tuple(layers)))) == ok
    double = changed(lambda d: d.update(reserve=2 * FRICTION))
    enough = tuple(replace(one, bed_inner=0.8, bed_outer=1.6, friction=1.0, strength=1000.0) for one in WALL.layers)
    assert proven(double, replace(WALL, layers=enough)) == ""
    less = tuple(replace(one, **{key: 1.99 * value}) for one in enough)
    assert word in proven(double, replace(WALL, layers=less))


def test_one_face_between_two_blocks() -> None:
    def twice(data: dict[str, Any]) -> None:
        data["patches"].append(list(data["patches"][N]))
        data["forces"].append([0] * 12)

    assert "two faces" in proven(changed(twice))


# -- openings --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("clear", "ok"),
    [
        (Clear(pi / 6, -1.0, 1.0, 1.2, 0.3, 0.0), False),
        (Clear(pi / 12, -1.0, 1.0, 1.2, 0.2, 0.0), True),  # between two faces: 0.09 m of 1.2 x 0.26 m
        (Clear(pi / 6, -1.0, 0.35, 0.4, 0.3, 0.0), True),  # the head starts a course above
        (Clear(pi / 6, 0.1, 1.0, 1.2, 0.3, 0.0), True),  # the sill is a course under
        (Clear(pi / 6 - 2 * pi, -1.0, 1.0, 1.2, 0.3, 0.0), False),
        # 1.1045 m x 0.1093 to the nearest point: 0.1207 m, of which 0.9 x 0.268/2 are taken
        (Clear(pi / 6 + 0.2, -1.0, 1.0, 1.2, 0.267, 0.0), True),
        (Clear(pi / 6 + 0.2, -1.0, 1.0, 1.2, 0.27, 0.0), False),
    ],
)
def test_no_face_stands_in_an_opening(clear: Clear, ok: bool) -> None:
    state = _State(rings(), replace(WALL, openings=(clear,)))
    if ok:
        state._face(N + 1, state.patches[N + 1])
    else:
        with pytest.raises(RefusedError, match="in an opening"):
            state._face(N + 1, state.patches[N + 1])


def test_what_a_course_weighs_beside_its_openings() -> None:
    """A layer of 0.2 m, 1 m inside: what is cut out is gone, bags of 0.05 m2 are a quarter of a radian of it."""
    whole = 2 * pi * WEIGHT

    def ring(*openings: Clear) -> tuple[float, float]:
        return _State(rings(), replace(WALL, openings=openings))._ring(1)

    assert ring() == pytest.approx((whole, whole))
    door = Clear(0.0, 0.0, 1.0, 1.2, 0.6, 0.0, cuts=(0.3, 0.4), bags=(0.0, 0.0))
    assert ring(door) == pytest.approx((whole - 0.8 * WEIGHT,) * 2)
    assert ring(door, replace(door, bearing=pi, cuts=(0.3, 0.1))) == pytest.approx((whole - WEIGHT,) * 2)
    least = whole - 0.8 * WEIGHT
    headed = replace(door, bags=(0.0, 0.05))
    assert ring(headed) == pytest.approx((least, least + 1.1 * 0.25 * WEIGHT))
    assert ring(headed, replace(headed, bearing=pi)) == pytest.approx(
        (2 * least - whole, 2 * least - whole + 0.55 * WEIGHT)
    )


def test_a_course_that_weighs_more_or_less_than_it_can_is_refused() -> None:
    for weight, word in ((1.0, ""), (1.001, "where the design has"), (0.999, "where the design has")):
        state = _State(rings(), WALL)
        for block in state.blocks:
            block[5] = round(block[5] * (weight if block[0] == 1 else 1.0))
        if word:
            with pytest.raises(RefusedError, match=word):
                state.places()
        else:
            state.places()


# -- wire and ties ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "word"),
    [
        ({}, ""),
        ({"most": 2.001}, "more than the design's"),
        ({"most": 1.5, "q": 4 / 3}, ""),
        ({"most": 1.51, "q": 4 / 3}, "more than the design's"),
        ({"z": 0.3, "most": 1.0}, "more than the design's"),  # no wire, and no lintel's tie
        ({"radius": 1.39}, ""),
        ({"radius": 1.41}, "more than the design's"),
        ({"radius": 0.99}, "more than the design's"),
        ({"pull": 1.001}, "more than the design's"),
        ({"pull": -1.0}, "pushes"),
        ({"pull": 0.0}, "pushes"),
        ({"tension": -0.001}, "more than the design's"),
        ({"tension": 2.001}, "more than the design's"),
        ({"up": 1}, "level tie"),
        ({"lower": 0}, "level tie"),
        ({"lower": N + 1}, "level tie"),
        ({"lower": -1}, "no such"),
        ({"lower": 2 * N}, "no such"),
        ({"upper": 2 * N}, "no such"),
        ({"upper": -1}, "no such"),
        ({"times": 2}, "level tie"),
        ({"turned": 0.25}, ""),  # it comes nearest to the axis 0.25 rad further on; the centre is 0.2618 rad away
        ({"turned": 0.27}, "crosses no joint"),
        ({"turned": -0.25}, ""),
        ({"turned": -0.27}, "crosses no joint"),
    ],
)
def test_ties(given: dict[str, Any], word: str) -> None:
    state = _State(tied(**given), WALL)
    if word:
        with pytest.raises(RefusedError, match=word):
            state._ties()
    else:
        state._ties()


def test_a_lintels_tie_is_not_in_a_bed() -> None:
    over = replace(WALL, openings=(Clear(2.0, 0.0, 0.2, 0.4, 0.3, 1.5),))
    for most, ok in ((1.5, True), (1.51, False)):
        state = _State(tied(z=0.3, most=most), over)
        if ok:
            state._ties()
        else:
            with pytest.raises(RefusedError, match="more than"):
                state._ties()


@pytest.mark.parametrize(
    ("towards", "most", "word"),
    [(1.6, 1.2, ""), (1.6, 1.201, "more than"), (1.6 + pi, 2.0, ""), (1.6 + pi, 2.001, "more than")],
)
@pytest.mark.parametrize("along", [0.0, 9.0, -9.0])
def test_wire_in_the_wet_half_pulls_no_more_than_slick_beds_hold(
    towards: float, most: float, word: str, along: float
) -> None:
    """The tie lies at 15 degrees in the bed of the upper course, which holds 2 kN dry and 1.2 kN wet; where on its line
    its place is given says nothing."""
    wet = replace(WALL, load=Load("rain", towards, weak=((0.3, 500.0),) * 2, wire=(0.0, 1.2)))
    state = _State(tied(most=most, along=along), wet)
    if word:
        with pytest.raises(RefusedError, match=word):
            state._ties()
    else:
        state._ties()


# -- loads -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "load", "word"),
    [
        ({"east": 0.2, "up": 0.06}, QUAKE, ""),
        ({"east": 0.4, "up": 0.12, "factor": 2.0}, QUAKE, ""),
        ({"east": 0.2, "up": 0.06, "factor": 1.01}, QUAKE, "not the design's load"),
        ({"east": 0.199, "up": 0.06}, QUAKE, "not the design's load"),
        ({"east": 0.2, "up": 0.05}, QUAKE, "not the design's load"),
        ({"east": 0.2, "up": -0.06}, QUAKE, "not the design's load"),
        ({"north": 0.2, "up": 0.06}, QUAKE, "not the design's load"),  # another direction
        ({"east": -0.2, "up": 0.06}, QUAKE, "not the design's load"),
        ({"east": 0.2, "up": 0.06, "weak": 0.19}, QUAKE, r"live\[3\]: not the design's load"),
        ({"east": 0.2, "up": 0.06, "turning": 1e-4}, QUAKE, r"live\[3\]: not the design's load"),
        ({"east": 0.2, "up": 0.06, "reserve": 0.99}, QUAKE, "reserve: other than 1"),
        ({"east": 0.2, "up": 0.06, "reserve": 1.01}, QUAKE, "reserve: other than 1"),
        ({}, QUAKE, "not the design's load"),
        ({"factor": 0.0, "reserve": 0.99}, None, ""),
        ({"factor": 0.0, "up": -0.1}, None, "beside a reserve"),
        ({"factor": 1.0, "up": -0.1}, None, "beside a reserve"),
        ({"factor": 0.0, "up": -0.1}, QUAKE, "beside a reserve"),
    ],
)
def test_the_loads_that_a_line_of_the_design_gives(given: dict[str, Any], load: Load | None, word: str) -> None:
    state = _State(loaded(**given), replace(WALL, load=load))
    if word:
        with pytest.raises(RefusedError, match=word):
            state.loads()
    else:
        state.loads()


def test_the_wet_half_has_the_friction_and_strength_of_soaked_fill() -> None:
    """Wet about the east: the blocks there may not have what those at the west have; and so about north and south."""
    for weak, word in (((0.5, 500.0), ""), ((0.49, 500.0), "friction"), ((0.5, 499.0), "strength")):
        for bearing in (0.0, pi / 2, pi, -pi / 2):
            wall = replace(WALL, load=Load("rain", bearing, weak=(weak, weak)))
            state = _State(rings(), wall)
            if not word:
                state.places()
                continue
            with pytest.raises(RefusedError, match=rf"more {word}") as caught:
                state.places()
            first = int(str(caught.value).split("[")[1].split("]")[0])
            assert cos(2 * pi * (first % N) / N - bearing) > 0.1


def test_a_load_from_one_side_stands_on_the_friction_of_the_ground() -> None:
    for ground, ok in ((0.5, True), (0.49, False)):
        state = _State(rings(), replace(WALL, ground=ground))
        if ok:
            state.places()
        else:
            with pytest.raises(RefusedError, match=r"patches\[0\]: more friction"):
                state.places()


def test_no_face_on_the_ground_presses_harder_than_the_ground_bears() -> None:
    """Whatever the reserve: it divides the fill's strength, not what the ground bears."""
    for bears, q, ok in ((500.0, 1.0, True), (499.0, 1.0, False), (187.5, 1.6, True), (187.0, 1.6, False)):
        given = rings()
        given["reserve"] = round(q * FRICTION)
        for patch in given["patches"]:
            patch[14], patch[15] = (
                round(patch[14] / q),
                round((300.0 if patch[1] < 0 and q > 1 else 500.0 / q) * STRENGTH),
            )
        state = _State(given, replace(WALL, bears=bears))
        if ok:
            state.places()
        else:
            with pytest.raises(RefusedError, match=r"patches\[0\]: more strength"):
                state.places()


def test_places_found_in_order_once_are_only_those_places() -> None:
    """Another friction, another wall, another reserve, a tie drawn beyond itself: looked at again, and refused."""
    seen: list[Any] = []
    assert check_block_proof(rings(), WALL, seen).proven == 1 and len(seen) == 1
    assert check_block_proof(rings(), WALL, seen).proven == 1 and len(seen) == 1
    more = changed(lambda d: d["patches"][0].__setitem__(14, FRICTION))
    assert "more friction" in check_block_proof(more, WALL, seen).why
    assert "more friction" in check_block_proof(rings(), replace(WALL, ground=0.4), seen).why
    wet = replace(WALL, load=Load("rain", pi / 2, weak=((0.4, 500.0),) * 2))
    assert "more friction" in check_block_proof(rings(), wet, seen).why
    assert "outside its bed" in check_block_proof(changed(lambda d: d.update(reserve=2 * FRICTION)), WALL, seen).why
    assert len(seen) == 1
    given = rings()
    assert check_block_proof(given, WALL, seen).proven == 1 and len(seen) == 1
    assert check_block_proof(given, WALL, afresh := []).proven == 1
    given["patches"][0][14] = FRICTION
    assert "more friction" in check_block_proof(given, WALL, afresh).why
    data = tied(tension=1e-6)
    kept: list[Any] = []
    _State(data, bedded(wire=2.0)).in_place(kept)
    data["tensions"] = [data["ties"][0][8] + 1]
    with pytest.raises(RefusedError, match="more than the design"):
        _State(data, bedded(wire=2.0)).in_place(kept)
    data["tensions"] = [-1]
    with pytest.raises(RefusedError, match="more than the design"):
        _State(data, bedded(wire=2.0)).in_place(kept)


def test_a_joint_is_thinned_about_its_middle_by_what_a_row_divides_widths_by() -> None:
    """Points a tenth of a metre either side of the middle of 0.4 m: the quarters, as the whole width has them."""

    def joined(data: dict[str, Any]) -> None:
        way = pi / N
        points = [v for r in (1.1, 1.3) for z in (0.2, 0.4) for v in at(way, r, z)]
        data["patches"].append([N + 1, N, *points, FRICTION // 2, 500 * STRENGTH])
        data["forces"].append([0] * 12)

    _State(changed(joined), WALL).places()
    with pytest.raises(RefusedError, match="outside its joint"):
        _State(changed(joined), replace(WALL, width=1.01)).places()


def test_no_load_has_a_multiple() -> None:
    state = _State(loaded(factor=1.0), WALL)
    with pytest.raises(RefusedError, match="a multiple of no load"):
        state.loads()
