"""The checker's own rebuilding against the program's: two readings of one rule, written apart, bed by bed."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from certificates import SHELTER

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.doubts import trials
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.proof.rebuild import STANDS, rebuild, rebuild_trial
from shellcheck_earth.mechanics.proof.states import Bed
from shellcheck_earth.mechanics.proof.statics import Loaded
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import FRICTION_BOND, Lune
from shellcheck_earth.safety.checks import combined_questions
from shellcheck_earth.safety.margins import case_margins
from shellcheck_earth.safety.proofs import question_of

PLAIN = """[dome]
inside_diameter = "3.6 m"
[wall]
flat_width = "450 mm"
course_height = "135 mm"
"""


def variant(*changes: tuple[str, str]) -> str:
    text = SHELTER
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def measured(key: str, value: str) -> str:
    return f'{key} = {{ value = "{value}", source = "measured" }}\n'


GROUPS = f"""[[wall.courses]]
to = 1
placing_moisture = "8 %"
{measured("strength_as_placed", "0.6 MPa")}[[wall.courses]]
from = 7
stabiliser = "none"
[fill]
"""
FEET = PLAIN.replace('"3.6 m"', '"9 ft 6 1/2 in"').replace('"450 mm"', '"18 in"').replace('"135 mm"', '"5 3/4 in"')
COHESION = measured("cohesion", "4 kPa") + measured("cohesion_wet", "1 kPa") + measured("wire_bond", "0.3 kN/m")
DRYING = 'drying = [["1 days", "8 %"], ["4 days", "5 %"], ["20 days", "2 %"]]\nrest_days = 1\ncourses_per_day = 1.5\n'
CLIMATE = 'climate = "hot and dry"\ncount_fabric = true\ncourses_per_day = 1\n'
QUICK = '[fill]\nhydraulic_conductivity = "1 cm/h"\nplacing_moisture = "3.5 %"\n'
STEMS = 'springing_above_floor = "270 mm"\nfloor_above_ground = "0 m"\n[wall]\nburied_courses = 3'
STEPS_OUT = '["1.8 m", "1.75 m", "1.72 m", "1.74 m", "1.6 m", "1.41 m"]'
RADII = f'profile = "measured"\ninner_radii = {STEPS_OUT}\nmeasured_from = 1\n'
OPEN = 'crown_opening = "2.7 m"\n'
TOPS = 'course_tops = ["131 mm", "0.262 m", "0.40 m", "21 in", "0.66 m", "0.79 m"]\n'
WORK = '[building]\nlaid = 4\nlaid_on = [0, 0, 1, 1, 3, 4]\nwetted = ["12 mm", "0 mm", "30 mm", "0.3 m"]'
SNOWED = variant(('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "1.2 kPa"'))
OWN = """[[criteria.combination]]
name = "Orchard county, snow leads"
clause = "Invented ordinance, 7"
permanent = 1.25
imposed = 0
snow = 1.7
water = 0
wind = 0
earthquake = 0
friction = 1.3
cohesion = 1.4
strength = 3.1
strength_building = 2.2
wire = 1.5
"""
LIGHT_CREW = SHELTER.replace('worker = "1.5 kN"', 'worker = "0.2 kN"') + '[criteria]\nset = "EN 1990"\n'
RING = """[[ring_load]]
name = "Skylight"
height = "70 cm"
weight = { low = "-300 lbf", high = "2 kN" }
thrust = "1.5 kN"
from_inner_face = { low = "5 in", high = "0.3 m", source = "measured" }
"""
LOFT = """[[ring_load]]
name = "Loft"
height = "270 mm"
weight = { value = "3 kN", source = "assumed" }
thrust = "0 kN"
from_inner_face = "0.1 m"
"""
UNTESTED_GROUND = (
    SHELTER.replace('{ value = "250 kPa", source = "measured" }', '"150 kPa"')
    .replace('{ value = "200 kPa", source = "measured" }', '"120 kPa"')
    .replace('ground_friction = { value = 0.60, source = "measured" }', "ground_friction = 0.50")
    .replace('ground_friction_wet = { value = 0.50, source = "measured" }', "ground_friction_wet = 0.40")
    + '[footing]\nwidth = "0.8 m"\ndepth = "0.3 m"\n'
)
DESIGNS = {
    "tested": SHELTER,
    "all assumed": PLAIN,
    "imperial": FEET,
    "round": PLAIN.replace("[wall]", 'profile = "round"\ncrown_opening = "1.2 m"\n[wall]'),
    "stems": PLAIN.replace("[wall]", STEMS),
    "groups of courses": variant(("[fill]\n", GROUPS)),
    "cohesion, bond": variant(("[beds]\n", f"[beds]\n{COHESION}")),
    "bare": variant(('outside = "30 mm"\n', ""), ('inside = "20 mm"\n', "")),
    "left unprotected": variant(("[site]\n", "[site]\nleft_unprotected = true\n")),
    "snow": variant(('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "1.2 kPa"')),
    "no wire": variant(("[beds]\n", "[beds]\nwire_strands = 0\n"), (measured("wire_breaking_load", "3.0 kN"), "")),
    "drying": variant(("[building]\n", f"[building]\n{DRYING}")),
    "climate, fabric": variant(("[building]\n", f"[building]\n{CLIMATE}")),
    "soaked quickly": PLAIN + QUICK + '[site]\nrain = { intensity = "40 mm/h", hours = 6 }\nground = "sand"\n',
    "placed past the wet end": PLAIN + '[fill]\nplacing_moisture = "18 %"\n',
    "service wetter than placed": PLAIN + '[fill]\nplacing_moisture = "8 %"\nservice_moisture = "13 %"\n',
    "open mesh": PLAIN + 'fabric = "open mesh"\n[plaster]\noutside = "1 in"\n',
    "measured radii": PLAIN.replace("[wall]", f"{RADII}{OPEN}[wall]"),
    "as built": PLAIN.replace("[wall]", f"{RADII}{OPEN}{TOPS}{WORK}\n[wall]"),
    "unfinished": PLAIN.replace("[wall]", f"{RADII}{TOPS}{WORK.replace('= 4', '= 6')}\nunfinished = true\n[wall]"),
    "measured from below": PLAIN.replace("[wall]", f"{RADII}{OPEN}{TOPS}[wall]").replace("d_from = 1", "d_from = -1"),
    "EN 1990": SHELTER + '[criteria]\nset = "EN 1990"\n',
    "EN 1990, a crew lighter than its least": LIGHT_CREW,
    "ASCE 7 strength, snow": SNOWED + '[criteria]\nset = "ASCE 7 strength"\n',
    "ASCE 7 allowable": SHELTER + '[criteria]\nset = "ASCE 7 allowable"\n',
    "IS 1893, a row of its own": SNOWED + '[criteria]\nset = "IS 1893"\n' + OWN,
    "common practice, a row of its own": SNOWED + OWN,
    "ring loads": SHELTER + RING + LOFT,
    "EN 1990, ring load": SHELTER + RING + '[criteria]\nset = "EN 1990"\n',
    "a row of its own, ring load on stems, snow": SNOWED.replace(
        "[wall]", STEMS.replace("270", "140").replace("[wall]\nburied_courses = 3", "[wall]")
    )
    + LOFT.replace("270 mm", "-0.1 m")
    + OWN,
}


def columns(beds: tuple[Bed, ...]) -> dict[str, np.ndarray]:
    force, moment = 6 << 160, 6 << 200
    rows = [
        (
            bed.number,
            bed.z_bottom / UNIT,
            bed.z_top / UNIT,
            float(Fraction(bed.dead[0] + bed.imposed[0] + bed.carried[0], force)),
            float(Fraction(bed.dead[1] + bed.imposed[1] + bed.carried[1], moment)),
            bed.inner / UNIT,
            bed.outer / UNIT,
            float(bed.strength_in or 0),
            float(bed.strength_out or 0),
            bed.wet_from / UNIT,
            float(bed.friction or 0),
            float(bed.cohesion),
            float(bed.ring_strength or 0),
            bed.ring_depth / UNIT,
            float(bed.wire),
            float(Fraction(bed.carried[2], force)),
        )
        for bed in beds
    ]
    names = (
        "number z_bottom z_top weight moment bed_inner bed_outer crush_inner crush_outer wet_from friction cohesion"
        " ring_strength ring_depth wire push"
    )
    return dict(zip(names.split(), np.array(rows).T, strict=True))


def same(beds: tuple[Bed, ...], lune: Lune, name: str) -> None:
    for key, mine in columns(beds).items():
        theirs = getattr(lune, key)
        if key == "crush_outer":  # where no part of the bed is wet it is never asked
            mine, theirs = (np.where(lune.wet_from >= lune.bed_outer, 0.0, one) for one in (mine, theirs))
        if key == "ring_strength":  # a ring without depth carries nothing
            mine, theirs = (np.where(lune.ring_depth <= 1e-9, 0.0, one) for one in (mine, theirs))
        assert mine == pytest.approx(theirs, rel=1e-8, abs=1e-9), f"{name}: {key}"
    for bed, bond in zip(beds, lune.bond, strict=True):
        if bed.wire > 0:
            assert (bed.bond is None) == (bond == FRICTION_BOND), name
            assert bed.bond is None or float(bed.bond) == pytest.approx(bond, rel=1e-9)


@pytest.mark.parametrize("text", DESIGNS.values(), ids=DESIGNS)
def test_the_same_cases_and_beds(text: str) -> None:
    rebuilt, model = rebuild(read(text)), build_model(parse_design(text))
    theirs = {case.id: case for case in model.cases}
    assert {case.id for case in rebuilt.cases} == set(theirs)
    for case in rebuilt.cases:
        assert case.counts == theirs[case.id].counts
        same(case.beds, cut_lune(model.dome, theirs[case.id]), case.id)


@pytest.mark.parametrize(
    "name",
    ["tested", "snow", "no wire", "all assumed", *(name for name in DESIGNS if name[:2] in ("EN", "AS", "IS", "co"))],
)
def test_the_same_questions_and_required_factors(name: str) -> None:
    text = DESIGNS[name]
    design, model = read(text), build_model(parse_design(text))
    assert {key: float(value) for key, value in design.required.items()} == dict(model.design.criteria.required)
    asked = {case.id: [question.name for question in case.questions] for case in rebuild(design).cases if case.counts}
    for case in model.cases[::7]:
        if case.counts:
            margins = case_margins(model.dome, case, cut_lune(model.dome, case), None)
            assert {STANDS, *(question_of(margin) for margin in margins)} == set(asked[case.id])


@pytest.mark.parametrize("name", [name for name in DESIGNS if "ring load" in name])
def test_the_same_factored_loads(name: str) -> None:
    """Under rows of factors too: weight on every bed, moment and thrust that is handed in."""
    rebuilt, model = rebuild(read(DESIGNS[name])), build_model(parse_design(DESIGNS[name]))
    cases, asked = {case.id: case for case in model.cases}, 0
    for case in rebuilt.cases:
        if case.id.endswith("-light") or not case.counts:
            continue
        lunes = {
            f"{one.label}, {one.combination}": one.lune
            for one in combined_questions(model.dome, cases[case.id], cut_lune(model.dome, cases[case.id]))
        }
        rows = [question for question in case.questions if question.rows]
        assert [question.name for question in rows] == list(lunes)
        for question in rows:
            loaded, lune = Loaded(case.beds, *question.loads), lunes[question.name]
            force, moment = float(loaded.k * 6 << 160), float(loaded.k * 6 << 200)
            assert [one / force for one in loaded.weight] == pytest.approx(lune.weight, rel=1e-8)
            assert [one / moment for one in loaded.moment] == pytest.approx(lune.moment, rel=1e-8)
            assert [one / force for one in loaded.push] == pytest.approx(lune.push, rel=1e-8, abs=1e-9)
            asked += 1
    assert (asked > 0) == ("row" in name or "EN" in name)


@pytest.mark.parametrize("text", [UNTESTED_GROUND, DESIGNS["unfinished"], DESIGNS["EN 1990, ring load"]])
def test_a_trial_has_the_cases_of_its_design(text: str) -> None:
    """Where only the ground is worse they are taken over from the design: the same as rebuilt from nothing."""
    rebuilt, shared = rebuild(read(text)), 0
    for name, trial in trials(rebuilt.design):
        found = list(rebuild_trial(rebuilt, trial))
        assert found == list(rebuild(trial).cases), name
        same_beds = all(one.beds is own.beds for one, own in zip(found, rebuilt.cases, strict=False))
        assert same_beds == name.startswith("site.ground"), name
        shared += same_beds
    assert shared == (4 if text == UNTESTED_GROUND else shared)
