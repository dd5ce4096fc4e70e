"""Sets, lines, bands and quantities of two courses by hand.

The upper course weighs 10 kN at 0.9 m, a tenth inside its bed (1.0 to 1.4 m at 0.2 m). Its ring adds C with a moment K
between 0.2 C and 0.4 C: x = 0.9 + (K - 0.2 C)/10 has to reach 1.0, so K >= 0.2 C + 1 and C >= 5. The lower course
weighs 10 kN at 1.2 m: on the ground x = (21 + K)/20, the middle of that bed at K = 3.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from two_courses import one, two

from shellcheck_earth.mechanics.rings import thrust_band as bands
from shellcheck_earth.mechanics.rings.admissible import CHORDS, Scales, failing_bed, pack, polygons
from shellcheck_earth.mechanics.rings.capacity import (
    CONTACT,
    FRICTION_VALUE,
    WIRE_VALUE,
    base_state,
    friction_for_wire,
    least_capacity,
    quantities,
)
from shellcheck_earth.mechanics.rings.convex import minkowski_sum
from shellcheck_earth.mechanics.rings.definite_line import DefiniteLine, Start, definite_line
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.programme import is_admissible, line, needed_friction, widest_contact
from shellcheck_earth.mechanics.rings.thrust_band import ThrustBand, thrust_band

NEAR = 2e-5
"""Lines begin within a millionth of the range of thrusts from its end."""


def pushed(lune: Lune, thrust: float, level: float) -> Lune:
    """With a thrust handed into the upper course at a level."""
    here = np.array([thrust, 0.0])
    return replace(lune, push=here, moment=lune.moment + level * here)


def drawn(lune: Lune, start: Start) -> DefiniteLine:
    found = definite_line(lune, start, Scales())
    assert found is not None
    return found


def states(found: DefiniteLine) -> list[float]:
    """C, K, T of the upper course, H, and x at both beds; the lower course adds nothing to the thrust."""
    assert (found.ring[1], found.ring_moment[1], found.wire[1]) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)
    assert found.H[1] == pytest.approx(found.H[0], abs=1e-9)
    return [*(float(one[0]) for one in (found.ring, found.ring_moment, found.wire, found.H)), *found.x.tolist()]


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        ("least", [5.0, 2.0, 0.0, 5.0, 1.0, 1.15]),  # C = 5 at the ring's top
        ("greatest", [10.0, 3.0, 0.0, 10.0, 1.0, 1.2]),  # friction 1.0 lets 10 kN through, and K = 3 is the middle
        ("middle", [7.5, 3.0, 0.0, 7.5, 1.05, 1.2]),  # K = 3 needs C >= 7.5; no more than that
    ],
)
def test_the_three_lines(start: Start, expected: list[float]) -> None:
    assert states(drawn(two(1.0), start)) == pytest.approx(expected, abs=NEAR)


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        ("least", [5.0, 2.0, 2.0, 3.0, 1.0, 1.13]),  # G on the ground is less by the wire's 0.2 m times 2 kN
        ("greatest", [10.0, 3.0, 0.0, 10.0, 1.0, 1.2]),  # as much wire as is needed: none
        # K - 0.2 T = 3 and C = 2.5 K: a thrust C - T = 7.5 - T/2, least with all of the wire
        ("middle", [8.5, 3.4, 2.0, 6.5, 1.07, 1.2]),
    ],
)
def test_the_three_lines_with_two_kilonewtons_of_wire(start: Start, expected: list[float]) -> None:
    assert states(drawn(two(1.0, wire=2.0), start)) == pytest.approx(expected, abs=NEAR)


def test_a_thrust_that_is_handed_in_is_carried_along() -> None:
    """1 kN at 0.3 m: x = 0.9 + (0.3 + K - 0.2 C - 0.2)/10, so C = 4.5 at the ring's top, 5.5 kN on the ground."""
    found = drawn(pushed(two(1.0), 1.0, 0.3), "least")
    assert states(found) == pytest.approx([4.5, 1.8, 0.0, 5.5, 1.0, (9.3 + 1.8 + 12) / 20], abs=NEAR)
    with_wire = drawn(pushed(two(1.0, wire=2.0), 1.0, 0.3), "least")
    assert states(with_wire) == pytest.approx([4.5, 1.8, 2.0, 3.5, 1.0, (9.3 + 1.8 - 0.4 + 12) / 20], abs=NEAR)


def test_one_course_has_one_line() -> None:
    for start in ("least", "greatest", "middle"):
        found = drawn(one(1.13), start)
        assert (found.H[0], found.G[0], found.x[0]) == pytest.approx((0.0, 11.3, 1.13), abs=1e-9)
        assert (found.ring[0], found.ring_moment[0], found.wire[0]) == pytest.approx((0, 0, 0), abs=1e-9)
    assert definite_line(one(0.99), "least", Scales()) is None
    assert definite_line(two(0.49), "middle", Scales()) is None


def cut(lune: Lune, most: float) -> Lune:
    """The bed on the ground ends at `most`."""
    return replace(lune, bed_outer=np.array([1.4, most]), wet_from=np.array([1.4, most]))


def band(lune: Lune) -> ThrustBand:
    found = thrust_band(lune)
    assert found.failing == -1 and found.z.tolist() == lune.z_bottom.tolist()
    return found


def test_the_band_of_all_lines() -> None:
    found = band(two(1.0))
    assert found.x_low == pytest.approx([1.0, 1.15], abs=1e-6) and found.x_high == pytest.approx([1.1, 1.25], abs=1e-6)
    assert found.H_low == pytest.approx([5.0, 5.0], abs=1e-6) and found.H_high == pytest.approx([10.0, 10.0], abs=1e-6)


def test_what_cannot_go_on_to_the_ground_is_no_part_of_the_band() -> None:
    """On the ground up to 1.2 m: K <= 3, so C = 7.5 at the ring's top above, x = 1.05."""
    found = band(cut(two(1.0), 1.2))
    assert found.x_low == pytest.approx([1.0, 1.15], abs=1e-6) and found.x_high == pytest.approx([1.05, 1.2], abs=1e-6)
    wired = band(cut(two(1.0, wire=2.0), 1.2))  # 21 + K - 0.2 T up to 24 with T = 2: K <= 3.4, C = 8.5
    assert wired.x_high == pytest.approx([1.07, 1.2], abs=1e-6) and wired.x_low == pytest.approx([1.0, 1.13], abs=1e-6)
    assert wired.H_low == pytest.approx([3.0, 3.0], abs=1e-6)
    handed = band(cut(pushed(two(1.0), 1.0, 0.3), 1.2))  # 21.3 + K <= 24: K <= 2.7, C = 6.75: 0.91 + 0.135
    assert handed.x_high == pytest.approx([1.045, 1.2], abs=1e-6)
    assert handed.H_low == pytest.approx([5.5, 5.5], abs=1e-6)


def test_without_a_line_the_band_ends_where_the_paths_do() -> None:
    found = thrust_band(two(0.49))
    assert found.failing == 0 and len(found.z) == len(found.x_low) == len(found.H_high) == 0
    lower = thrust_band(replace(two(1.0), friction=np.array([1.0, 0.24])))  # 4.8 of 20 kN: less than the 5 needed
    assert lower.failing == 1 and lower.x_low == pytest.approx([1.0], abs=1e-6) and lower.z.tolist() == [0.2]
    assert lower.x_high == pytest.approx([1.1], abs=1e-6)


# -- quantities, by the exact set and by the programme ---------------------------------------------------------------


def test_friction_and_the_wire_in_its_place() -> None:
    """C = 5 kN at the ring's top through 10 kN: 0.5; every kilonewton of wire takes 0.1 off (10 (0.1 - 0.2 mu) = 0.2 T,
    as the ring's C = 5 stays)."""
    for lune in (two(10.0), two(0.1)):
        assert least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3).value == pytest.approx(0.5, rel=1e-8)
        assert needed_friction(lune) == pytest.approx(0.5, rel=1e-6)
    found = friction_for_wire(two(0.1), np.array([0.0, 2.0, 4.0, 5.0]))
    assert found == pytest.approx((0.5, 0.3, 0.1, 0.0), rel=1e-8)
    assert least_capacity(pack(two(0.3)), (WIRE_VALUE,), 1e-6, 1e5).value == pytest.approx(2.0, rel=1e-8)
    assert friction_for_wire(one(0.99), np.array([0.0])) == (None,)


@pytest.mark.parametrize(("friction", "share", "x"), [(10.0, 0.375, 1.275), (1.0, 0.5, 1.25)])
def test_the_least_share_of_the_beds(friction: float, share: float, x: float) -> None:
    """1.2 - 0.2 s above, 1.2 + 0.2 s on the ground: K - 0.2 C = 3 - 2 s and K = 3 + 4 s with K = 0.4 C give s = 0.375;
    where friction 1.0 holds C to 10 kN, K = 4 = 5 - 2 s."""
    lune = two(friction)
    found = quantities(lune)
    assert found.contact_share.value == pytest.approx(share, rel=1e-7)
    assert widest_contact(lune) == pytest.approx(share, rel=1e-6)
    assert found.base is not None and found.base.x == pytest.approx(x, abs=2e-6)
    assert least_capacity(pack(lune), (CONTACT,), 0.01, 1.0).value == found.contact_share.value


def test_thrusts_on_the_ground() -> None:
    """From C = 5 on; up to 10 kN of friction, or where K = 0.2 C + 1 reaches the end of the ground's bed: K = 7, 30."""
    for friction, greatest in ((1.0, 10.0), (10.0, 30.0)):
        base = base_state(pack(two(friction)))
        assert base is not None
        assert (base.least, base.greatest) == pytest.approx((5.0, greatest), rel=1e-9)
        assert base.friction == pytest.approx(5.0 / 20.0, rel=1e-9)
    inward = base_state(pack(two(1.0, wire=7.0)))
    assert inward is not None and inward.least == pytest.approx(-2.0) and inward.friction == 0.0
    assert base_state(pack(two(0.49))) is None


@pytest.mark.parametrize("down", [-0.5, 0.7])
def test_where_levels_are_counted_from_changes_nothing(down: float) -> None:
    lune = replace(two(10.0), z_bottom=two(1.0).z_bottom - down, z_top=two(1.0).z_top - down)
    low = replace(lune, ring_low=lune.z_bottom, ring_high=lune.z_top)
    base, plain = base_state(pack(low)), base_state(pack(two(10.0)))
    assert base is not None and plain is not None and plain.x == pytest.approx(1.275, abs=2e-6)
    assert (base.least, base.greatest, base.friction, base.x) == pytest.approx(
        (plain.least, plain.greatest, plain.friction, plain.x), rel=1e-6
    )
    for start in ("least", "greatest", "middle"):
        one_line, other = drawn(two(10.0), start), drawn(low, start)
        assert other.x == pytest.approx(one_line.x, abs=NEAR) and pytest.approx(one_line.H, abs=NEAR) == other.H
    found, as_it_was = band(low), band(two(10.0))
    assert found.x_high == pytest.approx(as_it_was.x_high, abs=1e-6)


def test_a_line_through_the_middle_of_every_bed_is_the_middlemost() -> None:
    """The upper course at 1.2 m too: no ring is needed, though up to 10 kN of it would take the line to 1.4 m."""
    lune = replace(two(1.0), moment=np.array([12.0, 12.0]))
    assert least_capacity(pack(lune), (CONTACT,), 0.01, 1.0).value == 0.0
    base = base_state(pack(lune))
    assert base is not None and base.x == pytest.approx(1.2, abs=2e-3)
    assert (base.least, base.friction) == (0.0, 0.0) and base.greatest == pytest.approx(10.0)


def test_without_wire_the_friction_is_that_of_the_bare_beds() -> None:
    found = quantities(two(0.4, wire=2.0))
    assert found.friction.value == pytest.approx(0.3, rel=1e-8) and found.admissible and found.failing_bed == -1
    assert found.friction_no_wire.value == pytest.approx(0.5, rel=1e-8)
    assert found.wire.value == pytest.approx(1.0, rel=1e-8) and found.closed
    bare = quantities(two(0.4))
    assert not bare.admissible and bare.failing_bed == 0 and bare.base is None
    assert bare.wire.value == pytest.approx(1.0, rel=1e-8)  # as if there were one
    assert not replace(found, wire=replace(found.wire, closed=False)).closed


def test_the_least_strength_of_all() -> None:
    """One course of 10 kN in the middle of its bed, 1.0 to 1.4 m, by area: the stress block of least radius ends where
    what it carries has its middle; asked for by bisection on the formula of a band."""
    found = quantities(one(1.2)).strength.value
    assert found is not None
    # A band [p, q] at f: force f (q^2 - p^2)/2 = 10, moment f (q^3 - p^3)/3 = 12, one of its ends at an end of the bed.
    low, high = 1.2, 1.4
    for _ in range(80):
        q = (low + high) / 2
        low, high = (q, high) if (q**3 - 1) / (q**2 - 1) * 2 / 3 < 1.2 else (low, q)
    assert found == pytest.approx(20.0 / (high**2 - 1), rel=1e-7)


def test_lines_of_the_programme() -> None:
    for kind, thrust in (("least", 5.0), ("greatest", 10.0)):
        found = line(two(1.0), kind)  # type: ignore[arg-type]
        assert found is not None and pytest.approx([thrust, thrust], abs=1e-6) == found.H
        assert found.ring[0] - found.wire[0] == pytest.approx(thrust, abs=1e-6)
    some = line(two(1.0, wire=2.0), "any")
    assert some is not None and some.wire[0] == pytest.approx(0.0, abs=1e-7)  # as little as will do
    assert some.ring[0] == pytest.approx(5.0, abs=1e-6) and some.x[0] == pytest.approx(1.0, abs=1e-6)
    assert line(two(0.49), "any") is None and line(one(1.2, strength=20.0), "any") is None
    assert is_admissible(two(0.51)) and not is_admissible(two(0.49)) and not is_admissible(one(1.2, strength=20.0))
    assert widest_contact(two(0.49)) is None and widest_contact(one(1.2, strength=20.0)) is None
    assert needed_friction(one(0.99)) is None and needed_friction(one(1.2, strength=20.0)) is None


def test_cohesion_and_friction_share_what_slides() -> None:
    """5 kN through a bed with 2 kN of cohesion: 0.3 of 10 kN; half of both: 1 kN and 0.4."""
    lune = replace(two(1.0), cohesion=np.array([2.0, 0.0]))
    assert needed_friction(lune) == pytest.approx(0.3, rel=1e-6)
    assert needed_friction(lune, Scales(friction=0.5)) == pytest.approx(0.4, rel=1e-6)
    assert least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3).value == pytest.approx(0.3, rel=1e-8)
    half = least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3, Scales(friction=0.5))
    assert half.value == pytest.approx(0.4, rel=1e-8)


def test_wire_that_friction_holds_is_no_stronger_than_it() -> None:
    """T <= mu V: with both, 0.1 less for each kilonewton: mu = 0.5 - 0.1 (10 mu), 0.25."""
    lune = replace(two(1.0, wire=9.0), bond=np.array([-1.0, -1.0]))
    assert needed_friction(lune) == pytest.approx(0.25, rel=1e-6)
    assert least_capacity(pack(lune), (FRICTION_VALUE,), 1e-6, 1e3).value == pytest.approx(0.25, rel=1e-8)


# -- the exact set ---------------------------------------------------------------------------------------------------


def test_the_polygon_of_the_upper_bed_has_its_three_corners() -> None:
    """K between 0.2 C + 1 and 0.4 C up to C = 10: the corners (5, 11), (10, 12), (10, 13) of (H, 9 + K)."""
    found = polygons(pack(two(1.0)))
    corners = sorted({(round(float(h), 6), round(float(g), 6)) for h, g in zip(found.H[0], found.G[0], strict=True)})
    assert corners == [(5.0, 11.0), (10.0, 12.0), (10.0, 13.0)]
    # The lower course adds its 12 kN m, and has the thrusts it is handed.
    lower = sorted({(round(float(h), 6), round(float(g), 6)) for h, g in zip(found.H[1], found.G[1], strict=True)})
    assert lower == [(5.0, 23.0), (10.0, 24.0), (10.0, 25.0)]
    assert failing_bed(pack(two(1.0))) == found.failing == -1 and failing_bed(pack(two(0.49))) == 0


def test_the_chords_of_a_ring_halve_towards_nothing() -> None:
    """As stated: 0, 1/64, 1/32 ... 1/2, 1 of the greatest compression."""
    assert CHORDS[0] == 0.0 and CHORDS[1] == 1 / 64 and CHORDS[-1] == 1.0
    assert (CHORDS[2:] == 2 * CHORDS[1:-1]).all()


def test_where_a_course_has_neither_ring_nor_wire_nothing_is_added(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is compiled looks at no ends of its arrays: it is never handed a set without a corner."""
    handed: list[int] = []

    def sum_of(px: np.ndarray, py: np.ndarray, a: int, m: int, qx: np.ndarray, qy: np.ndarray, k: int) -> int:
        handed.append(k)
        return int(minkowski_sum(px, py, a, m, qx, qy, k))

    monkeypatch.setattr(bands, "minkowski_sum", sum_of)
    assert thrust_band(replace(two(1.0, ring=0.0), moment=np.array([12.0, 12.0]))).failing < 0 and handed == []
    whole = two(1.0, wire=2.0)
    bands._undo(pack(whole), Scales().as_array(), 0, np.zeros(1), np.zeros(1))
    assert len(handed) == 2 and min(handed) >= 2  # its ring and its wire
