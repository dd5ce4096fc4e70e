"""Charts: labelled, repeatable, and where the numbers are."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest
from samples import redesigned

from shellcheck_earth.safety.result import ChartPoint, Result
from shellcheck_earth.views.figures import charts
from shellcheck_earth.views.figures.charts import spread
from shellcheck_earth.views.figures.friction import what_holds_it_up

SVG = "{http://www.w3.org/2000/svg}"


def _words(svg: str) -> str:
    return " | ".join("".join(text.itertext()) for text in ElementTree.fromstring(svg).iter(f"{SVG}text"))


def _dot(svg: str, colour: str) -> tuple[float, float]:
    """Place of the single mark of one colour."""
    uses = [u for u in ElementTree.fromstring(svg).iter(f"{SVG}use") if colour.lower() in u.get("style", "").lower()]
    assert len(uses) == 1
    return float(uses[0].get("x", "")), float(uses[0].get("y", ""))


def test_every_chart_asks_a_question_and_names_its_axes(whole: Result) -> None:
    assert whole.weather is not None
    for svg, axis in (
        (charts.margins_by_stage(whole), "courses laid"),
        (what_holds_it_up(whole), "[kN]"),
        (charts.worst_day_chart(whole.weather), "day of the work"),
        (charts.rain_chart(whole.weather), "hours of rain"),
    ):
        words = _words(svg)
        assert "?" in words and axis in words and "required" in words


def test_same_bytes_twice_and_no_date(whole: Result) -> None:
    assert whole.weather is not None
    for draw, data in ((charts.margins_by_stage, whole), (what_holds_it_up, whole)):
        assert draw(data) == draw(data)
        assert "dc:date" not in draw(data)
    assert charts.rain_chart(whole.weather) == charts.rain_chart(whole.weather)


def test_the_point_of_the_design_moves_with_the_design(whole: Result) -> None:
    """Less friction puts the design's point lower in the chart, less wire further left, and nothing else moves."""

    def at(**beds: float) -> tuple[float, float]:
        changed = redesigned(whole, beds=replace(whole.design.beds, **beds))  # type: ignore[arg-type]
        return _dot(what_holds_it_up(changed), charts.ORANGE)

    here, lower, less = at(), at(friction=0.1, friction_wet=0.1), at(wire_counted_share=0.1)
    assert lower[1] > here[1] + 50 and lower[0] == pytest.approx(here[0])
    assert less[0] < here[0] - 50 and less[1] == pytest.approx(here[1])


def test_no_friction_is_enough_is_said(whole: Result) -> None:
    nothing = replace(whole, friction_chart=tuple(ChartPoint(p.wire_tension, None) for p in whole.friction_chart))
    assert "no friction is enough" in _words(what_holds_it_up(nothing))
    assert "no friction is enough" not in _words(what_holds_it_up(whole))


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ([1.0, 2.0], [1.0, 2.0]),  # far apart: left alone
        ([1.0, 1.0, 1.0], [1.0, 1.5, 2.0]),
        ([3.0, 3.0], [2.5, 3.0]),  # pushed down from the ceiling
        ([2.0, -1.0], [2.0, 0.0]),  # order kept, floor held
    ],
)
def test_labels_are_spread_and_keep_their_order(wanted: list[float], expected: list[float]) -> None:
    assert spread(wanted, 0.5, 0.0, 3.0) == pytest.approx(expected)
