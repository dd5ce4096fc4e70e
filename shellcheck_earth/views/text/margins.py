"""One margin in a sentence: where it governs, demand, capacity, safety factor, and what is required."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.result import Margin
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import bed_named, capital, factor_words, quantity_words, required_words

__all__ = ["margin_sentence", "why_words"]

SUBJECT = {
    "bed friction": mark("friction"),
    "geometric factor": mark("wall width"),
    "strength": mark("strength"),
    "strength while building": mark("strength"),
    "wire tension": mark("wire"),
    "standing without wire": mark("the dome without its wire"),
    "combined factors": mark("the combination of partial factors"),
    "overall reserve": mark("the whole reserve"),
    "base sliding": mark("sliding on the ground"),
    "ground bearing": mark("pressure on the ground"),
}
"""What governs, where the check's own name is no noun to say it with."""


def margin_sentence(margin: Margin, dome: Dome) -> str:
    """The deciding line of one margin, in the units of the design."""
    bed = "" if margin.course is None else bed_named(dome, margin.course)
    if margin.why in ("none enough", "no line"):
        where = _(" through {bed}", bed=bed) if bed else ""
        return _("No thrust line exists{where}: {why}.", where=where, why=why_words(margin))
    said = _(
        "{subject} governs{at}: {found}; {required} is required.",
        subject=_(SUBJECT[margin.check]) if margin.check in SUBJECT else said_below(margin.check),
        at=_(" at {bed}", bed=bed) if bed else "",
        found=why_words(margin) if margin.factor is None else _found(margin, dome.design.unit_system),
        required=required_words(margin.required),
    )
    return capital(said)


JOINT = {
    "overall reserve": mark("friction, strength, wire and wall width"),
    "combined factors": mark("friction, strength and wire, each already divided by its partial factor,"),
    "standing without wire": mark("friction, strength and wall width"),
}
"""What these checks divide together."""


def _joint(capacities: str, factor: float, shown: str) -> str:
    if factor >= 1.0:
        return _("{capacities} can all be divided by {shown} at once", capacities=capacities, shown=shown)
    return _(
        "{capacities} would all have to be {times:.3g} times as large for a thrust line, a factor of {shown}",
        capacities=capacities,
        times=1 / factor,
        shown=shown,
    )


FOUND = {
    "bed friction": mark("the demand is {demand}, the bed has {capacity}, a safety factor of {factor}"),
    "wire tension": mark("the demand is {demand}, {capacity} is counted on, a safety factor of {factor}"),
    "base sliding": mark("the demand is {demand}, the ground has {capacity}, a safety factor of {factor}"),
    "ground bearing": mark("the stress is {demand}, the ground carries {capacity}, a factor of {factor}"),
}
STRESSED = mark("the stress is {demand}, the fill carries {capacity}, a factor of {factor}")
"""Demand, capacity and factor of each check; the last of those of strength."""


def _found(margin: Margin, system: str) -> str:
    """Demand, capacity and factor."""
    assert margin.factor is not None
    factor = factor_words(margin.factor, margin.required)
    demand, capacity = (
        "" if value is None else quantity_words(value, margin.unit, system)
        for value in (margin.needed, margin.available)
    )
    if margin.check == "geometric factor":
        return _(
            "a thrust line would still fit into beds {factor} times narrower, a geometric factor of {factor}",
            factor=factor,
        )
    if margin.check in JOINT:
        return _joint(_(JOINT[margin.check]), margin.factor, factor)
    if not (demand and capacity):
        return _("a safety factor of {factor}", factor=factor)
    return _(FOUND.get(margin.check, STRESSED), demand=demand, capacity=capacity, factor=factor)


NONE_ENOUGH = {
    "bed friction": mark("no friction is enough"),
    "geometric factor": mark("no thrust line stays on the beds"),
    "strength": mark("no multiple of this strength is enough"),
    "strength while building": mark("no multiple of this strength is enough"),
    "wire tension": mark("no tension of the wire is enough"),
}
NO_RESERVE = mark("no reserve: not even with more of everything")
NOTHING_NEEDED = {
    "bed friction": mark("there is no demand for friction"),
    "geometric factor": mark("over 100"),
    "strength": mark("there is next to no stress"),
    "strength while building": mark("there is next to no stress"),
    "wire tension": mark("it stands without wire"),
    "base sliding": mark("a line without sideways thrust at the base exists"),
}
WHY = {
    "no line": mark("no thrust line reaches the ground"),
    "not closed": mark("the search did not close: cannot say"),
    "": "",
}


def why_words(margin: Margin) -> str:
    """What stands in place of a factor, or beside it; "" where there is nothing to say."""
    if margin.why == "none enough":
        return _(NONE_ENOUGH.get(margin.check, NO_RESERVE))
    if margin.why == "nothing needed":
        return _(NOTHING_NEEDED.get(margin.check, "over 1000"))
    if margin.check == "ground bearing" and not margin.why:
        return _("edge stress for the middlemost line")
    return _(WHY[margin.why])
