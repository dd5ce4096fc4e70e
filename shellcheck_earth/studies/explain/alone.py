"""One thing at a time, which the ways of `ways` leave out: slenderness with strength set aside, and a wetter fill.

Both are of the finished dome at service moisture, from the design as it is to the first dome without a thrust line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Literal

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Course, Dome, build_dome
from shellcheck_earth.loads.cases import case_of
from shellcheck_earth.loads.materials import saturated_moisture
from shellcheck_earth.mechanics.rings.admissible import AVAILABLE, Scales, failing_bed, pack
from shellcheck_earth.mechanics.rings.collapse import Collapse, collapse
from shellcheck_earth.mechanics.rings.discretise import cut_lune
from shellcheck_earth.mechanics.rings.lune import Lune
from shellcheck_earth.mechanics.rings.thrust_band import thrust_band
from shellcheck_earth.safety.untested import with_number
from shellcheck_earth.studies.explain.ways import Step, least_width

__all__ = ["NO_CRUSHING", "Alone", "slender", "wetter"]

NO_CRUSHING = Scales(strength=1e6)
"""A fill that is never crushed, so that only shape and width are left to decide."""

OVERLAP = 0.01
"""The narrowest bed of the thinnest wall that is looked at, as a share of the wall as it is: with none there is no
dome."""

CASE = "finished-dry"

SCAN, CLOSE, LAST = 24, 1e-9, 1e-3
"""Steps of the walk towards the first change; how close its edge is bracketed, and how far before it the last dome is
drawn, as shares of the way."""


@dataclass(frozen=True)
class Alone:
    """A series of domes. `designed`: the value of the design; `edge`: (last value with a line, first without), None
    where nothing changes; `stands`: whether the design as it is has a line. Widths [m], moistures [-].

    `collapse` and `collapsed` (courses, top first): how the first dome without a line goes; None where all
    stand, or none does.
    """

    kind: Literal["width", "moisture"]
    designed: float
    end: float
    stands: bool
    edge: tuple[float, float] | None
    steps: tuple[Step, ...]
    collapse: Collapse | None
    collapsed: tuple[Course, ...]


@dataclass(frozen=True)
class _Series:
    """What is varied: the value at a share of the way, and the design at a value."""

    kind: Literal["width", "moisture"]
    start: float
    end: float
    design_at: Callable[[float], Design]
    scales: Scales

    def value(self, share: float) -> float:
        return self.start + (self.end - self.start) * share


def _asked(series: _Series) -> Callable[[float], tuple[Dome, Lune]]:
    @cache
    def at(share: float) -> tuple[Dome, Lune]:
        dome = build_dome(series.design_at(series.value(share)))
        return dome, cut_lune(dome, case_of(dome, CASE))

    return at


def _series(series: _Series) -> Alone:
    at = _asked(series)

    def holds(share: float) -> bool:
        return failing_bed(pack(at(share)[1]), series.scales) < 0

    first = holds(0.0)
    edge: tuple[float, float] | None = None
    before = 0.0
    for number in range(1, SCAN + 1) if first else ():
        share = number / SCAN
        if not holds(share):
            edge = _bracket(holds, before, share)
            break
        before = share
    until = 1.0 if edge is None else max(edge[0] - LAST, 0.0)
    shares = [until * k / 4 for k in range(5)] if first else [0.0]
    if edge is not None:
        shares.append(min(edge[1] + LAST, 1.0))
    gone = shares[-1]
    dome, lune = at(gone)
    return Alone(
        kind=series.kind,
        designed=series.start,
        end=series.end,
        stands=first,
        edge=None if edge is None else (series.value(edge[0]), series.value(edge[1])),
        steps=tuple(_step(series, share, *at(share)) for share in shares),
        collapse=None if holds(gone) or not first else collapse(lune, series.scales),
        collapsed=dome.courses[::-1],
    )


def _bracket(holds: Callable[[float], bool], low: float, high: float) -> tuple[float, float]:
    while high - low > CLOSE:
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low, high


def _step(series: _Series, share: float, dome: Dome, lune: Lune) -> Step:
    band = thrust_band(lune, series.scales)
    failing = int(lune.number[band.failing]) if band.failing >= 0 else None
    return Step(share, series.value(share), band.failing < 0, dome.courses[::-1], band, failing)


def slender(design: Design) -> Alone:
    """The wall ever thinner, its strength set aside: what slenderness alone does.

    Parameters
    ----------
    design
        A design that can be built; its inner face, course height and pivot stay.

    Returns
    -------
    Alone
        Widths in m.

    Raises
    ------
    UndecidedError
        The programme of the mechanism does not answer.
    """
    width = design.wall.filled_width
    least = min(least_width(design) + OVERLAP * width, width)
    return _series(
        _Series("width", width, least, lambda value: with_number(design, "wall.filled_width", value), NO_CRUSHING)
    )


def _soaked(design: Design) -> Callable[[float], Design]:
    """The design with a fill of that moisture in service, in the courses that have no fill of their own."""

    def at(moisture: float) -> Design:
        return with_number(design, "fill.service_moisture", moisture)

    return at


def wetter(design: Design) -> Alone | None:
    """The fill ever wetter, up to full voids: heavier, weaker and slicker. None where that contradicts the design.

    Moistures are masses of water over those of dry soil [-]. UndecidedError as `slender`.
    """
    start, full = design.fill.service_moisture, saturated_moisture(design.fill) * (1 - 1e-9)
    try:
        _soaked(design)(full)
    except InputError:
        return None
    return _series(_Series("moisture", start, max(start, full), _soaked(design), AVAILABLE))
