import math

import pytest

from shellcheck_earth.loads.confinement import (
    confined_cohesion,
    confined_strength,
    fabric_tension_left,
    passive_coefficient,
)


def test_passive_coefficient_of_thirty_degrees_is_three() -> None:
    assert passive_coefficient(math.radians(30)) == pytest.approx(3.0)


def test_by_hand() -> None:
    # 12/(0.4 sqrt 3) (3 x 0.4/0.1 - 1) = 17.3205 x 11 = 190.526; strength 2 x 190.526 x sqrt 3 = 660
    cohesion = confined_cohesion(12.0, 0.4, 0.1, 3.0)
    assert cohesion == pytest.approx(190.5256, rel=1e-6)
    assert confined_strength(cohesion, 3.0) == pytest.approx(660.0)


def test_tall_bag_and_no_fabric_give_nothing() -> None:
    assert confined_cohesion(12.0, 0.1, 0.5, 3.0) == 0.0
    assert confined_cohesion(0.0, 0.4, 0.1, 3.0) == 0.0


def test_sun_takes_the_fabric() -> None:
    assert fabric_tension_left(12.0, 10.0, 0.02) == pytest.approx(9.6)
    assert fabric_tension_left(12.0, 100.0, 0.02) == 0.0
    assert fabric_tension_left(12.0, -1.0, 0.02) == 12.0
