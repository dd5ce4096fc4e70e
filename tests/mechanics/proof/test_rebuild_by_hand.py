"""What the checker asks of a design, number by number, from the design file's text and a pencil alone."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from certificates import SHELTER, SMALL

from shellcheck_earth.mechanics.proof.courses import UNIT, courses_of, grid
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import Question, WallCases, rebuild
from shellcheck_earth.mechanics.proof.states import Bed, State

CREW = """[criteria]
set = "EN 1990"
"""
FACTORS = """[criteria]
bed_friction = 1.6
geometric_factor = 2.2
strength = 3.1
strength_while_building = 2.3
wire_tension = 1.7
overall_reserve = 1.4
base_sliding = 1.9
ground_bearing = 1.2
standing_without_wire = 1.1
"""
"""Each another number, so that none can stand for another."""


def asked(text: str) -> dict[str, dict[str, Question]]:
    return {case.id: {one.name: one for one in case.questions} for case in rebuild(read(text)).cases}


def divided(name: str, by: str, *shares: str) -> Question:
    return Question(name, **{share: 1 / Fraction(by) for share in shares})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("case", "strength", "factor", "wet"),
    [
        ("finished-dry", "strength", "3.1", False),
        ("finished-damp", "strength", "3.1", False),
        ("base-soaked", "strength", "3.1", True),
        ("stage-03", "strength while building", "2.3", False),
        ("stage-03-worker", "strength while building", "2.3", False),
        ("day-002-stage-05-rain", "strength while building", "2.3", True),
        ("day-002-stage-05-rain-light", "strength while building", "2.3", True),
    ],
)
def test_every_question_at_its_own_factor(case: str, strength: str, factor: str, wet: bool) -> None:
    friction, bearing = ("0.50", "200") if wet else ("0.60", "250")  # the ground of the shelter, wet and dry
    expected = [
        Question("thrust line"),
        divided("bed friction", "1.6", "friction", "cohesion"),
        divided("geometric factor", "2.2", "contact"),
        divided(strength, factor, "strength"),
        divided("wire tension", "1.7", "wire"),
        divided("overall reserve", "1.4", "friction", "cohesion", "strength", "wire", "width"),
        Question("base sliding", base_friction=Fraction(friction) / Fraction("1.9")),
        Question("ground bearing", base_stress=Fraction(bearing) / Fraction("1.2")),
    ]
    assert list(asked(SMALL + FACTORS)[case].values()) == expected


def test_without_wire_and_under_cover_less_is_asked() -> None:
    found = asked(SMALL + FACTORS)
    reserve = divided("standing without wire", "1.1", "friction", "cohesion", "strength", "wire", "width")
    assert list(found["wire-gone"].values()) == [Question("thrust line"), reserve]
    assert list(found["soaked-through"].values()) == [Question("thrust line")]
    bare = SMALL.replace("[site]\n", "[site]\nleft_unprotected = true\n")
    assert len(asked(bare)["soaked-through"]) == 8


COMBINED = {  # permanent, imposed, friction and cohesion: EN 1997-1 table A.3 and A.4, EN 1990 table A1.2(A)
    "DA1-C1 unfavourable": ("1.35", "1.5", "1"),
    "DA1-C1 favourable": ("1", "1.5", "1"),
    "DA1-C2": ("1", "1.3", "1.25"),
    "EQU unfavourable": ("1.1", "1.5", "1.25"),
    "EQU favourable": ("0.9", "1.5", "1.25"),
}
"""With a crew; the bare dome is asked the same with nothing to multiply, and the rows of snow and of wind are the same
of it."""


@pytest.mark.parametrize(("tested", "building", "lived_in"), [(True, "1.5", "2.5"), (False, "2", "3")])
def test_all_partial_factors_of_a_row_at_once(tested: bool, building: str, lived_in: str) -> None:
    text = SMALL + '[criteria]\nset = "EN 1990"\n'
    if not tested:
        text = text.replace(
            'strength_as_placed = { value = "0.5 MPa", source = "measured" }', 'strength_as_placed = "0.5 MPa"'
        )
    found = asked(text)
    of_case = {"finished-damp": lived_in, "stage-02": building, "stage-02-worker": building,
               "day-001-stage-02-rain": building}  # fmt: skip
    for case, strength in of_case.items():
        rows = {name: one for name, one in found[case].items() if name.startswith("combined")}
        assert set(rows) == {f"combined factors, {name}" for name in COMBINED}
        for name, (permanent, imposed, soil) in COMBINED.items():
            assert rows[f"combined factors, {name}"] == Question(
                f"combined factors, {name}", friction=1 / Fraction(soil), cohesion=1 / Fraction(soil),
                strength=1 / Fraction(strength), wire=1 / Fraction("1.25"), dead=Fraction(permanent),
                imposed=Fraction(imposed if case.endswith("worker") else 1), rows=True,
            )  # fmt: skip


def test_snow_is_multiplied_by_its_own_column() -> None:
    """1.4 D and the rows without snow are not asked with it; of 1.6 S and 0.5 S beside the same weight the greater."""
    snow = 'snow = { value = "none", reason = "no snow lies in this valley" }'
    assert snow in SMALL
    text = SMALL.replace(snow, 'snow = "0.5 kPa"') + '[criteria]\nset = "ASCE 7 strength"\n'
    found = {
        case: {name.partition(", ")[2]: one for name, one in questions.items() if name.startswith("combined")}
        for case, questions in asked(text).items()
    }
    assert set(found["finished-dry"]) == {"1.4 D", "1.2 D + 1.6 L or R", "0.9 D + 1.0 W"}
    assert {name: (one.dead, one.imposed) for name, one in found["finished-snow"].items()} == {
        "1.2 D + 1.6 S": (Fraction("1.2"), Fraction("1.6"))
    }
    assert {name: (one.dead, one.imposed) for name, one in found["stage-02-worker"].items()} == {
        "1.2 D + 1.6 L or R": (Fraction("1.2"), Fraction("1.6"))
    }


def test_the_list_of_cases() -> None:
    """1.2 m inside, the fixed compass 0.35 m out, an opening of 0.3 m: sqrt(1.55^2 - 1.1^2)/0.2 = 5.46, five courses
    above the springing and a buried one; three a day, the buried one first.
    """
    names = ["finished-dry", "finished-damp", "soaked-through", "wire-gone", "base-soaked"]
    names += [f"stage-{n:02d}{who}" for n in range(1, 6) for who in ("", "-worker")]
    names += [f"day-00{d}-stage-0{n}-rain{how}" for d, n in ((1, 2), (2, 5)) for how in ("", "-light")]
    cases = rebuild(read(SMALL)).cases
    assert [case.id for case in cases] == names
    assert [case.id for case in cases if not case.counts] == ["soaked-through"]
    assert [len(case.beds) for case in cases] == [6] * 5 + [n for k in range(2, 7) for n in (k, k)] + [3, 3, 6, 6]
    # Two courses a day and a day of rest after six: 0 1 | 2 3 | 4 5 are still the first days.
    slow = SMALL.replace("[building]\n", "[building]\ncourses_per_day = 0.5\nrest_days = 2\n")
    days = [case.id for case in rebuild(read(slow)).cases if case.id.endswith("light")]
    assert days == [f"day-{d:03d}-stage-0{n}-rain-light" for d, n in ((3, 1), (5, 2), (9, 3), (11, 4), (13, 5))]


@pytest.mark.parametrize(
    ("change", "gone", "there"),
    [
        (('worker = "1.5 kN"', 'worker = "0 kN"'), "stage-02-worker", "stage-02"),
        (("[beds]\n", "[beds]\nwire_strands = 0\n"), "wire-gone", "base-soaked"),
        (
            ('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "1 kPa"'),
            "none",
            "finished-snow",
        ),
    ],
)
def test_cases_that_a_design_has_or_has_not(change: tuple[str, str], gone: str, there: str) -> None:
    text = SMALL.replace(*change)
    if "strands" in change[1]:
        text = text.replace('wire_breaking_load = { value = "3.0 kN", source = "measured" }\n', "")
    names = [case.id for case in rebuild(read(text)).cases]
    assert text != SMALL and gone not in names and there in names
    assert ("finished-damp-snow" in names) == ("finished-snow" in names)


# -- beds ------------------------------------------------------------------------------------------------------------

WORSE = {
    "strength": Fraction(300), "friction": Fraction(45, 100), "strength_wet": Fraction(20),
    "friction_wet": Fraction(2, 10),
}  # fmt: skip


def builder(more: str = "") -> WallCases:
    return WallCases(read(SMALL.replace("[beds]\n", f"[beds]\n{more}")))


def state(outer: int, **changes: object) -> State:
    plain = State((1, 1), (0, 0), Fraction(400), Fraction(1, 2), Fraction(50), Fraction(3, 10), outer, outer, False)
    return replace(plain, **changes)  # type: ignore[arg-type]


TESTED = (
    'cohesion = { value = "4 kPa", source = "measured" }\ncohesion_wet = { value = "1 kPa", source = "measured" }\n'
)


@pytest.mark.parametrize("upper_is_worse", [True, False])
def test_the_worse_of_two_courses_decides_the_bed_between_them(upper_is_worse: bool) -> None:
    made = builder(TESTED)
    lower, upper = made.courses[0], made.courses[1]
    a, b = upper.bed_inner, upper.bed_outer
    wet = b - UNIT // 10
    worse = WORSE | {"wet_from": wet}
    states = [state(lower.outer), state(upper.outer)]
    states[upper_is_worse] = replace(states[upper_is_worse], **worse)  # type: ignore[arg-type]
    bed = made.beds(states)[0]
    assert (bed.number, bed.inner, bed.outer, bed.wet_from) == (upper.number, a, b, wet)
    assert (bed.strength_in, bed.strength_out) == (300, 20)
    share = Fraction(b * b - wet * wet, b * b - a * a)
    assert bed.friction == Fraction(45, 100) * (1 - share) + Fraction(2, 10) * share
    A, W, B = (Fraction(r, UNIT) for r in (a, wet, b))
    assert bed.cohesion == 4 * (W**2 - A**2) / 2 + (B**2 - W**2) / 2
    # The ring is the upper course's own; only a wetted section takes from its depth.
    assert bed.ring_strength == (300 if upper_is_worse else 400)
    assert bed.ring_depth == upper.outer - upper.inner


@pytest.mark.parametrize("soaked", [0, 1])
def test_a_bed_with_a_soaked_course_has_its_wet_cohesion_throughout(soaked: int) -> None:
    made = builder(TESTED)
    states = [state(course.outer) for course in made.courses[:2]]
    states[soaked] = replace(states[soaked], soaked=True)
    bed = made.beds(states)[0]
    A, B = (Fraction(r, UNIT) for r in (bed.inner, bed.outer))
    assert bed.cohesion == (B**2 - A**2) / 2


def test_a_bed_that_is_no_weaker_wet_keeps_its_friction() -> None:
    made = builder()
    course = made.courses[1]
    states = [state(one.outer, friction_wet=Fraction(6, 10), wet_from=one.inner) for one in made.courses[:2]]
    bed: Bed = made.beds(states)[0]
    assert bed.wet_from == course.bed_inner and bed.friction == Fraction(1, 2)


def test_wire_its_bond_and_the_lowest_course() -> None:
    """Two strands of 3 kN, half of it counted unless said otherwise; a bond of 0.3 kN a metre and strand."""
    made = builder(
        'wire_strands = 2\nwire_counted_share = 0.4\nwire_bond = { value = "0.3 kN/m", source = "measured" }\n'
    )
    top, low = made.beds([state(course.outer) for course in made.courses[:2]])
    assert (top.wire, low.wire) == (Fraction(24, 10), 0)
    assert top.bond == Fraction(6, 10) * Fraction(top.inner + top.outer, 2 * UNIT)
    assert (low.ring_strength, low.ring_depth) == (0, 0)
    assert builder().beds([state(course.outer) for course in made.courses[:2]])[0].bond is None


@pytest.mark.parametrize(("friction", "counted"), [("0.61", Fraction(60, 100)), ("0.59", Fraction(59, 100))])
def test_without_wire_the_bare_friction_and_no_cohesion(friction: str, counted: Fraction) -> None:
    made = builder(TESTED)
    states = [state(course.outer, friction=Fraction(friction)) for course in made.courses[:2]]
    bed = made.beds(states, wireless=True)[0]
    assert (bed.wire, bed.friction, bed.cohesion) == (0, counted, 0)
    assert made.beds(states)[0].wire > 0 and made.beds(states)[0].friction == Fraction(friction)


@pytest.mark.parametrize("section", [0.05, 0.2, 0.35, 0.5])
def test_a_ring_is_as_deep_as_its_section_is_dry(section: float) -> None:
    made = builder()
    upper = made.courses[1]
    dry_to = upper.inner + round(section * UNIT)
    bed = made.beds([state(made.courses[0].outer), state(upper.outer, ring_to=dry_to)])[0]
    assert bed.ring_depth == min(dry_to, upper.outer) - upper.inner
    assert made.beds([state(made.courses[0].outer), state(upper.outer, ring_to=upper.inner - 5)])[0].ring_depth == 0


@pytest.mark.parametrize("depth", ["0", "0.06", "0.199", "0.201", "0.34", "0.9", None])
@pytest.mark.parametrize("heavy", [True, False])
def test_rain_as_deep_as_its_front(depth: str | None, heavy: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bed is wet for L, and for the ledge once L is as much as a course is high; the section for a share of it."""
    made = builder()
    monkeypatch.setattr(made, "front", lambda *_: None if depth is None else Fraction(depth))
    course, above = made.courses[3], made.courses[4]
    found = made.rained(3, 5, 0, heavy)
    width, height, ledge = (float(Fraction(v, UNIT)) for v in (course.width, course.height, course.outer - above.outer))
    L = width if depth is None else float(depth)
    bed = min(L + (ledge if height <= L else 0.0), width)
    section = min(L + ledge * min(1.0, L / height), width)
    r = course.outer / UNIT
    assert found.wet_from / UNIT == pytest.approx(r - bed, abs=1e-11)
    assert found.ring_to / UNIT == pytest.approx(r - section, abs=1e-11)
    # As placed at 9 %, soaked at 1000/1800 - 1000/2650 = 17.82 %; by weight only in the heavy case.
    a, w = r - width, r - section if heavy else r
    gamma, soaked = (1800 * (1 + m) * 9.80665e-3 for m in (0.09, 1 / 1.8 - 1 / 2.65))
    weight = height * (gamma * (w * w - a * a) + soaked * (r * r - w * w)) / 2
    moment = height * (gamma * (w**3 - a**3) + soaked * (r**3 - w**3)) / 3
    assert float(Fraction(found.dead[0], 6 << 160)) == pytest.approx(weight, rel=1e-9)
    assert float(Fraction(found.dead[1], 6 << 200)) == pytest.approx(moment, rel=1e-9)


def test_rain_catches_on_the_ledge_and_half_the_face(monkeypatch: pytest.MonkeyPatch) -> None:
    """10 mm/h for 2 h until it is covered; the top course catches on its whole width. Nothing below the ground."""
    made, caught = WallCases(read(SMALL.replace("buried_courses = 1", "buried_courses = 2"))), []
    monkeypatch.setattr(made, "front", lambda *told: caught.append(told[2:]) or Fraction(0))
    for index in (4, 6, 0):
        made.rained(index, 6, 0, True)
    ledge = Fraction(made.courses[4].outer - made.courses[5].outer, UNIT)
    h, width = (Fraction(v, UNIT) for v in (made.courses[4].height, made.courses[6].width))
    rain = Fraction(1, 100)
    assert caught == [(rain * (one + h / 2) / (one + h), Fraction(2)) for one in (ledge, width)]


def test_the_front_of_the_rain(monkeypatch: pytest.MonkeyPatch) -> None:
    """Water taken up over the room left in the voids up to 90 % of saturation; soaked fill has no front."""
    made = builder()
    fill = made.courses[1].fill
    n = 1 - Fraction(1800, 2650)
    told = []
    monkeypatch.setattr(
        "shellcheck_earth.mechanics.proof.states.infiltrated", lambda *all_of: told.append(all_of) or Fraction(3, 100)
    )
    start = Fraction(9, 100) / fill["full"]
    assert made.front(fill, Fraction(9, 100), Fraction(1, 200), Fraction(2)) == Fraction(3, 100) / (
        n * (Fraction(9, 10) - start)
    )
    k, psi = fill["hydraulic_conductivity"], fill["suction_head"]
    assert told == [(k, psi * n * (1 - start), Fraction(1, 200), Fraction(2))]
    assert made.front(fill, fill["full"] * Fraction(9, 10), Fraction(1, 200), Fraction(2)) is None
    assert made.front(fill, fill["full"] * Fraction(89, 100), Fraction(1, 200), Fraction(2)) is not None
    for catch, hours in ((0, 2), (Fraction(1, 200), 0)):
        assert made.front(fill, Fraction(9, 100), Fraction(catch), Fraction(hours)) == 0


# -- what cannot be built --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ("[dome]\n", '[dome]\ncrown_opening = "1.2 m"\n', "crown opening"),
        ('"20 mm", source', '"175 mm", source', "beds of some width"),
        ("[dome]\n", '[dome]\nspringing_above_floor = "0.31 m"\n', "whole number"),
        ("[dome]\n", '[dome]\nfixed_compass_pivot = "-0.6 m"\n', "pivot"),
        ("[dome]\n", '[dome]\nprofile = "measured"\nmeasured_from = 1\ninner_radii = ["0.6 m", "0.2 m"]\n', "overlap"),
        ("[dome]\n", '[dome]\ncrown_opening = "1.19 m"\n', "1 to 300 courses"),
        ('"1.2 m"', '"29 m"', "at most 300 courses"),
    ],
)
def test_domes_that_cannot_be_built_are_refused(old: str, new: str, word: str) -> None:
    text = SMALL.replace(old, new)
    assert text != SMALL
    for there, height in (("29 m", "40 mm"), ("1.19 m", "300 mm")):
        text = text.replace('"200 mm"', f'"{height}"') if there in new else text
    with pytest.raises(RefusedError, match=word):
        rebuild(read(text))
    assert rebuild(read(SHELTER)).cases


def test_a_rounding_wider_than_a_course_is_high_is_no_fault() -> None:
    assert len(courses_of(read(SMALL.replace('"20 mm", source', '"105 mm", source')))) == 6


def test_up_to_three_hundred_measured_courses_above_the_springing() -> None:
    def measured(count: int) -> str:
        radii = ", ".join([*(['"0.6 m"'] * (count - 2)), '"0.35 m"', '"0.1 m"'])
        return SMALL.replace("[dome]\n", f'[dome]\nprofile = "measured"\nmeasured_from = 1\ninner_radii = [{radii}]\n')

    assert len(courses_of(read(measured(300)))) == 301
    with pytest.raises(RefusedError, match="1 to 300 courses"):
        courses_of(read(measured(301)))


@pytest.mark.parametrize(("height", "courses"), [("242.94 mm", 4), ("242.40 mm", 5)])
def test_half_a_course_more_is_a_course(height: str, courses: int) -> None:
    """R = 1.55 m, a = 0.95 m, an opening of 0.3 m: sqrt(1.55^2 - 1.1^2) = 1.09202 m are 4.4950 and 4.5050 courses."""
    assert len(courses_of(read(SMALL.replace("200 mm", height)))) == courses + 1


def test_lengths_are_rounded_to_the_nearest_unit() -> None:
    assert [grid(Fraction(k, 4 * UNIT)) for k in (1, 2, 3, 5, -1, -3)] == [0, 1, 1, 1, 0, -1]


def test_a_crew_lighter_than_a_rows_least_is_raised_to_it() -> None:
    """1 kN/m2 on the first ring, its radius at 0.1 m up sqrt(1.55^2 - 0.1^2) - 0.95 m: 1.5 times that over 0.1 kN, and
    1.5 times a crew that is heavier."""
    inner = (1.55**2 - 0.1**2) ** 0.5 - 0.95
    area = ((inner + 0.35) ** 2 - inner**2) / 2
    for said, stated in (("0.1 kN", 0.1), ("1.5 kN", 1.5)):
        text = SMALL.replace('worker = "1.5 kN"', f'worker = "{said}"') + CREW
        found = asked(text)["stage-01-worker"]["combined factors, DA1-C1 unfavourable"].imposed
        assert float(found) == pytest.approx(1.5 * max(1.0, area / stated), rel=1e-9)
