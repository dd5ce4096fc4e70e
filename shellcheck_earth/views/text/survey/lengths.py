"""Lengths as they are set and read on site: on a chain, with a sign, as a tolerance."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.geometry.settings import Setting
from shellcheck_earth.studies.survey.tolerance import Tolerance

__all__ = [
    "chain",
    "height_change",
    "level",
    "signed",
    "tolerance_words",
]


def chain(value: float, system: str) -> str:
    """A length as it is set or read on site: whole millimetres, or feet and inches to the sixteenth."""
    if system != "imperial":
        return f"{1000 * value:.0f} mm"
    shown = feet_inches(value)
    return shown.removeprefix("0 ") if "/" in shown else shown


def signed(value: float, system: str) -> str:
    """A deviation with its sign; none where it is nothing on a chain."""
    shown = chain(abs(value), system)
    return shown if shown.startswith("0 ") and "/" not in shown else ("+" if value > 0 else "-") + shown


def level(value: float, system: str) -> str:
    """A level of the wall, as it is read."""
    return feet_inches(value) if system == "imperial" else f"{value:.3f} m"


def height_change(one: Setting, system: str) -> str:
    """What ten millimetres, or half an inch, of height more do to a setting."""
    return f"{one.change * 8:+.1f}/16 in" if system == "imperial" else f"{one.change * 10:+.1f} mm"


def tolerance_words(found: Tolerance | None, system: str) -> tuple[str, str]:
    """(how far in, how far out) a course may stand; a dash where it was not looked for."""
    if found is None:
        return "-", "-"
    return _no_more(found.inward, system), _no_more(found.outward, system)


def _no_more(value: float, system: str) -> str:
    """Rounded down: a tolerance is never said wider than it was found."""
    unit = 0.0254 / 16 if system == "imperial" else 0.001
    return chain(math.floor(value / unit + 1e-6) * unit, system)
