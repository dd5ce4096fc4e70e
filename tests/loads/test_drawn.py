"""What is drawn of a design of several fills: one draw for what is one value, and else a draw of its own."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import CourseGroup, Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.drawn import WALL, Inputs, inputs_of, place_in_file
from shellcheck_earth.loads.sampled import Drawn, dimensions, draw
from shellcheck_earth.loads.scatter import stated_scatter
from shellcheck_earth.studies.sample.asked import own_values

FILL = slice(0, 13)
CROWN = slice(16, 29)
"""Columns of the wall's own fill and of the first group."""


def crowned(bases: dict[str, str] | None = None, **own: object) -> Design:
    """The classroom, placed so dry that it is never soaked, with a crown whose fill differs in `own` alone."""
    base = classroom(bases=MappingProxyType(bases or {}))
    base = replace(base, fill=replace(base.fill, placing_moisture=0.06, strength_wet=20.0))
    return replace(base, groups=(CourseGroup(12, None, replace(base.fill, **own)),))


def inputs(design: Design) -> Inputs:
    return inputs_of(design, stated_scatter(), own_values(build_dome(design)))


def drawn(design: Design, count: int = 500) -> Drawn:
    found, dome = inputs(design), build_dome(design)
    return draw(dome, found, np.random.default_rng(3).random((count, dimensions(found, len(dome.courses)))))


def test_a_group_that_takes_everything_over_has_the_draws_of_the_wall() -> None:
    design = crowned()
    assert inputs(design).names == WALL
    states = drawn(design).states
    assert (states[:, FILL] == states[:, CROWN]).all() and states[:, FILL].std(axis=0)[:10].min() > 0


def test_a_value_of_its_own_is_drawn_for_itself_and_the_others_with_the_wall() -> None:
    design = crowned(dry_density=1500.0)
    assert inputs(design).names == (*WALL, "wall.courses[1].dry_density")
    states = drawn(design).states
    assert abs(float(np.corrcoef(states[:, 0], states[:, 16])[0, 1])) < 0.15  # three standard errors of 500
    assert (states[:, 6] == states[:, 16 + 6]).all()  # fresh: its strength as placed, not its weight


def test_one_strength_of_its_own_leaves_the_other_two_with_the_wall() -> None:
    """Fresh fill has its strength as placed, soaked fill its wet one."""
    states, design = drawn(crowned(strength_wet=10.0)).states, crowned(strength_wet=10.0)
    assert inputs(design).names[len(WALL) :] == ("wall.courses[1].strength", "wall.courses[1].strength_own:wet")
    assert (states[:, 6] == states[:, 16 + 6]).all()
    assert abs(float(np.corrcoef(states[:, 5], states[:, 16 + 5])[0, 1])) < 0.15


def test_one_common_factor_moves_all_strengths_of_a_group() -> None:
    design = crowned(strength_dry=900.0, strength_as_placed=90.0, strength_wet=9.0)
    names = inputs(design).names[len(WALL) :]
    assert names == tuple(
        f"wall.courses[1].{name}"
        for name in ("strength", "strength_own:dry", "strength_own:placed", "strength_own:wet")
    )
    whole = np.log(drawn(design).states[:, [*range(7), *range(16, 23)]])
    wall, states = whole[:, :7], whole[:, 7:]
    # ln of 0.30 and 0.10 as coefficients of variation: 0.08618 of 0.08618 + 0.00995 is common, so 0.896.
    assert float(np.corrcoef(states[:, 6], states[:, 5])[0, 1]) == pytest.approx(0.896, abs=0.03)
    assert abs(float(np.corrcoef(states[:, 6], wall[:, 6])[0, 1])) < 0.15


def test_another_kind_of_fill_or_another_way_of_knowing_makes_it_its_own() -> None:
    other = crowned(stabiliser="cement", stabiliser_share=0.08)
    assert len(inputs(other).names) == len(WALL) + 7
    known = crowned({"fill.dry_density": "stated", "wall.courses[1].dry_density": "measured"})
    assert inputs(known).names == (*WALL, "wall.courses[1].dry_density")


def test_a_group_scatters_as_its_own_values_are_known() -> None:
    """Smaller spreads for what was measured, of the wall and of each group by itself."""
    tested = {f"fill.strength_{state}": "measured" for state in ("dry", "as_placed", "wet")}
    design = crowned(tested, strength_dry=900.0)
    found = inputs(design)
    assert found.spread("strength").spread == 0.15 and found.spread("wall.courses[1].strength").spread == 0.30
    assert found.spread("wall.courses[1].strength_own:dry").spread == 0.10
    groups = {path.replace("fill.", "wall.courses[1]."): "measured" for path in tested}
    only = inputs(crowned(groups, strength_dry=900.0))
    assert only.spread("strength").spread == 0.30 and only.spread("wall.courses[1].strength").spread == 0.15
    # one of the three that was not tested, and all of the group scatter as untested
    del groups["wall.courses[1].strength_wet"]
    assert inputs(crowned(groups, strength_dry=900.0)).spread("wall.courses[1].strength").spread == 0.30
    fresh = np.log(drawn(crowned(strength_as_placed=90.0)).states[:, 16 + 6])
    assert fresh.std() == pytest.approx(np.sqrt(np.log1p(0.3**2) + np.log1p(0.1**2)), rel=0.1)


def test_a_group_whose_courses_the_dome_does_not_have_draws_nothing() -> None:
    base = classroom()
    far = replace(base, groups=(CourseGroup(200, None, replace(base.fill, dry_density=1500.0)),))
    assert inputs(far).names == WALL


def test_every_group_says_what_is_its_own() -> None:
    with pytest.raises(ValueError, match="zip"):
        inputs_of(crowned(), stated_scatter())


def test_a_name_says_where_it_stands_in_the_file() -> None:
    assert place_in_file("strength_own:dry") == (0, "strength_own:dry")
    assert place_in_file("wall.courses[12].strength_own:dry") == (12, "strength_own:dry")
