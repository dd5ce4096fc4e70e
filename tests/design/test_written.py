"""A design written out as the text of a file reads as the same design; one value changed follows its defaults."""

from __future__ import annotations

import hashlib
import math
import tomllib
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Beds, Design
from shellcheck_earth.design.file import design_from_document, parse_design, read_design
from shellcheck_earth.design.starter import starter_text
from shellcheck_earth.design.written import design_text

EXAMPLES = sorted((Path(__file__).parents[2] / "reports").glob("*/design.toml"))


def equal(one: Any, other: Any) -> bool:
    """The same, but for the last digit of an angle, which is written in degrees."""
    if is_dataclass(one) and type(one) is type(other):
        names = [f.name for f in fields(one) if f.name not in ("bases", "text", "unit_system", "friction_no_wire")]
        names += ["friction_without_wire"] if isinstance(one, Beds) else []
        return all(equal(getattr(one, name), getattr(other, name)) for name in names)
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(equal, one, other))
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-14, abs_tol=1e-15)
    return bool(one == other)


def kept_bases(one: Design, other: Design) -> bool:
    """Every value that was measured still is, and none has become measured."""
    measured = [{path for path, basis in d.bases.items() if basis == "measured"} for d in (one, other)]
    return measured[0] == measured[1]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_an_example_written_out_reads_as_itself(path: Path) -> None:
    design = read_design(path)
    again = parse_design(design_text(design))
    assert equal(design, again)
    assert kept_bases(design, again)


def _length(low: float, high: float) -> st.SearchStrategy[str]:
    return st.floats(low, high).map(lambda x: f"{x:.12g} m")


def _measured(value: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return value.flatmap(lambda v: st.sampled_from([v, {"value": v, "source": "measured"}]))


NAMES = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=60)
LOAD = st.sampled_from([None, "0.4 kPa", "0 kPa", {"value": "none", "reason": 'never here, said "nobody"'}])

GROUPS = st.sampled_from([[], [{"to": -1, "stabiliser": "cement"}, {"from": 3, "to": 5, "strength_dry": "3 MPa"}]])
DRYING = st.just([["0 days", "10 %"], ["9 days", 0.05]])
GROUND = st.sampled_from(["sand", "clay", "rock"])
TESTED = st.sampled_from([{}, {"cohesion": {"value": "3 kPa", "source": "measured"}}])


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """Design files with keys left out, marked, and written in several units."""

    def some(**keys: st.SearchStrategy[Any]) -> dict[str, Any]:
        found = {key: draw(st.none() | strategy) for key, strategy in keys.items()}
        return {key: value for key, value in found.items() if value is not None}

    course = f"{draw(st.integers(80, 200))} mm"
    fill = some(
        dry_density=_measured(st.floats(1500.0, 2100.0).map(lambda x: f"{x:.12g} kg/m3")),
        placing_moisture=_measured(st.floats(0.02, 0.12)),
        stabiliser=st.sampled_from(["none", "cement", "lime"]),
        strength_dry=_measured(st.floats(400.0, 5000.0).map(lambda x: f"{x:.12g} kPa")),
        suction_head=st.just("7 in"),
    )
    opening = {"kind": "vent", "bearing": f"{draw(st.floats(-180.0, 180.0))!r} deg", "sill": "1 ft", "width": "0.2 m",
               "height": "0.3 m", "head": "lintel", "tie": "3 kN"}  # fmt: skip
    return {
        "design": {"name": draw(NAMES) or "dome", "note": draw(NAMES)},
        "dome": {"inside_diameter": draw(_length(2.0, 8.0)), "profile": "pointed"}
        | some(crown_opening=_length(0.0, 1.0), fixed_compass_pivot=_length(-0.5, 3.0) | st.just("inner face")),
        "wall": {"filled_width": draw(_length(0.2, 0.8)), "course_height": course, "courses": draw(GROUPS)}
        | some(edge_rounding=_length(0.0, 0.05), fabric=st.sampled_from(["woven", "open mesh"])),
        "fill": fill,
        "beds": some(wire_strands=st.integers(0, 4), friction=_measured(st.floats(0.5, 0.9)))
        | draw(TESTED),
        "building": some(cover_after=st.just("90 min"), worker=_measured(st.just("300 lbf")), drying=DRYING),
        "site": some(snow=LOAD, wind_pressure=LOAD, roof=st.booleans(), ground=GROUND),
        "opening": draw(st.sampled_from([[], [opening]])),
        "criteria": draw(st.sampled_from([{}, {"set": "partial factors"}, {"bed_friction": 1.75}])),
    }  # fmt: skip


@given(documents())
@settings(max_examples=150, deadline=None)
def test_any_design_written_out_reads_as_itself(document: dict[str, Any]) -> None:
    try:
        design = design_from_document(document)
    except InputError:
        return  # a combination that no design has, such as a wet strength over the dry one
    again = parse_design(design_text(design))
    assert equal(design, again)
    assert kept_bases(design, again)
    assert design.loads_not_stated == again.loads_not_stated


def test_one_value_changed_changes_what_follows_from_it() -> None:
    design = parse_design(starter_text().replace('strength_as_placed = { value = "0.1 MPa", source = "assumed" }', ""))
    drier = design.with_value("fill.placing_moisture", "8 %")
    assert drier.fill.placing_moisture == 0.08
    assert drier.fill.strength_as_placed > design.fill.strength_as_placed  # by the curve of the placing moisture
    assert replace(drier, fill=design.fill) == design


def test_a_value_changed_keeps_what_was_measured() -> None:
    design = parse_design(starter_text()).with_value("fill.dry_density", {"value": "1600 kg/m3", "source": "measured"})
    assert design.basis("fill.dry_density") == "measured"
    assert design.with_value("fill.dry_density", "1700 kg/m3").basis("fill.dry_density") == "measured"


def test_a_design_made_in_code_can_be_changed_too() -> None:
    design = replace(read_design(EXAMPLES[0]), text="")
    assert equal(design.with_value("beds.wire_strands", 3), read_design(EXAMPLES[0]).with_value("beds.wire_strands", 3))


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("fill.dry_densty", "1600 kg/m3", "nearest: fill.dry_density"),
        ("fill.dry_density", 1600.0, "a density"),
        ("fill.dry_density", "9 kg/m3", "800 kg/m3"),
        ("building.drying", [], "a single value"),
        ("opening[9].width", "0.5 m", "row"),
    ],
)
def test_a_change_that_cannot_be_made_says_why(path: str, value: object, says: str) -> None:
    with pytest.raises(InputError, match=says):
        parse_design(starter_text()).with_value(path, value)


def test_the_digest_is_that_of_the_file() -> None:
    design = read_design(EXAMPLES[0])
    assert design.sha256 == hashlib.sha256(EXAMPLES[0].read_bytes()).hexdigest()
    assert replace(design, text="").sha256 == ""
    assert tomllib.loads(design.text)["design"]["name"] == design.name
