"""One margin in a sentence: where it governs, demand, capacity, safety factor, and what is required."""

from __future__ import annotations

from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.safety.result import Margin
from shellcheck_earth.views.text.numbers import bed_named, capital, factor_words, quantity_words, required_words

__all__ = ["margin_sentence", "why_words"]

SUBJECT = {
    "bed friction": "friction",
    "geometric factor": "wall width",
    "strength while building": "strength",
    "wire tension": "wire",
    "standing without wire": "the dome without its wire",
    "combined factors": "the combination of partial factors",
    "overall reserve": "the whole reserve",
    "base sliding": "sliding on the ground",
    "ground bearing": "pressure on the ground",
}
"""What governs, where the check's own name is no noun to say it with."""


def margin_sentence(margin: Margin, dome: Dome) -> str:
    """The deciding line of one margin, in the units of the design."""
    subject = capital(SUBJECT.get(margin.check, margin.check))
    at = "" if margin.course is None else f" at {bed_named(dome, margin.course)}"
    if margin.why in ("none enough", "no line"):
        where = "" if margin.course is None else f" through {bed_named(dome, margin.course)}"
        return f"No thrust line exists{where}: {why_words(margin)}."
    if margin.factor is None:
        return f"{subject} governs{at}: {why_words(margin)}; {_required(margin)}"
    return f"{subject} governs{at}: {_found(margin, dome.design.unit_system)}; {_required(margin)}"


JOINT = {
    "overall reserve": "friction, strength, wire and wall width",
    "combined factors": "friction, strength and wire, each already divided by its partial factor,",
    "standing without wire": "friction, strength and wall width",
}
"""What these checks divide together."""


def _joint(capacities: str, factor: float, shown: str) -> str:
    if factor >= 1.0:
        return f"{capacities} can all be divided by {shown} at once"
    return f"{capacities} would all have to be {1 / factor:.3g} times as large for a thrust line, a factor of {shown}"


def _required(margin: Margin) -> str:
    return f"{required_words(margin.required)} is required."


def _found(margin: Margin, system: str) -> str:
    """Demand, capacity and factor."""
    assert margin.factor is not None
    factor = factor_words(margin.factor, margin.required)
    demand, capacity = (
        "" if value is None else quantity_words(value, margin.unit, system)
        for value in (margin.needed, margin.available)
    )
    if margin.check == "geometric factor":
        return f"a thrust line would still fit into beds {factor} times narrower, a geometric factor of {factor}"
    if margin.check in JOINT:
        return _joint(JOINT[margin.check], margin.factor, factor)
    if not (demand and capacity):
        return f"a safety factor of {factor}"
    return {
        "bed friction": f"the demand is {demand}, the bed has {capacity}, a safety factor of {factor}",
        "wire tension": f"the demand is {demand}, {capacity} is counted on, a safety factor of {factor}",
        "base sliding": f"the demand is {demand}, the ground has {capacity}, a safety factor of {factor}",
        "ground bearing": f"the stress is {demand}, the ground carries {capacity}, a factor of {factor}",
    }.get(margin.check, f"the stress is {demand}, the fill carries {capacity}, a factor of {factor}")


NONE_ENOUGH = {
    "bed friction": "no friction is enough",
    "geometric factor": "no thrust line stays on the beds",
    "strength": "no multiple of this strength is enough",
    "strength while building": "no multiple of this strength is enough",
    "wire tension": "no tension of the wire is enough",
}
NOTHING_NEEDED = {
    "bed friction": "there is no demand for friction",
    "geometric factor": "over 100",
    "strength": "there is next to no stress",
    "strength while building": "there is next to no stress",
    "wire tension": "it stands without wire",
    "base sliding": "a line without sideways thrust at the base exists",
}


def why_words(margin: Margin) -> str:
    """What stands in place of a factor, or beside it; "" where there is nothing to say."""
    if margin.why == "none enough":
        return NONE_ENOUGH.get(margin.check, "no reserve: not even with more of everything")
    if margin.why == "nothing needed":
        return NOTHING_NEEDED.get(margin.check, "over 1000")
    if margin.check == "ground bearing" and not margin.why:
        return "edge stress for the middlemost line"
    return {
        "no line": "no thrust line reaches the ground",
        "not closed": "the search did not close: cannot say",
        "": "",
    }[margin.why]
