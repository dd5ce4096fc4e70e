"""Certificates made from domes whose status is known by hand; random ones never against the exact set."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from shellcheck_earth.mechanics.proof.certify import beds_of, find_line
from shellcheck_earth.mechanics.proof.exclude import find_none, mechanism
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.lune import Lune


def dome(n=1, *, step=0.0, crush=np.inf, friction=0.5, ring=0.0, wire=0.0, width=0.4):
    """n courses 0.2 m high, 10 kN each at mid-width, each set in by `step` from the one below."""
    low = 2.0 + step * np.arange(n)
    z = 0.2 * np.arange(n)[::-1]
    below = np.arange(n) < n - 1
    return Lune(
        number=np.arange(n, 0, -1),
        z_bottom=z,
        z_top=z + 0.2,
        weight=np.full(n, 10.0),
        moment=10.0 * (low + width / 2),
        bed_inner=low,
        bed_outer=low + width,
        crush_inner=np.full(n, crush),
        crush_outer=np.full(n, crush),
        wet_from=low + width,
        friction=np.full(n, friction),
        cohesion=np.zeros(n),
        ring_strength=np.where(below, ring, 0.0),
        ring_depth=np.full(n, width),
        wire=np.where(below, wire, 0.0),
    )


LINE, NO_LINE = "line exists", "no line exists"
ASKED = Question("thrust line")


def prove(lune):
    """Both are sought: a line and its impossibility would be a fault of the checker."""
    beds = beds_of(lune)
    line, none = find_line(beds, [ASKED]), find_none(beds, ASKED)
    assert line is None or none is None
    found = line or none
    return found and found | {"kind": LINE if line else NO_LINE}


def test_one_block_on_its_bed_stands():
    certificate = prove(dome())
    assert certificate is not None and certificate["kind"] == LINE
    assert certificate["ring"] == certificate["wire"] == [0]


def test_one_block_beside_its_bed_falls_and_the_hinge_is_at_the_inner_end():
    lune = dome()
    lune = Lune(**{**vars(lune), "moment": np.array([19.0])})  # at 1.9 m; bed from 2.0 m
    certificate = prove(lune)
    assert certificate is not None and certificate["kind"] == NO_LINE
    way = mechanism(lune, certificate)
    assert way is not None and way.hinge_intrados[0] == 1.0 and way.hinge_extrados[0] == 0.0


def test_a_bed_too_weak_for_its_load_is_crushed():
    # Whole bed: f (2.4^2 - 2.0^2)/2 = 0.88 f >= 10 kN needs f >= 11.36 kPa.
    assert prove(dome(crush=11.3))["failed_bed"] == 0
    # At 13 kPa the innermost block reaches sqrt(4 + 20/13) = 2.353 m, its resultant is at 2.182 m: inside 2.2 m.
    assert prove(dome(crush=13.0))["kind"] == LINE


def test_a_ring_holds_back_an_overhang_when_friction_passes_it_on():
    # By hand: lower bed from 2.5 m, mean weight at 2.45 m: 20 kN x 0.05 m = 1 kN m = 0.4 m x C, so C = 2.5 kN on
    # a bed under 10 kN: friction 0.25 is needed.
    assert prove(dome(2, step=0.5))["kind"] == NO_LINE
    assert prove(dome(2, step=0.5, ring=np.inf, friction=0.26))["kind"] == LINE
    assert prove(dome(2, step=0.5, ring=np.inf, friction=0.24))["kind"] == NO_LINE


def test_a_wire_holds_back_what_leans_outward():
    # By hand: lower bed to 1.9 m, mean weight at 1.95 m: 1 kN m = 0.2 m x T, so T = 5 kN, friction 0.5.
    assert prove(dome(2, step=-0.5, wire=5.1, friction=0.52))["kind"] == LINE
    certificate = prove(dome(2, step=-0.5, wire=4.9, friction=0.52))
    assert certificate["kind"] == NO_LINE and mechanism(dome(2, step=-0.5, wire=4.9), certificate).wire_yields[0]


def test_borderline_is_not_claimed():
    lune = Lune(**{**vars(dome()), "moment": np.array([20.0])})  # exactly over the inner end of the bed
    assert prove(lune) is None
    assert prove(Lune(**{**vars(lune), "moment": np.array([20.0 + 1e-6])}))["kind"] == LINE
    assert prove(Lune(**{**vars(lune), "moment": np.array([20.0 - 1e-6])}))["kind"] == NO_LINE


def test_a_prestressed_lowest_course_is_not_counted():
    # 1.95 m on a bed from 2.0 m: only its own ring or wire could hold it, and neither counts at the lowest course.
    lune = Lune(**{**vars(dome()), "moment": np.array([19.5]), "wire": np.array([500.0])})
    assert prove(lune)["kind"] == NO_LINE
    assert prove(Lune(**{**vars(lune), "ring_strength": np.array([5000.0])}))["kind"] == NO_LINE


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 12),
    st.floats(-0.3, 0.2),
    st.sampled_from([np.inf, 40.0, 150.0]),
    st.floats(0.05, 1.0),
    st.sampled_from([0.0, 20.0, 200.0]),
    st.sampled_from([0.0, 0.5, 5.0]),
)
def test_never_against_the_exact_set(n, step, crush, friction, ring, wire):
    step = max(step, -1.5 / n)
    lune = dome(n, step=step, crush=crush, friction=friction, ring=ring, wire=wire)
    certificate = prove(lune)
    rows = pack(lune)
    # The exact set uses chords of the rings: 2 % more or less of every capacity covers the sliver between.
    stands = failing_bed(rows, Scales(friction=0.98, strength=0.98, wire=0.98)) < 0
    falls = failing_bed(rows, Scales(friction=1.02, strength=1.02, wire=1.02)) >= 0
    kind = certificate and certificate["kind"]
    if stands and failing_bed(rows, Scales(0.98, 0.98, 0.98, 0.98)) < 0:
        assert kind == LINE
    if falls and failing_bed(rows, Scales(1.02, 1.02, 1.02, 1.02)) >= 0:
        assert kind == NO_LINE
