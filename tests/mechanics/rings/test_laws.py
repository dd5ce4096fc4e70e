"""Laws of monotony, one for every input: more of what carries never takes from a factor, more rain never gives.

Where theory makes no promise none is asked for: weight on a dome presses its beds together as well as it pushes them
apart, so snow and a crew may help one bed while they hurt another. Of them only what is certain is held: every bed
carries at least as much, and strength, cohesion and wire that do not grow with weight are used up sooner when all of
the weight grows.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from samples import classroom
from strategies import designs, model_of, some_cases

from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.cases import Case
from shellcheck_earth.loads.model import Model, build_model
from shellcheck_earth.loads.rain.calendar import dry_case, rain_case, stage_days
from shellcheck_earth.mechanics.rings.admissible import pack
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.safety.checks import LINE, line_questions, reserve_of

ROUNDING = 1e-6
"""Bisections close to 1e-9; a polygon at the edge of being empty loses a few more digits."""


def factors(model: Model, case: Case) -> dict[str, float]:
    """What each check's capacities may be divided by: 0 where nothing is enough, inf where nothing is needed."""
    out = {}
    for question in line_questions(model.dome, case):
        edge = question.edge()
        assert edge.closed
        out[question.label] = 0.0 if edge.value is None else math.inf if edge.value == 0.0 else 1.0 / edge.value
    return out


def never_lower(design: Design, better: Design) -> None:
    """Every factor of every case that both have."""
    before, after = model_of(design), model_of(better)
    ids = {case.id for case in after.cases}
    for case in some_cases(before):
        if case.id in ids:
            was, now = factors(before, case), factors(after, after.case(case.id))
            for check, factor in was.items():
                assert now[check] >= factor * (1 - ROUNDING), (case.id, check)


def beds(**more: Callable[[float], Any]) -> Callable[[Design, float], Design]:
    return lambda design, k: replace(
        design, beds=replace(design.beds, **{name: f(k * getattr(design.beds, name)) for name, f in more.items()})
    )


def fill(*names: str) -> Callable[[Design, float], Design]:
    """Strengths times k, in the dome and in its groups."""

    def more(design: Design, k: float) -> Design:
        def of(one: Any) -> Any:
            return replace(one, **{name: k * getattr(one, name) for name in names})

        groups = tuple(replace(group, fill=of(group.fill)) for group in design.groups)
        return replace(design, fill=of(design.fill), groups=groups)

    return more


MORE: dict[str, Callable[[Design, float], Design]] = {
    "friction": beds(friction=float),
    "friction of wet beds": lambda design, k: replace(
        design, beds=replace(design.beds, friction_wet=min(k * design.beds.friction_wet, design.beds.friction))
    ),
    "friction without wire": lambda design, k: replace(
        design,
        beds=replace(design.beds, friction_no_wire=min(k * design.beds.friction_without_wire, design.beds.friction)),
    ),
    "cohesion": lambda design, k: replace(
        design, beds=replace(design.beds, cohesion=design.beds.cohesion + k, cohesion_wet=design.beds.cohesion_wet)
    ),
    "cohesion of wet beds": lambda design, k: replace(
        design, beds=replace(design.beds, cohesion_wet=min(k * design.beds.cohesion_wet, design.beds.cohesion))
    ),
    "strands": lambda design, _: replace(
        design, beds=replace(design.beds, wire_strands=min(design.beds.wire_strands + 1, 6))
    ),
    "breaking load": beds(wire_breaking_load=float),
    "counted share": beds(wire_counted_share=lambda share: min(share, 1.0)),
    "bond": lambda design, k: replace(
        design,
        beds=replace(design.beds, wire_bond=None if design.beds.wire_bond is None else k * design.beds.wire_bond),
    ),
    "all strengths": fill("strength_dry", "strength_as_placed", "strength_wet"),
    "dry strength": fill("strength_dry"),
    "sharper edges": lambda design, k: replace(
        design, wall=replace(design.wall, edge_rounding=design.wall.edge_rounding / k)
    ),
    "fabric counted": lambda design, _: replace(design, building=replace(design.building, count_fabric=True)),
}


@pytest.mark.parametrize("name", MORE)
@settings(max_examples=5)
@given(design=designs(), k=st.floats(1.05, 2.0))
def test_more_of_what_carries_never_takes_from_a_factor(name: str, design: Design, k: float) -> None:
    never_lower(design, MORE[name](design, k))


RAIN: dict[str, Callable[[Design], Design]] = {
    "longer": lambda d: replace(d, site=replace(d.site, rain_hours=1.7 * d.site.rain_hours)),
    "harder": lambda d: replace(d, site=replace(d.site, rain_intensity=2.0 * d.site.rain_intensity)),
    "covered later": lambda d: replace(
        d, building=replace(d.building, cover_after=3.0 * (d.building.cover_after or 99.0))
    ),
    "a thirstier fill": lambda d: replace(
        d, fill=replace(d.fill, hydraulic_conductivity=3.0 * d.fill.hydraulic_conductivity)
    ),
    "more suction": lambda d: replace(d, fill=replace(d.fill, suction_head=2.0 * d.fill.suction_head)),
}


@pytest.mark.parametrize("name", RAIN)
@settings(max_examples=6)
@given(design=designs())
def test_more_rain_never_gives_to_a_factor(name: str, design: Design) -> None:
    """Without the water's weight, which may press beds together: wider bands are weaker, slicker and no ring."""
    assume(not design.groups)
    worse = RAIN[name](design)
    before, after = model_of(design), model_of(worse)
    days = stage_days(before.dome)
    for at in (days[len(days) // 2], days[-1]):
        dry = rain_case(before.dome, at, design.site.rain_hours, heavy=False)
        wet = rain_case(after.dome, at, worse.site.rain_hours, heavy=False)
        was, now = factors(before, dry), factors(after, wet)
        for check, factor in was.items():
            assert now[check] <= factor * (1 + ROUNDING), check


@settings(max_examples=15)
@given(design=designs())
def test_any_rain_is_worse_than_none(design: Design) -> None:
    model = model_of(design)
    at = stage_days(model.dome)[-1]
    dry = factors(model, dry_case(model.dome, at))
    wet = factors(model, rain_case(model.dome, at, design.site.rain_hours, heavy=False))
    assert all(wet[check] <= dry[check] * (1 + ROUNDING) for check in dry)


@settings(max_examples=15)
@given(design=designs())
def test_soaked_is_never_better_than_damp_of_the_same_weight(design: Design) -> None:
    """The soaked dome with the damp one's weight: strength, friction and cohesion only fall with water."""
    model = model_of(design)
    damp, soaked = model.case("finished-damp"), model.case("soaked-through")
    light = replace(
        soaked,
        states=tuple(replace(s, parts=d.parts) for s, d in zip(soaked.states, damp.states, strict=True)),
    )
    if design.fill.stabiliser == "none":
        now, was = factors(model, light), factors(model, damp)
        assert all(now[check] <= was[check] * (1 + ROUNDING) for check in was)


@settings(max_examples=15)
@given(design=designs())
def test_a_dome_without_its_wire_has_no_more_reserve_than_with_it(design: Design) -> None:
    model = model_of(design)
    if design.beds.wire_strands > 0:
        gone = reserve_of(cut_lune(model.dome, model.case("wire-gone")))
        damp = reserve_of(cut_lune(model.dome, model.case("finished-damp")))
        assert gone is not None and damp is not None and gone <= damp * (1 + ROUNDING)


@settings(max_examples=20)
@given(design=designs(), k=st.floats(1.05, 3.0))
def test_more_snow_and_a_heavier_crew_press_on_every_bed(design: Design, k: float) -> None:
    design = replace(design, site=replace(design.site, snow=0.5))
    loaded = replace(
        design,
        site=replace(design.site, snow=0.5 * k),
        building=replace(design.building, worker=k * design.building.worker),
    )
    before, after = model_of(design), model_of(loaded)
    for case in before.cases:
        was, now = cut_lune(before.dome, case), cut_lune(after.dome, after.case(case.id))
        assert (now.vertical >= was.vertical * (1 - 1e-12)).all()
        if case.snow or case.crew:
            assert now.vertical[0] > was.vertical[0]
        else:
            assert (now.vertical == was.vertical).all()


def heavier(lune: Lune, k: float) -> Lune:
    return replace(lune, weight=lune.weight * k, moment=lune.moment * k)


@settings(max_examples=20)
@given(design=designs(), k=st.floats(1.0, 2.0))
def test_when_all_of_it_grows_heavier_no_reserve_grows(design: Design, k: float) -> None:
    """Friction and the bond it gives grow with weight; strength, cohesion, wire and a tested bond do not."""
    model = model_of(design)
    for case in some_cases(model):
        lune = cut_lune(model.dome, case)
        was, now = reserve_of(lune), reserve_of(heavier(lune, k))
        assert was is not None and now is not None and now <= was * (1 + ROUNDING), case.id


@settings(max_examples=20)
@given(design=designs(), k=st.floats(1.0, 2.0))
def test_ground_asks_no_less_of_friction_and_more_of_bearing_under_a_heavier_dome_of_the_same_line(
    design: Design, k: float
) -> None:
    """With capacities grown alike every line is the same, k times as strong: |H|/V stays."""
    model = model_of(design)
    lune = cut_lune(model.dome, model.cases[0])
    grown = heavier(lune, k).divided(1.0, 1.0 / k, 1.0 / k, 1.0 / k)
    was, now = base_state(pack(lune)), base_state(pack(grown))
    assert (was is None) == (now is None)
    if was is not None and now is not None:
        assert now.friction == pytest.approx(was.friction, rel=1e-6, abs=1e-9)
        assert now.x == pytest.approx(was.x, rel=1e-6)
        assert now.greatest == pytest.approx(k * was.greatest, rel=1e-6, abs=1e-9)


def test_every_factor_is_asked_of_every_case() -> None:
    model = build_model(classroom())
    asked = {len(factors(model, case)) for case in model.cases if not case.only}
    assert asked == {len(LINE)}
    assert list(factors(model, model.case("wire-gone"))) == ["standing without wire"]
