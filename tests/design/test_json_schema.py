"""The JSON Schema of the design file: current, valid, and of one mind with the reader on keys, words and forms."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.file import parse_design
from shellcheck_earth.design.json_schema import FILE, design_schema, schema_text
from shellcheck_earth.design.keys import known_keys
from shellcheck_earth.design.starter import starter_text, write_starter

ROOT = Path(__file__).parents[2]
SET = ROOT / "reports" / "examples" / "example-national-set.toml"
FILES = sorted(
    path
    for path in ROOT.glob("reports/**/*.toml")
    if "scatter" not in path.name and path != SET and "[joined]" not in path.read_text(encoding="utf-8")
)


def fits(data: Any) -> bool:
    return bool(Draft202012Validator(design_schema()).is_valid(data))


def reads(text: str) -> bool:
    try:
        parse_design(text)
    except InputError:
        return False
    return True


def test_the_file_is_what_the_function_writes() -> None:
    assert FILE.read_text(encoding="utf-8") == schema_text(), "python -m shellcheck_earth.design.json_schema"
    Draft202012Validator.check_schema(design_schema())


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.parent.name + "/" + path.name)
def test_every_design_in_the_reports_fits(path: Path) -> None:
    assert fits(tomllib.loads(path.read_text(encoding="utf-8")))


def test_a_set_of_factors_fits_and_one_without_a_clause_does_not() -> None:
    of_set = tomllib.loads(SET.read_text(encoding="utf-8"))
    design = tomllib.loads((SET.parent / "national-set-shed.toml").read_text(encoding="utf-8"))
    assert fits(design | of_set)
    for word in ("clause", "source"):
        (first, *rest), required = of_set["factor_set"]["combination"], of_set["factor_set"]["required"]
        bare = {key: value for key, value in first.items() if key != word}
        assert not fits(design | {"factor_set": of_set["factor_set"] | {"combination": [bare, *rest]}})
        factor = {key: value for key, value in required["tipping"].items() if key != word}
        assert not fits(design | {"factor_set": of_set["factor_set"] | {"required": {"tipping": factor}}})


def test_every_key_of_the_declaration_is_there() -> None:
    for path in known_keys():
        at: Any = design_schema()
        for part in path.split("."):
            at = at["properties"][part.removesuffix("[]")]
            at = at["items"] if part.endswith("[]") else at
        assert at


LINES = (
    ('dry_density = "1750 kg/m3"', 'dry_density = "110 lb/ft3"', True),
    ('dry_density = "1750 kg/m3"', 'dry_density = { value = "1.7 t/m3", source = "measured" }', True),
    ('dry_density = "1750 kg/m3"', "dry_density = 1750", False),
    ('dry_density = "1750 kg/m3"', 'dry_density = "1750 kPa"', False),
    ('dry_density = "1750 kg/m3"', 'dry_density = { value = "1.7 t/m3", source = "surely" }', False),
    ('dry_density = "1750 kg/m3"', 'density = "1750 kg/m3"', False),
    ('placing_moisture = "10 %"', "placing_moisture = 0.1", True),
    ('inside_diameter = "3.0 m"', 'inside_diameter = "9 ft 10 1/8 in"', True),
    ('inside_diameter = "3.0 m"', 'inside_diameter = "118 1/8 in"', True),
    ('inside_diameter = "3.0 m"', 'inside_diameter = "three metres"', False),
    ('inside_diameter = "3.0 m"', "", False),
    ('fabric = "woven"', 'fabric = "velvet"', False),
    ("buried_courses = 2", "buried_courses = 2.5", False),
    ('fixed_compass_pivot = "outer face"', 'fixed_compass_pivot = "0.4 m"', True),
    ('fixed_compass_pivot = "outer face"', 'fixed_compass_pivot = "the door"', False),
)


@pytest.mark.parametrize(("line", "instead", "good"), LINES)
def test_schema_and_reader_agree(line: str, instead: str, good: bool) -> None:
    assert line in starter_text()
    text = starter_text().replace(line, instead)
    assert fits(tomllib.loads(text)) is good
    assert reads(text) is good


def test_a_load_that_is_not_there_needs_its_reason() -> None:
    data = tomllib.loads(starter_text())
    data.setdefault("site", {})["snow"] = {"value": "none", "reason": "no snow has lain here"}
    assert fits(data)
    data["site"]["snow"] = {"value": "none"}
    assert not fits(data)


def test_the_starter_names_its_schema_and_brings_it(tmp_path: Path) -> None:
    write_starter(tmp_path / "mine.toml")
    named = starter_text().splitlines()[0].removeprefix("#:schema ./")
    assert json.loads((tmp_path / named).read_text(encoding="utf-8")) == design_schema()
    (tmp_path / named).write_text("another's", encoding="utf-8")
    write_starter(tmp_path / "second.toml")
    assert (tmp_path / named).read_text(encoding="utf-8") == "another's"
