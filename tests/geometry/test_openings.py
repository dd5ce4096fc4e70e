"""Openings and buttresses: geometry by hand, refusals with the number that works, advice of the trade."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import classroom

from shellcheck_earth.basics.errors import UnbuildableError
from shellcheck_earth.design.design import Buttress, Design, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import Advice, check_openings, course_cuts, half_width, opening_advice

DOOR = Opening("door", 0.0, 0.0, 0.8, 1.9, "pointed")


def _window(degrees: float, **changes: float) -> Opening:
    parts = {"sill": 0.9, "width": 0.6, "height": 0.9} | changes
    return Opening("window", math.radians(degrees), parts["sill"], parts["width"], parts["height"], "round")


def _refusal(design: Design) -> str:
    with pytest.raises(UnbuildableError) as caught:
        check_openings(build_dome(design))
    return str(caught.value)


def test_heads_by_hand() -> None:
    stack = build_dome(classroom())
    round_head = Opening("window", 0.0, 1.0, 0.6, 0.9, "round")
    assert half_width(stack, round_head, 1.2) == pytest.approx(0.3)
    # Centre 0.3 below the top at 1.9; at 0.18 above it sqrt(0.09 - 0.0324) = 0.24.
    assert half_width(stack, round_head, 1.6 + 0.18) == pytest.approx(0.24)
    assert half_width(stack, round_head, 1.91) == 0.0
    # Pointed: arcs of radius w about the opposite side; at the springing w/2, at the top nothing.
    top = DOOR.height
    assert half_width(stack, DOOR, top - 0.8 * math.sqrt(3) / 2) == pytest.approx(0.4)
    assert half_width(stack, DOOR, top) == pytest.approx(0.0, abs=1e-6)


def test_a_good_set_is_accepted_and_cuts_the_courses_it_should() -> None:
    design = classroom(openings=(DOOR, _window(120), _window(240)))
    stack = build_dome(design)
    check_openings(stack)
    for course in stack.courses:
        cut = dict(course_cuts(stack, course))
        assert (0 in cut) == (course.z_top > 1e-6 and course.z_bottom < 1.9 - 1e-6)
        if 0 in cut and course.z_top < 1.0:
            angle = cut[0][1] - cut[0][0]
            assert 2 * course.inner_radius * math.sin(angle / 2) == pytest.approx(0.8)


@pytest.mark.parametrize(
    ("openings", "path", "said"),
    [
        ((DOOR, _window(8)), "opening[2].bearing", "overlap"),
        ((DOOR, _window(26)), "opening[2].bearing", "lies in what carries the other"),
        ((DOOR, replace(_window(33.0), sill=0.1, height=0.6)), "opening[2].bearing", "is no jamb"),
        ((Opening("door", 0.0, 0.0, 0.8, 9.0, "round"),), "opening[1].height", "lower than the dome"),
        ((Opening("vent", 0.0, 0.0, 0.3, 3.2, "round"),), "opening[1].height", "cuts the crown"),
        ((Opening("window", 0.0, 2.6, 2.0, 0.5, "lintel"),), "opening[1].width", "cuts the crown"),
    ],
)
def test_refusals_name_the_place(openings: tuple[Opening, ...], path: str, said: str) -> None:
    text = _refusal(classroom(openings=openings))
    assert path in text
    assert said in text


def test_the_number_that_a_refusal_names_works() -> None:
    text = _refusal(classroom(openings=(DOOR, _window(8))))
    least = float(text.split("at least ")[1].split(" deg")[0])
    good = classroom(openings=(DOOR, _window(least)))
    check_openings(build_dome(good))
    _refusal(classroom(openings=(DOOR, _window(least - 0.3))))


LINTEL = Opening("window", 0.0, 0.9, 0.5, 0.5, "lintel")


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (LINTEL, replace(LINTEL, bearing=math.radians(35.0))),  # their lintels lie half a metre in each other
        (replace(LINTEL, head="round"), replace(LINTEL, head="round", bearing=math.radians(22.0))),  # rings of bags
        (LINTEL, Opening("vent", 0.0, 1.5, 0.2, 0.2, "round")),  # a vent in the lintel below it
        (LINTEL, Opening("vent", math.radians(14.0), 1.5, 0.15, 0.15, "lintel")),
        (replace(LINTEL, head="pointed"), Opening("vent", 0.0, 1.5, 0.2, 0.2, "round")),
        (DOOR, Opening("vent", 0.0, 2.0, 0.2, 0.15, "round")),
    ],
)
def test_what_carries_an_opening_needs_its_place_too(first: Opening, second: Opening) -> None:
    text = _refusal(classroom(openings=(first, second)))
    assert "opening[2].bearing" in text
    least = float(text.split("at least ")[1].split(" deg")[0])
    turned = replace(second, bearing=first.bearing + math.radians(least))
    check_openings(build_dome(classroom(openings=(first, turned))))
    _refusal(classroom(openings=(first, replace(second, bearing=first.bearing + math.radians(least - 0.3)))))
    if "or a sill of" in text:
        sill = float(text.split("or a sill of ")[1].split("at least ")[1].split(" m")[0])
        check_openings(build_dome(classroom(openings=(first, replace(second, sill=sill)))))


def test_a_layout_has_no_place_twice() -> None:
    """Angles of the blocks of a course never sum to more than a ring, for openings as near as they may be."""
    near = replace(LINTEL, bearing=math.radians(40.0))
    dome = build_dome(classroom(openings=(LINTEL, near)))
    least = float(_refusal(dome.design).split("at least ")[1].split(" deg")[0]) if _refused(dome) else 40.0
    fits = build_dome(classroom(openings=(LINTEL, replace(near, bearing=math.radians(least)))))
    layout = cut_blocks(fits, 24)
    for number in range(len(fits.courses)):
        angles = [b.end - b.start for b in layout.blocks if b.course == number and b.kind in ("wall", "lintel")]
        assert sum(angles) <= 2 * math.pi + 1e-9
        assert min(angles) > 0.0


def _refused(dome: Dome) -> bool:
    try:
        check_openings(dome)
    except UnbuildableError:
        return True
    return False


def test_a_buttress_in_a_doorway_is_refused() -> None:
    text = _refusal(classroom(openings=(DOOR,), buttresses=(Buttress(math.radians(10), 0.6, 0.6, 1.0),)))
    assert "buttress[0].bearing" in text
    assert "doorway" in text
    fine = classroom(openings=(DOOR,), buttresses=(Buttress(math.radians(90), 0.6, 0.6, 1.0),))
    check_openings(build_dome(fine))


def test_advice_of_the_trade() -> None:
    quiet = classroom(openings=(DOOR, _window(120), _window(240)))
    assert opening_advice(build_dome(quiet)) == ()
    facing = classroom(openings=(DOOR, _window(180)))
    assert any(one.kind == "opposite" for one in opening_advice(build_dome(facing)))
    wide = classroom(openings=(_window(0, width=0.9),))
    assert opening_advice(build_dome(wide)) == (Advice("wide", (0,), 0.9, 0.8),)
    near = classroom(openings=(DOOR, _window(45)))
    assert [one.kind for one in opening_advice(build_dome(near))] in (["jamb"], ["spacing"])


def test_blocks_of_a_dome_with_a_door_leave_the_door_open_and_close_the_ring_above() -> None:
    design = classroom(openings=(DOOR,))
    stack = build_dome(design)
    layout = cut_blocks(stack, 24)
    assert layout.stepped == ()
    closed = {block.course for block in layout.blocks if block.closed}
    for index, course in enumerate(stack.courses):
        if 0.0 <= course.z_bottom < 1.7:
            assert index not in closed
        if course.z_bottom > 2.4:
            assert index in closed
    sides = [block.volume for block in layout.blocks if block.kind == "head"]
    assert len(sides) >= 6
    assert len(sides) % 2 == 0
    # Every bag of the head stands on something: it is the upper one of a face of its own.
    resting = {face.upper for face in layout.faces if face.kind == "head"}
    assert {k for k, block in enumerate(layout.blocks) if block.kind == "head"} <= resting
