"""Thrust that something else hands into a ring: the exact set, its programme, its proofs, its lines and mechanisms."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import dome_lune, lunes

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.mechanics.proof.certify import beds_of, find_line
from shellcheck_earth.mechanics.proof.exclude import find_none
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.proof.statics import Loaded, line_fault, none_fault
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, failing_bed, pack
from shellcheck_earth.mechanics.rings.capacity import CONTACT, FRICTION_VALUE, least_capacity
from shellcheck_earth.mechanics.rings.collapse import collapse
from shellcheck_earth.mechanics.rings.definite_line import definite_line
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import is_admissible, line, needed_friction, widest_contact
from shellcheck_earth.mechanics.rings.thrust_band import thrust_band
from shellcheck_earth.safety.checks import reserve_of


def pushed(lune: Lune, index: int, thrust: float, weight: float = 0.0, along: float = 0.5) -> Lune:
    """The lune with weight and thrust [kN per radian] handed into course `index`, somewhere in its height and bed."""
    index %= lune.size
    here = np.zeros(lune.size)
    here[index] = 1.0
    z = lune.z_bottom[index] + along * (lune.z_top[index] - lune.z_bottom[index])
    x = lune.bed_inner[index] + along * (lune.bed_outer[index] - lune.bed_inner[index])
    return replace(
        lune,
        weight=lune.weight + weight * here,
        moment=lune.moment + (weight * x + thrust * z) * here,
        push=lune.push + thrust * here,
    )


@st.composite
def pushed_lunes(draw: st.DrawFn) -> Lune:
    lune = draw(lunes(20))
    whole = float(lune.vertical[-1])
    return pushed(
        lune, draw(st.integers(0, 19)), whole * draw(st.floats(-0.2, 0.3)), whole * draw(st.floats(0.0, 0.2)),
        draw(st.floats(0.0, 1.0)),
    )  # fmt: skip


@given(pushed_lunes())
@settings(max_examples=60, deadline=None)
def test_the_exact_set_and_the_programme_agree(lune: Lune) -> None:
    try:
        assert (failing_bed(pack(lune)) < 0) == is_admissible(lune)
        friction, contact = needed_friction(lune), widest_contact(lune)
    except UndecidedError:
        return
    edge = least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3)
    assert (edge.value is None) == (friction is None)
    if friction is not None and edge.value is not None:
        assert edge.value == pytest.approx(friction, rel=1e-5, abs=2e-6)
    share = least_capacity(pack(lune), (CONTACT,), 0.01, 1.0)
    assert (share.value is None) == (contact is None)
    if contact is not None and share.value is not None and contact > 0.011:
        assert share.value == pytest.approx(contact, rel=1e-5)


@given(pushed_lunes())
@settings(max_examples=60, deadline=None)
def test_the_checker_proves_what_the_exact_set_says(lune: Lune) -> None:
    beds, asked = beds_of(lune), Question("thrust line")
    reserve = reserve_of(lune)
    entry, none = find_line(beds, [asked]), find_none(beds, asked)
    assert entry is None or none is None
    if reserve is not None and reserve > 1.001:
        assert entry is not None
        # what is handed in was counted: without it, or with half as much again, the forces are another state
        loaded = Loaded(beds, *asked.loads)
        C, T = (np.array(entry[key], dtype=float) / 2**40 for key in ("ring", "wire"))
        H = np.cumsum(C - T + lune.push)
        V = lune.vertical
        assert line_fault(beds, [asked], entry) == "" and (np.abs(H) <= lune.friction * V + lune.cohesion + 1e-6).all()
        assert loaded.push[0] / (6 << 160) == pytest.approx(float(lune.push[0]), abs=1e-9)
    if reserve == 0.0 or (reserve is not None and reserve < 0.999):
        assert entry is None


@given(pushed_lunes())
@settings(max_examples=40, deadline=None)
def test_lines_are_states_of_the_lune(lune: Lune) -> None:
    found = [definite_line(lune, start, AVAILABLE) for start in ("least", "greatest", "middle")]
    if failing_bed(pack(lune)) >= 0:
        assert found == [None] * 3
        return
    band = thrust_band(lune)
    for one in found:
        if one is None:
            continue  # rounding at the edge
        assert np.cumsum(one.ring - one.wire + lune.push) == pytest.approx(one.H, abs=1e-6 * lune.vertical[-1])
        G = np.cumsum(one.ring_moment - lune.z_bottom * one.wire + lune.moment)
        assert pytest.approx(one.G, abs=1e-6 * float(np.abs(one.G).max())) == G
        slack = 1e-6 * lune.vertical[-1]
        assert (band.H_low - slack <= one.H).all() and (band.H_high + slack >= one.H).all()
    least = line(lune, "least")
    if least is not None:
        assert least.H[-1] == pytest.approx(band.H_low[-1], abs=1e-3 * lune.vertical[-1])


@given(pushed_lunes())
@settings(max_examples=40, deadline=None)
def test_a_mechanism_balances_its_work(lune: Lune) -> None:
    try:
        found = collapse(lune)
    except UndecidedError:
        return
    if found is not None and not found.squash.any():
        work = found.work
        size = work.friction + work.crushing + work.rings + work.wires + abs(work.weights)
        assert work.excess >= -1e-6 * size  # no line is left: loads do more work than is spent


@given(pushed_lunes(), st.floats(0.0, 1.0))
@settings(max_examples=40, deadline=None)
def test_what_holds_without_and_with_holds_between(lune: Lune, share: float) -> None:
    """Admissible states are convex in loads and forces: the corners that are asked hold every state between them."""
    with_, mean = lune.push.sum(), float(lune.vertical[-1])
    bare = replace(lune, moment=lune.moment - lune.push * (lune.z_bottom + lune.z_top) / 2, push=np.zeros(lune.size))
    there = pushed(bare, int(np.abs(lune.push).argmax()), with_)
    between = pushed(bare, int(np.abs(lune.push).argmax()), share * with_)
    reserves = [reserve_of(one) for one in (bare, there, between)]
    if None not in reserves and mean > 0:
        without, whole, some = (one or 0.0 for one in reserves)
        assert some >= min(without, whole) * (1 - 1e-5)


def test_more_outward_thrust_at_the_springing_never_raises_the_reserve() -> None:
    """Near the foot no ring waits for it."""
    lune = dome_lune(wire=2.5, friction=0.6, strength=800.0)
    seen = [reserve_of(pushed(lune, lune.size - 2, float(thrust))) or 0.0 for thrust in np.linspace(0.0, 80.0, 17)]
    assert all(after <= before * (1 + 1e-6) for before, after in pairwise(seen))
    assert 0.0 < seen[-1] < 0.8 * seen[0]


def test_two_courses_by_hand() -> None:
    """A ring of one course on its bed: x = (W m + z P - z_0 P)/V, |H| = P; nothing else acts."""
    one = Lune(
        number=np.array([1.0]), z_bottom=np.array([0.2]), z_top=np.array([0.4]), weight=np.array([10.0]),
        moment=np.array([12.0]), bed_inner=np.array([1.0]), bed_outer=np.array([1.4]), crush_inner=np.array([np.inf]),
        crush_outer=np.array([np.inf]), wet_from=np.array([1.4]), friction=np.array([0.5]), cohesion=np.zeros(1),
        ring_strength=np.zeros(1), ring_depth=np.zeros(1), wire=np.zeros(1),
    )  # fmt: skip
    # 3 kN outward at z = 0.4: the resultant moves out by 0.2 x 3/10 = 60 mm, H = 3 of 5 kN.
    there = pushed(one, 0, 3.0, along=1.0)
    found = definite_line(there, "middle", AVAILABLE)
    assert found is not None and found.H[0] == pytest.approx(3.0) and found.x[0] == pytest.approx(1.26)
    assert failing_bed(pack(pushed(one, 0, 5.0, along=1.0))) < 0
    assert failing_bed(pack(pushed(one, 0, 5.01, along=1.0))) == 0  # slides
    rough = replace(one, friction=np.array([9.0]))
    # it tips where the resultant reaches the edge 0.2 m off the middle: P = 10 x 0.2/0.2 = 10 kN
    assert failing_bed(pack(pushed(rough, 0, 9.99, along=1.0))) < 0
    assert failing_bed(pack(pushed(rough, 0, 10.01, along=1.0))) == 0
    assert failing_bed(pack(pushed(rough, 0, -10.01, along=1.0))) == 0
    # one that is lifted is held by nothing
    assert failing_bed(pack(pushed(rough, 0, 0.0, weight=-10.5))) == 0
    lifted, asked = beds_of(pushed(rough, 0, 0.0, weight=-10.5)), Question("thrust line")
    assert find_line(lifted, [asked]) is None
    assert Loaded(lifted, *asked.loads).range_of(0, Fraction(1), Fraction(1), True) is None
    # the checker is shown that it slides, and is not shown it of a little less
    slides = find_none(beds_of(pushed(one, 0, 5.01, along=1.0)), asked)
    assert slides is not None and none_fault(beds_of(pushed(one, 0, 5.01, along=1.0)), asked, slides) == ""
    assert none_fault(beds_of(pushed(one, 0, 4.99, along=1.0)), asked, slides)
    assert find_none(beds_of(pushed(one, 0, -5.01, along=1.0)), asked) is not None
