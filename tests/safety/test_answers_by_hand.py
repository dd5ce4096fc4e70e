"""From searches and proofs to what is said of a case, of an untested input and of the numbers an answer rests on."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest
from samples import classroom

from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.basics.values import defaults, fixed_values
from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import doubts
from shellcheck_earth.safety.assumptions import assumptions, fixed_numbers
from shellcheck_earth.safety.check import _status
from shellcheck_earth.safety.checks import CHECKS, RESERVE, reserve_of
from shellcheck_earth.safety.inputs import number_at
from shellcheck_earth.safety.to_test import deciding_values, first_tests
from shellcheck_earth.safety.untested import Trial, sensitivity


@pytest.mark.parametrize("admissible", [True, False])
@pytest.mark.parametrize("established", [True, None, False])
@pytest.mark.parametrize("closed", [True, False])
def test_a_case_is_decided_only_by_a_search_that_closed_and_no_proof_against_it(
    closed: bool, established: bool | None, admissible: bool
) -> None:
    q: Any = SimpleNamespace(closed=closed, admissible=admissible)
    said = _status(q, SimpleNamespace(established=established))  # type: ignore[arg-type]
    if not closed or established is False:
        assert said == "cannot say"
    else:
        assert said == ("admissible" if admissible else "inadmissible")


@pytest.mark.parametrize(
    ("meets", "here", "verdict", "there"),
    [
        (True, True, "meets", "meets"),
        (True, True, "falls short", "falls short"),  # for another reason, which this input does not move
        (True, True, "cannot say", "cannot say"),
        (False, False, "falls short", "falls short"),
        (False, True, "meets", "falls short"),
        (False, True, "cannot say", "falls short"),
        (True, False, "falls short", "meets"),
        (True, False, "cannot say", "cannot say"),  # never better than the design itself can be judged
    ],
)
def test_what_an_end_of_a_range_makes_of_the_verdict(meets: bool, here: bool, verdict: Any, there: str) -> None:
    (found,) = sensitivity([Trial("beds.friction", "0.4", meets, here)], verdict)
    assert found == type(found)("beds.friction", "0.4", there, meets != here)  # type: ignore[arg-type]


@cache
def dome() -> Dome:
    return build_dome(classroom())


@pytest.mark.parametrize("name", ["finished-dry", "stage-24-worker"])
def test_the_reserve_is_what_all_capacities_may_be_divided_by_and_no_more(name: str) -> None:
    lune = cut_lune(dome(), case_of(dome(), name))
    reserve = reserve_of(lune)
    assert reserve is not None and reserve > 0.0
    assert failing_bed(pack(lune), RESERVE.scales(1.001 / reserve)) < 0
    assert failing_bed(pack(lune), RESERVE.scales(0.999 / reserve)) >= 0


@pytest.mark.parametrize("strength", ["dry", "as_placed", "wet"])
def test_a_margin_of_strength_is_as_good_as_the_test_of_the_weakest_course(strength: str) -> None:
    """One course has that strength, all others twice the dry one: only its own input makes the margin measured."""
    design = classroom(fill=replace(classroom().fill, strength_wet=40.0))
    stack, case = build_dome(design), case_of(dome(), "finished-dry")
    least = getattr(design.fill, f"strength_{strength}")
    states = tuple(replace(state, strength=1000.0) for state in case.states)
    weak = replace(case, states=(*states[:5], replace(states[5], strength=least), *states[6:]))
    (paths,) = {check.inputs(stack, weak) for check in CHECKS if check.key == "strength"}
    assert [path for path in paths if path.startswith("fill.strength")] == [f"fill.strength_{strength}"]


PUBLISHED = {
    ("woven", 2): ("beds.wired.friction", "beds.friction_wet", "beds.friction_no_wire"),
    ("woven", 0): ("beds.friction", "beds.friction_wet", "beds.friction_no_wire"),
    ("open mesh", 2): ("beds.mesh.friction", "beds.mesh.friction_wet", "beds.mesh.friction"),
}


@pytest.mark.parametrize(("fabric", "strands"), sorted(PUBLISHED))
def test_an_untested_friction_has_the_range_of_its_own_tube_and_wire(fabric: str, strands: int) -> None:
    design = classroom()
    paths = ("beds.friction", "beds.friction_wet", "beds.friction_no_wire", "fill.placing_moisture")
    design = replace(
        design,
        wall=replace(design.wall, fabric=fabric),
        beds=replace(design.beds, wire_strands=strands),
        bases=FrozenMap({**design.bases, **dict.fromkeys(paths, "assumed")}),
    )
    said = {one.path: one for one in assumptions(design)}
    for path, row in zip(paths, (*PUBLISHED[fabric, strands], "fill.placing_moisture"), strict=True):
        published = defaults()[row]
        assert said[path].how_to_measure == published.how_to_measure
        assert said[path].known == published.known
        assert published.source.text in said[path].source and (published.note or "") in said[path].source
        if path.startswith("beds."):
            assert (float(said[path].low), float(said[path].high)) == (float(published.low), float(published.high))


def test_numbers_of_blocks_are_said_where_blocks_are_asked_and_of_the_wind_where_it_blows() -> None:
    def kinds(**changes: Any) -> set[str]:
        return {one.key.split(".")[0] for one in fixed_numbers(build_model(classroom(**changes)))}

    site = classroom().site
    plain = kinds()
    door = kinds(openings=(Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"),))
    there = {key.split(".")[0] for key in fixed_values()}
    assert "physics" in plain and not plain & {"openings", "heads", "wire", "blocks", "wind"}
    assert door - plain == {"openings", "heads", "wire", "blocks"} & there != set()
    assert "wind" in kinds(site=replace(site, wind_pressure=0.3))


@pytest.mark.parametrize("climate", ["none", "temperate", "hot and dry"])
def test_numbers_of_drying_are_those_of_its_climate(climate: str) -> None:
    building = replace(classroom().building, climate=climate)
    said = {one.key for one in fixed_numbers(build_model(classroom(building=building))) if "drying." in one.key}
    own = f"drying.{climate.replace(' ', '_')}"
    assert said == {"drying.thinnest", own} & set(fixed_values())


def test_a_number_of_an_opening_is_found_by_its_place_in_the_list() -> None:
    openings = (Opening("door", 0.0, 0.0, 0.8, 1.5, "pointed"), Opening("window", 2.0, 0.9, 0.5, 0.6, "round"))
    design = classroom(openings=openings)
    assert [number_at(design, f"opening[{k}].width") for k in (1, 2, 3)] == [0.8, 0.5, None]


@pytest.mark.parametrize("first", [True, False])
@pytest.mark.parametrize(
    ("ends", "bad", "expected"),
    [
        ((("a", 1), ("b", 1)), (), ()),
        ((("a", 1), ("b", 1)), ("b1",), ("b",)),
        ((("a", 1), ("a", 2), ("b", 1)), ("a1",), ("a",)),  # either way may be the bad one: the last written hides none
        ((("a", 1), ("a", 2), ("b", 1)), ("a2",), ("a",)),
        ((("a", 1), ("a", 2)), (), ()),
        ((("a", 1), ("b", 1), ("c", 1)), ("a1", "c1"), ("a", "c")),
    ],
)
def test_every_end_that_overturns_is_found_though_all_are_asked_together_first(
    ends: tuple[tuple[str, int], ...], bad: tuple[str, ...], expected: tuple[str, ...], first: bool,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    """A design stands here for what was written into it; it meets where none of that is bad."""
    trials = [(path, float(end), {path: f"{path}{end}"}, f"{end} kPa") for path, end in ends]
    written = {(path, float(end)): f"{path}{end}" for path, end in ends}
    monkeypatch.setattr(doubts, "unfavourable_trials", lambda _: iter(trials))
    monkeypatch.setattr(doubts, "with_number", lambda design, path, value: design | {path: written[path, value]})
    monkeypatch.setattr(doubts, "meets_all", lambda design: not any(one in bad for one in design.values()))
    for suspect in ("", "b", "c"):
        found = doubts.overturned({}, first=first, suspect=suspect)  # type: ignore[arg-type]
        paths = sorted(one.path for one in found)
        if first:
            assert set(paths) <= set(expected) and len(paths) == min(len(expected), 1)
        else:
            assert paths == sorted(expected)
        assert all(one.kind == "its range overturns" for one in found)
    if first and "c" in expected:
        assert [one.path for one in doubts.overturned({}, first=True, suspect="c")] == ["c"]  # type: ignore[arg-type]


def _short_of(
    *doubted: tuple[str, str], decides: tuple[str, ...] = (), tested: tuple[str, ...] = (), strands: int = 2
) -> Any:
    """A result with these doubts (kind, path), whose worst margin is the plain friction of the finished dome."""
    beds = replace(classroom().beds, wire_strands=strands)
    design = classroom(bases=FrozenMap(dict.fromkeys(tested, "measured")), beds=beds)
    model = build_model(design)
    worst = {"bed friction": (SimpleNamespace(id="finished-dry"), SimpleNamespace(check="bed friction", share=1.2))}
    return SimpleNamespace(
        doubts=[SimpleNamespace(kind=kind, path=path) for kind, path in doubted],
        sensitivity=[SimpleNamespace(path=path, decides=path in decides) for path in (*decides, "fill.suction_head")],
        model=model, design=design, governing=lambda: worst,
    )  # fmt: skip


def test_what_overturns_is_to_be_tested_first_and_what_was_tested_is_not_asked_again() -> None:
    result = _short_of(
        ("its range overturns", "fill.strength_wet"),
        ("load not stated", "site.snow"),  # no test settles it
        ("its range overturns", "plaster.inside"),
        decides=("fill.strength_as_placed",),
        tested=("fill.strength_wet", "beds.friction"),
    )
    values = deciding_values(result)
    assert [(one.path, one.tested) for one in values[:3]] == [
        ("fill.strength_wet", True), ("fill.strength_as_placed", False), ("beds.friction", True),
    ]  # fmt: skip
    paths = [one.path for one in values]
    assert len(paths) == len(set(paths)) and not {"site.snow", "plaster.inside", "fill.suction_head"} & set(paths)
    assert {"fill.dry_density", "fill.placing_moisture"} <= set(paths)
    first = first_tests(values)
    assert first[0].path == "fill.strength_as_placed" and len(first) <= 2
    assert not any(one.tested or one.test is None for one in first)
    assert len({one.test for one in first_tests(values, 9)}) == len(first_tests(values, 9))


def test_ground_that_overturns_is_listed_for_an_engineer_and_no_site_test() -> None:
    values = deciding_values(_short_of(("its range overturns", "site.ground_bearing_wet")))
    assert (values[0].path, values[0].tested) == ("site.ground_bearing_wet", False)
    assert values[0].test is None and values[0] not in first_tests(values, 9)


@pytest.mark.parametrize("strands", [0, 2])
def test_nobody_is_sent_to_break_wire_that_is_not_there(strands: int) -> None:
    values = deciding_values(_short_of(("its range overturns", "beds.wire_breaking_load"), strands=strands))
    assert any(one.test == "wire" for one in values) == (strands > 0)


@pytest.mark.parametrize("strength", ["dry", "as_placed", "wet"])
def test_a_strength_in_doubt_is_to_be_crushed(strength: str) -> None:
    values = deciding_values(_short_of(("its range overturns", f"fill.strength_{strength}")))
    assert (values[0].path, values[0].test) == (f"fill.strength_{strength}", "crush")
