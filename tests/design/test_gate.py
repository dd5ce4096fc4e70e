"""One good design, then every value of it broken in turn: in code, and by a change to a good one."""

from __future__ import annotations

import math
import pickle
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from samples import REQUIRED, classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.frozen import FrozenMap
from shellcheck_earth.design.design import Backfill, Buttress, CourseGroup, Criteria, Design, Footing, Opening
from shellcheck_earth.design.digest import design_content
from shellcheck_earth.design.gate import attribute_of
from shellcheck_earth.design.keys import known_keys

GOOD = classroom(
    openings=(Opening("door", 0.0, 0.0, 0.8, 1.9, "lintel", 8.0),),
    buttresses=(Buttress(1.0, 0.6, 0.5, 1.0),),
    backfill=Backfill(height=0.5),
    footing=Footing(0.8, 0.3),
    dome=replace(classroom().dome, floor_above_ground=-0.1),  # so that the ground alone may lie against the wall
    groups=(CourseGroup(-1, 4, replace(classroom().fill, stabiliser="cement", strength_wet=50.0)),),
)
SECTIONS = [
    field.name for field in fields(GOOD) if is_dataclass(getattr(GOOD, field.name)) and field.name != "criteria"
]
WRONG: tuple[Any, ...] = (math.nan, math.inf, -math.inf, 1e30, -1e30, "3 m", [], True, 1j)


def problems(make: Any) -> dict[str, str]:
    """Path -> what was expected, of a design that is refused."""
    with pytest.raises(InputError) as caught:
        make()
    assert all(problem.expected and problem.found for problem in caught.value.problems)
    return {problem.path: problem.expected for problem in caught.value.problems}


def values() -> list[tuple[str, str]]:
    """(section, attribute) of every value that is a number or a word."""
    return [
        (section, field.name)
        for section in SECTIONS
        for field in fields(getattr(GOOD, section))
        if field.name not in ("not_stated", "none_because")
    ]


@pytest.mark.parametrize(("section", "attribute"), values(), ids=".".join)
def test_every_value_broken_in_code_and_through_replace(section: str, attribute: str) -> None:
    for wrong in WRONG:
        if isinstance(wrong, bool) and isinstance(getattr(getattr(GOOD, section), attribute), bool):
            continue
        part = replace(getattr(GOOD, section), **{attribute: wrong})
        by_change = problems(lambda part=part: replace(GOOD, **{section: part}))
        in_code = problems(lambda part=part: classroom(**{section: part}))
        assert by_change == in_code
        [path] = by_change
        assert path.startswith(f"{section}.")


def singles() -> list[str]:
    return [path for path, key in known_keys().items() if key.within and "[]" not in path and "criteria" not in path]


@pytest.mark.parametrize("path", singles())
def test_both_ends_of_every_range(path: str) -> None:
    """The ends themselves are in, a hair beyond is out; the ranges are those of the file's own reader."""
    section, attribute = attribute_of(path)
    bounds = known_keys()[path].within
    assert bounds is not None
    step = 1 if bounds.whole else 1e-9 * max(abs(bounds.low), abs(bounds.high))
    for value, good in (
        (bounds.low, True),
        (bounds.high, True),
        (bounds.low - step, False),
        (bounds.high + step, False),
    ):
        number = int(value) if bounds.whole else float(value)
        spanned = isinstance(getattr(getattr(GOOD, section), attribute), tuple)
        part = replace(getattr(GOOD, section), **{attribute: (number, number) if spanned else number})
        try:
            replace(GOOD, **{section: part})
            said = ""
        except InputError as error:
            said = next((p.expected for p in error.problems if p.path == path), "")
        out_of_range = said == (f"its least and greatest, each {bounds.span}" if spanned else bounds.span)
        assert out_of_range == (not good)


@pytest.mark.parametrize("name", ["openings", "buttresses", "groups"])
def test_every_value_of_a_list_broken(name: str) -> None:
    row = getattr(GOOD, name)[0]
    for field in fields(row):
        for wrong in (math.nan, "3 m", 1e30):
            assert problems(lambda: replace(GOOD, **{name: (replace(row, **{field.name: wrong}),)}))  # noqa: B023
    assert problems(lambda: replace(GOOD, **{name: [row]}))
    assert problems(lambda: replace(GOOD, **{name: (GOOD.beds,)}))


@pytest.mark.parametrize("section", [*SECTIONS, "criteria"])
def test_no_section_is_something_else(section: str) -> None:
    for wrong in ({}, GOOD, 3.0) if section in ("backfill", "footing") else (None, {}, GOOD, 3.0):
        assert section in problems(lambda: replace(GOOD, **{section: wrong}))  # noqa: B023


@pytest.mark.parametrize("check", REQUIRED)
@pytest.mark.parametrize("wrong", [0.1, 0.999, 101.0, math.nan, math.inf, "2", True, None])
def test_no_factor_under_one(check: str, wrong: Any) -> None:
    criteria = Criteria("common practice", {**REQUIRED, check: wrong})
    assert list(problems(lambda: replace(GOOD, criteria=criteria))) == [f"criteria.{check.replace(' ', '_')}"]
    missing = Criteria("common practice", {name: value for name, value in REQUIRED.items() if name != check})
    assert list(problems(lambda: replace(GOOD, criteria=missing))) == [f"criteria.{check.replace(' ', '_')}"]


CONTRADICTIONS: list[tuple[str, dict[str, Any], str]] = [
    ("beds", {"friction": 0.3}, "beds.friction_wet"),
    ("beds", {"friction_no_wire": 0.6}, "beds.friction_no_wire"),
    ("beds", {"cohesion_wet": 1.0}, "beds.cohesion_wet"),
    ("fill", {"strength_as_placed": 600.0}, "fill.strength_as_placed"),
    ("fill", {"strength_wet": 101.0}, "fill.strength_wet"),
    ("fill", {"placing_moisture": 0.25}, "fill.placing_moisture"),
    ("fill", {"service_moisture": 0.25}, "fill.service_moisture"),
    ("fill", {"dry_density": 2600.0, "particle_density": 2500.0}, "fill.dry_density"),
    ("wall", {"flat_width": 0.38}, "wall.filled_width"),
    ("site", {"friction_wet": 0.36}, "site.ground_friction_wet"),
    ("site", {"bearing_wet": 97.0}, "site.ground_bearing_wet"),
    ("dome", {"inner_radii": (1.8,)}, "dome.inner_radii"),
    ("dome", {"profile": "measured"}, "dome.inner_radii"),
    ("building", {"drying": ((7.0, 0.1), (3.0, 0.05))}, "building.drying"),
    ("building", {"drying": ((3.0, 0.05), (7.0, 0.1))}, "building.drying"),
]


@pytest.mark.parametrize(("section", "changes", "path"), CONTRADICTIONS)
def test_what_several_values_show(section: str, changes: dict[str, Any], path: str) -> None:
    part = replace(getattr(GOOD, section), **changes)
    assert list(problems(lambda: replace(GOOD, **{section: part}))) == [path]


def test_what_rows_show_together() -> None:
    fill, [group], [door] = GOOD.fill, GOOD.groups, GOOD.openings
    assert "wall.courses[2]" in problems(lambda: replace(GOOD, groups=(group, CourseGroup(3, None, fill))))
    assert "wall.courses[1].to" in problems(lambda: replace(GOOD, groups=(CourseGroup(5, 4, fill),)))
    wet = replace(fill, strength_wet=200.0)
    assert "wall.courses[1].strength_wet" in problems(lambda: replace(GOOD, groups=(CourseGroup(1, 2, wet),)))
    assert "opening[1].tie" in problems(lambda: replace(GOOD, openings=(replace(door, head="round"),)))


def test_mappings_are_copied_can_be_hashed_and_sent() -> None:
    bases: dict[str, Any] = {"fill.dry_density": "measured"}
    design = replace(GOOD, bases=bases)
    bases["fill.dry_density"] = "assumed"
    assert design.bases == {"fill.dry_density": "measured"}
    again = pickle.loads(pickle.dumps(design))
    assert again == design and hash(again) == hash(design) and isinstance(again.bases, FrozenMap)
    assert design_content(again) == design_content(design) != design_content(design, "bases")
    assert "bases" in problems(lambda: replace(GOOD, bases="measured"))
    assert "fill.dry_density" in problems(lambda: replace(GOOD, bases={"fill.dry_density": "guessed"}))


@pytest.mark.parametrize("name", ["", " ", "dome\x1b[2J", "dome\u202e", 3, "x" * 401])
def test_a_name_is_a_plain_text(name: Any) -> None:
    assert list(problems(lambda: replace(GOOD, name=name))) == ["design.name"]


def test_every_attribute_has_a_key_of_the_file() -> None:
    assert isinstance(GOOD, Design)  # a value that no key declares would have been a KeyError
    assert {attribute_of(path) for path in singles()} <= set(values())
