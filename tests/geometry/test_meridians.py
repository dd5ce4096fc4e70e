"""Where the rings are cut: turned and mirrored domes have the same blocks, finer cuts only add joints, all fits."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from samples import sturdy

from shellcheck_earth.design.design import Buttress, Design, Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.heads import head_ring
from shellcheck_earth.geometry.layout import Layout
from shellcheck_earth.geometry.meridians import COARSEST, meridians, pieces
from shellcheck_earth.geometry.openings import check_openings, course_cuts


def door(width: float, head: str, bearing: float = 0.0, height: float = 1.9) -> Opening:
    return Opening("door", bearing, 0.0, width, height, head)  # type: ignore[arg-type]


def window(width: float, head: str, bearing: float, sill: float = 1.0, height: float = 0.6) -> Opening:
    return Opening("window", bearing, sill, width, height, head)  # type: ignore[arg-type]


BUTTRESS = Buttress(0.55, 0.8, 0.5, 1.2)

DESIGNS: dict[str, tuple[float, tuple[Opening, ...], tuple[Buttress, ...]]] = {
    "narrow pointed door": (3.2, (door(0.7, "pointed"),), ()),
    "round door": (3.6, (door(0.9, "round"),), ()),
    "wide door with a lintel": (4.0, (door(1.4, "lintel"),), ()),
    "pointed door off north": (4.0, (door(1.0, "pointed", 0.3),), ()),
    "high window": (3.2, (window(0.6, "pointed", 0.0, 1.5),), ()),
    "low window": (3.6, (window(0.8, "round", 1.0, 0.6, 0.8),), ()),
    "vent near the crown": (3.6, (Opening("vent", 2.0, 2.2, 0.3, 0.25, "round"),), ()),
    "two windows near each other": (4.0, (window(0.6, "lintel", 1.0), window(0.6, "lintel", 2.1)), ()),
    "door and window": (3.6, (door(0.8, "pointed"), window(0.6, "lintel", 2.2)), ()),
    "door and two windows": (4.0, (door(0.9, "round"), window(0.6, "round", 2.0), window(0.5, "pointed", 4.1)), ()),
    "buttress beside a door": (3.6, (door(0.8, "pointed"),), (BUTTRESS,)),
    "buttress alone": (3.6, (), (BUTTRESS,)),
}
NAMES = sorted(DESIGNS)
TURNS = tuple(math.radians(turn) for turn in (5.0, 17.3, 45.0, 90.0, 123.4, 180.0, 271.0, 359.0))


def designed(name: str, turn: float = 0.0, side: int = 1) -> Design:
    """The design turned on plan by an angle [rad] and, with side -1, mirrored before."""
    diameter, openings, buttresses = DESIGNS[name]
    base = sturdy()
    return sturdy(
        dome=replace(base.dome, inside_diameter=diameter),
        openings=tuple(
            replace(one, bearing=math.remainder(side * one.bearing + turn, 2 * math.pi)) for one in openings
        ),
        buttresses=tuple(
            replace(one, bearing=math.remainder(side * one.bearing + turn, 2 * math.pi)) for one in buttresses
        ),
    )


def built(name: str, turn: float = 0.0, side: int = 1) -> Dome:
    dome = build_dome(designed(name, turn, side))
    check_openings(dome)
    return dome


@cache
def layout(name: str, cuts: int) -> Layout:
    return cut_blocks(built(name), cuts)


def drawn(layout: Layout, turn: float, side: int) -> tuple[list[tuple[object, ...]], list[tuple[float, ...]]]:
    """Blocks and beds as they lie once the dome is turned back, in an order of their own."""

    def span(start: float, end: float) -> tuple[float, float]:
        middle, half = side * ((start + end) / 2 - turn), (end - start) / 2
        # around the circle, away from where it closes
        return round(math.cos(middle), 7) + 0.0, round(math.sin(middle), 7) + 0.0, round(half, 7)  # type: ignore[return-value]

    blocks = [(b.course, b.kind, b.closed, *span(b.start, b.end), round(b.volume, 7)) for b in layout.blocks]
    beds = [(round(b.z, 7), round(b.inner, 7), round(b.outer, 7), *span(b.start, b.end)) for b in layout.beds]
    return sorted(blocks), sorted(beds)


def alike(first: Layout, second: Layout, turn: float, side: int) -> bool:
    one, other = drawn(first, 0.0, 1), drawn(second, turn, side)
    return all(
        len(a) == len(b)
        and all(
            x == pytest.approx(y, abs=3e-7) if isinstance(x, float) else x == y
            for row, again in zip(a, b, strict=True)
            for x, y in zip(row, again, strict=True)
        )
        for a, b in zip(one, other, strict=True)
    ) and len(first.faces) == len(second.faces)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("turn", TURNS, ids=lambda turn: f"{math.degrees(turn):g} deg")
def test_a_dome_turned_on_plan_has_the_same_blocks(name: str, turn: float) -> None:
    assert alike(layout(name, 18), cut_blocks(built(name, turn), 18), turn, 1)


@pytest.mark.parametrize("name", NAMES)
def test_a_mirrored_dome_has_mirrored_blocks(name: str) -> None:
    assert alike(layout(name, 36), cut_blocks(built(name, 0.4, -1), 36), 0.4, -1)


def joints(layout: Layout) -> list[set[float]]:
    """Where the blocks of every course begin and end."""
    out: list[set[float]] = [set() for _ in range(layout.courses)]
    for block in layout.blocks:
        if block.kind == "wall":
            out[block.course] |= {round(block.start % (2 * math.pi), 6), round(block.end % (2 * math.pi), 6)}
    return out


@pytest.mark.parametrize("name", NAMES)
def test_finer_cuts_keep_every_joint_of_the_coarser_ones(name: str) -> None:
    found = [joints(layout(name, cuts)) for cuts in (18, 36, 54, 72, 108, 144)]
    for finer in found[1:]:  # every one is a multiple of the coarsest
        assert all(a <= b for a, b in zip(found[0], finer, strict=True))
    for a, b in ((1, 3), (1, 4), (2, 4), (3, 5), (1, 5)):
        assert all(one <= other for one, other in zip(found[a], found[b], strict=True))


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("cuts", [18, 24, 36, 72])
def test_the_blocks_of_a_course_fill_it_once(name: str, cuts: int) -> None:
    dome, blocks = built(name), layout(name, cuts).blocks
    for number, course in enumerate(dome.courses):
        taken = dict(course_cuts(dome, course))
        gone = 0.0
        for index, opening in enumerate(dome.design.openings):
            head = head_ring(dome, opening, len(dome.courses))
            if head is not None and number in head.outline:
                gone += 2 * head.outline[number] / course.inner_radius
            elif index in taken:
                gone += taken[index][1] - taken[index][0]
        spans = sorted(
            (b.start % (2 * math.pi), b.end - b.start)
            for b in blocks
            if b.course == number and b.kind in ("wall", "lintel")
        )
        assert sum(length for _, length in spans) + gone == pytest.approx(2 * math.pi, abs=1e-9)
        ends = [start + length for start, length in spans]
        following = [start for start, _ in spans[1:]] + [spans[0][0] + 2 * math.pi]
        assert all(end <= start + 1e-9 for end, start in zip(ends, following, strict=True))  # none lies in another


def test_the_opening_itself_gives_the_meridians() -> None:
    dome = built("pointed door off north")
    lines = meridians(dome, COARSEST)
    assert any(abs(line - 0.3) < 1e-12 for line in lines)  # its centre line
    assert all(a < b for a, b in pairwise(lines))
    plain = meridians(build_dome(sturdy(openings=())), 24)
    assert plain == tuple(2 * math.pi * k / 24 for k in range(24))


def test_no_sliver_is_left_beside_a_jamb() -> None:
    lines = (0.1, 0.5, 1.0)
    step = 2 * math.pi / 12
    assert pieces(0.0, 1.2, lines, 12) == [(0.0, 0.5), (0.5, 1.0 if 0.4 * step <= 0.2 else 1.2)]
    assert pieces(0.45, 0.55, lines, 12) == [(0.45, 0.55)]
