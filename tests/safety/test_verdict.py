"""From answers to a verdict, to cautions and to what was assumed: each answer put there by hand."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType, SimpleNamespace
from typing import Any

import pytest
from samples import NONE, TESTED, classroom, sturdy

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.rings.capacity import quantities
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import doubts as doubted
from shellcheck_earth.safety import shortfalls as asked
from shellcheck_earth.safety import untested, worst
from shellcheck_earth.safety.assumptions import assumptions
from shellcheck_earth.safety.cautions import cautions
from shellcheck_earth.safety.check import _governs, _inverse, _reserve_bed, _why, verdict_of
from shellcheck_earth.safety.checks import line_questions
from shellcheck_earth.safety.doubts import doubts_of, lowered_criteria, overturned
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.thrust_lines import thrust_lines
from shellcheck_earth.safety.untested import sensitivity, tried_ends
from shellcheck_earth.safety.worst import Outcome, WorstMargin
from shellcheck_earth.views.text.cautions import caution_sentence


def case(*meets: bool | None, counts: bool = True, status: str = "admissible") -> Any:
    return SimpleNamespace(counts=counts, status=status, margins=[SimpleNamespace(meets=one) for one in meets])


def block(meets: bool | None, status: str = "solved") -> Any:
    return SimpleNamespace(meets=meets, status=status)


@pytest.mark.parametrize(
    ("cases", "blocks", "doubts", "verdict"),
    [
        ([case(True, True)], [], [], "meets"),
        ([case(True), case(False, counts=False)], [], [], "meets"),
        ([case(True), case(None, counts=False, status="cannot say")], [], [], "meets"),
        ([case(True, False)], [], [], "falls short"),
        ([case(True), case(None, False)], [], [Doubt("blocks not asked")], "falls short"),
        ([case(True, None)], [], [], "cannot say"),
        ([case(True), case(True, status="cannot say")], [], [], "cannot say"),
        ([case(True), case(False, status="cannot say")], [], [], "cannot say"),
        ([case(True)], [], [Doubt("blocks not asked")], "cannot say"),
        ([case(True)], [block(True)], [], "meets"),
        ([case(True)], [block(True), block(False)], [], "falls short"),
        ([case(True)], [block(None, "cannot say")], [Doubt("blocks not established")], "cannot say"),
        ([case(None)], [block(False)], [Doubt("blocks not asked")], "falls short"),
        ([], [], [], "cannot say"),
    ],
)
def test_what_the_answers_come_to(cases: list[Any], blocks: list[Any], doubts: list[Doubt], verdict: str) -> None:
    if not cases:
        assert verdict_of(()) == verdict
    else:
        assert verdict_of(tuple(cases), tuple(blocks), tuple(doubts)) == verdict


def margin(factor: float, required: float = 1.5, known: bool = True) -> WorstMargin:
    return WorstMargin("bed friction", factor, required, "finished-dry", 3, known)


def test_the_worst_margin_of_a_design() -> None:
    assert margin(1.5).meets and not margin(1.49).meets and not margin(9.0, known=False).meets
    assert margin(1.8).share == pytest.approx(1.2)
    unknown, short, good = margin(9.0, known=False), margin(1.2), margin(3.0)
    found = Outcome("falls short", (), (good, unknown, short))
    assert found.least is unknown and found.shortest == (unknown, short)
    assert Outcome("falls short", (), (good, short)).least is short


@pytest.mark.parametrize(
    ("margins", "doubts", "blocks", "overturns", "verdict", "kinds"),
    [
        ([margin(2.0)], (), False, (), "meets", []),
        ([margin(1.4)], (Doubt("water against the wall"),), True, (), "falls short", []),
        ([margin(2.0)], (Doubt("water against the wall"),), False, (), "cannot say", ["water against the wall"]),
        ([margin(2.0), margin(0.0, known=False)], (), False, (), "cannot say", ["not established"]),
        ([margin(1.4), margin(0.0, known=False)], (), False, (), "falls short", []),
        ([margin(2.0)], (), True, (), "cannot say", ["blocks not asked"]),
        ([margin(2.0)], (), False, (Doubt("its range overturns"),), "cannot say", ["its range overturns"]),
    ],
)
def test_the_answer_for_one_design(
    margins: list[WorstMargin], doubts: Any, blocks: bool, overturns: Any, verdict: str, kinds: list[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr(worst, "build_model", lambda _: SimpleNamespace(needs_blocks=blocks, dome=None))
    monkeypatch.setattr(worst, "worst_margins", lambda *_, **__: tuple(margins))
    monkeypatch.setattr(worst, "doubts_of", lambda _: doubts)
    monkeypatch.setattr(worst, "overturned", lambda *_, **__: overturns)
    found = worst.outcome(sturdy())
    assert (found.verdict, [one.kind for one in found.doubts]) == (verdict, kinds)


# -- doubts ----------------------------------------------------------------------------------------------------------


def test_doubts_of_a_design() -> None:
    good = sturdy()
    assert doubts_of(build_dome(good)) == ()
    unsaid = replace(good, site=replace(good.site, none_because=NONE[:2], not_stated=frozenset({"snow"})))
    assert [(one.kind, one.path) for one in doubts_of(build_dome(unsaid))] == [("load not stated", "site.snow")]
    lowered = dict(good.criteria.required) | {"bed friction": 1.4, "strength": 2.5, "overall reserve": 1.25}
    easy = replace(good, criteria=replace(good.criteria, required=MappingProxyType(lowered)))
    assert lowered_criteria(easy) == (("bed friction", 1.4, 1.5),)
    assert [(one.kind, one.path) for one in doubts_of(build_dome(easy))] == [("criteria lowered", "bed friction")]
    for floor, doubt in ((-0.01, ["water against the wall"]), (0.0, [])):
        low = replace(good, dome=replace(good.dome, floor_above_ground=floor))
        assert [one.kind for one in doubts_of(build_dome(low))] == doubt


@pytest.mark.parametrize(
    ("fails", "first", "found"),
    [
        ((), False, []),
        (("b",), False, ["b"]),
        (("a", "b"), False, ["a", "b"]),
        (("a", "b"), True, ["a"]),
    ],
)
def test_which_ranges_overturn(fails: Any, first: bool, found: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """One at a time; where all ends together meet, none is asked alone."""
    calls: list[Any] = []

    def meets(design: Any) -> bool:
        calls.append(design)
        return not (set(design if isinstance(design, tuple) else (design,)) & set(fails))

    trials = [(path, 1.0, path, "1") for path in ("a", "b", "c")]
    monkeypatch.setattr(doubted, "unfavourable_trials", lambda _: iter(trials))
    monkeypatch.setattr(doubted, "with_number", lambda design, path, _: (*design, path))
    monkeypatch.setattr(doubted, "meets_all", meets)
    assert [one.path for one in overturned((), first=first)] == found  # type: ignore[arg-type]
    assert calls[0] == ("a", "b", "c") and len(calls) == (1 if not fails else 2 if first else 4)


@pytest.mark.parametrize(
    ("here", "there", "verdict", "said", "decides"),
    [
        (True, True, "meets", "meets", False),
        (True, False, "meets", "falls short", True),
        (False, True, "falls short", "meets", True),
        (False, False, "falls short", "falls short", False),
        (True, False, "cannot say", "falls short", True),
        (True, True, "cannot say", "cannot say", False),
        (False, True, "cannot say", "cannot say", True),
    ],
)
def test_what_the_ends_of_a_range_would_say(
    here: bool, there: bool, verdict: Any, said: str, decides: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(untested, "_trials", lambda _: iter([("a", 1.0, "1")]))
    monkeypatch.setattr(untested, "with_number", lambda *_: "trial")
    monkeypatch.setattr(untested, "meets_all", lambda design: there if design == "trial" else here)
    design: Any = "here"
    found = sensitivity(tried_ends(design), verdict)
    assert [(one.path, one.verdict, one.decides) for one in found] == [("a", said, decides)]


def test_what_was_not_measured_with_its_range_and_how_it_is_known() -> None:
    bases = {
        "beds.friction": "stated", "fill.dry_density": "assumed", "beds.friction_wet": "measured",
        "dome.inside_diameter": "stated", "fill.service_moisture": "assumed", "wall.fabric": "assumed",
    }  # fmt: skip
    found = {one.path: one for one in assumptions(classroom(bases=MappingProxyType(bases)))}
    assert set(found) == {"beds.friction", "fill.dry_density", "fill.service_moisture", "wall.fabric"}
    friction, density = found["beds.friction"], found["fill.dry_density"]
    assert (friction.value, friction.low, friction.high) == ("0.500", "0.400", "0.700")
    assert (friction.known, friction.source, friction.basis) == ("stated", "the design file", "stated")
    assert density.known != "stated" and density.source != "the design file" and density.basis == "assumed"
    assert (found["fill.service_moisture"].low, found["fill.service_moisture"].high) == ("1 %", "10 %")
    assert (found["wall.fabric"].value, found["wall.fabric"].low) == ("woven", "")


# -- cautions --------------------------------------------------------------------------------------------------------


def keys(**changes: Any) -> list[str]:
    return [one.key for one in cautions(build_dome(sturdy(**changes)))]


def test_every_caution_for_its_reason() -> None:
    always = ["engineer", "loads stated none", "scaffold", "rain", "building", "sideways", "ground", "not looked at"]
    base = sturdy()
    assert keys() == always
    for key, changes in {
        "separate bags": {"wall": replace(base.wall, individual_bags=True)},
        "unstabilised": {"fill": replace(base.fill, stabiliser="none", strength_wet=400.0)},
        "openings": {"openings": (Opening("vent", 0.0, 0.4, 0.3, 0.3, "round"),)},
        "friction": {"bases": MappingProxyType({**TESTED, "beds.friction": "stated"})},
        "raised base": {"wall": replace(base.wall, buried_courses=0)},
    }.items():
        assert set(keys(**changes)) == {*always, key}, key


@pytest.mark.parametrize(
    ("height", "said"),
    [
        (1.22, "above course 9. The design says that from 1.22 m (4.00 ft) above"),
        (0.1, "stands on the wall. "),
        (None, ""),
    ],
)
def test_where_nobody_stands_is_said_first(height: float | None, said: str) -> None:
    work = replace(sturdy().building, scaffold_above=height)
    found = [one for one in cautions(build_dome(sturdy(building=work))) if one.key == "scaffold"]
    assert [said in caution_sentence(one) for one in found] == [True] * (height is not None)
    idle = replace(work, worker=0.0)
    assert "scaffold" not in keys(building=idle) and "loads left out" in keys(building=idle)


@pytest.mark.parametrize("unfinished", [False, True])
def test_what_a_wall_that_stands_leaves_unasked_is_said(unfinished: bool) -> None:
    shape = replace(
        sturdy().dome, profile="measured", inner_radii=(0.5, 0.4, 0.3), measured_from=1, pivot_beyond_inner_face=0.0
    )
    shape = replace(shape, crown_opening=0.61, inside_diameter=1.0, springing_above_floor=0.0)
    work = replace(sturdy().building, laid=3, unfinished=unfinished)
    found = cautions(build_dome(sturdy(dome=shape, building=work)))
    said = next(caution_sentence(one) for one in found if one.key == "stages past")
    assert "no stage of building below course 3 was asked" in said
    assert ("neither was the finished dome" in said) == unfinished


# -- what is shown of a case -----------------------------------------------------------------------------------------


def test_what_governs_a_case_and_why_a_number_is_missing() -> None:
    dome = build_dome(classroom())
    lune = cut_lune(dome, next(case for case in dead_cases(dome) if case.id == "finished-dry"))
    q = quantities(lune)
    assert _governs(lune, q) == {
        name: int(lune.number[edge.bed])
        for name, edge in (
            ("needed_bed_friction", q.friction), ("needed_bed_friction_no_wire", q.friction_no_wire),
            ("needed_strength", q.strength), ("needed_wire_tension", q.wire), ("geometric_factor", q.contact_share),
        )
        if edge.bed >= 0
    }  # fmt: skip
    assert "needed_strength" in _governs(lune, q)
    bare = replace(
        q, friction=replace(q.friction, value=None), base=None, contact_share=replace(q.contact_share, value=0.0)
    )
    none_met: Any = SimpleNamespace(factor=None, meets=False, course=4)
    enough: Any = SimpleNamespace(factor=2.0, meets=False)
    said = _why(bare, none_met)
    assert set(said) == {
        "needed_bed_friction",
        "least_thrust",
        "greatest_thrust",
        "geometric_factor",
        "overall_reserve",
    }
    assert said["geometric_factor"] == "over 100" and _why(q, enough) == {"geometric_factor": "over 100"}
    assert _reserve_bed(none_met) == {"overall_reserve": 4} and _reserve_bed(None) == {}
    assert (_inverse(None, 100.0), _inverse(0.0, 100.0), _inverse(0.5, 100.0), _inverse(0.001, 100.0)) == (
        None,
        100.0,
        2.0,
        100.0,
    )


def test_three_lines_of_a_case_keep_to_their_beds() -> None:
    dome = build_dome(sturdy())
    lune = cut_lune(dome, next(case for case in dead_cases(dome) if case.id == "finished-dry"))
    q = quantities(lune)
    lines = {line.kind: line for line in thrust_lines(lune, q)}
    assert list(lines) == ["least", "greatest", "middlemost"]
    middle, half = (lune.bed_inner + lune.bed_outer) / 2, (lune.bed_outer - lune.bed_inner) / 2
    assert q.base is not None
    for line in lines.values():
        assert (abs(line.x - middle) <= half * (1 + 1e-9)).all()
        assert line.z == tuple(lune.z_bottom) and tuple(lune.vertical) == line.V
    assert (abs(lines["middlemost"].x - middle) <= half * (q.contact_share.value or 0.01) * (1 + 1e-5)).all()
    assert lines["least"].H[-1] == pytest.approx(q.base.least, rel=1e-4)
    assert lines["greatest"].H[-1] == pytest.approx(q.base.greatest, rel=1e-4)
    assert thrust_lines(lune, replace(q, admissible=False)) == ()


def test_without_wire_one_question_is_asked() -> None:
    dome = build_dome(sturdy())
    gone = next(case for case in dead_cases(dome) if case.id == "wire-gone")
    assert [(one.label, one.required) for one in line_questions(dome, gone)] == [("standing without wire", 1.0)]
    assert all(one.check in ("standing without wire",) for one in asked.case_shortfalls(dome, gone))
