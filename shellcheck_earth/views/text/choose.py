"""What would make a design meet, in sentences."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.studies.choose import Amounts, Choice, Single, written_changes
from shellcheck_earth.studies.remedies import (
    FARTHEST,
    MOST_STRANDS,
    SLOWEST,
    SMALLEST,
    WIDEST,
    WIDEST_CROWN,
    ChangeName,
)
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.numbers import lower

__all__ = [
    "HELPS",
    "NOTES",
    "NO_HELP",
    "NO_VERDICT",
    "PASTE",
    "change_words",
    "cost_words",
    "doubted_words",
    "limits_of_answer",
    "no_pair_sentence",
    "partial_words",
    "paste_lines",
    "present_sentence",
    "reverse_sentence",
    "share_words",
    "strength_sentence",
    "tried_sentence",
]

NO_VERDICT = (
    "The ring-symmetric check answers here, for every stage and moisture. A changed design is a new design: write it"
    " into a file and run the command check on it before believing any of this; openings and sideways loads need the"
    " block model there."
)
PASTE = "To paste, each in place of the lines of that name in the design file; then run the command check on it."
HELPS = "These help, but are not enough however far they are taken:"
NO_HELP = "These do not help the worst margin alone, however far they are taken: "
NO_PAIR = "No pair of changes is enough where neither is enough alone."

NOTES: Mapping[ChangeName, str] = {
    "smaller diameter": "A smaller room: two small domes may serve as well as a large one.",
    "pivot farther out": "A taller, more pointed dome with more courses.",
    "wider crown opening": (
        "It needs a ring to end on and a roof or skylight of its own; their weight is not counted here."
    ),
    "wider tube": "More fill to carry for each metre.",
    "stabilised fill": (
        "The strengths are assumed until samples of the mix are crushed; delay before tamping costs strength (Reddy &"
        " Prasanna Kumar 2011, abstract read)."
    ),
    "tested fill": "For tested fill a lower factor is required; it helps only if the tests confirm the strengths.",
    "drier fill": (
        "Strength is read from the design's own curve against moisture: tests must confirm it; fill that is too dry"
        " does not tamp."
    ),
    "more wire": "Strands must be lapped and kept from rust to count.",
    "slower pace": "It counts only what dries between courses, in the cases that follow the calendar.",
}
"""What a builder has to know about each change (common practice, no source, unless it says otherwise)."""


def change_words(design: Design, name: ChangeName, amount: float) -> str:
    """One change by one amount."""

    def length(value: float) -> str:
        return both(value, "length", design.unit_system)

    flat = (math.pi / 2 - 1) * design.wall.course_height
    return {
        "smaller diameter": f"inside diameter {length(amount)}",
        "pivot farther out": f"fixed compass pivot {length(amount)} beyond the inner face",
        "wider crown opening": f"crown opening {length(amount)}",
        "wider tube": f"filled width {length(amount)} (empty tube about {length(amount + flat)} wide)",
        "stabilised fill": "fill stabilised with 6 % of cement, strengths taken from the assumed values",
        "tested fill": "the same strengths, confirmed by tests",
        "drier fill": f"placed at {100 * amount:.3g} % moisture",
        "more wire": f"{amount:.0f} {'strand' if amount == 1 else 'strands'} of wire in each bed",
        "slower pace": f"{amount:.3g} {'course' if amount <= 1 else 'courses'} a day",
    }[name]


def tried_sentence() -> str:
    """How far each change was taken."""
    return (
        f"Tried: filled width up to {WIDEST:g} times the present one, inside diameter down to {SMALLEST:g} times, pivot"
        f" up to {FARTHEST:g} diameters beyond the inner face, crown opening up to {WIDEST_CROWN:g} diameters, up to"
        f" {MOST_STRANDS} strands, down to {SLOWEST:g} courses a day."
    )


def no_pair_sentence(choice: Choice) -> str:
    """Why there is no pair of changes."""
    return NO_PAIR if choice.sought[0] else "Pairs of changes were not looked for."


def strength_sentence(design: Design) -> str:
    """The strengths an answer counts on, and how each is known."""
    said = []
    for key, words in (("strength_dry", "dry"), ("strength_as_placed", "as placed"), ("strength_wet", "wet")):
        value, basis = getattr(design.fill, key), design.basis(f"fill.{key}")
        said.append(f"{both(value, 'stress', design.unit_system)} {words} ({basis})")
    own = " Courses with a fill of their own have their own." if design.groups else ""
    tested = all("(measured)" in one for one in said)
    ask = "" if tested else " What is not measured has not been tested: crush samples before you count on it."
    return f"The strength of the fill counted on: {', '.join(said)}.{own}{ask}"


def _toml(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_toml(each)}" for key, each in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False)


def paste_lines(choice: Choice, names: Sequence[ChangeName], amounts: Sequence[float]) -> list[str]:
    """One change or several as lines of a design file, to the digit as they were examined."""
    new, gone = written_changes(choice, names, amounts)
    said = (change_words(choice.design, name, amount) for name, amount in zip(names, amounts, strict=True))
    out = [f"# {' and '.join(said)}"]
    for table in dict.fromkeys((*new, *gone)):
        out.append(f"[{table}]")
        out += [f"{key} = {_toml(value)}" for key, value in new.get(table, {}).items()]
        out += [f"# take out: {key}" for key in gone.get(table, {})]
    return out


def cost_words(choice: Choice, cost: Amounts | None) -> list[str]:
    """Fill, tube, wire and weight, with the change against the present design."""
    if cost is None:
        return ["-"] * 4
    now, system = choice.cost, choice.design.unit_system

    def one(new: float, old: float, dimension: Any) -> str:
        change = 0.0 if old == 0 else 100 * (new - old) / old
        text = format_quantity(new, dimension, system)
        return f"{text} ({change:+.0f} %)" if abs(change) >= 0.5 else text

    return [
        one(cost.fill, now.fill, "volume"),
        one(cost.tube, now.tube, "length"),
        one(cost.wire, now.wire, "length"),
        one(cost.weight, now.weight, "force"),
    ]


def share_words(value: float) -> str:
    """A share of what is required, rounded down: what is short of 1 must not read as 1."""
    return "many" if math.isinf(value) else f"{math.floor(100 * value + 1e-9) / 100:.2f}"


def present_sentence(choice: Choice) -> str:
    """How the design stands as it is."""
    least = choice.now.least
    if choice.meets and choice.now.verdict == "meets":
        return "As it is, every margin of this design is met: nothing has to be changed."
    if choice.meets:
        return (
            "As it is, every margin examined here is met, but the check cannot say whether the design meets what is"
            f" required: {lower(doubt_sentence(choice.now.doubts[0])).rstrip('.')}."
        )
    short = [margin.check for margin in choice.now.shortest if margin.known]
    unsettled = [margin.check for margin in choice.now.shortest if not margin.known]
    said = [f"it falls short in {', '.join(short)}"] if short else []
    said += [f"it cannot say for {', '.join(unsettled)}, where a search did not close"] if unsettled else []
    if short:
        worst = (
            "where no thrust line is left"
            if least.share == 0.0
            else f"at {share_words(least.share)} of what is required"
        )
        said.append(f"the worst is {least.check} ({least.case_id}), {worst}")
    return f"As it is, {'; '.join(said)}."


def reverse_sentence(choice: Choice) -> str:
    """The largest diameter that this tube and soil allow."""
    largest, system = choice.largest, choice.design.unit_system
    if not choice.sought[1]:
        return "The largest diameter was not looked for."
    if largest is None:
        return "A measured profile has no diameter to vary: the largest diameter is not searched."
    tried = both(largest.tried_to, "length", system)
    if largest.all_up_to is None or largest.largest is None:
        return f"With this tube, soil and shape no diameter up to {tried} meets every margin."
    reach = both(largest.all_up_to, "length", system)
    text = (
        f"The other way round: with this tube, soil and shape every inside diameter examined up to {reach} meets every"
        " margin"
    )
    if largest.largest > largest.all_up_to:
        text += (
            f"; here and there one up to {both(largest.largest, 'length', system)} does too, as the number of courses"
            " jumps, but do not count on it"
        )
    return text + (f"; nothing larger than {tried} was examined." if largest.capped else ".")


def limits_of_answer(choice: Choice) -> list[str]:
    """What no answer here may rest on, and what the block model still has to confirm."""
    doubts = [doubt_sentence(doubt) for doubt in choice.doubts]
    if not choice.block_model:
        return doubts
    return [
        *doubts,
        (
            "This design also has openings, buttresses, snow or sideways loads: the block model of the command check"
            " must confirm every answer here."
        ),
    ]


def partial_words(design: Design, single: Single) -> str:
    """A change that helps without being enough."""
    assert single.amount is not None
    said, reached = change_words(design, single.name, single.amount), share_words(single.best_share)
    return f"{single.name}: {said} brings the worst margin to {reached} of what is required, no more"


def doubted_words(design: Design, single: Single) -> str:
    """A change that would be enough if a value were measured."""
    assert single.amount is not None and single.doubt is not None
    said, doubt = change_words(design, single.name, single.amount), doubt_sentence(single.doubt)
    return f"{single.name}: {said} would meet the margins, but {doubt.rstrip('.')}"
