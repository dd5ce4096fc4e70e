"""Loads handed into a ring all around: which courses take them, in which states, and who refuses them."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom, sturdy
from scipy.optimize import linprog

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.design.criteria import Combination
from shellcheck_earth.design.design import Criteria, Design, Opening, RingLoad
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.loads.cases import case_of, finished_cases
from shellcheck_earth.loads.combinations import carried_factors
from shellcheck_earth.loads.model import build, build_model
from shellcheck_earth.loads.ring_loads import block_states, carried_states
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.checks import reserve_of
from shellcheck_earth.studies.sample.asked import make_study
from shellcheck_earth.studies.settle.study import settle_design
from shellcheck_earth.studies.shake.study import shake_design

TOP = build_dome(classroom()).top
CAP = RingLoad("Skylight", TOP, (2.0, 2.0), (0.0, 0.0), (0.19, 0.19))


def carrying(*loads: RingLoad, design: Design | None = None) -> Design:
    return replace(design or sturdy(), ring_loads=loads)


def test_the_course_under_a_height() -> None:
    dome = build_dome(classroom())
    assert [course_under(dome, z).number for z in (0.0, 0.001, 0.135, 0.136)] == [0, 1, 1, 2]  # type: ignore[union-attr]
    assert course_under(dome, dome.top).number == dome.top_number  # type: ignore[union-attr]
    assert course_under(dome, dome.top + 0.01) is None and course_under(dome, dome.ground - 0.01) is None


def test_a_cap_weighs_on_every_bed_below_by_hand() -> None:
    """2 kN on the crown ring: 2/(2 pi) kN a radian more on every bed, at 0.19 m from the top course's inner face."""
    model = build_model(carrying(CAP))
    bare, there = (cut_lune(model.dome, model.case(f"finished-damp{x}")) for x in ("", "-carrying-1"))
    share = 2 / (2 * math.pi)
    assert there.vertical - bare.vertical == pytest.approx(share)
    top = model.dome.courses[-1]
    assert there.moment[0] - bare.moment[0] == pytest.approx(share * (top.inner_radius + 0.19))
    assert (there.push == 0.0).all() and (there.moment[1:] == bare.moment[1:]).all()


def test_the_states_are_asked_of_every_finished_case_and_of_no_stage() -> None:
    thrust = replace(CAP, thrust=(-1.0, 3.0))
    model = build_model(carrying(thrust))
    finished = [case.id for case in model.cases if case.kind == "finished"]
    bare = [one for one in finished if "carrying" not in one]
    assert finished == [*bare, *(f"{one}-carrying-{k}" for k in (1, 2) for one in bare)]
    assert not any(case.carries for case in model.cases if case.kind != "finished")
    assert "carrying Skylight: most thrust" in case_of(model.dome, "finished-dry-carrying-2").title
    counts = {case.id: case.counts for case in model.cases}
    assert all(counts[one] == counts[one.partition("-carrying")[0]] for one in finished)


def test_two_loads_are_asked_apart_and_together() -> None:
    loft = RingLoad("Loft", 0.5, (4.0, 4.0), (1.0, 1.0), (0.1, 0.1))
    dome = build_dome(carrying(CAP, loft))
    titles = [case.title for case in finished_cases(dome) if case.id.startswith("finished-dry-")]
    assert [title.partition("moisture, ")[2] for title in titles] == [
        "carrying Loft", "carrying Skylight", "carrying Skylight; carrying Loft",
    ]  # fmt: skip


def test_factors_are_the_greatest_and_the_least_of_all_rows() -> None:
    design = carrying(replace(CAP, thrust=(1.0, 1.0)))
    assert carried_factors(design.criteria) == (1.0, 1.0)
    row = Combination("light", **{**dict.fromkeys(_columns(), 1.0), "permanent": 0.9}, clause="by hand")
    heavy = Combination("heavy", **{**dict.fromkeys(_columns(), 1.0), "permanent": 1.35}, clause="by hand")
    rows = replace(design, criteria=Criteria("common practice", design.criteria.required, rows=(row, heavy)))
    assert carried_factors(rows.criteria) == (1.35, 0.9)
    handed = [
        state.handed[0]
        for case in finished_cases(build_dome(rows))
        for state in case.states
        if state.handed and case.id.startswith("finished-dry")
    ]
    t = 1 / (2 * math.pi)
    pulls = {(round(one.pull(1.35, 0.9)[0] / (2 * t), 6), round(one.pull(1.35, 0.9)[2] / t, 6)) for one in handed}
    assert pulls == {(0.9, 0.9), (0.9, 1.35), (1.35, 0.9), (1.35, 1.35)}


def _columns() -> tuple[str, ...]:
    from shellcheck_earth.design.criteria import FACTORS

    return FACTORS


def test_a_file_says_it_and_is_written_again() -> None:
    design = carrying(replace(CAP, weight=(-0.3, 2.0)), RingLoad("Loft", 0.5, (4.0, 4.0), (0.0, 1.5), (0.1, 0.3)))
    design = replace(design, bases={**design.bases, "ring_load[1].weight": "measured"})
    again = parse_design(design_toml(design))
    assert again.ring_loads == design.ring_loads and again.bases["ring_load[1].weight"] == "measured"


@pytest.mark.parametrize(
    ("changes", "path"),
    [
        ({"height": TOP + 0.1}, "ring_load[1].height"),
        ({"from_inner_face": (0.0, 0.4)}, "ring_load[1].from_inner_face"),
        ({"weight": (-9.0, 0.0)}, "ring_load[1].weight"),
    ],
)
def test_what_no_wall_takes_is_refused(changes: dict[str, float], path: str) -> None:
    with pytest.raises(UnbuildableError) as caught:
        build_model(carrying(replace(CAP, **changes)))  # type: ignore[arg-type]
    assert [problem.path for problem in caught.value.problems] == [path]


@pytest.mark.parametrize("changes", [{"weight": (2.0, 1.0)}, {"thrust": 3.0}, {"name": ""}, {"height": 99.0}])
def test_the_gate_holds_code_to_the_ranges(changes: dict[str, object]) -> None:
    with pytest.raises(InputError):
        carrying(replace(CAP, **changes))  # type: ignore[arg-type]


def test_a_light_cap_meets_and_a_greater_thrust_never_raises_the_least_reserve() -> None:
    found = check(carrying(CAP), explore=False)
    assert found.verdict == "meets"
    assert any(caution.key == "ring loads" for caution in found.cautions)
    assert [one.path for one in found.assumptions if one.path.startswith("ring_load")]
    least = []
    for thrust in (0.0, 5.0, 20.0, 60.0, 150.0):
        model = build_model(carrying(replace(CAP, height=0.4, thrust=(0.0, thrust))))
        least.append(min(reserve_of(cut_lune(model.dome, case)) or 0.0 for case in finished_cases(model.dome)
                         if case.counts))  # fmt: skip
    assert all(after <= before * (1 + 1e-6) for before, after in itertools.pairwise(least))
    assert least[-1] < least[0]


def test_a_heavy_one_falls_short() -> None:
    found = check(carrying(replace(CAP, weight=(0.0, 200.0))), explore=False)
    assert found.verdict == "falls short"
    short = {case.id for case in found.cases if case.counts and any(m.meets is False for m in case.margins)}
    assert short and all("carrying" in one for one in short)


DOOR = Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed")


@pytest.mark.parametrize(("height", "fits"), [(0.5, False), (1.4, False), (1.6, False), (2.0, True), (TOP, True)])
def test_an_opening_and_its_head_leave_no_ring_to_take_it(height: float, fits: bool) -> None:
    design = replace(carrying(replace(CAP, height=height)), openings=(DOOR,))
    if fits:
        build(design)
        return
    with pytest.raises(UnbuildableError) as caught:
        build(design)
    (problem,) = caught.value.problems
    assert problem.path == "ring_load[1].height" and "door 1 and its head take, from" in problem.expected


def test_over_a_lintel_the_ring_is_whole_again() -> None:
    design = replace(carrying(replace(CAP, height=1.7)), openings=(replace(DOOR, head="lintel"),))
    dome = build(design)
    course = course_under(dome, 1.7)
    assert course is not None and course.z_bottom - course.height < dome.floor + 1.5 <= course.z_bottom


def _asked(weight: tuple[float, float], thrust: tuple[float, float], quake: float = 0.0, factored: bool = False,
           place: tuple[float, float] = (0.1, 0.1)) -> list[tuple[int, bool, float, float]]:  # fmt: skip
    """(number, again, weight, thrust) of the states that blocks are asked, whole and as they are."""
    load = RingLoad("Loft", 0.5, weight, thrust, place)
    design = carrying(load)
    rows = tuple(
        Combination(name, **{**dict.fromkeys(_columns(), 1.0), "permanent": by}, clause="by hand")
        for name, by in (("light", 0.9), ("heavy", 1.35))
    )
    if factored:
        design = replace(design, criteria=replace(design.criteria, rows=rows))
    design = replace(design, site=replace(design.site, earthquake=quake))
    out = []
    for state in block_states(build_dome(design)):
        ((one,),) = state.by_course.values()
        out.append((state.number, state.again, round(2 * math.pi * one.weight, 9), round(2 * math.pi * one.thrust, 9)))
    return out


def test_blocks_are_asked_the_corners_that_no_others_hold() -> None:
    assert _asked((1.0, 3.0), (0.0, 0.0)) == [(2, False, 3.0, 0.0)]
    assert _asked((-2.0, -1.0), (0.0, 0.0)) == [(1, False, -2.0, 0.0)]
    assert _asked((-1.0, 3.0), (0.0, 0.0)) == [(1, False, -1.0, 0.0), (2, False, 3.0, 0.0)]
    assert _asked((2.0, 2.0), (0.0, 1.0)) == [(1, False, 2.0, 0.0), (2, False, 2.0, 1.0)]
    assert _asked((2.0, 2.0), (1.0, 1.0)) == [(1, False, 2.0, 1.0)]
    # (1, 0.5) is 0.2 of (3, 0.5), 0.4 of (1, 1) and the rest of nothing: a = (2 - 1)/(3 x 2 - 1), b = (3 - 1)/5
    assert [one[2:] for one in _asked((1.0, 3.0), (0.5, 1.0))] == [(1.0, 1.0), (3.0, 0.5), (3.0, 1.0)]
    assert [one[2:] for one in _asked((1.0, 3.0), (-0.5, 1.0))] == [(1.0, -0.5), (1.0, 1.0), (3.0, -0.5), (3.0, 1.0)]
    assert [one[0] for one in _asked((1.0, 3.0), (0.0, 0.0), place=(0.1, 0.2))] == [3, 4]
    assert _asked((0.0, 0.0), (0.0, 0.0)) == []


def test_rows_of_factors_and_earthquakes_ask_more_corners() -> None:
    """A weight that is no range is two under rows of factors, whose plain question is one."""
    assert _asked((2.0, 2.0), (0.0, 0.0), factored=True) == [(2, False, 2.0, 0.0)]
    assert [one[1] for one in _asked((2.0, 2.0), (1.0, 1.0), factored=True)] == [False, True, True]
    assert _asked((-1.0, 3.0), (0.0, 0.0), 0.1)[2:] == []  # none at all is asked anyway
    shaken = _asked((-1.0, 3.0), (0.0, 1.0), 0.1)
    assert [one[:1] + one[2:] for one in shaken][4:] == [(6, 0.0, 1.0)]
    both = _asked((1.0, 3.0), (0.0, 0.0), 0.1, factored=True)
    assert both == [(1, False, 1.0, 0.0), (2, False, 3.0, 0.0), (3, True, 1.0, 0.0), (4, True, 3.0, 0.0)]


def test_a_corner_that_is_left_out_is_a_mean_of_those_that_are_asked() -> None:
    """In random ranges: nothing and the corners that are asked have it within them (of w, w x and t together)."""
    rng = np.random.default_rng(7)
    for _ in range(60):
        sign = rng.choice([-1.0, 1.0], 2)
        weight, thrust = (tuple(sorted(s * rng.uniform(0.0, 3.0, 2) * rng.choice([0.0, 1.0], 2))) for s in sign)
        place = tuple(sorted(rng.uniform(0.05, 0.3, 2)))
        dome = build_dome(carrying(RingLoad("Loft", 0.5, weight, thrust, place)))
        asked = [np.zeros(3), *(np.array(s.by_course[4][0].pull()) for s in block_states(dome))]
        for state in carried_states(dome):
            point = np.array(state.by_course[4][0].pull())
            rows = np.vstack([np.array(asked).T, np.ones(len(asked))])
            found = linprog(np.zeros(len(asked)), A_eq=rows, b_eq=[*point, 1.0])
            assert found.success, (weight, thrust, place, state.number)


def test_studies_that_do_not_see_them_refuse() -> None:
    design = carrying(CAP)
    for study in (
        lambda: settle_design(design),
        lambda: shake_design(design, None, 0.0),  # type: ignore[arg-type]
        lambda: make_study(design, stated_scatter(), 64, 1),
    ):
        with pytest.raises(InputError, match="ring_load"):
            study()
