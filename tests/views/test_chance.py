"""The chance command as a user meets it."""

from __future__ import annotations

import csv
import io
import json
import re
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from xml.etree import ElementTree

import pytest
from jsonschema import Draft202012Validator
from samples import TESTED, sturdy

from shellcheck_earth.__main__ import main
from shellcheck_earth.basics.progress import quiet
from shellcheck_earth.design.design import CourseGroup
from shellcheck_earth.design.starter import write_starter
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.studies.sample.margins import Margins, Spread
from shellcheck_earth.studies.sample.orders import Orders
from shellcheck_earth.studies.sample.statistics import Index
from shellcheck_earth.studies.sample.study import Chance, make_study, run_study
from shellcheck_earth.views.export.schema import chance_schema
from shellcheck_earth.views.figures.letters import advance
from shellcheck_earth.views.figures.sample import index_chart, share_chart
from shellcheck_earth.views.pages.sample import chance_csv, chance_json, chance_lines
from shellcheck_earth.views.text.language import speaking, words
from shellcheck_earth.views.text.sample import (
    OWN_DRAWS,
    SHARES,
    STUDY,
    ends_sentence,
    group_sentences,
    hangs_on_sentence,
    input_words,
    total_sentence,
)

GARDEN = Path(__file__).parents[2] / "reports" / "garden-classroom" / "design.toml"


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
    # the fill of the starter has no strength where it is soaked: the margins are those of the other cases
    assert "In no dome is anything held in: Finished, the foot of the wall soaked" in said
    assert any("In no dome is anything held in" in note for note in data["notes"])
    assert data["shares"]["short"]["value"] == 1.0
    assert {"first order of reserve, exchanged", "total order of share, exchanged"} <= {
        row["chance_of"] for row in rows
    }
    assert (out / "chance.pdf").read_bytes().startswith(b"%PDF-")
    first = {name: (out / name).read_bytes() for name in ("chance.json", "chance.csv", "chance.pdf")}
    assert (
        run("chance", str(design), "--samples", "64", "--out", str(out)) == 0
    )  # over its own results, from the kept blocks
    assert {name: (out / name).read_bytes() for name in first} == first


def test_the_garden_classroom_whose_base_is_stabilised_is_answered(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("chance", str(GARDEN), "--samples", "16", "--workers", "1") == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "Group 1 (wall.courses[1]): courses up to 2. Drawn for it alone: dry density" in said


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


def grouped(*groups: CourseGroup) -> Chance:
    """The first group known as the wall is, the others as nobody measured them."""
    bases = TESTED | {path.replace("fill.", "wall.courses[1]."): basis for path, basis in TESTED.items()}
    design = replace(sturdy(), groups=groups, bases=MappingProxyType(bases))
    return run_study(make_study(design, stated_scatter(), 64, 1), quiet)


def test_courses_with_a_fill_of_their_own_are_named_where_they_matter() -> None:
    fill = sturdy().fill
    crown = replace(fill, dry_density=1650.0, strength_dry=700.0, strength_as_placed=60.0, strength_wet=300.0)
    found = grouped(CourseGroup(None, 0, fill), CourseGroup(14, None, crown))
    assert group_sentences(found) == [
        "Group 1 (wall.courses[1]): courses up to 0. Drawn for it alone: nothing.",
        "Group 2 (wall.courses[2]): courses from 14 on. Drawn for it alone: dry density, moisture as placed,"
        " moisture in service, strength.",
    ]
    # the crown is what is weak while it is built: what is its own decides, not what is the wall's
    first, *rest = found.margins.orders["reserve"]
    assert first.name == "wall.courses[2].strength" and "strength, common factor, group 2" in " ".join(
        hangs_on_sentence("reserve", found.margins.orders["reserve"]).split()
    )
    total = {one.name: one.total for one in rest}
    assert total["strength"] < 0.1 * first.total
    screen = " ".join(" ".join(chance_lines(found)).split())
    assert all(said in screen for said in group_sentences(found))
    rows = list(csv.DictReader(io.StringIO(chance_csv(found))))
    assert "wall.courses[2].strength_own:placed" in {row["name"] for row in rows}
    data = json.loads(chance_json(found))
    assert list(Draft202012Validator(chance_schema()).iter_errors(data)) == []
    assert data["scatter"]["wall.courses[2].strength"]["spread"] == 0.3
    assert data["scatter"]["strength"]["spread"] == 0.15  # the wall's own were measured
    assert OWN_DRAWS in data["notes"]


def test_every_range_of_courses_has_its_words() -> None:
    fill = replace(sturdy().fill, dry_density=1650.0)
    between, all_of_them = grouped(CourseGroup(3, 5, fill)), grouped(CourseGroup(None, None, fill))
    assert "courses 3 to 5" in group_sentences(between)[0] and "all courses" in group_sentences(all_of_them)[0]
    assert group_sentences(replace(between, design=sturdy())) == []


def test_a_chart_of_many_groups_keeps_to_twelve_whose_names_fit() -> None:
    found = [Index(f"wall.courses[{k}].strength_own:placed", 0.5 - 0.02 * k, 0.01, 0.1) for k in range(1, 20)]
    for language in ("en", "es"):
        with speaking(words(language)):
            svg = index_chart(found, "x")
            names = [input_words(one.name) for one in found]
        labels = [text for text in ElementTree.fromstring(svg).iter() if "text-anchor: end" in text.get("style", "")]
        assert [text.text for text in labels] == names[:12]
        fits(svg, 12)


def test_every_share_has_room_for_its_name() -> None:
    chance = grouped()
    for language in ("en", "es"):
        with speaking(words(language)):
            svg = share_chart(chance, [words(language)(SHARES[name]) for name in chance.shares])
        fits(svg, len(chance.shares) + len(chance.checks))


def fits(svg: str, names: int) -> None:
    """Every name to the left of a bar begins on the page."""
    labels = [text for text in ElementTree.fromstring(svg).iter() if "text-anchor: end" in text.get("style", "")]
    assert len(labels) == names
    for text in labels:
        size = re.search(r"font-size: ([\d.]+)px", text.get("style", ""))
        assert size and float(text.get("x", "")) > advance(text.text or "", float(size[1])), text.text


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
