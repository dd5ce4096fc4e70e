"""Blocks pushed slowly from rest, without dilation: by hand, published walls, and the mechanisms left behind."""

from __future__ import annotations

from shellcheck_earth.mechanics.moving.evidence import motion_of, rest_of
from shellcheck_earth.mechanics.moving.push import push

from .block_shapes import PIERCED, SOLID, TWICE_PIERCED, arch, bonded, one_block, wall
from .table import Check

__all__ = ["checks"]

HAND = ((1.0, 2.0, 0.6), (1.0, 2.0, 0.4), (0.7, 1.0, 0.9))

WALLS = (
    (
        "solid wall",
        bonded(SOLID, 0.65),
        0.63982,
        2e-3,
        "Ferris & Tin-Loi 2001",
        "memory",
        "one of several, theirs a least",
    ),
    ("wall with one window", bonded(PIERCED, 0.65), 0.35582, 2e-5, "Ferris & Tin-Loi 2001", "memory", "last digit"),
    (
        "wall with two windows",
        bonded(TWICE_PIERCED, 0.65),
        0.26374,
        2e-5,
        "Ferris & Tin-Loi 2001 (two memories differ: 0.26374 and 0.29648)",
        "memory",
        "last digit of the one that this mechanism shows to be possible",
    ),
)


def _hand() -> list[Check]:
    out = []
    for width, height, friction in HAND:
        limit = min(width / height, friction)
        found = push(one_block(width, height, friction), piece=limit / 8, fine=limit / 2048)
        name = f"one block {width:g} x {height:g} m, friction {friction:g}, pushed slowly"
        out.append(Check(name, "min(b/h, mu), derived here", "derived", limit, found.held, limit / 1000, "last piece"))
    return out


def _arches() -> list[Check]:
    out = []
    for friction, limit in ((0.7, 0.370), (0.4, 0.2638)):
        found = push(arch(friction), piece=limit / 8, fine=limit / 2048)
        known = "memory" if friction == 0.7 else "computed"
        source = "Oppenheim 1992, DeJong et al. 2008" if friction == 0.7 else "computed by another programme"
        name = f"seven-voussoir arch, friction {friction:g}, pushed slowly"
        out.append(Check(name, source, known, limit, found.held, 5e-4, "last piece and last printed digit"))
    return out


def checks() -> list[Check]:
    """The multiplier of each wall is that of the motion it is lost in; `rest` is checked by plain arithmetic."""
    out = _hand() + _arches()
    for name, problem, printed, tolerance, source, known, why in WALLS:
        found = push(problem, piece=printed / 8, fine=printed / 1024)
        motion, rest = motion_of(problem, found), rest_of(problem, found)
        out.append(
            Check(
                f"{name}, pushed slowly: the mechanism",
                source,
                known,
                printed,
                None if motion is None else motion.multiplier,
                tolerance,
                why,
            )
        )
        worst = None if motion is None or rest is None else max(rest.unbalanced, rest.overdrawn, motion.opening)
        out.append(
            Check(
                f"{name}: forces at rest unbalanced or past a limit, power of contacts that open",
                "plain arithmetic",
                "derived",
                0.0,
                worst,
                1e-5,
                "where a rest is called one",
            )
        )
    problem = wall(3, 8, 0.65)
    found = push(problem, piece=0.06, fine=5e-4)
    out.append(
        Check(
            "wall of blocks, pushed slowly",
            "sequential scheme gives 0.61383: a mechanism below it",
            "computed",
            0.6042,
            found.held,
            8e-4,
            "last piece of load",
        )
    )
    return out
