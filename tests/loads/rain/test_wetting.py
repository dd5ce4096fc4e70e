"""Expected values: Chow, Maidment & Mays 1988, worked examples 4.3.1, 4.4.1 and 4.4.2 (printed to three
figures)."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shellcheck_earth.geometry.courses import Course
from shellcheck_earth.loads.rain.wetting import (
    WettingSoil,
    catch_intensity,
    covered_hours,
    infiltrated,
    infiltration_rate,
    ponded_infiltration,
    ponding_time,
    redistributed_depth,
    soaked_width,
    wetted_band,
)
from shellcheck_earth.mechanics.proof.moisture import infiltrated as rebuilt

SILT_LOAM = WettingSoil(conductivity=0.0065, suction=0.167, deficit=0.340)
COURSE = Course(3, "arc", 0.3, 0.45, 1.5, 1.9, 1.5, 0.05, 1.55, 1.9, 11.0, 0.5, 20.0, True)


def test_an_hour_under_water() -> None:
    water = ponded_infiltration(SILT_LOAM, 1.0)
    assert water == pytest.approx(0.0317, abs=5e-5)  # half a unit of the last printed figure
    assert SILT_LOAM.conductivity * (1 + SILT_LOAM.storage / water) == pytest.approx(0.0181, abs=1e-4)


def test_ponding_times() -> None:
    assert ponding_time(SILT_LOAM, 0.01) == pytest.approx(10.5, abs=0.06)
    assert ponding_time(SILT_LOAM, 0.05) == pytest.approx(0.17, abs=0.005)


def test_after_ponding() -> None:
    assert infiltrated(SILT_LOAM, 0.05, 1.0) == pytest.approx(0.0302, abs=5e-5)
    assert infiltration_rate(SILT_LOAM, 0.05, 1.0) == pytest.approx(0.0187, abs=5e-5)


def test_no_rain_and_slow_rain() -> None:
    assert infiltrated(SILT_LOAM, 0.05, 0.0) == 0.0
    assert infiltrated(SILT_LOAM, 0.0, 10.0) == 0.0
    assert math.isinf(ponding_time(SILT_LOAM, 0.0065))
    assert infiltrated(SILT_LOAM, 0.002, 100.0) == pytest.approx(0.2)  # all of it: never ponds


def test_endless_rain_runs_at_the_conductivity() -> None:
    assert infiltration_rate(SILT_LOAM, 0.05, 1e5) == pytest.approx(0.0065, rel=1e-3)


@given(st.floats(1e-5, 0.2), st.floats(0.01, 200.0), st.floats(1.0, 3.0), st.floats(1.0, 3.0))
def test_more_rain_wets_more_and_never_more_than_fell(rain: float, hours: float, longer: float, harder: float) -> None:
    base = infiltrated(SILT_LOAM, rain, hours)
    slack = 1e-9 * base
    assert infiltrated(SILT_LOAM, rain, hours * longer) >= base - slack
    assert infiltrated(SILT_LOAM, rain * harder, hours) >= base - slack
    assert base <= rain * hours * (1 + 1e-9)
    assert base <= ponded_infiltration(SILT_LOAM, hours) * (1 + 1e-9)


def test_catch_between_face_and_ledge() -> None:
    # by hand: 10 (0.1 + 0.3 x 0.15)/(0.25) = 5.8
    assert catch_intensity(10.0, 0.1, 0.15, 0.3) == pytest.approx(5.8)
    assert catch_intensity(10.0, 0.0, 0.15, 0.3) == pytest.approx(3.0)


def test_redistribution_is_never_shallower_than_the_front() -> None:
    assert redistributed_depth(0.02, 0.34, 0.5, 0.9) == pytest.approx(0.02 / 0.136)
    assert redistributed_depth(0.02, 0.34, 0.5, 0.9) > 0.02 / (0.34 * 0.5)
    assert math.isinf(redistributed_depth(1e-6, 0.34, 0.95, 0.9))
    assert redistributed_depth(0.0, 0.34, 0.95, 0.9) == 0.0


def test_band_at_the_bed() -> None:
    assert wetted_band(COURSE, 0.1, 0.0) == 0.0
    assert wetted_band(COURSE, 0.1, 0.03) == pytest.approx(0.03)  # the ledge's water is still on its way down
    assert wetted_band(COURSE, 0.1, 0.2) == pytest.approx(0.3)
    assert wetted_band(COURSE, 0.1, 9.0) == pytest.approx(0.4)
    assert wetted_band(COURSE, 0.4, COURSE.height) == pytest.approx(0.4)  # open top, wetted through its height


def test_soaked_section() -> None:
    assert soaked_width(COURSE, 0.1, 0.0) == 0.0
    assert soaked_width(COURSE, 0.0, 0.03) == pytest.approx(0.03)
    assert soaked_width(COURSE, 0.1, 0.03) == pytest.approx(0.03 + 0.1 * 0.03 / 0.15)
    assert soaked_width(COURSE, 0.1, 0.2) == pytest.approx(0.3) == wetted_band(COURSE, 0.1, 0.2)
    assert soaked_width(COURSE, 0.1, 9.0) == pytest.approx(0.4)


def test_cover() -> None:
    assert covered_hours(12.0, None) == 12.0
    assert covered_hours(12.0, 3.0) == 3.0
    assert covered_hours(2.0, 3.0) == 2.0
    assert covered_hours(2.0, 0.0) == 0.0


@pytest.mark.parametrize("hours", [0.01, 0.3, 0.5, 2.0])
def test_standing_water_keeps_its_equation(hours: float) -> None:
    water = ponded_infiltration(SILT_LOAM, hours)
    s = SILT_LOAM.storage
    assert water - s * math.log(1 + water / s) == pytest.approx(SILT_LOAM.conductivity * hours, rel=1e-9)
    assert ponded_infiltration(SILT_LOAM, -1.0) == ponded_infiltration(SILT_LOAM, 0.0) == 0.0


def test_thin_bands() -> None:
    for front in (1e-4, 0.02):
        assert wetted_band(COURSE, 0.1, front) == pytest.approx(front)
        assert soaked_width(COURSE, 0.1, front) == pytest.approx(front * (1 + 0.1 / 0.15))
        assert redistributed_depth(front, 0.34, 0.5, 0.9) == pytest.approx(front / 0.136)
    assert infiltrated(SILT_LOAM, 1e-4, 0.5) == pytest.approx(5e-5)


@pytest.mark.parametrize("suction", [0.0, 1e-9, 1e-4])
def test_a_front_that_draws_nothing_goes_in_at_its_conductivity(suction: float) -> None:
    """0.001 m/h for 12 h under 0.02 m/h of rain: ponding at once, 12 mm; a little suction adds as little."""
    found = infiltrated(WettingSoil(0.001, suction, 0.2), 0.02, 12.0)
    assert found == pytest.approx(0.012, rel=2e-2) and found >= 0.012
    storage = Fraction(suction) * Fraction(1, 5)
    theirs = rebuilt(Fraction(1, 1000), storage, Fraction(1, 50), Fraction(12))
    assert found == pytest.approx(float(theirs), rel=1e-9)
