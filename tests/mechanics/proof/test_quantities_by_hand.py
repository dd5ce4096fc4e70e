"""The checker's quantities by hand: every unit, what is a quantity and what is none, powers to many digits."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from shellcheck_earth.mechanics.proof.keys import power
from shellcheck_earth.mechanics.proof.quantities import UNITS, quantity
from shellcheck_earth.mechanics.proof.reading import RefusedError

FT, LB, G = 0.3048, 0.45359237, 9.80665  # m, kg, m/s2: exact by definition
KNOWN = {
    "length": {"m": 1.0, "mm": 1e-3, "cm": 1e-2, "ft": FT, "in": 0.0254},
    "density": {"kg/m3": 1.0, "t/m3": 1e3, "g/cm3": 1e3, "lb/ft3": LB / FT**3},
    "weight": {"kN/m3": 1.0, "lbf/ft3": LB * G / 1000 / FT**3, "pcf": LB * G / 1000 / FT**3},
    "stress": {
        "kPa": 1.0, "Pa": 1e-3, "MPa": 1e3, "kN/m2": 1.0, "psi": LB * G / 1000 / 0.0254**2,
        "psf": LB * G / 1000 / FT**2, "ksf": LB * G / FT**2,
    },
    "force": {"kN": 1.0, "N": 1e-3, "lbf": LB * G / 1000, "kip": LB * G},
    "line": {"kN/m": 1.0, "N/mm": 1.0, "lbf/in": LB * G / 1000 / 0.0254, "lbf/ft": LB * G / 1000 / FT},
    "speed": {"m/s": 3600.0, "mm/h": 1e-3, "cm/h": 1e-2, "in/h": 0.0254},
    "share": {"%": 0.01},
    "angle": {"rad": 1.0, "deg": pi / 180},
    "duration": {"h": 1.0, "hours": 1.0, "min": 1 / 60, "s": 1 / 3600, "days": 24.0, "day": 24.0},
    "number": {},
    "whole": {},
}  # fmt: skip


def test_every_unit() -> None:
    assert {kind: set(units) for kind, units in UNITS.items()} == {kind: set(units) for kind, units in KNOWN.items()}
    for kind, units in KNOWN.items():
        for unit, factor in units.items():
            assert float(quantity(f"2.5 {unit}", kind, "x")) == pytest.approx(2.5 * factor, rel=1e-12), unit


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("5 1/2 in", "length", 5.5 * 0.0254),
        ("5-3/4 in", "length", 5.75 * 0.0254),
        ("3/4 in", "length", 0.75 * 0.0254),
        ("1/2 ft", "length", 0.5 * FT),
        ("9 ft 6 in", "length", 9 * FT + 6 * 0.0254),
        ("9 ft 6.25 in", "length", 9 * FT + 6.25 * 0.0254),
        ("9 ft 6 1/2 in", "length", 9 * FT + 6.5 * 0.0254),
        ("9 ft 11 15/16 in", "length", 9 * FT + (11 + 15 / 16) * 0.0254),
        ("9 ft 12 in", "length", None),
        ("9 ft 11 4/4 in", "length", None),
        ("9 ft 6 1/0 in", "length", None),
        ("9 ft 6.5 1/2 in", "length", None),
        ("1/0 in", "length", None),
        ("2 m2", "length", None),
        ("2", "length", None),
        (2, "length", None),
        (Fraction(2), "number", 2.0),
        (Fraction(2), "share", 2.0),
        (True, "number", None),
        ("2", "number", None),
        ("+1e-1 kPa", "stress", 0.1),
        (".5 kPa", "stress", 0.5),
        ("5. kPa", "stress", None),
        ("1e100 kPa", "stress", None),
        ("1" + "0" * 54 + " kPa", "stress", 1e54),
        ("1" + "0" * 57 + " kPa", "stress", None),
        ("1 kpa", "stress", None),
        ("1  kPa", "stress", None),
        ("１ kPa", "stress", None),
    ],
)
def test_what_is_a_quantity(text: object, kind: str, value: float | None) -> None:
    if value is None:
        with pytest.raises(RefusedError, match="x: expected"):
            quantity(text, kind, "x")
    else:
        assert float(quantity(text, kind, "x")) == pytest.approx(value, rel=1e-12)


def test_powers_to_many_digits() -> None:
    root = power(Fraction(2), Fraction(1, 2))
    assert abs(root * root - 2) < Fraction(1, 10**44) and power(Fraction(3, 20), Fraction(0)) == 1
    assert abs(power(Fraction(1, 8), Fraction(1, 3)) - Fraction(1, 2)) < Fraction(1, 10**44)
