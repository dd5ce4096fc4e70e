"""Designs whose block cases program and checker are compared on: the seed bank, and what it may say more or less."""

from __future__ import annotations

from pathlib import Path

from survey_sheets import sheet

from shellcheck_earth.design.write import design_document, source_text
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.studies.survey.plans import as_built, built_design
from shellcheck_earth.studies.survey.sheet import sheet_survey
from shellcheck_earth.studies.survey.ways import plan_goes_on

__all__ = [
    "BEAM", "BUTTRESS", "CAP", "CODE", "COUNTED_ON", "DESIGNS", "EARTH", "EVERY_LOAD", "FOLDER", "HALL", "HANDED",
    "OWN", "PLAIN", "SEED_BANK", "SILENT", "SKYLIGHT", "TIE", "as_built_text", "bare", "opening",
]  # fmt: skip

FOLDER = Path(__file__).parents[1] / "reports" / "seed-bank"
SEED_BANK = (FOLDER / "design.toml").read_text(encoding="utf-8")
SILENT = SEED_BANK.replace('wind_basis = "strength level"\n', "")
"""The same, which does not say what its wind is: the factor of a characteristic value."""


def opening(kind: str, bearing: str, sill: str, width: str, height: str, head: str, more: str = "") -> str:
    return (
        f'\n[[opening]]\nkind = "{kind}"\nbearing = "{bearing}"\nsill = "{sill}"\nwidth = "{width}"\n'
        f'height = "{height}"\nhead = "{head}"\n{more}'
    )


PLAIN = SILENT.split("[[opening]]")[0]
BUTTRESS = '\n[[buttress]]\nbearing = "31.5 deg"\nlength = "0.8 m"\nwidth = "0.5 m"\nheight = "1.2 m"\n'
CODE = 'earthquake = { value = "none", reason = "the local code asks for none in this county" }'
HALL = 'wind_pressure = { value = "none", reason = "in a hall of its own" }'
EVERY_LOAD = SILENT.replace(
    'snow = { value = "none", reason = "no snow has lain here in fifty years" }', 'snow = "0.5 kPa"'
).replace(CODE, 'earthquake = "8 %"')
OWN = """
[[criteria.combination]]
name = "county, snow, wind and earthquake"
clause = "Invented: what an orchard county asks"
permanent = 1.15
imposed = 1.7
snow = 1.4
water = 1.2
wind = 0.8
wind_strength_level = 0.7
earthquake = 1.3
friction = 1.3
cohesion = 1.4
strength = 3.1
strength_building = 2.2
wire = 1.5
"""


def bare(text: str) -> str:
    """Without its openings."""
    return text.split("[[opening]]")[0] + "\n[criteria]" + text.split("[criteria]")[1]


def as_built_text(text: str, laid: int, *, finished: bool) -> str:
    """The design file of the wall as it stands, or of the plan going on from there."""
    design = parse_design(text)
    wall = as_built(design_document(design), design, sheet_survey(sheet(design, laid), build_dome(design)))
    if not finished:
        return source_text(built_design(wall))
    way = plan_goes_on(wall).design
    assert way is not None
    return source_text(way)


COUNTED_ON = SILENT.replace(' "0.1 cm/h", source = "measured" }', ' "0.1 cm/h", source = "assumed" }').replace(
    "[building]\n", '[building]\nclimate = "hot and dry"\ncount_fabric = true\n'
)


def _wetted(text: str) -> str:
    """What stands of a dome of two fills, wet up to a finger deep, with a week of drying and fabric counted on."""
    text = text.replace("[building]\n", '[building]\nclimate = "temperate"\ncount_fabric = true\n')
    text += '[[wall.courses]]\nfrom = 4\nto = 9\nstrength_wet = "0.2 MPa"\nsuction_head = "15 cm"\n'
    design = parse_design(text)
    wall = as_built(design_document(design), design, sheet_survey(sheet(design, 17), build_dome(design)))
    return source_text(built_design(wall, depths=[0.0, 0.01, *[0.02] * 17]))


SKYLIGHT = """
[[ring_load]]
name = "Skylight"
height = "2.3 m"
weight = { low = "0.4 kN", high = "1.1 kN" }
thrust = { low = "0.1 kN", high = "0.3 kN" }
from_inner_face = { low = "0.1 m", high = "0.2 m" }
"""
CAP = """
[[ring_load]]
name = "Cap"
height = "2.3 m"
weight = { low = "-0.4 kN", high = "1.1 kN" }
thrust = "0 kN"
from_inner_face = "0.2 m"
"""
BEAM = """
[[bearing_load]]
name = "Roof beam"
bearing = "60 deg"
height = "2.1 m"
width = "0.2 m"
weight = { low = "0.5 kN", high = "1.5 kN" }
thrust = { low = "-0.2 kN", high = "0.4 kN" }
from_inner_face = "0.2 m"
"""
TIE = """
[[bearing_load]]
name = "Porch vault"
bearing = "-170 deg"
height = "1.7 m"
width = "16 in"
weight = { low = "-0.3 kN", high = "0.9 kN" }
thrust = "0.8 kN"
from_inner_face = { low = "0.1 m", high = "0.3 m" }
"""
EARTH = """
[backfill]
height = "0.6 m"
unit_weight = { low = "15 kN/m3", high = "20 kN/m3", source = "measured" }
surcharge = "3 kPa"
drained = { value = true, reason = "gravel and a pipe to daylight" }
"""
HANDED = {
    "earth against the wall": SILENT + EARTH,
    "earth, a skylight, every load, partial factors": EVERY_LOAD.replace("common practice", "EN 1990")
    + CAP.replace("-0.4 kN", "0.4 kN")
    + EARTH,
    "a floor below the ground, and a beam": SILENT.replace(
        'floor_above_ground = "0.15 m"', 'floor_above_ground = "-0.3 m"'
    )
    + BEAM.replace('{ low = "-0.2 kN", high = "0.4 kN" }', '"0 kN"'),
    "a beam": SILENT + BEAM,
    "a beam alone, nothing from one side": bare(SILENT).replace('wind_pressure = "0.6 kPa"', HALL) + BEAM,
    "a porch vault that may lift, every load, partial factors": EVERY_LOAD.replace("common practice", "IS 1893") + TIE,
    "a beam and a skylight": SILENT
    + SKYLIGHT.replace('{ low = "0.1 m", high = "0.2 m" }', '"0.1 m"')
    + BEAM.replace('{ low = "-0.2 kN", high = "0.4 kN" }', '"0 kN"'),
    "a skylight of ranges": SILENT + SKYLIGHT,
    "a cap that wind may lift, every load": EVERY_LOAD + CAP,
    "both, partial factors": SILENT.replace('set = "common practice"', 'set = "EN 1990"')
    + CAP.replace("-0.4 kN", "0.4 kN")
    + SKYLIGHT.replace('{ low = "0.1 m", high = "0.2 m" }', '"0.1 m"'),
    "a skylight, every load, partial factors, a row of its own": EVERY_LOAD.replace("common practice", "IS 1893")
    + OWN
    + SKYLIGHT,
    "nothing is handed into what is unfinished": as_built_text(EVERY_LOAD + CAP, 12, finished=False),
}
DESIGNS = {
    **HANDED,
    "as it is": SEED_BANK,
    "what stands, its door half built": as_built_text(EVERY_LOAD, 12, finished=False),
    "what stands, heads closed": as_built_text(EVERY_LOAD, 17, finished=False),
    "what stands, wetted already, in groups of courses, counting on what nobody tested": _wetted(EVERY_LOAD),
    "rain on forms out, partial factors, counting on what nobody tested": COUNTED_ON.replace(
        "common practice", "EN 1990"
    ),
    "what stands, in wind alone": as_built_text(bare(SILENT), 9, finished=False),
    "the plan going on from a half built door": as_built_text(SILENT, 12, finished=True),
    "the plan going on past the stage at which forms come out": as_built_text(SILENT, 18, finished=True),
    "design approach 2, every load": EVERY_LOAD.replace("common practice", "EN 1990 DA2"),
    "design approach 2, what stands": as_built_text(
        EVERY_LOAD.replace("common practice", "EN 1990 DA2"), 12, finished=False
    ),
    "no opening": PLAIN,
    "no opening, no wire": PLAIN.replace("wire_strands = 2", "wire_strands = 0"),
    "nothing but a crew": PLAIN.replace('wind_pressure = "0.6 kPa"', HALL),
    "nothing but a crew, on a scaffold from 1 m on": PLAIN.replace('wind_pressure = "0.6 kPa"', HALL).replace(
        "[building]\n", '[building]\nscaffold_above = "1 m"\n'
    ),
    "nothing but a crew, and a skylight": PLAIN.replace('wind_pressure = "0.6 kPa"', HALL) + SKYLIGHT,
    "a scaffold between the heads, every load": EVERY_LOAD.replace(
        "[building]\n", '[building]\nscaffold_above = "1.95 m"\n'
    ),
    "a scaffold below every head": SILENT.replace("[building]\n", '[building]\nscaffold_above = "0.9 m"\n'),
    "a scaffold up to the last course": PLAIN.replace("[building]\n", '[building]\nscaffold_above = "9 m"\n'),
    "what stands, with nothing but a crew": as_built_text(
        bare(SILENT).replace('wind_pressure = "0.6 kPa"', HALL), 9, finished=False
    ),
    "what stands, with nothing but a crew and below a scaffold": as_built_text(
        bare(SILENT)
        .replace('wind_pressure = "0.6 kPa"', HALL)
        .replace("[building]\n", '[building]\nscaffold_above = "0.5 m"\n'),
        9,
        finished=False,
    ),
    "the plan going on above its scaffold, with nothing but a crew": as_built_text(
        bare(SILENT)
        .replace('wind_pressure = "0.6 kPa"', HALL)
        .replace("[building]\n", '[building]\nscaffold_above = "1 m"\n'),
        12,
        finished=True,
    ),
    "the plan going on under a scaffold": as_built_text(
        SILENT.replace("[building]\n", '[building]\nscaffold_above = "2 m"\n'), 12, finished=True
    ),
    "off north, a lintel with a tie, a buttress": PLAIN
    + opening("door", "17.3 deg", "0 m", "0.9 m", "1.6 m", "lintel", 'tie = "8 kN"\n')
    + opening("window", "200 deg", "0.7 m", "0.5 m", "0.6 m", "pointed")
    + BUTTRESS,
    "a set of partial factors, with snow and earthquake": SILENT.replace(
        'snow = { value = "none", reason = "no snow has lain here in fifty years" }', 'snow = "0.5 kPa"'
    )
    .replace(CODE, 'earthquake = "8 %"')
    .replace('set = "common practice"', 'set = "EN 1990"'),
    "strength level, every load": EVERY_LOAD.replace("common practice", "ASCE 7 strength").replace(
        'wind_pressure = "0.6 kPa"',
        'wind_pressure = "0.6 kPa"\nwind_basis = "strength level"\nearthquake_basis = "strength level"',
    ),
    "allowable, every load, no opening": bare(EVERY_LOAD).replace("common practice", "ASCE 7 allowable"),
    "IS 1893 and a row of its own": EVERY_LOAD.replace("common practice", "IS 1893") + OWN,
    "common practice and a row of its own, no opening": bare(EVERY_LOAD) + OWN,
    "partial factors, untested, unstabilised": PLAIN.replace('"measured"', '"assumed"')
    .replace('stabiliser = "cement"', 'stabiliser = "none"')
    .replace("0.7 MPa", "0.2 MPa")
    + opening("door", "10 deg", "0 m", "0.8 m", "1.6 m", "round")
    + '\n[criteria]\nset = "EN 1990"\n',
    "a high vent": PLAIN + opening("vent", "100 deg", "1.9 m", "0.3 m", "0.25 m", "round"),
    "bare, with snow and earthquake": SILENT.replace('outside = "30 mm"', 'outside = "0 mm"')
    .replace('snow = { value = "none", reason = "no snow has lain here in fifty years" }', 'snow = "0.5 kPa"')
    .replace(CODE, 'earthquake = "8 %"')
    .replace("[site]\n", "[site]\nleft_unprotected = true\n"),
}
