"""The checker against hand-made certificates; every number changed for the worse must make it refuse."""

from __future__ import annotations

import copy

import pytest

from shellcheck_earth.mechanics.proof.check import (
    LINE,
    NO_LINE,
    NOT_ESTABLISHED,
    certificate_json,
    check_certificate,
    check_file,
    digest,
)


def sealed(data):
    data = {key: value for key, value in data.items() if key != "digest"}
    return data | {"digest": digest(data)}


def two_courses(**forces):
    """Lower bed 2.5-2.9 m, mean weight at 2.45 m: by hand a ring of 2.5 kN at 0.4 m just brings it onto the bed."""
    lune = {
        "number": [2.0, 1.0],
        "z_bottom": [0.25, 0.0],
        "z_top": [0.5, 0.25],
        "weight": [10.0, 10.0],
        "moment": [22.0, 27.0],
        "bed_inner": [2.0, 2.5],
        "bed_outer": [2.4, 2.9],
        "crush_inner": ["inf", "inf"],
        "crush_outer": ["inf", "inf"],
        "wet_from": [2.4, 2.9],
        "friction": [0.5, 0.5],
        "cohesion": [0.0, 0.0],
        "ring_strength": ["inf", 0.0],
        "ring_depth": [0.4, 0.4],
        "wire": [1.0, 0.0],
        "ring_low": [0.25, 0.0],
        "ring_high": [0.5, 0.25],
    }
    line = {"ring": ["3", "0"], "ring_moment": ["3/2", "0"], "wire": ["0", "0"]} | forces
    return sealed({"format": 1, "design": "Store", "case": "dry", "kind": LINE, "lune": lune, "forces": line})


def beside_its_bed():
    data = two_courses()
    data["lune"] = {key: [column[1]] for key, column in data["lune"].items()} | {"moment": [24.0]}
    data["multipliers"] = {"inner_edge": ["1"], "outer_edge": ["0"], "slip_outward": ["0"], "slip_inward": ["0"]}
    del data["forces"]
    return sealed(data | {"kind": NO_LINE})


def test_good_certificates():
    # Lower bed: x V = 49 + 1.5 = 50.5, bed from 50: 0.5 kN m of 20 kN x 0.4 m = 1/16.
    assert check_certificate(two_courses()).smallest_slack == pytest.approx(1 / 16, abs=1e-12)
    assert check_certificate(beside_its_bed()).kind == NO_LINE


@pytest.mark.parametrize(
    "forces",
    [
        {"ring": ["6", "0"], "ring_moment": ["5/2", "0"]},  # slides: 6 > 0.5 x 10
        {"ring_moment": ["2", "0"]},  # acts above the ring
        {"ring": ["0", "0"], "ring_moment": ["0", "0"]},  # not on the lower bed
        {"wire": ["2", "0"]},
        {"wire": ["-1", "0"]},
        {"ring": ["3", "1"]},
        {"ring": ["-3", "0"]},
        {"ring": ["1/0", "0"]},
        {"ring": ["1e999999999", "0"]},
        {"ring": [True, "0"]},
        {"ring": ["3"]},
    ],
)
def test_bad_forces(forces):
    finding = check_certificate(two_courses(**forces))
    assert finding.kind == NOT_ESTABLISHED and finding.reasons


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("moment", [22.0, 26.0]),
        ("weight", [10.0, 11.0]),
        ("friction", [0.2, 0.5]),
        ("crush_inner", ["inf", 5.0]),
        ("wire", [1.0, 1.0]),
        ("ring_strength", ["inf", 1.0]),
        ("bed_inner", [2.0, 2.6]),
        ("ring_strength", [1.0, 0.0]),
        ("weight", [-10.0, 10.0]),
        ("weight", ["inf", 10.0]),
    ],
)
def test_changed_data_even_if_resealed(key, value):
    data = copy.deepcopy(two_courses())
    data["lune"][key] = value
    assert "digest" in check_certificate(data).reasons[0]
    assert check_certificate(sealed(data)).kind == NOT_ESTABLISHED


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("inner_edge", "-1"),
        ("inner_edge", "0"),
        ("outer_edge", "1"),
        ("slip_outward", "10"),
        ("slip_inward", "-1"),
    ],
)
def test_changed_multipliers(name, value):
    data = beside_its_bed()
    data["multipliers"][name] = [value]
    assert check_certificate(sealed(data)).kind == NOT_ESTABLISHED


def test_bands_must_give_the_weight():
    data = two_courses()
    data["bands"] = [[], []]
    assert "weight" in check_certificate(sealed(data)).reasons[0]


def test_files(tmp_path):
    path = tmp_path / "certificate.json"
    path.write_text(certificate_json(two_courses()))
    assert check_file(path).kind == LINE
    path.write_text(certificate_json(two_courses())[:-40])
    assert check_file(path).kind == NOT_ESTABLISHED
    path.write_bytes(b"\xff\x00")
    assert check_file(path).kind == NOT_ESTABLISHED
    assert check_file(tmp_path).kind == check_file(tmp_path / "none").kind == NOT_ESTABLISHED
    for junk in (None, [], {}, 3, {"format": 1}, two_courses() | {"kind": []}, float("nan")):
        assert check_certificate(junk).kind == NOT_ESTABLISHED
