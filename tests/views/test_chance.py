"""The chance command as a user meets it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from shellcheck_earth.__main__ import main
from shellcheck_earth.design.starter import write_starter
from shellcheck_earth.studies.sample.margins import Margins, Spread
from shellcheck_earth.studies.sample.orders import Orders
from shellcheck_earth.views.text.sample import STUDY, ends_sentence, hangs_on_sentence, total_sentence


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
    assert "Margins as numbers, from a sample of their own: 16 base points, 224 domes" in said
    assert "The overall reserve (what friction" in said and "required: 1.25" in said
    data = json.loads((out / "chance.json").read_text())
    assert next(iter(data)) == "format" and data["samples"] == 64 and data["what_it_is"] == STUDY
    rows = list(csv.DictReader(io.StringIO((out / "chance.csv").read_text())))
    assert rows[0]["name"] == "no_line" and float(rows[0]["value"]) == pytest.approx(data["shares"]["no_line"]["value"])
    assert {"first order of reserve, exchanged", "total order of share, exchanged"} <= {
        row["chance_of"] for row in rows
    }
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


def margins(at_least: float) -> Margins:
    spread = Spread(100, 0.8, 1.0, 1.3, at_least, 0.0)
    found = (
        Orders("friction", 0.612, 0.02, 0.7049, 0.02),
        Orders("wire", -0.01, 0.02, 0.05, 0.01),
        Orders("strength", 0.0, 0.02, 0.01, 0.02),
    )
    both = {"reserve": spread, "share": spread}
    return Margins(50, 700, 0.0, (0.125, 8.0), both, {"reserve": found, "share": found, "no_line": (), "short": found})


def test_what_a_margin_hangs_on_is_said_in_plain_words() -> None:
    found = margins(0.0).orders["reserve"]
    assert hangs_on_sentence("reserve", found) == (
        "The overall reserve hangs most on bed friction: 61 % of its variance alone, 70 % with others; then counted"
        " wire tension (0 % alone, 5 % with others)."
    )
    assert "cannot be told" in hangs_on_sentence("reserve", found[2:])
    assert "nothing can be said" in hangs_on_sentence("reserve", ())
    assert total_sentence("short", found).endswith("bed friction 0.70 +- 0.02, counted wire tension 0.05 +- 0.01.")
    assert total_sentence("short", ()) == ""


def test_a_margin_that_stands_at_its_end_is_not_said_to_hang_on_anything() -> None:
    assert ends_sentence("share", margins(0.0)) == ""
    few, many = margins(0.2), margins(0.7)
    assert few.speaks("share") and not many.speaks("share")
    assert "20 % of the domes count as 0.125 (no thrust line" in ends_sentence("share", few)
    assert ends_sentence("share", many).endswith("say nothing of what it hangs on.")
