"""The wire's bond: no more tension than its bed passes on, in the exact set and in the linear programme alike."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import classroom
from strategies import dome_lune

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.rings.admissible import Scales, failing_bed, pack, wire_limit
from shellcheck_earth.mechanics.rings.capacity import FRICTION, least_capacity
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import FRICTION_BOND
from shellcheck_earth.mechanics.rings.programme import is_admissible


def test_limit_by_hand() -> None:
    lune = dome_lune(wire=3.0, friction=0.4)
    by_friction = replace(lune, bond=np.full(lune.size, FRICTION_BOND))
    rows, top = pack(by_friction), 2
    V = float(lune.vertical[top])
    assert 0.4 * V < 3.0
    assert wire_limit(rows, top, Scales().as_array()) == pytest.approx(0.4 * V)
    assert wire_limit(rows, top, Scales(friction=0.5).as_array()) == pytest.approx(0.2 * V)
    assert wire_limit(rows, top, Scales(friction_value=0.1).as_array()) == pytest.approx(0.1 * V)
    tested = pack(replace(lune, bond=np.full(lune.size, 1.2)))
    assert wire_limit(tested, top, Scales().as_array()) == pytest.approx(1.2)
    assert wire_limit(tested, top, Scales(wire=0.5).as_array()) == pytest.approx(0.6)
    assert wire_limit(pack(lune), top, Scales().as_array()) == pytest.approx(3.0)


def test_a_tested_bond_is_that_of_every_strand_along_the_bed() -> None:
    design = classroom()
    beds = replace(design.beds, wire_strands=3, wire_bond=0.5)
    dome = build_dome(replace(design, beds=beds))
    lune = cut_lune(dome, dead_cases(dome)[0])
    course = dome.courses[10]
    index = int(np.flatnonzero(lune.number == course.number)[0])
    assert lune.bond[index] == pytest.approx(3 * 0.5 * (course.bed_inner + course.bed_outer) / 2)


def test_a_wide_dome_on_wire_alone_stands_no_longer() -> None:
    """5 m inside, a wall of 0.30 m, bed friction 0.3, four strands: held by wire that nothing grips."""
    base = classroom()
    design = classroom(
        dome=replace(base.dome, inside_diameter=5.0, pivot_beyond_inner_face=0.30),
        wall=replace(base.wall, filled_width=0.30, course_height=0.105),
        beds=replace(base.beds, friction=0.3, friction_wet=0.3, wire_strands=4),
        fill=replace(base.fill, strength_dry=900.0, strength_as_placed=300.0),
    )
    dome = build_dome(design)
    lune = cut_lune(dome, dead_cases(dome)[0])
    unbounded = replace(lune, bond=np.full(lune.size, np.inf))
    assert failing_bed(pack(unbounded)) < 0
    assert failing_bed(pack(lune)) >= 0


@settings(max_examples=60)
@given(st.floats(0.15, 0.9), st.floats(0.0, 6.0), st.one_of(st.none(), st.floats(0.0, 5.0)), st.floats(0.2, 1.0))
def test_the_exact_set_and_the_programme_agree(mu: float, wire: float, bond: float | None, share: float) -> None:
    lune = dome_lune(wire=wire, friction=mu)
    lune = replace(lune, bond=np.full(lune.size, FRICTION_BOND if bond is None else bond))
    edge = least_capacity(pack(lune), (FRICTION,), 1e-3, 1e3)
    if edge.value is None or not 1e-3 < edge.value < 1e3:
        return
    # Either side of the edge the second method says the same.
    assert is_admissible(lune, Scales(friction=edge.value * 1.001))
    assert not is_admissible(lune, Scales(friction=edge.value * 0.999))
    assert (failing_bed(pack(lune), Scales(friction=share)) < 0) == (share >= edge.value)


@pytest.mark.parametrize("kind", ["friction", "tested"])
def test_more_bond_never_asks_for_more_friction(kind: str) -> None:
    needed = []
    for size in (0.2, 0.5, 1.0, 2.0, 5.0):
        lune = dome_lune(wire=4.0, friction=0.5 if kind == "tested" else 0.2 * size)
        lune = replace(lune, bond=np.full(lune.size, size if kind == "tested" else FRICTION_BOND))
        value = least_capacity(pack(lune), (FRICTION,), 1e-4, 1e4).value
        assert value is not None
        needed.append(value * float(lune.friction[0]))
    assert all(b <= a * (1 + 1e-7) for a, b in itertools.pairwise(needed))
