"""From what a search says to a margin: a search that did not close is no answer, and the ground is asked by numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Any

import numpy as np
import pytest
from samples import REQUIRED, classroom, sturdy
from two_courses import set_off

from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, case_of, dead_cases
from shellcheck_earth.mechanics.rings import capacity
from shellcheck_earth.mechanics.rings.admissible import Scales, pack
from shellcheck_earth.mechanics.rings.capacity import BaseState, Edge, base_state, least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import checks, shortfalls
from shellcheck_earth.safety.checks import CHECKS, LINE, check_of, line_questions, reserve_of
from shellcheck_earth.safety.ground import ground_demand, ground_of
from shellcheck_earth.safety.margins import case_margins, line_margin

DOME = build_dome(classroom())
CASES = {case.id: case for case in dead_cases(DOME)}


def asked(edge: Edge, required: float) -> Any:
    case = CASES["finished-dry"]
    lune = cut_lune(DOME, case)
    question = SimpleNamespace(check=LINE[0], label="bed friction", required=required, lune=lune, combination="")
    question.edge = lambda: edge
    return line_margin(DOME, case, question)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("edge", "required", "meets", "factor", "why"),
    [
        (Edge(None, -1, closed=False), 1.5, None, None, "not closed"),
        (Edge(None, 3, closed=False), 1.5, None, None, "not closed"),
        (Edge(None, 3), 1.5, False, None, "none enough"),
        (Edge(0.0, -1), 1.5, True, None, "nothing needed"),
        (Edge(0.5, 3), 1.99, True, 2.0, ""),
        (Edge(0.5, 3), 2.0, True, 2.0, ""),
        (Edge(0.5, 3), 2.01, False, 2.0, ""),
        (Edge(0.5, 0), 2.01, False, 2.0, ""),
    ],
)
def test_what_a_search_says(edge: Edge, required: float, meets: bool | None, factor: float | None, why: str) -> None:
    found = asked(edge, required)
    assert (found.meets, found.factor, found.why, found.required) == (meets, factor, why, required)
    lune = cut_lune(DOME, CASES["finished-dry"])
    assert found.course == (None if edge.bed < 0 else lune.number[edge.bed])
    assert found.available == (lune.friction[edge.bed] if edge.bed >= 0 else lune.friction.min())
    if factor:
        assert found.needed == pytest.approx(0.5 * found.available)
    assert found.share == (factor / required if factor else math.inf if meets else 0.0)


@pytest.mark.parametrize(
    ("state", "fails", "value", "closed"),
    [(0, False, 0.7, True), (1, False, 0.0, True), (1, True, None, False), (2, True, None, True),
     (2, False, None, False), (3, True, None, False), (3, False, None, False)],
)  # fmt: skip
def test_a_bracket_that_contradicts_the_dome_is_no_answer(
    state: int, fails: bool, value: float | None, closed: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(capacity, "_least", lambda *_: (state, 0.7, 4))
    monkeypatch.setattr(capacity, "failing_bed", lambda *_: 2 if fails else -1)
    found = least_capacity(np.zeros((1, 1)), (capacity.FRICTION,), 1e-6, 1e4)
    assert (found.value, found.closed) == (value, closed)
    if state == 1 and fails:  # a value in place of the available ones, or a share above 1, is no contradiction
        assert least_capacity(np.zeros((1, 1)), (capacity.FRICTION_VALUE,), 1e-6, 1e4).closed
        assert least_capacity(np.zeros((1, 1)), (capacity.FRICTION,), 1.01, 1e4).closed


@pytest.mark.parametrize(
    ("edge", "reserve"),
    [(Edge(None, 2, closed=False), None), (Edge(None, 2), 0.0), (Edge(0.8, 2), 1.25), (Edge(0.0, -1), 1000.0)],
)
def test_the_reserve_of_a_search(edge: Edge, reserve: float | None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(checks, "least_capacity", lambda *_: edge)
    assert reserve_of(cut_lune(DOME, CASES["finished-dry"])) == reserve


# -- thrust at the base, by hand -------------------------------------------------------------------------------------


def test_an_overhang_pushes_outward_and_one_that_leans_out_is_pulled_in() -> None:
    """Lower bed from 2.5 m, mean weight at 2.45 m: 1 kN m of a ring at most 0.4 m up is 2.5 kN; friction ends it at
    5 kN. Leaning out, 1 kN m of a wire 0.2 m up is 5 kN, and it may pull 5.1.
    """
    pressed = base_state(pack(set_off(0.5, ring_strength=np.array([np.inf, 0.0]))))
    assert pressed is not None
    assert (pressed.least, pressed.greatest) == pytest.approx((2.5, 5.0), abs=1e-6)
    assert pressed.friction == pytest.approx(2.5 / 20, abs=1e-7)
    pulled = base_state(pack(set_off(-0.5, wire=np.array([5.1, 0.0]), friction=np.full(2, 0.6))))
    assert pulled is not None
    assert (pulled.least, pulled.greatest) == pytest.approx((-5.1, -5.0), abs=1e-6)
    assert pulled.friction == pytest.approx(5.0 / 20, abs=1e-7)
    still = base_state(pack(set_off(0.0, ring_strength=np.array([np.inf, 0.0]), wire=np.array([3.0, 0.0]))))
    assert still is not None and still.friction == 0.0 and still.least < 0.0 < still.greatest
    # Its weight at the middle of the bed: the middlemost line is there.
    assert still.x == pytest.approx(2.2, abs=1e-4)
    assert base_state(pack(set_off(0.5))) is None


def test_what_the_base_asks_of_the_ground() -> None:
    """20 kN on a strip 2.0 to 2.4 m: 22.73 kPa in the middle; 0.03 m off it 22.73 x 1.45."""
    lune = set_off(0.0)
    found = ground_demand(lune, BaseState(2.5, 5.0, 0.125, 2.23))
    assert (found.friction, found.edge_stress) == (0.125, pytest.approx(20 / 2.2 / 0.4 * 1.45))
    assert ground_demand(lune, BaseState(0.0, 0.0, 0.9e-9, 2.2)).friction == 0.0
    assert ground_demand(lune, BaseState(0.0, 0.0, 1.1e-9, 2.2)).friction == 1.1e-9


# -- the ground ------------------------------------------------------------------------------------------------------


def grounded(**site: float) -> Dome:
    design = classroom()
    given = {
        "ground_friction": 0.5,
        "ground_bearing": 90.0,
        "friction_wet": 0.3,
        "bearing_wet": 60.0,
    } | site
    return build_dome(replace(design, site=replace(design.site, **given)))  # type: ignore[arg-type]


@pytest.mark.parametrize("wetting", ["none", "rain", "base", "saturated"])
def test_rain_reaches_the_ground_too(wetting: str) -> None:
    found = ground_of(grounded(), replace(CASES["finished-dry"], wetting=wetting))
    assert (found.friction, found.bearing) == ((0.5, 90.0) if wetting == "none" else (0.3, 60.0))


def ground_margins(dome: Dome, base: BaseState | None, required: dict[str, float]) -> list[Any]:
    set_of = MappingProxyType(dict(REQUIRED) | required)
    dome = replace(dome, design=replace(dome.design, criteria=replace(dome.design.criteria, required=set_of)))
    case: Case = replace(CASES["finished-dry"], wetting="rain")
    return [
        one
        for one in case_margins(dome, case, cut_lune(DOME, case), base)
        if one.check in ("base sliding", "ground bearing")
    ]


def test_the_ground_by_numbers() -> None:
    """0.2 of 0.3 is 1.5; an edge stress that is 50 of 60 kPa is 1.2."""
    lune = cut_lune(DOME, CASES["finished-dry"])
    middle = float(lune.bed_inner[-1] + lune.bed_outer[-1]) / 2
    stress = ground_demand(lune, BaseState(1.0, 2.0, 0.2, middle)).edge_stress
    dome = grounded(bearing_wet=1.2 * stress)
    base = BaseState(1.0, 2.0, 0.2, middle)
    for slide, bear, meets in ((1.49, 1.19, [True, True]), (1.51, 1.19, [False, True]), (1.49, 1.21, [True, False])):
        sliding, bearing = ground_margins(dome, base, {"base sliding": slide, "ground bearing": bear})
        assert [sliding.meets, bearing.meets] == meets
        assert (sliding.factor, bearing.factor) == pytest.approx((1.5, 1.2))
        assert (sliding.required, bearing.required) == (slide, bear)
        assert sliding.course == bearing.course == lune.number[-1]
    assert [(one.meets, one.why) for one in ground_margins(dome, None, {})] == [(False, "no line")] * 2
    calm = ground_margins(dome, BaseState(-1.0, 2.0, 0.0, middle), {})[0]
    assert (calm.meets, calm.why, calm.needed) == (True, "nothing needed", 0.0)


@pytest.mark.parametrize(
    ("slide", "bear", "short"),
    [
        (1.49, 1.19, []),
        (1.51, 1.19, ["base sliding"]),
        (1.49, 1.21, ["ground bearing"]),
        (1.6, 1.3, ["base sliding", "ground bearing"]),
    ],
)
def test_yes_or_no_asks_the_same_of_the_ground(
    slide: float, bear: float, short: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    case = replace(CASES["finished-dry"], wetting="rain")
    lune = cut_lune(DOME, case)
    middle = float(lune.bed_inner[-1] + lune.bed_outer[-1]) / 2
    base = BaseState(1.0, 2.0, 0.2, middle)
    stress = ground_demand(lune, base).edge_stress
    dome = grounded(bearing_wet=1.2 * stress)
    set_of = MappingProxyType(dict(REQUIRED) | {"base sliding": slide, "ground bearing": bear})
    dome = replace(dome, design=replace(dome.design, criteria=replace(dome.design.criteria, required=set_of)))
    monkeypatch.setattr(shortfalls, "base_state", lambda *_: base)
    assert [one.check for one in shortfalls._ground_short(dome, case, lune)] == short
    monkeypatch.setattr(shortfalls, "base_state", lambda *_: None)
    assert [one.check for one in shortfalls._ground_short(dome, case, lune)] == ["base sliding", "ground bearing"]


# -- the table -------------------------------------------------------------------------------------------------------


def test_each_check_by_its_name_and_criterion() -> None:
    assert [check.key for check in CHECKS] == [
        "bed friction", "geometric factor", "strength", "wire tension", "overall reserve", "combined factors",
        "standing without wire", "base sliding", "ground bearing",
    ]  # fmt: skip
    strength = check_of("strength while building")
    assert strength is check_of("strength")
    assert strength.label(CASES["finished-dry"]) == "strength"
    assert strength.label(CASES["stage-05"]) == "strength while building"
    assert all(check.label(CASES["stage-05"]) == check.key for check in CHECKS if check is not strength)
    with pytest.raises(KeyError):
        check_of("trust")


@pytest.mark.parametrize(
    ("key", "divided"),
    [
        ("bed friction", {"friction"}),
        ("geometric factor", {"contact"}),
        ("strength", {"strength"}),
        ("wire tension", {"wire"}),
        ("overall reserve", {"friction", "strength", "wire", "half_width"}),
        ("standing without wire", {"friction", "strength", "wire", "half_width"}),
        ("combined factors", {"friction", "strength", "wire"}),
    ],
)
def test_each_check_divides_its_own_capacities(key: str, divided: set[str]) -> None:
    found, plain = vars(check_of(key).scales(0.4)), vars(Scales())
    assert {name for name in found if found[name] != plain[name]} == divided
    assert {found[name] for name in divided} == {0.4}


@pytest.mark.parametrize("case_id", ["finished-dry", "stage-05"])
def test_every_question_at_what_its_own_criterion_requires(case_id: str) -> None:
    names = (
        "bed friction",
        "geometric factor",
        "strength",
        "strength while building",
        "wire tension",
        "overall reserve",
    )
    required = MappingProxyType(dict(REQUIRED) | {name: 2.0 + 0.1 * i for i, name in enumerate(names)})
    design = classroom()
    dome = build_dome(replace(design, criteria=replace(design.criteria, required=required)))
    found = {one.label: one.required for one in line_questions(dome, CASES[case_id])}
    other = "strength while building" if case_id == "finished-dry" else "strength"
    assert found == {name: required[name] for name in names if name != other}


def combined(**changes: Any) -> dict[str, Any]:
    base = sturdy(**changes)
    design = replace(base, criteria=replace(base.criteria, set_name="EN 1990"))
    dome = build_dome(design)
    cases = {case.id: case for case in dead_cases(dome)}
    return {
        f"{case_id} {one.combination}": (one, cut_lune(dome, cases[case_id]))
        for case_id in ("finished-damp-snow", "stage-05-worker")
        for one in line_questions(dome, cases[case_id])
        if one.combination
    }


@pytest.mark.parametrize(("measured", "lived_in", "building"), [(True, 2.5, 1.5), (False, 3.0, 2.0)])
def test_partial_factors_on_loads_and_capacities_at_once(measured: bool, lived_in: float, building: float) -> None:
    """EN 1997-1 tables A.3, A.4, EN 1990 table A1.2(A); the strength by whether it was tested, and is lived under."""
    base = sturdy()
    bases = base.bases if measured else {**base.bases, "fill.strength_as_placed": "stated"}
    found = combined(site=replace(base.site, snow=1.0), bases=MappingProxyType(dict(bases)))
    dome = build_dome(base)
    bare = {
        beside: cut_lune(dome, case_of(dome, alone)).weight
        for beside, alone in (("finished-damp-snow", "finished-damp"), ("stage-05-worker", "stage-05"))
    }
    rows = {
        "DA1-C1 unfavourable": ("DA1-C1 snow", 1.35, 1.5, 1.0),
        "DA1-C2": ("DA1-C2 snow", 1.0, 1.3, 1.25),
        "EQU favourable": ("EQU favourable, snow", 0.9, 1.5, 1.25),
    }
    assert {name.partition(" ")[2] for name in found if "snow" in name.partition(" ")[0]} == {
        "DA1-C1 snow", "DA1-C1 favourable, snow", "DA1-C2 snow", "EQU snow", "EQU favourable, snow",
    }  # fmt: skip
    for crewed, (snowed, permanent, imposed, soil) in rows.items():
        for case_id, row, strength in (
            ("finished-damp-snow", snowed, lived_in),
            ("stage-05-worker", crewed, building),
        ):
            question, lune = found[f"{case_id} {row}"]
            assert question.required == 1.0 and question.label == "combined factors"
            assert question.lune.friction == pytest.approx(lune.friction / soil)
            assert question.lune.crush_inner == pytest.approx(lune.crush_inner / strength)
            assert question.lune.ring_strength == pytest.approx(lune.ring_strength / strength)
            assert question.lune.wire == pytest.approx(lune.wire / 1.25)
            # What rests on the top course but its own weight: 1 kPa of snow on its disc, or a worker at its middle.
            still = bare[case_id][0]
            assert question.lune.weight[0] == pytest.approx(permanent * still + imposed * (lune.weight[0] - still))
            assert lune.weight[0] > still
