"""Blocks pushed sideways: one block, a wall, an arch (rows 17, 18 and 6 of the reference values)."""

from __future__ import annotations

from shellcheck_earth.mechanics.blocks.nonassociated import solve_blocks

from .block_shapes import PIERCED, SOLID, TWICE_PIERCED, arch, bonded, one_block, wall
from .table import Check

__all__ = ["checks"]


def checks() -> list[Check]:
    out = []
    for width, height, friction in ((1.0, 2.0, 0.6), (1.0, 2.0, 0.4), (0.7, 1.0, 0.9)):
        answer = solve_blocks(one_block(width, height, friction))
        out.append(
            Check(
                f"one block {width:g} x {height:g} m, friction {friction:g}",
                "min(b/h, mu), derived here",
                "derived",
                min(width / height, friction),
                answer.multiplier,
                1e-6,
                "tolerance of the solver",
            )
        )
    # A strength that leaves a strip of 1/4 of the width: the resultant may move 3/8 of it, and 3/8 of b over h/2 tips.
    answer = solve_blocks(one_block(1.0, 2.0, 0.6, strength=4.0))
    out.append(
        Check(
            "one block that crushes at its edge",
            "stress block, by hand: (1 - 1/4)/2 over 1",
            "derived",
            0.375,
            answer.multiplier,
            1e-6,
            "tolerance of the solver",
        )
    )
    answer = solve_blocks(wall(3, 8, 0.65))
    source = "wall of blocks, computed for this project by another programme"
    out.append(
        Check(
            "wall, ordinary friction",
            source,
            "computed",
            0.61400,
            answer.associated,
            1e-3,
            "size of the printed digits",
        )
    )
    out.append(
        Check(
            "wall, friction without dilation",
            source,
            "computed",
            0.61383,
            answer.non_associated,
            1e-3,
            "where the sequential scheme stops",
        )
    )
    # Published with two numbers each; the layout read, the numbers from memory. The walls' second numbers, for
    # friction without
    # dilation, are the least of several that are possible: see slow_push.py.
    for name, pattern, expected in (
        ("solid wall", SOLID, 0.64285),
        ("wall with one window", PIERCED, 0.40369),
        ("wall with two windows", TWICE_PIERCED, 0.33195),
    ):
        least = solve_blocks(bonded(pattern, 0.65), without_dilation=False)
        out.append(
            Check(
                f"{name}, ordinary friction",
                "Ferris & Tin-Loi 2001",
                "memory",
                expected,
                least.associated,
                2e-5,
                "last printed digit",
            )
        )
    for friction, expected in ((0.7, 0.370), (0.5, 0.3700), (0.4, 0.2638)):
        answer = solve_blocks(arch(friction))
        where = (
            "Oppenheim 1992, DeJong et al. 2008"
            if friction == 0.7
            else "computed for this project by another programme"
        )
        out.append(
            Check(
                f"seven-voussoir arch sideways, friction {friction:g}",
                where,
                "memory" if friction == 0.7 else "computed",
                expected,
                answer.multiplier,
                1e-4,
                "last printed digit",
            )
        )
    return out
