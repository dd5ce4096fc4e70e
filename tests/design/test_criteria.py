"""Rows of factors in the design file, what a set requires, and how wind and earthquake are stated."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from certificates import SMALL
from samples import classroom

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.values import combination_rows, criteria_sets
from shellcheck_earth.design.criteria import CAPACITIES, FACTORS, LOADS, Combination
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.loads.combinations import combinations, ring_rows, set_rows
from shellcheck_earth.mechanics.proof.combinations import COLUMNS, below, named_rows, once_each, said_rows
from shellcheck_earth.mechanics.proof.doubts import doubts
from shellcheck_earth.mechanics.proof.keys import table
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.safety.doubts import doubts_of, lowered_criteria

ROW: dict[str, Any] = {
    "name": "county wind", "clause": "ordinance 7", "permanent": 0.85, "imposed": 0, "snow": 0.5, "water": 1.2,
    "wind": 1.6, "earthquake": 0, "friction": 1.3, "cohesion": 1.4, "strength": 3.1, "strength_building": 2.2,
    "wire": 1.5,
}  # fmt: skip


def _toml(row: dict[str, Any]) -> str:
    said = (f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {value}" for key, value in row.items())
    return "\n[[criteria.combination]]\n" + "\n".join(said) + "\n"


def _text(row: dict[str, Any], set_name: str = "EN 1990") -> str:
    return SMALL + f'[criteria]\nset = "{set_name}"\n' + _toml(row)


def test_a_row_of_the_file_is_read_alike_by_both_readers_and_written_again() -> None:
    design, theirs = parse_design(_text(ROW)), read(_text(ROW))
    (row,) = design.criteria.rows
    assert (row.wind_strength_level, row.strength_tested, row.strength_building_tested) == (1.6, 3.1, 2.2)
    assert [one.name for one in theirs.rows] == [one.name for one in combinations(design.criteria)]
    for mine, other in zip(combinations(design.criteria), theirs.rows, strict=True):
        assert [getattr(mine, key) for key in FACTORS] == [float(other[key]) for key in FACTORS]
    assert set(FACTORS) == set(COLUMNS)
    again = parse_design(design_toml(design))
    assert again.criteria == design.criteria


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"wind": "1.6 kN"}, "wind: expected a factor from 0 to 10"),
        ({"wind": -0.1}, "wind: expected a factor"),
        ({"friction": 0.9}, "friction: expected a factor from 1 to 100"),
        ({"permanent": 0}, "permanent: expected a factor from 0.1 to 10"),
        ({"snow": None}, "snow: expected a factor (0 for a load it is without)"),
        ({"name": None}, "name: expected"),
        ({"name": ""}, "name: expected a text"),
        ({"clause": None}, "clause: expected a text: where its factors stand"),
        ({"clause": " "}, "clause: expected a text"),
        ({"source": ""}, "source: expected a text"),
        ({"hail": 1.5}, "hail: expected one of"),
    ],
)
def test_a_row_that_is_not_whole_is_refused_by_both(change: dict[str, Any], said: str) -> None:
    """A load that a row leaves out would be silence in its favour."""
    row = {key: value for key, value in (ROW | change).items() if value is not None}
    with pytest.raises(InputError, match=re.escape(said)):
        parse_design(_text(row))
    with pytest.raises(RefusedError, match=r"criteria\.combination"):
        read(_text(row))


def test_two_rows_of_one_name_and_other_forms_are_refused() -> None:
    for text in (
        _text(ROW) + _toml(ROW),
        SMALL + '[criteria]\ncombination = "EN"\n',
        SMALL + "[criteria]\ncombination = [1]\n",
    ):
        with pytest.raises(InputError, match=r"criteria\.combination"):
            parse_design(text)
        with pytest.raises(RefusedError, match=r"criteria\.combination"):
            read(text)
    with pytest.raises(InputError, match="a tuple of Combination"):
        replace(classroom(), criteria=replace(classroom().criteria, rows=[1]))  # type: ignore[arg-type]
    with pytest.raises(InputError, match="a Combination"):
        replace(classroom(), criteria=replace(classroom().criteria, rows=(1,)))  # type: ignore[arg-type]


def _like(row: Combination, **changes: float) -> dict[str, Any]:
    return {"name": row.name, "clause": "a code of their own", **{key: getattr(row, key) for key in FACTORS}, **changes}


def _lowered(row: dict[str, Any]) -> set[str]:
    """What both sides find lowered, which has to be the same."""
    design, theirs = parse_design(_text(row)), read(_text(row))
    mine = {name for name, _, _ in lowered_criteria(design)}
    assert mine == set(theirs.asked.lowered)
    assert any(one.kind == "criteria lowered" for one in doubts_of(build_dome(design))) is bool(mine)
    assert any(said.startswith("criteria: ") for said in doubts(theirs)) is bool(mine)
    return {name.removeprefix(f"{row['name']}: ") for name in mine}


def test_a_row_in_place_of_the_sets_may_ask_for_more_and_never_for_less() -> None:
    """Every load and capacity by a hundredth; a weight that holds down may come down, one that presses may go up."""
    rows = {row.name: row for row in set_rows("EN 1990")}
    usual = rows["DA1-C1 wind leads, snow"]
    assert _lowered(_like(usual)) == set()
    for key in (*LOADS, *CAPACITIES):
        value = getattr(usual, key)
        assert _lowered(_like(usual, **{key: value + 0.01})) == set()
        if value > (1.0 if key in CAPACITIES else 0.0):
            assert _lowered(_like(usual, **{key: value - 0.01})) == {key}
    for name, less, more in (
        ("DA1-C1 unfavourable", 1.34, 1.36), ("EQU favourable", 0.91, 0.89),
        ("DA1-C2", 1.01, None), ("DA1-C2", 0.99, None),
    ):  # fmt: skip
        assert _lowered(_like(rows[name], permanent=less)) == {"permanent"}
        assert more is None or _lowered(_like(rows[name], permanent=more)) == set()
    assert _lowered(ROW) == set()  # beside the set's


@pytest.mark.parametrize("set_name", criteria_sets())
def test_every_row_of_every_set_names_its_clause_and_both_sides_read_it_alike(set_name: str) -> None:
    rows = set_rows(set_name)
    assert [row.name for row in rows] == [one.name for one in named_rows(table()["combination"].get(set_name, {}))]
    for row, sourced in zip(rows, combination_rows(set_name), strict=True):
        assert row.clause and row.capacities and sourced.known in ("read", "memory")
        assert min(getattr(row, key) for key in CAPACITIES) >= 1.0
        assert row.wind_strength_level <= row.wind and row.earthquake_strength_level <= row.earthquake
        assert row.strength_tested <= row.strength and row.strength_building_tested <= row.strength_building
    if rows:  # weight that holds down really comes down against wind, and against an earthquake or is as it is
        assert min(row.permanent for row in rows if row.wind > 0) <= 0.9
        assert min(row.permanent for row in rows if row.earthquake > 0) <= 1.0
        assert any(row.snow > 0 and row.wind > 0 for row in rows)


@pytest.mark.parametrize("set_name", criteria_sets())
def test_what_is_required_of_wind_and_earthquake_follows_what_they_are_stated_as(set_name: str) -> None:
    for said, required in (("", 1.5), ("characteristic", 1.5), ("strength level", 1.1)):
        words = f'wind_basis = "{said}"\nearthquake_basis = "{said}"\n' if said else ""
        text = SMALL + words + f'[criteria]\nset = "{set_name}"\n'
        assert text.count("[site]") == 1
        design, theirs = parse_design(text), read(text)
        assert design.criteria.required["storm"] == design.criteria.required["earthquake"] == required
        assert theirs.required["storm"] == theirs.required["earthquake"] == Fraction(str(required))
        assert parse_design(design_toml(design)).site == replace(design.site, none_because=design.site.none_because)
    for reader, error in ((parse_design, InputError), (read, RefusedError)):
        with pytest.raises(error, match=r"site\.wind_basis"):
            reader(SMALL + 'wind_basis = "peak"\n')


def test_factors_of_the_ground_may_be_left_out_and_never_lowered() -> None:
    rows = {row.name: row for row in set_rows("EN 1990 DA2")}
    usual = rows["DA2 wind leads, snow"]
    assert (usual.ground_friction, usual.ground_bearing) == (1.1, 1.4)
    for less, lowered in (
        ({}, []), ({"ground_bearing": 1.3}, ["ground_bearing"]), ({"ground_friction": 0.0}, ["ground_friction"]),
        ({"ground_bearing": 1.5}, []),
    ):  # fmt: skip
        text = _text(_like(usual, **less), "EN 1990 DA2")
        found = [name for name, _, _ in lowered_criteria(parse_design(text))]
        assert found == [f"{usual.name}: {key}" for key in lowered] == list(read(text).asked.lowered)
    left_out = parse_design(_text(ROW)).criteria.rows[0]
    assert (left_out.ground_friction, left_out.ground_bearing) == (0.0, 0.0)
    for bad in (0.5, -1, 101, "1.4"):
        with pytest.raises(InputError, match=r"ground_bearing: expected a factor from 1 to 100 \(0 where"):
            parse_design(_text(ROW | {"ground_bearing": bad}))
        with pytest.raises(RefusedError, match=r"criteria\.combination"):
            read(_text(ROW | {"ground_bearing": bad}))


def test_below_by_hand() -> None:
    (row,) = named_rows({"x": dict.fromkeys(COLUMNS, 1.5)})
    said = {"name": "x", "clause": "1", **dict.fromkeys(COLUMNS, 2)}
    assert below([row], said_rows([said])) == () and below([row], ()) == ()
    assert below([row], said_rows([said | {"wire": 1, "snow": 0}])) == ("x: snow", "x: wire")


@pytest.mark.parametrize("key", ["permanent", "friction", "cohesion", "strength", "wire"])
def test_rows_that_differ_in_what_acts_on_a_ring_are_each_asked_of_it(key: str) -> None:
    """Two rows that differ in a wind alone are one question to a dome without a load from one side."""

    def asked(**changes: Any) -> list[set[str]]:
        text = SMALL + "".join(_toml(ROW | {"name": name} | more) for name, more in (("a", {}), ("b", changes)))
        design, theirs = parse_design(text), read(text)
        case = next(case for case in dead_cases(build_dome(design)) if case.id == "finished-dry")
        mine = [row.name for row, _ in ring_rows(design, case)]
        other = [row.name for row, _ in once_each(theirs.rows, "strength_tested", "")]
        return [set(mine) & {"a", "b"}, set(other) & {"a", "b"}]

    assert asked(wind=2.0) == [{"a"}, {"a"}]
    assert asked(**{key: ROW[key] + 0.05}) == [{"a", "b"}] * 2
