"""Rows of factors that blocks are asked at: what divides what, and which rows another one covers."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from samples import REQUIRED, classroom, sturdy

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Criteria, Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
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
    return replace(design, criteria=Criteria("partial factors", FrozenMap(REQUIRED)))


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
    *of_set, ground = side_rows(_partial(classroom()), "wind", "storm", building=False)
    assert ground == Row(ON_THE_GROUND, sliding=0.0, bearing=1.0)
    rows = {row.name: row for row in of_set}
    assert {name: (row.permanent, row.load, row.friction, row.strength) for name, row in rows.items()} == {
        "DA1-C1 unfavourable": (1.35, 1.5, 1.0, 3.0),
        "DA1-C1 favourable": (1.0, 1.5, 1.0, 3.0),
        "DA1-C2 unfavourable": (1.0, 1.3, 1.25, 3.0),  # the favourable one is the same beside a load from one side
        "EQU unfavourable": (1.1, 1.5, 1.25, 3.0),
        "EQU favourable": (0.9, 1.5, 1.25, 3.0),  # weight that holds down against wind that lifts
    }
    assert {row.wire for row in rows.values()} == {1.25} and {row.width for row in rows.values()} == {1.0}
    quake, _ = side_rows(_partial(classroom()), "earthquake", "earthquake", building=False)
    assert (quake.permanent, quake.load, quake.friction) == (1.0, 1.0, 1.25)
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
        "DA1-C1 unfavourable": (1.35, 1.5), "DA1-C2 unfavourable": (1.0, 1.3), "EQU unfavourable": (1.1, 1.5),
    }  # fmt: skip


def test_the_ground_is_asked_of_finished_domes_that_are_damp_or_soaked() -> None:
    design = replace(classroom(), site=replace(classroom().site, snow=1.0))
    dome = build_dome(design)
    asked = {case.id for case in dead_cases(dome) if any(row.bearing for row in dead_rows(design, case))}
    finished = {"finished-damp", "soaked-through", "finished-damp-snow", "wire-gone", "base-soaked"}
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
