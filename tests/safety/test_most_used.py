"""Which bed a proven state uses the most: two beds by hand, and states of the examples held to the checker's limits."""

from __future__ import annotations

import gzip
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from shellcheck_earth.mechanics.proof.block_data import FORCE, FRICTION, LENGTH, STRENGTH
from shellcheck_earth.safety.most_used import MostUsed, _faces, most_used

KEPT = sorted((Path(__file__).parents[2] / "reports").glob("*/block-cases/*worker*.proofs.json.gz"))


def bed(upper: int, z: float, mu: float, f: float) -> list[int]:
    """Level, 0.4 m wide from 1.0 m on, its strips 0.5 m apart."""
    points = [(0.0, 1.0, z), (0.0, 1.4, z), (0.5, 1.0, z), (0.5, 1.4, z)]
    whole = [round(v * LENGTH) for point in points for v in point]
    return [upper, -1, *whole, round(mu * FRICTION), round(f * STRENGTH)]


def forces(*corners: tuple[float, float, float]) -> list[int]:
    return [round(v * FORCE) for corner in corners for v in corner]


def state(*rows: tuple[list[int], list[int]], courses: tuple[int, ...] = (0, 1, 1)) -> str:
    blocks = [[course, 0, 0, 0, 0, 0] for course in courses]
    return json.dumps({"blocks": blocks, "patches": [row[0] for row in rows], "forces": [row[1] for row in rows]})


LOW = bed(0, 0.0, 0.5, 200.0), forces((0.3, 0.0, 3.0), (0.0, 0.1, 1.0), (0.0, 0.4, 3.0), (0.0, 0.0, 1.0))
"""0.8 kN slide of 0.5 x 8. Strips of 4 kN, 1 on the outer edge: a block 2 x 0.4/4 wide and 0.5 long takes 20 kN."""


def test_shares_of_two_beds_by_hand() -> None:
    high = bed(1, 0.2, 0.5, 50.0), forces(*[(0.05, 0.0, 1.0)] * 4)
    slides, press, held, full = _faces(json.loads(state(LOW, high)))
    assert slides == pytest.approx([0.8, 0.2]) and press == pytest.approx([8.0, 4.0])
    assert held == pytest.approx([4.0, 2.0]) and full == pytest.approx([4 / 20, 2 / 10])
    assert most_used((state(LOW, high),)) == MostUsed(0, "friction", 0.2)  # both beds 0.2: the lower
    weaker = bed(1, 0.2, 0.5, 20.0), high[1]
    assert most_used((state(LOW, weaker),)) == MostUsed(1, "strength", 0.5)
    assert most_used((state(LOW, high), state(LOW, weaker))) == MostUsed(1, "strength", 0.5)
    assert most_used(()) is None


def test_all_faces_of_a_bed_count_together_by_what_presses_on_them() -> None:
    """One of 4 kN with 2 of 2 that friction holds, one of 12 kN with none of 6: 0.25 of the bed, not all of it."""
    light = bed(1, 0.2, 0.5, 1e4), forces(*[(0.5, 0.0, 1.0)] * 4)
    heavy = bed(2, 0.2, 0.5, 1e4), forces(*[(0.0, 0.0, 3.0)] * 4)
    assert most_used((state(light, heavy),)) == MostUsed(1, "friction", 0.25)


def test_what_is_no_bed_or_bears_nothing_is_left_out() -> None:
    upright = bed(1, 0.2, 0.5, 100.0)
    turned = [
        upright[0],
        upright[1],
        *np.array(upright[2:14]).reshape(4, 3)[:, [0, 2, 1]].ravel().tolist(),
        *upright[14:],
    ]
    joint = turned, forces(*[(0.0, 1.0, 0.4)] * 4)
    nothing = bed(1, 0.2, 0.5, 100.0), [0] * 12
    assert most_used((state(LOW, joint, nothing),)) == MostUsed(0, "friction", 0.2)
    assert most_used((state(joint),)) is None


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.name[:40])
def test_no_face_of_a_proven_state_is_used_more_than_whole(path: Path) -> None:
    """The limits are the checker's: some face at the edge of what is held is full, and none is fuller."""
    states: list[dict[str, Any]] = json.loads(gzip.decompress(path.read_bytes()))
    for one in states:
        slides, press, held, full = _faces(one)
        beds = press > 0
        assert (slides[beds] <= held[beds] * (1 + 1e-9)).all()
        assert (full[beds] <= 1 + 1e-9).all()
    used = most_used(tuple(json.dumps(one) for one in states))
    assert used is not None and 0.3 < used.share <= 1.0
    if "-joint" in path.name:
        assert used.share > 0.8
