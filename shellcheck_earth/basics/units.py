"""Quantities as a user writes them, in and out. SI inside (m, kN, kPa, kg/m3, m/s, rad, hours); converted at the doors.

The parser is strict on purpose: a safety tool may not guess. It reads a plain decimal number, a fraction (`3/4 in`), a
mixed number (`1 1/2 in`) or feet and inches (`14 ft 6 in`), then a unit it knows; everything else is refused. Factors:
the international foot 0.3048 m and pound 0.45359237 kg (1959 agreement, memory), standard gravity 9.80665 m/s2.
"""

from __future__ import annotations

import math
import re
from typing import Literal

__all__ = ["UNITS", "Dimension", "both", "feet_inches", "format_quantity", "number_in", "parse_quantity", "unit_name"]

Dimension = Literal[
    "length",
    "density",
    "unit weight",
    "stress",
    "force",
    "force per length",
    "speed",
    "share",
    "angle",
    "duration",
    "mass",
    "volume",
    "number",
]

FOOT, INCH, POUND, G = 0.3048, 0.0254, 0.45359237, 9.80665
LBF = POUND * G / 1000  # kN

UNITS: dict[Dimension, dict[str, float]] = {
    "length": {"m": 1.0, "mm": 0.001, "cm": 0.01, "ft": FOOT, "in": INCH},
    "density": {"kg/m3": 1.0, "t/m3": 1000.0, "g/cm3": 1000.0, "lb/ft3": POUND / FOOT**3},
    "unit weight": {"kN/m3": 1.0, "lbf/ft3": LBF / FOOT**3, "pcf": LBF / FOOT**3},
    "stress": {
        "kPa": 1.0,
        "Pa": 0.001,
        "MPa": 1000.0,
        "kN/m2": 1.0,
        "psi": LBF / INCH**2,
        "psf": LBF / FOOT**2,
        "ksf": 1000 * LBF / FOOT**2,
    },
    "force": {"kN": 1.0, "N": 0.001, "lbf": LBF, "kip": 1000 * LBF},
    "force per length": {"kN/m": 1.0, "N/mm": 1.0, "lbf/in": LBF / INCH, "lbf/ft": LBF / FOOT},
    "speed": {"m/s": 1.0, "mm/h": 0.001 / 3600, "cm/h": 0.01 / 3600, "in/h": INCH / 3600},
    "share": {"%": 0.01},
    "angle": {"rad": 1.0, "deg": math.pi / 180},
    "duration": {"h": 1.0, "hours": 1.0, "min": 1 / 60, "s": 1 / 3600, "days": 24.0, "day": 24.0},
    "mass": {"kg": 1.0, "g": 0.001, "t": 1000.0, "lb": POUND},
    "volume": {"m3": 1.0, "l": 0.001, "ml": 1e-6, "cm3": 1e-6, "ft3": FOOT**3, "in3": INCH**3},
    "number": {},
}

SHOWN: dict[Dimension, tuple[str, str]] = {
    "length": ("m", "ft"),
    "density": ("kg/m3", "lb/ft3"),
    "unit weight": ("kN/m3", "lbf/ft3"),
    "stress": ("kPa", "psi"),
    "force": ("kN", "lbf"),
    "force per length": ("kN/m", "lbf/in"),
    "speed": ("mm/h", "in/h"),
    "share": ("%", "%"),
    "angle": ("deg", "deg"),
    "duration": ("h", "h"),
    "mass": ("kg", "lb"),
    "volume": ("m3", "ft3"),
    "number": ("", ""),
}
"""The unit a report shows, metric and imperial."""

_NUMBER = r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,2})?"
_PLAIN = re.compile(rf"({_NUMBER})[ ]?([A-Za-z%][A-Za-z0-9/]*)", re.ASCII)
_FRACTION = re.compile(r"(?:(\d{1,6})[ -])?(\d{1,4})/(\d{1,4})[ ]?(ft|in)", re.ASCII)
_FEET_INCHES = re.compile(r"(\d{1,6}) ?ft (\d{1,3}(?:\.\d+)?)(?: (\d{1,2})/(\d{1,3}))? ?in", re.ASCII)


def _expected(dimension: Dimension) -> str:
    examples = {
        "length": '"3.6 m", "135 mm" or "14 ft 6 in"',
        "share": '"10 %" or 0.10',
        "angle": '"30 deg"',
        "density": '"1750 kg/m3" or "110 lb/ft3"',
        "stress": '"0.5 MPa" or "72 psi"',
        "force": '"4.2 kN" or "950 lbf"',
    }
    known = ", ".join(UNITS[dimension])
    example = examples.get(dimension)
    return f"a {dimension} such as {example}" if example else f"a {dimension} with a unit ({known})"


def parse_quantity(text: object, dimension: Dimension) -> float:
    """The value in SI [m, kg/m3, kN/m3, kPa, kN, kN/m, m/s, -, rad, h, kg, m3].

    ValueError, whose message says what was expected, for anything that is not wholly understood.
    """
    if dimension in ("share", "number") and isinstance(text, int | float) and not isinstance(text, bool):
        # TOML's whole numbers have no end, floats have: compare before converting.
        if not -1e300 < text < 1e300:
            raise ValueError(_expected(dimension))
        return float(text)
    if not isinstance(text, str) or len(text) > 60:
        raise ValueError(_expected(dimension))
    value = _compound(text) if dimension == "length" else None
    if value is None:
        match = _PLAIN.fullmatch(text)
        if match is None or match[2] not in UNITS[dimension]:
            raise ValueError(_expected(dimension))
        value = float(match[1]) * UNITS[dimension][match[2]]
    if not math.isfinite(value):
        raise ValueError(_expected(dimension))
    return value


def _compound(text: str) -> float | None:
    """Fractions, mixed numbers, feet and inches [m]; None when the text is none of these."""
    if match := _FRACTION.fullmatch(text):
        if int(match[3]) == 0:
            return None
        return (int(match[1] or 0) + int(match[2]) / int(match[3])) * UNITS["length"][match[4]]
    if match := _FEET_INCHES.fullmatch(text):
        inches = float(match[2])
        if match[3]:
            if int(match[4]) == 0 or "." in match[2]:
                return None
            inches += int(match[3]) / int(match[4])
        return int(match[1]) * FOOT + inches * INCH if inches < 12 else None
    return None


def unit_name(dimension: Dimension, system: str) -> str:
    """The unit shown in the metric or the imperial system; empty for plain numbers."""
    return SHOWN[dimension][1 if system == "imperial" else 0]


def _figures(value: float, figures: int) -> str:
    if value == 0 or not math.isfinite(value):
        return f"{value:g}"
    digits = figures - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, digits)
    return f"{rounded:.{max(digits, 0)}f}"


def format_quantity(
    value: float, dimension: Dimension, system: str = "metric", figures: int = 3, unit: str | None = None
) -> str:
    """The value in the system's usual unit (or in `unit`), to three significant figures."""
    shown = unit_name(dimension, system) if unit is None else unit
    number = _figures(value / UNITS[dimension].get(shown, 1.0), figures)
    return f"{number} {shown}".strip()


def number_in(value: float, dimension: Dimension, unit: str, decimals: int) -> str:
    """The value in `unit` with that many decimals, without the unit: for columns of tables."""
    return f"{value / UNITS[dimension][unit]:.{decimals}f}"


def feet_inches(metres: float) -> str:
    """Feet and inches to the sixteenth: 3.588 m is ``11 ft 9 1/4 in``."""
    sixteenths = round(abs(metres) / INCH * 16)
    feet, rest = divmod(sixteenths, 12 * 16)
    inches, parts = divmod(rest, 16)
    fraction = ""
    if parts:
        common = math.gcd(parts, 16)
        fraction = f" {parts // common}/{16 // common}"
    sign = "-" if metres < 0 and sixteenths else ""
    return f"{sign}{feet} ft {inches}{fraction} in" if feet else f"{sign}{inches}{fraction} in"


def both(value: float, dimension: Dimension, system: str = "metric", figures: int = 3) -> str:
    """The user's own system first, the other behind it in brackets."""
    other = "metric" if system == "imperial" else "imperial"
    first = format_quantity(value, dimension, system, figures)
    if unit_name(dimension, system) == unit_name(dimension, other):
        return first
    return f"{first} ({format_quantity(value, dimension, other, figures)})"
