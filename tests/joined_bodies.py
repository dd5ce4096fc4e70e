"""The orchard's pair and garden wall as given, and what their bodies hold."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from shellcheck_earth.mechanics.blocks.conic import ConeAnswer, solve_cone
from shellcheck_earth.mechanics.blocks.faces import Shares
from shellcheck_earth.mechanics.blocks.problem import BlockProblem
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.studies.joined.given import Pair, WallGiven, read_given
from shellcheck_earth.studies.joined.placed import place_pair
from shellcheck_earth.studies.joined.posed import Asked, Posed
from shellcheck_earth.studies.joined.solids import Earth, problem_of, shaken
from shellcheck_earth.studies.joined.straight import straight_wall

__all__ = [
    "PAIR", "PAIR_TEXT", "ROUGH", "WALL_TEXT", "example", "garden_wall", "live_of", "plain_wall", "posed", "pushed",
    "solved", "written",
]  # fmt: skip

PAIR = Path(__file__).parents[1] / "reports" / "orchard-pair"
ROUGH = Earth(18.0, 0.9, 1e7)


def example() -> Pair:
    given = read_given(PAIR / "joined.toml")
    assert isinstance(given, Pair)
    return given


def garden_wall() -> WallGiven:
    given = read_given(PAIR / "garden-wall.toml")
    assert isinstance(given, WallGiven)
    return given


def plain_wall(courses: int, **changes: object) -> WallGiven:
    """0.4 m wide, courses of 0.2 m, square edges, 1.2 m long."""
    wall = replace(
        garden_wall(), length=1.2, height=0.2 * courses, filled_width=0.4, course_height=0.2, edge_rounding=0.0,
        buried_courses=0, buttress=None, wind_pressure=1.0,
    )  # fmt: skip
    return replace(wall, **changes)  # type: ignore[arg-type]


def solved(problem: BlockProblem) -> ConeAnswer:
    answer = solve_cone(assemble(problem), gap=1e-7)
    assert answer.solved
    return answer


def pushed(wall: WallGiven, earth: Earth, side: float = 1.0, longest: float = 1.0) -> float:
    """The share of its weight that a wall can be pushed with, towards its front or its back."""
    of = straight_wall(wall, longest)
    return solved(problem_of(of, earth, shaken(of, earth, 1.0, (0.0, side, 0.0)))).multiplier


@cache
def posed() -> Posed:
    return Posed(place_pair(example()))


def live_of(one: Posed, body: str, way: str = "second") -> BlockProblem:
    load = one.loads(Asked("joined", "wind", way, ("service",)))["lee -0.5, inside +0.55"]
    return one.pose(body, "service", load)(0, Shares())  # type: ignore[arg-type]


def written(folder: Path, text: str) -> Path:
    for name in ("meeting-dome.toml", "seed-dome.toml"):
        (folder / name).write_bytes((PAIR / name).read_bytes())
    path = folder / "given.toml"
    path.write_text(text, encoding="utf-8")
    return path


PAIR_TEXT = (PAIR / "joined.toml").read_text(encoding="utf-8")
WALL_TEXT = (PAIR / "garden-wall.toml").read_text(encoding="utf-8")
