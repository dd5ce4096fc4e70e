"""The chance command as a user meets it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from shellcheck_earth.__main__ import main
from shellcheck_earth.design.starter import write_starter
from shellcheck_earth.views.text.sample import STUDY


def run(*tokens: str) -> int:
    with pytest.raises(SystemExit) as stopped:
        main(list(tokens))
    assert isinstance(stopped.value.code, int)
    return stopped.value.code


@pytest.fixture
def design(tmp_path: Path) -> Path:
    path = tmp_path / "orchard.toml"
    write_starter(path)
    return path


def test_a_study_is_said_and_written(design: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert run("chance", str(design), "--samples", "64", "--out", str(out), "--workers", "1") == 0
    said = " ".join(capsys.readouterr().out.split())
    assert STUDY in said and "95 % limits" in said and "licensed structural" in said
    assert "safe" not in said.lower()
    data = json.loads((out / "chance.json").read_text())
    assert next(iter(data)) == "format" and data["samples"] == 64 and data["what_it_is"] == STUDY
    rows = list(csv.DictReader(io.StringIO((out / "chance.csv").read_text())))
    assert rows[0]["name"] == "no_line" and float(rows[0]["value"]) == pytest.approx(data["shares"]["no_line"]["value"])
    assert (out / "chance.pdf").read_bytes().startswith(b"%PDF-")
    first = {name: (out / name).read_bytes() for name in ("chance.json", "chance.csv", "chance.pdf")}
    assert (
        run("chance", str(design), "--samples", "64", "--out", str(out)) == 0
    )  # over its own results, from the kept blocks
    assert {name: (out / name).read_bytes() for name in first} == first


@pytest.mark.parametrize(
    ("tokens", "says"),
    [
        (("--samples", "0"), "--samples"),
        (("--samples", "20000000"), "10,000,000"),
        (("--samples", "8", "--workers", "-1"), "--workers"),
        (("--samples", "8", "--seed", "-1"), "--seed"),
        (("--samples", "8", "--scatter", "nowhere.toml"), "nowhere.toml"),
    ],
)
def test_bad_input_is_one_message(
    design: Path, capsys: pytest.CaptureFixture[str], tokens: tuple[str, ...], says: str
) -> None:
    assert run("chance", str(design), *tokens) == 2
    error = capsys.readouterr().err
    assert says in error and "Traceback" not in error
