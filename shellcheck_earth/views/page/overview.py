"""All ring-symmetric cases of a design at once, for the moment at which a slider rests: worst margins and the chart.

Worked out in a process of its own, so that it never stands in the way of a drag.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from shellcheck_earth.geometry.reading import parse_design
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.mechanics.rings.capacity import friction_for_wire
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.safety.doubts import doubts_of
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.worst import WorstMargin, worst_margins

__all__ = ["TENSIONS", "Overview", "overview"]

TENSIONS = np.linspace(0.0, 4.0, 17)
"""Counted wire tensions of the chart "what holds it up" [kN]."""


@dataclass(frozen=True)
class Overview:
    """margins: the worst of each check over all counted cases; titles: of the counted cases, by id; finished: id and
    title of every case of the finished dome; chart: (wire tension [kN], needed friction or None)."""

    margins: tuple[WorstMargin, ...]
    titles: Mapping[str, str]
    finished: tuple[tuple[str, str], ...]
    doubts: tuple[Doubt, ...]
    chart: tuple[tuple[float, float | None], ...]
    needs_blocks: bool


def overview(text: str) -> Overview:
    """Of the design that a file's text says; InputError, UnbuildableError as `parse_design`."""
    model = build_model(parse_design(text))
    needed = friction_for_wire(cut_lune(model.dome, model.cases[0]), TENSIONS)
    doubts = doubts_of(model.dome)
    return Overview(
        margins=worst_margins(model),
        titles={case.id: case.title for case in model.counted},
        finished=tuple((case.id, case.title) for case in model.cases if case.kind == "finished"),
        doubts=(*doubts, Doubt("blocks not asked")) if model.needs_blocks else doubts,
        chart=tuple((float(T), mu) for T, mu in zip(TENSIONS, needed, strict=True)),
        needs_blocks=model.needs_blocks,
    )
