"""What nobody tested is held to its range wherever it stands: in groups of courses, in plaster, in tables of drying."""

from __future__ import annotations

from typing import Any

import pytest
from certificates import SHELTER

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.write import design_toml
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.mechanics.proof import doubts as checker
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.safety.assumptions import assumptions, beyond_range
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.doubts import doubts_of, lowered_criteria, too_little_stabiliser
from shellcheck_earth.safety.untested import unfavourable_trials, with_number
from shellcheck_earth.views.export.bundle import output_files
from shellcheck_earth.views.text.doubts import doubt_sentences

TESTED = '{{ value = "{}", source = "measured" }}'.format
STRENGTHS = ("strength_dry", "strength_as_placed", "strength_wet")


def group(said: Any, first: int = -5, **more: str) -> str:
    """SHELTER with a group of courses: `said` gives the words of a strength in MPa; more keys as they stand."""
    lines = [f"{key} = {said(value)}" for key, value in zip(STRENGTHS, ("1.5 MPa", "0.9 MPa", "0.9 MPa"), strict=True)]
    lines += [f"{key} = {value}" for key, value in more.items()]
    return f"{SHELTER}\n[[wall.courses]]\nfrom = {first}\n" + "\n".join(lines) + "\n"


def stated(value: str) -> str:
    return f'"{value}"'


@pytest.mark.parametrize(("said", "strength", "building"), [(TESTED, 2.5, 1.5), (stated, 3.0, 2.0)])
def test_the_factor_of_tested_fill_is_for_fill_that_was_tested_everywhere(
    said: Any, strength: float, building: float
) -> None:
    text = group(said)
    design, rebuilt = parse_design(text), read(text)
    required = design.criteria.required
    assert (required["strength"], required["strength while building"]) == (strength, building)
    assert {check: float(factor) for check, factor in rebuilt.required.items()} == dict(required)
    assert design.basis("fill.strength_dry") == ("measured" if said is TESTED else "stated")
    assert bool(rebuilt.tested) == (said is TESTED)


def test_a_wet_strength_counts_only_where_the_fill_hardens() -> None:
    """Unstabilised fill falls apart when soaked whatever a test says: its wet strength need not have been tested."""
    loose = group(TESTED, stabiliser='"none"').replace("strength_wet = " + TESTED("0.9 MPa"), 'strength_wet = "0 MPa"')
    hard = group(TESTED).replace("strength_wet = " + TESTED("0.9 MPa"), 'strength_wet = "0.9 MPa"')
    for text, tested in ((loose, True), (hard, False)):
        assert parse_design(text).strengths_tested(building=False) == tested
        assert ("strength" in read(text).tested) == tested


def test_criteria_of_tested_fill_are_lowered_for_a_group_that_was_not() -> None:
    text = group(stated) + "[criteria]\nstrength = 2.5\n"
    assert lowered_criteria(parse_design(text)) == (("strength", 2.5, 3.0),)
    assert read(text).asked.lowered == ("strength",)
    assert check(parse_design(text), explore=False).verdict == "cannot say"


def test_the_range_of_a_group_is_tried_and_listed() -> None:
    design = parse_design(group(stated))
    paths = {path: value for path, value, _, _ in unfavourable_trials(design)}
    assert {f"wall.courses[1].{key}" for key in STRENGTHS} <= set(paths)
    assert {f"wall.courses[1].{key}" for key in STRENGTHS} <= {one.path for one in assumptions(design)}
    tried = with_number(design, "wall.courses[1].strength_dry", 700.0)
    assert tried.groups[0].fill.strength_dry == 700.0 and tried.groups[0].fill.strength_wet == 700.0
    assert tried.fill == design.fill


def test_both_try_the_same_values() -> None:
    """The program and the checker: every value at its bad end, of the wall and of each group."""
    for text in (group(stated), group(TESTED, placing_moisture='"9 %"'), group(stated, stabiliser='"lime"')):
        mine = {(path, round(value, 6)) for path, value, _, _ in unfavourable_trials(parse_design(text))}
        theirs = set()
        for name, _ in checker.trials(read(text)):
            path, _, rest = name.partition("=")
            value, _, index = rest.partition(", group ")
            theirs.add((f"wall.courses[{index}].{path[5:]}" if index else path, round(float(value), 6)))
        assert {path for path, _ in mine} == {path for path, _ in theirs}
        strengths = [{one for one in tried if "strength" in one[0]} for tried in (mine, theirs)]
        assert dict(strengths[0]) == pytest.approx(dict(strengths[1]), rel=1e-5)


def test_what_a_group_inherits_goes_along() -> None:
    """A moisture that the group takes from [fill] changes with it: else the trial would leave those courses as they
    were."""
    text = group(TESTED).replace(
        'service_moisture = { value = "4 %", source = "measured" }', 'service_moisture = "4 %"'
    )
    design = parse_design(text)
    tried = {path: trial for path, _, trial, _ in unfavourable_trials(design)}["fill.service_moisture"]
    assert tried.groups[0].fill.service_moisture == tried.fill.service_moisture > 0.04
    name, there = next(one for one in checker.trials(read(text)) if one[0].startswith("fill.service_moisture"))
    assert "group" not in name
    for _, _, fill in there.fills:
        assert float(fill["service_moisture"]) == pytest.approx(tried.fill.service_moisture)
    own = parse_design(group(TESTED, service_moisture=TESTED("3 %")))
    assert with_number(own, "fill.service_moisture", 0.05).groups[0].fill.service_moisture == pytest.approx(0.03)


def test_past_its_range_in_a_group_alone() -> None:
    text = group(lambda _: '"4 MPa"')
    assert {one.path for one in beyond_range(parse_design(text))} == {f"wall.courses[1].{key}" for key in STRENGTHS}
    assert checker.doubts(read(text))


def test_a_group_that_was_not_tested_overturns_and_the_report_says_which() -> None:
    """Strong as stated; at the low end of what such fill has, short: cannot say, test this first."""
    design = parse_design(group(stated))
    result = check(design, explore=False)
    assert result.verdict == "cannot say"
    assert any(one.path.startswith("wall.courses[1].strength") for one in result.doubts)
    assert "report.pdf" in output_files(result)


# -- values that may help either way, and drying that nobody measured --------------------------------------------------


def test_plaster_is_tried_heavy_and_light() -> None:
    """12 to 23 kN/m3: heavier plaster presses more, lighter holds less."""
    was = f"unit_weight = {TESTED('18 kN/m3')}"
    assert was in SHELTER
    stated_one = SHELTER.replace(was, 'unit_weight = "18 kN/m3"')
    mine = sorted(value for path, value, _, _ in unfavourable_trials(parse_design(stated_one)) if "plaster" in path)
    theirs = sorted(name for name, _ in checker.trials(read(stated_one)) if name.startswith("plaster"))
    assert mine == [12.0, 23.0] and theirs == ["plaster.unit_weight=12", "plaster.unit_weight=23"]
    assert not [path for path, *_ in unfavourable_trials(parse_design(SHELTER)) if "plaster" in path]
    for weight in ("5 kN/m3", "30 kN/m3"):
        odd = SHELTER.replace(was, f'unit_weight = "{weight}"')
        assert [one.path for one in beyond_range(parse_design(odd))] == ["plaster.unit_weight"]
        assert [one for one in checker.doubts(read(odd)) if "plaster" in one]


def test_light_plaster_that_nobody_weighed_earns_nothing() -> None:
    """Found by trying: 60 mm of plaster at 5 kN/m3 met what 18 kN/m3 fell short of."""
    was = f"unit_weight = {TESTED('18 kN/m3')}"
    light = parse_design(SHELTER.replace(was, 'unit_weight = "5 kN/m3"'))
    assert check(parse_design(SHELTER), explore=False).verdict == "meets"
    found = check(light, explore=False)
    assert found.verdict == "cannot say" and [one.path for one in found.doubts] == ["plaster.unit_weight"]


DRIES = '[["1 h", "9 %"], ["2 h", "1 %"]]'


@pytest.mark.parametrize(("said", "tried"), [(DRIES, True), (f'{{ value = {DRIES}, source = "measured" }}', False)])
def test_drying_that_nobody_measured_is_tried_without(said: str, tried: bool) -> None:
    text = SHELTER.replace("[building]\n", f'[building]\nclimate = "temperate"\ndrying = {said}\n')
    design, rebuilt = parse_design(text), read(text)
    trials = {path: trial for path, _, trial, _ in unfavourable_trials(design)}
    assert ("building.drying" in trials) == tried and "building.climate" not in trials
    names = {name: trial for name, trial in checker.trials(rebuilt)}
    assert ("building.drying=0" in names) == tried and "building.climate=0" not in names
    assert len(design.building.drying) == len(rebuilt["building.drying"]) == 2
    if tried:
        assert trials["building.drying"].building.drying == () and trials["building.drying"].building.climate == "none"
        assert names["building.drying=0"]["building.drying"] == ()
    assert parse_design(design_toml(design)).bases["building.drying"] == design.bases["building.drying"]


def test_a_wall_wider_than_its_fabric_reaches_round() -> None:
    """A tube 450 mm flat round a course of 140 mm: at most sqrt(450^2 - 140^2) = 427.7 mm wide."""
    for width, fits in (("427 mm", True), ("428.5 mm", False)):
        text = SHELTER.replace("[wall]\n", '[wall]\nflat_width = "450 mm"\n').replace(TESTED("400 mm"), TESTED(width))
        if fits:
            assert parse_design(text).wall.filled_width == float(read(text)["wall.filled_width"]) == 0.427
            continue
        with pytest.raises(InputError, match="does not reach round"):
            parse_design(text)
        with pytest.raises(RefusedError, match="reaches round"):
            read(text)


@pytest.mark.parametrize(
    ("section", "said"),
    [
        ("beds", 'wire_counted_share = { value = 0.5, source = "measured" }'),
        ("beds", "wire_counted_share = 0.5"),
        ("beds", 'wire_strands = { value = 8, source = "measured" }'),
        ("building", 'rest_days = { value = 90, source = "measured" }'),
        ("site", 'splash_height = { value = "0.29 m", source = "measured" }'),
        ("site", 'splash_height = "0 m"'),
    ],
)
def test_a_mark_of_measured_settles_nothing_that_no_test_measures(section: str, said: str) -> None:
    """Laps, slack and rust, strands to be laid, days to be rested, how high it splashes: past its range each is in
    doubt, however marked."""
    text = SHELTER.replace(f"[{section}]\n", f"[{section}]\n{said}\n")
    path = f"{section}.{said.split()[0]}"
    assert [one.path for one in beyond_range(parse_design(text))] == [path]
    assert checker.doubts(read(text)) == (f"{path} is nothing that a test settles and beyond the range of such values",)
    result = check(parse_design(text), proofs=False, explore=False)
    assert result.verdict == "cannot say"
    assert "no test settles it" in " ".join(doubt_sentences(result.doubts))


WINDY = SHELTER.replace(
    'wind_pressure = { value = "none", reason = "walled orchard, invented example" }', 'wind_pressure = "0.5 kPa"'
)
RESTS = "is not measured, and block cases rest on it"


@pytest.mark.parametrize(
    ("measured", "stated", "at_the_end"),
    [
        ("friction = " + TESTED("0.65").replace('"0.65"', "0.65"), "friction = 0.65", "friction = 0.40"),
        ("edge_rounding = " + TESTED("20 mm"), 'edge_rounding = "20 mm"', 'edge_rounding = "50 mm"'),
        ("wire_breaking_load = " + TESTED("3.0 kN"), 'wire_breaking_load = "3.0 kN"', 'wire_breaking_load = "2.4 kN"'),
        ("strength_wet = " + TESTED("1 MPa"), 'strength_wet = "1 MPa"', ""),
    ],
)
def test_blocks_rest_on_nothing_that_its_range_makes_worse(measured: str, stated: str, at_the_end: str) -> None:
    """Trials at the ends of ranges ask the rings alone: what blocks are asked with is measured, or at its bad end."""
    assert WINDY.count(measured) == 1
    key = stated.split()[0]
    for text, doubted in (
        (WINDY, False),
        (WINDY.replace(measured, stated), True),
        (SHELTER.replace(measured, stated), False),
    ):
        mine = [one.path for one in doubts_of(build_dome(parse_design(text))) if one.kind == "blocks rest on it"]
        theirs = [one.split()[0] for one in checker.doubts(read(text)) if one.endswith(RESTS)]
        assert mine == theirs
        assert [path.rpartition(".")[2] for path in mine] == ([key] if doubted else [])
    if at_the_end:
        end = WINDY.replace(measured, at_the_end).replace("= { value = 0.55", "= { value = 0.40")
        end = end.replace("no_wire = { value = 0.60", "no_wire = { value = 0.40")
        assert not [one for one in doubts_of(build_dome(parse_design(end))) if one.kind == "blocks rest on it"]
        assert not [one for one in checker.doubts(read(end)) if one.endswith(RESTS)]


def test_every_doubt_of_blocks_is_the_checkers_too_in_groups_of_courses() -> None:
    text = WINDY + '[[wall.courses]]\nfrom = -5\nto = 2\nstrength_dry = "2 MPa"\n'
    mine = {one.path for one in doubts_of(build_dome(parse_design(text))) if one.kind == "blocks rest on it"}
    assert mine == {"wall.courses[1].strength_dry"}
    assert [one for one in checker.doubts(read(text)) if one.endswith(RESTS)] == [f"fill.strength_dry {RESTS}"]


def test_the_word_cement_alone_hardens_nothing() -> None:
    """Assumed strengths are those of a mix with 5 % and more: without an amount they are no ground for a "meets"; with
    one they are tried at the ends of their range, and where all are measured the amount does not matter."""
    for said, share, doubted in (
        (stated, None, True),
        (stated, "4 %", True),
        (stated, "5 %", False),
        (TESTED, None, False),
    ):
        text = group(said) if share is None else group(said, stabiliser_share=f'"{share}"')
        found = too_little_stabiliser(parse_design(text))
        assert [one.path for one in found] == (["wall.courses[1].stabiliser_share"] if doubted else [])
        assert any("too little" in one for one in checker.doubts(read(text))) == doubted
        if doubted:
            assert check(parse_design(text), explore=False).verdict != "meets"


def limed(*tested: str) -> str:
    """SHELTER, its floor level with the ground, with 8 % of lime in all courses; strengths not said but those named."""
    lines = [f"{key} = {TESTED('0.9 MPa')}" for key in tested]
    level = SHELTER.replace("[dome]", '[dome]\nfloor_above_ground = "0 m"')
    own = 'stabiliser = "lime"\nstabiliser_share = "8 %"\n'
    return f"{level}\n[[wall.courses]]\nfrom = -5\n{own}" + "\n".join(lines) + "\n"


def test_lime_is_no_cement() -> None:
    """Strengths that nobody measured, and the bad ends they are tried at, of both programmes."""
    text, values, ends = limed(), (1000.0, 100.0, 300.0), (500.0, 50.0, 0.0)
    (own,) = parse_design(text).groups
    assert tuple(getattr(own.fill, key) for key in STRENGTHS) == pytest.approx(values)
    fill = read(text).fills[1][2]
    assert tuple(float(fill[key]) for key in STRENGTHS) == pytest.approx(values)
    tried = {path.rpartition(".")[2]: value for path, value, _, _ in unfavourable_trials(parse_design(text))}
    assert tuple(tried[key] for key in STRENGTHS) == pytest.approx(ends)
    names = [name for name, _ in checker.trials(read(text)) if "strength" in name and "group" in name]
    assert [float(name.partition("=")[2].partition(",")[0]) for name in names] == pytest.approx(ends)


def test_lime_that_nobody_soaked_is_cannot_say() -> None:
    """Wet it may fall apart: strong enough dry and fresh, it is a test of soaked cylinders that is missing."""
    assert check(parse_design(limed(*STRENGTHS)), explore=False).verdict == "meets"
    found = check(parse_design(limed("strength_dry", "strength_as_placed")), explore=False)
    assert found.verdict == "cannot say"
    assert {(one.kind, one.path) for one in found.doubts} == {("its range overturns", "wall.courses[1].strength_wet")}
