"""The quantity parser against pint, and what it must refuse."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcheck_earth.basics.units import (
    UNITS,
    Dimension,
    both,
    bounds,
    feet_inches,
    format_quantity,
    parse_quantity,
)

ORACLE = pint.UnitRegistry()
SI = {
    "length": "m",
    "density": "kg/m**3",
    "unit weight": "kN/m**3",
    "stress": "kPa",
    "force": "kN",
    "force per length": "kN/m",
    "speed": "m/s",
    "angle": "rad",
    "duration": "hour",
    "mass": "kg",
    "volume": "m**3",
}
PINT_NAMES = {
    "kg/m3": "kg/m**3",
    "t/m3": "tonne/m**3",
    "g/cm3": "g/cm**3",
    "lb/ft3": "lb/ft**3",
    "kN/m3": "kN/m**3",
    "lbf/ft3": "lbf/ft**3",
    "pcf": "lbf/ft**3",
    "kN/m2": "kN/m**2",
    "psf": "lbf/ft**2",
    "ksf": "1000*lbf/ft**2",
    "kip": "1000*lbf",
    "N/mm": "N/mm",
    "mm/h": "mm/hour",
    "cm/h": "cm/hour",
    "in/h": "inch/hour",
    "in": "inch",
    "lbf/in": "lbf/inch",
    "h": "hour",
    "hours": "hour",
    "min": "minute",
    "days": "day",
    "t": "tonne",
    "m3": "m**3",
    "l": "liter",
    "ml": "milliliter",
    "cm3": "cm**3",
    "ft3": "ft**3",
    "in3": "inch**3",
    "deg": "degree",
    "rad": "radian",
    "yd3": "yard**3",
    "US gal": "US_liquid_gallon",
    "imp gal": "imperial_gallon",
    "oz": "ounce",
}
CASES = [(dimension, unit) for dimension, units in UNITS.items() if dimension in SI for unit in units]


@pytest.mark.parametrize(("dimension", "unit"), CASES)
def test_every_unit_against_pint(dimension, unit) -> None:  # type: ignore[no-untyped-def]
    expected = ORACLE.parse_expression(f"2.5*{PINT_NAMES.get(unit, unit)}").to(SI[dimension]).magnitude
    assert parse_quantity(f"2.5 {unit}", dimension) == pytest.approx(expected, rel=1e-9)  # pint's constants in doubles


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("14 ft 6 in", 14.5 * 0.3048),
        ("1 1/2 in", 0.0381),
        ("3/4 in", 0.01905),
        ("5 1/4 in", 0.13335),
        ("8 ft", 2.4384),
        ("8 ft 3 1/2 in", 8 * 0.3048 + 3.5 * 0.0254),
        (".5 m", 0.5),
        ("3.6m", 3.6),
        ("1e-2 m", 0.01),
        ("-0.2 m", -0.2),
    ],
)
def test_lengths_by_hand(text: str, metres: float) -> None:
    assert parse_quantity(text, "length") == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "4,2 m",
        "nan m",
        "inf m",
        "9**9**9 m",
        "",
        " ",
        "m",
        "3.6",
        "3.6 kg",
        "3.6  m",
        " 3.6 m",
        "3.6 m ",
        "3 6 m",
        "1/0 in",
        "14 ft 12 in",
        "3.6 m m",
        "1e999 m",
        "٣ m",
        "--3 m",
        "3.6 M",
        "0x10 m",
        "1_000 m",
        "6 ft 1.5 1/2 in",
        "x" * 100,
        None,
        True,
        3,
        3.6,
        ["3.6 m"],
    ],
)
def test_what_is_not_understood_is_refused(text: object) -> None:
    with pytest.raises(ValueError, match="length"):
        parse_quantity(text, "length")


@pytest.mark.parametrize("raw", [math.nan, math.inf, True, "0.3", "30"])
def test_shares(raw: object) -> None:
    assert parse_quantity("30 %", "share") == parse_quantity(0.3, "share") == 0.3
    with pytest.raises(ValueError, match="share"):
        parse_quantity(raw, "share")


@given(st.floats(0.001, 30.0))
def test_feet_and_inches_come_back_within_a_thirty_second(metres: float) -> None:
    text = feet_inches(metres)
    again = parse_quantity(text, "length")
    assert abs(again - metres) <= 0.0254 / 32 + 1e-12


def test_format() -> None:
    assert format_quantity(3.588, "length") == "3.59 m"
    assert both(0.3, "length", "imperial") == "0.984 ft (0.300 m)"
    assert feet_inches(3.588) == "11 ft 9 1/4 in"
    assert format_quantity(0.1, "share") == "10.0 %"


@pytest.mark.parametrize(
    ("low", "high", "dimension"),
    [(0.05, 3.0, "length"), (-10.0, 30.0, "length"), (0.0, 5.0, "length"), (800.0, 2600.0, "density"),
     (1.0, 50_000.0, "stress"), (-500.0, 500.0, "force"), (5.0, 30.0, "unit weight"), (1e-11, 0.01, "speed")],
)  # fmt: skip
def test_whoever_writes_an_end_as_it_is_told_is_within_the_range(low: float, high: float, dimension: Dimension) -> None:
    assert bounds(low, high, dimension) == (format_quantity(low, dimension), format_quantity(high, dimension))
    for end, said in zip((low, high), bounds(low, high, dimension, "imperial"), strict=True):
        told, metric = said.removesuffix(")").split(" (")
        value = parse_quantity(told, dimension)
        assert low <= value <= high and value == pytest.approx(end, rel=0.01)
        assert metric == format_quantity(end, dimension)
    assert bounds(0.0, 1.0, "share", "imperial") == bounds(0.0, 1.0, "share") == ("0 %", "100 %")
