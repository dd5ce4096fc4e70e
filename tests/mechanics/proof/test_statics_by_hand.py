"""Every limit of the checker at its edge, worked out by hand: just inside is taken, just outside is refused."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.reading import RefusedError
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.proof.states import Bed
from shellcheck_earth.mechanics.proof.statics import Loaded, line_fault, none_fault

ASKED = Question("thrust line")


def units(value: float | Fraction) -> int:
    return round(Fraction(value) * UNIT)


def load(weight: float | Fraction, radius: float | Fraction) -> tuple[int, int]:
    """So many kN with their line of action at a radius [m]."""
    return round(Fraction(weight) * (6 << 160)), round(Fraction(weight) * Fraction(radius) * (6 << 200))


def bed(number: int, z: str, at: str, inner: str, outer: str, **more: object) -> Bed:
    """10 kN at a radius, 0.25 m high; friction 1/2, a ring without limit of strength (none in the lowest), no wire."""
    low, end = Fraction(z), Fraction(outer)
    plain = Bed(
        number, units(low), units(low + Fraction(1, 4)), load(10, Fraction(at)), (0, 0), units(Fraction(inner)),
        units(end), units(end), None, None, Fraction(1, 2), Fraction(0), None if number > 1 else Fraction(0),
        units(Fraction(2, 5)), Fraction(0), Fraction(1),
    )  # fmt: skip
    return replace(plain, **more)  # type: ignore[arg-type]


def forces(ring: list[float], moment: list[float], wire: list[float] | None = None) -> dict[str, list[int]]:
    columns = (ring, moment, wire or [0.0] * len(ring))
    return {
        key: [units(one) for one in column]
        for key, column in zip(("ring", "ring_moment", "wire"), columns, strict=True)
    }


def multipliers(**given: list[int]) -> dict[str, list[int]]:
    names = ("inner_edge", "outer_edge", "slip_outward", "slip_inward")
    return {name: given.get(name, [0, 0]) for name in names}


STILL = forces([0.0], [0.0])

# -- sliding ---------------------------------------------------------------------------------------------------------


def test_friction_is_rounded_against_whoever_relies_on_it() -> None:
    """5 kN under 10 kN at friction 1/2, to the last unit: no line may use all of it, no refutation may deny it."""
    upper, lower = bed(2, "0.25", "2.2", "2.0", "2.4"), bed(1, "0", "2.2", "1.9", "2.5")
    pressed = forces([5.0, 0.0], [5 * 0.375, 0.0])
    assert "slides" in line_fault((upper, lower), [ASKED], pressed)
    pressed["ring"][0] -= 16  # ten units of the friction are 2^-40 of 10 kN each
    assert line_fault((upper, lower), [ASKED], pressed) == ""
    loaded = Loaded((upper, lower), Fraction(1), Fraction(1))
    assert loaded.slide(0, ASKED, up=False) < 5 * UNIT * loaded.force < loaded.slide(0, ASKED, up=True)  # type: ignore[operator]


@pytest.mark.parametrize(("cohesion", "share", "met"), [("1.1", "1", True), ("0.9", "1", False), ("1.9", "0.5", False)])
def test_cohesion_is_added_once(cohesion: str, share: str, met: bool) -> None:
    """6 kN of ring on 10 kN: 5 kN of friction and 1 kN of cohesion, either way."""
    upper = bed(2, "0.25", "2.2", "2.0", "2.4", cohesion=Fraction(cohesion), wire=Fraction(9), bond=Fraction(9))
    lower, question = bed(1, "0", "2.2", "1.8", "2.6"), replace(ASKED, cohesion=Fraction(share))
    for state in (forces([6.0, 0.0], [6 * 0.375, 0.0]), forces([0.0, 0.0], [0.0, 0.0], [6.0, 0.0])):
        assert (line_fault((upper, lower), [question], state) == "") == met


@pytest.mark.parametrize(("friction", "proven"), [("0.19", True), ("0.21", False)])
def test_no_ring_presses_more_than_its_bed_passes_on(friction: str, proven: bool) -> None:
    """Mean weight at 2.45 m, lower bed from 2.5 m: 20 kN x 0.05 m = 1 kN m; a ring's top is 0.5 m up, so 2 kN of it
    would do, and the bed under it passes on friction x 10 kN.
    """
    beds = bed(2, "0.25", "2.2", "2.0", "2.4", friction=Fraction(friction)), bed(1, "0", "2.7", "2.5", "2.9")
    shown = multipliers(inner_edge=[0, 2], slip_outward=[1, 0])
    assert (none_fault(beds, ASKED, shown) == "") == proven
    # With a wire that may pull 1 kN the ring may press so much more: 1.9 + 1 kN is enough.
    tied = replace(beds[0], wire=Fraction(1))
    assert none_fault((tied, beds[1]), ASKED, shown) != ""
    # A bed that cannot slide gives no such argument.
    assert none_fault((replace(beds[0], friction=None), beds[1]), ASKED, shown) != ""
    # The friction that is asked for counts: half of 0.38 is 0.19.
    half = replace(ASKED, friction=Fraction(1, 2))
    assert none_fault((replace(beds[0], friction=Fraction(38, 100)), beds[1]), half, shown) == ""


@pytest.mark.parametrize(("friction", "proven"), [("0.19", True), ("0.21", False)])
def test_no_wire_pulls_more_than_its_bed_passes_on(friction: str, proven: bool) -> None:
    """Mean weight at 2.375 m, lower bed to 2.35 m: 20 kN x 0.025 m = 0.5 kN m; a wire 0.25 m up has to pull 2 kN."""
    upper = bed(2, "0.25", "2.15", "2.0", "2.4", friction=Fraction(friction), wire=Fraction(9), bond=Fraction(9))
    beds = upper, bed(1, "0", "2.6", "2.0", "2.35")
    assert (none_fault(beds, ASKED, multipliers(outer_edge=[0, 4], slip_inward=[1, 0])) == "") == proven
    # Too short a wire needs no sliding to be refuted: 1.9 kN of the 2 kN.
    for tension, bond, met in (("1.9", "9", True), ("9", "1.9", True), ("2.1", "2.1", False)):
        held = replace(upper, friction=Fraction(1, 2), wire=Fraction(tension), bond=Fraction(bond))
        assert (none_fault((held, beds[1]), ASKED, multipliers(outer_edge=[0, 4])) == "") == met


def test_multipliers_that_a_ring_undoes_prove_nothing() -> None:
    """Counted more than it weighs, the sliding inward is made good by a ring at its lowest level, 0.25 m up."""
    upper = bed(2, "0.25", "2.15", "2.0", "2.4", friction=Fraction(16, 100), wire=Fraction(9), bond=Fraction(9))
    beds = upper, bed(1, "0", "2.6", "2.0", "2.35")
    shown = multipliers(outer_edge=[0, 20], slip_inward=[6, 0])
    assert "undoes" in none_fault(beds, ASKED, shown)
    assert none_fault((replace(upper, ring_depth=0), beds[1]), ASKED, shown) == ""


@pytest.mark.parametrize(("asked", "met"), [("0.27", True), ("0.23", False)])
def test_the_base_slides_either_way_at_what_is_asked(asked: str, met: bool) -> None:
    """5 kN, outward by the ring or inward by the wire, on 20 kN; only the lowest bed is asked."""
    upper = bed(2, "0.25", "2.2", "1.8", "2.8", friction=Fraction(1), wire=Fraction(9), bond=Fraction(9))
    beds = upper, bed(1, "0", "2.2", "1.8", "2.8", friction=None)
    question = Question("base sliding", base_friction=Fraction(asked))
    outward, inward = forces([5.0, 0.0], [5 * 0.375, 0.0]), forces([0.0, 0.0], [0.0, 0.0], [5.0, 0.0])
    assert (line_fault(beds, [question], outward) == "") == met
    assert (line_fault(beds, [question], inward) == "") == met


def test_the_ground_is_no_better_than_the_lowest_bed() -> None:
    beds = (
        bed(2, "0.25", "2.2", "1.8", "2.8", friction=Fraction(1)),
        bed(1, "0", "2.2", "1.8", "2.8", friction=Fraction(1, 5)),
    )
    question = Question("base sliding", base_friction=Fraction(9))
    assert "slides" in line_fault(beds, [question], forces([5.0, 0.0], [5 * 0.375, 0.0]))


# -- loads -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("dead", "imposed", "met"),
    [("1", "1", True), ("1", "2", False), ("2", "2", True), ("2", "3", False), ("3", "2", True)],
)
def test_permanent_and_imposed_loads_have_factors_of_their_own(dead: str, imposed: str, met: bool) -> None:
    """10 kN at 2.58 m and 4 kN at 2.35 m on a bed from 2.5 m: mean 2.514, with twice the imposed load 2.478 m."""
    question = replace(ASKED, dead=Fraction(dead), imposed=Fraction(imposed))
    one = bed(1, "0", "2.58", "2.5", "2.9", imposed=load(4, "2.35"))
    assert (line_fault((one,), [question], STILL) == "") == met
    assert (line_fault((one,), [ASKED], STILL) == "") and ASKED.dead == ASKED.imposed == 1
    shown = {key: column[:1] for key, column in multipliers(inner_edge=[1]).items()}
    assert (none_fault((one,), question, shown) == "") != met


# -- the bed: edges and crushing -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("at", "met"), [("2.499", False), ("2.501", True), ("2.899", True), ("2.901", False)])
def test_both_ends_of_a_bed(at: str, met: bool) -> None:
    one = bed(1, "0", at, "2.5", "2.9")
    assert (line_fault((one,), [ASKED], STILL) == "") == met
    shown = [{key: [int(key == name)] for key in multipliers()} for name in ("inner_edge", "outer_edge")]
    assert any(none_fault((one,), ASKED, each) == "" for each in shown) != met


def test_the_very_ends_belong_to_it() -> None:
    """Whole numbers of 2^-40 m, so that nothing is rounded: X = x_b V is inside, one unit more of force is not."""
    for at in ("2.5", "2.75"):
        one = bed(1, "0", at, "2.5", "2.75")
        assert line_fault((one,), [ASKED], STILL) == ""
        beyond = replace(one, dead=(one.dead[0], one.dead[1] + (1 if at == "2.75" else -1)))
        assert "leaves" in line_fault((beyond,), [ASKED], STILL)


@pytest.mark.parametrize(("at", "met"), [("2.59", False), ("2.61", True), ("2.79", True), ("2.81", False)])
@pytest.mark.parametrize("question", [replace(ASKED, contact=Fraction(1, 2)), replace(ASKED, width=Fraction(1, 2))])
def test_half_of_its_width_lies_about_its_middle(question: Question, at: str, met: bool) -> None:
    one = bed(1, "0", at, "2.5", "2.9")
    assert (line_fault((one,), [question], STILL) == "") == met
    shown = [{key: [int(key == name)] for key in multipliers()} for name in ("inner_edge", "outer_edge")]
    assert any(none_fault((one,), question, each) == "" for each in shown) != met


def filled(weight: float, stretches: list[tuple[float, float, float]]) -> float | None:
    """Moment of `weight` when thin rings are filled up one after the other, each to its stress: (from, to, stress)."""
    left, moment, steps = weight, 0.0, 4000
    for start, end, stress in stretches:
        for i in range(steps):
            r = start + (end - start) * (i + 0.5) / steps
            part = min(stress * r * abs(end - start) / steps, left)
            left, moment = left - part, moment + part * r
    return None if left > 1e-9 * weight else moment


@pytest.mark.parametrize("wet_from", [2.0, 2.1, 2.3, 2.4])
@pytest.mark.parametrize(
    ("dry", "wet"), [(60.0, 60.0), (60.0, 14.0), (14.0, 60.0), (13.0, 13.0), (16.0, 6.0), (9.0, 9.0)]
)
@pytest.mark.parametrize("width", ["1", "0.9"])
def test_stress_blocks_against_rings_filled_one_by_one(dry: float, wet: float, wet_from: float, width: str) -> None:
    """20 kN on a bed of 0.88 m2 a radian: innermost and outermost resultant; None where the bed is too weak."""
    one = bed(
        1, "0", "2.2", "2.0", "2.4", dead=load(20, "2.2"), wet_from=units(wet_from), strength_in=Fraction(2 * dry),
        strength_out=Fraction(2 * wet),
    )  # fmt: skip
    share = float(width)
    a, b = 2.2 - 0.2 * share, 2.2 + 0.2 * share
    w = min(max(wet_from, a), b)
    inner, outer = (a, w, dry), (w, b, wet)
    least = filled(20.0, [inner, outer])
    greatest = filled(20.0, [(b, w, wet), (w, a, dry)])
    for up in (False, True):
        found = Loaded((one,), Fraction(1), Fraction(1)).range_of(0, Fraction(1, 2), Fraction(width), up)
        if least is None or greatest is None:
            assert found is None
        else:
            assert found is not None
            assert [float(Fraction(end, 6 << 200)) for end in found] == pytest.approx([least, greatest], rel=2e-5)


def test_a_stretch_without_limit_carries_all_at_its_end() -> None:
    for dry, wet, least, greatest in (
        (None, Fraction(20), 20 * 2.0, 20 * 2.0 + 0.0),
        (Fraction(20), None, None, 20 * 2.4),
    ):
        one = bed(
            1, "0", "2.2", "2.0", "2.4", dead=load(20, "2.2"), wet_from=units(2.2), strength_in=dry, strength_out=wet
        )
        found = Loaded((one,), Fraction(1), Fraction(1)).range_of(0, Fraction(1), Fraction(1), False)
        assert found is not None
        low, high = (float(Fraction(end, 6 << 200)) for end in found)
        if dry is None:
            # Outer part: 20 kPa on (2.4^2 - 2.2^2)/2 = 0.46 m2 is 9.2 kN at (2/3)(2.4^3 - 2.2^3)/0.92; the rest: 2.2 m.
            part = 9.2 * 2 / 3 * (2.4**3 - 2.2**3) / 0.92
            assert (low, high) == pytest.approx((least, part + 10.8 * 2.2), rel=1e-9)
        else:
            part = 8.4 * 2 / 3 * (2.2**3 - 2.0**3) / 0.84
            assert (low, high) == pytest.approx((part + 11.6 * 2.2, greatest), rel=1e-9)


def test_a_bed_narrowed_to_nothing_carries_nothing() -> None:
    one = bed(1, "0", "2.2", "2.0", "2.4")
    assert Loaded((one,), Fraction(1), Fraction(1)).range_of(0, Fraction(1), Fraction(0), False) is None


# -- the ground ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("at", ["2.73", "2.67"])
@pytest.mark.parametrize(("stress", "met"), [("13.43", True), ("13.42", False), ("9.25", False)])
def test_inside_the_middle_third_the_stress_is_a_trapezium(at: str, stress: str, met: bool) -> None:
    """10 kN on a strip of 0.4 m at 2.7 m, 0.03 m off its middle: 9.259 (1 + 6 x 0.03/0.4) = 13.43 kPa."""
    one, question = bed(1, "0", at, "2.5", "2.9"), Question("ground bearing", base_stress=Fraction(stress))
    assert (line_fault((one,), [question], STILL) == "") == met
    shown = [{key: [int(key == name)] for key in multipliers()} for name in ("inner_edge", "outer_edge")]
    assert any(none_fault((one,), question, each) == "" for each in [*shown, {"failed_bed": 0}]) != met


@pytest.mark.parametrize("at", ["2.8", "2.6"])
@pytest.mark.parametrize(("stress", "met"), [("24.7", True), ("24.68", False)])
def test_outside_it_a_triangle(at: str, stress: str, met: bool) -> None:
    """0.1 m off the middle: 2 x 3.7037/(3 x 0.1) = 24.69 kPa."""
    one, question = bed(1, "0", at, "2.5", "2.9"), Question("ground bearing", base_stress=Fraction(stress))
    assert (line_fault((one,), [question], STILL) == "") == met


def test_the_ground_is_under_the_lowest_bed_only() -> None:
    """20 kPa are asked of the ground under 20 kN, not of the bed under the upper 10 kN, which are at its end."""
    beds = bed(2, "0.25", "2.35", "2.0", "2.4"), bed(1, "0", "2.65", "1.9", "3.1")
    assert (
        line_fault(beds, [Question("ground bearing", base_stress=Fraction(20))], forces([0.0, 0.0], [0.0, 0.0])) == ""
    )


# -- rings and wires -------------------------------------------------------------------------------------------------

PRESSED = (bed(2, "0.25", "2.2", "2.0", "2.4", ring_strength=Fraction(60)), bed(1, "0", "2.2", "1.8", "2.6"))
"""A ring 0.25 m high and 0.4 m deep at 60 kPa."""


@pytest.mark.parametrize(("moment", "met"), [(0.9374, False), (0.9376, True), (1.3124, True), (1.3126, False)])
def test_a_ring_lies_in_its_section(moment: float, met: bool) -> None:
    """3 kN need 3/(60 x 0.4) = 0.125 m of height: moments from 3 x 0.3125 to 3 x 0.4375 kN m."""
    assert (line_fault(PRESSED, [ASKED], forces([3.0, 0.0], [moment, 0.0])) == "") == met
    # Asked at half its strength, the same ring needs all of its height.
    half = replace(ASKED, strength=Fraction(1, 2))
    assert line_fault(PRESSED, [half], forces([2.99, 0.0], [2.99 * 0.375, 0.0])) == ""
    assert "section" in line_fault(PRESSED, [half], forces([3.01, 0.0], [3.01 * 0.375, 0.0]))


@pytest.mark.parametrize(
    "worse",
    [{"ring_strength": Fraction(0)}, {"ring_depth": 0}, {"ring_depth": -1}, {"ring_depth": units(0.19)}],
)
def test_a_ring_without_section_presses_nothing(worse: dict[str, object]) -> None:
    pressed = forces([3.0, 0.0], [3 * 0.375, 0.0])
    assert line_fault(PRESSED, [ASKED], pressed) == ""
    assert line_fault((replace(PRESSED[0], **worse), PRESSED[1]), [ASKED], pressed) != ""  # type: ignore[arg-type]


def test_the_lowest_course_has_no_ring() -> None:
    lowest = replace(PRESSED[1], ring_strength=Fraction(60))
    assert "may not" in line_fault((PRESSED[0], lowest), [ASKED], forces([0.0, 1.0], [0.0, 0.125]))


@pytest.mark.parametrize(
    ("strength", "moment", "proven"),
    [("60", "0.99", False), ("60", "1.01", True), ("30", "0.51", True), ("30", "0.49", False)],
)
def test_the_most_that_a_ring_can_do_for_a_refutation(strength: str, moment: str, proven: bool) -> None:
    """Greatest K = 0.5 C - C^2/(2 f t) of a ring 0.4 m deep between 0.25 and 0.5 m, whose C is at most f h t.

    60 kPa: C = 6 kN (12 would be the top of the parabola): 3 - 36/48 = 2.25 kN m. 30 kPa: C = 3: 1.125.
    The lower bed is so far out that 2.25 (1.125) + `moment` - 1 (0.5) of it are missing.
    """
    most = Fraction(9, 4) if strength == "60" else Fraction(9, 8)
    missing = most + Fraction(moment) - (1 if strength == "60" else Fraction(1, 2))
    lower = bed(
        1,
        "0",
        str(float(Fraction("2.7") + Fraction("0.3"))),
        "2.6",
        "3.4",
        dead=load(10, Fraction("3.0") - missing / 10),
    )
    beds = bed(2, "0.25", "2.2", "2.0", "2.4", ring_strength=Fraction(strength)), lower
    assert (none_fault(beds, ASKED, multipliers(inner_edge=[0, 1])) == "") == proven


def test_a_wire_pulls_what_is_asked_of_it() -> None:
    upper = bed(2, "0.25", "2.2", "2.0", "2.4", wire=Fraction(4), bond=Fraction(5))
    lower = bed(1, "0", "2.2", "1.8", "2.6", wire=Fraction(4), bond=Fraction(5))
    assert line_fault((upper, lower), [ASKED], forces([0, 0], [0, 0], [3.9, 0])) == ""
    assert "pulls" in line_fault((upper, lower), [ASKED], forces([0, 0], [0, 0], [4.1, 0]))
    half = replace(ASKED, wire=Fraction(1, 2))
    assert line_fault((upper, lower), [half], forces([0, 0], [0, 0], [1.9, 0])) == ""
    assert "pulls" in line_fault((upper, lower), [half], forces([0, 0], [0, 0], [2.1, 0]))
    # Its moment: 4 kN pulled inward 0.25 m up take 1 kN m: 43/20 = 2.15 m.
    shifted = replace(lower, inner=units(2.14), outer=units(2.16), wet_from=units(2.16))
    assert line_fault((upper, shifted), [ASKED], forces([0, 0], [0, 0], [3.999, 0])) == ""
    assert "leaves" in line_fault((upper, shifted), [ASKED], forces([0, 0], [0, 0], [3.0, 0]))
    # Held by friction: 0.3 x 10 kN of the 4 kN, at what is asked of the friction.
    held = replace(upper, bond=None, friction=Fraction(3, 10), cohesion=Fraction(9))
    assert line_fault((held, lower), [ASKED], forces([0, 0], [0, 0], [2.9, 0])) == ""
    assert "pulls" in line_fault((held, lower), [ASKED], forces([0, 0], [0, 0], [3.1, 0]))
    assert "pulls" in line_fault(
        (held, lower), [replace(ASKED, friction=Fraction(1, 2))], forces([0, 0], [0, 0], [1.6, 0])
    )
    assert line_fault((replace(held, friction=None), lower), [ASKED], forces([0, 0], [0, 0], [3.9, 0])) == ""


# -- what a proof may be ---------------------------------------------------------------------------------------------


def test_numbers_of_forty_digits_and_no_more() -> None:
    one = (bed(1, "0", "2.7", "2.5", "2.9"),)
    shown = {key: [0] for key in multipliers()}
    assert none_fault(one, ASKED, shown | {"inner_edge": [10**40 - 1]}) != ""
    for digits in (10**40, -(10**40)):
        with pytest.raises(RefusedError):
            none_fault(one, ASKED, shown | {"inner_edge": [digits]})


def test_every_question_of_a_list_is_asked() -> None:
    one = (bed(1, "0", "2.52", "2.5", "2.9"),)
    narrow, heavy = (
        replace(ASKED, name="narrow", contact=Fraction(1, 2)),
        replace(ASKED, name="heavy", dead=Fraction(2)),
    )
    assert line_fault(one, [ASKED, heavy], STILL) == ""
    for asked in ([narrow, ASKED], [ASKED, narrow], [heavy, ASKED, narrow]):
        assert "narrow" in line_fault(one, asked, STILL)


def test_a_failed_bed_is_one_that_carries_nothing() -> None:
    beds = (
        bed(2, "0.25", "2.2", "2.0", "2.4"),
        bed(1, "0", "2.2", "2.0", "2.4", strength_in=Fraction(9), strength_out=Fraction(9)),
    )
    assert none_fault(beds, ASKED, {"failed_bed": 1}) == ""
    assert none_fault(beds, ASKED, {"failed_bed": 0}) != ""
    # Inner half 40 kPa (16.8 kN), outer half 8 kPa (3.7 kN): 20 kN lie near 2.13 m, and the middle is at 2.2 m.
    uneven = replace(beds[1], wet_from=units(2.2), strength_in=Fraction(40), strength_out=Fraction(8))
    assert none_fault((beds[0], uneven), ASKED, {"failed_bed": 1}) != ""
    for share, proven in ((Fraction(1, 20), True), (Fraction(9, 10), False)):
        middle = replace(ASKED, contact=share)
        assert (none_fault((beds[0], uneven), middle, {"failed_bed": 1}) == "") == proven
