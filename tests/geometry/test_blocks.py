"""Blocks and the rings of bags over heads against geometry done by hand."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from samples import classroom

from shellcheck_earth.design.design import Buttress, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.heads import Bag, head_ring, lintel_course
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.geometry.openings import course_cuts

DOOR = Opening("door", 0.0, 0.0, 0.9, 1.9, "round")
POINTED = Opening("window", math.radians(120), 0.8, 0.6, 0.9, "pointed")
LINTEL = Opening("window", math.radians(240), 0.9, 0.6, 0.6, "lintel")


def around(layout: Layout, course: int, kinds: tuple[str, ...]) -> float:
    return sum(b.end - b.start for b in layout.blocks if b.course == course and b.kind in kinds)


def stack_of(*openings: Opening) -> tuple[Dome, Layout]:
    design = classroom(openings=openings)
    stack = build_dome(design)
    return stack, cut_blocks(stack, 12)


def test_a_whole_dome_is_cut_in_line() -> None:
    stack, layout = stack_of()
    assert Counter(block.course for block in layout.blocks) == dict.fromkeys(range(len(stack.courses)), 12)
    starts = {round(block.start, 9) for block in layout.blocks}
    assert starts == {round(2 * math.pi * k / 12, 9) for k in range(12)}
    for course in range(len(stack.courses)):
        beds = [bed for bed in layout.beds if layout.blocks[bed.upper].course == course]
        assert sum(bed.end - bed.start for bed in beds) == pytest.approx(2 * math.pi)
    joints = Counter(face.course for face in layout.faces)
    assert joints == dict.fromkeys(range(1, len(stack.courses)), 12)  # the lowest ring is not closed against itself


def test_wall_and_openings_fill_every_ring() -> None:
    design = classroom(openings=(DOOR, POINTED, LINTEL))
    stack = build_dome(design)
    layout = cut_blocks(stack, 12)
    heads = {k: head_ring(stack, o, len(stack.courses)) for k, o in enumerate(design.openings)}
    for number, course in enumerate(stack.courses):
        open_angle = 0.0
        for index, (start, end) in course_cuts(stack, course):
            head = heads[index]
            if head is None or number not in head.outline:
                open_angle += end - start
        open_angle += sum(
            2 * h.outline[number] / course.inner_radius for h in heads.values() if h and number in h.outline
        )
        assert around(layout, number, ("wall", "lintel")) + open_angle == pytest.approx(2 * math.pi), number
    assert layout.stepped == ()


def test_no_block_beside_an_opening_is_a_sliver() -> None:
    _, layout = stack_of(DOOR, POINTED, LINTEL)
    step = 2 * math.pi / 12
    assert min(b.end - b.start for b in layout.blocks if b.kind == "wall") >= 0.3 * step


@pytest.mark.parametrize("opening", [DOOR, POINTED])
def test_joints_of_a_head_point_at_its_centres(opening: Opening) -> None:
    stack = build_dome(classroom())
    head = head_ring(stack, opening, len(stack.courses))
    assert head is not None
    first = min(bag.course for bag in head.bags)
    springing = stack.courses[first].z_bottom
    offset = 0.0 if opening.head == "round" else opening.width / 2
    inside = opening.width / 2 + offset
    for what, _, side, near, far in head.joints:
        if what != "below":
            continue
        centre = (-side * offset, springing)
        # The outer end lies on the outside of the ring; both ends lie on one ray from the centre of that side's arc.
        assert math.dist(centre, far) == pytest.approx(inside + 0.25)
        across = (near[0] - centre[0]) * (far[1] - centre[1]) - (near[1] - centre[1]) * (far[0] - centre[0])
        assert across == pytest.approx(0.0, abs=1e-12)
        assert side * near[0] >= 0.0 and math.dist(centre, near) >= inside - 1e-12
    assert {(bag.course, bag.side) for bag in head.bags} == {(k, s) for k in head.outline for s in (-1, 1)}


def test_a_head_is_the_same_on_both_sides_and_lies_within_its_courses() -> None:
    stack = build_dome(classroom())
    head = head_ring(stack, DOOR, len(stack.courses))
    assert head is not None
    by_place = {(bag.course, bag.side): bag for bag in head.bags}
    for (course, side), bag in by_place.items():
        twin = by_place[course, -side]
        assert bag.area == pytest.approx(twin.area) and bag.area > 0
        assert bag.centroid == pytest.approx((-twin.centroid[0], twin.centroid[1]))
        assert max(z for _, z in bag.corners) <= stack.courses[course].z_top + 1e-9


def test_area_and_centroid_of_a_bag_by_hand() -> None:
    # A 2 x 1 rectangle with a triangle of the same base and height 3 on top: areas 2 and 3, centroids 0.5 and 2.
    bag = Bag(0, 1, ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (1.0, 4.0), (0.0, 1.0)))
    assert bag.area == pytest.approx(5.0)
    assert bag.centroid == pytest.approx((1.0, (2 * 0.5 + 3 * 2.0) / 5))


def test_heads_need_courses_over_them() -> None:
    stack = build_dome(classroom())
    whole = len(stack.courses)
    head = head_ring(stack, DOOR, whole)
    assert head is not None
    closing = max(head.outline)
    assert head_ring(stack, DOOR, closing) is None  # the course that closes it is not laid yet
    beam = lintel_course(stack, LINTEL, whole)
    assert beam is not None
    # First bed at or above the top of the opening (0.9 + 0.6 m above the floor, which is the springing here).
    assert stack.courses[beam].z_bottom >= 1.5 > stack.courses[beam - 1].z_bottom
    assert lintel_course(stack, LINTEL, beam) is None


def test_a_lintel_spans_its_opening_with_a_bearing_on_either_side() -> None:
    stack, layout = stack_of(LINTEL)
    (beam,) = (block for block in layout.blocks if block.kind == "lintel")
    course = stack.courses[beam.course]
    assert (beam.end - beam.start) * course.inner_radius == pytest.approx(0.6 + 2 * 0.2)  # the least that is built
    below = [bed for bed in layout.beds if layout.blocks[bed.upper] is beam]
    assert len(below) >= 2 and all(layout.blocks[bed.lower].course == beam.course - 1 for bed in below)


def test_courses_of_a_buttress_stand_on_each_other_and_touch_the_wall() -> None:
    design = classroom(buttresses=(Buttress(math.radians(90), 0.6, 0.45, 0.6),))
    stack = build_dome(design)
    layout = cut_blocks(stack, 12)
    blocks = [k for k, block in enumerate(layout.blocks) if block.kind == "buttress"]
    # From the base of the wall (two buried courses) up to 0.6 m above the ground, whole courses only.
    expected = sum(course.z_top <= stack.ground + 0.6 + 1e-9 for course in stack.courses)
    assert len(blocks) == expected
    beds = [face for face in layout.faces if face.kind == "buttress bed"]
    assert [face.lower for face in beds] == [-1, *blocks[:-1]]
    for k in blocks:
        touching = [face for face in layout.faces if face.kind == "buttress" and face.upper == k]
        wide = sum(math.dist(face.edge1[0], face.edge1[1]) for face in touching)
        assert wide == pytest.approx(0.45, abs=0.02)  # overlaps under 1 cm are left out
