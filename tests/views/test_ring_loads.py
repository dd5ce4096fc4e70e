"""What a reader is told of loads handed into a ring: the screen, the section, the working, in Spanish."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from samples import sturdy

from shellcheck_earth.design.design import Criteria, RingLoad
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
    assert "finished-dry-carrying-8" in said


def test_the_section_has_its_arrows() -> None:
    """One down and one outward on each side: four heads more than without."""
    head, bare = f'fill="{INK}"', replace(loaded().design, ring_loads=())
    assert design_svg(loaded().design).count(head) == design_svg(bare).count(head) + 4
    assert "handed in all around by Loft, upper" in section_svg(loaded()) and "handed in" not in design_svg(bare)


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
