"""Why one course matters: held against the margins of the same dome with that course drawn elsewhere."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from survey_sheets import sheet

from shellcheck_earth.__main__ import main
from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.write import design_document
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.safety.worst import worst_margins
from shellcheck_earth.studies.survey.matters import course_matters, whole_wall
from shellcheck_earth.studies.survey.plans import as_built
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.studies.survey.ways import corrected

STORE = Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml"


def run(*tokens: str) -> int:
    with pytest.raises(SystemExit) as ended:
        main(list(tokens))
    return int(ended.value.code or 0)


def test_a_course_that_is_moved_has_the_margins_of_that_dome() -> None:
    store = read_design(STORE)
    wall = as_built(design_document(store), store, sheet_survey(sheet(store, 12, out=0.02), build_dome(store)))
    dome = whole_wall(wall, corrected(wall))
    found = course_matters(wall, dome, 12)
    assert found.off_curve == pytest.approx(0.02, abs=1e-3)
    at = 12 - wall.rings[0].number
    radii = list(dome.dome.inner_radii)
    radii[at] += 0.010
    margins = worst_margins(build_model(replace(dome, dome=replace(dome.dome, inner_radii=tuple(radii)), text="")))
    expected = min(margins, key=lambda margin: margin.share)
    out = next(one for one in found.moved if one.how == "out")
    assert out.least is not None and out.least.factor == expected.factor and out.least.check == expected.check
    assert len({one.least.factor for one in found.moved if one.least}) > 1  # the moves do not all say the same
    with pytest.raises(InputError, match="a course that was read"):
        course_matters(wall, dome, 16)


def test_the_command_says_it_and_writes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    readings = tmp_path / "r.csv"
    readings.write_text(sheet(read_design(STORE), 12, out=0.02))
    assert run("explain", str(STORE), "--readings", str(readings), "--course", "12") == 0
    said = capsys.readouterr().out
    assert "Course 12: inner radius" in said and "outside the design curve" in said and "Caution." in said
    assert run("explain", str(STORE), "--course", "12") == 2
    assert "--readings SHEET beside it" in capsys.readouterr().err
