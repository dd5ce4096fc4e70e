"""What is ringed in the section where blocks decide: what moves first, the bed used most, or nothing, and said so."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from shellcheck_earth.geometry.reading import read_design
from shellcheck_earth.safety.blocks.result import BlockResult, Mechanism
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.most_used import most_used
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures.decisive import decisive
from shellcheck_earth.views.figures.section import section_svg
from shellcheck_earth.views.figures.strokes import RED
from shellcheck_earth.views.text.language import speaking, words

STORE = Path(__file__).parents[2] / "reports" / "tool-store" / "design.toml"


RING = re.compile(rf'<circle[^>]*fill="none" stroke="{RED}"')


@cache
def store() -> Result:
    """Its worker on course 9, of the blocks, comes nearest: "at least", so that nothing moves."""
    return check(read_design(STORE), proofs=False, explore=False)


def worker() -> BlockResult:
    return next(one for one in store().blocks if not one.id.endswith("-joint"))


def drawn(**changes: object) -> Result:
    return replace(store(), blocks=(replace(worker(), **changes),))  # type: ignore[arg-type]


def test_where_nothing_moves_the_bed_that_is_used_most_is_ringed() -> None:
    said, used = decisive(store()), most_used(worker().proofs)
    assert worker().mechanism is None and worker().at_least and worker().proofs
    assert said is not None and used is not None
    assert said.course is store().dome.courses[used.course] and said.course.number == 9
    assert said.bold == ("bed used most, under course 9:",)
    assert said.plain[0] == f"{100 * used.share:.0f} % of the friction counted there; nothing moves"
    svg = section_svg(store(), tallest=29.0)
    assert len(RING.findall(svg)) == 1 and "bed used most" in svg and f"{100 * used.share:.0f} % of the" in svg
    assert svg == section_svg(store(), tallest=29.0)


def test_states_of_the_joint_question_serve_the_load_that_follows_from_it() -> None:
    joint = next(one for one in store().blocks if one.id.endswith("-joint"))
    bare = replace(store(), blocks=(replace(worker(), proofs=()), joint))
    said, used = decisive(bare), most_used(joint.proofs)
    assert said is not None and used is not None and said.course is store().dome.courses[used.course]


def test_without_any_state_nothing_is_ringed_and_it_is_said() -> None:
    said = decisive(bare := drawn(proofs=()))
    assert said is not None and said.course is None
    assert "No state of the blocks is shown, nothing moves: no bed is ringed." in said.plain
    for svg in (section_svg(bare, phone=True), section_svg(bare)):
        assert "blocks decide:" in svg and not RING.findall(svg)


def test_what_moves_comes_before_what_is_used() -> None:
    moves = Mechanism((4, 9), None, ("inward",), None, (), ())
    said = decisive(drawn(mechanism=moves))
    assert said is not None and said.course is not None and said.course.number == 4
    assert said.bold[0] == "blocks move first from course 4:"
    alone = decisive(drawn(mechanism=replace(moves, courses=None)))
    assert alone is not None and alone.course is None and "Only a buttress moves: no bed is ringed." in alone.plain


@pytest.mark.parametrize("of", ["friction", "strength"])
def test_it_is_said_in_spanish_too(of: str) -> None:
    states = [json.loads(text) for text in worker().proofs]
    for one in states:
        for patch in one["patches"]:
            patch[14 if of == "strength" else 15] *= 1000
    with speaking(words("es")):
        said = decisive(drawn(proofs=tuple(json.dumps(one) for one in states)))
    assert said is not None and said.bold[0].startswith("la junta más usada, bajo")
    assert ("fricción" if of == "friction" else "resistencia") in said.plain[0]
