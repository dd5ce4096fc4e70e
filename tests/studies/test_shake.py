"""A dome on a moving ground: records and options that are refused, what is said, film and files."""

from __future__ import annotations

import csv
import io
import json
import math
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from layouts import smallest_on_a_phone
from samples import sturdy

from shellcheck_earth.basics.errors import InputError, UndecidedError
from shellcheck_earth.mechanics.moving.body import GRAVITY
from shellcheck_earth.studies.shake import study
from shellcheck_earth.studies.shake.ground import Told, lean, pulse, record
from shellcheck_earth.studies.shake.study import Shaking, shake_design
from shellcheck_earth.views.cli.main import run
from shellcheck_earth.views.export.shake import shake_csv, shake_files, shake_json
from shellcheck_earth.views.figures.shake import enlarged, shake_svg
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.language import words
from shellcheck_earth.views.text.shake import NO_VERDICT, found_words, shake_words

FEW = 6
"""Cuts a ring: enough for sentences and files, far too few for an answer."""


@cache
def moved(peak: float) -> Shaking:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(study, "COARSEST", FEW)
        patch.setattr(study, "AFTER", 0.1)
        patch.setattr(study, "STEPS_A_PULSE", 20)
        patch.setattr(study, "LONGEST_STEP", 0.02)
        return shake_design(sturdy(openings=()), pulse("sine", peak, 0.4, math.pi / 2), math.pi / 2)


def test_a_gentle_motion_leaves_the_dome_where_it_is() -> None:
    told = moved(0.05)
    assert told.found.how == "ended"
    assert told.left < 1e-3
    assert "still stood" in found_words(told)
    assert "safe" not in " ".join(shake_words(told)).lower()


def test_a_violent_motion_stops_the_run_and_says_where() -> None:
    told = moved(2.5)
    assert told.found.how == "limit"
    said = found_words(told)
    assert "There the run stops" in said
    assert "taken as coming down" in said
    assert f"course {told.course(told.found.reached[1])}" in said  # type: ignore[index]


def test_blocks_lag_behind_the_ground() -> None:
    """The ground first goes to the east; seen from it the blocks first go to the west."""
    told = moved(2.5)
    way = told.found.centre[-1] - told.found.centre[0]
    assert way[np.abs(way[:, 0]).argmax(), 0] < 0


@pytest.mark.parametrize("peak", [0.05, 2.5])
def test_files_carry_cautions_numbers_and_the_digest(peak: float) -> None:
    told = moved(peak)
    assert shake_words(told)[0] == f"Caution. {ENGINEER}"
    data = json.loads(shake_json(told))
    assert next(iter(data)) == "format"
    assert data["no_verdict"] == NO_VERDICT
    assert data["ended"] == told.found.how
    assert data["largest_displacement_m"] == pytest.approx(told.largest[0], rel=1e-5)
    rows = list(csv.DictReader(io.StringIO(shake_csv(told))))
    assert len(rows) == len(told.found.times)
    assert float(rows[-1]["largest_mm"]) == pytest.approx(1000 * told.found.most[-1], abs=1e-3)
    assert max(float(v) for k, v in rows[-1].items() if k.startswith("course_")) == float(rows[-1]["largest_mm"])
    assert rows[0]["design_sha256"] == data["design_sha256"]
    assert set(shake_files(told, words("en"))) == {"shake.json", "shake.csv", "shake.svg"}


@pytest.mark.parametrize("peak", [0.05, 2.5])
def test_the_film_moves_what_moved_and_nothing_else(peak: float) -> None:
    told = moved(peak)
    root = ET.fromstring(shake_svg(told))
    assert smallest_on_a_phone(shake_svg(told)) >= 8.0
    tag = "{http://www.w3.org/2000/svg}"
    faces = root.findall(f"{tag}polygon")
    moving = [face for face in faces if face.find(f"{tag}animate") is not None]
    assert len(faces) > len(told.layout.blocks)
    assert moving if peak > 1 else enlarged(told) >= 1
    for face in moving[:20]:
        animate = face.find(f"{tag}animate")
        assert animate is not None
        times = [float(t) for t in animate.attrib["keyTimes"].split(";")]
        assert times[0] == 0.0
        assert times[-1] == 1.0
        assert times == sorted(times)
        assert len(animate.attrib["values"].split(";")) == len(times)
    assert "never a verdict" in "".join(root.itertext())
    assert "<animate" not in shake_svg(told, -1)


def test_what_does_not_rest_and_what_finds_no_answer_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import replace

    told = moved(0.05)
    restless = replace(told, found=replace(told.found, how="not at rest"))
    assert "do not come to rest under their own weight" in found_words(restless)
    lost = replace(told.found, how="no answer")
    monkeypatch.setattr(study, "COARSEST", FEW)
    monkeypatch.setattr(study, "shake", lambda *_, **__: lost)
    with pytest.raises(UndecidedError, match="no answer"):
        shake_design(sturdy(openings=()), pulse("sine", 0.1, 0.4, 0.0), 0.0)


def test_a_state_that_the_design_has_not_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(study.STATES, "soaked", "of no design")
    with pytest.raises(InputError, match="--state"):
        shake_design(sturdy(openings=()), lean(0.1, 1.0, 0.0), 0.0, "soaked")


def test_pulses_and_leans() -> None:
    east = pulse("sine", 0.2, 0.5, math.pi / 2)
    assert east.motion.at(0.125) == pytest.approx([0.2 * GRAVITY, 0.0, 0.0], abs=1e-3)
    assert east.motion.at(0.375) == pytest.approx([-0.2 * GRAVITY, 0.0, 0.0], abs=1e-3)
    assert east.motion.at(0.6) == pytest.approx([0.0, 0.0, 0.0])
    half = pulse("half sine", 0.2, 0.5, 0.0)
    assert half.seconds == 0.25
    assert half.motion.at(0.125) == pytest.approx([0.0, 0.2 * GRAVITY, 0.0], abs=1e-3)
    slow = lean(0.3, 2.0, 0.0)
    assert slow.motion.at(1.0) == pytest.approx([0.0, -0.15 * GRAVITY, 0.0])
    assert slow.motion.at(3.0) == pytest.approx([0.0, -0.3 * GRAVITY, 0.0])


def written(tmp_path: Path, text: str) -> Told:
    file = tmp_path / "motion.csv"
    file.write_text(text, encoding="utf-8")
    return record(file, math.pi / 2)


def test_records_in_both_units_and_along_every_axis(tmp_path: Path) -> None:
    told = written(tmp_path, "# invented\ntime_s,along_g,across_g,up_g\n1,0,0,0\n1.5,0.2,0.1,-0.05\n2,0,0,0\n")
    assert told.seconds == 1.0
    assert told.peak == pytest.approx(0.2)
    # Towards the east: along is x, to its right is -y.
    assert told.motion.at(0.5) == pytest.approx(GRAVITY * np.array([0.2, -0.1, -0.05]))
    metric = written(tmp_path, "time_s,acceleration_m_s2\n0,0\n0.5,2\n1,0\n")
    assert metric.motion.at(0.25) == pytest.approx([1.0, 0.0, 0.0])


BAD = {
    "": "nothing",
    "t,a\n0,0\n1,1\n": "head",
    "time_s\n0\n1\n": "one column for each direction",
    "time_s,sideways_g\n0,0\n1,1\n": "columns such as",
    "time_s,along_g,acceleration_g\n0,0,0\n1,1,1\n": "one column for each direction",
    "time_s,acceleration_g\n0,0\n": "2 to",
    "time_s,acceleration_g\n0,0\n1,much\n": "line 3",
    "time_s,acceleration_g\n0,0\n1,nan\n": "line 3",
    "time_s,acceleration_g\n0,0\n1,0.1,7\n": "line 3",
    "time_s,acceleration_g\n0,0\n0,0.1\n": "grow",
    "time_s,acceleration_g\n0,0\n500,0.1\n": "at most 120 s",
    "time_s,acceleration_g\n0,0\n1,9.81\n": "the unit that of the head",
    "time_s,acceleration_g\n0,0\n1,0\n": "a peak over 0",
}


@pytest.mark.parametrize("text", sorted(BAD))
def test_bad_records_are_refused_in_one_message(text: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        written(tmp_path, text)
    assert BAD[text] in str(refused.value)


@pytest.fixture
def design(tmp_path: Path) -> Path:
    file = tmp_path / "dome.toml"
    file.write_text(sturdy(openings=()).source_text, encoding="utf-8")
    return file


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ([], "--peak or --record: expected one of the two, found neither"),
        (["--peak", "0.2", "--record", "x.csv"], "found both"),
        (["--peak", "much"], "--peak: expected a share"),
        (["--peak", "9"], "--peak: expected"),
        (["--peak", "nan"], "--peak: expected"),
        (["--peak", "0.2", "--period", "1 h"], "--period: expected 0.05 s to 20 s"),
        (["--peak", "0.2", "--towards", "north"], "--towards: expected an angle"),
        (["--record", "nothing.csv"], "nothing.csv"),
    ],
)
def test_bad_options_are_refused(
    options: list[str], said: str, design: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["shake", str(design), *options]) == 2
    assert said in capsys.readouterr().err


def test_the_command_writes_its_files_and_says_it_is_no_verdict(
    design: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, value in (("COARSEST", FEW), ("AFTER", 0.02), ("STEPS_A_PULSE", 10), ("LONGEST_STEP", 0.02)):
        monkeypatch.setattr(study, name, value)
    out = tmp_path / "out"
    assert run(["shake", str(design), "--peak", "10 %", "--period", "0.3 s", "--out", str(out)]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "gives no verdict" in said
    assert "licensed structural engineer" in said
    assert sorted(path.name for path in out.iterdir()) == ["shake.csv", "shake.json", "shake.svg"]
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    assert run(["shake", str(design), "--peak", "10 %", "--period", "0.3 s", "--out", str(out)]) == 0
    assert before == {path.name: path.read_bytes() for path in out.iterdir()}
