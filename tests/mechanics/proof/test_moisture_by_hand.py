"""The checker's moisture against a pencil: its curves, ages and drying, and the equation of a front."""

from __future__ import annotations

from fractions import Fraction
from math import exp, log, pi, sqrt

import pytest
from certificates import SMALL

from shellcheck_earth.mechanics.proof.moisture import (
    _left,
    early,
    infiltrated,
    moisture_at,
    strength_at,
    strength_of_age,
)
from shellcheck_earth.mechanics.proof.reading import RefusedError, read

UNSTABILISED = SMALL.replace('stabiliser = "cement"\n', "").replace('value = "1 MPa"', 'value = "0.1 MPa"')
"""Dry 3 MPa, as placed 0.5 MPa at 9 %, wet 0.1 MPa from 90 % of 17.82 % = 16.04 %."""
FULL = 1 / 1.8 - 1 / 2.65


def fill_of(text: str, **changes: Fraction) -> dict[str, object]:
    return {**read(text).fills[0][2], **changes}


def between(x: float, x0: float, x1: float, y0: float, y1: float) -> float:
    return exp(log(y0) + (x - x0) / (x1 - x0) * (log(y1) - log(y0)))


@pytest.mark.parametrize("hardened", [True, False])
@pytest.mark.parametrize(
    ("moisture", "strength"),
    [
        ("0", 3000.0),
        ("0.04", 3000.0),
        ("0.065", between(0.065, 0.04, 0.09, 3000.0, 500.0)),
        ("0.09", 500.0),
        ("0.11", between(0.11, 0.09, 0.9 * FULL, 500.0, 100.0)),
        ("0.161", 100.0),
        ("0.17", 100.0),
    ],
)
def test_strength_of_fill_without_stabiliser(moisture: str, strength: float, hardened: bool) -> None:
    assert float(strength_at(fill_of(UNSTABILISED), Fraction(moisture), hardened)) == pytest.approx(strength, rel=1e-12)


def test_from_no_strength_at_all_it_goes_straight() -> None:
    """Half way from 0 dry at 4 % to 500 kPa at 9 %; no power of nothing leads there."""
    none_dry = fill_of(UNSTABILISED, strength_dry=Fraction(0))
    assert strength_at(none_dry, Fraction("0.065"), False) == 250


@pytest.mark.parametrize(
    ("moisture", "strength"),
    [
        ("0.04", 3000.0),
        ("0.09", between(0.09, 0.04, 0.9 * FULL, 3000.0, 1000.0)),
        ("0.12", between(0.12, 0.04, 0.9 * FULL, 3000.0, 1000.0)),
        ("0.161", 1000.0),
    ],
)
def test_hardened_stabilised_fill_goes_from_dry_to_wet(moisture: str, strength: float) -> None:
    assert float(strength_at(fill_of(SMALL), Fraction(moisture), True)) == pytest.approx(strength, rel=1e-12)
    if moisture == "0.09":
        assert strength_at(fill_of(SMALL), Fraction(moisture), False) == 500


def test_what_is_placed_nearly_dry_has_its_strength_as_placed() -> None:
    """Placed at 4 %: dry below half of it. Placed past the wet end: all below it is drier than placed."""
    early_fill = fill_of(UNSTABILISED, placing_moisture=Fraction(4, 100))
    assert strength_at(early_fill, Fraction(4, 100), False) == 500
    assert float(strength_at(early_fill, Fraction(3, 100), False)) == pytest.approx(sqrt(3000.0 * 500.0), rel=1e-12)
    assert strength_at(early_fill, Fraction(2, 100), False) == 3000
    late = fill_of(UNSTABILISED, placing_moisture=Fraction(17, 100))
    x = 0.9 * FULL
    middle = float(strength_at(late, Fraction((x + 0.04) / 2), False))
    assert middle == pytest.approx(sqrt(3000.0 * 500.0), rel=1e-9)
    assert strength_at(late, Fraction(17, 100), False) == 100


def test_towards_no_strength_the_curve_is_a_line() -> None:
    fill = fill_of(UNSTABILISED, strength_wet=Fraction(0))
    wet = Fraction(9, 10) * fill["full"]  # type: ignore[operator]
    assert strength_at(fill, (wet + Fraction(9, 100)) / 2, False) == 250
    assert float(strength_at(fill, wet * Fraction(1, 4) + Fraction(9, 100) * Fraction(3, 4), False)) == pytest.approx(
        375
    )


@pytest.mark.parametrize(
    ("age", "share"),
    [(0, 0.3), (1, 0.3 + 0.2 / 7), (7, 0.5), (14, 0.5 + 0.5 * 7 / 21), (28, 1.0), (100, 1.0), (-1, 0.3)],
)
def test_young_stabilised_fill(age: int, share: float) -> None:
    assert float(early(age)) == pytest.approx(share, rel=1e-12)
    design = read(SMALL)
    fill = design.fills[0][2]
    grown = (share - 0.3) / 0.7
    hard = between(0.09, 0.04, 0.9 * FULL, 3000.0, 1000.0)
    expected = 500.0 * (1 - grown) + hard * grown
    found = strength_of_age(design, fill, Fraction(9, 100), age, Fraction(35, 100), Fraction(1, 5))
    assert float(found) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("age", "left"), [(0, 12.0), (30, 12.0 * 0.4), (60, 0.0)])
def test_counted_fabric(age: int, left: float) -> None:
    """2 T/B (3 B/H - 1) with T = 12 kN/m, B = 0.35 m, H = 0.2 m: 291.4 kPa, a fiftieth of T lost each day."""
    text = UNSTABILISED.replace("[building]\n", '[building]\ncount_fabric = true\nfabric_loss = "2 %"\n')
    design = read(text)
    found = strength_of_age(design, design.fills[0][2], Fraction(9, 100), age, Fraction(35, 100), Fraction(1, 5))
    assert float(found) == pytest.approx(500.0 + 2 * left / 0.35 * (3 * 0.35 / 0.2 - 1), rel=1e-12)
    # A tube higher than three times its width gains nothing, and loses nothing.
    assert strength_of_age(design, design.fills[0][2], Fraction(9, 100), age, Fraction(1, 10), Fraction(1, 2)) == 500


TABLE = 'drying = [["2 days", "8 %"], ["6 days", "4 %"], ["10 days", "3 %"]]\n'


@pytest.mark.parametrize(
    ("age", "moisture"),
    [(0, "0.09"), (1, "0.085"), (2, "0.08"), (3, "0.07"), (6, "0.04"), (8, "0.035"), (10, "0.03"), (50, "0.03")],
)
def test_a_table_of_drying_is_read_in_straight_lines(age: int, moisture: str) -> None:
    design = read(SMALL.replace("[building]\n", f"[building]\n{TABLE}"))
    assert moisture_at(design, design.fills[0][2], age) == Fraction(moisture)
    assert moisture_at(read(SMALL), read(SMALL).fills[0][2], age) == Fraction(9, 100)


def test_a_table_never_makes_it_damper_than_it_was_placed() -> None:
    damp = read(
        SMALL.replace("[building]\n", '[building]\ndrying = [["0 h", "15 %"], ["4 days", "11 %"], ["8 days", "5 %"]]\n')
    )
    fill = damp.fills[0][2]
    assert [moisture_at(damp, fill, age) for age in (0, 2, 4, 6, 9)] == [
        Fraction(9, 100), Fraction(9, 100), Fraction(9, 100), Fraction(8, 100), Fraction(5, 100)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("climate", "diffusivity", "evaporation", "end"),
    [("cool and damp", 1e-9, 0.0005, 0.05), ("temperate", 2e-9, 0.0015, 0.03), ("hot and dry", 4e-9, 0.004, 0.02)],
)
@pytest.mark.parametrize("age", [0, 1, 5, 30, 200, 2000])
def test_drying_in_a_climate(climate: str, diffusivity: float, evaporation: float, end: float, age: int) -> None:
    """The series of a sheet (Crank 1975, eq. 4.18, memory), no faster than the air takes it from both faces."""
    design = read(SMALL.replace("[building]\n", f'[building]\nclimate = "{climate}"\n'))
    x = diffusivity * 86400 * age / 0.35**2
    left = 8 / pi**2 * sum(exp(-(m**2) * pi**2 * x) / m**2 for m in range(1, 4001, 2))
    lost = min((0.09 - end) * (1 - left), 2 * evaporation * age * 1000 / (1800 * 0.35))
    found = float(moisture_at(design, design.fills[0][2], age))
    assert found == pytest.approx(0.09 - lost, abs=2e-5)
    if age == 0:
        assert found == 0.09


def test_no_drying_below_the_end_and_no_model_of_other_walls() -> None:
    damp = read(SMALL.replace("[building]\n", '[building]\nclimate = "cool and damp"\n').replace('"9 %"', '"5 %"'))
    assert moisture_at(damp, damp.fills[0][2], 300) == Fraction(5, 100)
    temperate = SMALL.replace("[building]\n", '[building]\nclimate = "temperate"\n').replace('"20 mm", s', '"5 mm", s')
    for width in ("610 mm", "90 mm"):
        other = read(temperate.replace('"350 mm"', f'"{width}"'))
        with pytest.raises(RefusedError, match="drying model"):
            moisture_at(other, other.fills[0][2], 3)
    for width in ("600 mm", "100 mm"):
        edge = read(temperate.replace('"350 mm"', f'"{width}"'))
        assert moisture_at(edge, edge.fills[0][2], 3) < Fraction(9, 100)


@pytest.mark.parametrize("x", ["0.001", "0.0199", "0.0201", "0.1", "1"])
def test_water_left_in_a_sheet_is_the_same_by_either_series(x: str) -> None:
    value = float(Fraction(x))
    long_series = 8 / pi**2 * sum(exp(-(m**2) * pi**2 * value) / m**2 for m in range(1, 4001, 2))
    assert float(_left(Fraction(x))) == pytest.approx(long_series, rel=1e-6)


@pytest.mark.parametrize(
    ("rain", "hours"), [("0.02", "0.2"), ("0.02", "5"), ("0.004", "12"), ("0.1", "1"), ("0.02", "0.0001")]
)
@pytest.mark.parametrize("suction", ["0.21", "0"])
def test_the_front_keeps_the_equation_of_green_and_ampt(rain: str, hours: str, suction: str) -> None:
    """F - F_p - s ln((s + F)/(s + F_p)) = k (t - t_p), t_p = k s/(i (i - k)) (Chow, Maidment & Mays 1988, memory)."""
    k, s, i, t = Fraction(5, 1000), Fraction(suction) * Fraction(3, 10), Fraction(rain), Fraction(hours)
    found = infiltrated(k, s, i, t)
    ponds = k * s / (i * (i - k)) if i > k else t
    if t <= ponds:
        assert found == i * t
        return
    first = i * ponds
    kept = float(found - first) - (float(s) * log(float((s + found) / (s + first))) if s else 0.0)
    assert kept == pytest.approx(float(k * (t - ponds)), rel=1e-12)
    assert first < found < i * t
    # Rounded up, never down, by no more than can be seen.
    if s == 0:
        assert 0 < found - (first + k * (t - ponds)) < Fraction(1, 10**29)
