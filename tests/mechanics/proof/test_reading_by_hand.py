"""The checker's reader by hand: every default it fills in, and what it refuses at the edge of each rule."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest
from certificates import SMALL

from shellcheck_earth.mechanics.proof.keys import default
from shellcheck_earth.mechanics.proof.reading import RefusedError, read

PLAIN = """[dome]
inside_diameter = "3.6 m"
[wall]
flat_width = "450 mm"
course_height = "135 mm"
"""


def test_what_the_file_leaves_out() -> None:
    """Defaults of the published table; the width by the fabric's perimeter; the strength as placed by moisture."""
    design = read(PLAIN)
    assert float(design["wall.filled_width"]) == pytest.approx(0.45 - (pi / 2 - 1) * 0.135, rel=1e-12)
    assert design["beds.friction"] == Fraction("0.50") and design["beds.friction_wet"] == Fraction("0.35")
    assert design["beds.friction_no_wire"] == Fraction("0.40")
    fill = design.fills[0][2]
    assert fill["service_moisture"] == fill["placing_moisture"] == Fraction(1, 10)
    assert float(fill["strength_as_placed"]) == pytest.approx(500 * 0.15 ** ((0.10 - 0.04) / 0.07), rel=1e-12)
    assert (fill["strength_dry"], fill["strength_wet"]) == (500, 0)
    assert (design["site.ground_bearing"], design["site.ground_friction"]) == (72, Fraction("0.086"))
    assert set(design.bases.values()) <= {"assumed", "stated"}
    assert design["building.cover_after"] is None and design["beds.wire_bond"] is None
    assert default("beds.wired.friction", "low") == Fraction("0.40")
    assert (
        not design.needs_more_than_crew and design.tested == frozenset() and design.asked.set_name == "common practice"
    )


@pytest.mark.parametrize(
    ("added", "path", "value"),
    [
        ("[beds]\nwire_strands = 0\n", "beds.friction", "0.40"),
        ("[beds]\nwire_strands = 0\nfriction = 0.45\nfriction_no_wire = 0.3\n", "beds.friction_no_wire", "0.45"),
        ("[beds]\nfriction = 0.3\n", "beds.friction_wet", "0.3"),
        ("[beds]\nfriction = 0.3\n", "beds.friction_no_wire", "0.3"),
        ('[site]\nground_bearing = "50 kPa"\n', "site.ground_bearing_wet", "50"),
        ('[site]\nground_bearing = "500 kPa"\n', "site.ground_bearing_wet", "72"),
        ('[site]\nground = "rock"\n', "site.ground_bearing", "575"),
        ('[site]\nground = "rock"\n', "site.ground_friction_wet", "0.70"),
        ('[site]\nground = "rock"\nground_bearing = "300 kPa"\n', "site.ground_bearing_wet", "300"),
        ('[beds]\nwire_bond = { value = "0.3 kN/m", source = "measured" }\n', "beds.wire_bond", "0.3"),
        ('[building]\ncover_after = "90 min"\n', "building.cover_after", "1.5"),
    ],
)
def test_values_that_follow_from_others(added: str, path: str, value: str) -> None:
    assert read(PLAIN + added)[path] == Fraction(value)


def test_open_mesh_has_frictions_of_its_own() -> None:
    design = read(PLAIN + 'fabric = "open mesh"\n')
    assert [design[f"beds.friction{end}"] for end in ("", "_wet", "_no_wire")] == [
        Fraction("0.55"), Fraction("0.40"), Fraction("0.55")
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("moisture", "strength"),
    [("4 %", 300.0), ("5 %", 300.0), ("7 %", 500 * 0.15 ** (3 / 7)), ("11 %", 75.0), ("13 %", 500 * 0.15 ** (9 / 7))],
)
def test_the_strength_as_placed_falls_with_the_moisture(moisture: str, strength: float) -> None:
    fill = read(PLAIN + f'[fill]\nplacing_moisture = "{moisture}"\n').fills[0][2]
    assert float(fill["strength_as_placed"]) == pytest.approx(strength, rel=1e-12)
    weak = read(PLAIN + f'[fill]\nplacing_moisture = "{moisture}"\nstrength_dry = "60 kPa"\n').fills[0][2]
    assert float(weak["strength_as_placed"]) == pytest.approx(min(strength, 60.0))


def test_groups_of_courses() -> None:
    groups = (
        'from = 3\nto = 3\nstabiliser = "cement"',
        'to = 2\nstrength_dry = { value = "0.4 MPa", source = "measured" }',
        "from = 4",
    )
    text = PLAIN + "".join(f"[[wall.courses]]\n{group}\n" for group in groups) + '[fill]\nstrength_dry = "0.7 MPa"\n'
    design = read(text)
    assert [(low, high, fill["strength_dry"]) for low, high, fill in design.fills] == [
        (-999, 999, 700), (3, 3, 1500), (-999, 2, 400), (4, 999, 700)
    ]  # fmt: skip
    assert design.fills[1][2]["strength_wet"] == 750
    assert [known["fill.strength_dry"] for known in design.fill_bases] == ["stated", "assumed", "measured", "stated"]
    one = read(
        PLAIN + '[[wall.courses]]\nfrom = 3\n[fill]\nstrength_dry = { value = "0.4 MPa", source = "measured" }\n'
    )
    assert [known["fill.strength_dry"] for known in one.fill_bases] == ["measured", "measured"]


@pytest.mark.parametrize(
    ("states", "tested"),
    [
        (("dry", "as_placed", "wet"), {"strength", "strength while building"}),
        (("dry", "as_placed"), set()),  # stabilised fill counts its wet strength
        (("as_placed", "wet"), {"strength while building"}),
    ],
)
def test_what_counts_as_tested(states: tuple[str, ...], tested: set[str]) -> None:
    text = SMALL
    for state, value in (("dry", "3 MPa"), ("as_placed", "0.5 MPa"), ("wet", "1 MPa")):
        if state not in states:
            text = text.replace(
                f'strength_{state} = {{ value = "{value}", source = "measured" }}', f'strength_{state} = "{value}"'
            )
    design = read(text)
    assert design.tested == tested
    assert design.required["strength"] == (Fraction("2.5") if "strength" in tested else 3)
    assert design.required["strength while building"] == (Fraction("1.5") if "strength while building" in tested else 2)


def test_fill_without_stabiliser_is_tested_without_its_wet_strength() -> None:
    text = PLAIN + "".join(
        f'{line}\n' for line in ("[fill]", 'strength_dry = { value = "0.5 MPa", source = "measured" }',
                                 'strength_as_placed = { value = "0.1 MPa", source = "measured" }')
    )  # fmt: skip
    assert read(text).tested == {"strength", "strength while building"}


@pytest.mark.parametrize(
    ("criteria", "check", "required", "lowered"),
    [
        ("bed_friction = 1.5", "bed friction", "1.5", False),
        ("bed_friction = 1.49", "bed friction", "1.49", True),
        ("bed_friction = 1", "bed friction", "1", True),
        ("bed_friction = 100", "bed friction", "100", False),
        ("strength_while_building = 2.5", "strength while building", "2.5", False),
    ],
)
def test_criteria(criteria: str, check: str, required: str, lowered: bool) -> None:
    design = read(PLAIN + f"[criteria]\n{criteria}\n")
    assert design.required[check] == Fraction(required)
    assert design.asked.lowered == ((check,) if lowered else ())


OPENING = (
    '[[opening]]\nkind = "door"\nbearing = "0 deg"\nsill = "0 m"\nwidth = "0.8 m"\nheight = "1.5 m"\nhead = "pointed"\n'
)


NOBODY = PLAIN + '[building]\nscaffold_above = "0 m"\n'


@pytest.mark.parametrize(
    ("added", "blocks"),
    [
        ("", False),
        (OPENING, True),
        ('[[buttress]]\nbearing = "90 deg"\nlength = "1 m"\nwidth = "0.5 m"\nheight = "1 m"\n', True),
        ('[site]\nsnow = "1 kPa"\n', True),
        ('[site]\nsnow = "0 kPa"\n', False),
        ("[site]\nearthquake = 0.1\n", True),
        ('[site]\nwind_pressure = "0.5 kPa"\n', True),
        ('[site]\nsnow = { value = "none", reason = "never lies" }\n', False),
    ],
)
def test_which_designs_need_blocks(added: str, blocks: bool) -> None:
    assert read(NOBODY + added).needs_blocks == read(NOBODY + added).needs_more_than_crew == blocks


@pytest.mark.parametrize(
    ("said", "blocks"),
    [
        ("", True),
        ('worker = "0 kN"\n', False),
        ('scaffold_above = "0 m"\n', False),
        ('scaffold_above = "1 mm"\n', True),
        ('scaffold_above = "4 ft"\nworker = "0.1 kN"\n', True),
    ],
)
def test_one_person_on_one_side_needs_blocks(said: str, blocks: bool) -> None:
    design = read(f"{PLAIN}[building]\n{said}")
    assert design.needs_blocks == blocks and not design.needs_more_than_crew
    assert design["building.scaffold_above"] == {"4 ft": Fraction("1.2192"), "1 mm": Fraction("0.001"), "0 m": 0}.get(
        said.partition('"')[2].partition('"')[0] if said.startswith("scaffold") else ""
    )


@pytest.mark.parametrize(
    ("section", "line"),
    [
        ("dome", 'profile = "measured"'),
        ("dome", 'inner_radii = ["1.8 m"]'),
        ("dome", 'profile = "measured"\nmeasured_from = 1\ninner_radii = ["1.8 m", "9 mm"]'),
        ("dome", 'profile = "measured"\nmeasured_from = 1\ninner_radii = ["1.8 m", "30.1 m"]'),
        ("dome", 'profile = "measured"\nmeasured_from = 1\ninner_radii = "1.8 m"'),
        ("dome", 'profile = "oval"'),
        ("dome", "profile = 3"),
        ("dome", 'crown_opening = "-1 mm"'),
        ("dome", 'fixed_compass_pivot = "-5.1 m"'),
        ("dome", 'fixed_compass_pivot = "30.1 m"'),
        ("dome", 'fixed_compass_pivot = "inner"'),
        ("dome", 'fixed_compass_pivot = { value = "1 m", source = "hearsay" }'),
        ("dome", 'fixed_compass_pivot = { value = "1 m", source = "measured", colour = 1 }'),
        ("building", "drying = [" + ", ".join(f'["{d} days", "5 %"]' for d in range(101)) + "]"),
        ("dome", 'colour = "red"'),
        ("wall", 'filled_width = "450 mm"'),
        ("wall", "buried_courses = 21"),
        ("wall", "buried_courses = 1.5"),
        ("wall", "buried_courses = -1"),
        ("wall", 'courses = "all"'),
        ("wall", 'courses = ["all"]'),
        ("wall", "courses = [{ from = 3, to = 2 }]"),
        ("wall", "courses = [{ from = 3, to = 5 }, { from = 5 }]"),
        ("wall", "courses = [{ to = 3 }, { from = 3 }]"),
        ("wall", "courses = [{ from = -21 }]"),
        ("wall", "courses = [{ from = 3, colour = 1 }]"),
        ("wall", 'individual_bags = "true"'),
        ("wall", "individual_bags = 1"),
        ("wall", 'bag_length = "1 mm"'),
        ("fill", 'dry_density = "2650 kg/m3"\nparticle_density = "2650 kg/m3"'),
        ("fill", 'placing_moisture = "19.5 %"'),
        ("fill", 'service_moisture = "19.5 %"'),
        ("fill", 'strength_as_placed = "501 kPa"'),
        ("fill", 'strength_wet = "200 kPa"'),
        ("fill", 'stabiliser = "cement"\nstrength_wet = "1501 kPa"'),
        ("fill", 'strength_dry = { value = "0.5 MPa", source = "stated" }'),
        ("fill", 'strength_dry = { value = "0.5 MPa" }'),
        ("beds", "friction = 0.4\nfriction_wet = 0.41"),
        ("beds", "friction = 0.4\nfriction_no_wire = 0.41"),
        ("beds", 'cohesion = "1 kPa"'),
        ("beds", 'wire_bond = "1 kN/m"'),
        ("beds", 'cohesion_wet = { value = "1 kPa", source = "measured" }'),
        ("building", "drying = []"),
        ("building", 'drying = "quickly"'),
        ("building", "laid = 2"),
        ("building", "laid_on = [0, 30]"),
        ("building", 'wetted = ["3 mm"]'),
        ("building", 'drying = [["1 days"]]'),
        ("building", 'drying = [["2 days", "9 %"], ["2 days", "8 %"]]'),
        ("building", 'drying = [["1 days", "8 %"], ["2 days", "9 %"]]'),
        ("building", 'drying = [["-1 days", "8 %"]]'),
        ("building", 'drying = [["1 days", "101 %"]]'),
        ("building", 'climate = "dry"'),
        ("building", 'cover_after = "-1 h"'),
        ("site", 'ground = "mud"'),
        ("site", 'ground_bearing_wet = "73 kPa"'),
        ("site", "ground_friction_wet = 0.087"),
        ("site", 'snow = { value = "none", reason = "no" }'),
        ("site", 'snow = { value = "none", reason = "      no     " }'),
        ("site", 'rain = { value = "none", reason = "never rains here" }'),
        ("site", 'ground_bearing = { value = "none", reason = "floats in the air" }'),
        ("criteria", 'set = "hope"'),
        ("criteria", "set = 3"),
        ("criteria", "bed_friction = 0.99"),
        ("criteria", "bed_friction = 101"),
        ("criteria", "bed_friction = true"),
        ("criteria", 'bed_friction = "2"'),
        ("criteria", "trust = 2"),
        ("design", "name = 3"),
        ("design", f'note = "{"x" * 401}"'),
    ],
)
def test_what_is_refused(section: str, line: str) -> None:
    text = (
        PLAIN.replace(f"[{section}]\n", f"[{section}]\n{line}\n")
        if f"[{section}]" in PLAIN
        else f"{PLAIN}[{section}]\n{line}\n"
    )
    if "flat_width" in PLAIN and line.startswith("filled_width"):
        assert read(text.replace('"450 mm"\nflat', '"429 mm"\nflat'))  # of sqrt(450^2 - 135^2) = 429.3 mm
    read(PLAIN)
    with pytest.raises(RefusedError):
        read(text)


@pytest.mark.parametrize(
    "text",
    [
        PLAIN.replace('inside_diameter = "3.6 m"\n', ""),
        PLAIN.replace('course_height = "135 mm"\n', ""),
        PLAIN.replace('flat_width = "450 mm"\n', ""),
        "dome = 3\n",
        PLAIN + "criteria = 3\n",
        "criteria = 3\n" + PLAIN,
        "opening = 3\n" + PLAIN,
        PLAIN + OPENING * 41,
        PLAIN + OPENING.replace("door", "hatch"),
        PLAIN + OPENING.replace('"0.8 m"', '"11 m"'),
        PLAIN + OPENING + "colour = 1\n",
        PLAIN + "[opening.x]\nwidth = 3\n",
        PLAIN + '"opening.width" = "1 m"\n',
        "[fence]\nheight = 3\n" + PLAIN,
        PLAIN + " " * 1_000_001,
        PLAIN + "[",
    ],
)
def test_files_that_are_no_design(text: str) -> None:
    with pytest.raises(RefusedError):
        read(text)


def test_the_edges_of_what_is_allowed() -> None:
    for section, line in (
        ("dome", 'profile = "measured"\nmeasured_from = 1\ninner_radii = ["1.8 m", "10 mm", "30 m"]'),
        ("dome", 'fixed_compass_pivot = "-5 m"'),
        ("dome", 'fixed_compass_pivot = { value = "30 m", source = "measured" }'),
        ("wall", "courses = [{ from = 3, to = 3 }, { from = 4, to = 4 }]"),
        ("building", 'drying = [["0 h", "9 %"], ["2 days", "9 %"]]'),
        ("site", 'ground_bearing_wet = "72 kPa"'),
        ("site", 'snow = { value = "none", reason = "never" }'),
        ("fill", 'strength_as_placed = "500 kPa"\nstrength_wet = "500 kPa"'),
        ("fill", 'stabiliser = "cement"\nstrength_wet = "1500 kPa"'),
        ("beds", "friction = 0.4\nfriction_wet = 0.4\nfriction_no_wire = 0.4"),
        ("design", f'name = "{"x" * 400}"'),
        ("wall", "individual_bags = false"),
        ("wall", "individual_bags = true"),
        ("site", "roof = false"),
        ("building", "count_fabric = false"),
        ("building", "drying = [" + ", ".join(f'["{d} days", "5 %"]' for d in range(100)) + "]"),
    ):
        text = (
            PLAIN.replace(f"[{section}]\n", f"[{section}]\n{line}\n")
            if f"[{section}]" in PLAIN
            else f"{PLAIN}[{section}]\n{line}\n"
        )
        assert read(text).fills
    assert read(PLAIN + OPENING * 40).needs_blocks


def test_a_class_of_ground_is_a_statement() -> None:
    paths = [f"site.ground_{key}{wet}" for key in ("bearing", "friction") for wet in ("", "_wet")]
    assert {read(PLAIN).bases[path] for path in paths} == {"assumed"}
    said = read(PLAIN + '[site]\nground = "sand"\nground_bearing = { value = "90 kPa", source = "measured" }\n')
    assert [said.bases[path] for path in paths] == ["measured", "stated", "stated", "stated"]
