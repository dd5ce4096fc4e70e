"""Loads handed into a ring all around: which courses take them, in which states, and who refuses them."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest
from samples import classroom, sturdy

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.design.criteria import Combination
from shellcheck_earth.design.design import Criteria, Design, RingLoad
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.geometry.ring_loads import course_under
from shellcheck_earth.loads.cases import case_of, finished_cases
from shellcheck_earth.loads.combinations import carried_factors
from shellcheck_earth.loads.model import build_model
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
    row = Combination("light", **{**dict.fromkeys(_columns(), 1.0), "permanent": 0.9})
    heavy = Combination("heavy", **{**dict.fromkeys(_columns(), 1.0), "permanent": 1.35})
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


def test_with_blocks_nothing_meets() -> None:
    design = carrying(CAP)
    windy = replace(design, site=replace(design.site, snow=0.01, none_because=()))
    found = check(windy, explore=False, blocks=False)
    assert found.verdict == "cannot say" and any(doubt.kind == "blocks without ring loads" for doubt in found.doubts)


def test_studies_that_do_not_see_them_refuse() -> None:
    design = carrying(CAP)
    for study in (
        lambda: settle_design(design),
        lambda: shake_design(design, None, 0.0),  # type: ignore[arg-type]
        lambda: make_study(design, stated_scatter(), 64, 1),
    ):
        with pytest.raises(InputError, match="ring_load"):
            study()
