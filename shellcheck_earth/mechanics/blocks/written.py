"""A block problem as an open file with its solution and certificate, and back: what `proof.block_problem` checks.

What is solved is the problem as it stands in the file, numbers rounded as the checker rounds them, so that whoever
reads the file solves the very same one.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from shellcheck_earth.basics.errors import RunError
from shellcheck_earth.mechanics.blocks.conic import solve_cone
from shellcheck_earth.mechanics.blocks.exact import exact_forces
from shellcheck_earth.mechanics.blocks.interfaces import Patches, mean_distance
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties
from shellcheck_earth.mechanics.blocks.rows import assemble
from shellcheck_earth.mechanics.proof.block_places import FORCE, FRICTION, LENGTH, STRENGTH
from shellcheck_earth.mechanics.proof.block_problem import (
    FORMAT,
    KIND,
    UNITS,
    Problem,
    check_problem,
    digest_of,
    parse_problem,
)
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["Heading", "problem_of", "solved_text", "unsolved"]


@dataclass(frozen=True)
class Heading:
    """What a file says of its problem besides numbers; `width` [m] of the wall."""

    name: str
    about: str
    design: str
    design_sha256: str
    width: float


def _decimal(value: float) -> str:
    """The shortest decimal that is this double, as far as 48 places."""
    return np.format_float_positional(value + 0.0, precision=48, trim="-")


def _decimals(values: Any) -> Any:
    if isinstance(values, np.ndarray):
        values = values.tolist()
    return [_decimals(one) for one in values] if isinstance(values, list) else _decimal(float(values))


def unsolved(problem: BlockProblem, head: Heading, labels: Sequence[str]) -> dict[str, Any]:
    """The problem as data for JSON. labels: what each block is. The dead load has to be weight and what is handed in
    (ValueError)."""
    own = problem.dead if problem.handed is None else problem.dead - problem.handed
    if np.delete(own, 2, axis=1).any():
        raise ValueError("the dead load of a written problem is weight, and what is handed in")
    handed = [] if problem.handed is None else _decimals(problem.handed)
    p = problem.patches
    blocks = [
        {"label": label, "centre": c, "length": length, "weight": weight, "live": live}
        for label, c, length, weight, live in zip(
            labels,
            _decimals(problem.centre),
            _decimals(problem.size),
            _decimals(problem.weight),
            _decimals(problem.live),
            strict=True,
        )
    ]
    for one, more in zip(blocks, handed, strict=False):
        one["handed"] = more
    faces = [
        {"upper": int(upper), "lower": int(lower), "label": label, "points": points, "friction": mu, "strength": f}
        for upper, lower, label, points, mu, f in zip(
            p.upper, p.lower, p.kind, _decimals(p.points), _decimals(p.friction), _decimals(p.strength), strict=True
        )
    ]
    said = {"format": FORMAT, "kind": KIND, "name": head.name, "about": head.about, "design": head.design}
    said |= {"design_sha256": head.design_sha256, "units": UNITS, "width": _decimal(head.width)}
    return {**said, "most": _decimal(problem.most), "blocks": blocks, "faces": faces, "ties": _ties(problem)}


def _ties(problem: BlockProblem) -> list[dict[str, Any]]:
    ties = problem.ties
    if not ties.size:
        return []
    value = ties.value.reshape(-1, 2, 6)
    block = ties.row.astype(np.int64).reshape(-1, 2, 6)[:, :, 0] // 6
    at = problem.centre[block[:, 0]] + np.cross(value[:, 0, :3], value[:, 0, 3:])
    return [
        {"upper": upper, "lower": lower, "at": place, "pull": pull, "most": most}
        for (upper, lower), place, pull, most in zip(
            block.tolist(), _decimals(at), _decimals(value[:, 1, :3]), _decimals(ties.most), strict=True
        )
    ]


def _length(vectors: Floats) -> Floats:
    found: Floats = np.sqrt((vectors * vectors).sum(axis=-1))
    return found


def _faces(rows: Floats, centre: Floats, labels: Sequence[str]) -> Patches:
    """Faces by their four points, frames and strips as the checker takes them: strip 1 at edge 1 and 2, strip 2."""
    m = len(rows)
    points = rows[:, 2:14].reshape(m, 4, 3) / LENGTH
    upper = rows[:, 0].astype(np.int64)
    along = points[:, 2] - points[:, 0] + points[:, 3] - points[:, 1]
    over = points[:, 1] - points[:, 0] + points[:, 3] - points[:, 2]
    normal = np.cross(along, over)
    normal /= _length(normal)[:, None]
    side = ((centre[upper] - points.mean(axis=1)) * normal).sum(axis=1)
    normal = np.where((side < 0)[:, None], -normal, normal)
    along = along / _length(along)[:, None]
    wide = np.minimum(*(_length(points[:, k + 2] - points[:, k]) for k in (0, 1)))
    distance = np.zeros((m, 4, 2))
    for k in (0, 2):
        distance[:, k, 1] = distance[:, k + 1, 0] = _length(np.cross(along, points[:, k + 1] - points[:, k]))
    reach = np.maximum(distance[:, 0, 1], distance[:, 2, 1])
    return Patches(
        upper=upper,
        lower=rows[:, 1].astype(np.int64),
        points=points,
        normal=normal,
        along=along,
        friction=rows[:, 14] / FRICTION,
        edge_distance=distance,
        strips=np.stack([wide, wide], axis=1),
        strength=rows[:, 15] / STRENGTH,
        lever=np.array([mean_distance(2 * a, b) for a, b in zip(wide.tolist(), reach.tolist(), strict=True)]),
        kind=tuple(labels),
    )


def _tied(rows: Sequence[Sequence[int]], centre: Floats) -> Ties:
    tie, row, value = [], [], []
    for k, (upper, lower, *rest) in enumerate(rows):
        at, pull = np.array(rest[:3]) / LENGTH, np.array(rest[3:6]) / FRICTION
        for block, force in ((upper, -pull), (lower, pull)):
            tie += [k] * 6
            row += [6 * block + i for i in range(6)]
            value += [*force, *np.cross(at - centre[block], force)]
    most = np.array([one[8] for one in rows], dtype=np.float64) / FORCE
    return Ties(np.array(tie, dtype=np.int64), np.array(row, dtype=np.int64), np.array(value, dtype=np.float64), most)


def problem_of(read: Problem, data: Mapping[str, Any]) -> BlockProblem:
    """The problem of a file for the solver. ValueError for a face without area."""
    blocks = np.array(read.blocks, dtype=np.float64)
    centre = blocks[:, 2:5] / LENGTH
    dead = np.zeros((len(blocks), 6))
    dead[:, 2] = -blocks[:, 5] / FORCE
    handed = np.array([[float(v) for v in row] for row in read.handed]) if read.handed else None
    if handed is not None:
        dead += handed
    faces = np.array(read.faces, dtype=np.float64).reshape(-1, 16)
    return BlockProblem(
        centre=centre,
        dead=dead,
        live=np.array([[float(v) for v in row] for row in read.live]),
        size=np.array(read.lengths) / LENGTH,
        patches=_faces(faces, centre, [face["label"] for face in data["faces"]]),
        ties=_tied(read.ties, centre),
        most=float(read.most),
        handed=handed,
    )


def solved_text(data: Mapping[str, Any]) -> str:
    """The file with its solution and certificate. RunError where the solver finds none that the checker accepts."""
    read, _ = parse_problem(json.dumps({key: value for key, value in data.items() if key not in SOLVED}))
    problem = problem_of(read, data)
    why, best = "", ""
    for one in (problem, problem.shaved()):
        answer = solve_cone(assemble(one))
        if not answer.solved:
            why = why or f"the solver ended as {answer.status}"
            continue
        forces, tensions = exact_forces(one, answer.forces)
        multiple = _decimal(max(answer.multiplier, 0.0))
        best = best or multiple
        file = {key: value for key, value in data.items() if key not in SOLVED}
        file["solution"] = {"multiple": best, "solver": "interior point, second-order cones, ordinary friction"}
        file["certificate"] = {
            "multiple": multiple,
            "forces": _decimals(np.array(forces, dtype=np.float64).reshape(-1, 12) / FORCE),
            "tensions": _decimals(np.array(tensions, dtype=np.float64) / FORCE),
        }
        text = json.dumps({**file, "digest": digest_of(file)}, indent=1) + "\n"
        finding = check_problem(text)
        if finding.proven is not None:
            return text
        why = why or finding.why
    raise RunError(f"no solution that the checker accepts was found: {why}")


SOLVED = ("solution", "certificate", "digest")
