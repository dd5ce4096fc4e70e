"""Which proofs are asked for, what is missing without them, and the worst margins against all of every case."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest
from certificates import SHELTER, SMALL, WINDOW, certified
from samples import REQUIRED, classroom, sturdy

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.proof.check import changed_cases
from shellcheck_earth.safety import proofs
from shellcheck_earth.safety.check import examine
from shellcheck_earth.safety.proofs import CaseProof, Prover, prove_worst
from shellcheck_earth.safety.worst import worst_margins


def prover() -> Prover:
    return Prover(parse_design(SMALL))


def entries() -> dict[str, dict[str, Any]]:
    return {entry["case"]: entry for entry in certified(SMALL, "meets")["cases"]}


def test_without_proofs_everything_counted_is_missing() -> None:
    made = prover()
    assert made.rebuilt is not None
    expected = [
        f"{question.name} of {case.id} is not proven"
        for case in made.rebuilt.cases if case.counts for question in case.questions
    ]  # fmt: skip
    assert list(made.missing()) == expected and not made.tried
    made.entries = entries()
    assert made.missing() == made.missing() == ()  # asked again nothing is there twice
    assert [one["trial"] for one in made.tried] == [one["trial"] for one in certified(SMALL, "meets")["trials"]]


def test_one_proof_left_out_is_the_one_that_is_missing() -> None:
    made = prover()
    made.entries = entries()
    gone = made.entries["base-soaked"]["lines"][0]["shows"].pop()
    made.entries["soaked-through"]["lines"] = []  # under its plaster a what-if: not missed
    assert made.missing() == (f"{gone} of base-soaked is not proven",)


def test_a_trial_takes_over_only_lines_that_it_shows() -> None:
    """The ground softer step by step: the design's own line does, then another one, then none."""
    made = prover()
    assert made.rebuilt is not None
    made.entries, said = entries(), []
    for bearing in range(80, 20, -1):
        values = {**made.rebuilt.design.values, "site.ground_bearing": Fraction(bearing)}
        cases = changed_cases(made.rebuilt, replace(made.rebuilt.design, values=values))
        missing = made._try("soft", cases)
        own = [made.entries[one["case"]]["lines"] == one["lines"] for one in made.tried.pop()["cases"]]
        said.append("none" if missing else "its own" if all(own) else "another")
    assert said == sorted(said, key=["its own", "another", "none"].index) and set(said) == {
        "its own",
        "another",
        "none",
    }


@pytest.mark.parametrize(
    ("shown", "admissible", "established", "word"),
    [
        ({"lines": ["thrust line"], "none": []}, True, True, "a thrust line exists"),
        ({"lines": [], "none": ["thrust line"]}, False, True, "no thrust line exists"),
        ({"lines": ["thrust line"], "none": []}, False, False, "disagree"),
        ({"lines": [], "none": ["thrust line"]}, True, False, "disagree"),
        ({"lines": ["strength"], "none": []}, True, False, "neither"),
        ({"lines": [], "none": []}, False, False, "neither"),
    ],
)
def test_what_a_case_is_worth(
    shown: dict[str, list[str]], admissible: bool, established: bool, word: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = prover()
    entry = {kind: [{"shows": names}] if names else [] for kind, names in shown.items()}
    monkeypatch.setattr(proofs, "certify_case", lambda case, *_: {"case": case.id} | entry)
    found = made.case("finished-dry", admissible)
    assert found.established is established and word in found.said
    assert (found.met, found.short) == (frozenset(shown["lines"]), frozenset(shown["none"]))
    assert made.case("stage-99", True).established is None


def test_what_a_proof_confirms() -> None:
    found = CaseProof("", True, frozenset({"strength"}), frozenset({"wire tension"}))
    assert found.confirms("strength", True) and not found.confirms("strength", False)
    assert found.confirms("wire tension", False) and not found.confirms("wire tension", True)
    assert CaseProof("", True, frozenset(), frozenset({"thrust line"})).confirms("strength", False)


def test_the_worst_of_each_check_is_what_is_proven() -> None:
    """The least share of what is required, of counted and established cases; nothing that was not found."""

    def case(name: str, counts: bool, status: str, **margins: tuple[bool | None, float]) -> Any:
        found = [
            SimpleNamespace(check=check, combination="", meets=meets, share=share)
            for check, (meets, share) in margins.items()
        ]
        return SimpleNamespace(
            case=SimpleNamespace(id=name, counts=counts), result=SimpleNamespace(status=status, margins=found)
        )

    examined = [
        case("a", True, "admissible", friction=(True, 1.3), wire=(None, 0.1)),
        case("b", True, "admissible", friction=(True, 1.1), wire=(True, 2.0)),
        case("c", True, "admissible", friction=(True, 1.2), wire=(False, 0.9)),
        case("d", False, "admissible", friction=(False, 0.2)),
        case("e", True, "cannot say", friction=(False, 0.1)),
    ]
    asked: Any = SimpleNamespace(margin=lambda *told: f"{told}")
    assert prove_worst(asked, examined) == (str(("b", "friction", True)), str(("c", "wire", False)))


def small(design: Design) -> Design:
    return replace(design, dome=replace(design.dome, inside_diameter=2.4), wall=replace(design.wall, buried_courses=1))


ALL_AT_ONCE = replace(sturdy().criteria, set_name="EN 1990")
STEEP = replace(sturdy().site, ground_bearing=74.0, bearing_wet=40.0, friction_wet=0.12, snow=0.8)
DESIGNS = {
    "strong": small(sturdy()),
    "weak": small(classroom()),
    "factors at once": small(sturdy(criteria=ALL_AT_ONCE)),
    "poor ground, snow": small(sturdy(site=STEEP)),
    "harder wet": small(sturdy(criteria=replace(sturdy().criteria, required=MappingProxyType(dict(REQUIRED))))),
}


@pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
def test_the_worst_margins_are_the_least_of_all(design: Design) -> None:
    model = build_model(design)
    least: dict[str, tuple[float, float]] = {}
    for case in model.counted:
        for margin in examine(model.dome, case).result.margins:
            factor = margin.share * margin.required
            if margin.check not in least or factor < least[margin.check][0]:
                least[margin.check] = (factor, margin.required)
    found = {one.check: (one.factor, one.required) for one in worst_margins(model)}
    assert set(found) == set(least)
    for check, (factor, required) in least.items():
        assert found[check] == (pytest.approx(factor, rel=1e-5), required), check


def test_block_cases_without_a_proof_are_missed_where_a_design_demands_them() -> None:
    asked = Prover(parse_design(SHELTER + WINDOW))
    assert any(fault.startswith("block case three-d-finished-dry") for fault in asked.hold_blocks([]))
    assert prover().hold_blocks([]) == ()
    asked.rebuilt = None  # what the checker cannot rebuild has no proofs at all
    assert asked.hold_blocks([]) == ()
