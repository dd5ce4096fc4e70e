"""Parts of one problem put together: their blocks, patches and ties in one frame, and the faces between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

import numpy as np

from shellcheck_earth.mechanics.blocks.interfaces import Patch, Patches, join
from shellcheck_earth.mechanics.blocks.problem import BlockProblem, Ties
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["moved", "together"]


def moved(problem: BlockProblem, turn: Floats, shift: Floats) -> BlockProblem:
    """The same problem turned about the upright (3, 3), then shifted [m]; its load is turned with it."""
    patches = problem.patches

    def turned(load: Floats) -> Floats:
        return np.concatenate([load[:, :3] @ turn.T, load[:, 3:] @ turn.T], axis=1)

    ties = problem.ties
    if ties.size:
        value = (ties.value.reshape(-1, 2, 3) @ turn.T).ravel()  # force and moment of each block that a tie pulls at
        ties = replace(ties, value=value)
    return replace(
        problem,
        centre=problem.centre @ turn.T + shift,
        dead=turned(problem.dead),
        live=turned(problem.live),
        handed=None if problem.handed is None else turned(problem.handed),
        patches=replace(
            patches,
            points=patches.points @ turn.T + shift,
            normal=patches.normal @ turn.T,
            along=patches.along @ turn.T,
        ),
        ties=ties,
    )


def together(parts: Sequence[BlockProblem], between: Sequence[Patch] = ()) -> BlockProblem:
    """Parts as one problem, blocks in their order; between: faces that join them, their blocks counted through."""
    first = np.cumsum([0, *(part.blocks for part in parts)])[:-1].tolist()
    joints = [join(between)] if between else []
    shifted = [*(_counted_on(part.patches, start) for part, start in zip(parts, first, strict=True)), *joints]
    handed = [np.zeros_like(part.dead) if part.handed is None else part.handed for part in parts]
    return BlockProblem(
        centre=np.concatenate([part.centre for part in parts]),
        dead=np.concatenate([part.dead for part in parts]),
        live=np.concatenate([part.live for part in parts]),
        size=np.concatenate([part.size for part in parts]),
        patches=_patches(shifted),
        ties=_ties([part.ties for part in parts], first),
        most=min(part.most for part in parts),
        handed=np.concatenate(handed) if any(part.handed is not None for part in parts) else None,
    )


def _counted_on(patches: Patches, first: int) -> Patches:
    return replace(
        patches,
        upper=patches.upper + first,
        lower=np.where(patches.lower >= 0, patches.lower + first, patches.lower),
    )


def _patches(found: Sequence[Patches]) -> Patches:
    arrays = {
        field.name: np.concatenate([getattr(one, field.name) for one in found])
        for field in fields(Patches)
        if field.name != "kind"
    }
    return Patches(**arrays, kind=tuple(kind for one in found for kind in one.kind))


def _ties(found: Sequence[Ties], first: Sequence[int]) -> Ties:
    counts = np.cumsum([0, *(ties.size for ties in found)])[:-1].tolist()
    return Ties(
        np.concatenate([ties.tie + start for ties, start in zip(found, counts, strict=True)]).astype(np.int64),
        np.concatenate([ties.row + 6 * start for ties, start in zip(found, first, strict=True)]).astype(np.int64),
        np.concatenate([ties.value for ties in found]),
        np.concatenate([ties.most for ties in found]),
    )
