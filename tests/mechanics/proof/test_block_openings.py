"""What an opening takes out of every course, as the checker rebuilds it: by hand, and the blocks of the program."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import replace

import pytest

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.mechanics.blocks.weights import block_weights
from shellcheck_earth.mechanics.proof.block_openings import Opening, Ring
from validation.second_block_programme import as_case, as_design
from validation.second_blocks import Hole, Small

WALL = tuple(Ring(0.2 * k, 0.2 * (k + 1), 2.0) for k in range(10))


def hole(head: str, width: float = 0.8, height: float = 1.0, sill: float = 0.0, depth: float = 0.25) -> Opening:
    return Opening(0.0, sill, sill + height, width, height, head, 0.0, depth, 0.2)


def test_a_lintel_by_hand() -> None:
    """0.8 m wide and 1 m high: five courses are cut by asin(0.4 / 2), none carries bags."""
    takes = hole("lintel").cuts_and_bags(WALL)
    assert takes[:5] == [pytest.approx((math.asin(0.2), 0.0))] * 5
    assert takes[5:] == [(0.0, 0.0)] * 5
    assert hole("lintel").arch(WALL) is None


def test_a_round_head_by_hand() -> None:
    """Springing at 0.6 m, radii 0.4 and 0.65 m: its bags lie in the courses from 0.6 m up to that from 1.0 m, which the
    outside, at 1.25 m, passes by more than 0.35 of its height; it also reaches 0.05 m into the one from 1.2 m."""
    opening = hole("round")
    arch = opening.arch(WALL)
    assert arch is not None
    assert (arch.off, arch.inside, arch.outside, arch.spring, arch.first, arch.last) == pytest.approx(
        (0.0, 0.4, 0.65, 0.6, 3, 5)
    )
    takes = opening.cuts_and_bags(WALL)
    assert takes[:3] == [pytest.approx((math.asin(0.2), 0.0))] * 3
    outer = [math.sqrt(0.65**2 - up**2) for up in (0.0, 0.2, 0.4)]
    assert takes[3][0] == pytest.approx((outer[0] + outer[1]) / 2 / 2.0)
    assert takes[5][0] == pytest.approx(outer[2] / 2.0)
    # The first bag: from the level joint 0.4 to 0.65 m to the one whose outer end is 0.2 m up; by the shoelace.
    share = 0.4 / 0.65
    a, b, c, d = (0.4, 0.0), (0.65, 0.0), (outer[1], 0.2), (outer[1] * share, 0.2 * share)
    area = sum(p[0] * q[1] - q[0] * p[1] for p, q in ((a, b), (b, c), (c, d), (d, a))) / 2
    assert takes[3][1] == pytest.approx(2 * area)
    assert takes[6:] == [(0.0, 0.0)] * 4


def test_all_bags_of_a_head_fill_what_lies_between_its_arch_and_its_course() -> None:
    """Thin courses: the bags of a round head are half its ring, and what lies over it under the top of the last."""
    rings = tuple(Ring(0.01 * k, 0.01 * (k + 1), 2.0) for k in range(200))
    opening = hole("round")
    arch, takes = opening.arch(rings), opening.cuts_and_bags(rings)
    assert arch is not None
    ring = math.pi / 2 * (0.65**2 - 0.4**2)
    over = 2 * takes[arch.last][0] * 2.0 * (rings[arch.last].top - 1.25)  # beside the outside, at most
    assert sum(area for _, area in takes) == pytest.approx(ring, abs=abs(over) + 2e-3)


def test_a_head_that_finds_no_room_is_stepped() -> None:
    """Its ring would close in the last course: then its courses are cut at their widest, and there are no bags."""
    low = WALL[:6]
    assert hole("round").arch(low) is None
    assert hole("round").cuts_and_bags(low)[3] == pytest.approx((math.asin(0.2), 0.0))
    assert hole("round").arch(WALL[:7]) is not None
    assert hole("round", height=3.0).arch(WALL) is None


def _domes(count: int) -> Iterator[Dome]:
    chance, made = random.Random(11), 0
    while made < count:
        diameter = chance.choice((2.0, 3.2, 5.0))
        opening = Hole(
            chance.uniform(0, 6), chance.choice((0.0, 0.7)), chance.uniform(0.3, 0.4 * diameter),
            chance.uniform(0.4, 2.0), chance.choice(("round", "pointed", "lintel")),
        )  # fmt: skip
        small = Small(diameter, 0.4, chance.uniform(0.1, 0.25), 0.7, (opening,), chance.choice((0.3, 0.9)))
        try:
            design = as_design(small)
            depth = chance.choice((0.1, 0.25, 0.5, 0.8))
            dome = build_dome(replace(design, openings=(replace(design.openings[0], head_depth=depth),)))
            check_openings(dome)
        except (InputError, UnbuildableError):
            continue
        made += 1
        yield dome


def test_every_course_of_the_program_weighs_what_the_checker_says() -> None:
    """Bare domes with one opening of any size: cut by cut and bag by bag."""
    arched = 0
    for dome in _domes(60):
        case, opening = as_case(dome.design), dome.design.openings[0]
        layout = cut_blocks(dome, 12, len(case.states))
        weights = [0.0] * len(dome.courses)
        for block, weight in zip(layout.blocks, block_weights(dome, case, layout)[1], strict=True):
            weights[block.course] += float(weight)
        sill = dome.floor + opening.sill
        mine = Opening(
            opening.bearing, sill, sill + opening.height, opening.width, opening.height, opening.head, 0.0,
            opening.head_depth, opening.lintel_bearing,
        )  # fmt: skip
        rings = [Ring(c.z_bottom, c.z_top, c.inner_radius) for c in dome.courses]
        for k, (cut, bags) in enumerate(mine.cuts_and_bags(rings)):
            whole, course = case.states[k].weight, dome.courses[k]
            left = 2 * math.pi - 2 * cut + bags / course.inner_radius / course.height
            assert weights[k] == pytest.approx(whole * left, rel=1e-9)
        arched += mine.arch(rings) is not None
    assert 10 < arched < 60
