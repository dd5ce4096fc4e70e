"""What a reader is told of loads handed into a ring: the screen, the section, the working, in Spanish."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import replace
from functools import cache

import pytest
from layouts import assert_words_lie_free, boxes
from samples import redesigned, sturdy

from shellcheck_earth.design.design import Criteria, RingLoad, UnitSystem
from shellcheck_earth.safety.check import check
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.figures.section import design_svg, section_svg
from shellcheck_earth.views.figures.strokes import INK
from shellcheck_earth.views.render.terminal import summary_lines
from shellcheck_earth.views.text.arithmetic import digits, worked_out
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import speaking, words
from shellcheck_earth.views.text.working import workings_of

LOFT = RingLoad("Loft, upper", 0.4, (2.0, 6.0), (0.0, 150.0), (0.1, 0.2))


@cache
def loaded(set_name: str = "common practice") -> Result:
    base = sturdy()
    criteria = replace(base.criteria, set_name=set_name) if set_name == "common practice" else _named(set_name)
    return check(replace(base, ring_loads=(LOFT,), criteria=criteria), proofs=False, explore=False)


def _named(set_name: str) -> Criteria:
    from shellcheck_earth.basics.values import criteria_set
    from shellcheck_earth.design.criteria import usual_factor

    required = {
        check: usual_factor(row, tested=True, level="characteristic") for check, row in criteria_set(set_name).items()
    }
    return Criteria(set_name, required)


def test_the_screen_says_what_was_asked() -> None:
    said = " ".join(" ".join(summary_lines(loaded(), None)).split())
    assert "Loads handed into a ring all around (Loft, upper) were asked" in said
    states = [case for case in loaded().cases if case.id.startswith("finished-dry-carrying-")]
    worst = min(states, key=lambda case: (-sum(m.meets is False for m in case.margins), case.overall_reserve or 0.0))
    assert len(states) == 8 and said.count("finished-dry (") == 1
    assert worst.title.removeprefix("Finished, service moisture, ") in said
    assert "Of 8 states of what is handed into rings or lies against the wall the worst of each case is shown" in said
    bare = replace(loaded(), cases=tuple(case for case in loaded().cases if "-carrying-" not in case.id))
    assert "states of what is handed" not in " ".join(summary_lines(bare, None))


def _heads(svg: str) -> int:
    return len(re.findall(f'<path [^>]* Z" fill="{INK}"', svg))


def test_the_section_has_its_arrows() -> None:
    """One down and one outward on each side."""
    bare = replace(loaded().design, ring_loads=())
    assert _heads(design_svg(loaded().design)) == 4 and _heads(design_svg(bare)) == 0
    assert "handed in all around by Loft, upper" in section_svg(loaded()) and "handed in" not in design_svg(bare)


def test_arrows_are_named_in_the_units_of_the_design() -> None:
    said = ">Loft, upper, handed in all around: weight {}, thrust outward {}<"
    assert said.format("2.00 kN to 6.00 kN", "0 kN to 150 kN") in design_svg(loaded().design)
    feet = replace(loaded().design, unit_system="imperial")
    assert said.format("450 lbf to 1350 lbf", "0 lbf to 33700 lbf") in design_svg(feet)
    lifted = replace(LOFT, name="Cap", height=2.5, weight=(-0.5, -0.5), thrust=(0.0, 0.0), from_inner_face=(0.1, 0.1))
    two = design_svg(replace(feet, ring_loads=(LOFT, lifted)))
    assert ">Cap, handed in all around: weight -112 lbf, thrust outward 0 lbf<" in two
    assert [words for words, _box in boxes(two) if words in "ABCD"] == ["C", "D", "A", "A", "B", "B", "C", "D"]


@pytest.mark.parametrize("tallest", [20.0, 29.0, 76.0])
@pytest.mark.parametrize("system", ["metric", "imperial"])
def test_no_letter_of_a_load_covers_words_or_arrows(system: UnitSystem, tallest: float) -> None:
    """Two loads with arrows both ways, one of them on the crown, whose names need more than a line."""
    top = loaded().dome.top
    cap = RingLoad("Skylight of the crown ring, with hatch and ladder", top, (3.0, 3.0), (-2.0, -2.0), (0.1, 0.1))
    loft = replace(LOFT, height=1.3, from_inner_face=(0.15, 0.15))
    design = replace(loaded().design, ring_loads=(loft, cap), unit_system=system)
    result = redesigned(loaded(), ring_loads=design.ring_loads, unit_system=system)
    for svg in (section_svg(result, tallest=tallest), section_svg(result, phone=True), design_svg(design)):
        assert_words_lie_free(svg)
        letters = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="([^"]+)" cy="([^"]+)" r="2"', svg)]
        shafts = re.findall(r'<line x1="([^"]+)" y1="([^"]+)" x2="([^"]+)" y2="([^"]+)" [^>]*width="0.5"/>', svg)
        assert len(letters) == 4 and len(shafts) >= 8
        for (x, y), shaft in itertools.product(letters, shafts):
            left, top_y, right, low = (float(shaft[i]) for i in (0, 1, 2, 3))
            beside = (
                max(min(left, right) - x, x - max(left, right), 0.0),
                max(min(top_y, low) - y, y - max(top_y, low), 0.0),
            )
            assert math.hypot(*beside) > 2.0, (x, y, shaft)
        for one, other in itertools.combinations(letters, 2):
            assert math.dist(one, other) > 4.0


@pytest.mark.parametrize("set_name", ["common practice", "EN 1990"])
def test_the_working_comes_out_with_what_is_handed_in(set_name: str) -> None:
    """H = P + C - T, and weights and moments of the course to the digits that the lune was asked with."""
    seen = 0
    for bed, working in zip(loaded(set_name).workings, workings_of(loaded(set_name).workings), strict=True):
        found = {}
        for line in working.lines:
            symbol, said = line.result.split(" = ")
            assert digits(worked_out(line.numbers)) == said.split()[0], (working.title, line)
            found[symbol] = float(said.split()[0])
        assert found["W"] == pytest.approx(bed.above[-1].weight, rel=1e-5)
        assert found["M_c"] == pytest.approx(bed.above[-1].moment, rel=1e-4)
        assert found["V"] == pytest.approx(sum(one.weight for one in bed.above), rel=1e-6)
        if any(one.push for one in bed.above) and bed.stands:
            assert found["P"] == pytest.approx(sum(one.push for one in bed.above), rel=1e-5)
            assert "carrying" in bed.case_title
            seen += 1
    assert seen


def test_titles_in_spanish() -> None:
    case = loaded().case("finished-dry-carrying-2")
    with speaking(words("es")):
        said = said_below(case.title)
    assert "cargando Loft, upper" in said and "peso mínimo" in said and "carrying" not in said
