"""The arches of blocks, against a linear programme of corner forces put together here, and what the report says of
them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from shellcheck_earth.basics.evidence import evidence
from shellcheck_earth.views.text.evidence import measured_sentence
from validation import block_arches
from validation.block_arches import MEASURED, PRINTED_BLOCKS, checks, least_thickness, tilt
from validation.dry_models import checks as dry_checks


def _sideways_share(thickness: float, friction: float, blocks: int) -> float | None:
    """The greatest share of its weight that a half-round arch carries sideways, of two corner forces a joint; None
    where it does not stand."""
    inner, outer = 1 - thickness / 2, 1 + thickness / 2
    angles = np.linspace(-math.pi / 2, math.pi / 2, blocks + 1)
    rows = np.zeros((3 * blocks, 4 * (blocks + 1) + 1))
    right = np.zeros(3 * blocks)
    half = math.pi / blocks / 2
    out = (2 / 3) * (outer**3 - inner**3) / (outer**2 - inner**2) * math.sin(half) / half
    for j, angle in enumerate(angles):
        along, radial = (math.cos(angle), -math.sin(angle)), (math.sin(angle), math.cos(angle))
        for k, r in enumerate((inner, outer)):
            point = (r * math.sin(angle), r * math.cos(angle))
            for part, (fx, fz) in enumerate((along, radial)):
                column = 4 * j + 2 * k + part
                for block, sign in ((j, 1.0), (j - 1, -1.0)):
                    if 0 <= block < blocks:
                        at = angles[block] + half
                        arm = point[0] - out * math.sin(at), point[1] - out * math.cos(at)
                        turn = arm[0] * fz - arm[1] * fx
                        rows[3 * block : 3 * block + 3, column] += sign * np.array([fx, fz, turn])
    rows[0::3, -1] = 1.0
    right[1::3] = 1.0
    size = rows.shape[1]
    held = np.zeros((4 * (blocks + 1), size))
    for pair in range(2 * (blocks + 1)):
        held[2 * pair, [2 * pair, 2 * pair + 1]] = -friction, 1.0
        held[2 * pair + 1, [2 * pair, 2 * pair + 1]] = -friction, -1.0
    cost = np.zeros(size)
    cost[-1] = -1.0
    bounds = [(0, None) if i % 2 == 0 else (None, None) for i in range(size)]
    answer = linprog(cost, A_ub=held, b_ub=np.zeros(len(held)), A_eq=rows, b_eq=right, bounds=bounds)
    return float(answer.x[-1]) if answer.success else None


@pytest.mark.parametrize(("thickness", "friction", "blocks"), [(0.2, 0.7, 100), (0.15, PRINTED_BLOCKS, 36)])
def test_the_tilt_is_that_of_corner_forces(thickness: float, friction: float, blocks: int) -> None:
    share = _sideways_share(thickness, friction, blocks)
    assert share is not None
    assert tilt(thickness, friction, blocks) == pytest.approx(math.degrees(math.atan(share)), abs=2e-3)


@pytest.mark.parametrize("friction", [0.31, 0.35, 0.396, 0.5])
def test_the_least_thickness_is_that_of_corner_forces(friction: float) -> None:
    least = least_thickness(friction)
    assert _sideways_share(least + 5e-4, friction, block_arches.BLOCKS) is not None
    assert _sideways_share(least - 5e-4, friction, block_arches.BLOCKS) is None


def test_no_thickness_stands_on_too_little_friction() -> None:
    assert least_thickness(0.3) == math.inf


def test_what_is_said_of_the_arches_that_fell_is_what_the_comparison_finds() -> None:
    share = math.tan(math.radians(MEASURED)) / math.tan(math.radians(tilt(0.15, PRINTED_BLOCKS, 36)))
    assert f"{share:.2f} of the sideways load" in measured_sentence()
    assert f"{share:.2f} of the sideways load" in evidence()["yao-tilt"].says
    pier = next(check for check in dry_checks() if "piers" in check.id)
    assert pier.printed is not None
    assert pier.computed is not None
    assert pier.printed / pier.computed == pytest.approx(1 + 1 / 7, abs=0.01)
    assert "piers a seventh thicker" in measured_sentence()


def test_the_arch_that_was_built_stays_a_row_that_differs() -> None:
    (fell,) = [check for check in checks() if check.differs]
    assert fell.printed == MEASURED
    assert not fell.passed
