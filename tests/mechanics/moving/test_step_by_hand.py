"""One step in time and the search for rest, beside the sums of a box that falls, sinks, is held or slides away."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from shellcheck_earth.mechanics.blocks.interfaces import GROUND
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties
from shellcheck_earth.mechanics.moving import push as slow
from shellcheck_earth.mechanics.moving.body import GRAVITY, Stiffness, bodies_of
from shellcheck_earth.mechanics.moving.push import DEAD_PIECES, GONE, RESTS, push, settle
from shellcheck_earth.mechanics.moving.step import BALANCED, State, Stepper, unloaded
from validation.block_shapes import one_block, wall

GIVE = Stiffness(sinking=1e-3)
"""A box of 1 kN on four points sinks 1 mm: 250 kN/m each, half of that sideways."""


def stepper(problem: BlockProblem | None = None) -> Stepper:
    return Stepper(bodies_of(problem or one_block(2.0, 1.0, 0.5), GIVE))


def load(*values: float) -> np.ndarray:
    return np.array([*values, *[0.0] * (6 - len(values))])


def lifted(state: State, by: float) -> State:
    """With a gap of `by` [m] under the box: nothing presses before it has come down."""
    return replace(state, pressed=state.pressed - 250.0 * by)


@pytest.mark.parametrize("h", [0.01, 0.2])
def test_a_box_in_the_air_falls_with_gravity(h: float) -> None:
    """Implicit steps: v grows by g h, the way by v h with the new v; twice over, and aside under a push of its own
    weight. A couple of 1 kN m turns it by 1/I, I = m a^2/6."""
    made = stepper()
    state = lifted(unloaded(made.bodies), 10.0)
    for k in (1, 2):
        after = made.step(state, load(1.0, 0.0, -1.0, 0.0, 1.0), h)
        assert after is not None
        assert after.speed[2] == pytest.approx(-GRAVITY * h * k) and after.speed[0] == pytest.approx(GRAVITY * h * k)
        assert after.speed[4] == pytest.approx(6 * GRAVITY * h * k)
        assert after.moved - state.moved == pytest.approx(h * after.speed)
        assert not after.force.any()
        # The gap closes by the way gone, and that of the points by the turning about the centre besides.
        turn = after.moved[4] - state.moved[4]
        x = made.bodies.problem.patches.points[0, :, 0]
        down = -(after.moved[2] - state.moved[2]) + turn * x
        assert after.pressed[0] - state.pressed[0] == pytest.approx(250.0 * down)
        state = after


def test_a_step_without_end_finds_the_sinking_under_the_weight_and_no_speed() -> None:
    made = stepper()
    after = made.step(unloaded(made.bodies), load(0.0, 0.0, -1.0), 1e6)
    assert after is not None
    assert after.moved[2] == pytest.approx(-1e-3, rel=1e-6) and np.abs(np.delete(after.moved, 2)).max() < 1e-12
    assert after.force[0, :, 0] == pytest.approx([0.25] * 4) and not after.force[0, :, 1:].any()
    assert after.pressed == pytest.approx(after.force[:, :, 0]) and abs(after.speed[2]) < 1e-8
    # Pushed by 0.2 kN at mid-height: aside by 0.2/(4 x 125), and turned by the couple 0.1 over 4 x 250 x 1 m^2 besides.
    pushed = made.step(after, load(0.2, 0.0, -1.0), 1e6)
    assert pushed is not None
    turn = pushed.moved[4] - after.moved[4]
    assert turn == pytest.approx(0.1 / 1000.0, rel=1e-6)
    assert pushed.moved[0] == pytest.approx(0.2 / 500.0 + 0.5 * turn, rel=1e-6)  # of the centre, half a metre up
    assert pushed.force[0, :, 1:].sum() ** 2 == pytest.approx(0.04, rel=1e-6)
    assert pushed.shear == pytest.approx(pushed.force[:, :, 1:])
    # Let go, it springs back all the way: nothing slid.
    back = made.step(pushed, load(0.0, 0.0, -1.0), 1e6)
    assert back is not None and back.moved == pytest.approx(after.moved, abs=1e-9)


def test_mass_holds_back_what_a_short_step_may_move() -> None:
    """(m/h^2 + k) d = f for a box that presses on its bed: m = 1/g, k = 1000."""
    made = stepper()
    for h in (1e-3, 1e-2, 0.1):
        after = made.step(unloaded(made.bodies), load(0.0, 0.0, -1.0), h)
        assert after is not None
        assert after.moved[2] == pytest.approx(-1.0 / (1000.0 + 1.0 / GRAVITY / h**2), rel=1e-6)


def test_what_is_left_over_is_measured_in_mean_weights_and_by_the_size() -> None:
    heavy = one_block(2.0, 1.0, 0.5)
    made = stepper(replace(heavy, dead=4.0 * heavy.dead, size=np.array([2.0])))
    assert made.unit == 4.0
    assert made.worst(load(0.0, 0.0, -2.0)) == 0.5
    assert made.worst(load(0.0, 0.0, 0.0, 2.0)) == 0.25
    state = unloaded(made.bodies)
    assert (made.left(load(1.0, 2.0, 3.0, 4.0, 5.0, 6.0), state.force, state.tension) == np.arange(1.0, 7.0)).all()
    pressed = state.force.copy()
    pressed[0, :, 0] = [1.0, 0.0, 0.0, 0.0]
    point = heavy.patches.points[0, 0] - heavy.centre[0]
    expected = [0.0, 0.0, 1.0, *np.cross(point, [0.0, 0.0, 1.0])]
    assert made.left(load(), pressed, state.tension) == pytest.approx(expected)


def tied(most: float) -> BlockProblem:
    """A box without friction, held by a tie that pulls it against the push."""
    free = one_block(2.0, 1.0, 0.0)
    one: Any = np.zeros(1, dtype=np.int64)
    return replace(free, ties=Ties(one, one, np.array([-1.0]), np.array([most])))


def test_a_tie_stretches_gives_up_at_its_most_and_never_pushes() -> None:
    """Its stiffness is that of the mean contact: 250 kN/m."""
    made = stepper(tied(0.3))
    rests = made.step(unloaded(made.bodies), load(0.0, 0.0, -1.0), 1e6)
    assert rests is not None
    held = made.step(rests, load(0.2, 0.0, -1.0), 1e6)
    assert held is not None and held.tension == pytest.approx([0.2]) and held.stretched == pytest.approx([0.2])
    assert held.moved[0] == pytest.approx(0.2 / 250.0, rel=1e-5)
    h = 0.01
    torn = made.step(rests, load(0.5, 0.0, -1.0), 1e3)
    # Past its most it goes on pulling with it, and no more: 0.2 kN are left to move the box.
    assert torn is not None and torn.tension == pytest.approx([0.3]) and torn.stretched == pytest.approx([0.3])
    assert torn.speed[0] == pytest.approx(0.2 * GRAVITY * 1e3, rel=1e-4)
    # Pushed the other way the tie is slack, and its slack is kept.
    slack = made.step(rests, load(-0.2, 0.0, -1.0), h)
    assert slack is not None and slack.tension == pytest.approx([0.0])
    assert slack.moved[0] == pytest.approx(-0.2 * GRAVITY * h * h, rel=1e-4)
    assert slack.stretched == pytest.approx([250.0 * slack.moved[0]])


def test_two_blocks_in_a_row_press_with_what_stands_on_each() -> None:
    """Two courses under their weight, in one long step: the ground carries all of it."""
    problem = wall(1, 2, 0.6)
    made = Stepper(bodies_of(problem, GIVE))
    after = made.step(unloaded(made.bodies), problem.dead.ravel(), 1e6)
    assert after is not None
    press = after.force[:, :, 0].sum(axis=1)
    ground = problem.patches.lower == GROUND
    assert press[ground].sum() == pytest.approx(-problem.dead[:, 2].sum(), rel=1e-6)
    left = made.left(problem.dead.ravel(), after.force, after.tension)
    assert made.worst(left) <= 2 * BALANCED and np.abs(after.speed).max() < 1e-7


# -- the search for rest ---------------------------------------------------------------------------------------------


class Told:
    """A stepper whose steps are told beforehand: left over, way and speed of each; None: a step without an answer."""

    def __init__(self, steps: list[tuple[float, float, float] | None]) -> None:
        self.steps = iter(steps)
        self.asked: list[float] = []
        self.bodies = bodies_of(one_block(2.0, 1.0, 0.5), GIVE)
        self.length = np.ones(6)

    def step(self, state: State, _load: np.ndarray, h: float) -> State | None:
        self.asked.append(h)
        told = next(self.steps, (1.0, 0.0, 0.0))
        if told is None:
            return None
        self.now = told[0]
        return replace(state, moved=np.full(6, told[1]), speed=np.full(6, told[2]))

    def left(self, *_: Any) -> np.ndarray:
        return np.array([self.now])

    def worst(self, wrench: np.ndarray) -> float:
        return float(wrench[0])


def told(*steps: tuple[float, float, float] | None, gone: float = 1.0) -> tuple[str, list[float], State]:
    made: Any = Told(list(steps))
    clock = slow._Clock()
    ended, state = settle(made, unloaded(made.bodies), load(), gone, clock)
    assert clock.steps == len(made.asked)
    return ended, made.asked, state


def test_rest_is_a_little_left_over_and_ends_the_search() -> None:
    assert told((RESTS, 9.0, 9.0))[0] == "rest"
    ended, asked, _ = told((2 * RESTS, 0.0, 0.0), (RESTS / 2, 0.0, 0.0))
    assert ended == "rest" and len(asked) == 2


def test_steps_grow_four_times_up_to_the_longest() -> None:
    _, asked, _ = told(*[(1.0, 0.0, 0.0)] * 6, (0.0, 0.0, 0.0))
    assert asked == pytest.approx([0.02, 0.08, 0.32, 1.28, 4.0, 4.0, 4.0])


def test_a_step_without_an_answer_is_tried_shorter_and_what_follows_grows_slower() -> None:
    _, asked, _ = told((1.0, 0.0, 0.0), None, (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    # 0.02, 0.08 fails, 0.02, then times 1.5, 1.5 x 1.4, 1.5 x 1.4^2
    assert asked == pytest.approx([0.02, 0.08, 0.02, 0.03, 0.03 * 2.1, 0.03 * 2.1 * 2.94])


def test_where_no_step_has_an_answer_there_is_none() -> None:
    ended, asked, _ = told(*[None] * 20)
    assert ended == "no answer"
    # A quarter each time, as long as a hundred-thousandth of a second is not passed.
    assert asked == pytest.approx([0.02 / 4**k for k in range(6)])
    assert asked[-1] >= 1e-5 > asked[-1] / 4


def test_a_search_that_comes_to_no_end_has_no_answer() -> None:
    ended, asked, _ = told(*[(1.0, 0.5, 1.0)] * 400)
    assert ended == "no answer" and len(asked) == slow.MOST_STEPS


@pytest.mark.parametrize(
    ("first", "second", "says"),
    [
        ((1.0, 0.5, 1.0), (0.5, 1.5, 1.0), "gone"),  # moved far, still moving, no nearer to rest
        ((1.0, 0.5, 1.0), (0.2, 1.5, 1.0), "gone"),  # a fifth of what was left: not near enough
        ((1.0, 0.5, 1.0), (0.19, 1.5, 1.0), "rest"),  # coming to rest quickly, however far
        ((1.0, 0.5, 1.0), (0.5, 1.0, 1.0), "rest"),  # not far yet
        ((1.0, 0.5, 1.0), (0.5, 1.5, 0.0), "rest"),  # stands still
    ],
)
def test_gone_is_far_and_moving_and_no_nearer_to_rest(first: Any, second: Any, says: str) -> None:
    assert told(first, second, (0.0, 0.0, 0.0))[0] == says


def test_a_way_back_counts_as_a_way_and_the_first_step_is_never_the_last() -> None:
    assert told((1.0, 0.0, -1.0), (1.0, -1.5, -1.0), (0.0, 0.0, 0.0))[0] == "gone"
    # Nothing was left over before the first step that it could be compared with.
    assert told((1.0, 5.0, 1.0), (0.0, 5.0, 1.0))[0] == "rest"


# -- pushed ----------------------------------------------------------------------------------------------------------


class Held:
    """`settle` that holds up to a multiplier; keeps what it was asked."""

    def __init__(self, most: float) -> None:
        self.most, self.gone = most, 0.0
        self.asked: list[tuple[float, float]] = []

    def __call__(self, _stepper: Any, state: State, force: np.ndarray, gone: float, clock: Any) -> tuple[str, State]:
        clock.steps += 1
        self.gone = gone
        self.asked.append((-float(force[2]), float(force[0])))
        moved = np.zeros(6)
        moved[0], moved[1] = float(force[0]) / 100, -float(force[0]) / 50
        ended = "rest" if force[0] <= self.most else "gone"
        return ended, replace(state, moved=moved)


def held(monkeypatch: pytest.MonkeyPatch, limit: float, **given: Any) -> tuple[Any, Held]:
    made = Held(limit)
    monkeypatch.setattr(slow, "settle", made)
    return push(one_block(2.0, 1.0, 0.5), give=GIVE, **given), made


def test_the_dead_load_comes_on_in_fifths_and_then_the_live_load_in_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    found, made = held(monkeypatch, 0.6, piece=0.25, fine=0.0625)
    dead = np.array(made.asked[:DEAD_PIECES])
    assert dead == pytest.approx(np.array([(k / 5, 0.0) for k in range(1, 6)]))
    # The last piece, 0.5625 + 0.0625, is known not to be held; half of it is below the fineness.
    live = [aside for _, aside in made.asked[5:]]
    assert live == [0.25, 0.5, 0.75, 0.625, 0.5625] and all(down == 1.0 for down, _ in made.asked[5:])
    assert (found.held, found.fails, found.ended) == (0.5625, 0.625, "gone")
    assert np.array(found.path) == pytest.approx(np.array([(m, m / 50) for m in (0.0, 0.25, 0.5, 0.5625)]))
    assert found.steps == 10 and made.gone == pytest.approx(GONE * 1e-3)
    assert found.state.moved[0] == pytest.approx(0.005625) and found.going.moved[0] == pytest.approx(0.00625)


def test_no_piece_is_smaller_than_the_fineness_nor_left_out_for_rounding(monkeypatch: pytest.MonkeyPatch) -> None:
    found, _ = held(monkeypatch, 0.5, piece=0.3, fine=0.3)
    assert (found.held, found.fails) == (pytest.approx(0.3), pytest.approx(0.6))
    found, _ = held(monkeypatch, 0.5, piece=0.3, fine=0.1)  # 0.3, 0.15, then 0.075 is too fine
    assert (found.held, found.fails) == (pytest.approx(0.45), pytest.approx(0.6))


def test_a_push_ends_at_the_most_that_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    found, made = held(monkeypatch, 0.5, piece=0.2, fine=0.05, most=0.3)
    assert (found.held, found.ended, found.going) == (0.3, "rest", None) and math.isinf(found.fails)
    assert [aside for _, aside in made.asked[5:]] == pytest.approx([0.2, 0.3])
    found, made = held(monkeypatch, 0.5, piece=0.2, fine=0.05, most=0.0)
    assert found.held == 0.0 and len(made.asked) == 5 and found.path == ((0.0, 0.0),)


def test_live_load_that_comes_with_the_dead_load_is_never_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    found, made = held(monkeypatch, 0.5, piece=0.2, fine=0.2, together=True)
    assert np.array(made.asked[:5]) == pytest.approx(np.array([(k / 5, 0.2 * k / 5) for k in range(1, 6)]))
    assert found.path[0][0] == 0.2 and found.held == pytest.approx(0.4)


def test_what_does_not_rest_under_its_own_weight_is_not_pushed(monkeypatch: pytest.MonkeyPatch) -> None:
    found, made = held(monkeypatch, 0.1, piece=0.2, fine=0.05, together=True)
    assert found.held is None and (found.fails, found.ended, found.path) == (0.2, "gone", ())
    assert len(made.asked) == 3 and found.steps == 3  # at three fifths of 0.2
    assert found.state.moved[0] == pytest.approx(0.0008) and found.going.moved[0] == pytest.approx(0.0012)
