"""The section is to scale, marks the bed that decides, and holds no word of a user as markup."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest
from samples import redesigned

from shellcheck_earth.design.design import Opening, UnitSystem
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures.letters import LEAST_SIZE, advance
from shellcheck_earth.views.figures.outline import bare_section
from shellcheck_earth.views.figures.section import section_svg
from shellcheck_earth.views.figures.strokes import CLAY, RED
from shellcheck_earth.views.report.governing import drawn_case, governing

SVG = "{http://www.w3.org/2000/svg}"
HUNDREDTH = 0.011
"""Places are written to a hundredth of a millimetre."""


def _root(assessment: Result) -> ElementTree.Element:
    return ElementTree.fromstring(section_svg(assessment))


def _words(root: ElementTree.Element) -> str:
    return " | ".join(text.text or "" for text in root.iter(f"{SVG}text"))


def _scale(root: ElementTree.Element) -> float:
    """Millimetres of paper a metre, measured on the scale bar: two bars of half a metre each."""
    bars = [r for r in root.iter(f"{SVG}rect") if r.get("height") == "1.2"]
    assert len(bars) == 2
    return float(bars[1].get("x", "")) + float(bars[1].get("width", "")) - float(bars[0].get("x", ""))


def test_courses_are_to_the_scale_of_the_bar(whole: Result) -> None:
    root = _root(whole)
    scale = _scale(root)
    courses = [r for r in root.iter(f"{SVG}rect") if r.get("fill") == CLAY]
    assert len(courses) == 2 * 26  # 24 above the springing and 2 buried, cut on both sides
    for rect in courses:
        assert float(rect.get("width", "")) == pytest.approx(0.385 * scale, abs=HUNDREDTH)
        assert float(rect.get("height", "")) == pytest.approx(0.135 * scale, abs=HUNDREDTH)
    left = min(float(r.get("x", "")) for r in courses)
    right = max(float(r.get("x", "")) + float(r.get("width", "")) for r in courses)
    assert right - left == pytest.approx(
        (3.6 + 2 * 0.385) * scale, abs=2 * HUNDREDTH
    )  # buried courses: inside diameter and two walls


def test_governing_bed_is_ringed_where_it_lies(whole: Result) -> None:
    found = governing(whole)
    assert found is not None
    root = _root(whole)
    rings = [c for c in root.iter(f"{SVG}circle") if c.get("stroke") == RED]
    beds = [line for line in root.iter(f"{SVG}line") if line.get("stroke") == RED and line.get("stroke-width") == "0.8"]
    assert len(rings) == 1 and len(beds) == 2
    assert {line.get("y1") for line in beds} == {rings[0].get("cy")}
    assert f"course {found[1].course}:" in _words(root) and found[1].check in _words(root)


def test_middlemost_line_passes_where_the_assessment_says(whole: Result) -> None:
    root = _root(whole)
    scale = _scale(root)
    heavy = [p for p in root.iter(f"{SVG}path") if p.get("stroke-width") == "0.6"]
    assert len(heavy) == 2
    drawn = [[float(n) for n in pair.split()] for pair in heavy[1].get("d", "")[1:].split(" L")]
    mirrored = [[float(n) for n in pair.split()] for pair in heavy[0].get("d", "")[1:].split(" L")]
    line = next(one for one in drawn_case(whole).lines if one.kind == "middlemost")
    for (x, y), (other, _), radius, z in zip(drawn, mirrored, line.x, line.z, strict=True):
        assert x - other == pytest.approx(2 * radius * scale, abs=2 * HUNDREDTH)
        assert drawn[0][1] - y == pytest.approx((z - line.z[0]) * scale, abs=2 * HUNDREDTH)


def test_person_is_one_metre_seventy(whole: Result) -> None:
    root = _root(whole)
    head = next(c for c in root.iter(f"{SVG}circle") if c.get("stroke") == "#ffffff")
    floor = next(
        line
        for line in root.iter(f"{SVG}line")
        if line.get("y1") == line.get("y2")
        and line.get("stroke-width") == "0.35"
        and float(line.get("x2", "")) - float(line.get("x1", "")) > 3 * _scale(root)
    )
    height = float(floor.get("y1", "")) - float(head.get("cy", "")) + float(head.get("r", ""))
    assert height == pytest.approx(1.70 * _scale(root), abs=0.05)


@pytest.mark.parametrize("system", ["metric", "imperial"])
@pytest.mark.parametrize("tallest", [18.0, 24.0, 75.0])
def test_the_height_of_the_person_keeps_clear_of_the_wall(whole: Result, tallest: float, system: UnitSystem) -> None:
    sheet = bare_section(replace(whole.dome, design=replace(whole.design, unit_system=system)), {}, tallest=tallest)
    tall = "5 ft 7 in" if system == "imperial" else "1.7 m"
    svg = ElementTree.fromstring(sheet.svg("a", "b"))
    (label,) = (one for one in svg.iter(f"{SVG}text") if one.text == tall)
    half = advance(tall, LEAST_SIZE) / 2
    inner = min(course.inner_radius for course in whole.dome.courses if course.z_bottom <= whole.dome.floor)
    assert float(label.get("x", "")) + half <= sheet.x(inner) - 2.9
    assert float(label.get("x", "")) - half >= sheet.x(-inner) + 2.9


def test_words_of_a_user_stay_words(hostile: Result, hostile_name: str) -> None:
    assert _root(hostile).findtext(f"{SVG}title") == f"Section of {hostile_name}"


def test_extras_are_drawn_when_asked_for(whole: Result) -> None:
    plain = section_svg(whole)
    assert "wetted" not in plain and "by hand" not in plain and plain.count("url(#water)") == 0
    extra = section_svg(whole, wetted={3: 0.05, 4: 9.0}, first_by_hand=20)
    assert extra.count("url(#water)") == 5  # two courses on two sides, and the key
    assert "held by hand from" in extra and ">course 20</text>" in extra and "wetted by rain" in extra
    door = Opening("door", 0.0, 0.0, 0.9, 2.0, "pointed")
    opened = redesigned(whole, openings=(door,))
    assert ">door</text>" in section_svg(opened) and ">door</text>" not in plain


def test_a_case_without_lines_says_so(whole: Result) -> None:
    assert ">No thrust line exists: " in section_svg(whole, case_id="soaked-through")
    assert ">No thrust line exists: " not in section_svg(whole)


def test_same_bytes_and_feet_for_those_who_use_them(whole: Result) -> None:
    assert section_svg(whole) == section_svg(whole)
    feet = section_svg(redesigned(whole, unit_system="imperial"))
    assert "fixed compass 13 ft 0 7/8 in" in feet  # 3.985 m = 156.89 in = 13 ft 0.89 in
    assert "fixed compass 3985 mm" in section_svg(whole)


def test_feet_come_first_where_the_design_is_in_feet(whole: Result) -> None:
    """1.7 m is 66.9 in; three feet are 0.9144 m."""
    feet = ElementTree.fromstring(section_svg(redesigned(whole, unit_system="imperial")))
    assert "| 5 ft 7 in |" in _words(feet) and "3 ft (0.914 m)" in _words(feet) and "1.7 m" not in _words(feet)
    assert "| 1.7 m |" in _words(_root(whole)) and "1 m (3 ft 3 3/8 in)" in _words(_root(whole))
    parts = [float(r.get("width", "")) for r in feet.iter(f"{SVG}rect") if r.get("height") == "1.2"]
    assert parts == pytest.approx([0.3048 * _scale(_root(whole))] * 3, abs=HUNDREDTH)
