"""The numbers of the teaching report against searches of their own: the linear programme, a plain scan, the exact set
at other values.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.parallel import Crew
from shellcheck_earth.design.design import Beds, Design
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.rings.admissible import Scales
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import is_admissible, needed_friction, widest_contact
from shellcheck_earth.safety.result import Margin
from shellcheck_earth.safety.shortfalls import meets_all
from shellcheck_earth.studies.explain.lesson import Teaching, teach
from shellcheck_earth.studies.explain.map import (
    cell_of,
    dome_map,
    dome_shape,
    least_meeting,
    other_shape,
    shaped,
    thumb_trials,
)
from shellcheck_earth.studies.explain.ways import Way, explained_cases, least_width, ways, weakened
from shellcheck_earth.views.text.explain.map import map_words, no_map_words
from shellcheck_earth.views.text.explain.section import section_words, short_words
from shellcheck_earth.views.text.explain.shape import shape_words
from shellcheck_earth.views.text.explain.thumb import thumb_words
from shellcheck_earth.views.text.explain.ways import mechanism_words, title, way_words
from shellcheck_earth.views.text.margins import margin_sentence
from shellcheck_earth.views.text.numbers import course_named

UNWIRED = Beds(0.45, 0.35, 0.0, 0, 4.2, 0.3)
"""Just enough friction for the finished dome, not for a crew on the top ring."""


def lune_of(design: Design, case_id: str = "finished-dry") -> Lune:
    stack = build_dome(design)
    return cut_lune(stack, next(case for case in dead_cases(stack) if case.id == case_id))


@pytest.fixture(scope="module")
def told() -> Teaching:
    return teach(classroom())


@pytest.fixture(scope="module")
def unwired() -> tuple[Way, ...]:
    return ways(classroom(beds=UNWIRED))


def way_of(found: tuple[Way, ...], kind: str, *, governing: bool = False) -> Way:
    return next(way for way in found if way.kind == kind and way.governing == governing)


def test_the_edge_of_the_friction_is_what_the_programme_needs(told: Teaching) -> None:
    lune = lune_of(classroom())
    for kind, scales in (("friction", Scales()), ("friction without wire", Scales(wire=0.0))):
        edge = way_of(told.ways, kind).edge
        assert edge is not None
        # the programme's optimum keeps to a relative 1e-7 or so
        assert edge[0] == pytest.approx(needed_friction(lune, scales), rel=1e-5)
        assert edge[0] > edge[1] and edge[0] == pytest.approx(edge[1], rel=1e-8)


def test_the_edge_of_the_wall_parts_standing_domes_from_falling_ones(told: Teaching) -> None:
    for way in (way_of(told.ways, "wall"), way_of(told.ways, "wall", governing=True)):
        assert way.edge is not None
        for width, stands in ((way.edge[0] * 1.001, True), (way.edge[1] * 0.999, False)):
            thinner = classroom(wall=replace(classroom().wall, filled_width=width))
            assert is_admissible(lune_of(thinner, way.case_id)) == stands


def test_thinning_holds_the_inner_face_the_courses_and_the_pivot() -> None:
    design = classroom()
    thin, scales = weakened(design, "wall", 0.8)
    assert scales == Scales() and thin.dome == design.dome
    before, after = build_dome(design), build_dome(thin)
    assert [course.inner_radius for course in before.courses] == [course.inner_radius for course in after.courses]
    assert [course.z_top for course in before.courses] == [course.z_top for course in after.courses]
    assert after.courses[0].width == pytest.approx(0.8 * 0.385, rel=1e-12)


def test_under_the_least_width_some_bed_is_gone() -> None:
    design = classroom()
    least = least_width(design)
    check_buildable(classroom(wall=replace(design.wall, filled_width=least * 1.001)))
    with pytest.raises(InputError):
        check_buildable(classroom(wall=replace(design.wall, filled_width=least * 0.999)))


def test_the_steps_lead_to_the_edge_and_the_band_shrinks(told: Teaching) -> None:
    for way in told.ways:
        if way.outcome != "falls":
            continue
        assert [step.stands for step in way.steps] == [True] * 5 + [False]
        assert all(a.value > b.value for a, b in pairwise(way.steps))
        assert way.steps[-1].failing_course is not None and way.steps[0].failing_course is None
    friction = way_of(told.ways, "friction")
    widths = [float((step.band.x_high - step.band.x_low).min()) for step in friction.steps[:5]]
    assert all(a >= b - 1e-9 for a, b in pairwise(widths))
    assert widths[-1] < 0.05 * widths[0]


def test_the_governing_case_is_the_first_of_all_to_lose_its_line(told: Teaching) -> None:
    way = way_of(told.ways, "friction", governing=True)
    assert way.edge is not None
    design = classroom()
    stack = build_dome(design)
    needed = {}
    for case in explained_cases(stack):
        lune = cut_lune(stack, case)
        needed[case.id] = (needed_friction(lune) or 0.0) / float(lune.friction.max())
    worst = max(needed, key=lambda one: needed[one])
    assert way.case_id == worst and way.edge[0] / way.designed == pytest.approx(needed[worst], rel=1e-5)


def test_a_dome_that_stands_with_no_wire_is_then_weakened_without_it(told: Teaching) -> None:
    assert way_of(told.ways, "wire").outcome == "never falls"
    assert is_admissible(lune_of(classroom()), Scales(wire=0.0))
    assert [step.value for step in way_of(told.ways, "wire").steps] == pytest.approx(
        [2.52 * k / 5 for k in (5, 4, 3, 2, 1, 0)]
    )
    assert way_of(told.ways, "friction without wire").collapse is not None


def test_without_wire_there_is_none_to_take_away(unwired: tuple[Way, ...]) -> None:
    assert {way.kind for way in unwired} == {"wall", "friction"}


def test_a_case_without_a_line_is_strengthened_until_it_has_one(unwired: tuple[Way, ...]) -> None:
    way = way_of(unwired, "friction", governing=True)
    design = classroom(beds=UNWIRED)
    lune = lune_of(design, way.case_id)
    assert way.outcome == "rises" and not is_admissible(lune) and way.edge is not None
    assert way.edge[0] == pytest.approx(needed_friction(lune), rel=1e-5)
    assert not way.steps[0].stands and way.steps[-1].stands
    # its mechanism is that of the dome as designed
    assert way.collapsed_value == way.designed and way.collapse is not None and way.collapse.relaxation > 1e-3


def test_every_mechanism_belongs_to_the_dome_it_is_drawn_on(told: Teaching) -> None:
    for way in told.ways:
        if way.collapse is None:
            assert way.outcome == "never falls"
            continue
        assert [course.number for course in way.collapsed] == [int(number) for number in way.collapse.number]
        assert way.collapse.work.excess >= -1e-7  # the limit of the programme's rounding
        assert (
            max(
                way.collapse.hinge_inner.max(),
                way.collapse.hinge_outer.max(),
                way.collapse.slip_outward.max(),
                way.collapse.squash.max(),
            )
            > 0
        )


def test_a_cell_of_the_map_says_what_the_programme_says() -> None:
    design = shaped(classroom(), 0.45, -0.3)
    cell, lune = cell_of(design), lune_of(design)
    assert cell.state == "stands" and cell.state_no_wire == (
        "stands" if is_admissible(lune, Scales(wire=0.0)) else "no line"
    )
    assert cell.friction == pytest.approx(needed_friction(lune), rel=1e-5)
    assert cell.friction_no_wire == pytest.approx(needed_friction(lune, Scales(wire=0.0)), rel=1e-5)
    share = widest_contact(lune, Scales(wire=0.0))
    assert share is not None and cell.factor_no_wire == pytest.approx(1 / share, rel=1e-4)
    assert cell_of(shaped(classroom(), 0.15, 0.385)).state == "not buildable"


def test_the_map_holds_this_dome_and_keeps_what_cannot_be_built_apart(told: Teaching) -> None:
    found = told.map
    assert found is not None
    row, column = found.pivots.index(found.here[1]), found.widths.index(found.here[0])
    assert found.cells[row][column] == told.here.cell
    assert list(found.widths) == sorted(found.widths) and list(found.pivots) == sorted(found.pivots)
    states = np.array([[cell.state for cell in cells] for cells in found.cells])
    assert set(states.ravel()) == {"stands", "no line", "not buildable"}
    assert np.isnan(found.grid("friction")[states == "not buildable"]).all()
    assert found.most_friction == pytest.approx(0.5 / 1.5) and found.least_factor == 2.0


def test_the_map_is_the_same_on_two_processes(told: Teaching) -> None:
    assert dome_map(classroom(), crew=Crew(2)) == told.map


def test_round_and_measured_domes_have_no_map_and_say_why() -> None:
    design = classroom()
    round_dome = replace(design, dome=replace(design.dome, profile="round", crown_opening=1.4))
    radii = tuple(course.inner_radius for course in build_dome(design).courses if course.kind == "arc")
    measured = replace(design, dome=replace(design.dome, profile="measured", inner_radii=radii))
    assert dome_map(round_dome) is None and dome_map(measured) is None
    assert "1.80 m" in no_map_words(round_dome) and f"{len(radii)} inner radii" in no_map_words(measured)
    assert no_map_words(design) == ""


def test_the_round_dome_beside_it_has_the_smallest_opening_that_can_be_built() -> None:
    design = classroom()
    found = other_shape(design)
    assert found is not None
    overlapping = found[0]
    assert overlapping.dome.profile == "round" and overlapping.wall == design.wall
    shape = dome_shape(overlapping)
    # One course more would lie above the arc of 1.8 m, or step in further than the wall less its edges is wide.
    z = shape.dome.top + overlapping.wall.course_height / 2
    usable = design.wall.filled_width - 2 * design.wall.edge_rounding
    assert z > 1.8 or shape.dome.courses[-1].inner_radius - (1.8**2 - z**2) ** 0.5 > usable
    assert shape.largest_step < design.wall.filled_width - 2 * design.wall.edge_rounding


def test_a_round_dome_is_compared_with_a_pointed_one() -> None:
    design = classroom(dome=replace(classroom().dome, profile="round", crown_opening=1.6))
    found = other_shape(design)
    assert found is not None and found[0].dome.profile == "pointed" and found[0].dome.pivot_beyond_inner_face == 0.385


def test_the_rule_of_thumb_is_tried_at_10_9_8_per_cent_and_as_it_is() -> None:
    trials = thumb_trials(classroom())
    assert [trial.share for trial in trials] == pytest.approx([0.385 / 3.6, 0.10, 0.09, 0.08])
    for trial in trials:
        assert trial.meets == meets_all(classroom(wall=replace(classroom().wall, filled_width=trial.width)))


def test_the_least_width_that_meets_all_is_an_edge() -> None:
    # hardened fill: a strong enough one for some width
    design = classroom(
        fill=replace(
            classroom().fill, stabiliser="cement", strength_dry=2000.0, strength_as_placed=600.0, strength_wet=1000.0
        )
    )
    share = least_meeting(design)
    assert share is not None
    assert meets_all(shaped(design, share * 3.6, 0.385)) and least_meeting(classroom()) is None
    below = shaped(design, (share - 0.005) * 3.6, 0.385)
    assert not meets_all(below)


def test_the_sentences_carry_the_numbers(told: Teaching) -> None:
    design = told.design
    section = " ".join(section_words(told))
    assert "3.60 m (11.8 ft)" in section and "385 mm (15.2 in)" in section and "10.7 %" in section
    friction = way_of(told.ways, "friction")
    assert (
        friction.edge is not None
        and f"{friction.edge[0]:.3g}" in way_words(design, friction)
        and "0.5" in way_words(design, friction)
    )
    assert friction.collapse is not None
    said = mechanism_words(friction.collapse)
    assert "hinge" in said and "slide outward" in said and "open" in said and "wire" in said
    assert "360 mm" in " ".join(thumb_words(told)) and "common practice, no source" in thumb_words(told)[0]
    assert told.map is not None and f"{told.map.most_friction:.3g}" in " ".join(map_words(told))
    assert told.other is not None and f"{told.other.opening:.2f} m" in " ".join(shape_words(told))
    first = " ".join(short_words(told))
    assert all(
        f"divided by {way_of(told.ways, kind, governing=True).factor:.3g}" in first
        for kind in ("wall", "friction", "wire")
    )
    assert title(friction) == "Less friction in the beds"
    every = " ".join(
        (
            section,
            said,
            *thumb_words(told),
            *map_words(told),
            *shape_words(told),
            *(way_words(design, way) for way in told.ways),
        )
    )
    assert "safe" not in every.lower() and "nan" not in every


def test_check_says_of_friction_nothing_that_the_mechanism_denies(told: Teaching) -> None:
    # At the edge of the friction the courses ride outward over what is below them: "slides inward" would be false.
    for way in (way for way in told.ways if way.kind == "friction"):
        assert (
            way.collapse is not None and max(way.collapse.slip_outward) > 0.01 and max(way.collapse.slip_inward) < 1e-6
        )
    margin = Margin("bed friction", 0.5, 0.4, "", 1.25, 1.5, False, 12, "assumed")
    said = margin_sentence(margin, build_dome(told.design))
    assert said.startswith("Friction governs at the bed under course 12: the demand is 0.40, the bed has 0.50")
    assert "slide" not in said


def test_wire_that_counts_for_nothing_is_not_called_absent() -> None:
    for strands, says in ((2, "No wire is counted on"), (0, "It has no wire")):
        design = classroom(beds=replace(UNWIRED, wire_strands=strands, wire_counted_share=0.0))
        found = Teaching(design, dome_shape(design), (), None, None, None, (), None)
        assert says in section_words(found)[-1]


def test_the_weight_is_in_the_units_of_the_user(told: Teaching) -> None:
    tonnes = told.here.weight / 9.80665
    metric = section_words(told)[1]
    imperial = section_words(replace(told, design=replace(told.design, unit_system="imperial")))[1]
    pounds = float(imperial.split("weighs ")[1].split(" lb")[0])
    assert f"{tonnes:.3g} t (" in metric and f"({tonnes:.3g} t)" in imperial
    assert pounds == pytest.approx(tonnes * 2204.62, rel=5e-3)  # three figures are shown


def test_courses_off_the_arc_are_named_in_words() -> None:
    by = {course.number: course_named(course) for course in build_dome(classroom()).courses}
    assert by[-1] == "buried course -1" and by[12] == "course 12"


def test_no_round_dome_beside_a_very_wide_crown_is_put_down_to_the_crown() -> None:
    design = classroom(dome=replace(classroom().dome, crown_opening=3.4))
    assert other_shape(design) is None
    said = shape_words(Teaching(design, dome_shape(design), (), None, None, None, (), None))[0]
    assert "can be built" not in said and "70 %" in said
