"""The working of a bed: the state that is shown with it, and what it is divided by; two courses by hand.

See tests/mechanics/rings/test_two_courses_by_hand.py for the dome: C >= 5 kN of ring at its top, up to its friction.
"""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from samples import classroom
from two_courses import two

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.combinations import combinations
from shellcheck_earth.loads.course_state import HandedIn
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import working
from shellcheck_earth.safety.bed_weights import carried_by
from shellcheck_earth.safety.margins import case_margins
from shellcheck_earth.safety.result import Margin
from shellcheck_earth.safety.working import workings


def margin(check: str, factor: float | None, **more: Any) -> Margin:
    return Margin(check, 1.0, 0.5, "", factor, 1.5, True, 2, "stated", **more)


def test_a_line_check_shows_the_middlemost_state_at_its_edge() -> None:
    """Friction 1.0 over 2: 0.5 just holds the 5 kN, with K = 2 at the ring's top."""
    line, divided, scales = working._edge(two(1.0), margin("bed friction", 2.0))
    assert line is not None and divided == pytest.approx(2.0, rel=2e-7) and divided < 2.0
    assert scales.friction == pytest.approx(0.5, rel=2e-7) and (scales.strength, scales.wire) == (1.0, 1.0)
    assert (line.H[0], line.ring[0], line.ring_moment[0]) == pytest.approx((5.0, 5.0, 2.0), rel=1e-6)
    beyond, _, _ = working._edge(two(1.0), margin("bed friction", 2.001))
    assert beyond is None
    nothing, one, plain = working._edge(two(1.0), margin("bed friction", None))
    assert nothing is None and one == 1.0 and plain.friction == 1.0


@pytest.mark.parametrize(("check", "thrust"), [("base sliding", 5.0), ("ground bearing", 7.5)])
def test_the_ground_s_checks_show_the_least_and_the_middlemost_line_as_it_is(check: str, thrust: float) -> None:
    line, divided, scales = working._edge(two(1.0), margin(check, 2.0))
    assert line is not None and line.H[-1] == pytest.approx(thrust, abs=2e-5)
    assert divided == 1.0 and scales.friction == 1.0


def test_every_course_down_to_the_bed_with_its_forces() -> None:
    lune = replace(two(1.0, wire=2.0), push=np.array([1.0, 0.0]), moment=np.array([9.3, 12.0]))
    line, _, _ = working._edge(lune, margin("base sliding", 2.0))
    assert line is not None
    top, low = working._above(lune, line, 1)
    assert (top.number, top.z, top.weight, top.moment, top.push) == (2, 0.2, 10.0, 9.3, 1.0)
    assert (low.number, low.z, low.weight, low.moment, low.push) == (1, 0.0, 10.0, 12.0, 0.0)
    assert (top.ring, top.ring_moment, top.wire) == pytest.approx((4.5, 1.8, 2.0), abs=2e-5)
    assert (low.ring, low.ring_moment, low.wire) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)
    (only,) = working._above(lune, line, 0)
    assert only == top
    bare = working._above(lune, None, 1)
    assert [(one.ring, one.ring_moment, one.wire) for one in bare] == [(0.0, 0.0, 0.0)] * 2
    assert [one.weight for one in bare] == [10.0, 10.0]


def test_what_is_handed_in_counts_more_where_it_works_against_the_dome() -> None:
    state: Any = SimpleNamespace(
        handed=(
            HandedIn(2.0, 0.0, 1.1, 0.3),
            HandedIn(3.0, 0.5, 1.2, 0.4, weight_helps=True, thrust_helps=True),
            HandedIn(0.0, 0.7, 1.3, 0.5, weight_helps=True),
            HandedIn(1.0, -4.0, 1.4, 0.6, thrust_helps=True, at_most=1.6),
        )
    )
    weights, thrusts = carried_by(state, 1.35, 0.9)
    assert weights == ((2.0, 1.35, 1.1), (3.0, 0.9, 1.2), (1.0, 1.6, 1.4))
    assert thrusts == ((0.5, 0.9, 0.4), (0.7, 1.35, 0.5), (-4.0, 0.9, 0.6))


SMALL = replace(
    classroom(), dome=replace(classroom().dome, inside_diameter=2.0), wall=replace(classroom().wall, course_height=0.2)
)


@pytest.mark.parametrize("set_name", ["common practice", "EN 1990"])
def test_each_governing_margin_has_the_numbers_of_its_bed(set_name: str) -> None:
    model = build_model(replace(SMALL, criteria=replace(SMALL.criteria, set_name=set_name)))
    dome, case = model.dome, model.case("finished-damp")
    lune = cut_lune(dome, case)
    asked = [(case, lune, one) for one in case_margins(dome, case, lune, base_state(lune.rows))]
    found = workings(dome, asked)
    shown = [one for _, _, one in asked if one.course is not None and one.why != "nothing needed"]
    assert [one.check for one in found] == [one.check for one in shown] and len(found) >= 4
    for mine, its in zip(found, shown, strict=True):
        number = its.course
        row = next((row for row in combinations(dome.design.criteria) if row.name == its.combination), None)
        times, divides = (1.0, 1.0) if row is None else (row.permanent, row.friction)
        assert number is not None and mine.number == number and mine.case_title == case.title
        assert (mine.available, mine.needed, mine.factor, mine.required) == (
            its.available, its.needed, its.factor, its.required
        )  # fmt: skip
        k = next(i for i, course in enumerate(dome.courses) if course.number == number)
        course = dome.courses[k]
        assert (mine.inner_radius, mine.width, mine.z_mid) == (course.inner_radius, course.width, course.z_mid)
        assert mine.inner_below == dome.courses[max(k - 1, 0)].inner_radius
        assert [one.number for one in mine.above] == [course.number for course in dome.courses[k:]][::-1]
        bed = lune.size - 1 - k
        assert mine.friction == pytest.approx(lune.friction[bed] / divides) and mine.wet_from == lune.wet_from[bed]
        assert mine.stands and mine.edge_rounding == 0.03
        # What stands above it, factored, is what the parts and loads of the course say: weight of a radian.
        for one, said in zip(mine.above, mine.weighed, strict=True):
            weight = sum(g * share * h * (q * q - p * p) / 2 for _, g, share, h, p, q in said.parts)
            weight += sum(force * share for force, share, _ in said.loads)
            assert one.weight == pytest.approx(weight, rel=1e-9) and one.number == said.number
            assert {share for _, _, share, *_ in said.parts} == {times}
        assert mine.combination == its.combination and mine.wet is None
        line = mine.check not in ("base sliding", "ground bearing")
        assert mine.divided == (pytest.approx(its.factor, rel=2e-7) if line else 1.0)
        assert mine.divides_friction == (mine.check in ("bed friction", "overall reserve", "combined factors"))
        assert mine.divides_strength == (mine.check in ("strength", "overall reserve", "combined factors"))
        assert mine.divides_width == (mine.check == "overall reserve")
        site = dome.design.site
        ground = {"base sliding": site.ground_friction, "ground bearing": site.ground_bearing}
        assert mine.ground == ground.get(mine.check, 0.0) and case.wetting == "none"
        assert bool(mine.middlemost) == (mine.check == "bed friction")
        arc = course.kind == "arc"
        assert (mine.fixed_compass, mine.pivot_radius) == (
            (dome.fixed_compass, dome.pivot_radius) if arc else (None, None)
        )


def test_what_needs_nothing_or_has_no_bed_has_no_working() -> None:
    dome = build_dome(SMALL)
    case = build_model(SMALL).case("finished-dry")
    lune = cut_lune(dome, case)
    for one in (margin("bed friction", None, why="nothing needed"), replace(margin("strength", 2.0), course=None)):
        assert workings(dome, [(case, lune, one)]) == ()


def test_what_is_shown_is_multiplied_by_the_row_of_its_margin_and_by_nothing_without_one() -> None:
    """EN 1990, with snow at 1.5 beside 1.35; what is handed in counts at the most and the least of any row."""
    design = replace(SMALL, criteria=replace(SMALL.criteria, set_name="EN 1990"), site=replace(SMALL.site, snow=1.0))
    model = build_model(design)
    case, plain = model.case("finished-snow"), margin("strength", 2.0)
    row = replace(plain, combination="DA1-C1 snow")
    assert working._factors(model.dome, case, plain) == working._carried_factors(model.dome, plain) == (1.0, 1.0)
    assert working._factors(model.dome, case, row) == (1.35, 1.5)
    assert working._carried_factors(model.dome, row) == (1.35, 0.9)
