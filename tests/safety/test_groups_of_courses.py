"""A group of courses with a fill of its own is held to the same: untested is untested, and its range is tried."""

from __future__ import annotations

from typing import Any

import pytest
from certificates import SHELTER

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.mechanics.proof import doubts as checker
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.safety.assumptions import assumptions, beyond_range, unfavourable_trials, with_number
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.doubts import lowered_criteria
from shellcheck_earth.views.export.bundle import output_files

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
    assert read(text).lowered == ("strength",)
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
