"""A design file that is changed key by key: comments stay, steps go back and forth."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.views.page.document import MOST_STEPS, Document, changed_text, plain_change

CLASSROOM = Path("reports/garden-classroom/design.toml").read_text(encoding="utf-8")


def test_one_line_changes_and_every_comment_stays() -> None:
    before = starter_text()
    after = changed_text(before, "dome.inside_diameter", "3.5 m")
    pairs = zip(before.splitlines(), after.splitlines(), strict=True)
    assert [pair for pair in pairs if pair[0] != pair[1]] == [
        ('inside_diameter = "3.0 m"', 'inside_diameter = "3.5 m"')
    ]


def test_a_comment_behind_the_changed_value_stays() -> None:
    after = changed_text(starter_text(), "wall.filled_width", "400 mm")
    assert any("400 mm" in line and "# filled and tamped" in line for line in after.splitlines())


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("beds.friction", 0.6),
        ("site.rain.hours", 20),
        ("plaster.inside", "10 mm"),
        ("fill.strength_dry", "600 kPa"),
        ("building.count_fabric", True),
        ("site.snow", {"value": "none", "reason": "no snow here"}),
        ("criteria.bed_friction", 2.0),
        ("wall.course_height", "120 mm"),
        ("wall.edge_rounding", {"value": "20 mm", "source": "measured"}),
    ],
)
def test_text_and_data_are_changed_alike(path: str, value: object) -> None:
    for text in (CLASSROOM, starter_text()):
        changed = tomllib.loads(changed_text(text, path, value))
        assert changed == plain_change(tomllib.loads(text), path, value)
        parse_design(changed_text(text, path, value))


def test_a_moved_value_is_not_measured_unless_that_is_said() -> None:
    text = '[dome]\ninside_diameter = "3 m"\n[wall]\nfilled_width = "0.4 m"\ncourse_height = "0.13 m"\n'
    measured = changed_text(text, "fill.strength_dry", "0.6 MPa", measured=True)
    assert parse_design(measured).basis("fill.strength_dry") == "measured"
    assert parse_design(changed_text(measured, "fill.strength_dry", "0.9 MPa")).basis("fill.strength_dry") == "stated"
    assumed = text + '[fill]\nstrength_dry = { value = "0.5 MPa", source = "assumed" }\n'
    assert parse_design(changed_text(assumed, "fill.strength_dry", "0.9 MPa")).basis("fill.strength_dry") == "assumed"


def test_another_width_is_another_tube() -> None:
    for text in (CLASSROOM, starter_text()):
        changed = changed_text(text, "wall.filled_width", "400 mm")
        assert "flat_width" not in tomllib.loads(changed)["wall"]
        assert changed.count("#") >= text.count("#") - 1  # the comment behind the flat width goes with it


@pytest.mark.parametrize("path", ["fill.dry_densty", "__class__.x", "opening[1].width", "design.name", "", "fill"])
def test_unknown_keys_and_missing_rows_are_refused(path: str) -> None:
    with pytest.raises(InputError):
        changed_text(CLASSROOM, path, "1 m")
    with pytest.raises(InputError):
        plain_change(tomllib.loads(CLASSROOM), path, "1 m")


def test_steps_go_back_and_forth() -> None:
    document = Document(["a = 1"])
    for text in ("a = 2", "a = 3", "a = 3"):
        document.put(text)
    assert len(document.steps) == 3  # the same text again is no step
    document.move(-2)
    assert (document.plain, document.may_undo, document.may_redo) == ({"a": 1}, False, True)
    document.move(-1)
    document.move(1)
    assert document.text == "a = 2"
    document.put("a = 9")
    assert not document.may_redo
    with pytest.raises(InputError):
        document.put("no toml [")
    assert document.text == "a = 9"
    for number in range(3 * MOST_STEPS):
        document.put(f"a = {number}")
    assert len(document.steps) == MOST_STEPS
