"""The band of all thrust lines, against the linear programme asked bed by bed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from samples import classroom
from scipy.optimize import linprog

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import programme
from shellcheck_earth.mechanics.rings.thrust_band import thrust_band


@pytest.fixture(scope="module")
def lune() -> Lune:
    design = classroom()
    stack = build_dome(design)
    found = cut_lune(stack, dead_cases(stack)[0])
    return replace(found, bond=np.full(found.size, np.inf))  # wide at low friction too: the wire does not let go


def ends(lune: Lune, scales: Scales, bed: int) -> tuple[float, float]:
    """Least and greatest radius of the resultant in one bed, by the programme."""
    p = programme(lune, scales)
    row = (p.sum_G[bed] - lune.z_bottom[bed] * p.sum_H[bed]) / lune.vertical[bed]
    dead = p.dead_G[bed] / lune.vertical[bed]
    found = [linprog(sign * row, A_ub=p.A, b_ub=p.b, bounds=p.bounds, method="highs") for sign in (1.0, -1.0)]
    return float(found[0].fun + dead), float(-found[1].fun + dead)


@pytest.mark.parametrize("scales", [Scales(), Scales(friction=0.25), Scales(wire=0.0)])
def test_the_band_ends_where_the_programme_says(lune: Lune, scales: Scales) -> None:
    band = thrust_band(lune, scales)
    assert band.failing == -1 and len(band.z) == lune.size
    for bed in (0, 6, 12, 18, lune.size - 1):
        # The intersection is widened by 1e-9 of the state's size over V, the programme keeps to 1e-7:
        # together under 5 um of radius.
        assert (band.x_low[bed], band.x_high[bed]) == pytest.approx(ends(lune, scales, bed), abs=5e-6)


def test_the_band_lies_in_the_beds_and_shrinks_with_the_friction(lune: Lune) -> None:
    wide, narrow = thrust_band(lune), thrust_band(lune, Scales(friction=0.3))
    assert np.all(wide.x_low >= lune.bed_inner - 1e-9) and np.all(wide.x_high <= lune.bed_outer + 1e-9)
    assert np.all(narrow.x_low >= wide.x_low - 1e-7) and np.all(narrow.x_high <= wide.x_high + 1e-7)
    assert (narrow.x_high - narrow.x_low).min() < 0.9 * (wide.x_high - wide.x_low).min()


def test_without_a_line_the_band_ends_above_the_bed_that_fails(lune: Lune) -> None:
    scales = Scales(friction=0.05)
    band = thrust_band(lune, scales)
    assert band.failing == failing_bed(pack(lune), scales) > 0
    assert len(band.z) == len(band.x_low) == len(band.H_high) == band.failing
