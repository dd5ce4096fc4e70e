"""Strength set aside, to look at shape and slenderness alone: a study of geometry, never a verdict of a dome.

Every strength of the fill is put at the top of the range that its key may have, some hundred times what a dome of tubes
asks of it, so that nothing is crushed; the checks that ask for strength are then left out. A limit that is relaxed
lowers no margin of a thrust line: what falls short there even so falls short with its strength as well. (The ground is
asked with the middlemost line, which may move.)
"""

from __future__ import annotations

from dataclasses import replace

from shellcheck_earth.design.design import Design, Fill
from shellcheck_earth.design.keys import known_keys
from shellcheck_earth.loads.model import build_model
from shellcheck_earth.safety.checks import check_of
from shellcheck_earth.safety.worst import WorstMargin, worst_margins

__all__ = ["ASIDE", "geometric_margins", "strength_aside"]

STRENGTHS = ("strength_dry", "strength_as_placed", "strength_wet")

ASIDE = "strength set aside"
"""What stands behind the name of the design in every output of such a study."""


def _uncrushed(fill: Fill) -> Fill:
    dry, placed, wet = (known_keys()[f"fill.{name}"].within for name in STRENGTHS)
    assert dry is not None and placed is not None and wet is not None
    return replace(fill, strength_dry=dry.high, strength_as_placed=placed.high, strength_wet=wet.high)


def strength_aside(design: Design) -> Design:
    """The design with a fill that is never crushed, and with a name that says so. InputError as for any design."""
    groups = tuple(replace(group, fill=_uncrushed(group.fill)) for group in design.groups)
    return replace(design, name=f"{design.name[:300]} ({ASIDE})", fill=_uncrushed(design.fill), groups=groups)


def geometric_margins(design: Design) -> tuple[WorstMargin, ...]:
    """The worst margins of a design with its strength set aside, without those that ask for strength alone."""
    margins = worst_margins(build_model(strength_aside(design)))
    return tuple(margin for margin in margins if check_of(margin.check).key != "strength")
