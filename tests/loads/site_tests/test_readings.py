"""Expected values by hand, and Craig's first worked example (Soil Mechanics ch. 1, memory)."""

import math

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.loads.phases import GRAVITY
from shellcheck_earth.loads.site_tests.readings import (
    aspect_factor,
    conductivity_from_soak,
    density_from_sample,
    moisture_from_drying,
    strength_from_crushing,
    tube_from_filling,
    wire_from_breaking,
)
from shellcheck_earth.loads.site_tests.tilting import Tilt, friction_from_tilts


def _tilt_for(normal: float, friction: float, cohesion: float) -> Tilt:
    """The tilt that a bed with friction and cohesion gives at a normal pressure [kPa] on 0.1 m2."""
    shear = cohesion + friction * normal
    angle = math.atan2(shear, normal)
    return Tilt(angle, math.hypot(normal, shear) * 0.1 * 1000 / GRAVITY, 0.1)


def test_craig_example() -> None:
    moisture = moisture_from_drying(2.290, 2.035, mass_u=0.005)
    assert moisture.value == pytest.approx(0.12531, abs=5e-6)
    dry = density_from_sample(2.290, 1.15e-3, moisture.value, 2680.0)
    assert dry.value == pytest.approx(2.035 / 1.15e-3, rel=1e-9)


def test_moisture_uncertainty_by_hand() -> None:
    # 1 kg of dry soil in a 0.2 kg pan, w = 0.1, each weighing +-2 g: 0.002 sqrt(1 + 1.21 + 0.01)
    reading = moisture_from_drying(1.3, 1.2, container=0.2, mass_u=0.002)
    assert reading.value == pytest.approx(0.1)
    assert reading.uncertainty == pytest.approx(0.002 * math.sqrt(2.22))


def test_density_uncertainty_by_hand() -> None:
    reading = density_from_sample(2.0, 1e-3, 0.1, 2650.0, mass_u=0.02, volume_u=2e-5, moisture_u=0.011)
    assert reading.value == pytest.approx(1818.18, abs=0.01)
    assert reading.uncertainty == pytest.approx(1818.18 * math.sqrt(0.01**2 + 0.02**2 + 0.01**2), rel=1e-4)


@pytest.mark.parametrize(
    ("wet", "dry", "container", "reason"),
    [
        (1.0, 1.1, 0.0, "swapped"),
        (1.0, 0.9, 0.95, "container"),
        (-1.0, 0.9, 0.0, "over 0"),
        (math.nan, 0.9, 0.0, "over 0"),
    ],
)
def test_bad_weighings(wet: float, dry: float, container: float, reason: str) -> None:
    with pytest.raises(InputError, match=reason):
        moisture_from_drying(wet, dry, container)


def test_wetter_than_saturation() -> None:
    # 1750 dry with grains of 2650: full at 1/1.750 - 1/2.650 = 19.4 %
    with pytest.raises(InputError, match=r"19\.4 %.*wetter than saturation"):
        density_from_sample(1.750 * 1.25, 1e-3, 0.25, 2650.0)
    with pytest.raises(InputError, match="grains"):
        density_from_sample(3.0, 1e-3, 0.05, 2650.0)


def test_crushing() -> None:
    # 8 kN on 0.02 m2 = 400 kPa; twice as tall as wide: 0.775
    reading = strength_from_crushing([8.0, 9.0, 10.0], 0.02, 0.3, 0.15, "fill.strength_dry")
    assert aspect_factor(2.0) == pytest.approx(0.775)
    assert reading.best == pytest.approx(450 * 0.775)
    assert reading.value == pytest.approx(400 * 0.775)
    assert reading.uncertainty == pytest.approx(50 * 0.775)
    alone = strength_from_crushing([8.0], 0.02, 0.3, 0.15, "fill.strength_dry")
    assert alone.value == pytest.approx(0.75 * 400 * 0.775)


def test_flat_sample_is_refused() -> None:
    with pytest.raises(InputError, match="plates"):
        strength_from_crushing([8.0], 0.02, 0.05, 0.15, "fill.strength_dry")
    with pytest.raises(InputError, match="at least one"):
        strength_from_crushing([], 0.02, 0.3, 0.15, "fill.strength_dry")


def test_two_pressures_take_the_interlock_out() -> None:
    tilts = [_tilt_for(4.0, 0.5, 2.0), _tilt_for(16.0, 0.5, 2.0)]
    reading = friction_from_tilts(tilts)
    assert reading.value == pytest.approx(0.5, rel=1e-9)
    assert "2.00 kPa" in reading.limits[0]
    assert math.tan(tilts[0].angle) == pytest.approx(1.0)  # what one light tilt would have claimed


def test_one_light_tilt_is_refused_and_one_heavy_is_warned_about() -> None:
    with pytest.raises(InputError, match="overstates friction"):
        friction_from_tilts([_tilt_for(0.5, 0.5, 0.3)])
    heavy = friction_from_tilts([_tilt_for(8.0, 0.5, 0.0)], angle_u=math.radians(1))
    assert heavy.best == pytest.approx(0.5)
    assert heavy.value == pytest.approx(0.5 - math.radians(1) * 1.25)  # 1/cos^2 = 1 + 0.25
    assert "overstates" in heavy.limits[0]


def test_slope_above_every_tilt_is_not_friction() -> None:
    tilts = [Tilt(math.radians(20), 50, 0.1), Tilt(math.radians(25), 200, 0.1)]
    assert friction_from_tilts(tilts).best == pytest.approx(math.tan(math.radians(20)))


def test_steep_tilt_is_refused() -> None:
    with pytest.raises(InputError, match="60 degrees"):
        friction_from_tilts([Tilt(math.radians(61), 100.0, 0.1)])
    with pytest.raises(InputError, match="which mass"):
        friction_from_tilts([Tilt(math.radians(50), 50, 0.1), Tilt(math.radians(5), 150, 0.1)])


def test_soak_turns_the_worked_example_round() -> None:
    # Chow, Maidment & Mays 1988, example 4.3.1: 3.17 cm in an hour goes with 0.65 cm/h
    reading = conductivity_from_soak(0.0317, 1.0, 0.167, 0.340, depth_u=0.001)
    assert reading.best == pytest.approx(0.0065, rel=2e-3)
    assert reading.value > reading.best
    with pytest.raises(InputError, match="longer"):
        conductivity_from_soak(0.001, 1.0, 0.167, 0.340, depth_u=0.002)


def test_tube() -> None:
    width, height = tube_from_filling(0.45, 0.37, 0.135)
    assert (width.value, height.value) == (0.37, 0.135)
    assert "373 mm" in width.limits[0]  # 450 - 0.5708 x 135
    with pytest.raises(InputError, match="swapped"):
        tube_from_filling(0.45, 0.135, 0.37)
    with pytest.raises(InputError, match="around"):
        tube_from_filling(0.40, 0.45, 0.14)


def test_wire() -> None:
    assert wire_from_breaking([4.0, 4.4, 4.2], load_u=0.1).value == pytest.approx(3.9)
    assert wire_from_breaking([4.0]).value == pytest.approx(3.0)
