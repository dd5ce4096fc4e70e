"""What the checker rebuilds of loads handed into a ring, by hand; and what it refuses of them."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from certificates import CAP, SMALL, certified, sealed

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.mechanics.proof.block_cases import block_demands, block_faults
from shellcheck_earth.mechanics.proof.check import digest as digest_of
from shellcheck_earth.mechanics.proof.check import recheck_texts
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import Case, rebuild

WITH = SMALL + CAP


def cases(text: str) -> dict[str, Case]:
    return {case.id: case for case in rebuild(read(text)).cases}


def carried(case: Case) -> dict[int, tuple[float, float, float]]:
    """By course: weight [kN], moment [kN m], thrust [kN] of a radian."""
    units = 6 << 160, 6 << 200, 6 << 160
    return {
        bed.number: tuple(float(Fraction(one, unit)) for one, unit in zip(bed.carried, units, strict=True))  # type: ignore[misc]
        for bed in case.beds
        if any(bed.carried)
    }


def test_each_state_of_the_ranges_and_none() -> None:
    found = cases(WITH)
    bare = [name for name in cases(SMALL) if name in ("finished-dry", "finished-damp", "wire-gone", "base-soaked")]
    for name in (*bare, "soaked-through"):
        assert not carried(found[name])
        least, most = (carried(found[f"{name}-carrying-{k}"]) for k in (1, 2))
        # the fifth course has its top at 1.0 m; its inner radius is that of its bed's other end
        assert set(least) == set(most) == {5}
        assert least[5][0] == pytest.approx(0.8 / (2 * math.pi)) == most[5][0]
        assert least[5][2] == pytest.approx(-0.2 / (2 * math.pi)) and most[5][2] == pytest.approx(0.3 / (2 * math.pi))
        assert most[5][1] - least[5][1] == pytest.approx(0.5 / (2 * math.pi) * 1.0)
    inner = {bed.number: bed for bed in found["finished-dry"].beds}[5].outer / 2**40 + 0.02 - 0.35
    place = carried(found["finished-dry-carrying-2"])[5]
    assert place[1] == pytest.approx(place[0] * (inner + 0.2) + place[2] * 1.0)
    assert not any("carrying" in name for name in found if name.startswith(("stage", "day")))


def test_ranges_of_weight_and_place_make_all_corners() -> None:
    corners = WITH.replace('"0.8 kN"', '{ low = "0.5 kN", high = "0.8 kN" }').replace(
        '"0.2 m"\n', '{ low = "0.1 m", high = "0.2 m" }\n'
    )
    found = cases(corners)
    states = [tuple(carried(found[f"finished-dry-carrying-{k}"])[5]) for k in range(1, 9)]
    assert len(set(states)) == 8 and "finished-dry-carrying-9" not in found


def test_rows_of_factors_by_hand() -> None:
    """The set has permanent loads at 1.35 and at 0.9: outward thrust at 1.35 with weight at 0.9 is a state of it."""
    found = cases(WITH + '[criteria]\nset = "EN 1990"\n')
    factors = []
    for k in range(1, 5):
        bed = next(bed for bed in found[f"finished-damp-carrying-{k}"].beds if any(bed.carried))
        factors.append(tuple(round(bed.carried_rows[at] / bed.carried[at], 6) for at in (0, 2)))
    # weight least or most, thrust inward or outward: each way of the thrust works against the dome somewhere
    assert factors == [(0.9, 1.35), (0.9, 1.35), (1.35, 1.35), (1.35, 1.35)]
    assert "finished-damp-carrying-5" not in found


def proven() -> dict[str, Any]:
    return certified(WITH, "meets")


def resealed(data: dict[str, Any]) -> bytes:
    data["digest"] = digest_of({key: value for key, value in data.items() if key != "digest"})
    return sealed(data)


def test_a_whole_certificate_meets() -> None:
    report = recheck_texts(sealed(proven()), WITH.encode())
    assert report.verdict == "meets", report.lines[-1]
    assert any("finished-dry-carrying-2" in line for line in report.lines)


def test_a_case_left_out_is_refused() -> None:
    data = proven()
    data["cases"] = [case for case in data["cases"] if case["case"] != "finished-dry-carrying-1"]
    report = recheck_texts(resealed(data), WITH.encode())
    assert report.verdict == "cannot say" and "finished-dry-carrying-1" in report.lines[-1]


def test_the_proof_of_another_weight_is_refused() -> None:
    """Forces that are a line without the load, or with a lighter one, are none with it."""
    heavy = WITH.replace('"0.8 kN"', '"12 kN"').replace('high = "0.3 kN"', 'high = "4 kN"')
    there, asked = certified(SMALL, "meets"), certified(WITH, "meets")
    lines = {case["case"]: case for case in there["cases"]}
    data = certified(heavy, "falls short")
    data["verdict"] = "meets"
    for case in data["cases"]:
        case["lines"] = lines[case["case"].partition("-carrying")[0]]["lines"]
        case["none"] = []
    data["trials"] = asked["trials"]
    report = recheck_texts(resealed(data), heavy.encode())
    assert report.verdict == "cannot say" and "does not hold" in report.lines[-1]


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ('"1.0 m"', '"1.4 m"', "ring_load[1].height"),
        ('"1.0 m"', '"-0.5 m"', "ring_load[1].height"),
        ('from_inner_face = "0.2 m"', 'from_inner_face = "0.36 m"', "ring_load[1].from_inner_face"),
        ('"0.8 kN"', '"-30 kN"', "ring_load[1].weight"),
        ('"0.8 kN"', '"600 kN"', "ring_load[1].weight"),
        ('low = "-0.2 kN"', 'low = "0.4 kN"', "ring_load[1].thrust"),
        ('low = "-0.2 kN", ', "", "ring_load[1].thrust"),
        ('low = "-0.2 kN", ', 'low = "-0.2 kN", lowest = 3, ', "ring_load[1].thrust"),
        ('"-0.2 kN"', '{ value = "-0.2 kN", source = "measured" }', "ring_load[1].thrust"),
        ('"0.3 kN"', '{ value = "0.3 kN", source = "measured" }', "ring_load[1].thrust"),
        ('name = "Skylight"\n', "", "ring_load[1].name"),
        ('name = "Skylight"', 'name = "Skylight"\nbearing = "90 deg"', "ring_load[1].bearing"),
        ("[[ring_load]]", CAP + "[[ring_load]]", "ring_load[2].name"),
        ("[[ring_load]]", "".join(CAP.replace("Sky", str(k)) for k in range(3)) + "[[ring_load]]", "ring_load"),
    ],
)
def test_both_readers_refuse(old: str, new: str, path: str) -> None:
    """One clear message, at the path; the checker by itself too."""
    text = SMALL + CAP.replace(old, new)
    with pytest.raises(InputError) as caught:
        parse_design(text)
    assert [problem.path for problem in caught.value.problems] == [path]
    with pytest.raises(RefusedError, match="ring_load"):
        rebuild(read(text))


def test_block_cases_are_demanded_with_it() -> None:
    windy = WITH.replace(
        'wind_pressure = { value = "none", reason = "walled orchard, invented example" }', 'wind_pressure = "0.5 kPa"'
    )
    for text in (WITH, windy):
        assert not any("ring_load" in one for one in doubts(read(text)))
    crewed = windy.replace('scaffold_above = "0 m"\n', "")
    asked = [one.name for one in block_demands(read(crewed))]
    assert "three-d-wind-carrying-1, wind-000-still-in" in asked and block_demands(read(WITH)) == ()
    assert block_faults(read(crewed), [], wanted=True)[-1].startswith("block case three-d-worker-carrying-2-joint")
