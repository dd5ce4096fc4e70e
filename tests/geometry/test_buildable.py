"""Whatever the numbers: a design or a refusal, never another error; and the number a refusal names does work."""

from __future__ import annotations

import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shellcheck_earth.basics.errors import InputError, UnbuildableError
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import design_from_document, parse_design

PLAIN = {"dome": {"inside_diameter": "3.6 m"}, "wall": {"course_height": "135 mm", "filled_width": "385 mm"}}


def lengths(low: float, high: float) -> st.SearchStrategy[str]:
    return st.floats(low, high).map(lambda metres: f"{metres:.4f} m")


@settings(max_examples=150, deadline=None)
@given(
    lengths(0.5, 12.0),
    lengths(0.0, 3.0),
    lengths(-3.0, 2.0),
    lengths(0.03, 0.6),
    lengths(0.05, 1.0),
    lengths(0.0, 0.2),
    st.sampled_from(["pointed", "round"]),
)
def test_a_design_or_a_refusal(
    diameter: str, crown: str, pivot: str, height: str, width: str, rounding: str, profile: str
) -> None:
    document = {
        "dome": {"inside_diameter": diameter, "crown_opening": crown, "fixed_compass_pivot": pivot, "profile": profile},
        "wall": {"course_height": height, "filled_width": width, "edge_rounding": rounding},
    }
    try:
        design = design_from_document(document)
    except InputError as error:
        assert error.problems
        return
    for course in build_dome(design).courses:
        assert course.bed_outer > course.bed_inner  # every bed has width
        assert course.inner_radius >= 0.0  # exactly closed at the axis, when no crown opening is left


@pytest.mark.parametrize(
    ("height", "unit"), [("133.35 mm", "m"), ("5 1/4 in", "ft"), ("127 mm", "m"), ("4 1/3 in", "ft")]
)
@pytest.mark.parametrize("stem", ["0.9", "1.31", "2.02"])
def test_the_stem_heights_a_refusal_names_are_accepted(height: str, unit: str, stem: str) -> None:
    text = (
        '[dome]\ninside_diameter = "{0} {1}"\nspringing_above_floor = "{2} {1}"\n[wall]\ncourse_height ='
        ' "{3}"\nfilled_width = "0.4 m"\n'
    )
    diameter = "3.6" if unit == "m" else "12"
    with pytest.raises(UnbuildableError) as caught:
        parse_design(text.format(diameter, unit, stem, height))
    found = re.search(r"([\d.]+) (m|ft) or ([\d.]+) (m|ft)", str(caught.value))
    assert found is not None and found[2] == found[4] == unit
    for advised in (found[1], found[3]):
        assert parse_design(text.format(diameter, unit, advised, height)).name == "Unnamed dome"


@settings(max_examples=60, deadline=None)
@given(st.floats(0.25, 0.9), st.floats(1.5, 6.0))
def test_the_course_height_a_refusal_names_is_accepted(height: float, diameter: float) -> None:
    document = set_key(PLAIN, "wall.course_height", f"{height:.4f} m")
    document = set_key(set_key(document, "dome.inside_diameter", f"{diameter:.4f} m"), "dome.crown_opening", "0.05 m")
    try:
        design_from_document(document)
    except UnbuildableError as error:
        found = re.search(r"courses of ([\d.]+) m", str(error))
    else:
        found = None
    assume(found is not None)
    assert found is not None
    design_from_document(set_key(document, "wall.course_height", f"{found[1]} m"))


def test_radii_that_step_further_than_the_bed_is_wide() -> None:
    document = set_key(set_key(PLAIN, "dome.profile", "measured"), "dome.inner_radii", ["1.8 m", "1.7 m", "1.2 m"])
    document = set_key(document, "dome.measured_from", 1)
    with pytest.raises(UnbuildableError, match=r"course 3 steps in 0.5000 m"):
        design_from_document(document)


BASE = '[dome]\ninside_diameter = "3.6 m"\n[wall]\ncourse_height = "135 mm"\nfilled_width = "385 mm"\n'


@pytest.mark.parametrize(
    "tail",
    [
        "buried_courses = " + "1" * 5000,  # more digits than Python reads
        "buried_courses = " + "1" * 400,  # more than a float holds
        "buried_courses = 0x" + "f" * 6000,  # read, but more than Python writes
        "[criteria]\n" + ".".join("a" * 3000) + " = 1",  # nested deeper than recursion goes
        "[criteria]\nbed_friction." + ".".join("a" * 3000) + " = 1",
        "note = " + "[" * 3000,
    ],
    ids=["digits", "float", "hex", "dots", "dots in a factor", "brackets"],
)
def test_monstrous_files(tail: str) -> None:
    with pytest.raises(InputError) as caught:
        parse_design(BASE + tail)
    assert len(str(caught.value)) < 1000
