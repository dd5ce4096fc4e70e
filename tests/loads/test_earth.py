"""Earth against the finished wall: what it hands into every course, in which states it is asked, and who refuses it."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from banked import DRAINS, THIRTY, cylinder, measured
from samples import classroom, sturdy

from shellcheck_earth.design.backfill import usual_span
from shellcheck_earth.design.design import Backfill, Design, RingLoad
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import case_of, finished_cases
from shellcheck_earth.loads.earth import FACTOR, asked_span, earth_states, soil_of
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings import programme
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import FRICTION_VALUE, least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.safety.doubts import doubts_of

# -- by hand ---------------------------------------------------------------------------------------------------------


def test_a_stem_wall_of_any_number_of_courses_has_the_triangle() -> None:
    """Loose earth of 30 degrees has K = 0.5 (Jaky): R K g s^2/2 in all, at a third of its height; R = 1.9 m."""
    for courses, height in ((1, 0.5), (4, 2.0), (5, 1.85)):
        dome = build_dome(cylinder(courses, height=height))
        pushed = next(earth_states(dome)).by_course.values()
        whole = 1.9 * 0.5 * 18.0 * height**2 / 2
        assert -sum(one.thrust for one in pushed) == pytest.approx(whole)
        assert -sum(one.thrust * one.level for one in pushed) == pytest.approx(whole * height / 3)
        assert not any(one.weight for one in pushed)


def test_a_load_on_it_adds_the_rectangle() -> None:
    dome = build_dome(cylinder(4, height=2.0, surcharge=10.0))
    states = {one.words: one.by_course.values() for one in earth_states(dome)}
    loaded = states["earth against the wall: loaded, pressing the most"]
    rest, rectangle = 1.9 * 0.5 * 18.0 * 2.0, 1.9 * 0.5 * 10.0 * 2.0
    assert -sum(one.thrust for one in loaded) == pytest.approx(rest + rectangle)
    assert -sum(one.thrust * one.level for one in loaded) == pytest.approx(rest * 2.0 / 3 + rectangle * 1.0)
    assert not any("loaded" in words for words in states if "of the earth" in words)  # on the whole earth alone


def test_a_ring_without_friction_is_in_pure_compression() -> None:
    """N = p R: with nothing to hold it outward or inward but itself a course under radial pressure p needs the strength
    p R/t: here p is the mean over its height, R K g s^2/2 = f h t."""
    model = build_model(cylinder(2, height=1.0))
    lune = cut_lune(model.dome, model.case("finished-dry-earth-1"))
    needed = 1.9 * 0.5 * 18.0 * 0.5**2 / 2 / (0.5 * 0.4)
    assert needed == pytest.approx(10.6875)
    for share, stands in ((1.001, True), (0.999, False)):
        smooth = replace(
            lune, friction=np.array([0.0, np.inf]), crush_inner=np.full(2, np.inf), crush_outer=np.full(2, np.inf),
            ring_strength=np.array([share * needed, 0.0]),
        )  # fmt: skip
        assert (failing_bed(pack(smooth)) < 0) == stands and programme.is_admissible(smooth) == stands


def test_one_ring_on_its_bed_slides_inward_by_hand() -> None:
    """It needs P/W of friction: no ring is counted on the ground."""
    model = build_model(cylinder(1, height=0.5))
    lune = cut_lune(model.dome, model.case("finished-dry-earth-1"))
    fill = model.design.fill
    weight = fill.dry_density * (1 + fill.service_moisture) * 9.80665e-3 * 0.5 * (1.9**2 - 1.5**2) / 2
    found = least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3).value
    assert found == pytest.approx(1.9 * 0.5 * 18.0 * 0.5**2 / 2 / weight, rel=1e-6)
    assert programme.needed_friction(lune) == pytest.approx(found, rel=1e-6)


def test_ledges_carry_what_stands_over_them() -> None:
    """On the ledge of course i: (g b + q)(R_i'^2 - R_(i+1)^2)/2 a radian, R_i' with the plaster."""
    dome = build_dome(measured(classroom(), height=1.0, surcharge=4.0))
    states = {one.words: one.by_course for one in earth_states(dome)}
    found = states["earth against the wall: loaded, pressing the most and weighing on ledges"]
    surface = dome.ground + 1.0
    seen = 0
    for course, over in itertools.pairwise(dome.courses):
        depth = surface - course.z_top
        if course.number in found:
            ledge = (course.outer_radius + 0.03) ** 2 - over.outer_radius**2
            by_hand = (18.0 * depth + 4.0) * ledge / 2 if depth > 0 and over.outer_radius < course.outer_radius else 0.0
            assert found[course.number].weight == pytest.approx(by_hand)
            seen += by_hand > 0
    assert seen > 4


def test_the_pressure_on_each_course_is_integrated_by_slices() -> None:
    """Each course's force and its level against a thousand slices of the pressure; plaster counts where it hurts."""
    dome = build_dome(measured(classroom(), height=1.1, surcharge=3.0))
    surface = dome.ground + 1.1
    for state, radius, k in ((4, 0.03, 0.5), (6, 0.0, 1 / 3)):
        handed = next(one for one in earth_states(dome) if one.number == state)
        for course in dome.courses:
            if course.z_bottom >= surface:
                assert course.number not in handed.by_course
                continue
            z = np.linspace(course.z_bottom, min(course.z_top, surface), 2001)
            z = (z[1:] + z[:-1]) / 2
            p = k * (18.0 * (surface - z) + 3.0) * (course.outer_radius + radius)
            step = (min(course.z_top, surface) - course.z_bottom) / len(z)
            one = handed.by_course[course.number]
            assert -one.thrust == pytest.approx(p.sum() * step, rel=1e-5)
            assert one.level == pytest.approx((p * z).sum() / p.sum(), abs=1e-5)


# -- which states ----------------------------------------------------------------------------------------------------


def test_silence_takes_both_ends_and_the_pressure_of_tamped_earth() -> None:
    soil = soil_of(replace(sturdy(), backfill=Backfill(height=0.5)))
    assert (soil.lightest, soil.heaviest, soil.most, soil.surcharge) == (13.0, 22.0, 1.0, 5.0)
    assert soil.least == pytest.approx(math.tan(math.radians(25.0)) ** 2)  # Rankine's, of 40 degrees
    loose = soil_of(replace(sturdy(), backfill=Backfill(height=0.5, compacted=False)))
    assert loose.most == pytest.approx(1 - math.sin(math.radians(20.0)))


def test_what_is_stated_but_not_measured_makes_nothing_better() -> None:
    stated = replace(sturdy(), backfill=Backfill(height=0.5, unit_weight=(16.0, 17.0), friction_angle=(THIRTY, THIRTY)))
    assert asked_span(stated, "unit_weight") == usual_span("unit_weight")
    assert asked_span(stated, "friction_angle") == usual_span("friction_angle")
    assert asked_span(replace(stated, backfill=Backfill(unit_weight=(12.0, 25.0), height=0.5)), "unit_weight") == (
        12,
        25,
    )
    tested = measured(sturdy(), unit_weight=(16.0, 17.0))
    assert asked_span(tested, "unit_weight") == (16.0, 17.0)
    assert soil_of(tested).most == pytest.approx(0.5) and soil_of(tested).least == pytest.approx(1 / 3)


def test_every_finished_case_has_every_state_and_no_stage_has_any() -> None:
    model = build_model(measured(sturdy()))
    finished = [case.id for case in model.cases if case.kind == "finished"]
    bare = [one for one in finished if "earth" not in one]
    count = len(list(earth_states(model.dome)))
    assert count > 8 and finished == [*bare, *(f"{one}-earth-{k}" for k in range(1, count + 1) for one in bare)]
    assert not any(case.carries for case in model.cases if case.kind != "finished")
    counts = {case.id: case.counts for case in model.cases}
    assert all(counts[one] == counts[one.partition("-earth")[0]] for one in finished)
    assert case_of(model.dome, "finished-damp-earth-1").title.endswith("earth against the wall: pressing the most")
    assert bare == [case.id for case in build_model(sturdy()).cases if case.kind == "finished"]


def test_dug_away_in_part_it_presses_lower_down() -> None:
    dome = build_dome(measured(sturdy()))
    surface, base = dome.ground + 0.6, dome.base
    tops = [max(one.by_course) for one in earth_states(dome) if one.words.endswith("pressing the most")]
    levels = [surface - (surface - base) * k / 4 for k in range(4)]
    by_hand = [max(c.number for c in dome.courses if c.z_bottom < level - 1e-9) for level in levels]
    assert tops == by_hand and tops[0] > tops[-1]


def test_beside_ring_loads_each_state_is_asked_with_each_of_theirs() -> None:
    cap = RingLoad("Skylight", build_dome(sturdy()).top, (2.0, 2.0), (0.0, 1.0), (0.1, 0.1))
    dome = build_dome(replace(measured(sturdy()), ring_loads=(cap,)))
    ids = [case.id for case in finished_cases(dome) if case.id.startswith("finished-dry")]
    count = len(list(earth_states(dome)))
    assert len(ids) == 3 * (count + 1) and ids[:3] == [
        "finished-dry",
        "finished-dry-carrying-1",
        "finished-dry-carrying-2",
    ]
    both = next(case for case in finished_cases(dome) if case.id == "finished-dry-earth-2-carrying-2")
    assert len(both.states[-1].handed) == 1 and len(both.states[0].handed) == 1
    assert both.title.endswith("pressing the most and weighing on ledges; carrying Skylight: most thrust")


def test_wet_earth_soaks_the_courses_behind_it() -> None:
    model, bare = build_model(measured(sturdy())), build_model(sturdy())
    wet = {
        which: [state.moisture for state in one.case("base-soaked").states]
        for which, one in (("earth", model), ("none", bare))
    }
    soaked = {which: sum(moisture == max(found) for moisture in found) for which, found in wet.items()}
    assert soaked["earth"] == sum(c.z_bottom < model.dome.ground + 0.6 + 0.3 for c in model.dome.courses)
    assert soaked["earth"] > soaked["none"]


def test_rows_of_factors_by_hand() -> None:
    """Pressure at its most 1.6 times, at its least 0.9 times; sets that multiply nothing leave it."""
    design = measured(sturdy())
    for more, less, expected in ((1.35, 0.9, (FACTOR, 0.9)), (1.0, 0.9, (1.0, 0.9)), (2.0, 1.0, (2.0, 1.0))):
        most, _, least = itertools.islice(earth_states(build_dome(design)), 3)
        found = [next(iter(one.by_course.values())).factors(more, less)[1] for one in (most, least)]
        assert tuple(found) == expected


# -- laws ------------------------------------------------------------------------------------------------------------


def _least(design: Design) -> float:
    model = build_model(design)
    return min(reserve_of(cut_lune(model.dome, case)) or 0.0 for case in finished_cases(model.dome) if case.counts)


def test_wider_ranges_never_raise_the_least_reserve() -> None:
    least = [
        _least(replace(cylinder(4), backfill=None)),
        _least(cylinder(4, height=1.2)),
        _least(cylinder(4, height=1.2, unit_weight=(15.0, 21.0))),
        _least(cylinder(4, height=1.2, unit_weight=(15.0, 21.0), compacted=True)),
        _least(cylinder(4, height=1.2, unit_weight=(15.0, 21.0), compacted=True, surcharge=20.0)),
    ]
    assert all(after <= before * (1 + 1e-9) for before, after in itertools.pairwise(least))
    assert len({round(one, 6) for one in least}) == 5 and least[-1] > 0


def test_a_state_between_those_asked_is_held_by_them() -> None:
    """Half the pressure with half the ledges' weight: no less reserve than the least of the three corners and none."""
    model = build_model(measured(sturdy(), height=1.0))
    bare = cut_lune(model.dome, model.case("finished-damp"))
    corners = [cut_lune(model.dome, model.case(f"finished-damp-earth-{k}")) for k in (1, 2, 3)]
    rng = np.random.default_rng(3)
    least = min(reserve_of(one) or 0.0 for one in (bare, *corners))
    for _ in range(5):
        shares = rng.dirichlet(np.ones(4))
        loads = [(one.weight, one.moment, one.push) for one in (bare, *corners)]
        mean = [sum(s * load[k] for s, load in zip(shares, loads, strict=True)) for k in range(3)]
        between = replace(bare, weight=mean[0], moment=mean[1], push=mean[2])
        assert (reserve_of(between) or 0.0) >= least * (1 - 1e-6)


def test_the_linear_programme_agrees_on_every_state() -> None:
    model = build_model(measured(sturdy(), height=1.0))
    for case in finished_cases(model.dome):
        if case.id.startswith("finished-damp-earth"):
            lune = cut_lune(model.dome, case)
            exact = least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3).value
            assert programme.needed_friction(lune) == pytest.approx(exact, abs=1e-6, rel=1e-6)


# -- answers ---------------------------------------------------------------------------------------------------------


def test_a_drained_berm_may_meet_and_water_may_not() -> None:
    design = measured(sturdy(), height=0.8)
    found = check(design, explore=False)
    assert found.verdict == "meets" and any(one.key == "earth" for one in found.cautions)
    wet = replace(design, backfill=replace(design.backfill, drained=""))  # type: ignore[type-var]
    assert [one.kind for one in doubts_of(build_dome(wet))] == ["water against the wall"]
    shaken = replace(design, site=replace(design.site, earthquake=0.1))
    kinds = [one.kind for one in doubts_of(build_dome(shaken))]
    assert kinds[0] == "earth shaken" and "water against the wall" not in kinds


def test_it_may_bring_a_dome_down() -> None:
    """On beds that hold the bare dome a deep, loaded, tamped berm pushes the lowest courses in."""
    slick = replace(sturdy().beds, friction=0.32, friction_wet=0.32, friction_no_wire=0.32)
    design = replace(sturdy(), beds=slick)
    bare = build_model(design)
    deep = build_model(replace(design, backfill=Backfill(height=2.0, surcharge=40.0, drained=DRAINS)))
    assert failing_bed(pack(cut_lune(bare.dome, bare.case("finished-dry")))) < 0
    lines = [failing_bed(pack(cut_lune(deep.dome, case))) for case in finished_cases(deep.dome) if case.counts]
    assert any(bed >= 0 for bed in lines)


def test_a_floor_below_the_ground_has_the_ground_against_it() -> None:
    low = replace(sturdy(), dome=replace(sturdy().dome, floor_above_ground=-0.4))
    assert low.earth == Backfill() and low.backfill is None
    assert [one.kind for one in doubts_of(build_dome(low))] == ["water against the wall"]
    states = list(earth_states(build_dome(low)))
    top = build_dome(low).course(max(states[0].by_course))
    assert top.z_bottom < build_dome(low).ground <= top.z_top + 1e-9
    found = check(low, explore=False, proofs=False)
    assert [one.path for one in found.assumptions if one.path.startswith("backfill")] == [
        "backfill.unit_weight", "backfill.friction_angle", "backfill.compacted", "backfill.surcharge",
    ]  # fmt: skip
    drained = replace(low, backfill=Backfill(drained=DRAINS))
    assert check(drained, explore=False).verdict == "meets"
