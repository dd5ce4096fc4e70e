"""Advice of the trade on openings, in sentences."""

from __future__ import annotations

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.openings import Advice, opening_label
from shellcheck_earth.views.text.numbers import listed

__all__ = ["advice_sentence"]


def advice_sentence(design: Design, advice: Advice) -> str:
    """One rule of trade that the openings leave (common practice, no source)."""
    names = listed([opening_label(design, index) for index in advice.openings])
    found, advised = (both(length, "length", design.unit_system) for length in (advice.found, advice.advised))
    said = {
        "wide": f"The {names} is {found} wide; builders keep to {advised}",
        "jamb": f"Between {names} only {found} of wall is left; builders leave jambs of at least {advised}",
        "spacing": f"Between {names} there are {found} along the ring; builders keep openings {advised} apart",
        "opposite": f"The {names} lie opposite each other and cut the same rings; builders avoid that",
    }[advice.kind]
    return f"{said} (common practice, no source)."
