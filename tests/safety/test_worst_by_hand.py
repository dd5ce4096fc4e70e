"""The worst margin of each check beside all margins of all cases, and the answer that follows, by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from samples import classroom, sturdy

from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.capacity import base_state
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety import worst as three
from shellcheck_earth.safety.margins import case_margins
from shellcheck_earth.safety.result import Doubt, Margin
from shellcheck_earth.safety.worst import Outcome, WorstMargin, outcome, worst_margins

BASE = classroom()
SMALL = replace(BASE, dome=replace(BASE.dome, inside_diameter=2.0), wall=replace(BASE.wall, course_height=0.2))
DESIGNS = {
    "as it is": SMALL,
    "hardly any friction": replace(SMALL, beds=replace(SMALL.beds, friction=0.15, friction_wet=0.1)),
    "no wire, weak fill": replace(
        SMALL, beds=replace(SMALL.beds, wire_strands=0), fill=replace(SMALL.fill, strength_as_placed=20.0)
    ),
    "soft and slippery ground, snow": replace(
        SMALL,
        site=replace(SMALL.site, ground_bearing=30.0, bearing_wet=25.0, friction_wet=0.02, snow=1.0),
    ),
    "partial factors": replace(SMALL, criteria=replace(SMALL.criteria, set_name="EN 1990")),
}

ORDER = (
    "bed friction", "geometric factor", "strength", "strength while building", "wire tension", "overall reserve",
    "combined factors", "standing without wire", "base sliding", "ground bearing",
)  # fmt: skip
"""Of the report."""


def factor_of(margin: Margin) -> float:
    """As a worst margin has it: inf where nothing is needed, 0 where nothing is enough."""
    return margin.factor if margin.factor is not None else math.inf if margin.why == "nothing needed" else 0.0


@pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
def test_the_worst_is_the_least_of_all_margins_of_counted_cases(design: Design) -> None:
    model = build_model(design)
    least: dict[str, tuple[float, float]] = {}
    for case in model.counted:
        lune = cut_lune(model.dome, case)
        for margin in case_margins(model.dome, case, lune, base_state(lune.rows)):
            found = factor_of(margin)
            if margin.check not in least or found < least[margin.check][0]:
                least[margin.check] = found, margin.required
    worst = worst_margins(model)
    assert [one.check for one in worst] == [label for label in ORDER if label in least]
    assert set(least) <= set(ORDER)
    for one in worst:
        assert one.known and one.required == least[one.check][1]
        assert one.factor == pytest.approx(least[one.check][0], rel=1e-6), one.check
        case = next(case for case in model.counted if case.id == one.case_id)
        lune = cut_lune(model.dome, case)
        mine = [
            margin for margin in case_margins(model.dome, case, lune, base_state(lune.rows))
            if margin.check == one.check and factor_of(margin) == pytest.approx(one.factor, rel=1e-6)
        ]  # fmt: skip
        assert mine, one.check
        if 0.0 < one.factor < math.inf:
            assert one.course in {margin.course for margin in mine}
        assert (one.course is None) or math.isfinite(one.factor)


def test_the_ground_s_worst_are_the_same_in_any_order_and_without_the_short_cut(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    firm = replace(SMALL, fill=sturdy().fill, beds=sturdy().beds, site=replace(SMALL.site, snow=1.0))
    model = build_model(firm)
    asked = [one for one in three._asked(model) if not one.case.building]
    found = three._ground_margins(model.dome, asked)
    assert all(one.factor > 0.0 for one in found)
    monkeypatch.setattr(three, "_holds_no_less", lambda *_: False)
    for order in (asked, asked[::-1], [*asked[1::2], *asked[::2]]):
        assert [one.factor for one in three._ground_margins(model.dome, order)] == [one.factor for one in found]


def margin(factor: float, required: float = 2.0, *, known: bool = True, name: str = "x") -> WorstMargin:
    return WorstMargin(name, factor, required, f"case of {name}", 3, known)


def test_a_margin_meets_from_what_is_required_on_and_only_where_it_is_known() -> None:
    assert margin(2.0).meets and not margin(2.0 - 1e-9).meets and margin(math.inf).meets and not margin(0.0).meets
    assert not margin(3.0, known=False).meets
    assert margin(3.0).share == 1.5 and WorstMargin("x", 1.0, 1.0, "c", None).known


def test_what_decides_is_what_is_not_known_then_the_least_share() -> None:
    close, far, lost = margin(2.1, name="close"), margin(1.9, 1.0, name="far"), margin(9.0, known=False, name="lost")
    assert Outcome("meets", (), (far, close)).least is close
    assert Outcome("cannot say", (), (far, close, lost)).least is lost
    short = margin(1.0, name="short")
    assert Outcome("falls short", (), (short, far, close)).shortest == (short,)


def answered(
    monkeypatch: pytest.MonkeyPatch, margins: tuple[WorstMargin, ...], doubts: tuple[Doubt, ...] = (), **more: Any
) -> tuple[Outcome, list[bool]]:
    """The outcome of a design with these margins, doubts and trials."""
    asked: list[bool] = []

    def tried(_design: Any, *, first: bool = False) -> tuple[Doubt, ...]:
        asked.append(first)
        return tuple(more.get("overturned", ()))

    model = SimpleNamespace(dome="dome", needs_blocks=more.get("blocks", False))
    monkeypatch.setattr(three, "build_model", lambda _design: model)
    monkeypatch.setattr(three, "worst_margins", lambda _model: margins)
    monkeypatch.setattr(three, "doubts_of", lambda _dome: doubts)
    monkeypatch.setattr(three, "overturned", tried)
    return outcome(SMALL, trials=more.get("trials", True)), asked


GOOD, SHORT, LOST = margin(2.5), margin(1.5, name="short"), margin(2.5, known=False, name="lost")
DOUBT, RESTS = Doubt("load not stated", "site.snow"), Doubt("blocks rest on it", "beds.friction")
RANGE = Doubt("its range overturns", "beds.friction")


def test_what_falls_short_needs_no_doubt_and_no_trial(monkeypatch: pytest.MonkeyPatch) -> None:
    for margins in ((GOOD, SHORT), (LOST, SHORT)):
        found, asked = answered(monkeypatch, margins, (DOUBT,))
        assert (found.verdict, found.doubts, found.margins, asked) == ("falls short", (), margins, [])


def test_a_search_that_did_not_close_is_the_first_doubt(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = answered(monkeypatch, (GOOD, LOST), (DOUBT,))
    assert found.verdict == "cannot say" and asked == []
    assert found.doubts == (Doubt("not established", "case of lost", "lost"), DOUBT)


def test_meets_only_without_any_doubt(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = answered(monkeypatch, (GOOD,))
    assert (found.verdict, found.doubts, asked) == ("meets", (), [True])
    assert answered(monkeypatch, (GOOD,), trials=False)[1] == []
    tried, _ = answered(monkeypatch, (GOOD,), overturned=(RANGE,))
    assert (tried.verdict, tried.doubts) == ("cannot say", (RANGE,))
    assert answered(monkeypatch, (GOOD,), overturned=(RANGE,), trials=False)[0].verdict == "meets"
    doubted, asked = answered(monkeypatch, (GOOD,), (DOUBT,), overturned=(RANGE,))
    assert (doubted.verdict, doubted.doubts, asked) == ("cannot say", (DOUBT,), [])


def test_blocks_that_were_not_asked_are_a_doubt_before_what_they_rest_on(monkeypatch: pytest.MonkeyPatch) -> None:
    found, asked = answered(monkeypatch, (GOOD,), (RESTS, DOUBT), blocks=True)
    assert found.doubts == (DOUBT, Doubt("blocks not asked"), RESTS) and asked == []
    assert answered(monkeypatch, (GOOD,), blocks=True)[0].doubts == (Doubt("blocks not asked"),)
    assert answered(monkeypatch, (GOOD,), (RESTS, DOUBT))[0].doubts == (RESTS, DOUBT)
