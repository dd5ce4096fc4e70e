"""What a design alone says beside its verdict: the calendar of its building, and its untested inputs at their ends.

It needs nothing of what the check finds, and takes two fifths of its time: a second process may do it meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.safety.untested import Trial, tried_ends
from shellcheck_earth.safety.weather import weather
from shellcheck_earth.safety.weather_result import Weather

__all__ = ["Explored", "Explorer", "explored"]


@dataclass(frozen=True)
class Explored:
    """weather: the calendar in the rain. tried: the untested inputs at the ends of their ranges."""

    weather: Weather
    tried: tuple[Trial, ...]


Explorer = Callable[[Design], Explored]


def explored(design: Design) -> Explored:
    """Both, for a design that can be built."""
    return Explored(weather(build_dome(design)), tried_ends(design))
