"""Of what each row of factors is asked: what the program says is what the checker demands, no more and no less."""

from __future__ import annotations

import math

import pytest
from block_designs import DESIGNS, HANDED
from certificates import SHELTER

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.loads.side_loads import mirrored
from shellcheck_earth.mechanics.proof.block_cases import block_demands
from shellcheck_earth.mechanics.proof.reading import read
from shellcheck_earth.mechanics.proof.rebuild import rebuild
from shellcheck_earth.safety.asked import RowAsked, rows_asked
from shellcheck_earth.views.text.factors import asked_words

EN = SHELTER.replace('snow = { value = "none", reason = "no snow lies in this valley" }', 'snow = "0.5 kPa"')
TEXTS = {name: DESIGNS[name] for name in ("as it is", "what stands, heads closed", "no opening", "nothing but a crew")}
TEXTS |= {"rings": SHELTER, "EN, snow": EN + '[criteria]\nset = "EN 1990"\n'}
TEXTS |= {name: text for name, text in (DESIGNS | HANDED).items() if "partial factors" in name or "approach" in name}


def _degrees(bearing: float) -> int:
    return round(math.degrees(bearing) * 1000) % 360_000


def _alike(design: Design, one: int, other: int) -> bool:
    return mirrored(design, math.radians((one + other) / 2000))


@pytest.mark.parametrize("name", TEXTS)
def test_every_row_is_asked_where_it_says_and_nowhere_else(name: str) -> None:
    text = TEXTS[name]
    model, theirs = build_model(parse_design(text)), read(text)
    asked = rows_asked(model)
    rings = {(one.case, one.row) for one in asked if one.model == "rings"}
    head = "combined factors, "
    assert rings == {
        (case.id, question.name.removeprefix(head))
        for case in rebuild(theirs).cases
        if case.counts
        for question in case.questions
        if question.name.startswith(head)
    }
    blocks: dict[tuple[str, str], set[int]] = {}
    for one in (one for one in asked if one.model == "blocks"):
        blocks.setdefault((one.case, one.row), set()).update(map(_degrees, one.bearings))
    demanded: dict[tuple[str, str], set[int]] = {}
    for demand in block_demands(theirs):
        job, load = demand.name.partition(", ")[0], demand.wall.load
        if job.endswith("-joint"):
            parts = demand.name.removeprefix(f"{job}, ").partition(", ")
            row = parts[0] + parts[1] + parts[2] if load is None else parts[2]
            found = demanded.setdefault((job, row), set())
            found |= set() if load is None else {_degrees(load.bearing)}
    assert blocks.keys() == demanded.keys()
    for key, bearings in blocks.items():
        assert demanded[key] <= bearings
        # what the checker does not demand is the mirror image of what it does
        for bearing in bearings - demanded[key]:
            assert any(_alike(model.design, bearing, other) for other in demanded[key]), key


def test_the_facts_of_a_case_stand_with_it() -> None:
    model = build_model(parse_design(TEXTS["EN, snow"]))
    asked = rows_asked(model)
    cases = {case.id: case for case in model.cases}
    for one in (one for one in asked if one.model == "rings"):
        case = cases[one.case]
        assert (one.stage, one.moisture, one.wetting) == (case.kind, case.moisture, case.wetting)
        assert one.load == ("snow" if case.snow else "crew" if case.crew else "weight") and not one.bearings
    kinds = {one.load for one in asked if one.model == "blocks" and one.bearings}
    assert kinds == {"snow"}  # its one load from one side: nobody stands on the wall
    assert all(len(one.bearings) == 4 for one in asked if one.bearings)
    assert {one.load for one in asked if one.row == "DA1-C1 snow" and one.model == "rings"} == {"snow"}
    assert {one.beside for one in asked if one.row == "EN 1998, snow"} <= {()}


def test_what_differs_in_stage_or_moisture_alone_is_said_together() -> None:
    one = RowAsked("a", "rings", "x", "weight", (), "finished", "service", "none")
    wind = RowAsked("a", "blocks", "y", "wind", ("snow",), "stage", "by age", "rain", (0.0, math.pi / 2))
    wet = RowAsked("a", "rings", "z", "weight", (), "finished", "saturated", "saturated")
    assert asked_words([]) == "-"
    assert asked_words([one, wet]) == "weight (finished: dry, soaked)"
    assert asked_words([wind]) == "wind and snow at 0, 90 deg (building: as its age leaves it)"
    assert asked_words([one, wind]).count(". ") == 1
