"""The ledger of measured tests: complete rows or none, and comparisons that can fail."""

from __future__ import annotations

import math
import re
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from shellcheck_earth.basics.measured import ARCH, CUBES, KINDS, PULL, RING, WIRE, make_measured, measured
from validation.measured import checks, compare, ring_joints
from validation.run import results_text

TAKEN: dict[str, Any] = {"date": date(2027, 3, 1), "by": "the orchard workshop"}
ARCH_ROW: dict[str, Any] = TAKEN | {
    "kind": ARCH,
    "given": {"blocks": 7, "radius": "10 m", "thickness": "1.5 m", "embrace": "157.5 deg", "friction": 0.7},
    "readings": ["20.1 deg", "20.5 deg", "20.4 deg"],
}
RING_ROW: dict[str, Any] = TAKEN | {
    "kind": RING,
    "given": {
        "inside_radius": "600 mm",
        "bag_width": "150 mm",
        "bag_height": "60 mm",
        "step": "30 mm",
        "friction": 0.5,
    },
    "readings": [9, 10, 9],
}
PULL_ROW: dict[str, Any] = TAKEN | {
    "kind": PULL,
    "given": {"pressure": "10 kPa", "bed_length": "1 m", "bed_width": "400 mm", "bed": "woven", "state": "dry"},
    "readings": ["1.9 kN", "1.8 kN", "1.85 kN"],
}
WIRE_ROW: dict[str, Any] = TAKEN | {
    "kind": WIRE,
    "given": {"length": "250 mm", "pressure": "10 kPa", "breaking_load": "4.2 kN"},
    "readings": ["0.9 kN", "0.95 kN", "1.0 kN"],
}
CUBE_ROW: dict[str, Any] = TAKEN | {
    "kind": CUBES,
    "given": {"height_over_width": 1.0, "moisture": "2 %", "state": "dry"},
    "readings": ["1.1 MPa", "1.2 MPa", "1.3 MPa"],
}
ROWS = (ARCH_ROW, RING_ROW, PULL_ROW, WIRE_ROW, CUBE_ROW)


def test_the_ledger_says_how_much_was_measured() -> None:
    assert len(checks()) == len(measured())
    assert f"Validated by measurement: {len(measured())}." in results_text([])


def test_there_is_a_row_of_every_kind_here() -> None:
    assert {row["kind"] for row in ROWS} == set(KINDS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["kind"])
def test_a_complete_row_becomes_a_comparison(row: dict[str, Any]) -> None:
    one = compare(make_measured("x", row))
    assert math.isfinite(one.computed)
    assert one.scatter > 0


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["kind"])
def test_a_row_that_leaves_something_out_is_refused(row: dict[str, Any]) -> None:
    for name in row["given"]:
        short = {key: value for key, value in row["given"].items() if key != name}
        with pytest.raises(ValueError, match=f"given leaves out {name}"):
            make_measured("x", row | {"given": short})


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"kind": "guess"}, "no kind 'guess'"),
        ({"readings": ["20 deg", "21 deg"]}, "2 readings: at least 3"),
        ({"readings": ["20 deg", "21 deg", "21 kN"]}, "a reading"),
        ({"readings": ["20 deg", "21 deg", "0 deg"]}, "more than nothing"),
        ({"date": "2027-03-01"}, "no date"),
        ({"by": ""}, "nobody is named"),
        ({"given": ARCH_ROW["given"] | {"colour": 1}}, "has colour, which this kind does not know"),
    ],
)
def test_a_row_that_says_too_little_or_nonsense_is_refused(change: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        make_measured("x", ARCH_ROW | change)


def test_a_word_that_a_kind_does_not_know_is_refused() -> None:
    with pytest.raises(ValueError, match="bed is one of woven, wired, mesh, not 'silk'"):
        make_measured("x", PULL_ROW | {"given": PULL_ROW["given"] | {"bed": "silk"}})


def test_mean_and_spread_by_hand() -> None:
    one = make_measured("x", CUBE_ROW)
    assert one.mean == pytest.approx(1200.0)
    assert one.spread == pytest.approx(100.0)


def test_an_arch_is_predicted_by_the_tilt_whose_tangent_is_its_sideways_share() -> None:
    one = compare(make_measured("x", ARCH_ROW))
    assert math.tan(one.computed) == pytest.approx(0.370, abs=1e-3)  # 0.370 g (Oppenheim 1992, recalled)
    assert one.agrees
    assert not compare(make_measured("x", ARCH_ROW | {"readings": ["25.0 deg", "25.1 deg", "25.2 deg"]})).agrees


def test_the_scatter_widens_what_an_arch_may_be_off() -> None:
    apart = ["18 deg", "22 deg", "26 deg"]  # mean 22, standard error 2.3 degrees: 20.3 lies within 1 + 4.6
    assert compare(make_measured("x", ARCH_ROW | {"readings": apart})).agrees
    assert not compare(make_measured("x", ARCH_ROW | {"readings": ["21.9 deg", "22 deg", "22.1 deg"]})).agrees


def test_rings_one_upon_another_stand_by_hand() -> None:
    row = make_measured("x", RING_ROW)
    two = ring_joints(row, 2)
    # The upper ring: 0.57 to 0.72 m, 0.06 m high: 0.06 (0.72^2 - 0.57^2)/2 kN/rad; its bed 0.60 to 0.72 m.
    assert two.vertical[0] == pytest.approx(0.06 * (0.72**2 - 0.57**2) / 2)
    assert two.inner[0].tolist() == pytest.approx([0.60, 0.06])
    assert two.outer[0].tolist() == pytest.approx([0.72, 0.06])
    assert two.outer[1].tolist() == pytest.approx([0.75, 0.0])
    assert math.isnan(two.ring_level[1])


def test_a_ring_that_steps_past_its_bed_does_not_stand() -> None:
    far = RING_ROW | {"given": RING_ROW["given"] | {"step": "160 mm"}}
    assert compare(make_measured("x", far)).computed == 1.0


def test_a_pull_is_held_against_the_friction_in_use() -> None:
    one = compare(make_measured("x", PULL_ROW))
    assert one.computed == 0.40
    # 0.475, 0.45, 0.4625 of the weight: k_n 3.37 of three tests, on logarithms, leaves 0.422.
    assert one.counted == pytest.approx(0.4223, abs=5e-4)
    assert one.agrees
    assert not compare(make_measured("x", PULL_ROW | {"readings": ["1.9 kN", "1.5 kN", "1.2 kN"]})).agrees


def test_a_wire_half_as_long_as_its_anchorage_is_held_against_half() -> None:
    one = compare(make_measured("x", WIRE_ROW))
    assert one.computed == pytest.approx(0.3 * 4.2 * 0.5)
    assert one.agrees == (one.counted >= one.computed)


def test_cubes_count_less_than_slender_samples() -> None:
    one = compare(make_measured("x", CUBE_ROW))
    assert one.computed == 500.0
    assert one.counted < 0.7 * 1200.0
    assert one.scatter == pytest.approx(70.0)


def test_the_rows_that_the_protocol_shows_load_and_there_is_one_of_every_kind() -> None:
    text = (Path(__file__).parents[1] / "reports" / "guide" / "bench-protocol.md").read_text(encoding="utf-8")
    shown = {}
    for block in re.findall(r"```toml\n(.*?)```", text, flags=re.DOTALL):
        shown |= {key: make_measured(key, row) for key, row in tomllib.loads(block).items()}
    assert {one.kind for one in shown.values()} == set(KINDS)
    ring = compare(next(one for one in shown.values() if one.kind == RING))
    assert ring.computed == 4.0  # as the protocol says of a friction of 0.5 and steps of 60 mm
