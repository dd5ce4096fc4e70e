"""Rows of factors that blocks are asked at: what divides what, and which rows another one covers."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from samples import REQUIRED, classroom, sturdy

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Criteria, Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.combinations import combinations, set_rows
from shellcheck_earth.loads.joint import (
    COMBINED,
    ON_THE_GROUND,
    PLAIN,
    GroundLimits,
    Row,
    dead_rows,
    ground_limits,
    multiplied,
    required_of,
    side_rows,
)


def _partial(design: Design) -> Design:
    return replace(design, criteria=Criteria("EN 1990", FrozenMap(REQUIRED)))


def _site(**changes: Any) -> Design:
    return replace(classroom(), site=replace(classroom().site, **changes))


def test_global_factors_divide_everything_by_what_the_load_requires() -> None:
    for kind, criterion, r in (
        ("wind", "storm", 1.1),
        ("earthquake", "earthquake", 1.1),
        ("snow", "overall reserve", 1.25),
    ):
        (row,) = side_rows(classroom(), kind, criterion, building=False)
        assert (row.friction, row.strength, row.wire, row.width) == (r, r, r, r)
        assert (row.permanent, row.load, row.divides) == (1.0, 1.0, True)
        assert (row.sliding, row.bearing) == (0.0, 1.0)  # the ground's friction is divided like the others
    dry = dead_cases(build_dome(classroom()))[0]
    assert dead_rows(classroom(), dry) == ()
    assert required_of(classroom().criteria, COMBINED) == 1.0
    assert required_of(classroom().criteria, "storm") == 1.1


def test_partial_factors_ask_each_row_of_a_load_from_one_side_once() -> None:
    design = _partial(_site(wind_basis="characteristic", earthquake_basis="characteristic"))
    *of_set, ground = side_rows(design, "wind", "storm", building=False)
    assert ground == Row(ON_THE_GROUND, sliding=0.0, bearing=1.0)
    rows = {row.name: row for row in of_set}
    assert {name: (row.permanent, row.load, row.friction, row.strength) for name, row in rows.items()} == {
        "DA1-C1 unfavourable": (1.35, 1.5, 1.0, 3.0),
        "DA1-C1 favourable": (1.0, 1.5, 1.0, 3.0),
        "DA1-C2": (1.0, 1.3, 1.25, 3.0),
        "EQU unfavourable": (1.1, 1.5, 1.25, 3.0),
        "EQU favourable": (0.9, 1.5, 1.25, 3.0),  # weight that holds down against wind that lifts
    }
    assert {row.wire for row in rows.values()} == {1.25} and {row.width for row in rows.values()} == {1.0}
    quake, _ = side_rows(design, "earthquake", "earthquake", building=False)
    assert (quake.permanent, quake.load, quake.friction) == (1.0, 1.5, 1.25)
    building = side_rows(_partial(classroom()), "worker", "overall reserve", building=True)
    assert {row.strength for row in building if row.name != ON_THE_GROUND} == {2.0}
    tested = side_rows(_partial(sturdy()), "wind", "storm", building=False)
    assert {row.strength for row in tested if row.name != ON_THE_GROUND} == {2.5}
    half_tested = replace(sturdy(), bases=FrozenMap({"fill.strength_dry": "measured"}))
    half = side_rows(_partial(half_tested), "wind", "storm", building=False)
    assert {row.strength for row in half if row.name != ON_THE_GROUND} == {3.0}


def test_of_a_dead_load_only_the_rows_that_none_covers() -> None:
    design = _partial(replace(classroom(), site=replace(classroom().site, snow=1.0)))
    cases = {case.id: case for case in dead_cases(build_dome(design))}
    assert [row.name for row in dead_rows(design, cases["finished-dry"])] == ["DA1-C1 unfavourable", "EQU unfavourable"]
    snowed = {row.name: (row.permanent, row.load) for row in dead_rows(design, cases["finished-snow"])}
    assert snowed == {
        "DA1-C1 snow": (1.35, 1.5), "DA1-C1 favourable, snow": (1.0, 1.5), "DA1-C2 snow": (1.0, 1.3),
        "EQU snow": (1.1, 1.5), "EQU favourable, snow": (0.9, 1.5),
    }  # fmt: skip


def test_the_ground_is_asked_of_finished_domes_that_are_damp_or_soaked() -> None:
    design = replace(classroom(), site=replace(classroom().site, snow=1.0))
    dome = build_dome(design)
    asked = {case.id for case in dead_cases(dome) if any(row.bearing for row in dead_rows(design, case))}
    finished = {"finished-damp", "soaked-through", "finished-damp-snow", "wire-gone", "base-soaked", "base-soaked-snow"}
    assert asked == finished & {case.id for case in dead_cases(dome)}
    (row,) = dead_rows(design, next(case for case in dead_cases(dome) if case.id == "finished-damp"))
    assert row == Row(ON_THE_GROUND, sliding=1.5, bearing=1.0)


@pytest.mark.parametrize(
    ("tested", "friction", "bearing"),
    [((), 0.086, 72.0), (("site.ground_friction_wet",), 0.3, 72.0), (("site.ground_bearing_wet",), 0.086, 90.0)],
)
def test_ground_that_nobody_measured_counts_at_its_low_end(
    tested: tuple[str, ...], friction: float, bearing: float
) -> None:
    site = replace(classroom().site, ground_friction=0.5, friction_wet=0.3, ground_bearing=150.0, bearing_wet=90.0)
    design = replace(classroom(), site=site, bases=FrozenMap({path: "measured" for path in tested}))
    row = Row(sliding=1.5, bearing=1.2)
    assert ground_limits(design, row, sideways=True) == GroundLimits(friction / 1.5, bearing / 1.2)
    assert ground_limits(design, PLAIN, sideways=True) == GroundLimits(friction, math.inf)
    assert ground_limits(design, PLAIN, sideways=False) == GroundLimits()
    low = replace(design, site=replace(site, friction_wet=0.05, bearing_wet=40.0))
    assert ground_limits(low, row, sideways=False) == GroundLimits(0.05 / 1.5, 40.0 / 1.2)


def _of_set(design: Design, kind: str, criterion: str) -> list[Row]:
    """Without the row of the ground."""
    return [row for row in side_rows(design, kind, criterion, building=False) if row.name != ON_THE_GROUND]


def test_the_factor_of_wind_and_earthquake_follows_what_they_are_stated_as() -> None:
    """EN 1990: 1.5 on a peak pressure, 1.0 on one at strength level; a set of global factors raises a characteristic
    one by what it requires beyond strength level, 1.5/1.1, with every capacity over 1.1 either way."""
    for level, factor, quake in (("characteristic", 1.5, 1.5), ("strength level", 1.0, 1.0)):
        design = _partial(_site(wind_basis=level, earthquake_basis=level))
        rows = {row.name: row for row in _of_set(design, "wind", "storm")}
        assert rows["DA1-C1 unfavourable"].load == rows["EQU favourable"].load == factor
        assert rows["EQU favourable"].permanent == 0.9
        assert [row.load for row in _of_set(design, "earthquake", "earthquake")] == [quake]
    usual = _site(wind_basis="characteristic")
    usual = replace(usual, criteria=Criteria("common practice", FrozenMap({**REQUIRED, "storm": 1.5})))
    (row,) = side_rows(usual, "wind", "storm", building=False)
    assert (row.load, row.friction, row.width) == (pytest.approx(1.5 / 1.1), 1.1, 1.1)
    (row,) = side_rows(replace(usual, site=replace(usual.site, wind_basis="strength level")), "wind", "storm",
                       building=False)  # fmt: skip
    assert (row.load, row.friction) == (1.0, 1.5)  # raised by the design: on the capacities, as it was stated


def _approach_2(**changes: Any) -> Design:
    site = _site(snow=1.0, wind_pressure=0.6, wind_basis="characteristic")
    return replace(site, criteria=Criteria("EN 1990 DA2", site.criteria.required), **changes)


def test_rows_of_the_ground_act_with_their_loads_in_design_approach_2() -> None:
    """A1 + M1 + R2: 1.35 G and 1.5 Q beside 1.1 on sliding and 1.4 on bearing, and G as it is; stability (EQU)
    and earthquakes have none of their own."""
    design = _approach_2()
    wind = {row.name: row for row in _of_set(design, "wind", "storm")}
    for name, permanent in (("DA2 unfavourable", 1.35), ("DA2 favourable", 1.0)):
        row = wind[name]
        assert (row.permanent, row.load, row.friction, row.sliding, row.bearing) == (permanent, 1.5, 1.0, 1.1, 1.4)
    assert (wind["EQU favourable"].sliding, wind["EQU favourable"].bearing) == (0.0, 0.0)
    row, site = wind["DA2 unfavourable"], design.site
    limits = ground_limits(design, row, sideways=True)
    plain = ground_limits(design, replace(row, sliding=1.0, bearing=1.0), sideways=True)
    assert limits.friction == pytest.approx(plain.friction / 1.1) and limits.bearing == pytest.approx(
        plain.bearing / 1.4
    )
    assert plain.bearing <= site.ground_bearing
    dry, damp = (
        next(case for case in dead_cases(build_dome(design)) if case.id == name)
        for name in ("finished-dry", "finished-damp")
    )
    assert {row.grounded for row in dead_rows(design, dry)} == {False}
    own = {row.name: row for row in dead_rows(design, damp) if row.grounded}
    assert own.keys() == {"DA2 unfavourable", "DA2 favourable", ON_THE_GROUND}
    assert (own["DA2 favourable"].permanent, own["DA2 favourable"].bearing) == (1.0, 1.4)


def test_a_row_with_factors_of_the_ground_covers_only_what_asks_the_ground_no_harder() -> None:
    usual = Row(permanent=1.35, strength=3.0, sliding=1.1, bearing=1.4)
    assert usual.covers(replace(usual, sliding=1.0, bearing=1.2)) and usual.covers(usual)
    for other in (
        replace(usual, bearing=1.5), replace(usual, sliding=1.2), replace(usual, permanent=1.0),
        replace(usual, sliding=0.0, bearing=0.0),
    ):  # fmt: skip
        assert not usual.covers(other) and (other.grounded or not other.covers(usual))
    bare = replace(usual, sliding=0.0, bearing=0.0)
    assert bare.covers(replace(bare, permanent=1.0))  # without them forces made smaller together hold it


def test_what_stands_beside_a_load_acts_with_it() -> None:
    """1.5 W with 0.5 x 1.5 S all around and 1.5 S with 0.6 x 1.5 W; on a stage, and without the other load, neither."""
    both = _partial(_site(snow=1.0, wind_pressure=0.6, wind_basis="characteristic"))
    wind = {row.name: (row.permanent, row.load, row.snow) for row in _of_set(both, "wind", "storm")}
    assert wind["DA1-C1 wind leads, snow"] == (1.35, 1.5, 0.75) and wind["DA1-C1 unfavourable"] == (1.35, 1.5, 0.0)
    assert wind["EQU snow leads, wind"] == (1.1, 0.9, 1.5) and wind["EQU favourable"] == (0.9, 1.5, 0.0)
    snow = {row.name: (row.load, row.wind) for row in _of_set(both, "snow", "overall reserve")}
    assert snow["DA1-C2 snow leads, wind"] == (1.3, 0.78) and snow["DA1-C2 snow"] == (1.3, 0.0)
    assert {row.snow for row in side_rows(both, "wind", "storm", building=True)} == {0.0}
    alone = _of_set(_partial(_site(snow=1.0)), "snow", "overall reserve")
    assert {row.wind for row in alone} == {0.0} and len(alone) == 5  # the greatest of each weight and set of capacities
    quake = _of_set(_partial(_site(snow=1.0, earthquake=0.1)), "earthquake", "earthquake")
    assert {row.name: row.snow for row in quake} == {"EN 1998": 0.0, "EN 1998, snow": 0.2}


def test_a_row_of_the_design_comes_beside_the_set_or_in_place_of_one_of_its_rows() -> None:
    theirs = {row.name: row for row in set_rows("EN 1990")}
    more, other = (
        replace(theirs["EQU favourable"], wind=1.65),
        replace(theirs["EQU favourable"], name="County", wind=1.7),
    )
    usual = _site(wind_basis="characteristic")
    design = _partial(usual)
    design = replace(design, criteria=replace(design.criteria, rows=(more, other)))
    found = combinations(design.criteria)
    assert (
        [row.name for row in found] == [*theirs, "County"] and more in found and theirs["EQU favourable"] not in found
    )
    rows = {row.name: row.load for row in _of_set(design, "wind", "storm")}
    assert "EQU favourable" not in rows and rows["County"] == 1.7  # the same but for less of the load
    practice = replace(usual, criteria=replace(usual.criteria, rows=(other,)))
    assert [row.name for row in side_rows(practice, "wind", "storm", building=False)] == ["all capacities", "County"]
    assert [row.name for row in dead_rows(practice, dead_cases(build_dome(practice))[0])] == ["County"]


def test_one_row_covers_another_only_in_everything() -> None:
    base = Row("a", permanent=1.1, friction=1.25, strength=3.0, wire=1.25)
    assert base.covers(replace(base, permanent=1.0)) and not replace(base, permanent=1.0).covers(base)
    for name in ("friction", "strength", "wire", "width"):
        more = replace(base, **{name: getattr(base, name) + 0.1})
        assert more.covers(base) and not base.covers(more)
    assert base.covers(base) and base.covers(PLAIN) and not PLAIN.divides


def test_weights_and_snow_are_multiplied_apart() -> None:
    design = replace(classroom(), site=replace(classroom().site, snow=1.0))
    cases = {case.id: case for case in dead_cases(build_dome(design))}
    dry, snow = cases["finished-dry"], cases["finished-snow"]
    more = multiplied(snow, 1.35, 1.5)
    for a, b, c in zip(dry.states, snow.states, more.states, strict=True):
        assert c.weight == pytest.approx(1.35 * a.weight + 1.5 * (b.weight - a.weight))
        assert c.moment == pytest.approx(1.35 * a.moment + 1.5 * (b.moment - a.moment))
    assert (more.permanent, multiplied(more, 1.0, 1.0)) == (1.35, more)


@pytest.mark.parametrize(
    ("row", "as_it_is"),
    [
        (PLAIN, True),
        (Row("a", friction=1.1, strength=2.0, load=1.5, sliding=1.5, bearing=1.0), True),
        (Row("a", permanent=1.1), False),
        (Row("a", permanent=0.9), False),
        (Row("a", snow=0.5), False),
        (Row("a", wind=0.5), False),
    ],
)
def test_a_multiple_of_the_load_alone_follows_only_from_weights_as_they_are(row: Row, as_it_is: bool) -> None:
    assert row.as_it_is == as_it_is


@pytest.mark.parametrize(("permanent", "imposed"), [(1.35, 0.5), (1.35, 1.5), (1.5, 1.5), (1.0, 1.0), (1.0, 1.2)])
def test_loads_at_one_radius_are_multiplied_as_what_is_imposed(permanent: float, imposed: float) -> None:
    """The top ring with a worker on every radian: 1.5 kN times the factor; what it weighs itself times the other."""
    cases = {case.id: case for case in dead_cases(build_dome(classroom()))}
    case = next(case for case in cases.values() if any(state.loads for state in case.states))
    more = multiplied(case, permanent, imposed)
    seen = 0
    for state, other in zip(case.states, more.states, strict=True):
        own = sum(part.unit_weight * part.height * (part.outer**2 - part.inner**2) / 2 for part in state.parts)
        loads = sum(load.weight for load in state.loads)
        assert state.weight == pytest.approx(own + loads)
        assert other.weight == pytest.approx(permanent * own + imposed * loads)
        assert [load.radius for load in other.loads] == [load.radius for load in state.loads]
        seen += len(state.loads)
    assert seen > 0


def test_ground_divides_by_the_row_and_holds_a_load_from_one_side_always() -> None:
    """Measured wet values of 0.35 and 80 kPa."""
    site = replace(classroom().site, ground_friction=0.5, friction_wet=0.35, ground_bearing=96.0, bearing_wet=80.0)
    measured: Any = {f"site.ground_{name}_wet": "measured" for name in ("friction", "bearing")}
    design = replace(classroom(), site=site, bases=FrozenMap({**classroom().bases, **measured}))
    asked = Row(ON_THE_GROUND, sliding=1.4, bearing=1.6)
    assert ground_limits(design, asked, sideways=False) == GroundLimits(0.35 / 1.4, 80.0 / 1.6)
    assert ground_limits(design, asked, sideways=True) == GroundLimits(0.35 / 1.4, 80.0 / 1.6)
    assert ground_limits(design, PLAIN, sideways=False) == GroundLimits()
    assert ground_limits(design, PLAIN, sideways=True) == GroundLimits(0.35)
