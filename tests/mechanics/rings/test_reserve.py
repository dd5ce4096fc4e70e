"""The overall reserve: a case that lost its polygon, beds that widen below 1, and searches that do not close."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from strategies import dome_lune

from shellcheck_earth.mechanics.rings import capacity
from shellcheck_earth.mechanics.rings.admissible import Scales, bed_limits, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import FRICTION, HALF_WIDTH, STRENGTH, WIRE, Edge, least_capacity
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import is_admissible

JOINT = (FRICTION, STRENGTH, WIRE, HALF_WIDTH)


def share(value: float) -> Scales:
    return Scales(friction=value, strength=value, wire=value, half_width=value)


def rained_on() -> Lune:
    """The orchard classroom on its first evening, course 1 laid and rained on, without the water's weight."""
    column = np.array
    return Lune(
        number=column([1.0, 0.0, -1.0]),
        z_bottom=column([0.0, -0.135, -0.27]),
        z_top=column([0.135, 0.0, -0.135]),
        weight=column([1.9544276842814878, 1.954988637037735, 1.954988637037735]),
        moment=column([3.9051993228232615, 3.9074343988512172, 3.9074343988512172]),
        bed_inner=column([1.83, 1.83, 1.83]),
        bed_outer=column([2.154428283957437, 2.1550000000000002, 2.1550000000000002]),
        crush_inner=column([100.00000000000004] * 3),
        crush_outer=column([20.0] * 3),
        wet_from=column([1.83, 1.901655902461373, 1.9022514600694942]),
        friction=column([0.4, 0.4309694243450839, 0.43123180588783194]),
        cohesion=np.zeros(3),
        ring_strength=column([100.00000000000004, 100.00000000000004, 0.0]),
        ring_depth=column([0.0, 0.10165590246137302, 0.0]),
        wire=column([2.52, 2.52, 0.0]),
    )


def by_programme(lune: Lune) -> float:
    """The same edge by bisection on the linear programme."""
    low, high = 0.1, 10.0
    for _ in range(50):
        middle = float(np.sqrt(low * high))
        low, high = (low, middle) if is_admissible(lune, share(middle)) else (middle, high)
    return 1.0 / high


def test_the_first_evening_of_the_classroom_has_a_reserve() -> None:
    """Reported as "no reserve" while a doubled corner hid part of the set; 1.62 by the linear programme."""
    edge = least_capacity(pack(rained_on()), JOINT, 1e-3, 1e3)
    assert edge.value is not None and edge.closed
    assert 1.0 / edge.value == pytest.approx(by_programme(rained_on()), rel=1e-6)
    assert 1.0 / edge.value == pytest.approx(1.621, abs=5e-4)


@pytest.mark.parametrize("many", [1.0, 10.0, 100.0, 1e3])
def test_more_of_everything_never_takes_the_line_away(many: float) -> None:
    assert failing_bed(pack(rained_on()), share(many)) < 0


def test_a_reserve_below_one_widens_the_contact_with_the_bed() -> None:
    """One course of 10 kN whose weight lies 0.05 m inside a bed from 1.0 to 1.4 m: its half-width of 0.2 m must
    grow to 0.25 m, so the reserve is 0.8, and a contact limit left as it was would say there is none."""
    one = np.ones(1)
    lune = Lune(
        number=one, z_bottom=0 * one, z_top=0.2 * one, weight=10 * one, moment=9.5 * one,
        bed_inner=one, bed_outer=1.4 * one, crush_inner=np.inf * one, crush_outer=np.inf * one, wet_from=1.4 * one,
        friction=0.5 * one, cohesion=0 * one, ring_strength=0 * one, ring_depth=0 * one, wire=0 * one,
    )  # fmt: skip
    edge = least_capacity(pack(lune), JOINT, 1e-3, 1e3)
    assert edge.value == pytest.approx(0.25 / 0.2, rel=1e-8)
    low, high, _ = bed_limits(pack(lune), 0, share(1.5).as_array())
    assert (low, high) == pytest.approx((0.9, 1.5))
    # Thinner beds keep to the contact limit of their own, not of the wider one.
    low, high, _ = bed_limits(pack(lune), 0, Scales(half_width=0.5, contact=0.8).as_array())
    assert (low, high) == pytest.approx((1.1, 1.3))


def _with(monkeypatch: pytest.MonkeyPatch, state: int) -> None:
    monkeypatch.setattr(capacity, "_least", lambda *_: (state, 1e3, 1))


@pytest.mark.parametrize("state", [2, 3])
def test_a_bracket_that_fails_where_a_line_exists_is_no_answer(monkeypatch: pytest.MonkeyPatch, state: int) -> None:
    """As when the polygon had lost a part: no line at 1000 times everything, but one as it is."""
    assert failing_bed(pack(rained_on())) < 0
    _with(monkeypatch, state)
    assert least_capacity(pack(rained_on()), JOINT, 1e-3, 1e3) == Edge(None, 1, closed=False)


def test_a_line_at_the_least_share_where_there_is_none_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = dome_lune(friction=0.1)
    assert failing_bed(pack(bad)) >= 0
    _with(monkeypatch, 1)
    assert not least_capacity(pack(bad), (FRICTION,), 1e-6, 1e4).closed


def test_none_enough_is_an_answer() -> None:
    bed = dome_lune()
    nothing = replace(bed, crush_inner=np.zeros(bed.size), crush_outer=np.zeros(bed.size))
    edge = least_capacity(pack(nothing), (STRENGTH,), 1e-6, 1e6)
    assert edge.value is None and edge.closed
