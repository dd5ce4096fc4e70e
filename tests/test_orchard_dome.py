"""The example of a dome that is being built, day by day: what each day's sheet is answered, as its folder holds it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.scatter import read_scatter
from shellcheck_earth.mechanics.proof.check import recheck
from shellcheck_earth.studies.survey.sheet import read_sheet

ORCHARD = Path(__file__).parents[1] / "reports" / "orchard-dome"
STORY = {"day-2": ("go on", 0), "day-4": ("correct", 0), "day-6": ("correct", 1), "day-7": ("go on", 0)}


@pytest.mark.parametrize("day", STORY)
def test_each_day_has_its_answer_and_its_proofs(day: str) -> None:
    answer, taken_down = STORY[day]
    data = json.loads((ORCHARD / day / "survey.json").read_text(encoding="utf-8"))
    assert (data["answer"], data["taken_down"]) == (answer, taken_down)
    assert data["now"]["verdict"] == data["corrected"]["verdict"] == "meets"
    for name in ("now", "corrected"):
        folder = ORCHARD / day
        assert recheck(folder / f"certificate-{name}.json", folder / f"as-built-{name}.toml").verdict == "meets"
    readings = read_sheet(ORCHARD / f"{day}.csv", build_dome(read_design(ORCHARD / "plan.toml")))
    assert len(data["courses"]) == len(readings.courses)
    assert read_scatter(ORCHARD / day / "crew-scatter.toml")["compass_reading"].spread > 0.0


def test_the_bad_ring_would_fall_short_and_its_correction_meets() -> None:
    data = json.loads((ORCHARD / "day-6" / "survey.json").read_text(encoding="utf-8"))
    assert data["courses"][-1]["off_curve_m"] > 0.1 and data["plan_goes_on"]["verdict"] == "falls short"
    assert data["reason"] == "plan falls short" and data["behind"]["factor"] < data["behind"]["required"]
    again = json.loads((ORCHARD / "day-7" / "survey.json").read_text(encoding="utf-8"))
    ring = next(one for one in again["courses"] if one["number"] == 16)
    assert abs(ring["off_curve_m"]) < 0.01
