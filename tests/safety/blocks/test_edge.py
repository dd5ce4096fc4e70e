"""The search for a reserve on curves of what is to spare that are put there by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from shellcheck_earth.mechanics.blocks.spare import PLENTY, Spare
from shellcheck_earth.safety.blocks import edge
from shellcheck_earth.safety.blocks.edge import LEAST_RESERVE, RESERVE_STEP, Edge, find_edge


def searched(
    curve: Callable[[float], float | None],
    offers: list[float],
    first: float | None = None,
    *,
    expected: bool = False,
    plain: bool = False,
) -> tuple[Edge, list[tuple[float, bool]]]:
    """The edge, and what was asked, where so much is to spare as a curve says (None: not decided). plain: never told
    how much."""
    asked: list[tuple[float, bool]] = []

    def ask(q: float, told: bool) -> tuple[Any, Spare]:
        asked.append((q, told))
        spare = curve(q)
        answer = SimpleNamespace(
            solved=spare is not None and (told or spare >= 0.0),
            infeasible=spare is not None and not told and spare < 0.0,
            motions=np.full((1, 6), q),
        )
        if spare is None or not told or plain:
            answer.solved, answer.infeasible = spare is not None and spare >= 0.0, spare is not None and spare < 0.0
            return f"problem {q}", Spare(math.nan, math.nan, answer)  # type: ignore[arg-type]
        return f"problem {q}", Spare(min(spare, PLENTY), min(spare, PLENTY), answer)  # type: ignore[arg-type]

    return find_edge(ask, offers, first, expected=expected), asked


def line(edge_at: float, steep: float = 1.0) -> Callable[[float], float]:
    return lambda q: -steep * math.log(q / edge_at)


def found_within_a_step(found: Edge, true: float) -> None:
    assert found.reserve is not None and found.reserve <= true < found.fails <= found.reserve * (1 + RESERVE_STEP) * (
        1 + 1e-12
    )
    assert not found.at_least and found.failing is not None and found.failing[0, 0] == found.fails
    assert found.state is not None and found.state[0] == f"problem {found.reserve}"


@pytest.mark.parametrize("plain", [True, False])
@pytest.mark.parametrize("true", [0.26, 0.3, 0.9, 1.2, 1.31, 1.7, 2.49])
def test_the_edge_is_found_from_below(true: float, plain: bool) -> None:
    found, asked = searched(line(true), [2.5], 1.25, plain=plain)
    found_within_a_step(found, true)
    assert min(q for q, _ in asked) >= LEAST_RESERVE and len(asked) <= (30 if plain else 10)


def test_being_told_how_much_saves_questions() -> None:
    told, plain = (len(searched(line(1.7), [2.5], 1.25, plain=one)[1]) for one in (False, True))
    assert told <= 4 < plain


@given(
    true=st.floats(0.3, 9.0),
    steep=st.floats(0.05, 20.0),
    knee=st.floats(1e-4, 0.02),
    bent=st.floats(0.0, 3.0),
    high=st.floats(1.01, 3.0),
    start=st.floats(0.1, 1.5),
)
def test_whatever_falls_is_found(
    true: float, steep: float, knee: float, bent: float, high: float, start: float
) -> None:
    """Bent, and next to nothing to spare up to the edge where one face is weak. At the very edge nothing is decided."""
    assume(abs(start - 1.0) > 1e-6)

    def curve(q: float) -> float:
        way = math.log(q / true)
        return min(-steep * way, knee) if way <= 0 else -steep * way * (1 + bent * way)

    found, asked = searched(curve, [true * high], true * start)
    found_within_a_step(found, true)
    assert len(asked) <= 40


def test_what_is_offered_first_ends_the_search_where_it_is_held() -> None:
    at_the_end, asked = searched(line(3.0), [2.5], 1.25)
    assert (at_the_end.reserve, at_the_end.at_least, asked) == (2.5, True, [(2.5, True)])
    assert math.isinf(at_the_end.fails) and at_the_end.failing is None
    second, asked = searched(line(2.0), [2.5, 1.9])
    assert (second.reserve, second.at_least, second.fails) == (1.9, True, 2.5) and [q for q, _ in asked] == [2.5, 1.9]
    only, asked = searched(line(2.0), [1.9], expected=True)
    assert only.at_least and asked == [(1.9, False)]


def test_less_than_the_least_is_nothing_even_where_it_is_offered() -> None:
    found, asked = searched(line(0.22), [0.2], 0.2)
    assert (found.reserve, [q for q, _ in asked]) == (0.0, [LEAST_RESERVE])


def test_where_to_begin_is_asked_only_where_the_end_does_not_point_at_the_edge() -> None:
    _, near = searched(line(2.0), [2.4], 1.25)  # 0.18 is wanting at 2.4
    _, far = searched(line(2.0), [10.0], 1.25)  # 1.6 at 10
    assert near[1][0] == pytest.approx(2.0 * math.sqrt(edge.CLOSE)) and far[1][0] == 1.25


def test_where_nothing_is_held_and_where_nothing_is_decided() -> None:
    nothing, asked = searched(lambda _: -1.0, [2.0], 1.25)
    assert (nothing.reserve, nothing.at_least, asked[-1][0]) == (0.0, False, LEAST_RESERVE)
    assert nothing.fails == LEAST_RESERVE
    undecided, _ = searched(lambda _: None, [2.0], 1.25)
    assert undecided.reserve is None and undecided.failing is None and math.isinf(undecided.fails)
    # Undecided further up is taken as not held: what is reported was held, and nothing is said to fail there.
    part, _ = searched(lambda q: 0.3 if q <= 1.4 else None, [2.0], 1.25)
    assert part.reserve is not None and 1.37 < part.reserve <= 1.4
    assert part.failing is None and math.isinf(part.fails) and not part.at_least


def test_at_the_very_edge_nothing_is_decided_and_less_is_held() -> None:
    found, _ = searched(lambda q: -math.log(q), [2.0], 1.0)
    assert found.reserve is not None and 0.98 < found.reserve < 1.0
    assert found.fails > 1.0 and found.failing is not None  # not the edge itself, of which no mechanism is known
