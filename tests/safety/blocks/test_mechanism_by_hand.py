"""What is said of a mechanism and of forces at openings, beside motions and presses made by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from numpy.typing import NDArray
from samples import classroom

from shellcheck_earth.design.design import Buttress, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.geometry.openings import levels
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.mechanics.blocks.faces import block_patches
from shellcheck_earth.safety.blocks.mechanism import MOVES, _span, mechanism_of, opening_forces
from shellcheck_earth.safety.blocks.result import Mechanism

Motions = NDArray[np.float64]
DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")
WINDOW = Opening("window", math.pi, 0.9, 0.5, 0.5, "lintel")
EAST = Buttress(math.pi / 2, 0.6, 0.5, 0.8)
WEST = replace(EAST, bearing=3 * math.pi / 2)


@lru_cache(maxsize=1)
def _cut() -> tuple[Dome, Case, Layout]:
    """A small dome with a door to the north, a window to the south and a buttress at either side."""
    design = classroom(openings=(DOOR, WINDOW), buttresses=(EAST, WEST))
    dome = build_dome(replace(design, dome=replace(design.dome, inside_diameter=2.6)))
    case = next(case for case in dead_cases(dome) if case.kind == "finished")
    return dome, case, cut_blocks(dome, 12)


def _bearings(layout: Layout) -> NDArray[np.float64]:
    return np.array([(block.start + block.end) / 2 for block in layout.blocks])


def _moved(chosen: NDArray[np.bool_], along: Motions) -> Mechanism | None:
    """The mechanism of the chosen blocks moving by `along` (n, 3) without turning."""
    dome, _, layout = _cut()
    motions = np.zeros((len(layout.blocks), 6))
    motions[chosen, :3] = along[chosen]
    return mechanism_of(dome, layout, motions)


def _wall(course: int) -> NDArray[np.bool_]:
    return np.array([block.kind == "wall" and block.course == course for block in _cut()[2].blocks])


def _top() -> int:
    return max(block.course for block in _cut()[2].blocks)


def _way(name: str) -> Motions:
    angle = _bearings(_cut()[2])
    flat = np.zeros_like(angle)
    radial = np.stack([np.sin(angle), np.cos(angle), flat], axis=1)
    up = np.stack([flat, flat, flat + 1.0], axis=1)
    return {"outward": radial, "inward": -radial, "lift": up, "sink": -up}[name]


@pytest.mark.parametrize("way", ["outward", "inward", "lift", "sink"])
def test_a_whole_ring_goes_the_way_its_blocks_do(way: str) -> None:
    number = _cut()[0].courses[_top()].number
    assert _moved(_wall(_top()), _way(way)) == Mechanism((number, number), None, (way,), None, (), ())  # type: ignore[arg-type]


@pytest.mark.parametrize("towards", [0.3, math.pi / 2, 4.0, 6.2])
def test_a_ring_that_drifts_goes_sideways_towards_its_bearing(towards: float) -> None:
    along = np.tile([math.sin(towards), math.cos(towards), 0.0], (len(_cut()[2].blocks), 1))
    found = _moved(_wall(_top()), along)
    assert found is not None and found.ways == ("sideways",)
    assert found.towards == pytest.approx(towards, abs=1e-9)


def test_next_to_nothing_west_of_north_is_north() -> None:
    along = np.tile([-1e-17, 1.0, 0.0], (len(_cut()[2].blocks), 1))
    found = _moved(_wall(_top()), along)
    assert found is not None and found.towards == 0.0


def test_blocks_of_several_courses_name_the_lowest_and_the_highest() -> None:
    dome = _cut()[0]
    low, high = _top() - 4, _top() - 1
    found = _moved(_wall(low) | _wall(high), _way("sink"))
    assert found is not None and found.courses == (dome.courses[low].number, dome.courses[high].number)


def test_what_moves_little_is_not_named() -> None:
    for share, named in ((MOVES * 0.99, (1, 1)), (MOVES * 1.01, (2, 1))):
        along = _way("sink")
        along[_wall(_top() - 1)] *= share
        found = _moved(_wall(_top()) | _wall(_top() - 1), along)
        assert found is not None and found.courses is not None
        assert found.courses[1] - found.courses[0] == named[0] - named[1]


@pytest.mark.parametrize(("way", "least"), [("outward", 0.15), ("inward", 0.15), ("sink", 0.25), ("lift", 0.25)])
def test_a_way_is_named_from_its_share_of_all_motion_on(way: str, least: float) -> None:
    """Every block moves by 1; what does not go the named way cancels round the ring."""
    angle, flat = _bearings(_cut()[2]), np.zeros(len(_cut()[2].blocks))
    turn = np.where(np.arange(len(flat)) % 2 == 0, 1.0, -1.0)
    rest = np.stack([np.cos(angle), -np.sin(angle), flat], axis=1)  # round the axis
    rest = np.stack([flat, flat, turn], axis=1) if way in ("outward", "inward") else rest
    assert turn[_wall(_top())].sum() == 0.0
    for share, named in ((least * 0.98, ()), (least * 1.02, (way,))):
        found = _moved(_wall(_top()), share * _way(way) + math.sqrt(1 - share**2) * rest)
        assert found is not None and found.ways == named and found.towards is None


def test_a_drift_is_named_from_three_tenths_of_all_motion_on() -> None:
    turn = np.where(np.arange(len(_cut()[2].blocks)) % 2 == 0, 1.0, -1.0)
    for share, named in ((0.295, ()), (0.305, ("sideways",))):
        along = np.stack([np.full_like(turn, share), 0 * turn, turn * math.sqrt(1 - share**2)], axis=1)
        found = _moved(_wall(_top()), along)
        assert found is not None and found.ways == named


def test_turning_about_the_own_centre_is_tipping() -> None:
    dome, _, layout = _cut()
    motions = np.zeros((len(layout.blocks), 6))
    chosen = _wall(_top())
    for turned, tips in ((0.24, False), (0.26, True)):
        motions[chosen, 2], motions[chosen, 4] = -1.0, turned / dome.courses[0].width
        found = mechanism_of(dome, layout, motions)
        assert found is not None and ("tip" in found.ways) is tips
        assert found.ways[0] == "sink"


def test_no_motion_is_no_mechanism() -> None:
    dome, _, layout = _cut()
    assert mechanism_of(dome, layout, np.zeros((len(layout.blocks), 6))) is None
    assert mechanism_of(dome, layout, np.zeros((0, 6))) is None


@pytest.mark.parametrize("index", [0, 1])
def test_the_buttress_that_goes_is_the_one_named(index: int) -> None:
    dome, _, layout = _cut()
    bearing = dome.design.buttresses[index].bearing
    motions = np.zeros((len(layout.blocks), 6))
    for k, block in enumerate(layout.blocks):
        if block.kind == "buttress" and math.cos(block.start - bearing) > 0.9:
            motions[k, 2], motions[k, 3] = -1.0, 1.0
    assert motions.any()
    assert mechanism_of(dome, layout, motions) == Mechanism(None, None, ("tip",), None, (), (index,))


@pytest.mark.parametrize("index", [0, 1])
def test_an_opening_whose_head_goes_is_named(index: int) -> None:
    chosen = np.array([block.opening == index for block in _cut()[2].blocks])
    assert chosen.any()
    found = _moved(chosen, _way("sink"))
    assert found is not None and found.openings == (index,)
    assert found.span is not None
    middle = (found.span[0] + (found.span[1] - found.span[0]) % (2 * math.pi) / 2) % (2 * math.pi)
    bearing = _cut()[0].design.openings[index].bearing
    assert math.cos(middle - bearing) > 1 - 1e-9  # a head is symmetric about its opening


def test_a_head_that_goes_less_than_half_as_far_as_the_rest_is_not_named() -> None:
    for share, named in ((0.49, ()), (0.51, (0,))):
        head, along = np.array([block.opening == 0 for block in _cut()[2].blocks]), _way("sink")
        along[head] *= share
        found = _moved(head | _wall(_top()), along)
        assert found is not None and found.openings == named


def test_a_buttress_that_goes_with_the_wall_is_named_beside_it() -> None:
    dome, _, layout = _cut()
    chosen = np.array([block.kind == "buttress" and math.sin(block.start) > 0 for block in layout.blocks])
    found = _moved(chosen | _wall(0), _way("outward"))
    assert found is not None and found.buttresses == (0,)
    assert found.courses == (dome.courses[0].number,) * 2  # the buttress is higher, and no course of the wall


@pytest.mark.parametrize("seed", range(8))
def test_the_span_is_the_least_arc_that_holds_all(seed: int) -> None:
    """By trying every bearing as the start: the rest lie ahead of it within an arc, and the least arc is it."""
    rng = np.random.default_rng(seed)
    bearings = [float(b) for b in rng.uniform(0, 2 * math.pi, rng.integers(1, 7))]
    arcs = {start: max((b - start) % (2 * math.pi) for b in bearings) for start in bearings}
    start, end = _span(bearings)
    assert start == min(arcs, key=lambda one: arcs[one])
    assert end - start == pytest.approx(min(arcs.values()), abs=1e-12)


# -- presses ---------------------------------------------------------------------------------------------------------


def _presses(where: NDArray[np.bool_], force: float = 10.0) -> dict[tuple[str, int], float]:
    """What is said at each place when the chosen patches alone press, `force` on each, unevenly on their points."""
    dome, case, layout = _cut()
    normal = np.zeros((len(where), 4))
    normal[where] = np.array([0.1, 0.2, 0.3, 0.4]) * force
    return {(press.place, press.index): press.force for press in opening_forces(dome, case, layout, normal)}


@lru_cache(maxsize=1)
def _patches() -> tuple[NDArray[np.str_], NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """(kind, bearing and level of the upper block, turn to the door) of every patch."""
    dome, case, layout = _cut()
    patches = block_patches(dome, case, layout)
    upper = [layout.blocks[int(k)] for k in patches.upper]
    bearing = np.array([(block.start + block.end) / 2 for block in upper])
    level = np.array([dome.courses[block.course].z_bottom for block in upper])
    return np.array(patches.kind), bearing, level, np.arccos(np.clip(np.cos(bearing), -1.0, 1.0))


def test_one_place_an_opening_and_one_a_buttress() -> None:
    kind = _patches()[0]
    assert list(_presses(kind == "none")) == [
        *((place, index) for index in (0, 1) for place in ("jambs", "head", "ring above")),
        ("buttress", 0), ("buttress", 1),
    ]  # fmt: skip
    assert not any(_presses(kind == "none").values())


def test_beds_beside_a_door_press_on_its_jambs_and_nowhere_else() -> None:
    kind, _, level, turn = _patches()
    dome, _, layout = _cut()
    sill, top = levels(dome, dome.design.openings[0])
    low, high = levels(dome, dome.design.openings[1])
    tall = dome.courses[0].height
    block = 2 * math.pi / layout.cuts
    half = DOOR.width / 2 / min(course.inner_radius for course in dome.courses if course.z_bottom < top)
    beside = np.isin(kind, ("bed", "ground")) & (level >= sill) & (level < top - tall)
    found = _presses(beside & (turn < half))
    assert found.pop(("jambs", 0)) == 10.0
    assert not any(found.values())
    across = _presses(np.isin(kind, ("bed", "ground")) & (turn > math.pi - block) & (level < low - tall))
    assert not any(across.values())  # below the sill of the window, and away from the door
    above = _presses((kind == "bed") & (level > max(top, high) + tall))
    assert above["jambs", 0] == above["jambs", 1] == 0.0


def test_the_greatest_press_is_said_and_a_buttress_takes_the_sum() -> None:
    kind, _, _, _ = _patches()
    dome, case, layout = _cut()
    patches = block_patches(dome, case, layout)
    rng = np.random.default_rng(3)
    normal = rng.uniform(0.0, 5.0, (patches.size, 4))
    said = {(p.place, p.index): p.force for p in opening_forces(dome, case, layout, normal)}
    twice = {(p.place, p.index): p.force for p in opening_forces(dome, case, layout, 2 * normal)}
    assert twice == pytest.approx({key: 2 * value for key, value in said.items()}, abs=2e-3)
    on = [float(normal[k].sum()) for k in range(patches.size) if kind[k] == "buttress"]
    assert len(on) > 2
    assert said["buttress", 0] + said["buttress", 1] == pytest.approx(sum(on), abs=2e-3)
    for _ in range(4):  # the greatest of all is the greatest of what either half of the patches says
        half = rng.random((patches.size, 1)) < 0.5
        parts = [opening_forces(dome, case, layout, np.where(one, normal, 0.0)) for one in (half, ~half)]
        for one, other in zip(*parts, strict=True):
            if one.place != "buttress":
                assert said[one.place, one.index] == max(one.force, other.force) > 0.0


def test_a_head_takes_its_lintel_and_head_faces_and_a_ring_above_its_joints() -> None:
    kind, bearing, level, turn = _patches()
    dome, _, layout = _cut()
    for index, opening in enumerate(dome.design.openings):
        here = np.cos(bearing - opening.bearing) > math.cos(opening.width / 2)
        found = _presses(np.isin(kind, ("head", "lintel")) & here)
        assert found.pop(("head", index)) == 10.0
        assert not any(found.values())
    assert not any(_presses(kind == "head joint")[place, k] for place in ("jambs", "head") for k in (0, 1))
    for index, opening in enumerate(dome.design.openings):
        top, tall = levels(dome, opening)[1], dome.courses[0].height
        joints = (kind == "head joint") & (np.cos(bearing - opening.bearing) > math.cos(2 * math.pi / layout.cuts))
        assert _presses(joints & (level >= top) & (level < top + 2.5 * tall))["ring above", index] == 10.0
        assert _presses(joints & (level > top + 3.5 * tall))["ring above", index] == 0.0
        assert _presses(joints & (level < top - tall))["ring above", index] == 0.0
    far = _presses((kind == "head joint") & (np.abs(turn - math.pi / 2) < 0.3))
    assert far["ring above", 0] == far["ring above", 1] == 0.0


def test_forces_of_another_cut_are_not_read() -> None:
    dome, case, layout = _cut()
    assert opening_forces(dome, case, layout, None) == ()
    assert opening_forces(dome, case, layout, np.ones((3, 4))) == ()
