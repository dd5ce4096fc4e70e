"""What `explain` tells about one dome: every number of it, from the same cases and the same statics as `check`.

Nothing here is a verdict: no required factor decides anything but where a limit line is drawn on the map.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.parallel import ALONE, Crew
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.buildable import check_buildable
from shellcheck_earth.studies.explain.map import (
    DomeMap,
    Shape,
    Trial,
    dome_map,
    dome_shape,
    least_meeting,
    other_shape,
    thumb_trials,
)
from shellcheck_earth.studies.explain.ways import Way, ways
from shellcheck_earth.studies.parts import Parts, parts_digest
from shellcheck_earth.studies.strength_aside import strength_aside

__all__ = ["Teaching", "lesson_parts", "teach"]


@dataclass(frozen=True)
class Teaching:
    """`map` is None where the profile has no fixed-compass pivot. `other`: the round dome of the same diameter and tube
    (for a round dome the pointed one) with the smallest crown opening at which its courses overlap; `other_standing`:
    at which it also has a thrust line. Both None where there is none. `least_meeting`: share of the inside diameter
    from which on the wall meets all asked for."""

    design: Design
    here: Shape
    ways: tuple[Way, ...]
    map: DomeMap | None
    other: Shape | None
    other_standing: Shape | None
    trials: tuple[Trial, ...]
    least_meeting: float | None
    strength_aside: bool = False
    file_sha256: str = ""  # of the design as its file gives it

    def __repr__(self) -> str:
        said = ", ".join(f"{way.kind} {way.outcome}" for way in self.ways)
        return f"<Teaching about {self.design.name!r}: {said}>"


def _part(progress: Progress, what: str) -> Callable[[int, int], None]:
    return lambda done, of: progress(what, done, of)


def lesson_parts(folder: Path, design: Design, *, aside: bool = False) -> Parts:
    """The kept parts of the lesson about this design, in their folder."""
    return Parts(folder, parts_digest("explain", design_sha256(design), aside))


def teach(
    design: Design,
    progress: Progress = quiet,
    crew: Crew = ALONE,
    *,
    aside: bool = False,
    parts: Parts | None = None,
) -> Teaching:
    """All numbers of the teaching report.

    Parameters
    ----------
    design
        A design that can be built.
    progress
        Called with what is being done, how many steps are done, and how many there are.
    crew
        Who computes the map.
    aside
        The strength of the fill is set aside (`studies.strength_aside`), and the design's name then says so.
    parts
        Where finished parts are kept, and taken from (`lesson_parts`); whoever gives them takes them away in the end.

    Returns
    -------
    Teaching
        Widths in m, frictions without unit, wire tensions in kN; levels and radii of the lines in m.

    Raises
    ------
    UndecidedError
        A linear programme does not answer.
    UnbuildableError
        No such dome can be built.
    RunError
        A worker was lost, or a part could not be kept.
    """
    check_buildable(design, design.name)
    if design.building.unfinished:
        expected = "a whole dome: of one that is being built, explain the plan as it goes on or as corrected"
        raise InputError([Problem("building.unfinished", expected, "an unfinished one")], design.name)
    digest = design_sha256(design)
    design = strength_aside(design) if aside else design
    found = ways(design, _part(progress, "taking away, step by step"), parts)
    plotted = dome_map(design, _part(progress, "map of width and pivot"), crew, parts)
    progress("other shapes and widths", 1, 1)
    other = other_shape(design)
    return Teaching(
        design=design,
        here=dome_shape(design),
        ways=found,
        map=plotted,
        other=None if other is None else dome_shape(other[0]),
        other_standing=None if other is None or other[1] is None else dome_shape(other[1]),
        trials=thumb_trials(design),
        least_meeting=least_meeting(design),
        strength_aside=aside,
        file_sha256=digest,
    )
