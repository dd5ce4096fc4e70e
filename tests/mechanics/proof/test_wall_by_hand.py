"""More of what the checker rebuilds by hand: what keeps the rain off, plaster, known days, and refusals."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from certificates import SMALL

from shellcheck_earth.mechanics.proof import rebuild as rebuilding
from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import Question, rebuild

MADE: Any = getattr(rebuilding, "WallCases", None) or rebuilding._Builder
"""What makes the cases of one design, under its present or its earlier name."""


def builder(text: str = SMALL) -> Any:
    return MADE(read(text))


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ('springing_above_floor = "0.202 m"', "whole number"),
        ('profile = "measured"\nmeasured_from = 1\ninner_radii = ["0.6 m", "0.5 m"]', "up to the crown opening"),
    ],
)
def test_what_cannot_be_built_is_refused(said: str, word: str) -> None:
    with pytest.raises(RefusedError, match=word):
        rebuild(read(SMALL.replace("[dome]\n", f"[dome]\n{said}\n")))


@pytest.mark.parametrize(
    ("outside", "site", "counts"),
    [
        ("30 mm", "", False),
        ("0 mm", "", True),
        ("0 mm", "roof = true\n", False),
        ("30 mm", "left_unprotected = true\n", True),
    ],
)
def test_what_keeps_the_rain_off(outside: str, site: str, counts: bool) -> None:
    text = SMALL.replace('"30 mm"', f'"{outside}"').replace("[site]\n", f"[site]\n{site}")
    case = next(one for one in rebuild(read(text)).cases if one.id == "soaked-through")
    assert case.counts == counts


def test_plaster_by_hand() -> None:
    """30 mm outside, 20 mm inside at 18 kN/m3: both faces, the ledge, under the step-in; none where it steps out."""
    made = builder()
    for index, course in enumerate(made.courses):
        r, a, h = (float(Fraction(v, UNIT)) for v in (course.outer, course.inner, course.height))
        bands = [(a - 0.02, a, h)] if index else []  # the buried course ends at the floor, which is the springing
        bands += [(r, r + 0.03, h if index else 0.15)]  # and reaches 0.15 m over the ground
        above = made.courses[index + 1].outer / UNIT if index + 1 < len(made.courses) else a
        bands += [(above, r, 0.03)]
        if index > 1 and made.courses[index - 1].inner > course.inner:  # the step-in of course 1 lies on the floor
            bands += [(a, made.courses[index - 1].inner / UNIT, 0.02)]
        weight = sum(18.0 * height * (q * q - p * p) / 2 for p, q, height in bands)
        moment = sum(18.0 * height * (q**3 - p**3) / 3 for p, q, height in bands)
        found = made.plaster(index)
        assert float(Fraction(found[0], 6 << 160)) == pytest.approx(weight, rel=1e-8)
        assert float(Fraction(found[1], 6 << 200)) == pytest.approx(moment, rel=1e-8)
    # The floor 0.04 m under the top of the second course: plaster goes no deeper, and not under its step-in.
    made.floor = made.courses[1].z_top - int(0.04 * UNIT)
    a, r, above = made.courses[1].inner / UNIT, made.courses[1].outer / UNIT, made.courses[2].outer / UNIT
    bands = [(r, r + 0.03, made.courses[1].height / UNIT), (above, r, 0.03), (a - 0.02, a, 0.04)]
    weight = sum(18.0 * height * (q * q - p * p) / 2 for p, q, height in bands)
    assert float(Fraction(made.plaster(1)[0], 6 << 160)) == pytest.approx(weight, rel=1e-8)
    radii = '["0.6 m", "0.62 m", "0.45 m", "0.2 m"]'
    said = f'[dome]\nprofile = "measured"\nmeasured_from = 1\ninner_radii = {radii}\n'
    out = MADE(read(SMALL.replace("[dome]\n", said)))
    face = 18.0 * 0.2 * ((0.97 + 0.03) ** 2 - 0.97**2 + 0.62**2 - 0.6**2) / 2
    ledge = 18.0 * 0.03 * (0.97**2 - 0.8**2) / 2
    assert float(Fraction(out.plaster(2)[0], 6 << 160)) == pytest.approx(face + ledge, rel=1e-8)


def test_known_days_come_first_and_the_pace_goes_on_from_the_last() -> None:
    """Laid on days 0, 2 and 5; then three a day, the last known course among the first three."""
    design = read(SMALL)
    known = {"building.laid": 2, "building.laid_on": (Fraction(0), Fraction(2), Fraction(5))}
    made = MADE(replace(design, values={**design.values, **known}))
    assert [made.laying_day(index) for index in range(7)] == [0, 2, 5, 5, 5, 6, 6]
    assert [builder().laying_day(index) for index in range(7)] == [0, 0, 0, 1, 1, 1, 2]


def test_a_day_of_a_course_to_come_is_refused() -> None:
    """SMALL has one buried course: with course 2 laid three courses stand."""
    design = read(SMALL)
    days = (Fraction(0),) * 4
    for laid in (None, 2):
        with pytest.raises(RefusedError, match="days of courses that stand"):
            MADE(replace(design, values={**design.values, "building.laid": laid, "building.laid_on": days}))
    MADE(replace(design, values={**design.values, "building.laid": 3, "building.laid_on": days}))


def test_fill_without_stabiliser_has_all_its_wet_strength_when_it_is_young() -> None:
    plain = SMALL.replace('stabiliser = "cement"\n', "").replace('value = "1 MPa"', 'value = "0.1 MPa"')
    made = MADE(read(plain))
    assert made.rained(3, 5, 0, False).strength_wet == 100
    young = builder().rained(3, 5, 0, False)
    assert young.strength_wet == 300  # 0.3 of 1 MPa


def test_a_question_asks_everything_as_it_is_unless_it_says_otherwise() -> None:
    shares = {key: value for key, value in vars(Question("x")).items() if key not in ("name", "rows")}
    assert {key for key, value in shares.items() if value is None} == {"base_friction", "base_stress", "spread"}
    assert {value for value in shares.values() if value is not None} == {1} and not Question("x").rows


def test_beds_are_less_than_the_width_by_both_roundings() -> None:
    """0.35 m wide, rounded by 0.02 m twice: a step of 0.30 m leaves a bed, one of 0.32 m does not."""

    def stepped(top: str) -> str:
        said = f'profile = "measured"\nmeasured_from = 1\ninner_radii = ["0.6 m", "0.42 m", "{top}"]'
        return SMALL.replace("[dome]\n", f"[dome]\n{said}\n")

    assert rebuild(read(stepped("0.12 m"))).cases
    with pytest.raises(RefusedError, match="overlap"):
        rebuild(read(stepped("0.10 m")))
