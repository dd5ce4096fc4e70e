"""The commands as a user meets them: outputs, exit codes, one clear message for what is wrong."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from certificates import SHELTER

from shellcheck_earth.__main__ import main

REPORTS = Path(__file__).parents[2] / "reports"
STORE = REPORTS / "tool-store" / "design.toml"
SECTIONS = {"section.svg", "section-phone.svg"}
NAMES = {"report.pdf", "assessment.json", "courses.csv", "courses.xlsx", "certificate.json", *SECTIONS}
OF_BLOCKS = {"block-cases", "mechanism.glb"}


def run(*tokens: object) -> int:
    with pytest.raises(SystemExit) as done:
        main([str(token) for token in tokens])
    return int(done.value.code or 0)


def test_check_writes_everything(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", STORE, "--out", tmp_path / "out") == 0
    said = capsys.readouterr().out
    assert "MEETS WHAT IS REQUIRED" in said and "Caution." in said
    assert len(said.splitlines()) <= 50
    assert max(len(line) for line in said.splitlines() if str(tmp_path) not in line) <= 100
    assert {path.name for path in (tmp_path / "out").iterdir()} == NAMES | OF_BLOCKS
    data = json.loads((tmp_path / "out" / "assessment.json").read_text())
    assert data["verdict"] == "meets" and data["cases"][0]["id"] == "finished-dry"
    again = (tmp_path / "out" / "report.pdf").read_bytes()
    assert run("check", STORE, "--out", tmp_path / "out") == 0
    assert (tmp_path / "out" / "report.pdf").read_bytes() == again


def test_a_design_that_meets_is_proven_from_its_file_to_its_verdict(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    design, out = tmp_path / "shelter.toml", tmp_path / "out"
    design.write_bytes(SHELTER.replace("\n", "\r\n").encode())  # the bytes of the file count, whatever its line ends
    assert run("check", design, "--out", out) == 0
    assert {path.name for path in out.iterdir()} == NAMES
    assert run("recheck", out / "certificate.json", design) == 0
    assert "verdict   meets" in capsys.readouterr().out
    weaker = SHELTER.replace('"3 MPa"', '"0.3 MPa"').replace('"1 MPa"', '"0.3 MPa"').replace('"0.5 MPa"', '"0.3 MPa"')
    design.write_text(weaker)
    assert run("recheck", out / "certificate.json", design) == 2
    assert "Refused" in capsys.readouterr().out


def test_recheck_ends_as_check_did(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    design, out = REPORTS / "garden-classroom" / "design.toml", tmp_path / "out"
    assert run("check", design, "--out", out) == 1
    assert run("recheck", out / "certificate.json", design) == 1
    assert "falls short: proven" in capsys.readouterr().out
    assert run("recheck", out / "certificate.json") == 2
    assert "the design file that the certificate is about" in capsys.readouterr().err
    assert run("recheck", out / "certificate.json", STORE) == 2
    assert "another design file" in capsys.readouterr().out


def test_a_design_that_falls_short_ends_in_1(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", REPORTS / "garden-classroom" / "design.toml") == 1
    assert "FALLS SHORT" in capsys.readouterr().out


@pytest.mark.parametrize(
    "tokens",
    [
        ("check", "nowhere.toml"),
        ("check",),
        ("check", "/"),
        ("frobnicate",),
        ("recheck", "nowhere.json"),
        ("soil",),
        ("soil", "nowhere.toml"),
        ("check", STORE, "--out", STORE),
        ("new", STORE),
    ],
)
def test_what_is_wrong_ends_in_2_without_a_traceback(
    tokens: tuple[object, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*tokens) == 2
    said = capsys.readouterr()
    assert "Traceback" not in said.err + said.out
    assert said.err or said.out


def test_a_file_of_another_kind_is_not_overwritten(tmp_path: Path) -> None:
    (tmp_path / "report.pdf").write_text("my diary")
    assert run("check", STORE, "--out", tmp_path) == 2
    assert {path.name for path in tmp_path.iterdir()} == {"report.pdf"}
    assert (tmp_path / "report.pdf").read_text() == "my diary"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_an_unwritable_folder(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    assert run("check", STORE, "--out", tmp_path / "out") == 2


def test_new_then_check(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("new", tmp_path / "mine.toml") == 0
    assert run("check", tmp_path / "mine.toml") in (0, 1)
    capsys.readouterr()
    assert run("new", tmp_path / "mine.toml") == 2


def test_soil_starter_then_soil(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("soil", "--starter", tmp_path / "readings.toml") == 0
    assert run("soil", tmp_path / "readings.toml", "--out", tmp_path / "block.toml") == 0
    assert "measured" in (tmp_path / "block.toml").read_text()
    capsys.readouterr()


def test_json_is_the_assessment(capsys: pytest.CaptureFixture[str]) -> None:
    code = run("check", STORE, "--json")
    data = json.loads(capsys.readouterr().out)
    assert data["format"] == 1 and code == {"meets": 0, "falls short": 1, "cannot say": 2}[data["verdict"]]
