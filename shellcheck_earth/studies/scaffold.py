"""Up to which ring one person on one side is held: the height from which a scaffold has to take the crew.

`building.scaffold_above` is varied in the design file, and of each height the blocks are asked what `check` asks of a
file with it: one person on the highest ring that is stood on. The rings below hold no less, as far as is known
(DEVELOPERS.md, "Assumptions"), so the search is halved between a ring that holds one and one that does not.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.courses import Course, Dome, build_dome
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.loads.cases import stages_to_come
from shellcheck_earth.loads.crew import stood_on
from shellcheck_earth.safety.blocks.solve import BlockResult, crew_cases
from shellcheck_earth.safety.worst import Outcome, outcome

__all__ = ["SCAFFOLD", "Asked", "Scaffold", "find_scaffold", "with_scaffold"]

SCAFFOLD = "scaffold"
"""What this change is called among the others."""

INCH, CENTIMETRE = 0.0254, 0.01


@dataclass(frozen=True)
class Asked:
    """One person on one side of one ring: the least share of what is required that blocks hold; None where they could
    not say. `at_least`: it was not looked for further up."""

    course: int
    share: float | None
    held: bool
    at_least: bool


@dataclass(frozen=True)
class Scaffold:
    """Up to which ring one person on one side is held.

    asked   the rings that were asked, in the order of the search; the first is the highest that is stood on now
    course  the highest that holds one, where that is not the first; None where none does, or the first does
    above   building.scaffold_above [m] that keeps the crew to it: 0 where no ring holds one; None where nothing is
        needed
    written the same as the text of a design file
    """

    asked: tuple[Asked, ...]
    course: int | None
    above: float | None
    written: str

    @property
    def needed(self) -> bool:
        """Whether the highest ring that is stood on now does not hold one person."""
        return self.above is not None


def with_scaffold(document: Mapping[str, Any], found: Scaffold) -> Outcome | None:
    """What rings and, where nothing else needs blocks, that person say of the design with the scaffold; None where
    none is needed."""
    if not found.needed:
        return None
    return outcome(design_from_document(set_key(document, "building.scaffold_above", found.written)), crew=True)


def find_scaffold(design: Design, document: Mapping[str, Any], progress: Progress = quiet) -> Scaffold | None:
    """The highest ring that holds one person on one side.

    Parameters
    ----------
    design, document
        A design that can be built, and its design file as data.
    progress
        Called with what is being done, how many rings were asked, and how many may be.

    Returns
    -------
    Scaffold
        None where nobody stands on any ring. A ring that blocks cannot answer for holds nobody.
    """
    dome = build_dome(design)
    rings = [course for course in stages_to_come(dome) if stood_on(dome, course)]
    if not rings:
        return None
    asked: list[Asked] = []
    most = 2 + math.ceil(math.log2(len(rings)))

    def holds(at: int) -> bool:
        progress("one person on one side", len(asked), most)
        asked.append(_ask(dome, document, rings[at], as_it_is=at == len(rings) - 1))
        return asked[-1].held

    high = len(rings) - 1
    if holds(high):
        return Scaffold(tuple(asked), None, None, "")
    low = -1 if high == 0 or not holds(0) else 0
    while low >= 0 and high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    if low < 0:
        return Scaffold(tuple(asked), None, 0.0, _text(design, 0.0))
    above = _height(design, *(rings[at].z_top - dome.floor for at in (low, low + 1)))
    return Scaffold(tuple(asked), rings[low].number, above, _text(design, above))


def _ask(dome: Dome, document: Mapping[str, Any], ring: Course, *, as_it_is: bool) -> Asked:
    """One person on a ring, of a design whose crew stands on none above it; of the design itself on its highest."""
    if not as_it_is:
        text = f"{ring.z_top - dome.floor:.17g} m"
        dome = build_dome(design_from_document(set_key(document, "building.scaffold_above", text)))
    said: list[BlockResult] = []
    for results in crew_cases(dome):
        said += results
        if not all(one.meets for one in results):
            break
    shares = [(one.relied / one.required, one.at_least) for one in said if one.relied is not None]
    known = bool(shares) and len(shares) == len(said)
    share, at_least = min(shares) if known else (None, False)
    # Whoever is asked nothing has not been told that it holds.
    return Asked(ring.number, share, known and all(one.meets for one in said), at_least)


def _height(design: Design, low: float, high: float) -> float:
    """A height to write down [m]: that of a ring's top, raised to a whole inch or centimetre below the next one's."""
    step = INCH if design.unit_system == "imperial" else CENTIMETRE
    raised = math.ceil(low / step - 1e-6) * step
    return raised if raised < high - step / 10 else low


def _text(design: Design, height: float) -> str:
    return f"{height / INCH:.9g} in" if design.unit_system == "imperial" else f"{height:.9g} m"
