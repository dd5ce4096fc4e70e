"""The spine: margins against the exact set, verdicts, proofs, and what may never be a pass."""

from __future__ import annotations

import json
from dataclasses import replace
from types import MappingProxyType

import pytest
from samples import REQUIRED, TESTED, classroom, sturdy

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.safety.assumptions import beyond_range
from shellcheck_earth.safety.cautions import cautions, loads_left_out
from shellcheck_earth.safety.check import check, examine, verdict_of
from shellcheck_earth.safety.findings import Caution
from shellcheck_earth.safety.ground import bearing_stress
from shellcheck_earth.safety.proofs import Prover
from shellcheck_earth.safety.shortfalls import meets_all, shortfalls
from shellcheck_earth.safety.untested import sensitivity, tried_ends, with_number
from shellcheck_earth.safety.worst import outcome

STRONG = sturdy()
WEAK = classroom()


def test_verdicts() -> None:
    assert check(STRONG, explore=False).verdict == "meets"
    assert [one.kind for one in check(STRONG, proofs=False, explore=False).doubts] == ["proofs not asked"]
    short = check(WEAK, proofs=False, explore=False)
    assert short.verdict == "falls short"


@pytest.mark.parametrize(
    "design", [STRONG, WEAK, with_number(STRONG, "beds.friction", 0.3), with_number(STRONG, "wall.filled_width", 0.26)]
)
def test_one_question_a_check_agrees_with_the_margins(design) -> None:  # type: ignore[no-untyped-def]
    stack = build_dome(design)
    expected = set()
    for case in build_model(design).counted:
        if case.counts:
            result = examine(stack, case).result
            expected |= {(case.id, margin.check) for margin in result.margins if not margin.meets}
    assert {(short.case_id, short.check) for short in shortfalls(design)} == expected
    assert meets_all(design) == (not expected)


@pytest.mark.parametrize("design", [STRONG, WEAK])
def test_every_case_is_proven(design) -> None:  # type: ignore[no-untyped-def]
    done = check(design, explore=False)
    assert all(case.proof.startswith("proven") for case in done.cases)
    entries = {entry["case"]: entry for entry in json.loads(done.certificate or "")["cases"]}
    for case in done.cases:
        met = {name for line in entries[case.id]["lines"] for name in line["shows"]}
        assert ("thrust line" in met) == (case.status == "admissible")


def test_factor_is_available_over_needed() -> None:
    done = check(WEAK, proofs=False, explore=False)
    for case in done.cases:
        for margin in case.margins:
            if margin.factor is not None and margin.needed and margin.available:
                assert margin.factor == pytest.approx(
                    margin.available / margin.needed, rel=1e-6
                )  # searches close to 1e-9
                assert margin.meets == (margin.factor >= margin.required)


def test_cannot_say_is_never_a_pass() -> None:
    done = check(STRONG, proofs=False, explore=False)
    unsure = tuple(replace(case, status="cannot say") if case.id == "finished-dry" else case for case in done.cases)
    assert verdict_of(unsure) == "cannot say"
    assert verdict_of(done.cases) == "meets"  # the doubts come on top
    assert verdict_of(()) == "cannot say"


def test_wind_or_earthquake_alone_takes_the_verdict_from_the_ring_symmetric_check() -> None:
    windy = replace(STRONG, site=replace(STRONG.site, wind_pressure=0.8))
    assert check(windy, blocks=False, explore=False).verdict == "cannot say"
    assert outcome(windy).verdict == "cannot say"


def test_an_unprotected_dome_counts_as_soaked() -> None:
    fill = replace(STRONG.fill, strength_wet=20.0)
    for bare in (
        replace(STRONG, fill=fill, site=replace(STRONG.site, left_unprotected=True)),
        replace(STRONG, fill=fill, plaster=replace(STRONG.plaster, outside=0.0)),
    ):
        assert any(short.case_id == "soaked-through" for short in shortfalls(bare))
        roofed = replace(bare, site=replace(bare.site, roof=True, left_unprotected=False))
        assert not any(short.case_id == "soaked-through" for short in shortfalls(roofed))


def test_no_verdict_rests_on_a_value_past_its_range_that_was_not_measured() -> None:
    bold = replace(
        with_number(STRONG, "beds.friction", 1.2), bases=MappingProxyType({**TESTED, "beds.friction": "stated"})
    )
    found = check(bold, proofs=False, explore=False)
    assert found.verdict == "cannot say"
    assert [(one.path, one.value, one.above) for one in beyond_range(bold)] == [("beds.friction", "1.20", True)]
    assert (found.doubts[0].kind, found.doubts[0].path) == ("past its range", "beds.friction")
    assert outcome(replace(bold, bases=TESTED)).verdict == "meets"


def test_what_is_not_so_is_not_proven() -> None:
    prover = Prover(WEAK)
    assert prover.case("finished-dry", True).established
    assert prover.margin("finished-dry", "geometric factor", True).endswith("that it meets")
    assert prover.margin("finished-dry", "geometric factor", False).endswith("not proven either way")
    assert prover.case("finished-dry", False).established is False


def test_lowered_criteria_are_said() -> None:
    lowered = replace(
        STRONG,
        criteria=replace(
            STRONG.criteria,
            required=MappingProxyType(dict(REQUIRED) | {"bed friction": 1.1}),
            overridden=("bed friction",),
        ),
    )
    said = [one.values for one in cautions(build_dome(lowered)) if one.key == "lowered criteria"]
    assert said == [(("bed friction", 1.1, 1.5),)]
    assert not any(one.key == "lowered criteria" for one in cautions(build_dome(STRONG)))


def test_stricter_criteria_never_turn_a_shortfall_into_a_pass() -> None:
    for factor in (1.2, 1.6, 2.5):
        strict = MappingProxyType({name: value * factor for name, value in REQUIRED.items()})
        harder = replace(WEAK, criteria=replace(WEAK.criteria, required=strict))
        assert {(s.case_id, s.check) for s in shortfalls(WEAK)} <= {(s.case_id, s.check) for s in shortfalls(harder)}


def test_bearing_by_hand() -> None:
    # 40 kN on a strip 1.8 to 2.2 m: 20 kN/m on 0.4 m = 50 kPa in the middle; at e = 0.05, edge 50 (1 + 0.75) = 87.5.
    assert bearing_stress(40.0, 2.0, 1.8, 2.2).edge == pytest.approx(50.0)
    assert bearing_stress(40.0, 2.05, 1.8, 2.2).edge == pytest.approx(87.5)
    assert bearing_stress(40.0, 1.95, 1.8, 2.2).edge == pytest.approx(87.5)
    assert bearing_stress(40.0, 1.9, 1.8, 2.2).edge == pytest.approx(400 / 3)
    # Outside the middle third, e = 0.1: the triangle is 3 x 0.1 = 0.3 m long, 2 x 20/0.3 = 133.3.
    assert bearing_stress(40.0, 2.1, 1.8, 2.2).edge == pytest.approx(400 / 3)
    with pytest.raises(ValueError, match="leaves the bed"):
        bearing_stress(40.0, 2.2, 1.8, 2.2)


def test_an_untested_input_whose_range_overturns_is_named_and_nothing_meets() -> None:
    beds = replace(STRONG.beds, friction_wet=0.4, friction_no_wire=0.45)
    tested = replace(STRONG, beds=beds)
    assert outcome(tested).verdict == "meets"
    design = replace(tested, bases=MappingProxyType({**TESTED, "beds.friction": "stated"}))
    found = outcome(design)
    assert found.verdict == "cannot say" and not found.shortest
    assert [(one.kind, one.path) for one in found.doubts] == [("its range overturns", "beds.friction")]
    assert "beds.friction" in {one.path for one in sensitivity(tried_ends(design), found.verdict) if one.decides}


def test_loads_that_nobody_gave_are_named() -> None:
    site = classroom().site
    assert loads_left_out(classroom()) == ("wind", "earthquake", "snow")
    calm = classroom(site=replace(site, wind_pressure=0.5, earthquake=0.1, snow=0.4))
    assert loads_left_out(calm) == ()
    assert loads_left_out(replace(calm, building=replace(calm.building, worker=0.0))) == ("a crew on the top ring",)
    assert Caution("loads left out", loads_left_out(classroom())) in cautions(build_dome(classroom()))


@pytest.mark.parametrize(("path", "value"), [("wall.edge_rounding", 0.0), ("fill.dry_density", 1400.0)])
def test_a_value_under_its_range_is_no_ground_for_a_pass(path: str, value: float) -> None:
    for basis, found in (("stated", 1), ("measured", 0)):
        changed = replace(with_number(STRONG, path, value), bases=MappingProxyType({**TESTED, path: basis}))
        assert len(beyond_range(changed)) == found
    stated = replace(with_number(STRONG, path, value), bases=MappingProxyType({**TESTED, path: "stated"}))
    assert outcome(stated).verdict == "cannot say"


def test_loads_that_a_site_is_said_not_to_have_keep_their_reason() -> None:
    design = classroom(site=replace(classroom().site, none_because=(("snow", "none in fifty years"),)))
    assert "snow" not in loads_left_out(design)
    assert Caution("loads stated none", (("snow", "none in fifty years"),)) in cautions(build_dome(design))
