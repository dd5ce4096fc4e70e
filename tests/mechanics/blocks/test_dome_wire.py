"""Wire in the beds of a dome cut into blocks: where it is counted, and what a unit of it does."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from samples import classroom

from shellcheck_earth.design.design import Opening
from shellcheck_earth.geometry.blocks import cut_blocks
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.loads.cases import dead_cases
from shellcheck_earth.mechanics.blocks.assembly import ANCHORAGE, block_problem
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.weights import arc_share

CUTS = 12


def problem(*openings: Opening) -> tuple[BlockProblem, object]:
    # A pull test that no tension of this wire comes near: the counted tension is then what limits it.
    design = classroom(openings=openings, beds=replace(classroom().beds, wire_bond=100.0))
    stack = build_dome(design)
    layout = cut_blocks(stack, CUTS)
    return block_problem(stack, dead_cases(stack)[0], layout, np.zeros((len(layout.blocks), 6))), (
        stack,
        layout,
    )


def pulls(p: BlockProblem) -> np.ndarray:
    """Force on every block with one unit in every tie, (n, 3)."""
    out = np.zeros(6 * p.blocks)
    np.add.at(out, p.ties.row, p.ties.value)
    return out.reshape(-1, 6)[:, :3]


def test_in_a_whole_ring_a_unit_of_wire_pulls_every_block_inward() -> None:
    p, (stack, layout) = problem()  # type: ignore[misc]
    assert p.ties.size == CUTS * (len(stack.courses) - 1)  # none under the lowest course
    force = pulls(p)
    for k, block in enumerate(layout.blocks):
        if block.course == 0:
            continue
        middle = (block.start + block.end) / 2
        inward = -np.array([math.sin(middle), math.cos(middle), 0.0])
        # Two unit tensions at the ends of an arc of 30 degrees: 2 sin(15 degrees), towards the axis.
        assert force[k] == pytest.approx(2 * math.sin(math.pi / CUTS) * inward, abs=1e-12)


def test_the_counted_tension_is_that_of_the_design_less_the_arc() -> None:
    p, _ = problem()
    # 2 strands of 4.2 kN, 0.3 of it counted.
    assert p.ties.most == pytest.approx(2 * 4.2 * 0.3 * arc_share(2 * math.pi / CUTS))


def test_beside_a_door_wire_counts_only_past_its_anchorage() -> None:
    door = Opening("door", 0.0, 0.0, 0.9, 1.9, "round")
    p, (stack, layout) = problem(door)  # type: ignore[misc]
    whole, _ = problem()
    assert 0 < p.ties.size < whole.ties.size
    seen = 0
    for tie in range(p.ties.size):
        rows = np.unique(p.ties.row[p.ties.tie == tie] // 6)
        assert len(rows) == 2  # a tie joins two neighbours
        first, second = (layout.blocks[int(row)] for row in rows)
        course = stack.courses[first.course]
        if first.closed or course.z_top <= stack.floor:
            continue
        joint = first.end if abs(math.remainder(first.end - second.start, 2 * math.pi)) < 1e-9 else second.end
        half = math.asin(0.45 / course.inner_radius)
        if course.z_top <= 1.4:  # below the springing of the head the jambs stand straight, 0.45 m either side
            away = abs(math.remainder(joint, 2 * math.pi)) - half
            assert away * course.inner_radius >= ANCHORAGE - 1e-9
            seen += 1
    assert seen > 20
