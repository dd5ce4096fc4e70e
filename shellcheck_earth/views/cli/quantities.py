"""A quantity given as an option: read with its unit, held to a range, refused by the option's name."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shellcheck_earth.basics.units import Dimension

__all__ = ["quantity_option"]


def quantity_option(option: str, text: str, dimension: Dimension, least: float, most: float) -> float:
    """The option's value; InputError that names the option where it is none, or is outside its range (both SI)."""
    from shellcheck_earth.basics.errors import InputError, Problem
    from shellcheck_earth.basics.units import format_quantity, parse_quantity

    try:
        value = float(text) if dimension == "share" and "%" not in text else parse_quantity(text, dimension)
    except ValueError as error:
        said = {"share": 'a share such as 0.2 or "20 %"', "angle": 'an angle such as "30 deg"'}
        expected = said.get(dimension, str(error))
        raise InputError([Problem(option, expected, repr(text))]) from None
    if not least <= value <= most:
        low, high = (
            f"{3600 * end:g} s" if dimension == "duration" else format_quantity(end, dimension, "metric")
            for end in (least, most)
        )
        raise InputError([Problem(option, f"{low} to {high}", text)])
    return value
