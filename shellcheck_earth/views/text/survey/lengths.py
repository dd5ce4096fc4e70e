"""Lengths as they are set and read on site: on a chain, with a sign, as a tolerance."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.geometry.settings import Setting
from shellcheck_earth.studies.survey.tolerance import Tolerance

__all__ = [
    "at_least",
    "chain",
    "height_change",
    "level",
    "measured_off",
    "on_tape",
    "signed",
    "tolerance_words",
]


def chain(value: float, system: str) -> str:
    """A length as it is set or read on site: whole millimetres, or feet and inches to the sixteenth."""
    if system != "imperial":
        return f"{1000 * value:.0f} mm"
    return _plain(feet_inches(value))


QUARTER = 0.0254 / 4
"""What lengths that need no more care than a tape's larger marks are said to [m]."""


def _plain(shown: str) -> str:
    """Without the nothing in front of a fraction: 1/4 in."""
    return shown.removeprefix("0 ") if "/" in shown else shown


def measured_off(value: float, system: str) -> str:
    """A length that is measured off or looked for on site: metres to the hundredth, or feet and inches to the
    quarter."""
    return _plain(feet_inches(value, 4)) if system == "imperial" else f"{value:.2f} m"


def at_least(value: float, system: str) -> str:
    """The same of a length that has to be reached: rounded up, never down."""
    unit = QUARTER if system == "imperial" else 0.01
    return measured_off(math.ceil(value / unit - 1e-6) * unit, system)


def on_tape(value: float, system: str) -> str:
    """A length in both systems, the user's own first, each as its tape reads."""
    metric = f"{value:.2f} m" if value >= 1.0 else f"{1000 * value:.0f} mm"
    shown = [metric, _plain(feet_inches(value, 4))]
    first, second = shown[::-1] if system == "imperial" else shown
    return f"{first} ({second})"


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
