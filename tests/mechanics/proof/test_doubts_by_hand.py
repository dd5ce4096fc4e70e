"""What no proof cures, and which values are tried at the bad end of their range: by hand, and as `check` does it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from certificates import SHELTER, SMALL, WINDOW

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.mechanics.proof.doubts import doubts, trials
from shellcheck_earth.mechanics.proof.reading import Design, read
from shellcheck_earth.safety.assumptions import beyond_range
from shellcheck_earth.safety.untested import unfavourable_trials

PLAIN = """[dome]
inside_diameter = "3.6 m"
[wall]
flat_width = "450 mm"
course_height = "135 mm"
[fill]
placing_moisture = "9 %"
"""
DESIGNS = {
    "nothing said": PLAIN,
    "no wire": PLAIN + "[beds]\nwire_strands = 0\n",
    "open mesh": PLAIN.replace("[fill]", 'fabric = "open mesh"\n[fill]'),
    "cement": PLAIN + 'stabiliser = "cement"\n',
    "placed nearly dry": PLAIN.replace('"9 %"', '"7.5 %"'),
    "placed wet": PLAIN.replace('"9 %"', '"12 %"'),
    "stated": PLAIN
    + '[beds]\nfriction = 0.45\n[site]\nground_bearing = "100 kPa"\nrain = { intensity = "20 mm/h", hours = 9 }\n',
    "a climate": PLAIN + '[building]\nclimate = "temperate"\n',
    "untested fabric": PLAIN + "[building]\ncount_fabric = true\n",
    "a climate and a table": PLAIN + '[building]\nclimate = "temperate"\ndrying = [["1 days", "8 %"]]\n',
    "a class of ground": PLAIN + '[site]\nground = "sand"\n',
    "tested": SMALL,
    "tested in part": SMALL.replace(
        'strength_dry = { value = "3 MPa", source = "measured" }', 'strength_dry = "3 MPa"'
    ),
}


@pytest.mark.parametrize("text", DESIGNS.values(), ids=DESIGNS)
def test_the_same_trials_as_check_makes(text: str) -> None:
    """Two readings of one table, written apart: the paths and the ends; a speed is in m/h here and in m/s there."""
    theirs = {path: value for path, value, _, _ in unfavourable_trials(parse_design(text))}
    mine = {name.split("=")[0]: float(name.split("=")[1]) for name, _ in trials(read(text))}
    if "fill.hydraulic_conductivity" in theirs:
        theirs["fill.hydraulic_conductivity"] *= 3600
    assert mine == pytest.approx(theirs, rel=1e-5)


@pytest.mark.parametrize("text", DESIGNS.values(), ids=DESIGNS)
def test_the_same_values_past_their_range(text: str) -> None:
    mine = [one.split(" ")[0] for one in doubts(read(text)) if "beyond the range" in one]
    assert sorted(mine) == sorted(one.path for one in beyond_range(parse_design(text)))


# path: (bad end, good end, a value between) of PLAIN; from the published table of defaults, by hand, in kPa, kN, m, m/h
MORE: dict[str, tuple[str, str, str]] = {
    "fill.strength_dry": ("300", "2000", "700"),
    "fill.strength_as_placed": ("50", "300", "120"),
    "fill.strength_wet": ("0", "20", "10"),
    "beds.friction": ("0.40", "0.70", "0.5"),
    "beds.friction_wet": ("0.25", "0.45", "0.35"),
    "beds.friction_no_wire": ("0.25", "0.50", "0.4"),
    "beds.wire_breaking_load": ("2.4", "4.2", "3"),
    "beds.wire_strands": ("0", "4", "2"),
    "beds.wire_counted_share": ("0", "0.3", "0.15"),
    "site.ground_bearing": ("72", "575", "100"),
    "site.ground_friction": ("0.086", "0.70", "0.3"),
    "site.ground_bearing_wet": ("72", "575", "90"),
    "site.ground_friction_wet": ("0.086", "0.70", "0.2"),
    "building.rest_days": ("0", "30", "10"),
}
LESS: dict[str, tuple[str, str, str]] = {
    "wall.edge_rounding": ("0.045", "0.015", "0.03"),
    "fill.dry_density": ("1950", "1500", "1700"),
    "fill.placing_moisture": ("0.12", "0.07", "0.1"),
    "fill.service_moisture": ("0.09", "0.01", "0.05"),  # as placed: 9 %
    "fill.hydraulic_conductivity": ("0.01", "0.00001", "0.001"),
    "fill.suction_head": ("0.32", "0.05", "0.2"),
    "building.worker": ("2", "1", "1.5"),
    "site.rain.intensity": ("0.05", "0.002", "0.01"),
    "site.rain.hours": ("120", "2", "24"),
    "building.courses_per_day": ("4", "1", "2"),
    "building.cover_after": ("24", "0.25", "6"),
}
DECIDED = (
    "beds.wire_strands", "beds.wire_counted_share", "building.worker", "site.rain.intensity", "site.rain.hours",
    "building.rest_days", "building.courses_per_day", "building.cover_after",
)  # fmt: skip


def with_value(path: str, value: Fraction, basis: str = "stated", text: str = PLAIN) -> Design:
    design = read(text)
    bases = {**design.bases, path: basis}
    if path.startswith("fill."):
        low, high, fill = design.fills[0]
        fills = ((low, high, {**fill, path[5:]: value}), *design.fills[1:])
        known = ({**design.fill_bases[0], path: basis}, *design.fill_bases[1:])
        return replace(design, fills=fills, fill_bases=known, bases=bases)
    return replace(design, values={**design.values, path: value}, bases=bases)


def of_rings(design: Design) -> tuple[str, ...]:
    """The doubts of a dome on which nobody stands: what blocks rest on is another test's."""
    return doubts(replace(design, needs_blocks=design.needs_more_than_crew))


@pytest.mark.parametrize("path", [*MORE, *LESS])
def test_a_value_past_the_good_end_of_its_range_is_in_doubt(path: str) -> None:
    _, good, middle = (MORE | LESS)[path]
    past = Fraction(1001, 1000) if path in MORE else Fraction(999, 1000)
    for value, doubted in ((Fraction(good), False), (Fraction(good) * past, True), (Fraction(middle), False)):
        for basis in ("stated", "assumed", "measured"):
            found = [one for one in of_rings(with_value(path, value, basis)) if one.startswith(f"{path} ")]
            assert bool(found) == (doubted and (basis != "measured" or path in DECIDED)), (value, basis)


@pytest.mark.parametrize("path", [*MORE, *LESS])
def test_a_value_that_was_not_measured_is_tried_at_the_bad_end(path: str) -> None:
    bad, _, middle = (MORE | LESS)[path]

    def tried(value: str, basis: str) -> dict[str, Design]:
        return {name.split("=")[0]: one for name, one in trials(with_value(path, Fraction(value), basis))}

    assert (path in tried(middle, "stated")) == (path not in DECIDED)
    assert (path in tried(middle, "assumed")) == (path not in DECIDED)
    assert path not in tried(middle, "measured") and path not in tried(bad, "stated")
    if path in DECIDED:
        return
    design = tried(middle, "stated")[path]
    there = design.fills[0][2][path[5:]] if path.startswith("fill.") else design[path]
    assert there == Fraction(bad)


def changed(before: Design, after: Design) -> dict[str, Any]:
    """What a trial changes: values by path, keys of the fill."""
    values: dict[str, Any] = {p: v for p, v in after.values.items() if v != before.values[p]}
    return values | {f"fill.{k}": v for k, v in after.fills[0][2].items() if v != before.fills[0][2][k]}


FOLLOWS: dict[str, tuple[str, dict[str, str]]] = {
    # path tried: (what the design says beside, what comes down with it)
    "beds.friction": (
        "[beds]\nfriction = 0.6\nfriction_wet = 0.45\nfriction_no_wire = 0.5\n",
        {"beds.friction": "0.40", "beds.friction_wet": "0.40", "beds.friction_no_wire": "0.40"},
    ),
    "site.ground_friction": (
        "[site]\nground_friction = 0.5\nground_friction_wet = 0.4\n",
        {"site.ground_friction": "0.086", "site.ground_friction_wet": "0.086"},
    ),
    "site.ground_bearing": (
        '[site]\nground_bearing = "150 kPa"\nground_bearing_wet = "120 kPa"\n',
        {"site.ground_bearing": "72", "site.ground_bearing_wet": "72"},
    ),
    "fill.strength_dry": (
        'strength_dry = "0.5 MPa"\nstrength_as_placed = "0.4 MPa"\nstrength_wet = "0.35 MPa"\n',
        {"fill.strength_dry": "300", "fill.strength_as_placed": "300", "fill.strength_wet": "300"},
    ),
    "fill.strength_as_placed": (
        'strength_dry = "0.5 MPa"\nstrength_as_placed = "0.2 MPa"\nstrength_wet = "0.1 MPa"\n',
        {"fill.strength_as_placed": "50", "fill.strength_wet": "50"},
    ),
}


@pytest.mark.parametrize("path", FOLLOWS)
def test_what_may_not_be_better_comes_down_with_it(path: str) -> None:
    said, expected = FOLLOWS[path]
    design = read(PLAIN + said)
    found = next(one for name, one in trials(design) if name.startswith(f"{path}="))
    assert changed(design, found) == {key: Fraction(value) for key, value in expected.items()}


def test_the_wet_strength_of_stabilised_fill_comes_down_to_the_dry_one_alone() -> None:
    said = 'stabiliser = "cement"\nstrength_dry = "1.5 MPa"\nstrength_as_placed = "0.4 MPa"\nstrength_wet = "1.2 MPa"\n'
    design = read(PLAIN + said)
    found = {name.split("=")[0]: changed(design, one) for name, one in trials(design)}
    assert found["fill.strength_dry"] == {"fill.strength_dry": 1000, "fill.strength_wet": 1000}
    assert found["fill.strength_as_placed"] == {"fill.strength_as_placed": 300}
    assert found["fill.strength_wet"] == {"fill.strength_wet": 400}


def test_denser_fill_has_less_room_for_water() -> None:
    """1950 of 2650 kg/m3: 1000/1950 - 1000/2650 = 13.55 %; a service moisture of 15 % comes down to it."""
    design = read(PLAIN + 'service_moisture = "15 %"\n')
    found = next(one for name, one in trials(design) if name.startswith("fill.dry_density="))
    full = Fraction(1000, 1950) - Fraction(1000, 2650)
    assert changed(design, found) == {
        "fill.dry_density": 1950, "fill.full": full, "fill.service_moisture": full
    }  # fmt: skip


def test_each_group_of_courses_is_tried_and_doubted_by_itself() -> None:
    text = PLAIN.replace(
        "[fill]",
        '[[wall.courses]]\nto = 2\nstrength_dry = "0.9 MPa"\n'
        '[[wall.courses]]\nfrom = 9\ndry_density = "1400 kg/m3"\n[fill]',
    )
    design = read(text)
    names = [name for name, _ in trials(design) if name.startswith("fill.strength_dry=")]
    assert names == ["fill.strength_dry=300", "fill.strength_dry=300, group 1"]
    whole = {name: one for name, one in trials(design)}["fill.strength_dry=300"]
    assert [fill["strength_dry"] for _, _, fill in whole.fills] == [300, 900, 300]  # the second group inherits it
    tried = {name: one for name, one in trials(design)}["fill.strength_dry=300, group 1"]
    assert [fill["strength_dry"] for _, _, fill in tried.fills] == [500, 300, 500]
    assert [(low, high) for low, high, _ in tried.fills] == [(low, high) for low, high, _ in design.fills]
    assert [one for one in of_rings(design) if "fill." in one] == [
        "fill.dry_density is not measured and beyond the range of such values"
    ]


@pytest.mark.parametrize(
    ("old", "new", "doubt"),
    [
        ('snow = { value = "none", reason = "no snow lies in this valley" }\n', "", "site.snow is not stated"),
        (
            'snow = { value = "none", reason = "no snow lies in this valley" }',
            'snow = "0 kPa"',
            "site.snow is not stated",
        ),
        ('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "1 kPa"', ""),
        (
            'wind_pressure = { value = "none", reason = "walled orchard, invented example" }\n',
            "",
            "site.wind_pressure is not",
        ),
        ('earthquake = { value = "none", reason = "no shaking, invented example" }\n', "", "site.earthquake is not"),
        ("[dome]\n", '[dome]\nfloor_above_ground = "-1 mm"\n', "water may press"),
        ("[dome]\n", '[dome]\nfloor_above_ground = "0 m"\n', ""),
        ("[dome]\n", "[criteria]\nbed_friction = 1.49\n[dome]\n", "bed friction is asked for less"),
        ("[dome]\n", "[criteria]\nbed_friction = 1.5\nstrength = 2.5\n[dome]\n", ""),
    ],
)
def test_what_stands_against_a_design(old: str, new: str, doubt: str) -> None:
    assert doubts(read(SMALL)) == ()
    found = doubts(read(SMALL.replace(old, new)))
    assert (len(found) == 1 and doubt in found[0]) if doubt else found == ()


@pytest.mark.parametrize("path", ["beds.friction", "fill.strength_dry", "beds.wire_breaking_load"])
def test_blocks_rest_on_what_was_measured(path: str) -> None:
    """Wire that is not there is not doubted."""
    whole, key = SHELTER + WINDOW, path.partition(".")[2]
    line = next(line for line in whole.splitlines() if line.startswith(f"{key} ="))
    value = line.partition("value = ")[2].partition(", source")[0]
    unsaid = whole.replace(line, f"{key} = {value}")
    for text, strands, doubted in ((whole, 2, False), (unsaid, 2, True), (unsaid, 0, key != "wire_breaking_load")):
        found = doubts(read(text.replace("[beds]\n", f"[beds]\nwire_strands = {strands}\n")))
        assert (f"{path} is not measured, and block cases rest on it" in found) == doubted
