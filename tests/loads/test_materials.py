"""Strength, friction and cohesion by moisture, by hand: the anchors, the middles between them, and where each ends."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log, sqrt

import pytest
from samples import classroom

from shellcheck_earth.design.design import Beds, Fill
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import _plaster, _snow
from shellcheck_earth.loads.materials import cohesion_at, friction_at, saturated_moisture, strength_at

FILL: Fill = replace(
    classroom().fill, dry_density=1800.0, placing_moisture=0.09, strength_dry=3000.0, strength_as_placed=500.0,
    strength_wet=100.0,
)  # fmt: skip
"""Of grains of 2650 kg/m3: 17.82 % fill every void, the wet values hold from 16.04 %."""
FULL = 1 / 1.8 - 1 / 2.65
WET = 0.9 * FULL
BEDS: Beds = replace(classroom().beds, friction=0.6, friction_wet=0.3, cohesion=4.0, cohesion_wet=1.0)


def between(x: float, x0: float, x1: float, y0: float, y1: float) -> float:
    return exp(log(y0) + (x - x0) / (x1 - x0) * (log(y1) - log(y0)))


@pytest.mark.parametrize("hardened", [True, False])
@pytest.mark.parametrize(
    ("moisture", "strength"),
    [
        (0.0, 3000.0),
        (0.04, 3000.0),
        (0.065, between(0.065, 0.04, 0.09, 3000.0, 500.0)),
        (0.09, 500.0),
        (0.11, between(0.11, 0.09, WET, 500.0, 100.0)),
        (0.1605, 100.0),
        (0.17, 100.0),
    ],
)
def test_strength_without_stabiliser(moisture: float, strength: float, hardened: bool) -> None:
    assert saturated_moisture(FILL) == pytest.approx(FULL)
    assert strength_at(FILL, moisture, hardened=hardened) == pytest.approx(strength, rel=1e-9)


@pytest.mark.parametrize(
    ("moisture", "hard", "young"),
    [
        (0.03, 3000.0, 3000.0),
        (0.09, between(0.09, 0.04, WET, 3000.0, 100.0), 500.0),
        (0.12, between(0.12, 0.04, WET, 3000.0, 100.0), between(0.12, 0.09, WET, 500.0, 100.0)),
        (0.1605, 100.0, 100.0),
    ],
)
def test_stabilised_fill_hardens_from_dry_to_wet(moisture: float, hard: float, young: float) -> None:
    fill = replace(FILL, stabiliser="cement")
    assert strength_at(fill, moisture, hardened=True) == pytest.approx(hard, rel=1e-9)
    assert strength_at(fill, moisture) == pytest.approx(young, rel=1e-9)


def test_fill_placed_nearly_dry_or_past_the_wet_end() -> None:
    """Dry from half of 4 % down; placed at 17 %, all below the wet end is drier than placed."""
    dry = replace(FILL, placing_moisture=0.04)
    assert strength_at(dry, 0.04) == 500.0 and strength_at(dry, 0.02) == 3000.0
    assert strength_at(dry, 0.03) == pytest.approx(sqrt(3000.0 * 500.0))
    late = replace(FILL, placing_moisture=0.17)
    assert strength_at(late, (0.04 + WET) / 2) == pytest.approx(sqrt(3000.0 * 500.0))
    assert strength_at(late, 0.17) == 100.0


def test_towards_no_strength_the_curve_is_a_line() -> None:
    fill = replace(FILL, strength_wet=0.0)
    assert strength_at(fill, (0.09 + WET) / 2) == pytest.approx(250.0)
    assert strength_at(fill, 0.09 + (WET - 0.09) / 4) == pytest.approx(375.0)


@pytest.mark.parametrize(
    ("moisture", "friction"),
    [(0.0, 0.6), (0.09, 0.6), ((0.09 + WET) / 2, 0.45), (0.09 + 0.8 * (WET - 0.09), 0.36), (0.1605, 0.3), (0.3, 0.3)],
)
def test_friction_falls_in_a_line_past_the_placing_moisture(moisture: float, friction: float) -> None:
    assert friction_at(BEDS, FILL, moisture) == pytest.approx(friction, rel=1e-9)


def test_the_wet_end_itself_is_wet() -> None:
    wet_from = 0.9 * saturated_moisture(FILL)
    assert friction_at(BEDS, FILL, wet_from) == 0.3 and strength_at(FILL, wet_from) == 100.0
    placed_there = replace(FILL, placing_moisture=wet_from)
    assert friction_at(BEDS, placed_there, wet_from) == 0.3


@pytest.mark.parametrize(("moisture", "cohesion"), [(0.0, 4.0), (0.09, 4.0), (0.09 * (1 + 1e-10), 4.0), (0.0901, 1.0)])
def test_cohesion_is_the_wet_one_past_the_placing_moisture(moisture: float, cohesion: float) -> None:
    assert cohesion_at(BEDS, FILL, moisture) == cohesion


def test_plaster_inside_a_narrow_crown_ends_at_the_axis() -> None:
    design = classroom()
    dome = build_dome(replace(design, plaster=replace(design.plaster, inside=0.28)))
    top = len(dome.courses) - 1
    assert dome.courses[top].inner_radius < 0.28
    bands = [part for part in _plaster(dome, top) if part.outer == dome.courses[top].inner_radius]
    assert bands and min(part.inner for part in bands) == 0.0


def test_snow_alone_is_imposed() -> None:
    design = classroom()
    dome = build_dome(replace(design, site=replace(design.site, snow=1.0)))
    assert all(part.imposed for index in range(len(dome.courses)) for part in _snow(dome, index))
    assert not any(part.imposed for index in range(len(dome.courses)) for part in _plaster(dome, index))
