"""Phase relations against printed examples, materials and weights against hand calculation."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads import phases
from shellcheck_earth.loads.cases import Part, dead_cases
from shellcheck_earth.loads.materials import friction_at, saturated_moisture, strength_at


def test_craig_chapter_1() -> None:
    # Craig, Soil Mechanics, ch. 1 (memory; arithmetic recomputed): 2290 g, 1.15e-3 m3, dry 2035 g, Gs 2.68.
    dry = 2.035 / 1.15e-3
    w = (2.290 - 2.035) / 2.035
    assert phases.bulk_density(dry, w) == pytest.approx(1991.3, abs=0.05)
    assert phases.void_ratio(dry, 2680) == pytest.approx(0.5145, abs=5e-5)
    assert phases.porosity(dry, 2680) == pytest.approx(0.3397, abs=5e-5)
    assert phases.saturation(w, dry, 2680) == pytest.approx(0.6527, abs=5e-5)


def test_more_water_than_voids_is_refused() -> None:
    full = phases.saturation_moisture(1750, 2650)
    assert full == pytest.approx((2650 / 1750 - 1) * 1000 / 2650)
    with pytest.raises(InputError, match="fills every void"):
        phases.saturation(full * 1.01, 1750, 2650)
    with pytest.raises(InputError, match="density of the grains"):
        phases.porosity(2700, 2650)


def test_saturated_weight_counts_the_voids() -> None:
    # rho_sat = rho_d + n rho_w, from the volumes: an independent path to rho_d (1 + w_sat).
    n = 1 - 1750 / 2650
    assert phases.bulk_density(1750, phases.saturation_moisture(1750, 2650)) == pytest.approx(1750 + 1000 * n)


def test_strength_anchors() -> None:
    fill = classroom().fill
    assert strength_at(fill, 0.03) == pytest.approx(500.0)
    assert strength_at(fill, 0.10) == pytest.approx(100.0)
    assert strength_at(fill, 0.07) == pytest.approx(math.sqrt(500 * 100))  # half way from 4 to 10 %, log-linear
    assert strength_at(fill, saturated_moisture(fill)) == 0.0


@pytest.mark.parametrize("placed", [0.02, 0.04, 0.041, 0.10])
def test_fresh_fill_has_its_strength_as_placed_whatever_its_moisture(placed: float) -> None:
    fill = replace(classroom().fill, placing_moisture=placed, service_moisture=0.01)
    assert strength_at(fill, placed) == pytest.approx(100.0)
    # Dry only once half of the placing water has left, and at most 4 % is in it.
    assert strength_at(fill, min(0.04, placed / 2)) == pytest.approx(500.0)
    assert 100.0 < strength_at(fill, 0.9 * placed) < 500.0


@given(st.floats(0.0, 0.19), st.floats(0.0, 0.19))
def test_wetter_is_never_stronger_nor_rougher(a: float, b: float) -> None:
    design = classroom()
    low, high = min(a, b), max(a, b)
    assert strength_at(design.fill, high) <= strength_at(design.fill, low) * (1 + 1e-12)
    assert friction_at(design.beds, design.fill, high) <= friction_at(design.beds, design.fill, low) + 1e-15


def test_part_against_numerical_integration() -> None:
    import numpy as np

    r = np.linspace(1.2, 1.6, 100_001)
    part = Part(1.2, 1.6, 0.15, 18.0)
    assert part.weight == pytest.approx(np.trapezoid(18.0 * 0.15 * r, r), rel=1e-9)
    assert part.moment == pytest.approx(np.trapezoid(18.0 * 0.15 * r * r, r), rel=1e-8)


def test_cases_named_and_counted() -> None:
    design = classroom()
    cases = dead_cases(build_dome(design))
    ids = [case.id for case in cases]
    assert ids[:3] == ["finished-dry", "finished-damp", "soaked-through"]
    assert [case.counts for case in cases[:3]] == [True, True, False]
    assert "stage-01" in ids and "stage-24-worker" in ids
    assert len(set(ids)) == len(ids)
    assert len(next(case for case in cases if case.id == "stage-05").states) == 7  # two buried courses below


def test_plaster_weighs_what_its_volume_weighs() -> None:
    design = classroom()
    stack = build_dome(design)
    cases = dead_cases(stack)
    weight = 2 * math.pi * sum(part.weight for state in cases[0].states for part in state.parts[1:])
    volume = 0.0
    for index, course in enumerate(stack.courses):
        above = stack.courses[index + 1] if index + 1 < len(stack.courses) else None
        below = stack.courses[index - 1] if index else None
        ri, ro = course.inner_radius, course.outer_radius
        if course.z_top > stack.ground:
            volume += math.pi * ((ro + 0.03) ** 2 - ro**2) * min(0.135, course.z_top - stack.ground)
            inner = ri if above is None else above.outer_radius
            volume += math.pi * (ro**2 - inner**2) * 0.03
        if course.z_top > stack.floor:
            volume += math.pi * (ri**2 - (ri - 0.02) ** 2) * min(0.135, course.z_top - stack.floor)
            if below is not None and course.z_bottom > stack.floor + 1e-9:
                volume += math.pi * (below.inner_radius**2 - ri**2) * 0.02
    assert weight == pytest.approx(18.0 * volume, rel=1e-9)
