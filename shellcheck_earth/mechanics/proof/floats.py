"""A case under one load as floats, all its questions at their strictest together: what a proof is sought with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.mechanics.proof.courses import UNIT
from shellcheck_earth.mechanics.proof.rebuild import Question
from shellcheck_earth.mechanics.proof.statics import Loaded
from shellcheck_earth.mechanics.rings.lune import Floats

__all__ = ["Arrays", "arrays_of"]


@dataclass(frozen=True)
class Arrays:
    """A case under one load, all its questions at their strictest together, as floats [m, kN, kN m]; shapes (n,).

    `low`, `high`: moment of the normal force about the bed's own level; `slide`, `wire`: limits; `ring_f` [kPa].
    """

    z: Floats
    top: Floats
    push: Floats
    moment: Floats
    vertical: Floats
    width: Floats
    low: Floats
    high: Floats
    slide: Floats
    wire: Floats
    ring_f: Floats
    ring_t: Floats


def arrays_of(loaded: Loaded, questions: Sequence[Question], up: bool) -> Arrays | int:
    """The arrays, or the index of a bed that carries nothing."""
    beds, n = loaded.beds, len(loaded.beds)
    force, moment = float(loaded.k * 6 << 160), float(loaded.k * 6 << 200)
    low, high, slide = np.full(n, -np.inf), np.full(n, np.inf), np.full(n, np.inf)
    wire, f = np.full(n, np.inf), np.full(n, np.inf)
    for question in questions:
        for i, limits in enumerate(loaded.limits(question, up)):
            if limits is None or limits[0] > limits[1]:
                return i
            low[i], high[i] = max(low[i], limits[0] / moment), min(high[i], limits[1] / moment)
            if limits[2] is not None:
                slide[i] = min(slide[i], limits[2] / force)
        for i, (tension, ring) in enumerate(zip(loaded.wires(question, up), loaded.rings(question, up), strict=True)):
            wire[i] = min(wire[i], tension / force)
            f[i] = min(f[i], 0.0 if ring[1] == 0 else np.inf if ring[0] is None else ring[0] / UNIT)
    return Arrays(
        z=np.array([bed.z_bottom / UNIT for bed in beds]),
        top=np.array([bed.z_top / UNIT for bed in beds]),
        push=np.array([one / force for one in loaded.push]),
        moment=np.array([one / moment for one in loaded.moment]),
        vertical=np.array([one / force for one in loaded.vertical]),
        width=np.array([(bed.outer - bed.inner) / UNIT for bed in beds]),
        low=low,
        high=high,
        slide=slide,
        wire=wire,
        ring_f=f,
        ring_t=np.array([bed.ring_depth / UNIT for bed in beds]),
    )
