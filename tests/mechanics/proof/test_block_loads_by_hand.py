"""The loads of block proofs: sums by hand, and block by block what the block model puts on, which shares no line."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Design, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.loads.side_loads import side_loads, workers
from shellcheck_earth.mechanics.blocks.side_wrench import side_wrench
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.proof.block_loads import Angle, Course, Load, about_the_load, load_on, same_load
from shellcheck_earth.safety.blocks.jobs import Job, forms_out, jobs, joint_job
from shellcheck_earth.safety.blocks.proofs import pushed, wall_of
from shellcheck_earth.safety.blocks.sideways import Asked, Question

DOOR = Opening("door", 0.3, 0.0, 0.8, 1.5, "pointed")
RING = Course(1, 0.2, 0.4, 1.0, 1.4, 1.3)
EAST = Angle(math.pi / 2, 0.1, (1.2, 0.0, 0.3), 5.0)


def _design() -> Design:
    design = classroom(openings=(DOOR,), buttresses=(Buttress(2.0, 0.6, 0.5, 0.8),))
    site = replace(design.site, wind_pressure=0.6, earthquake=0.1, snow=0.5, left_unprotected=True)
    return replace(design, site=site, building=replace(design.building, scaffold_above=None))


@pytest.fixture(scope="module")
def dome() -> Dome:
    return build_dome(_design())


def _asked(dome: Dome) -> list[Job]:
    return [job for job in jobs(dome) if job.loads]


def _places(dome: Dome, layout: Layout, job: Job) -> list[tuple[Course, Angle]]:
    """Course and place of every block."""
    standing, out = dome.courses[: len(job.case.states)], []
    centre, weight = block_weights(dome, job.case, layout)
    for k, block in enumerate(layout.blocks):
        course = standing[block.course]
        above = standing[block.course + 1].outer_radius if block.course + 1 < len(standing) else None
        x, y, z = centre[k].tolist()
        shape = Course(block.course, course.z_bottom, course.z_top, course.inner_radius, course.outer_radius, above)
        middle, half = (block.start + block.end) / 2, (block.end - block.start) / 2
        out.append((shape, Angle(middle, half, (x, y, z), float(weight[k]))))
    return out


def test_every_load_of_every_case_block_by_block(dome: Dome) -> None:
    kinds = set()
    for job in _asked(dome):
        layout = cut_blocks(dome, 9, len(job.case.states))
        places = _places(dome, layout, job)
        for load in job.loads:
            theirs = side_wrench(dome, job.case, layout, load, job.heavier)
            mine, kinds = pushed(dome, job, load), kinds | {load.kind}
            for k, block in enumerate(layout.blocks):
                course, angle = places[k]
                want = load_on(mine, course, angle)
                if want is None or (block.kind == "buttress" and load.kind != "earthquake"):
                    continue
                assert same_load(theirs[k].tolist(), want, angle.weight, 0.4), (job.id, load.id, k)
    assert kinds == {"wind", "earthquake", "snow", "rain", "worker"}
    assert {"three-d-forms-out-wind", "three-d-forms-out-worker"} <= {job.id for job in _asked(dome)}


def test_wind_on_one_face_by_hand() -> None:
    """Blowing east onto the west: a block in the lee at the east with suction -0.5, and one to windward."""
    load = Load("wind", math.pi / 2, 0.6, lee=-0.5, inside=0.2)
    slope = math.atan2(0.1, 0.2)
    face = math.hypot(0.2, 0.1) * 0.2 * 1.4
    up = math.sin(slope) ** 2
    share = math.sin(0.1) / 0.1
    for middle, wall in ((math.pi / 2, -0.5), (-math.pi / 2, 0.8), (0.0, -0.6)):
        found = load_on(load, RING, replace(EAST, middle=middle))
        assert found is not None
        push = 0.6 * (wall * (1 - up) - 1.2 * up - 0.2) * face
        level = -push * math.cos(slope) * share
        want = (level * math.sin(middle), level * math.cos(middle), -push * math.sin(slope))
        assert found[0] == pytest.approx(want)
    assert load_on(replace(load, ground=0.4), RING, EAST) == ((0.0,) * 3, (0.0,) * 3)


def test_wind_even_to_25_degrees_by_hand() -> None:
    """The slope of the face is atan(0.1/0.2) = 26.565 deg, sin^2 = 0.2: a' = (0.2 - 0.178606)/0.821394 = 0.026046, so
    0.8 - 2 a' = 0.747908 to windward in place of 0.8 - 2 x 0.2 = 0.4; to the lee and on the flank nothing changes."""
    even = Load("wind", math.pi / 2, 0.6, lee=-0.5, inside=-0.3, even_to=math.radians(25.0))
    face = math.hypot(0.2, 0.1) * 0.2 * 1.4
    for middle, pressed in ((-math.pi / 2, 0.747908 + 0.3), (math.pi / 2, -0.64 + 0.3), (0.0, -0.72 + 0.3)):
        found = load_on(even, RING, replace(EAST, middle=middle))
        assert found is not None
        assert -found[0][2] == pytest.approx(0.6 * pressed * face * math.sqrt(0.2), rel=1e-6)


def test_an_earthquake_shakes_the_weight_there_is() -> None:
    """A dome counted at 0.9 of its weight weighs 1/0.9 of that: 10 % of 5 kN/0.9 sideways, and 3 % of it up."""
    load = Load("earthquake", 0.0, 0.1, vertical=0.03, own=(1.0, 1 / 0.9), permanent=0.9)
    assert load.shaken(1, sector=True) == load.shaken(0, sector=False) == 1 / 0.9 and load.shaken(0, sector=True) == 1.0
    found = load_on(load, RING, replace(EAST, weight=5.0 * load.shaken(1, sector=True)))
    assert found is not None and found[0] == pytest.approx((0.0, 0.5 / 0.9, 0.15 / 0.9))


def test_wind_beside_snow_is_its_share_of_it_towards_the_same_bearing() -> None:
    snow = Load("snow", math.pi / 2, added=((0.0, 0.0), (2.0, 2.4)))
    wind = Load("wind", 0.0, 0.6, lee=-0.5, inside=0.2, even_to=0.4)
    both, alone = load_on(replace(snow, beside=wind, share=0.3125), RING, EAST), load_on(snow, RING, EAST)
    gust = load_on(replace(wind, bearing=math.pi / 2), RING, EAST)
    assert both is not None and alone is not None and gust is not None
    for got, one, other in zip(both, alone, gust, strict=True):
        assert got == pytest.approx([a + 0.3125 * b for a, b in zip(one, other, strict=True)])
    bare = load_on(replace(snow, beside=wind, share=0.3125), RING, replace(EAST, middle=-math.pi / 2))
    assert bare is not None and bare[0][0] > 0.0  # no snow there, but the wind that presses on it
    face = 0.6 * 0.2 * 0.2 * 1.4
    nothing, on_both = ((0.0,) * 3, (0.0,) * 3), replace(snow, beside=wind, share=0.5)
    assert about_the_load((0.19 * face, 0.0, 0.0), nothing, on_both, RING, EAST)
    assert not about_the_load((0.21 * face, 0.0, 0.0), nothing, on_both, RING, EAST)


@pytest.mark.parametrize("set_name", ["EN 1990", "ASCE 7 allowable"])
def test_the_loads_of_every_row_block_by_block(set_name: str) -> None:
    """What the problem of a row puts on its blocks beside what the checker derives: weights, wind and snow together."""
    base = _design()
    design = replace(base, openings=(), criteria=replace(base.criteria, set_name=set_name))
    dome, seen = build_dome(design), set()
    for plain in _asked(dome):
        job = joint_job(design, plain)
        assert job is not None
        question = Question(dome, job, (9,), 1.0)
        for load, row in {row.name: (load, row) for load, row in job.asked()}.values():
            (layout,) = question.layouts
            places = _places(dome, layout, plain)
            problem, mine = question.problem(layout, Asked(load, row)), pushed(dome, job, load, row)
            layers = wall_of(dome, job, row, load).layers
            for k, block in enumerate(layout.blocks):
                course, angle = places[k]
                weight, centre = -float(problem.dead[k, 2]), problem.centre[k].tolist()
                sector = block.kind == "wall"
                if sector:
                    assert weight == pytest.approx(layers[block.course].weight * 2 * angle.half)
                counted = weight * mine.shaken(block.course, sector=sector)
                want = load_on(mine, course, Angle(angle.middle, angle.half, tuple(centre), counted))
                if want is None or (not sector and load.kind != "earthquake"):
                    continue
                got = (problem.live[k] / row.load).tolist()
                assert same_load(got, want, weight, 0.4), (job.id, load.id, row.name, k)
            seen.add((load.kind, row.snow > 0, row.wind > 0))
    assert {("wind", True, False), ("earthquake", True, False), ("snow", False, True), ("snow", False, False)} <= seen


def test_half_a_load_by_hand() -> None:
    load = Load("snow", math.pi / 2, added=((0.0, 0.0), (2.0, 2.4)))
    found = load_on(load, RING, EAST)
    assert found is not None
    radius = 1.2 * math.sin(0.1) / 0.1
    assert found[0] == pytest.approx((0.0, 0.0, -0.4))
    assert found[1] == pytest.approx((0.0, (radius - 1.2) * 0.4, 0.0))  # x = radius - 1.2 east of the centre
    assert load_on(load, RING, replace(EAST, middle=-math.pi / 2)) == ((0.0,) * 3, (0.0,) * 3)
    assert load_on(load, RING, replace(EAST, middle=0.0)) is None  # on the very edge
    assert load_on(load, replace(RING, index=0), EAST) == ((0.0,) * 3, (0.0,) * 3)


def test_a_worker_stands_on_the_top_ring_alone_and_over_his_place() -> None:
    load, top = Load("worker", 0.3, 1.5), replace(RING, above=None)
    assert load_on(load, RING, EAST) == ((0.0,) * 3, (0.0,) * 3)
    total, each = 0.0, []
    for k in range(12):
        found = load_on(load, top, Angle(2 * math.pi * k / 12, math.pi / 12, (0.0, 0.0, 0.0), 5.0))
        assert found is not None
        total += found[0][2]
        each.append(found[0][2])
    assert total == pytest.approx(-1.5)
    # 0.6 m on a ring of 1.2 m: half a radian about 0.3, on the first three blocks
    assert [k for k, force in enumerate(each) if force] == [0, 1]
    assert each[1] < each[0] < 0


@pytest.mark.parametrize(("off", "ok"), [(0.0, True), (9e-7, True), (3e-6, False), (-3e-6, False)])
def test_a_millionth_is_the_room_that_a_load_has(off: float, ok: bool) -> None:
    want = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    for place in (0, 1, 2, 3, 4, 5):
        got = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0]
        got[place] += off
        assert same_load(got, want, 1.0, 0.4) is ok


def test_a_bag_has_about_its_load_and_not_none() -> None:
    load = Load("snow", 0.0)
    want = ((0.0, 0.0, -1.0), (0.0, 0.0, 0.0))
    for share, ok in (
        (1.0, True),
        (0.41, True),
        (0.39, False),
        (0.0, False),
        (1.59, True),
        (1.61, False),
        (-1.0, False),
    ):
        assert about_the_load((0.0, 0.0, -share), want, load, RING, EAST) is ok
    face = 0.6 * 0.2 * 0.2 * 1.4
    wind, none = Load("wind", 0.0, 0.6), ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    assert about_the_load((0.39 * face, 0.0, 0.0), none, wind, RING, EAST)
    assert not about_the_load((0.41 * face, 0.0, 0.0), none, wind, RING, EAST)


def test_a_worker_over_each_head_that_is_closed_and_no_other(dome: Dome) -> None:
    job = next(job for job in jobs(dome) if job.id == "three-d-forms-out-worker")
    assert forms_out(dome).keys() == {0}
    assert [load.bearing for load in job.loads] == [0.3]
    two = replace(dome.design, openings=(DOOR, replace(DOOR, kind="window", bearing=3.0)))
    assert [load.id for load in workers(two, (0, 1))] == ["worker-017", "worker-172"]
    assert workers(replace(two, building=replace(two.building, worker=0.0)), (0,)) == ()
    assert {load.vertical for load in side_loads(two, 0.0) if load.kind == "earthquake"} == {0.03, -0.03}
