"""What the checker rebuilds of earth against the finished wall, by hand; and what it refuses of it."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from certificates import SMALL, certified, sealed

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.values import default, fixed
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.earth import FACTOR, soil_of
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.proof import earth as checker_earth
from shellcheck_earth.mechanics.proof.backfill import COMPACTED, sine
from shellcheck_earth.mechanics.proof.check import digest as digest_of
from shellcheck_earth.mechanics.proof.check import recheck_texts
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import Case, rebuild

BERM = """[backfill]
height = "0.5 m"
unit_weight = { value = "18 kN/m3", source = "measured" }
friction_angle = { low = "30 deg", high = "30 deg", source = "measured" }
compacted = false
surcharge = "0 kPa"
drained = { value = true, reason = "gravel and a pipe that ends in the open" }
"""
WITH = SMALL + BERM
SILENT = SMALL + '[backfill]\nheight = "0.5 m"\n'


def cases(text: str) -> dict[str, Case]:
    return {case.id: case for case in rebuild(read(text)).cases}


def carried(case: Case, rows: bool = False) -> dict[int, tuple[float, float, float]]:
    """By course: weight [kN], moment [kN m], thrust [kN] of a radian."""
    units = 6 << 160, 6 << 200, 6 << 160
    found = {bed.number: bed.carried_rows if rows else bed.carried for bed in case.beds}
    return {
        number: tuple(float(Fraction(one, unit)) for one, unit in zip(three, units, strict=True))  # type: ignore[misc]
        for number, three in found.items()
        if any(three)
    }


def test_the_sine_to_many_digits() -> None:
    for degrees in (0.0, 5.0, 20.0, 30.0, 45.0, 50.0):
        angle = Fraction(math.radians(degrees))
        assert float(sine(angle)) == pytest.approx(math.sin(math.radians(degrees)), abs=1e-15)
    half = sine(Fraction("3.14159265358979323846264338327950288419716939937510582097494459") / 6)
    assert abs(half - Fraction(1, 2)) < Fraction(1, 10**44)


def test_both_know_the_same_numbers() -> None:
    """What a table of fixed numbers says the checker has as its own."""
    assert (
        float(COMPACTED) == fixed("backfill.compacted_coefficient") and fixed("backfill.levels") == checker_earth.LEVELS
    )
    assert float(default("backfill.factor").value) == FACTOR == 1.6


def test_the_pressure_of_each_course_by_hand() -> None:
    """Courses 0.2 m high on ground 0.15 m under the springing: earth from 0.35 m down to the lowest bed at -0.2 m.

    At its most K = 0.5: 9 kN/m3 times depth on the upright face and its plaster; at its least K = 1/3, on the bags.
    """
    found = cases(WITH)
    beds = {bed.number: bed for bed in found["finished-dry"].beds}
    handed = carried(found["finished-dry-earth-1"])
    assert set(handed) == {0, 1, 2}
    for number, (a, b) in {0: (0.55, 0.35), 1: (0.35, 0.15), 2: (0.15, 0.0)}.items():
        outer = model_outer(number) + 0.03
        force = outer * 9.0 * (a * a - b * b) / 2
        level = 0.35 - (a**3 - b**3) / 3 * 2 / (a * a - b * b)
        weight, moment, thrust = handed[number]
        assert weight == 0.0 and thrust == pytest.approx(-force)
        assert moment == pytest.approx(-force * level)
        assert beds[number].carried == (0, 0, 0)
    least = carried(found["finished-dry-earth-3"])
    assert least[1][2] == pytest.approx(-model_outer(1) * 6.0 * (0.35**2 - 0.15**2) / 2)


def model_outer(number: int) -> float:
    dome = build_model(parse_design(WITH)).dome
    return dome.course(number).outer_radius


def test_the_earth_on_ledges_by_hand() -> None:
    found = cases(WITH)
    bare, heavy = (carried(found[f"finished-dry-earth-{k}"]) for k in (1, 2))
    inner, outer = model_outer(2), model_outer(1) + 0.03
    by_hand = 18.0 * 0.15 * (outer**2 - inner**2) / 2
    assert heavy[1][0] == pytest.approx(by_hand) and bare[1][0] == 0.0 and heavy[2][0] == 0.0
    radius = 2 / 3 * (outer**3 - inner**3) / (outer**2 - inner**2)
    assert heavy[1][1] - bare[1][1] == pytest.approx(by_hand * radius)
    assert model_outer(0) > model_outer(1)
    assert heavy[0][0] == pytest.approx(18.0 * 0.35 * ((model_outer(0) + 0.03) ** 2 - model_outer(1) ** 2) / 2)


@pytest.mark.parametrize("text", [WITH, SILENT, SMALL.replace("[dome]", '[dome]\nfloor_above_ground = "-0.3 m"')])
def test_program_and_checker_agree_course_by_course(text: str) -> None:
    """Independently written: the same cases, and in each the same weight, moment and thrust of every course."""
    model, found = build_model(parse_design(text)), cases(text)
    assert [case.id for case in model.cases] == list(found)
    assert any("-earth-8" in name for name in found)
    for case in model.cases:
        handed = carried(found[case.id])
        for state in case.states:
            assert handed.get(state.number, (0.0, 0.0, 0.0)) == pytest.approx(state.carried(), abs=1e-9)


def test_silence_asks_for_the_heaviest_tamped_and_loaded_earth() -> None:
    d, soil = read(SILENT), soil_of(parse_design(SILENT))
    assert not d["earth"].drained
    for key in ("lightest", "heaviest", "least", "most", "surcharge"):
        assert float(getattr(d["earth"], key)) == pytest.approx(getattr(soil, key))
    assert (d["earth"].heaviest, d["earth"].most, d["earth"].surcharge) == (22, 1, 5)


def test_what_is_stated_but_not_measured_is_widened() -> None:
    """To the ends of the usual range; measured it stands, and wider than usual it stays."""
    stated = BERM.replace('{ value = "18 kN/m3", source = "measured" }', '"18 kN/m3"')
    loose = stated.replace(', source = "measured" }', " }")
    assert (read(WITH)["earth"].lightest, read(WITH)["earth"].heaviest) == (18, 18)
    for text in (stated, loose):
        found = read(SMALL + text)["earth"]
        assert (found.lightest, found.heaviest) == (13, 22)
    assert float(read(SMALL + loose)["earth"].most) == pytest.approx(1 - math.sin(math.radians(20.0)))
    wide = stated.replace('"18 kN/m3"', '{ low = "11 kN/m3", high = "24 kN/m3" }')
    assert (read(SMALL + wide)["earth"].lightest, read(SMALL + wide)["earth"].heaviest) == (11, 24)


def test_wet_earth_soaks_the_courses_behind_it() -> None:
    """Courses that begin up to 0.35 m, the surface, weigh more with the base soaked; without earth those in the
    ground, at -0.15 m; and those that begin lower over either than splash reaches, 0.30 m where nothing is said."""
    none, little = (("[site]\n", f'[site]\nsplash_height = "{height}"\n') for height in ("0 m", "0.25 m"))
    for text, soaked in (
        (WITH.replace(*none), {0, 1, 2}),
        (SMALL.replace(*none), {0}),
        (WITH.replace(*little), {0, 1, 2, 3}),  # course 4 begins at 0.60 m, to the micron
        (WITH, {0, 1, 2, 3, 4}),
        (SMALL, {0, 1}),
    ):
        found = cases(text)
        dry, wet = ({bed.number: bed.dead[0] for bed in found[name].beds} for name in ("finished-dry", "base-soaked"))
        assert {number for number in dry if wet[number] > dry[number]} == soaked


def test_the_loaded_earth_by_hand() -> None:
    """States 4 to 6 have 5 kPa on 22 kN/m3, 7 to 9 on 13 kN/m3; the levels below have none."""
    found = cases(SILENT)
    for first, weight, load in ((1, 22.0, 0.0), (4, 22.0, 5.0), (7, 13.0, 5.0)):
        thrust = carried(found[f"finished-damp-earth-{first}"])[2][2]
        assert thrust == pytest.approx(-(model_outer(2) + 0.03) * (weight * 0.15**2 / 2 + load * 0.15))
    surface = 0.35 - 0.55 / 4
    lower = carried(found["finished-damp-earth-10"])
    assert lower[1][2] == pytest.approx(-(model_outer(1) + 0.03) * 22.0 * (surface**2 - (surface - 0.2) ** 2) / 2)
    assert 2 in lower and 3 not in lower


def test_rows_of_factors_by_hand() -> None:
    """EN 1990 has permanent loads at 1.35 and at 0.9: earth at its most counts 1.6 times, at its least 0.9 times."""
    found = cases(WITH + '[criteria]\nset = "EN 1990"\n')
    for state, thrust, weight in ((1, 1.6, None), (2, 1.6, 1.6), (3, 0.9, 1.6)):
        case = found[f"finished-damp-earth-{state}"]
        plain, rows = carried(case)[1], carried(case, rows=True)[1]
        assert rows[2] / plain[2] == pytest.approx(thrust)
        assert weight is None or rows[0] / plain[0] == pytest.approx(weight)
    gentle = cases(WITH + '[criteria]\nset = "ASCE 7 allowable"\n')["finished-damp-earth-1"]
    most = max(row["permanent"] for row in read(WITH + '[criteria]\nset = "ASCE 7 allowable"\n').rows)
    assert most == 1 and carried(gentle)[1] == carried(gentle, rows=True)[1]


# -- certificates ----------------------------------------------------------------------------------------------------


def resealed(data: dict[str, Any]) -> bytes:
    data["digest"] = digest_of({key: value for key, value in data.items() if key != "digest"})
    return sealed(data)


def test_a_whole_certificate_meets() -> None:
    report = recheck_texts(sealed(certified(WITH, "meets")), WITH.encode())
    assert report.verdict == "meets", report.lines[-1]
    assert any("finished-dry-earth-3" in line for line in report.lines)


@pytest.mark.parametrize("state", [1, 2, 3, 10])
def test_a_corner_left_out_is_refused(state: int) -> None:
    data = certified(WITH, "meets")
    name = f"finished-damp-earth-{state}"
    assert name in [case["case"] for case in data["cases"]]
    data["cases"] = [case for case in data["cases"] if case["case"] != name]
    report = recheck_texts(resealed(data), WITH.encode())
    assert report.verdict == "cannot say" and name in report.lines[-1]


def test_the_certificate_of_the_bare_dome_is_refused() -> None:
    """Earth left out of the certificate, and of the design that it holds."""
    data = certified(SMALL, "meets")
    report = recheck_texts(sealed(data), WITH.encode())
    assert report.verdict == "cannot say"
    data = {**certified(WITH, "meets"), "cases": certified(SMALL, "meets")["cases"]}
    report = recheck_texts(resealed(data), WITH.encode())
    assert report.verdict == "cannot say" and "earth" in report.lines[-1]


def _instead(text: str, other: str) -> str:
    """What is said of a certificate of a design with the lines of another, whose earth presses otherwise."""
    data, lent = certified(text, "cannot say"), {case["case"]: case for case in certified(other, "cannot say")["cases"]}
    for case in data["cases"]:
        theirs = lent.get(case["case"], case)["lines"]
        if case["lines"] and theirs:
            case["lines"] = theirs
    return recheck_texts(resealed(data), text.encode()).lines[-1]


def test_the_proofs_of_a_smaller_pressure_are_refused() -> None:
    """Lines drawn for a looser, a lighter, a lower or no earth are none for the earth there is."""
    deep = WITH.replace('"0.5 m"', '"1.1 m"').replace('"18 kN/m3"', '"22 kN/m3"').replace(
        "compacted = false", "compacted = true").replace('"0 kPa"', '"50 kPa"')  # fmt: skip
    assert "does not hold" not in _instead(deep, deep)
    for other in (
        deep.replace("compacted = true", "compacted = false"),
        deep.replace('"50 kPa"', '"0.001 kPa"'),
        deep.replace('"1.1 m"', '"0.4 m"'),
        deep.replace('"22 kN/m3"', '"11 kN/m3"'),
    ):
        assert other != deep and "does not hold" in _instead(deep, other)


# -- what speaks against a "meets", and what is refused --------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (WITH, None),
        (SILENT, "backfill.drained: water may press"),
        (WITH.replace(BERM[BERM.index("drained") :], "drained = false\n"), "backfill.drained: water may press"),
        (SMALL.replace("[dome]", '[dome]\nfloor_above_ground = "-1 mm"'), "backfill.drained: water may press"),
        (WITH.replace('earthquake = { value = "none", reason = "no shaking, invented example" }', "earthquake = 0.1"),
         "site.earthquake: it shakes the earth"),
        (WITH + '[[opening]]\nkind = "vent"\nbearing = "0 deg"\nsill = "0.1 m"\nwidth = "0.2 m"\nheight = "0.3 m"\n'
         'head = "lintel"\n', "opening.height: earth reaches what carries the opening"),
    ],
)  # fmt: skip
def test_what_is_not_computed_speaks_against_a_meets(text: str, said: str | None) -> None:
    found = doubts(read(text))
    assert found == () if said is None else any(one.startswith(said) for one in found)
    if said is not None:
        report = recheck_texts(sealed({**certified(text, "cannot say"), "verdict": "meets"}), text.encode())
        assert report.verdict == "cannot say"


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ('"0.5 m"', '"0 m"', "backfill.height"),
        ('"0.5 m"', '"5.5 m"', "backfill.height"),
        ('"0.5 m"', '"1.5 m"', "backfill.height"),
        ('"18 kN/m3"', '"27 kN/m3"', "backfill.unit_weight"),
        ('low = "30 deg"', 'low = "31 deg"', "backfill.friction_angle"),
        ('low = "30 deg", ', "", "backfill.friction_angle"),
        ("compacted = false", 'compacted = "no"', "backfill.compacted"),
        ('"0 kPa"', '"-1 kPa"', "backfill.surcharge"),
        ("value = true, reason", "value = false, reason", "backfill.drained"),
        ('"gravel and a pipe that ends in the open"', '"dry"', "backfill.drained"),
        ("compacted", "compact", "backfill.compact"),
        ("compacted", "water_table", "backfill.water_table"),
        ("[backfill]", "[[backfill]]", "backfill"),
    ],
)
def test_both_readers_refuse(old: str, new: str, path: str) -> None:
    """One clear message, at the path; the checker by itself too."""
    text = SMALL + BERM.replace(old, new)
    assert text != WITH
    with pytest.raises(InputError) as caught:
        parse_design(text)
    assert [problem.path for problem in caught.value.problems] == [path]
    with pytest.raises(RefusedError, match="backfill"):
        rebuild(read(text))
