"""Advice of the trade on openings, in sentences."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.openings import Advice
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import listed

__all__ = ["advice_sentence", "opening_named"]

ADVICE: Mapping[str, str] = {
    "wide": mark("The {names} is {found} wide; builders keep to {advised} (common practice, no source)."),
    "jamb": mark(
        "Between {names} only {found} of wall is left; builders leave jambs of at least {advised} (common practice, no"
        " source)."
    ),
    "spacing": mark(
        "Between {names} there are {found} along the ring; builders keep openings {advised} apart (common practice, no"
        " source)."
    ),
    "opposite": mark(
        "The {names} lie opposite each other and cut the same rings; builders avoid that (common practice, no source)."
    ),
}
NAMES: Mapping[str, str] = {
    "door": mark("door {number}"),
    "window": mark("window {number}"),
    "vent": mark("vent {number}"),
}


def opening_named(design: Design, index: int) -> str:
    """An opening by its kind and its place in the file, counted from 1."""
    return _(NAMES[design.openings[index].kind], number=index + 1)


def advice_sentence(design: Design, advice: Advice) -> str:
    """One rule of trade that the openings leave (common practice, no source)."""
    names = listed([opening_named(design, index) for index in advice.openings])
    found, advised = (both(length, "length", design.unit_system) for length in (advice.found, advice.advised))
    return _(ADVICE[advice.kind], names=names, found=found, advised=advised)
