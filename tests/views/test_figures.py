"""Charts: labelled, repeatable, and where the numbers are."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest
from samples import redesigned

from shellcheck_earth.safety.result import ChartPoint, Result
from shellcheck_earth.views.figures import charts
from shellcheck_earth.views.figures.charts import drawing, spread
from shellcheck_earth.views.figures.clear import clear_corner, clear_height
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


@pytest.mark.parametrize(
    ("heights", "line", "side"),
    [
        ((4.0, 3.8, 3.3, 2.4, 1.8), 1.0, -1.0),  # falls to the worst day: words under it, over what is required
        ((4.0, 2.0, 1.3, 0.9, 0.8), 1.0, -1.0),
        ((0.5, 2.0, 3.0, 3.5, 3.9), 1.0, 1.0),
        ((2.0, 2.0, 2.0, 2.0, 2.0), 1.8, -1.0),
    ],
)
def test_words_beside_a_point_stand_where_no_line_runs(heights: tuple[float, ...], line: float, side: float) -> None:
    days = [1.0, 2.0, 3.0, 4.0, 5.0]
    with drawing(6.85, 2.9) as (figure, _write):
        axes = figure.subplots()
        axes.plot(days, heights)
        axes.axhline(line)
        axes.set_ylim(0, 4.0)
        axes.set_xlim(1.0, 5.0)
        x, y = (days[-1], heights[-1]) if side < 0 else (days[0], heights[0])
        middle = clear_height(axes, x, y, side * 200.0)
        up, across = (abs(b - a) for a, b in (axes.transData.transform([(x, y), (x + 1, y + 1)]).T[::-1]))
        scale = figure.dpi / 72.0
        up, across = up / scale, across / scale
    covered = [at for at in (1.0 + 0.01 * step for step in range(401)) if 0 <= side * (at - x) * across <= 200.0]
    assert len(covered) > 20
    for at in covered:
        before = min(int(at) - 1, 3)
        drawn = heights[before] + (heights[before + 1] - heights[before]) * (at - days[before])
        for height in (drawn, line):
            assert abs((height - y) * up - middle) >= 5.0
    assert -y * up < middle < (4.0 - y) * up


@pytest.mark.parametrize(
    "curves",
    [
        [(4.0, 3.0, 2.0, 1.5, 1.2)],
        [(0.1, 0.15, 0.2, 0.15, 0.1)],  # along the foot of the axes
        [(0.9, 0.5, 0.1, 0.5, 0.9), (0.1, 0.1, 0.7, 0.1, 0.1)],
        [(0.6, 0.1, 2.0, 3.0, 4.0), (1.3, 1.2, 1.1, 0.4, 0.2)],
    ],
)
def test_words_under_a_line_stand_where_no_curve_runs(curves: list[tuple[float, ...]]) -> None:
    days, wide = [1.0, 2.0, 3.0, 4.0, 5.0], 50.0
    with drawing(6.85, 2.9) as (figure, _write):
        axes = figure.subplots()
        for heights in curves:
            axes.plot(days, heights)
        axes.axhline(1.0)
        axes.set_ylim(0, 4.0)
        axes.set_xlim(1.0, 5.0)
        left, low = clear_corner(axes, wide, 1.0)
        (x, y), (far, over) = axes.transData.transform([(left, low), (left + 1.0, low + 1.0)])
        across, up = ((b - a) * 72.0 / figure.dpi for a, b in ((x, far), (y, over)))
        right, top = left + wide / across, low + 10.0 / up
    assert left > 1.0 and right < 5.0 and low > 0.0 and top < 1.0
    for heights in curves:
        for step in range(101):
            at = left + (right - left) * step / 100
            before = min(int(at) - 1, 3)
            drawn = heights[before] + (heights[before + 1] - heights[before]) * (at - days[before])
            assert drawn < low or drawn > top


def test_words_under_a_line_keep_off_other_words() -> None:
    with drawing(6.85, 2.9) as (figure, _write):
        axes = figure.subplots()
        axes.plot([1.0, 5.0], [3.0, 3.0])
        axes.set_ylim(0, 4.0)
        axes.set_xlim(1.0, 5.0)
        (x, _), (far, _) = axes.transData.transform([(1.0, 0.0), (5.0, 0.0)])
        points = (far - x) * 72.0 / figure.dpi
        free, _low = clear_corner(axes, 50.0, 1.0)
        beside, _low = clear_corner(axes, 50.0, 1.0, [(0.0, 0.0, points / 2, 90.0)])
    assert free < 1.1 and 3.0 < beside < 3.2


def test_what_is_required_is_named_outside_the_axes(whole: Result) -> None:
    """No curve can cross it there."""
    assert whole.weather is not None
    for svg in (
        charts.rain_chart(whole.weather),
        charts.worst_day_chart(whole.weather),
        charts.margins_by_stage(whole),
    ):
        root = ElementTree.fromstring(svg)
        said = [text for text in root.iter(f"{SVG}text") if "".join(text.itertext()) == "required"]
        clips = [float(r.get("x", "")) + float(r.get("width", "")) for r in root.iter(f"{SVG}rect")]
        assert len(said) == 1 and float(said[0].get("x", "")) > max(clips) > 300.0
