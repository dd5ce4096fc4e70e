"""Units as people say them: what each spelling is worth, that program, checker and schema read it alike, and what is
asked back where a word has two meanings.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.units import FOOT, INCH, LBF, SPOKEN, UNITS, Dimension, parse_quantity, system_of
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.design.file import parse_design
from shellcheck_earth.design.json_schema import design_schema
from shellcheck_earth.design.variation import parse_variation
from shellcheck_earth.mechanics.proof.quantities import RefusedError, quantity
from shellcheck_earth.mechanics.proof.reading import read

KINDS: dict[Dimension, str] = {"unit weight": "weight", "force per length": "line"}
"""The checker's own names of dimensions."""

CHECKED: tuple[Dimension, ...] = tuple(one for one in UNITS if one not in ("mass", "volume", "number"))
"""A design file holds no masses and no volumes: site readings do."""

TEN_SIX = 10 * FOOT + 6 * INCH


def by_checker(text: object, dimension: Dimension) -> float | None:
    """In the program's SI: the checker's speeds are per hour."""
    try:
        value = quantity(text, KINDS.get(dimension, dimension), "here")
    except RefusedError:
        return None
    return float(value / 3600 if dimension == "speed" else value)


def by_program(text: object, dimension: Dimension) -> float | None:
    try:
        return parse_quantity(text, dimension)
    except ValueError:
        return None


def by_schema(text: str, dimension: Dimension) -> bool:
    found: Any = design_schema()["$defs"][dimension]["anyOf"][0]
    found = found["anyOf"][1] if "anyOf" in found else found
    return re.search(found["pattern"], text) is not None and len(text) <= found["maxLength"]


@pytest.mark.parametrize(
    "text",
    [
        "10 ft 6 in",
        "10ft 6in",
        "10ft6in",
        "10 foot 6 inches",
        "10 feet 6 inch",
        "10' 6\"",
        "10'6\"",
        "10'-6\"",
        "10' 6''",
        "10'6''",
        "10\u2032 6\u2033",
        "10\u2019 6\u201d",
        "126 inches",
        '126"',
        "126''",
        "10.5 feet",
        "10 1/2 feet",
        "10-1/2 ft",
        "10' 5 4/4\"",
        "10' 5-4/4\"",
    ],
)
def test_ten_foot_six_in_every_spelling(text: str) -> None:
    assert parse_quantity(text, "length") == pytest.approx(TEN_SIX, rel=1e-12)
    assert quantity(text, "length", "here") == Fraction("3.2004")
    assert by_schema(text, "length")
    assert system_of([text], ("length",)) == "imperial"


def test_pounds_are_a_force_or_a_mass_by_what_is_asked() -> None:
    for name in ("lb", "lbs", "pounds", "lbf"):
        assert parse_quantity(f"950 {name}", "force") == pytest.approx(950 * LBF, rel=1e-12)
        assert quantity(f"950 {name}", "force", "here") == quantity("950 lbf", "force", "here")
    for name in ("lb", "lbs", "pounds"):
        assert parse_quantity(f"70 {name}", "mass") == pytest.approx(70 * 0.45359237, rel=1e-12)
    assert parse_quantity("110 pcf", "density") == parse_quantity("110 lb/ft3", "density")
    assert parse_quantity("110 lb/ft3", "unit weight") == parse_quantity("110 pcf", "unit weight")


def test_gallons_and_yards() -> None:
    assert parse_quantity("1 US gallon", "volume") == pytest.approx(3.785411784e-3, rel=1e-12)
    assert parse_quantity("2 imperial gallons", "volume") == pytest.approx(2 * 4.54609e-3, rel=1e-12)
    assert parse_quantity("2 cubic yards", "volume") == pytest.approx(54 * FOOT**3, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "asked"),
    [
        ("5 gallons", "volume", "which gallon"),
        ("150 kg", "force", r'150 kg weighs "1\.47 kN" or "331 lbf"'),
        ("2 tons", "force", "which ton"),
        ("2 tons", "mass", "which ton"),
        ("70 lbf", "mass", 'is the weight of "31.8 kg"'),
        ("17 kN/m3", "density", 'is the weight of "1730 kg/m3"'),
        ("1800 kg/m3", "unit weight", "weighs"),
        ("10-6", "length", "carry their marks"),
        ("10' 6", "length", "carry their marks"),
        ("10 6 ft", "length", "a length such as"),
        ("10' 14\"", "length", "a length such as"),
        ("10\" 6'", "length", "a length such as"),
        ("6' 1/0\"", "length", "a length such as"),
        ("6' 1.5 1/2\"", "length", "a length such as"),
        ("12 ft.", "length", "a length such as"),
        ("12 Feet", "length", "a length such as"),
        ("3 '''", "length", "a length such as"),
    ],
)
def test_refusals_are_one_clear_message(text: str, dimension: Dimension, asked: str) -> None:
    with pytest.raises(ValueError, match=asked) as caught:
        parse_quantity(text, dimension)
    assert "\n" not in str(caught.value) and len(str(caught.value)) < 200
    if dimension in CHECKED:
        assert by_checker(text, dimension) is None


NAMES = [(one, name) for one in CHECKED for name in (*UNITS[one], *SPOKEN[one])]


@given(st.sampled_from(NAMES), st.decimals(0, 10**6, places=3), st.booleans())
def test_every_spelling_is_read_alike(named: tuple[Dimension, str], number: Any, room: bool) -> None:
    dimension, name = named
    text = f"{number}{' ' if room else ''}{name}"
    said = by_program(text, dimension)
    assert said is not None and said == pytest.approx(by_checker(text, dimension), rel=1e-12)
    plain = SPOKEN[dimension].get(name, name)
    assert said == parse_quantity(f"{number} {plain}", dimension)
    assert by_schema(text, dimension)


SOUP = st.text(st.sampled_from("0123456789./- '\"ftinchesomk%\u2032\u2033\u201d"), max_size=14)
PIECES = st.lists(
    st.sampled_from(["10", "6", "1/2", "0.5", " ", "-", "'", "''", '"', "ft", "feet", "in", "inches", "m"]), max_size=7
).map("".join)


@given(st.one_of(SOUP, PIECES), st.sampled_from(CHECKED))
def test_program_checker_and_schema_agree_on_any_text(text: str, dimension: Dimension) -> None:
    said, checked = by_program(text, dimension), by_checker(text, dimension)
    assert (said is None) == (checked is None)
    if said is not None:
        assert said == pytest.approx(checked, rel=1e-12)
        assert by_schema(text, dimension)


FEET, INCHES = st.sampled_from(["ft", "foot", "feet", "'"]), st.sampled_from(["in", "inch", "inches", '"', "''"])


@given(st.integers(0, 99), st.integers(0, 11), st.integers(0, 15), FEET, INCHES, st.sampled_from(["", " ", "-"]))
def test_feet_and_inches_round_trip(feet: int, inches: int, part: int, foot: str, inch: str, gap: str) -> None:
    text = f"{feet} {foot}{gap}{inches} {part}/16 {inch}"
    exact = Fraction("0.0254") * (12 * feet + inches + Fraction(part, 16))
    assert quantity(text, "length", "here") == exact
    assert parse_quantity(text, "length") == pytest.approx(float(exact), rel=1e-12, abs=1e-15)


STORE = (Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml").read_text(encoding="utf-8")
SAID = {
    '"8 ft"': """"8'\"""",
    '"12 in"': """"12''\"""",
    '"18 in"': """"18 inch\"""",
    '"15 in"': '"15 inches"',
    '"5 1/4 in"': """"5-1/4''\"""",
    '"112 lb/ft3"': '"112 pcf"',
    '"220 psi"': '"220 lb/in2"',
    '"340 lbf"': '"340 lbs"',
    '"0.5 in/h"': '"0.5 inches/h"',
    '"9 %"': '"9 percent"',
    '"1 h"': '"60 minutes"',
}


def test_a_whole_file_said_otherwise_is_the_same_design_to_program_and_checker() -> None:
    said = STORE
    for plain, spoken in SAID.items():
        assert plain in said
        said = said.replace(plain, spoken)
    one, two = parse_design(STORE), parse_design(said)
    assert design_sha256(one) == design_sha256(two) and two.unit_system == "imperial"
    assert read(STORE).values == read(said).values and read(STORE).fills == read(said).fills


def test_ranges_take_units_as_people_say_them() -> None:
    found = parse_variation("dome.inside_diameter=8..14:4 feet", {})
    assert found.unit == "ft" and found.values == ("8 ft", "10 ft", "12 ft", "14 ft")
    assert parse_variation("wall.filled_width=14,16 inches", {}).values == ("14 in", "16 in")
    mixed = parse_variation("dome.inside_diameter=10' 6'',12 feet", {})
    assert mixed.unit == "ft" and mixed.numbers == pytest.approx((10.5, 12.0))
    with pytest.raises(InputError, match="a unit of a length"):
        parse_variation("wall.filled_width=14..16:2 pounds", {})
