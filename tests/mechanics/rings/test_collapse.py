"""Mechanisms of domes: hand cases, virtual work, motions that fit the rates of the beds, and the other reader of
multipliers.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import dome_lune, lunes
from two_courses import one, two

from shellcheck_earth.basics.errors import UndecidedError
from shellcheck_earth.mechanics.proof.certify import beds_of
from shellcheck_earth.mechanics.proof.exclude import find_none, mechanism
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.collapse import collapse, collapse_at_edge
from shellcheck_earth.mechanics.rings.lune import Lune


def test_a_course_beside_its_bed_turns_inward_about_the_inner_end() -> None:
    found = collapse(one(0.9))
    assert found is not None
    turn = found.hinge_inner[0]
    assert (
        turn > 0
        and found.theta[0] == -turn
        and found.hinge_outer[0] == found.slip_outward[0] == found.slip_inward[0] == 0
    )
    assert np.hypot(*found.at(0, 1.0, 0.0)) == pytest.approx(0, abs=1e-12)
    # The corner farthest from (1.0, 0): (1.4, 0.2), sqrt(0.4^2 + 0.2^2) away, moves 1 m.
    assert turn == pytest.approx(1 / math.hypot(0.4, 0.2), rel=1e-9)
    # 10 kN come down by 0.1 m x turn, and nothing resists.
    assert found.work.weights == found.work.excess == pytest.approx(10 * 0.1 * turn, rel=1e-9)
    assert found.at(0, 0.9, 0.0)[1] == pytest.approx(-0.1 * turn, rel=1e-9)


def test_a_course_outside_its_bed_turns_outward() -> None:
    found = collapse(one(1.5))
    assert found is not None and found.hinge_outer[0] == found.theta[0] > 0 and found.hinge_inner[0] == 0
    assert found.u[0] == pytest.approx(0, abs=1e-12) and found.at(0, 1.2, 0.2)[0] > 0  # its top goes outward


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_a_course_that_is_pushed_too_hard_slides_the_way_it_is_pushed(way: float) -> None:
    """10 kN with friction 0.5, pushed by 6 kN at mid-height; it rises by half of its way: 1 m is sqrt(1.25) along."""
    pushed = replace(one(1.2), push=np.array([6.0 * way]), moment=np.array([12.0 + 0.6 * way]))
    found = collapse(pushed)
    assert found is not None
    assert found.at(0, 1.2, 0.0) == pytest.approx((way / math.sqrt(1.25), 0.5 / math.sqrt(1.25)), rel=1e-6)
    slips = found.slip_outward[0], found.slip_inward[0]
    assert min(slips) == pytest.approx(0.0, abs=1e-9) and (slips[0] > slips[1]) == (way > 0)


def test_a_line_with_slack_has_no_collapse() -> None:
    assert collapse(one(1.2)) is None


def test_a_weak_bed_hinges_at_the_edge_of_its_crushed_band() -> None:
    # 10 kN on 100 kPa: band from 1.0 to c = sqrt(1 + 20/100); crushing there: integral of f (c - r) r dr per unit
    # rotation.
    c = math.sqrt(1.2)
    r = np.linspace(1.0, c, 200_001)
    found = collapse(one(1.03, strength=100.0))
    assert found is not None and found.r_inner[0] == pytest.approx(c, rel=1e-12)
    turn = found.hinge_inner[0]
    assert found.work.crushing == pytest.approx(turn * np.trapezoid(100 * (c - r) * r, r), rel=1e-8)  # trapezium rule
    assert found.work.weights == pytest.approx(10 * (c - 1.03) * turn, rel=1e-9)


def test_a_bed_that_cannot_carry_at_all_is_squashed() -> None:
    # (1.4^2 - 1)/2 x 20 kPa = 9.6 kN of 10 kN.
    found = collapse(one(1.2, strength=20.0))
    assert found is not None and found.w[0] == -1.0 and found.u[0] == found.theta[0] == 0.0 and found.squash[0] == 1.0
    assert found.work.weights == pytest.approx(10.0) and found.work.crushing == pytest.approx(9.6)
    assert found.relaxation == pytest.approx(10 / 9.6 - 1)


def test_a_ring_that_must_open() -> None:
    # By hand (C = 5 kN at the ring's top, mu 0.5): the upper course turns inward by w about its inner end and
    # slides outward by 0.2 w,
    # so that its top stays where it is; it rises by 0.5 x 0.2 w, just what its weight at 0.1 m inside the hinge
    # comes down.
    edge = collapse_at_edge(two, 1.0, 0.1, close=1e-13)
    assert edge.fails == pytest.approx(0.5, rel=1e-9)
    c = edge.collapse
    turn = c.hinge_inner[0]
    assert (
        turn > 0
        and c.slip_outward[0] == pytest.approx(0.2 * turn, rel=1e-6)
        and c.rise[0] == pytest.approx(0.1 * turn, rel=1e-6)
    )
    assert (
        c.ring == ("opens", "")
        and c.ring_low[0] == pytest.approx(0.2 * turn, rel=1e-6)
        and c.ring_high[0] == pytest.approx(0, abs=1e-9)
    )
    assert c.work.weights == pytest.approx(0, abs=1e-9) and c.u[1] == c.w[1] == c.theta[1] == 0.0
    assert c.work.friction == pytest.approx(c.work.dilation) and c.work.friction == pytest.approx(
        0.5 * 10 * 0.2 * turn, rel=1e-6
    )


def test_a_wire_that_yields() -> None:
    # 2 kN of wire: mu 0.3 is needed; by hand 10 (0.1 - 0.3 x 0.2) w = 2 x 0.2 w.
    c = collapse_at_edge(lambda mu: two(mu, wire=2.0), 1.0, 0.1, close=1e-13).collapse
    turn = c.hinge_inner[0]
    assert c.wire_yields == (True, False) and c.wire_rate[0] == pytest.approx(0.2 * turn, rel=1e-6)
    assert c.work.wires == pytest.approx(0.4 * turn, rel=1e-6) and c.work.weights == pytest.approx(0.4 * turn, rel=1e-6)


def test_a_ring_that_must_crush() -> None:
    # Friction 10: no slip, the course turns about (1.0, 0.2) and shortens its whole ring: 0.4 x 0.2 x f at 0.1 m
    # carries 1 kN m: f = 125 kPa.
    edge = collapse_at_edge(lambda f: two(10.0, ring=f), 1000.0, 20.0, close=1e-13)
    assert edge.fails == pytest.approx(125.0, rel=1e-9)
    c = edge.collapse
    turn = c.hinge_inner[0]
    assert c.ring == ("crushes", "") and c.ring_high[0] == pytest.approx(-0.2 * turn, rel=1e-9)
    assert c.work.rings == pytest.approx(turn, rel=1e-9) == c.work.weights


def test_the_mechanism_of_the_certificate_says_the_same() -> None:
    for lune, name in ((two(0.48), "opens"), (two(10.0, ring=120.0), "crushes")):
        certificate = find_none(beds_of(lune), Question("thrust line"))
        assert certificate is not None
        way, found = mechanism(lune, certificate), collapse(lune)
        assert way is not None and found is not None
        assert way.ring == found.ring == (name, "")
        for ours, theirs in (
            (found.hinge_inner, way.hinge_intrados),
            (found.hinge_outer, way.hinge_extrados),
            (found.slip_outward, way.slip_outward),
            (found.slip_inward, way.slip_inward),
        ):
            # The certificate searches an unlimited ring 1e-6 wider.
            assert np.array(theirs) == pytest.approx(
                ours / max(found.hinge_inner.max(), found.slip_outward.max()), abs=1e-5
            )


def check_motions(lune: Lune, scales: Scales = Scales()) -> None:  # noqa: B008 (frozen)
    c = collapse(lune, scales)
    if c is None:
        return
    terms = c.work
    size = terms.friction + terms.crushing + terms.rings + terms.wires + abs(terms.weights)
    # Rates of beds, each with both ends of its bed, against the motions of the two courses that meet there.
    for i in range(lune.size):
        for r in (lune.bed_inner[i], lune.bed_outer[i]):
            here = c.at(i, r, lune.z_bottom[i])
            under = c.at(i + 1, r, lune.z_bottom[i]) if i + 1 < lune.size else (0.0, 0.0)
            assert here[0] - under[0] == pytest.approx(c.slip_outward[i] - c.slip_inward[i], abs=1e-9)
            opening = (
                c.hinge_inner[i] * (r - c.r_inner[i]) + c.hinge_outer[i] * (c.r_outer[i] - r) + c.rise[i] - c.squash[i]
            )
            assert here[1] - under[1] == pytest.approx(opening, abs=1e-9)  # motions are at most about 1 m
    at_centroid = sum(-lune.weight[i] * c.at(i, lune.moment[i] / lune.weight[i], 0.0)[1] for i in range(lune.size))
    assert terms.weights == pytest.approx(at_centroid, abs=1e-9 * size)
    # The programme's own objective, by duality: s times (half-width x V x rotation, sliding limit x slip). A bed
    # crushed whole: what it lacks.
    limit = (lune.friction * lune.vertical + lune.cohesion) * scales.friction
    half = np.maximum(lune.bed_outer - lune.bed_inner, 1e-3 * lune.bed_outer) / 2 * lune.vertical
    spread = float((half * (c.hinge_inner + c.hinge_outer) + limit * (c.slip_outward + c.slip_inward)).sum())
    lacks = (
        terms.crushing * c.relaxation
        if c.squash.any() and math.isfinite(c.relaxation)
        else terms.weights
        if c.squash.any()
        else 0.0
    )
    expected = lacks if c.squash.any() else c.relaxation * spread
    assert terms.excess == pytest.approx(expected, abs=1e-9 * size)
    if c.relaxation > 1e-7:
        assert terms.excess > 0  # a mechanism proves that there is no line
    assert min(terms.dilation, terms.friction, terms.crushing, terms.rings, terms.wires) >= -1e-12 * size


@settings(max_examples=60, deadline=None)
@given(lunes(), st.sampled_from([1.0, 0.5]))
def test_motions_fit_the_beds_and_work_is_conserved(lune: Lune, share: float) -> None:
    scales = Scales(friction=share, strength=share, wire=share)
    assert (collapse(lune, scales) is None) or failing_bed(
        pack(lune), Scales(friction=share * 0.99, strength=share * 0.99, wire=share * 0.99)
    ) >= 0
    check_motions(lune, scales)


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"strength": math.inf},
        {"wire": 1.0, "strength": 60.0},
        {"wire": 0.5, "cohesion": 2.0},
        {"rounding": 0.03, "wet": 0.05, "strength_wet": 20.0},
    ],
)
def test_virtual_work_at_the_edge(more) -> None:
    """At the limit the work of the weights is what friction, crushing, rings and wires take: to 1e-9 of the work."""
    edge = collapse_at_edge(lambda mu: dome_lune(friction=mu, **more), 3.0, 0.01, close=1e-14)
    work = edge.collapse.work
    assert abs(work.excess) <= 1e-9 * (work.friction + work.crushing + work.rings + work.wires)
    assert failing_bed(pack(edge.standing)) < 0 <= failing_bed(pack(edge.failing))
    assert edge.stands == pytest.approx(edge.fails, rel=1e-12)
    wrong = replace(work, weights=work.weights + 1e-3 * work.friction)  # shown able to fail
    assert abs(wrong.excess) > 1e-9 * work.friction


def test_a_thinner_wall_and_less_wire_find_their_edges() -> None:
    thin = collapse_at_edge(lambda t: dome_lune(width=t, pivot=0.45, friction=0.9, strength=math.inf), 0.8, 0.02)
    assert 0.02 < thin.fails < thin.stands < 0.8
    wire = collapse_at_edge(lambda share: dome_lune(friction=0.3, wire=2.0 * share), 1.0, 0.0)
    assert any(wire.collapse.wire_yields) and wire.collapse.work.wires > 0


def test_ends_that_are_not_what_they_were_taken_for() -> None:
    with pytest.raises(UndecidedError, match=r"already 0\.3 leaves no"):
        collapse_at_edge(two, 0.3, 0.1)
    with pytest.raises(UndecidedError, match=r"even 0\.6 leaves a"):
        collapse_at_edge(two, 1.0, 0.6)
