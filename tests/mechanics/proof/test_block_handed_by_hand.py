"""Which states of what is handed in the checker asks blocks, by hand, and when forms come out of a wall that stands."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from certificates import CAP, DOOR, ROOF, SHELTER

from shellcheck_earth.mechanics.proof.block_handed import HandedState, handed_states
from shellcheck_earth.mechanics.proof.block_walls import DesignWalls
from shellcheck_earth.mechanics.proof.reading import read

QUAKE = SHELTER.replace(
    'earthquake = { value = "none", reason = "no shaking, invented example" }',
    'earthquake = 0.1\nearthquake_basis = "strength level"',
)


def _states(text: str) -> list[HandedState]:
    walls = DesignWalls(read(text))
    return list(handed_states(walls.d, walls.courses, walls.cases.ground))


def _per_arc(text: str) -> list[tuple[tuple[float, float], ...]]:
    """(weight, thrust) of each load of each state, on all of what it bears on [kN]."""
    out = []
    for state in _states(text):
        arcs = [2 * math.pi if one.half == math.pi else 2 * one.half for one in state.plain]
        out.append(tuple((one.weight * a, one.thrust * a) for one, a in zip(state.plain, arcs, strict=True)))
    return out


def test_a_weight_that_does_not_range_comes_with_both_ends_of_the_thrust() -> None:
    assert _per_arc(SHELTER + CAP) == [(pytest.approx((0.8, -0.2)),), (pytest.approx((0.8, 0.3)),)]
    assert [state.suffix for state in _states(SHELTER + CAP)] == ["-carrying-1", "-carrying-2"]
    assert all(one.half == math.pi for state in _states(SHELTER + CAP) for one in state.plain)


def test_of_a_weight_alone_the_most_is_asked_which_holds_all_below_it() -> None:
    """The least lies between the most and the dome without the beam. It bears on 0.25 m of the inner face."""
    (state,) = _states(SHELTER + ROOF)
    (one,) = state.plain
    walls = DesignWalls(read(SHELTER + ROOF))
    course = walls.rings[one.course]
    assert course.bottom < 0.9 <= course.top and not state.again
    assert one.half == pytest.approx(0.125 / course.inner) and one.middle == pytest.approx(math.radians(75))
    assert one.weight == pytest.approx(0.6 / (2 * one.half)) and one.thrust == 0.0
    assert one.radius == pytest.approx(course.inner + 0.15)
    assert _per_arc(QUAKE + ROOF) == [(pytest.approx((0.6, 0.0)),)]


def test_rings_alone_come_before_what_bears_at_one_bearing() -> None:
    """Of the skylight two ends; of the beam its least and its most, beside none and each end of the skylight."""
    found = _per_arc(SHELTER + CAP + ROOF)
    cap = [(0.8, -0.2), (0.8, 0.3)]
    assert [len(one) for one in found[:2]] == [1, 1]
    assert [one[0] for one in found[:2]] == [pytest.approx(end) for end in cap]
    behind = [(0.6, 0.0)]
    assert [list(one) for one in found[2:]] == [
        [pytest.approx(end) for end in state] for state in (behind, [cap[0], behind[0]], [cap[1], behind[0]])
    ]


def test_a_range_through_nothing_is_asked_at_nothing_where_the_ground_shakes() -> None:
    """An earthquake shakes what weighs, so that no weight at all is a state of its own, with what it thrusts."""
    lifts = CAP.replace('weight = "0.8 kN"', 'weight = { low = "-0.3 kN", high = "0.8 kN" }')
    calm, shaken = _per_arc(SHELTER + lifts), _per_arc(QUAKE + lifts)
    ends = [(w, t) for w in (-0.3, 0.8) for t in (-0.2, 0.3)]
    assert [one[0] for one in calm] == [pytest.approx(end) for end in ends]
    assert [one[0] for one in shaken] == [pytest.approx(end) for end in [*ends, (0.0, -0.2), (0.0, 0.3)]]


@pytest.mark.parametrize("laid", [None, 5, 11])
def test_forms_come_out_of_a_wall_that_stands_higher_at_the_soonest_now(laid: Any) -> None:
    """Courses of 0.14 m: the lintel of a door of 1.0 m lies in course 9, whose bottom is at 1.12 m; the first ring that
    closes over it is that of course 10, unless more than that stands."""
    design = read(SHELTER + DOOR)
    walls = DesignWalls(replace(design, values={**design.values, "building.laid": laid}))
    *tops, last = [(walls.courses[top - 1].number, name) for top, name, _ in walls.stages()]
    assert tops == [(max(10, laid or 1), "three-d-forms-out")]
    assert last == (walls.courses[-1].number, "three-d-all-laid")


def test_no_weight_at_all_is_asked_at_one_place() -> None:
    """Where nothing weighs the place of the weight is no question: four ends at two places, and no weight twice."""
    lifts = CAP.replace('weight = "0.8 kN"', 'weight = { low = "-0.3 kN", high = "0.8 kN" }')
    wide = lifts.replace('from_inner_face = "0.2 m"', 'from_inner_face = { low = "0.1 m", high = "0.2 m" }')
    assert [len(_per_arc(text + wide)) for text in (SHELTER, QUAKE)] == [8, 10]
