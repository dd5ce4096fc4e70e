"""Which keys a design file has, and ranges and lists of their values."""

from __future__ import annotations

from typing import Any

import pytest

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.units import parse_quantity
from shellcheck_earth.design.keys import find_key, known_keys, set_key, written_value
from shellcheck_earth.design.schema import DesignTable
from shellcheck_earth.design.variation import parse_variation

DOCUMENT: dict[str, Any] = {
    "dome": {"inside_diameter": "12 ft"},
    "wall": {"flat_width": "450 mm", "course_height": "135 mm"},
    "fill": {"dry_density": "110 lb/ft3", "strength_dry": {"value": "0.5 MPa", "source": "measured"}},
    "opening": [{"kind": "door", "width": "0.9 m"}],
}


def test_every_table_of_the_schema_is_known() -> None:
    paths = known_keys()
    for table in DesignTable.model_fields.keys() - {"factor_set"}:  # rows of factors, no single values
        assert any(path.startswith((f"{table}.", f"{table}[].")) for path in paths), table
    assert paths["fill.dry_density"].dimension == "density"
    assert paths["site.rain.intensity"].dimension == "speed"
    assert paths["beds.wire_strands"].whole
    assert paths["opening[].head"].words == ("pointed", "round", "lintel")
    assert find_key("opening[1].width").dimension == "length"


@pytest.mark.parametrize(
    ("path", "says"),
    [
        ("fill.dry_densty", "nearest: fill.dry_density"),
        ("nonsense", "such as fill.dry_density"),
        ("design.name", "a text or a list"),
        ("dome.inner_radii", "a text or a list"),
        ("opening.width", "nearest: opening[1].width"),
    ],
)
def test_an_unknown_key_is_refused_with_the_nearest(path: str, says: str) -> None:
    with pytest.raises(InputError, match="expected") as refused:
        find_key(path)
    assert says in str(refused.value)


def test_setting_a_key_keeps_its_mark_and_leaves_the_document_alone() -> None:
    changed = set_key(DOCUMENT, "fill.strength_dry", "0.7 MPa")
    assert changed["fill"]["strength_dry"] == {"value": "0.7 MPa", "source": "measured"}
    assert DOCUMENT["fill"]["strength_dry"]["value"] == "0.5 MPa"
    assert set_key(DOCUMENT, "opening[1].width", "1 m")["opening"][0] == {"kind": "door", "width": "1 m"}
    assert set_key(DOCUMENT, "site.rain.hours", 3)["site"] == {"rain": {"hours": 3}}
    assert written_value(DOCUMENT, "fill.strength_dry") == "0.5 MPa"
    assert written_value(DOCUMENT, "opening[2].width") is None
    with pytest.raises(InputError, match="one of the rows of opening"):
        set_key(DOCUMENT, "opening[2].width", "1 m")


@pytest.mark.parametrize(
    ("spec", "values"),
    [
        ("fill.dry_density=100..120:3", ("100 lb/ft3", "110 lb/ft3", "120 lb/ft3")),  # the unit of the file
        ("fill.dry_density=1500..1600:2 kg/m3", ("1500 kg/m3", "1600 kg/m3")),
        ("fill.dry_density=1500 kg/m3 .. 1600 kg/m3 : 2", ("1500 kg/m3", "1600 kg/m3")),
        ("wall.flat_width=300,400,500 mm", ("300 mm", "400 mm", "500 mm")),
        ("dome.inside_diameter=3 m,12 ft,14 ft 6 in", ("3 m", "12 ft", "14 ft 6 in")),
        ("beds.friction=0.3..0.5:3", (0.3, 0.4, 0.5)),
        ("beds.wire_strands=0,2,4", (0, 2, 4)),
        ("fill.service_moisture=1..3:3 %", ("1 %", "2 %", "3 %")),
        ("fill.service_moisture=0.01,0.02", (0.01, 0.02)),
        ("wall.fabric=woven,open mesh", ("woven", "open mesh")),
        ("site.left_unprotected=true,false", (True, False)),
        ("building.courses_per_day=1,2", (1.0, 2.0)),
    ],
)
def test_what_a_range_or_a_list_means(spec: str, values: tuple[Any, ...]) -> None:
    assert parse_variation(spec, DOCUMENT).values == values


def test_numbers_are_in_the_unit_shown() -> None:
    lengths = parse_variation("dome.inside_diameter=3 m,12 ft", DOCUMENT)
    assert lengths.unit == "m" and lengths.numbers == pytest.approx((3.0, 3.6576), rel=1e-12)  # 12 ft of 0.3048 m
    for text, number in zip(lengths.values, lengths.numbers or (), strict=True):
        assert parse_quantity(text, "length") == pytest.approx(number, rel=1e-12)
    assert parse_variation("wall.fabric=woven,open mesh", DOCUMENT).numbers is None


@pytest.mark.parametrize(
    ("spec", "says"),
    [
        ("fill.dry_density", "KEY="),
        ("fill.dry_density=", "KEY="),
        ("=1..2:3", "KEY="),
        ("fill.dry_density=2000..1500:6", "not empty"),
        ("fill.dry_density=1500..1500:6", "not empty"),
        ("fill.dry_density=1500..2000:1", "not empty"),
        ("fill.dry_density=1500..2000", "FIRST..LAST:HOW MANY"),
        ("fill.dry_density=1500..2000:2000", "at most 1000"),
        ("fill.dry_density=1500..2000:3 kN", "a unit of a density"),
        ("fill.dry_density=1 kg/m3..2 t/m3:3", "one unit for both ends"),
        ("fill.service_moisture=1..10:4", "% sign"),
        ("fill.service_moisture=3,4", "% sign"),
        ("beds.wire_strands=0..3:3", "whole numbers"),
        ("beds.wire_strands=1,1", "different values"),
        ("wall.flat_width=300,,400 mm", "without gaps"),
        ("wall.fabric=woven,silk", "woven or open mesh"),
        ("wall.fabric=1..2:3", "a list of words"),
        ("beds.friction=rough", "plain numbers"),
        ("wall.flat_width=300 mm,wide", "a length such as"),
    ],
)
def test_what_is_not_understood_is_refused(spec: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        parse_variation(spec, DOCUMENT)
    assert says in str(refused.value) and "--vary" in str(refused.value)


def test_a_length_in_feet_and_inches_wants_a_unit() -> None:
    with pytest.raises(InputError, match="in more than one"):
        parse_variation("dome.inside_diameter=3..4:2", {"dome": {"inside_diameter": "12 ft 6 in"}})
