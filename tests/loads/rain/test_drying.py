import math
from itertools import pairwise

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.loads.rain.drying import (
    CLIMATES,
    Drying,
    DryingTable,
    age_on_stage,
    dried_moisture,
    laying_day,
    table_moisture,
)


def test_days_by_hand() -> None:
    assert [laying_day(i, 3) for i in range(7)] == [0, 0, 0, 1, 1, 1, 2]
    assert [laying_day(i, 0.5) for i in range(4)] == [0, 2, 4, 6]
    assert [laying_day(i, 1, rest_days=1) for i in range(8)] == [0, 1, 2, 3, 4, 5, 7, 8]
    assert [laying_day(i, 0.1) for i in (3, 6, 7)] == [30, 60, 70]
    assert age_on_stage(0, 6, 3) == 2
    assert age_on_stage(5, 5, 3) == 0


def test_nothing_dries_by_default() -> None:
    assert dried_moisture(CLIMATES["none"], 0.10, 365.0, 5.0, 1750.0) == 0.10


def test_slab_against_printed_half_time() -> None:
    # half of the water is gone at D t/l^2 = 0.04919 (Crank 1975, half-time of a sheet, memory)
    quick_air = Drying(2e-9, 1e9, 0.0)
    days = 0.04919 * 0.385**2 / 2e-9 / 86400
    assert dried_moisture(quick_air, 0.10, days, 0.385, 1750.0) == pytest.approx(0.05, rel=1e-3)  # 4 figures given


def test_air_limits_the_loss() -> None:
    # by hand: 2 faces x 1 mm x 2 days = 4 kg/m2 of 1750 x 0.4 = 700 kg/m2
    slow_air = Drying(1e-6, 0.001, 0.0)
    assert dried_moisture(slow_air, 0.10, 2.0, 0.4, 1750.0) == pytest.approx(0.10 - 4.0 / 700.0)


def test_instant_and_endless_drying_end_at_the_balance() -> None:
    assert dried_moisture(Drying(1.0, 1e9, 0.02), 0.10, 1.0, 0.4, 1750.0) == pytest.approx(0.02)
    assert dried_moisture(CLIMATES["temperate"], 0.10, 1e6, 0.4, 1750.0) == pytest.approx(0.03)
    assert dried_moisture(CLIMATES["temperate"], 0.02, 100.0, 0.4, 1750.0) == 0.02


def test_never_rises_with_age() -> None:
    for climate in CLIMATES.values():
        path = [dried_moisture(climate, 0.10, 0.5 * k, 0.385, 1750.0) for k in range(400)]
        assert all(b <= a + 1e-5 for a, b in pairwise(path))


def test_thickness_outside_the_model_is_refused() -> None:
    with pytest.raises(InputError, match=r"0\.8 m"):
        dried_moisture(CLIMATES["temperate"], 0.10, 3.0, 0.8, 1750.0)


def test_table() -> None:
    table = DryingTable((0.0, 4.0, 10.0), (0.10, 0.08, 0.05))
    assert table_moisture(table, 0.0) == 0.10
    assert table_moisture(table, 2.0) == pytest.approx(0.09)
    assert table_moisture(table, 10.0) == table_moisture(table, math.inf) == 0.05


@pytest.mark.parametrize(
    ("ages", "moistures"), [((0.0, 1.0), (0.1, 0.11)), ((1.0, 2.0), (0.1, 0.1)), ((0.0,), (0.1, 0.1))]
)
def test_bad_table_is_refused(ages: tuple[float, ...], moistures: tuple[float, ...]) -> None:
    with pytest.raises(InputError, match=r"building\.drying"):
        DryingTable(ages, moistures)
