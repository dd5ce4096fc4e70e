"""One contact of the block proofs by hand: pressing, friction, stress blocks, turning; balance and numbers."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import cos, hypot, pi, sin, sqrt
from typing import Any

import pytest
from two_rings import WALL, WEIGHT, N, W, changed, rings, tied

from shellcheck_earth.mechanics.proof.block_faces import contact_fault, together
from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, LENGTH, STRENGTH, RefusedError
from shellcheck_earth.mechanics.proof.blocks import RESIDUAL, _State, _to_even, check_block_proof

# -- one contact -----------------------------------------------------------------------------------------------------


EVEN = ((-0.1, -0.1), (-0.1, 0.1), (0.1, -0.1), (0.1, 0.1))


def contact(forces: list[list[float]], mu: float = 0.5, f: float = 100.0, tilt: float = 0.0, **over: Any) -> str:
    """A face 0.4 m long and 0.2 m wide whose strips are 0.2 m; forces at edge 1 and 2 of strip 1, then of strip 2."""
    state = _State(rings(), WALL)
    centre = (0.0, 1.2, 0.2)
    points = [
        tuple(round(v * LENGTH) for v in (a, centre[1] + b * cos(tilt), centre[2] + b * sin(tilt)))
        for a, b in over.get("points", EVEN)
    ]
    patch = [
        over.get("upper", N),
        over.get("lower", 0),
        *(v for p in points for v in p),
        round(mu * FRICTION),
        round(f * STRENGTH),
    ]
    try:
        face = state._face_between(7, patch)
    except RefusedError as refused:
        return str(refused)
    pressed = [round(v * FORCE) for one in forces for v in one]
    return contact_fault(face, pressed, *together(face.points, pressed))


def four(x: float, y: float, z: float) -> list[list[float]]:
    return [[x, y, z]] * 4


@pytest.mark.parametrize(
    ("force", "ok"),
    [((0.0, 0.0, 1.0), True), ((0.49, 0.0, 1.0), True), ((0.51, 0.0, 1.0), False), ((0.0, -0.51, 1.0), False),
     ((0.3, 0.39, 1.0), True), ((0.3, 0.41, 1.0), False), ((0.0, 0.0, -0.001), False), ((0.001, 0.0, 0.0), False),
     ((0.0, 0.0, -0.5), False)],
)  # fmt: skip
def test_a_point_presses_within_its_friction(force: tuple[float, float, float], ok: bool) -> None:
    assert (contact(four(*force)) == "") == ok
    for k in range(4):
        one = four(0.0, 0.0, 1.0)
        one[k] = list(force)
        assert (contact(one, f=1000.0) == "") == ok


@pytest.mark.parametrize(("tilt", "ok"), [(0.46, True), (0.47, False), (-0.46, True), (-0.47, False)])
def test_friction_is_about_the_faces_own_normal(tilt: float, ok: bool) -> None:
    """tan 0.4636 = 0.5."""
    assert (contact(four(0.0, 0.0, 1.0), tilt=tilt, f=1000.0) == "") == ok


@pytest.mark.parametrize(
    ("first", "second", "ok"),
    [
        (1.99, 1.99, True),
        (2.01, 2.01, False),
        (1.0, 1.82, True),
        (1.0, 1.84, False),
        (1.84, 1.0, False),
        (0.0, 0.1, False),
    ],
)
@pytest.mark.parametrize("strip", [0, 1])
def test_a_strip_carries_its_stress_block(first: float, second: float, ok: bool, strip: int) -> None:
    """100 kPa on 0.2 m: N^2 <= 2 x 100 x 0.2 x (0.2 n) = 8 n with n the lesser; even forces: 4 kN together."""
    pair = [[0.0, 0.0, first], [0.0, 0.0, second]]
    rest = [[0.0, 0.0, 0.5], [0.0, 0.0, 0.5]]
    assert (contact([*pair, *rest] if strip == 0 else [*rest, *pair]) == "") == ok


@pytest.mark.parametrize(
    ("points", "first", "second"),
    [
        # 0.2 m and 0.1 m from edge to edge, sqrt(0.2^2 + 0.05^2) = 0.20616 m from strip to strip
        (((-0.1, -0.1), (-0.1, 0.1), (0.1, -0.05), (0.1, 0.05)), 4.1231, 2.0616),
        (((-0.1, -0.05), (-0.1, 0.05), (0.1, -0.1), (0.1, 0.1)), 2.0616, 4.1231),
        # 0.2 m along one edge, 0.15 m along the other: the lesser counts
        (((-0.1, -0.1), (-0.1, 0.1), (0.1, -0.1), (0.05, 0.1)), 3.0, 3.0),
        (((-0.1, -0.1), (-0.1, 0.1), (0.05, -0.1), (0.1, 0.1)), 3.0, 3.0),
    ],
)
def test_each_strip_has_its_own_room(points: tuple[Any, ...], first: float, second: float) -> None:
    """100 kPa on a face that is no rectangle; even forces on a strip come to f l d together."""
    for one, two, ok in ((0.999, 0.999, True), (1.001, 0.5, False), (0.5, 1.001, False)):
        forces = [[0.0, 0.0, share * most / 2] for share, most in ((one, first), (two, second)) for _ in range(2)]
        assert (contact(forces, points=points) == "") == ok


def mean_distance(length: float, width: float, steps: int = 400) -> float:
    """From the middle of a rectangle, by adding up."""
    xs = [(i + 0.5) / steps * length / 2 for i in range(steps)]
    ys = [(i + 0.5) / steps * width / 2 for i in range(steps)]
    return sum(hypot(x, y) for x in xs for y in ys) / steps**2


@pytest.mark.parametrize(("share", "ok"), [(0.995, True), (1.005, False), (-0.995, True), (-1.005, False)])
def test_a_face_turns_when_its_friction_is_used_up(share: float, ok: bool) -> None:
    """mu N times the mean distance from the middle; the points, sqrt(2) 0.1 m off, alone would hold more."""
    arm = sqrt(2) * 0.1
    lever = mean_distance(0.4, 0.2)
    assert lever < arm
    t = share * 0.5 * lever / arm / sqrt(2)
    turning = [[t, -t, 1.0], [-t, -t, 1.0], [t, t, 1.0], [-t, t, 1.0]]
    found = contact(turning)
    assert (found == "") == ok
    assert ok or "turns" in found


@pytest.mark.parametrize(
    "given",
    [{"upper": -1}, {"upper": 2 * N}, {"lower": -2}, {"lower": 2 * N}, {"lower": N}, {"mu": -0.01}, {"f": 0.0}],
)
def test_faces_between_blocks_that_are_there(given: dict[str, Any]) -> None:
    assert contact(four(0.0, 0.0, 1.0)) == ""
    assert "expected two blocks" in contact(four(0.0, 0.0, 1.0), **given)


# -- balance and numbers ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("share", "ok"), [(0.9, True), (1.1, False)])
@pytest.mark.parametrize("axis", range(6))
@pytest.mark.parametrize("sign", [1, -1])
def test_what_is_left_is_at_most_a_millionth(
    share: float, ok: bool, axis: int, sign: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of a block's weight; moments of that times the wall's width of 0.4 m. What is proven is lowered by it."""
    left = round(sign * share * float(RESIDUAL) * W * (1 if axis < 3 else 0.4 * LENGTH))
    state = _State(changed(lambda d: d["live"][5].__setitem__(axis, left)), WALL)
    if not ok:
        with pytest.raises(RefusedError, match=r"blocks\[5\]"):
            state.balance()
        return
    assert float(state.balance()) == pytest.approx(share * float(RESIDUAL), rel=1e-6)
    monkeypatch.setattr(_State, "loads", lambda _state: None)
    finding = check_block_proof(changed(lambda d: d["live"][5].__setitem__(axis, left)), WALL)
    assert finding.proven is not None and float(1 - finding.proven) == pytest.approx(share * float(RESIDUAL), rel=1e-6)


def test_a_tie_draws_both_its_blocks() -> None:
    """The greater part of its tension, at 15 degrees, is what is left where nothing else holds it."""
    data = tied(tension=1e-6)
    state = _State(data, WALL)
    assert float(state.balance()) == pytest.approx(1e-6 * cos(pi / N) / (WEIGHT * pi / 6), rel=1e-6)
    pulled = changed(lambda d: d.update(ties=tied()["ties"], tensions=[round(1e-6 * FORCE)]))
    # Held back by equal and opposite loads on the two blocks, nothing is left.
    tie, T = pulled["ties"][0], pulled["tensions"][0]
    for block, sign in ((tie[0], 1), (tie[1], -1)):
        F = [sign * round(Fraction(v * T, FRICTION)) for v in tie[5:8]]
        arm = [p - c for p, c in zip(tie[2:5], pulled["blocks"][block][2:5], strict=True)]
        M = [arm[1] * F[2] - arm[2] * F[1], arm[2] * F[0] - arm[0] * F[2], arm[0] * F[1] - arm[1] * F[0]]
        pulled["live"][block] = [*F, *M]
    assert _State(pulled, WALL).balance() == 0


def test_what_a_tie_draws_is_rounded_to_the_nearest_unit() -> None:
    half = FRICTION // 2
    for whole in (-3, -2, -1, 0, 1, 2, 3):
        for more in (0, 1, half - 1, half, half + 1, FRICTION - 1):
            value = whole * FRICTION + more
            assert _to_even(value) == round(Fraction(value, FRICTION))


def test_the_largest_share_is_taken_off_not_the_largest_force() -> None:
    """Twice the force on a block of four times the weight, on the ground beside a light one."""

    def heavy_beside_light(data: dict[str, Any]) -> None:
        data["blocks"][5][5] *= 4
        data["forces"][5] = [v + 3 * W // 4 * (i % 3 == 2) for i, v in enumerate(data["forces"][5])]
        data["live"][5][2], data["live"][6][2] = round(4e-7 * W), round(2e-7 * W)

    state = _State(changed(heavy_beside_light), WALL)
    assert float(state.balance()) == pytest.approx(2e-7, rel=1e-4)


@pytest.mark.parametrize(("end", "block"), [("upper", -1), ("upper", 2 * N), ("lower", -1), ("lower", 2 * N)])
def test_a_tie_draws_no_block_that_is_not_there(end: str, block: int) -> None:
    with pytest.raises(RefusedError, match=r"ties\[0\]: no such blocks"):
        _State(tied(tension=1e-6, **{end: block}), WALL).balance()


@pytest.mark.parametrize(
    ("reserve", "factor", "ok"),
    [(1.0, 0.0, True), (100.0, 0.0, True), (100.1, 0.0, False), (0.0, 0.0, False), (-1.0, 0.0, False),
     (1.0, 1000.0, True), (1.0, 1000.1, False), (1.0, -0.1, False)],
)  # fmt: skip
def test_shares_within_their_range(reserve: float, factor: float, ok: bool) -> None:
    data = changed(lambda d: d.update(reserve=round(reserve * FRICTION), factor=round(factor * FRICTION)))
    if ok:
        state = _State(data, WALL)
        assert (float(state.reserve), float(state.factor)) == (reserve, factor)
    else:
        with pytest.raises(RefusedError, match="out of range"):
            _State(data, WALL)


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d["blocks"][0].__setitem__(0, 2),
        lambda d: d["blocks"][0].__setitem__(0, -1),
        lambda d: d["blocks"][0].__setitem__(1, 5),
        lambda d: d["blocks"][0].__setitem__(1, -1),
        lambda d: d["blocks"][0].__setitem__(5, 0),
        lambda d: d["blocks"][0].__setitem__(5, 1 << 90),
        lambda d: d["blocks"][0].append(0),
        lambda d: d["forces"].pop(),
        lambda d: d["forces"][3].pop(),
        lambda d: d["forces"][3].append(0),
        lambda d: (d["forces"][3].pop(), d["forces"][4].append(0)),
        lambda d: d["forces"].__setitem__(3, tuple(d["forces"][3])),
        lambda d: d["forces"].__setitem__(3, "0" * 12),
        lambda d: d["forces"][3].__setitem__(0, 0.0),
        lambda d: d["forces"][3].__setitem__(0, False),
        lambda d: d["forces"][3].__setitem__(0, None),
        lambda d: d["forces"][3].__setitem__(0, 1 << 90),
        lambda d: d["forces"][3].__setitem__(0, -(1 << 90)),
        lambda d: d["live"].pop(),
        lambda d: d["tensions"].append(0),
        lambda d: d.update(kind="x"),
    ],
)
def test_rows_that_are_none_are_refused(change: Callable[[dict[str, Any]], object]) -> None:
    with pytest.raises(RefusedError):
        _State(changed(change), WALL)
