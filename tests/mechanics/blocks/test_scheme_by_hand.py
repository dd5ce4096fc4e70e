"""The sequential scheme for friction without dilation, its rounds put there by hand: when it settles, and on what."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from shellcheck_earth.mechanics.blocks import nonassociated
from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone
from shellcheck_earth.mechanics.blocks.nonassociated import (
    DILATION,
    MOST_LOST,
    MOST_ROUNDS,
    SETTLED,
    SWINGING,
    _rounds,
    _Scheme,
    solve_blocks,
)
from shellcheck_earth.mechanics.blocks.rows import Assembled, assemble
from validation.block_shapes import one_block

BOX = one_block(3.0, 1.0, 0.5)
Round = tuple[float, float] | None
"""A multiplier and the normal force at every point; None: no answer."""


def scheme(
    monkeypatch: pytest.MonkeyPatch,
    rounds: list[Round],
    *,
    first: float = 0.9,
    beyond: bool = False,
    shear: tuple[float, float] = (1.0, 1.0),
) -> tuple[_Scheme, list[float]]:
    """What comes of these rounds after ordinary friction with a normal force of 1 at every point, and the limits that
    were held in turn, by normal force. shear: along every point, after ordinary friction and in every round."""
    given, held = iter(rounds), []
    along = [np.full((1, 4, 2), (one, 0.0)) for one in shear]

    class Told:
        def __init__(self, _assembled: Assembled, slope: float) -> None:
            assert slope == DILATION

        def solve(self, fixed: np.ndarray) -> Any:
            assert np.ptp(fixed) == 0.0
            held.append(float(fixed[0, 0]) / (1.0 - DILATION))
            now = next(given, (float(len(held)), 1.0))
            if now is None:
                return SimpleNamespace(solved=False, status="stuck")
            forces = SimpleNamespace(normal=np.full((1, 4), now[1]), shear=along[1])
            return SimpleNamespace(solved=True, multiplier=now[0], forces=forces, motions=np.full((1, 6), now[0]))

    monkeypatch.setattr(nonassociated, "HeldShear", Told)
    start: Any = SimpleNamespace(multiplier=first, forces=SimpleNamespace(normal=np.ones((1, 4)), shear=along[0]))
    return _rounds(assemble(replace(BOX, most=1.0)), start, beyond=beyond), held


def test_three_rounds_alike_settle_on_the_least_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    found, held = scheme(monkeypatch, [(0.8, 2.0), (0.5012, 3.0), (0.5024, 4.0), (0.5, 4.0)])
    assert (found.value, found.why) == (0.5, "") and found.spread == pytest.approx(0.0024)
    assert found.multipliers == (0.8, 0.5012, 0.5024, 0.5) and found.motions is not None
    assert found.motions[0, 0] == 0.5
    # Half of what was held, half of what presses now.
    assert held == pytest.approx([1.0, 1.5, 2.25, 3.125])


@pytest.mark.parametrize(("share", "settles"), [(0.99, True), (1.01, False)])
@pytest.mark.parametrize(("at", "of"), [(0.5, 0.5), (-0.5, 0.5), (1e-4, 1e-3), (0.0, 1e-3)])
def test_settled_is_a_spread_of_a_two_hundredth(
    share: float, settles: bool, at: float, of: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of the largest of the three, and of a thousandth at least."""
    spread = share * SETTLED * of
    low = at - spread if at > 0 else at
    found, _ = scheme(monkeypatch, [(low, 1.0), (low + spread, 1.0), (low, 1.0)])
    assert (len(found.multipliers) == 3) == settles


def test_what_presses_less_than_nothing_is_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    _, held = scheme(monkeypatch, [(0.8, -2.0), (0.5, 1.0), (0.5, 1.0), (0.5, 1.0)])
    assert held == pytest.approx([1.0, 0.5, 0.75, 0.875])


def test_a_round_without_an_answer_is_tried_half_way_back_and_remembers_more(monkeypatch: pytest.MonkeyPatch) -> None:
    found, held = scheme(monkeypatch, [(0.8, 3.0), None, (0.5, 3.0), (0.5, 3.0), (0.5, 3.0)])
    # 1 and 3: 2; half-way back to 1: 1.5; then 0.65 of that and 0.35 of 3.
    assert held[:3] == pytest.approx([1.0, 2.0, 1.5])
    assert held[3:] == pytest.approx([0.65 * 1.5 + 0.35 * 3.0, 0.65 * (0.65 * 1.5 + 1.05) + 1.05])
    assert found.value == 0.5 and found.multipliers == (0.8, 0.5, 0.5, 0.5)


def test_the_memory_has_an_end_and_the_scheme_gives_up(monkeypatch: pytest.MonkeyPatch) -> None:
    found, held = scheme(monkeypatch, [(0.8, 3.0), *[None] * (MOST_LOST + 1)])
    assert len(held) == 1 + MOST_LOST + 1 and found.value is None and found.motions is None
    assert found.why == f"the friction scheme did not settle in {MOST_LOST + 2} rounds; a round ended as stuck"
    assert np.isinf(found.spread)
    _, held = scheme(monkeypatch, [*[None] * 4, (0.8, 3.0), (0.5, 1.0), (0.5, 1.0), (0.5, 1.0)])
    assert held[:5] == pytest.approx([1.0] * 5) and held[5] == pytest.approx(0.9 * 1.0 + 0.1 * 3.0)


def test_a_scheme_that_goes_round_its_end_remembers_more_and_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    swings: list[Round] = [(0.5 + 0.1 * (k % 2), 1.0 + 2.0 * (k % 2)) for k in range(60)]
    found, held = scheme(monkeypatch, swings)
    assert len(held) == MOST_ROUNDS and found.value is None and len(found.multipliers) == MOST_ROUNDS
    assert found.why == f"the friction scheme did not settle in {MOST_ROUNDS} rounds"
    for k in range(1, MOST_ROUNDS):
        memory = 0.5 if k < SWINGING else 0.8
        now = 1.0 + 2.0 * ((k - 1) % 2)
        assert held[k] == pytest.approx(memory * held[k - 1] + (1 - memory) * now), k


@pytest.mark.parametrize(("first", "beyond", "rounds"), [(1.0, True, 2), (1.0, False, 3), (0.99, True, 3)])
def test_the_end_of_a_search_that_goes_well_beyond_counts_as_a_round(
    first: float, beyond: bool, rounds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    found, held = scheme(monkeypatch, [(1.0, 1.0)] * 9, first=first, beyond=beyond)
    assert len(held) == rounds and found.multipliers == (1.0,) * 3 and found.value == 1.0


@pytest.mark.parametrize(
    ("shear", "normal", "rounds"),
    [
        ((0.49, 0.49), 1.0, 1),  # friction of 0.5
        ((0.51, 0.51), 1.0, 2),
        ((0.8, 0.1), 1.0, 1),  # half-way between
        ((1.4, 0.58), 1.4, 1),  # only the last: 1.2 is held, of 1.4 a twentieth counts, 0.605 in all
        ((1.4, 0.61), 1.4, 2),
        ((0.1, 9.0), 1.0, 1),  # only the first
    ],
)
def test_a_state_between_two_at_the_end_of_the_search_is_the_third_round(
    shear: tuple[float, float], normal: float, rounds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    found, held = scheme(monkeypatch, [(1.0, normal)] * 9, first=1.0, beyond=True, shear=shear)
    assert len(held) == rounds and found.multipliers == (1.0,) * 3 and found.value == 1.0
    assert found.motions is not None and found.spread == 0.0


def test_below_the_end_of_the_search_every_round_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    for first, second in ((1.0, 1.0 - 2e-6), (1.0 - 2e-6, 1.0)):
        found, held = scheme(monkeypatch, [(second, 1.0)] * 9, first=first, beyond=True, shear=(0.1, 0.1))
        assert len(held) >= 2 and found.value is not None
    _, held = scheme(monkeypatch, [(1.0, 1.0)] * 9, first=1.0, shear=(0.1, 0.1))
    assert len(held) == 3


# -- what is relied on of it -----------------------------------------------------------------------------------------


def answered(
    monkeypatch: pytest.MonkeyPatch, value: float | None, spread: float = 0.0, most: float = 100.0, **more: Any
) -> Any:
    """The box, which slides at 0.5, where the scheme gives so much."""
    motions = np.full((1, 6), 7.0)
    given = _Scheme((0.6, 0.55), value, spread, "swings", None if value is None else motions)
    monkeypatch.setattr(nonassociated, "_rounds", lambda *_, **__: given)
    return solve_blocks(replace(BOX, most=most), **more)


def test_twice_the_spread_is_taken_off_and_the_lower_friction_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    lower = answered(monkeypatch, 0.4, 0.01)
    assert lower.multiplier == pytest.approx(0.38) and lower.non_associated == 0.4 and lower.rounds == (0.6, 0.55)
    assert lower.associated == pytest.approx(0.5, abs=1e-6) and lower.motions == pytest.approx(np.ones((1, 6)))
    higher = answered(monkeypatch, 0.6, 0.01)
    assert higher.multiplier == higher.associated and higher.motions != pytest.approx(np.ones((1, 6)))
    assert answered(monkeypatch, 0.01, 0.1).multiplier == 0.0


def test_without_a_settled_scheme_there_is_no_number(monkeypatch: pytest.MonkeyPatch) -> None:
    found = answered(monkeypatch, None)
    assert (found.status, found.multiplier, found.why, found.rounds) == ("cannot say", None, "swings", (0.6, 0.55))
    assert found.associated == pytest.approx(0.5, abs=1e-6) and not found.settled and not found.at_least


@pytest.mark.parametrize(("value", "most", "end"), [(0.3, 0.3, True), (0.299, 0.3, False), (0.5, 0.6, False)])
def test_at_least_needs_both_frictions_at_the_end(
    value: float, most: float, end: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert answered(monkeypatch, value, most=most).at_least == end


def test_one_size_of_motion() -> None:
    """The largest is one: of the translations, or of the rotations times the block's size."""
    problem = replace(BOX, size=np.array([4.0]))
    motions = np.array([[0.1, -0.2, 0.0, 0.0, 0.1, 0.0]])
    assert nonassociated._largest_motion(problem, motions) == pytest.approx(motions / 0.4)
    assert nonassociated._largest_motion(BOX, motions) == pytest.approx(motions / 0.2)
    assert not nonassociated._largest_motion(BOX, np.zeros((1, 6))).any()


def test_what_twists_a_face_more_than_its_friction_does_is_counted() -> None:
    """Shears that turn about the middle of the bed, each within its own friction: past the cap of the whole face."""
    torsional = replace(BOX, torsion=True)
    assembled = assemble(torsional)
    known: ConeAnswer = solve_cone(assembled)
    patches = torsional.patches
    arm = patches.points[0] - patches.centre[0]
    way = np.cross(patches.normal[0], arm)
    way /= np.linalg.norm(way, axis=1)[:, None]
    size = patches.friction[0] * known.forces.normal[0][:, None]
    turned = np.stack([way @ patches.along[0], way @ patches.across[0]], axis=1) * size
    answer = replace(known, forces=replace(known.forces, shear=turned[None]))
    turning = float((size[:, 0] * np.linalg.norm(arm, axis=1)).sum())
    cap = float(patches.lever[0] * patches.friction[0] * known.forces.normal.sum())
    free = solve_blocks(replace(BOX, torsion=False), without_dilation=False, solved=(assembled, answer))
    capped = solve_blocks(torsional, without_dilation=False, solved=(assembled, answer))
    assert turning > cap and free.overdrawn == pytest.approx(0.0, abs=1e-9)
    assert capped.overdrawn == pytest.approx((turning - cap) / patches.lever[0] / assembled.unit)


def test_forces_are_drawn_in_before_they_are_counted() -> None:
    """A shear past its friction by 0.2 kN, a pull of 0.1: what that takes from the box is left over and shaved off."""
    assembled = assemble(BOX)
    known: ConeAnswer = solve_cone(assembled)
    shear = known.forces.shear.copy()
    shear[0, 0] += shear[0, 0] / np.linalg.norm(shear[0, 0]) * 0.2
    more = replace(known, forces=replace(known.forces, shear=shear))
    found = solve_blocks(BOX, without_dilation=False, solved=(assembled, more))
    assert found.multiplier == pytest.approx(0.5, abs=1e-5) and found.overdrawn < 1e-9 and found.imbalance < 1e-6
    normal = known.forces.normal.copy()
    normal[0, 0] = -0.1
    pulled = replace(known, forces=replace(known.forces, normal=normal))
    drawn = solve_blocks(BOX, without_dilation=False, solved=(assembled, pulled))
    assert drawn.forces is not None and drawn.forces.normal[0, 0] == 0.0 and not drawn.forces.shear[0, 0].any()
    lost = float(known.forces.normal[0, 0])
    # Its moment about the centre, 1.5 m aside, and that of its friction of half of it, half a metre down.
    assert drawn.imbalance == pytest.approx((1.5 + 0.25) * lost, rel=1e-4) and drawn.multiplier is not None
    assert drawn.multiplier < 0.5 - 0.5 * lost
