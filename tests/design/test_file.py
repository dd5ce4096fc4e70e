"""One good design file, then every key of it broken in turn."""

from __future__ import annotations

import copy
import math
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from shellcheck_earth.basics.errors import InputError, OutputError, UnbuildableError
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.design.starter import starter_text, write_starter
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import design_from_document, parse_design, read_design
from shellcheck_earth.loads.model import build_model

GOOD = tomllib.loads("""
[design]
name = "Orchard press house"
note = "Invented."
[dome]
inside_diameter = "3.6 m"
profile = "pointed"
fixed_compass_pivot = "outer face"
crown_opening = "0.30 m"
springing_above_floor = "0.27 m"
floor_above_ground = "0.15 m"
centre_pivot_above_springing = "0 m"
[wall]
flat_width = "450 mm"
filled_width = "385 mm"
course_height = "135 mm"
edge_rounding = "30 mm"
buried_courses = 2
fabric = "woven"
fabric_strength = "12 kN/m"
individual_bags = false
[fill]
dry_density = "1750 kg/m3"
particle_density = "2650 kg/m3"
placing_moisture = "10 %"
service_moisture = "3 %"
stabiliser = "none"
stabiliser_share = "0 %"
strength_dry = { value = "0.5 MPa", source = "measured" }
strength_as_placed = "0.1 MPa"
strength_wet = "0.02 MPa"
hydraulic_conductivity = "0.1 cm/h"
suction_head = "21 cm"
[beds]
friction = 0.55
friction_wet = 0.40
cohesion = "0 kPa"
wire_strands = 2
wire_breaking_load = "4.2 kN"
wire_counted_share = 0.3
[plaster]
outside = "30 mm"
inside = "20 mm"
unit_weight = "18 kN/m3"
[building]
courses_per_day = 3
worker = "1.5 kN"
rest_days = 1
climate = "temperate"
cover_after = "2 h"
count_fabric = false
fabric_loss = "2 %"
wire_hold = "0.1 kN/m"
[site]
rain = { intensity = "20 mm/h", hours = 12 }
snow = "0.4 kPa"
wind_pressure = "0.8 kPa"
earthquake = 0.10
ground_bearing = "96 kPa"
ground_friction = 0.35
left_unprotected = false
[criteria]
set = "common practice"
bed_friction = 1.4
""")


def leaves(node: Any, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    out = []
    for key, value in node.items():
        here = (*path, key)
        if isinstance(value, dict) and set(value) != {"value", "source"}:
            out += leaves(value, here)
        else:
            out.append(here)
    return out


PHYSICAL = [
    path
    for path in leaves(GOOD)
    if path[0] not in ("design", "criteria")
    and not isinstance(GOOD[path[0]].get(path[1]) if len(path) == 2 else 0, bool)
]
WORDS = {("dome", "profile"), ("wall", "fabric"), ("fill", "stabiliser"), ("building", "climate")}


def broken(path: tuple[str, ...], value: Any) -> dict[str, Any]:
    return set_key(copy.deepcopy(GOOD), ".".join(path), value)


def refusal(document: dict[str, Any]) -> str:
    with pytest.raises(InputError) as caught:
        design_from_document(document, "broken.toml")
    return str(caught.value)


def test_the_good_file_is_good() -> None:
    design = design_from_document(GOOD)
    assert design.dome.inside_diameter == 3.6
    assert design.fill.strength_dry == 500.0
    assert design.bases["fill.strength_dry"] == "measured"
    assert design.bases["fill.strength_wet"] == "stated"
    assert design.criteria.required["bed friction"] == 1.4
    assert design.criteria.required["strength"] == 3.0  # only the dry strength is tested
    assert design.dome.pivot_beyond_inner_face == 0.385
    assert design.unit_system == "metric"


@pytest.mark.parametrize("path", PHYSICAL, ids=".".join)
@pytest.mark.parametrize(
    "value",
    [
        "3 bananas",
        "nan m",
        "inf kPa",
        "-7.5 MPa",
        "1e30 m",
        "",
        True,
        [],
        {"value": "1 m"},
        {"value": "1 m", "source": "guess"},
        math.nan,
        math.inf,
        -5,
        1e30,
        "4,2 m",
    ],
    ids=str,
)
def test_every_key_with_every_bad_value(path: tuple[str, ...], value: Any) -> None:
    message = refusal(broken(path, value))
    assert ".".join(path) in message
    assert "expected" in message and "found" in message
    assert "Traceback" not in message and "pydantic" not in message


@pytest.mark.parametrize("path", leaves(GOOD), ids=".".join)
def test_every_key_misspelt(path: tuple[str, ...]) -> None:
    if path[0] == "design":
        return
    document = copy.deepcopy(GOOD)
    table = document
    for name in path[:-1]:
        table = table[name]
    table[path[-1] + "x"] = table.pop(path[-1])
    message = refusal(document)
    assert path[-1] + "x" in message
    assert re.search(rf"nearest: {path[-1]}", message)


@pytest.mark.parametrize("path", [("dome", "inside_diameter"), ("wall", "course_height")], ids=".".join)
def test_obligatory_keys(path: tuple[str, str]) -> None:
    document = copy.deepcopy(GOOD)
    del document[path[0]][path[1]]
    assert f"{path[0]}.{path[1]}: expected a value" in refusal(document)


@pytest.mark.parametrize("name", ["dome", "wall"])
def test_obligatory_tables(name: str) -> None:
    document = copy.deepcopy(GOOD)
    del document[name]
    assert f"{name}: expected a value" in refusal(document)


def test_all_faults_at_once() -> None:
    document = broken(("wall", "course_height"), "x")
    document["fill"]["dry_density"] = "12 m"
    document["site"]["snoww"] = "1 kPa"
    message = refusal(document)
    assert all(path in message for path in ("wall.course_height", "fill.dry_density", "site.snoww"))


def test_neither_width() -> None:
    document = copy.deepcopy(GOOD)
    del document["wall"]["flat_width"], document["wall"]["filled_width"]
    assert "flat_width or filled_width" in refusal(document)


def test_filled_width_from_the_flat_one() -> None:
    document = copy.deepcopy(GOOD)
    del document["wall"]["filled_width"]
    design = design_from_document(document)
    assert design.wall.filled_width == pytest.approx(0.450 - (math.pi / 2 - 1) * 0.135)
    assert design.bases["wall.filled_width"] == "assumed"


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("fill.placing_moisture", "25 %", "fills every void"),
        ("fill.strength_as_placed", "0.9 MPa", "at most strength_dry"),
        ("fill.strength_wet", "0.4 MPa", "strength when drier"),
        ("beds.friction_wet", 0.9, "at most the dry friction"),
        ("fill.dry_density", "2600 kg/m3", "fill.placing_moisture"),
        ("wall.filled_width", "460 mm", "less than the flat width"),
        ("criteria.set", "wishful", "common practice"),
        ("criteria.bed_friction", 0.5, "a factor from 1"),
        ("dome.inner_radii", ["1.8 m"], "measured"),
    ],
)
def test_values_that_contradict(path: str, value: Any, says: str) -> None:
    assert says in refusal(set_key(GOOD, path, value))


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("dome.crown_opening", "3.7 m", "less than the inside diameter"),
        ("dome.springing_above_floor", "0.30 m", "0.27 m or 0.405 m"),
        ("wall.edge_rounding", "200 mm", "less than half the wall"),
        ("dome.fixed_compass_pivot", "-1.9 m", "never closes"),
        ("wall.course_height", "900 mm", "whole number of courses"),
    ],
)
def test_what_cannot_be_built(path: str, value: Any, says: str) -> None:
    with pytest.raises(UnbuildableError) as caught:
        design_from_document(set_key(GOOD, path, value))
    assert says in str(caught.value)


def test_courses_that_do_not_overlap_name_a_height_that_works() -> None:
    document = set_key(set_key(GOOD, "wall.course_height", "380 mm"), "dome.springing_above_floor", "0 m")
    document = set_key(document, "dome.crown_opening", "0 m")
    document["wall"].pop("flat_width")  # whose fabric would not reach round such a course
    with pytest.raises(UnbuildableError, match="would overlap") as caught:
        design_from_document(document)
    height = float(re.search(r"courses of ([\d.]+) m", str(caught.value))[1])  # type: ignore[index]
    assert design_from_document(set_key(document, "wall.course_height", f"{height} m")).wall.course_height == height


def measured(**keys: Any) -> dict[str, Any]:
    """A measured profile of three courses on the four stem and buried ones of GOOD."""
    document = set_key(
        set_key(GOOD, "dome.profile", "measured"), "dome.inner_radii", ["1.80 m", "5 ft 10 in", "1.75 m"]
    )
    document["dome"].pop("fixed_compass_pivot")
    document["dome"] |= {"measured_from": 1, "crown_opening": "3.5 m"} | keys
    return document


def test_measured_profile() -> None:
    assert design_from_document(measured()).dome.inner_radii[1] == pytest.approx(70 * 0.0254)


def test_a_measured_profile_says_which_course_its_list_begins_with() -> None:
    document = measured()
    document["dome"].pop("measured_from")
    with pytest.raises(InputError, match="begins with: 1 is the first above the springing, -3 the lowest of the 4"):
        design_from_document(document)


def test_a_list_that_begins_with_the_buried_courses_is_not_shifted() -> None:
    tall = ["1.80 m"] * 4 + ["1.79 m", "1.78 m"]
    design = design_from_document(measured(inner_radii=tall, measured_from=-3, crown_opening="3.57 m"))
    assert [course.number for course in build_dome(design).courses] == [-3, -2, -1, 0, 1, 2]
    assert build_dome(design).course(1).inner_radius == 1.79


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({"fixed_compass_pivot": "outer face"}, "no pivot with profile"),
        ({"measured_from": -4}, "a course there is: -3 is the lowest"),
        ({"crown_opening": "0.3 m"}, "into which at least one more fits"),
        ({"course_tops": ["0.13 m", "0.26 m"]}, "as many levels as there are inner_radii"),
        ({"course_tops": ["0.13 m", "0.26 m", "0.25 m"]}, "levels of course tops that do not fall"),
        ({"course_tops": ["0.13 m", "0.26 m", "0.27 m"]}, "course 3 is 10 mm high"),
    ],
)
def test_a_measured_profile_ignores_nothing(keys: dict[str, Any], says: str) -> None:
    with pytest.raises(InputError) as caught:
        design_from_document(measured(**keys))
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("path", "value", "says"),
    [
        ("building.unfinished", True, "where the dome is unfinished"),
        ("building.laid", 4, "at most 3"),
        ("building.laid_on", [0, 2, 1], "do not fall"),
        ("building.laid_on", [0] * 8, "at most 7 values"),
        ("building.laid_on", [0] * 5, "days, one a course that stands"),
        ("building.wetted", ["4 m"], "a value from"),
    ],
)
def test_how_far_the_work_has_come_fits_the_courses(path: str, value: Any, says: str) -> None:
    with pytest.raises(InputError) as caught:
        design_from_document(set_key(measured(), path, value))
    assert says in str(caught.value)


@pytest.mark.parametrize(("key", "value"), [("laid", 3), ("laid_on", [0, 90]), ("wetted", ["1 mm"])])
def test_only_a_wall_that_was_measured_has_stages_behind_it(key: str, value: Any) -> None:
    """`laid` on a planned dome once left out every stage below it, and far-apart days hardened courses to come."""
    with pytest.raises(InputError) as caught:
        design_from_document(set_key(GOOD, f"building.{key}", value))
    assert f"building.{key}" in str(caught.value) and 'only with profile = "measured"' in str(caught.value)


def test_an_unfinished_dome_is_not_judged_as_finished() -> None:
    document = set_key(set_key(measured(crown_opening="0.3 m"), "building.unfinished", True), "building.laid", 3)
    cases = build_model(design_from_document(document)).cases
    assert {case.kind for case in cases} == {"stage", "rain"} and {case.stage for case in cases} == {3}


def test_only_what_is_tested_asks_for_less() -> None:
    measured = set_key(GOOD, "fill.strength_as_placed", {"value": "0.1 MPa", "source": "measured"})
    required = design_from_document(measured).criteria.required
    assert (required["strength"], required["strength while building"]) == (2.5, 1.5)
    cement = design_from_document(
        set_key(set_key(measured, "fill.stabiliser", "cement"), "fill.strength_wet", "0.02 MPa")
    )
    assert cement.criteria.required["strength"] == 3.0  # damp hardened fill rests on the wet strength too


def test_a_cohesion_that_was_not_tested_is_refused() -> None:
    assert "only a tested value" in refusal(set_key(GOOD, "beds.cohesion", "5 kPa"))
    tested = set_key(GOOD, "beds.cohesion", {"value": "5 kPa", "source": "measured"})
    assert design_from_document(tested).beds.cohesion == 5.0


def test_metres_or_feet_give_the_same_design() -> None:
    metric = parse_design(
        '[dome]\ninside_diameter = "3.6576 m"\n[wall]\ncourse_height = "127 mm"\nfilled_width = "381 mm"\n'
    )
    feet = parse_design(
        '[dome]\ninside_diameter = "12 ft"\n[wall]\ncourse_height = "5 in"\nfilled_width = "1 ft 3 in"\n'
    )
    assert feet.unit_system == "imperial" and metric.unit_system == "metric"
    for section in ("dome", "wall", "fill", "beds", "site"):
        a, b = vars(getattr(metric, section)), vars(getattr(feet, section))
        for key, value in a.items():
            assert b[key] == (pytest.approx(value, rel=1e-12) if isinstance(value, float) else value)


@pytest.mark.parametrize("text", ["[dome", "dome = 3", "[dome]\ninside_diameter = ", "\x00", "a = 1\na = 2"])
def test_truncated_files(text: str) -> None:
    with pytest.raises(InputError):
        parse_design(text)


def test_files_that_are_no_files(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="found a folder"):
        read_design(tmp_path)
    with pytest.raises(InputError, match="no such file"):
        read_design(tmp_path / "none.toml")
    (tmp_path / "bytes.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="UTF-8"):
        read_design(tmp_path / "bytes.toml")


def test_the_starter_is_a_good_design_and_never_overwrites(tmp_path: Path) -> None:
    assert parse_design(starter_text()).name == "Seed store"
    target = tmp_path / "mine.toml"
    write_starter(target)
    with pytest.raises(OutputError, match="nothing was written"):
        write_starter(target)
    with pytest.raises(OutputError, match="place to write"):
        write_starter(tmp_path / "nowhere" / "mine.toml")
