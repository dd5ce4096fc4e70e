"""From the numbers of one case to its result, from results to doubts and to what governs; by hand."""

from __future__ import annotations

import inspect
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from samples import classroom
from two_courses import two

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.design.design import Design, RingLoad
from shellcheck_earth.geometry.courses import Dome, build_dome
from shellcheck_earth.loads.cases import Case, dead_cases
from shellcheck_earth.mechanics.rings.admissible import failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import quantities
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import check as whole
from shellcheck_earth.safety import doubts, explore
from shellcheck_earth.safety.assumptions import assumptions
from shellcheck_earth.safety.check import check, examine
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.shortfalls import case_shortfalls
from shellcheck_earth.safety.thrust_lines import thrust_lines

BASE = classroom()
SMALL = replace(BASE, dome=replace(BASE.dome, inside_diameter=2.0), wall=replace(BASE.wall, course_height=0.2))


def finished(design: Design) -> tuple[Dome, Case]:
    dome = build_dome(design)
    return dome, next(case for case in dead_cases(dome) if case.id == "finished-dry")


def slippery(friction: float) -> Design:
    beds = replace(SMALL.beds, friction=friction, friction_wet=friction, friction_no_wire=friction, wire_strands=0)
    return replace(SMALL, beds=beds)


def test_nothing_is_left_out_unless_it_is_said() -> None:
    """Blocks, proofs and what untested inputs make of it are asked by default: silence leaves nothing out."""
    given = inspect.signature(check).parameters
    assert {name: given[name].default for name in ("blocks", "proofs", "explore")} == {
        "blocks": True, "proofs": True, "explore": True,
    }  # fmt: skip
    assert given["cache"].default is None


def test_a_case_s_result_has_the_numbers_of_its_lune() -> None:
    dome, case = finished(SMALL)
    lune = cut_lune(dome, case)
    q, found = quantities(lune), examine(dome, case)
    result = found.result
    assert found.case is case and (result.id, result.title, result.stage) == (case.id, case.title, case.stage)
    assert q.base is not None and q.admissible and result.status == "admissible" and result.failing_course is None
    assert (result.least_thrust, result.greatest_thrust) == (q.base.least, q.base.greatest)
    assert result.needed_bed_friction == q.friction.value
    assert result.needed_bed_friction_no_wire == q.friction_no_wire.value
    assert result.needed_strength == q.strength.value and result.needed_wire_tension == q.wire.value
    assert q.contact_share.value == 0.0 and result.geometric_factor == 100.0 and result.why["geometric_factor"]
    reserve = next(one for one in result.margins if one.check == "overall reserve")
    assert result.overall_reserve == reserve.factor and result.vertical == lune.vertical[-1]
    assert [line.kind for line in result.lines] == ["least", "greatest", "middlemost"]
    assert result.governs["needed_bed_friction"] == lune.number[q.friction.bed]
    assert result.governs["overall_reserve"] == reserve.course
    assert not {"least_thrust", "needed_strength"} & set(result.why)


def test_a_case_without_a_line_names_the_course_whose_bed_fails_first() -> None:
    dome, case = finished(slippery(0.1))
    lune = cut_lune(dome, case)
    bed = failing_bed(pack(lune))
    result = examine(dome, case).result
    assert bed >= 0 and result.status == "inadmissible" and result.failing_course == lune.number[bed]
    assert (result.least_thrust, result.greatest_thrust, result.lines) == (None, None, ())
    assert result.why["least_thrust"] == result.why["greatest_thrust"] == "no thrust line reaches the ground"
    assert result.overall_reserve is not None and result.overall_reserve < 1.0


def test_a_building_stage_has_no_lines_of_its_own() -> None:
    dome = build_dome(SMALL)
    stage = next(case for case in dead_cases(dome) if case.building)
    assert examine(dome, stage).result.lines == ()


@pytest.mark.parametrize(
    ("share", "most", "shown"), [(None, 100.0, None), (0.0, 100.0, 100.0), (0.5, 100.0, 2.0), (0.001, 100.0, 100.0)]
)
def test_a_share_is_shown_as_its_factor_up_to_a_hundred(share: float | None, most: float, shown: float | None) -> None:
    assert whole._inverse(share, most) == shown


def test_why_a_number_is_missing() -> None:
    edge = SimpleNamespace(value=1.0)
    q: Any = SimpleNamespace(
        friction=edge, friction_no_wire=edge, strength=edge, wire=edge, contact_share=edge, base="there"
    )
    assert whole._why(q, None) == {}
    q.wire = SimpleNamespace(value=None)
    assert list(whole._why(q, None)) == ["needed_wire_tension"]
    q.wire, q.contact_share = edge, SimpleNamespace(value=0.0)
    assert whole._why(q, None) == {"geometric_factor": "over 100"}
    for factor, meets, said in ((None, False, True), (None, True, False), (1.2, False, False)):
        reserve: Any = SimpleNamespace(factor=factor, meets=meets)
        assert ("overall_reserve" in whole._why(q, reserve)) == said


def governed(*given: tuple[str, bool, str, float]) -> list[tuple[str, str]]:
    """What governs of cases with one margin of bed friction each: (id, counts, status, share)."""
    examined: Any = tuple(
        SimpleNamespace(
            case=SimpleNamespace(id=name, counts=counts), lune=name,
            result=SimpleNamespace(status=status, margins=(SimpleNamespace(check="bed friction", share=share),)),
        )
        for name, counts, status, share in given
    )  # fmt: skip
    return [(margin.check, case.id) for case, _, margin in whole._governing(examined)]


def test_the_least_share_of_counted_and_established_cases_governs() -> None:
    first, less, alike = ("a", True, "admissible", 1.2), ("b", True, "admissible", 1.1), ("c", True, "admissible", 1.1)
    assert governed(first, less, alike) == [("bed friction", "b")]
    assert governed(first, ("b", False, "admissible", 0.1), ("c", True, "cannot say", 0.1)) == [("bed friction", "a")]
    assert governed(("b", False, "admissible", 0.1)) == []


# -- doubts ----------------------------------------------------------------------------------------------------------


def doubted(
    *, counts: bool = True, status: str = "admissible", meets: bool | None = True, shown: frozenset[str] = frozenset(),
    prover: bool = True, why: str = "", needs: bool = False, blocks: bool = True, found: tuple[Any, ...] = (),
) -> list[Doubt]:  # fmt: skip
    margin = SimpleNamespace(check="bed friction", meets=meets, combination="")
    one = SimpleNamespace(
        case=SimpleNamespace(counts=counts, id="finished"), proof=SimpleNamespace(said="the proof said"),
        result=SimpleNamespace(status=status, margins=(margin,)),
    )  # fmt: skip
    asked = SimpleNamespace(why=why, found=lambda _case: SimpleNamespace(met=shown)) if prover else None
    given: dict[str, Any] = {"model": SimpleNamespace(dome=build_dome(SMALL), needs_blocks=needs)}
    wanted = list(inspect.signature(whole._doubts).parameters)
    given |= {"examined": (one,), "prover": asked, "blocks": blocks, "found": found}
    assert set(wanted) <= set(given), wanted
    own = doubts_of(given["model"].dome)
    out = whole._doubts(**{name: given[name] for name in wanted})
    assert out[: len(own)] == own
    return list(out[len(own) :])


MET = frozenset({"bed friction"})


def test_what_is_not_established_not_proven_or_not_asked_is_a_doubt() -> None:
    assert doubted(shown=MET) == []
    assert doubted(status="cannot say", shown=MET) == [Doubt("not established", "finished", "the proof said")]
    assert doubted(meets=None, shown=MET) == [Doubt("not established", "finished", "bed friction")]
    assert doubted() == [Doubt("not proven", "bed friction, in finished")]
    assert doubted(meets=False) == []
    assert doubted(counts=False, status="cannot say") == []
    assert doubted(why="no checker") == [Doubt("not proven", "no checker")]
    assert doubted(prover=False) == [Doubt("proofs not asked")]


def test_blocks_that_are_needed_have_to_be_asked_and_established() -> None:
    lost = SimpleNamespace(status="cannot say", id="three-d-wind", why="swings")
    held = SimpleNamespace(status="solved", id="three-d-snow", why="")
    assert doubted(shown=MET, needs=True, found=(held,)) == []
    assert doubted(shown=MET, needs=True, blocks=False) == [Doubt("blocks not asked")]
    assert doubted(shown=MET, needs=True, found=(held, lost)) == [
        Doubt("blocks not established", "three-d-wind", "swings")
    ]
    assert doubted(shown=MET, blocks=False, found=(lost,)) == []


def test_what_is_handed_in_is_shown_in_its_own_units() -> None:
    load = RingLoad("Loft", 0.5, (4.0, 6.0), (1.0, 1.0), (0.1, 0.2))
    shown = {one.path: one for one in assumptions(replace(SMALL, ring_loads=(load,)))}
    weight, place = shown["ring_load[1].weight"], shown["ring_load[1].from_inner_face"]
    assert (
        weight.low.startswith("4.00 kN")
        and weight.high.startswith("6.00 kN")
        and weight.value == f"{weight.low}; {weight.high}"
    )
    assert "kN" not in place.low and place.low.split()[1] in ("m", "mm")
    one = shown["ring_load[1].thrust"]
    assert one.value == one.low == one.high and one.value.startswith("1.00 kN") and one.basis == "stated"


def test_ends_that_contradict_each_other_together_say_nothing_of_each_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """Then every end is asked by itself, and one that leaves the design short is a doubt."""
    bad = replace(SMALL, name="at the bad end of friction")
    trials = [("beds.friction", 0.3, bad, "0.3"), ("fill.strength_dry", 1.0, SMALL, "1 MPa")]

    def contradicts(_design: Design, _path: str, _value: float) -> Design:
        raise InputError([Problem("x", "something else", "this")])

    monkeypatch.setattr(doubts, "unfavourable_trials", lambda _design: iter(trials))
    monkeypatch.setattr(doubts, "meets_all", lambda design: design is not bad)
    monkeypatch.setattr(doubts, "with_number", contradicts)
    assert not doubts._meets_together(SMALL, [("beds.friction", 0.3)])
    assert doubts.overturned(SMALL) == (Doubt("its range overturns", "beds.friction", "0.3"),)
    # Where all ends together still meet, none is asked by itself.
    monkeypatch.setattr(doubts, "with_number", lambda design, _path, _value: design)
    assert doubts._meets_together(SMALL, [("beds.friction", 0.3)]) and doubts.overturned(SMALL) == ()


def test_what_a_design_alone_says_is_its_calendar_and_its_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(explore, "weather", lambda dome: ("weather", dome.design))
    monkeypatch.setattr(explore, "tried_ends", lambda design: ("ends", design))
    found: Any = explore.explored(SMALL)
    assert (found.weather, found.tried) == (("weather", SMALL), ("ends", SMALL))


def test_soft_ground_is_short_under_the_lowest_course() -> None:
    soft = replace(SMALL, site=replace(SMALL.site, ground_bearing=6.0, bearing_wet=5.0))
    dome, case = finished(soft)
    found = [one for one in case_shortfalls(dome, case) if one.check == "ground bearing"]
    assert [(one.case_id, one.course) for one in found] == [(case.id, dome.courses[0].number)]
    lost, case = finished(replace(slippery(0.05), site=soft.site))
    short = [one for one in case_shortfalls(lost, case) if one.check in ("base sliding", "ground bearing")]
    assert {one.course for one in short} == {lost.courses[0].number} and len(short) == 2


def test_the_three_lines_of_two_courses() -> None:
    """Half of every bed's width just leaves a line: K = 4 at C = 10 (see test_two_courses_by_hand.py)."""
    lines = thrust_lines(two(1.0), quantities(two(1.0)))
    assert [line.kind for line in lines] == ["least", "greatest", "middlemost"]
    assert [line.H[0] for line in lines] == pytest.approx([5.0, 10.0, 10.0], abs=2e-5)
    assert lines[2].x == pytest.approx((1.1, 1.25), abs=2e-6) and lines[2].V == (10.0, 20.0)
    assert lines[2].ring[0] == pytest.approx(10.0, abs=2e-5) and (lines[2].wire, lines[2].z) == ((0.0, 0.0), (0.2, 0.0))
    assert thrust_lines(two(0.4), quantities(two(0.4))) == ()
