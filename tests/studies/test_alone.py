"""One thing at a time: each edge has a line on its one side and none on the other, and setting strength aside helps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from samples import classroom

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.untested import with_number
from shellcheck_earth.studies.explain.alone import NO_CRUSHING, slender, wetter
from shellcheck_earth.studies.explain.ways import least_width

CLASSROOM = read_design(Path("reports/garden-classroom/design.toml"))


def stands(design: Design, scales: Scales = AVAILABLE) -> bool:
    dome = build_dome(design)
    return failing_bed(pack(cut_lune(dome, case_of(dome, "finished-dry"))), scales) < 0


def test_the_wetter_fill_is_lost_at_its_edge() -> None:
    found = wetter(CLASSROOM)
    assert found is not None and found.edge is not None and found.collapse is not None
    last, first = found.edge
    assert stands(with_number(CLASSROOM, "fill.service_moisture", last))
    assert not stands(with_number(CLASSROOM, "fill.service_moisture", first))
    assert found.designed <= last < first <= found.end
    assert [step.stands for step in found.steps] == [True] * 5 + [False]


def test_a_fill_that_is_strong_when_soaked_keeps_its_line() -> None:
    strong = replace(CLASSROOM.fill, stabiliser="cement", strength_wet=400.0)
    beds = replace(CLASSROOM.beds, friction_wet=CLASSROOM.beds.friction)
    found = wetter(replace(CLASSROOM, fill=strong, beds=beds))
    assert found is not None and found.stands and found.edge is None and found.collapse is None


def test_with_strength_set_aside_a_wall_may_be_no_wider() -> None:
    weak = classroom(fill=replace(classroom().fill, strength_dry=40.0, strength_as_placed=40.0))
    found = slender(weak)
    assert found.stands == stands(weak, NO_CRUSHING)
    for step in found.steps:
        thin = with_number(weak, "wall.filled_width", step.value)
        assert step.stands == stands(thin, NO_CRUSHING)
        assert step.stands or not stands(thin)
    assert found.end > least_width(weak)


def test_a_dome_that_does_not_stand_has_nothing_to_take_away() -> None:
    smooth = classroom(beds=replace(classroom().beds, friction=0.12, friction_wet=0.1))
    found = slender(smooth)
    assert not found.stands and found.edge is None and len(found.steps) == 1 and found.collapse is None


@pytest.mark.parametrize("make", [slender, wetter])
def test_values_run_one_way(make: object) -> None:
    found = make(CLASSROOM)  # type: ignore[operator]
    values = [step.value for step in found.steps]
    assert values == sorted(values, reverse=found.end < found.designed) and values[0] == found.designed
