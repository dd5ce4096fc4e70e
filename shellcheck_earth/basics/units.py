"""Quantities as a user writes them, in and out. SI inside (m, kN, kPa, kg/m3, m/s, rad, hours); converted at the doors.

The parser is strict on purpose: a safety tool may not guess. It reads a plain decimal number, a fraction (`3/4 in`), a
mixed number (`1 1/2 in`) or feet and inches (`14 ft 6 in`, `10' 6"`), then a unit it knows, as tables write it or as
people say it (`SPOKEN`). Pounds are a mass or a force by what the value is: a wire breaks at `950 lb`, a sample weighs
`70 lb`. What has two meanings is asked back (which gallon, which ton); everything else is refused. Factors: the
international foot 0.3048 m and pound 0.45359237 kg (1959 agreement, memory), standard gravity 9.80665 m/s2, the US
gallon of 231 in3 and the imperial one of 4.54609 l (both by definition, memory).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import Literal

__all__ = [
    "SPOKEN",
    "UNITS",
    "Dimension",
    "both",
    "bounds",
    "feet_inches",
    "format_quantity",
    "known_unit",
    "number_in",
    "parse_quantity",
    "system_of",
    "unit_name",
]

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
    "mass": {"kg": 1.0, "g": 0.001, "t": 1000.0, "lb": POUND, "oz": POUND / 16},
    "volume": {
        "m3": 1.0,
        "l": 0.001,
        "ml": 1e-6,
        "cm3": 1e-6,
        "ft3": FOOT**3,
        "in3": INCH**3,
        "yd3": 27 * FOOT**3,
        "US gal": 231 * INCH**3,
        "imp gal": 0.00454609,
    },
    "number": {},
}

SPOKEN: dict[Dimension, dict[str, str]] = {
    "length": {"foot": "ft", "feet": "ft", "'": "ft", "inch": "in", "inches": "in", '"': "in", "''": "in"},
    "density": {"pcf": "lb/ft3", "lbs/ft3": "lb/ft3", "lb/cu ft": "lb/ft3", "lbs/cu ft": "lb/ft3"},
    "unit weight": {"lb/ft3": "lbf/ft3", "lbs/ft3": "lbf/ft3", "lb/cu ft": "lbf/ft3", "lbs/cu ft": "lbf/ft3"},
    "stress": {
        "lb/in2": "psi",
        "lbs/in2": "psi",
        "lbf/in2": "psi",
        "lb/ft2": "psf",
        "lbs/ft2": "psf",
        "lbf/ft2": "psf",
    },
    "force": {"lb": "lbf", "lbs": "lbf", "pound": "lbf", "pounds": "lbf", "kips": "kip"},
    "force per length": {"lb/in": "lbf/in", "lbs/in": "lbf/in", "lb/ft": "lbf/ft", "lbs/ft": "lbf/ft"},
    "speed": {"in/hr": "in/h", "inch/h": "in/h", "inches/h": "in/h", "inches per hour": "in/h", "mm/hr": "mm/h"},
    "share": {"percent": "%", "per cent": "%"},
    "angle": {"degree": "deg", "degrees": "deg"},
    "duration": {"hour": "h", "hr": "h", "hrs": "h", "minute": "min", "minutes": "min", "seconds": "s"},
    "mass": {"lbs": "lb", "pound": "lb", "pounds": "lb", "ounce": "oz", "ounces": "oz"},
    "volume": {
        "litre": "l",
        "litres": "l",
        "liter": "l",
        "liters": "l",
        "cu ft": "ft3",
        "cubic foot": "ft3",
        "cubic feet": "ft3",
        "cu in": "in3",
        "cubic inches": "in3",
        "cu yd": "yd3",
        "cubic yard": "yd3",
        "cubic yards": "yd3",
        "US gallon": "US gal",
        "US gallons": "US gal",
        "imperial gallon": "imp gal",
        "imperial gallons": "imp gal",
    },
    "number": {},
}
"""Units as people say them, each with its name in `UNITS`."""

_METRIC = frozenset(
    ("m", "mm", "cm", "kg/m3", "t/m3", "g/cm3", "kN/m3", "kPa", "Pa", "MPa", "kN/m2", "kN", "N", "kN/m")
)
_METRIC |= {"N/mm", "m/s", "mm/h", "cm/h", "kg", "g", "t", "m3", "l", "ml", "cm3"}
_NEITHER = frozenset(("%", "rad", "deg", *UNITS["duration"]))

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
_PLAIN = re.compile(rf"({_NUMBER})[ ]?([A-Za-z%'\"][A-Za-z0-9/ '\"]*)", re.ASCII)
_FEET, _INCHES = r"(?:ft|foot|feet|')", r"(?:in|inch|inches|\"|'')"
_FRACTION = re.compile(rf"(?:(\d{{1,6}})[ -])?(\d{{1,4}})/(\d{{1,4}})[ ]?({_INCHES}|{_FEET})", re.ASCII)
_FEET_INCHES = re.compile(
    rf"(\d{{1,6}})[ ]?{_FEET}[ -]?(?:(\d{{1,3}}(?:\.\d+)?)(?:[ -](\d{{1,2}})/(\d{{1,3}}))?|(\d{{1,2}})/(\d{{1,3}}))"
    rf"[ ]?{_INCHES}",
    re.ASCII,
)
_MARKS = str.maketrans({"\u2019": "'", "\u2032": "'", "\u201d": '"', "\u2033": '"'})
"""Primes and curly marks, which telephones write for feet and inches."""

_GALLONS = frozenset(("gal", "gals", "gallon", "gallons"))
_TONS = frozenset(("ton", "tons", "tonne", "tonnes"))


def _expected(dimension: Dimension) -> str:
    examples = {
        "length": '"3.6 m", "135 mm", "14 ft 6 in" or "10\' 6\'\'"',
        "share": '"10 %" or 0.10',
        "angle": '"30 deg"',
        "density": '"1750 kg/m3" or "110 lb/ft3"',
        "stress": '"0.5 MPa" or "72 psi"',
        "force": '"4.2 kN" or "950 lbf"',
        "volume": '"16 l", "0.6 ft3" or "5 US gal"',
    }
    known = ", ".join(UNITS[dimension])
    example = examples.get(dimension)
    article = "an" if dimension[0] in "aeiou" else "a"
    if example:
        return f"{article} {dimension} such as {example}"
    return f"{article} {dimension} with a unit ({known})" if known else f"{article} {dimension} without a unit"


def known_unit(name: str, dimension: Dimension) -> str | None:
    """The unit of `UNITS` that a written name stands for; None for a name of no unit of this dimension."""
    if name in UNITS[dimension]:
        return name
    return SPOKEN[dimension].get(name)


def _weighed(number: float, unit: str, mass: Dimension, force: Dimension, dimension: Dimension) -> str:
    """The question where a mass stands for a weight or a weight for a mass; empty where neither does."""
    other = force if dimension == mass else mass
    name = None if dimension not in (mass, force) else known_unit(unit, other)
    if name is None:
        return ""
    per = 1000 / G if dimension == mass else G / 1000
    value = number * UNITS[other][name] * per
    said = " or ".join(f'"{format_quantity(value, dimension, system)}"' for system in ("metric", "imperial"))
    verb = "is the weight of" if dimension == mass else "weighs"
    return f"a {dimension}, and {unit} is none: {number:g} {unit} {verb} {said}; write that if it is meant"


def _asked_back(text: str, dimension: Dimension) -> str:
    """What has to be said so that the value has one meaning; what was expected where no question helps."""
    if dimension == "length" and re.fullmatch(r"\d+ ?(?:[-']|ft|feet)[ -]?\d+", text, re.ASCII):
        return 'a length whose feet and inches carry their marks, such as "10 ft 6 in" or "10\' 6\'\'"'
    match = _PLAIN.fullmatch(text)
    if match is None:
        return _expected(dimension)
    number, unit = float(match[1]), match[2]
    if dimension == "volume" and unit in _GALLONS:
        return f'a volume that says which gallon: "{match[1]} US gal" (3.785 l each) or "{match[1]} imp gal" (4.546 l)'
    if dimension in ("mass", "force") and unit in _TONS:
        return (
            f'a {dimension} that says which ton: "t" (1000 kg), 2000 lb (US short ton) or 2240 lb (long ton)'
            if dimension == "mass"
            else "a force that says which ton: 9.81 kN (of 1000 kg), 2000 lbf (US short ton) or 2240 lbf (long ton)"
        )
    for mass, force in _PAIRS:
        if question := _weighed(number, unit, mass, force, dimension):
            return question
    return _expected(dimension)


_PAIRS: tuple[tuple[Dimension, Dimension], ...] = (("mass", "force"), ("density", "unit weight"))


def parse_quantity(text: object, dimension: Dimension) -> float:
    """The value in SI [m, kg/m3, kN/m3, kPa, kN, kN/m, m/s, -, rad, h, kg, m3].

    ValueError, whose message says what was expected, or asks which of two meanings is meant, for anything that is not
    wholly understood.
    """
    if dimension in ("share", "number") and isinstance(text, int | float) and not isinstance(text, bool):
        # TOML's whole numbers have no end, floats have: compare before converting.
        if not -1e300 < text < 1e300:
            raise ValueError(_expected(dimension))
        return float(text)
    if not isinstance(text, str) or len(text) > 60:
        raise ValueError(_expected(dimension))
    plain = text.translate(_MARKS)
    value = _compound(plain) if dimension == "length" else None
    if value is None:
        match = _PLAIN.fullmatch(plain)
        unit = None if match is None else known_unit(match[2], dimension)
        if match is None or unit is None:
            raise ValueError(_asked_back(plain, dimension))
        value = float(match[1]) * UNITS[dimension][unit]
    if not math.isfinite(value):
        raise ValueError(_expected(dimension))
    return value


def _compound(text: str) -> float | None:
    """Fractions, mixed numbers, feet and inches [m]; None when the text is none of these."""
    if match := _FRACTION.fullmatch(text):
        if int(match[3]) == 0:
            return None
        unit = SPOKEN["length"].get(match[4], match[4])
        return (int(match[1] or 0) + int(match[2]) / int(match[3])) * UNITS["length"][unit]
    if match := _FEET_INCHES.fullmatch(text):
        inches = float(match[2] or 0)
        above, below = (match[3] or match[5], match[4] or match[6])
        if above:
            if int(below) == 0 or "." in (match[2] or ""):
                return None
            inches += int(above) / int(below)
        return int(match[1]) * FOOT + inches * INCH if inches < 12 else None
    return None


def _system(text: str, dimension: Dimension) -> int:
    """1 for a quantity in imperial units, -1 for a metric one, 0 for what is neither."""
    plain = text.translate(_MARKS)
    if dimension == "length" and _compound(plain) is not None:
        return 1
    match = _PLAIN.fullmatch(plain)
    unit = None if match is None else known_unit(match[2], dimension)
    if unit is None or unit in _NEITHER:
        return 0
    return -1 if unit in _METRIC else 1


def system_of(texts: Iterable[str], dimensions: Iterable[Dimension] = tuple(UNITS)) -> Literal["metric", "imperial"]:
    """The system that most quantities of these dimensions are written in; metric where they are even."""
    asked = tuple(dimensions)
    counted = (next((found for one in asked if (found := _system(text, one))), 0) for text in texts if len(text) <= 60)
    return "imperial" if sum(counted) > 0 else "metric"


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


def bounds(low: float, high: float, dimension: Dimension, system: str = "metric") -> tuple[str, str]:
    """A range as it is told in a system; imperial ends are rounded into it, with the metric ones behind in brackets."""
    metric = [format_quantity(end, dimension) for end in (low, high)]
    unit = unit_name(dimension, system)
    if unit == unit_name(dimension, "metric"):
        return metric[0], metric[1]
    inward = []
    for end, turned in ((low, math.ceil), (high, math.floor)):
        value = end / UNITS[dimension][unit]
        step = 10.0 ** (math.floor(math.log10(abs(value))) - 2) if value else 1.0
        inward.append(_figures(turned(value / step - 1e-9 if turned is math.ceil else value / step + 1e-9) * step, 3))
    first, last = (f"{one} {unit} ({other})" for one, other in zip(inward, metric, strict=True))
    return first, last


def number_in(value: float, dimension: Dimension, unit: str, decimals: int) -> str:
    """The value in `unit` with that many decimals, without the unit: for columns of tables."""
    return f"{value / UNITS[dimension][unit]:.{decimals}f}"


def feet_inches(metres: float, finest: int = 16) -> str:
    """Feet and inches to the sixteenth, or to one in `finest`: 3.588 m is ``11 ft 9 1/4 in``."""
    steps = round(abs(metres) / INCH * finest)
    feet, rest = divmod(steps, 12 * finest)
    inches, parts = divmod(rest, finest)
    fraction = ""
    if parts:
        common = math.gcd(parts, finest)
        fraction = f" {parts // common}/{finest // common}"
    sign = "-" if metres < 0 and steps else ""
    return f"{sign}{feet} ft {inches}{fraction} in" if feet else f"{sign}{inches}{fraction} in"


def both(value: float, dimension: Dimension, system: str = "metric", figures: int = 3) -> str:
    """The user's own system first, the other behind it in brackets."""
    other = "metric" if system == "imperial" else "imperial"
    first = format_quantity(value, dimension, system, figures)
    if unit_name(dimension, system) == unit_name(dimension, other):
        return first
    return f"{first} ({format_quantity(value, dimension, other, figures)})"
