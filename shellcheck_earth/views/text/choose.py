"""What would make a design meet, in sentences."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from typing import Any

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.studies.choice import Amounts, Choice, Single, written_changes
from shellcheck_earth.studies.remedies import (
    FARTHEST,
    MIX,
    MOST_STRANDS,
    SLOWEST,
    SMALLEST,
    WIDEST,
    WIDEST_CROWN,
    ChangeName,
)
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import lower

__all__ = [
    "HELPS",
    "NAMES",
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

NO_VERDICT = mark(
    "The ring-symmetric check answers here, for every stage and moisture; where a scaffold has to take the crew the"
    " block model does. A changed design is a new design: write it into a file and run the command check on it before"
    " believing any of this; openings, sideways loads and one person on one side of the top ring need the block model"
    " there."
)
PASTE = mark("To paste, each in place of the lines of that name in the design file; then run the command check on it.")
HELPS = mark("These help, but are not enough however far they are taken:")
NO_HELP = mark("These do not help the worst margin alone, however far they are taken: {changes}.")
RINGS_ALONE = mark("Of a diameter only rings are asked: nothing that needs blocks, nor one person on one side.")
NO_PAIR = mark("No pair of changes is enough where neither is enough alone.")

NAMES: Mapping[ChangeName, str] = {
    "smaller diameter": mark("smaller diameter"),
    "pivot farther out": mark("pivot farther out"),
    "wider crown opening": mark("wider crown opening"),
    "wider tube": mark("wider tube"),
    "stabilised fill": mark("stabilised fill"),
    "tested fill": mark("tested fill"),
    "drier fill": mark("drier fill"),
    "more wire": mark("more wire"),
    "slower pace": mark("slower pace"),
}
NOTES: Mapping[ChangeName, str] = {
    "smaller diameter": mark("A smaller room: two small domes may serve as well as a large one."),
    "pivot farther out": mark("A taller, more pointed dome with more courses."),
    "wider crown opening": (
        mark("It needs a ring to end on and a roof or skylight of its own; their weight is not counted here.")
    ),
    "wider tube": mark("More fill to carry for each metre."),
    "stabilised fill": (
        mark(
            "The strengths are assumed until samples of the mix are crushed; delay before tamping costs"
            " strength (Reddy & Prasanna Kumar 2011, abstract read)."
        )
    ),
    "tested fill": mark(
        "For tested fill a lower factor is required; it helps only if the tests confirm the strengths."
    ),
    "drier fill": (
        mark(
            "Strength is read from the design's own curve against moisture: tests must confirm it; fill"
            " that is too dry does not tamp."
        )
    ),
    "more wire": mark("Strands must be lapped and kept from rust to count."),
    "slower pace": mark("It counts only what dries between courses, in the cases that follow the calendar."),
}
"""What a builder has to know about each change (common practice, no source, unless it says otherwise)."""


STRAND = mark("{amount:.0f} strand of wire in each bed")
STRANDS = mark("{amount:.0f} strands of wire in each bed")
COURSE_A_DAY = mark("{amount:.3g} course a day")
COURSES_A_DAY = mark("{amount:.3g} courses a day")


def change_words(design: Design, name: ChangeName, amount: float) -> str:
    """One change by one amount."""

    def length(value: float) -> str:
        return both(value, "length", design.unit_system)

    flat = (math.pi / 2 - 1) * design.wall.course_height
    return {
        "smaller diameter": _("inside diameter {amount}", amount=length(amount)),
        "pivot farther out": _("fixed compass pivot {amount} beyond the inner face", amount=length(amount)),
        "wider crown opening": _("crown opening {amount}", amount=length(amount)),
        "wider tube": _(
            "filled width {amount} (empty tube about {flat} wide)", amount=length(amount), flat=length(amount + flat)
        ),
        "stabilised fill": _(
            "fill stabilised with {share} of cement, strengths taken from the assumed values", share=MIX
        ),
        "tested fill": _("the same strengths, confirmed by tests"),
        "drier fill": _("placed at {amount:.3g} % moisture", amount=100 * amount),
        "more wire": _(STRAND if amount == 1 else STRANDS, amount=amount),
        "slower pace": _(COURSE_A_DAY if amount <= 1 else COURSES_A_DAY, amount=amount),
    }[name]


def tried_sentence() -> str:
    """How far each change was taken."""
    return _(
        "Tried: filled width up to {widest:g} times the present one, inside diameter down to"
        " {smallest:g} times, pivot up to {farthest:g} diameters beyond the inner face, crown"
        " opening up to {crown:g} diameters, up to {strands} strands, down to"
        " {slowest:g} courses a day.",
        widest=WIDEST,
        smallest=SMALLEST,
        farthest=FARTHEST,
        crown=WIDEST_CROWN,
        strands=MOST_STRANDS,
        slowest=SLOWEST,
    )


def no_pair_sentence(choice: Choice) -> str:
    """Why there is no pair of changes."""
    return _(NO_PAIR) if choice.sought[0] else _("Pairs of changes were not looked for.")


STRENGTHS = {"strength_dry": mark("dry"), "strength_as_placed": mark("as placed"), "strength_wet": mark("wet")}


def strength_sentence(design: Design) -> str:
    """The strengths an answer counts on, and how each is known."""
    said, tested = [], True
    for key, words in STRENGTHS.items():
        value, basis = getattr(design.fill, key), design.basis(f"fill.{key}")
        said.append(f"{both(value, 'stress', design.unit_system)} {_(words)} ({said_below(basis)})")
        tested = tested and basis == "measured"
    own = _(" Courses with a fill of their own have their own.") if design.groups else ""
    ask = "" if tested else _(" What is not measured has not been tested: crush samples before you count on it.")
    return _("The strength of the fill counted on: {said}.{own}{ask}", said=", ".join(said), own=own, ask=ask)


def _toml(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_toml(each)}" for key, each in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False)


def paste_lines(choice: Choice, names: Sequence[ChangeName], amounts: Sequence[float]) -> list[str]:
    """One change or several as lines of a design file, to the digit as they were examined."""
    new, gone = written_changes(choice, names, amounts)
    said = (change_words(choice.design, name, amount) for name, amount in zip(names, amounts, strict=True))
    both_parts = _(" and ").join(said)
    out = [f"# {both_parts}"]
    for table in dict.fromkeys((*new, *gone)):
        out.append(f"[{table}]")
        out += [f"{key} = {_toml(value)}" for key, value in new.get(table, {}).items()]
        out += [_("# take out: {key}", key=key) for key in gone.get(table, {})]
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
    return _("many") if math.isinf(value) else f"{math.floor(100 * value + 1e-9) / 100:.2f}"


def present_sentence(choice: Choice) -> str:
    """How the design stands as it is."""
    least = choice.now.least
    if choice.meets and choice.now.verdict == "meets":
        return _("As it is, every margin of this design is met: nothing has to be changed.")
    if choice.meets:
        return _(
            "As it is, every margin examined here is met, but the check cannot say whether the design"
            " meets what is required: {doubt}.",
            doubt=lower(doubt_sentence(choice.now.doubts[0])).rstrip("."),
        )
    short = [said_below(margin.check) for margin in choice.now.shortest if margin.known]
    unsettled = [said_below(margin.check) for margin in choice.now.shortest if not margin.known]
    said = [_("it falls short in {short}", short=", ".join(short))] if short else []
    said += (
        [_("it cannot say for {unsettled}, where a search did not close", unsettled=", ".join(unsettled))]
        if unsettled
        else []
    )
    if short:
        worst = (
            _("where no thrust line is left")
            if least.share == 0.0
            else _("at {share} of what is required", share=share_words(least.share))
        )
        said.append(
            _("the worst is {check} ({case}), {worst}", check=said_below(least.check), case=least.case_id, worst=worst)
        )
    return _("As it is, {said}.", said="; ".join(said))


def reverse_sentence(choice: Choice) -> str:
    """The largest diameter that this tube and soil allow."""
    largest, system = choice.largest, choice.design.unit_system
    if not choice.sought[1]:
        return _("The largest diameter was not looked for.")
    if largest is None:
        return _("A measured profile has no diameter to vary: the largest diameter is not searched.")
    tried = both(largest.tried_to, "length", system)
    if largest.all_up_to is None or largest.largest is None:
        return _("With this tube, soil and shape no diameter up to {tried} meets every margin.", tried=tried)
    reach = both(largest.all_up_to, "length", system)
    text = _(
        "The other way round: with this tube, soil and shape every inside diameter examined up to"
        " {reach} meets every margin",
        reach=reach,
    )
    if largest.largest > largest.all_up_to:
        text += _(
            "; here and there one up to {largest} does too, as the number of courses jumps, but do not count on it",
            largest=both(largest.largest, "length", system),
        )
    text += _("; nothing larger than {tried} was examined.", tried=tried) if largest.capped else "."
    return f"{text} {_(RINGS_ALONE)}" if choice.block_model else text


def limits_of_answer(choice: Choice) -> list[str]:
    """What no answer here may rest on, and what the block model still has to confirm."""
    doubts = [doubt_sentence(doubt) for doubt in choice.doubts]
    if not choice.block_model:
        return doubts
    return [
        *doubts,
        (
            _(
                "This design also has openings, buttresses, snow, sideways loads or people on its rings: the block"
                " model of the command check must confirm every answer here."
            )
        ),
    ]


def partial_words(design: Design, single: Single) -> str:
    """A change that helps without being enough."""
    assert single.amount is not None
    said, reached = change_words(design, single.name, single.amount), share_words(single.best_share)
    return _(
        "{name}: {said} brings the worst margin to {reached} of what is required, no more",
        name=_(NAMES[single.name]),
        said=said,
        reached=reached,
    )


def doubted_words(design: Design, single: Single) -> str:
    """A change that would be enough if a value were measured."""
    assert single.amount is not None and single.doubt is not None
    said, doubt = change_words(design, single.name, single.amount), doubt_sentence(single.doubt)
    return _(
        "{name}: {said} would meet the margins, but {doubt}",
        name=_(NAMES[single.name]),
        said=said,
        doubt=doubt.rstrip("."),
    )
