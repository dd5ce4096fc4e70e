"""What would make a design meet, in words: for the terminal, as pages and as data."""

from __future__ import annotations

import json
import math
import textwrap
from typing import Any

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.safety.cautions import ENGINEER
from shellcheck_earth.studies.choose import Amounts, Choice, Single
from shellcheck_earth.studies.remedies import FARTHEST, MOST_STRANDS, SLOWEST, SMALLEST, WIDEST, WIDEST_CROWN
from shellcheck_earth.views.figures.choose import change_curves
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    bullets,
    caution,
    heading,
    paragraph,
    picture,
    small,
    table,
)
from shellcheck_earth.views.text.doubts import doubt_sentence

__all__ = ["choice_document", "choice_json", "choice_lines"]

WIDTH = 100

MOST_PAIRS = 12

NO_VERDICT = (
    "Asked of the ring-symmetric check, every stage and moisture. A changed design is a new design: write it into a"
    " file and run the command check on it before believing any of this; openings and sideways loads need the block"
    " model there."
)


def _tried() -> str:
    return (
        f"Tried: filled width up to {WIDEST:g} times the present, inside diameter down to {SMALLEST:g} times, pivot up"
        f" to {FARTHEST:g} diameters beyond the inner face, crown opening up to {WIDEST_CROWN:g} diameters, up to"
        f" {MOST_STRANDS} strands, down to {SLOWEST:g} courses a day."
    )


def _cost(choice: Choice, cost: Amounts | None) -> list[str]:
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


def _doubt(single: Single) -> str:
    return "" if single.doubt is None else doubt_sentence(single.doubt)


def _why(choice: Choice) -> str:
    return doubt_sentence(choice.now.doubts[0]) if choice.now.doubts else ""


def _present(choice: Choice) -> str:
    least = choice.now.least
    if choice.meets and choice.now.verdict == "meets":
        return "As it is, every margin of this design is met: nothing has to be changed."
    if choice.meets:
        return (
            "As it is, every margin looked at here is met, but whether the design meets what is asked for it cannot"
            f" say: {_why(choice).rstrip('.')}."
        )
    short = [margin.check for margin in choice.now.shortest if margin.known]
    unsettled = [margin.check for margin in choice.now.shortest if not margin.known]
    said = [f"it falls short in {', '.join(short)}"] if short else []
    said += [f"it cannot say for {', '.join(unsettled)}, where a search did not close"] if unsettled else []
    if short:
        said.append(
            f"the worst is {least.check} ({least.case_id}), "
            + (
                "where no thrust line is left"
                if least.share == 0.0
                else f"at {_share(least.share)} times what is asked for"
            )
        )
    return f"As it is, {'; '.join(said)}."


def _share(value: float) -> str:
    """Rounded down: what is short of 1 must not read as 1."""
    return "many" if math.isinf(value) else f"{math.floor(100 * value + 1e-9) / 100:.2f}"


def _reverse(choice: Choice) -> str:
    largest, system = choice.largest, choice.design.unit_system
    if largest is None:
        return "A measured profile has no diameter to vary: the largest diameter is not looked for."
    tried = both(largest.tried_to, "length", system)
    if largest.all_up_to is None or largest.largest is None:
        return f"With this tube, soil and shape no diameter up to {tried} meets every margin."
    reach = both(largest.all_up_to, "length", system)
    text = (
        f"The other way round: with this tube, soil and shape every inside diameter looked at up to {reach} meets every"
        " margin"
    )
    if largest.largest > largest.all_up_to:
        text += (
            f"; here and there one up to {both(largest.largest, 'length', system)} does too, as the number of courses"
            " jumps, but do not count on it"
        )
    return text + (f"; nothing larger than {tried} was looked at." if largest.capped else ".")


def _block_model(choice: Choice) -> list[str]:
    doubts = [doubt_sentence(one) for one in choice.doubts]
    if not choice.block_model:
        return doubts
    return [
        *doubts,
        (
            "This design also has openings, buttresses, snow or sideways loads: the block model of the command check"
            " must confirm every answer here."
        ),
    ]


def _groups(choice: Choice) -> tuple[list[Single], list[Single], list[Single], list[Single]]:
    by = {
        key: [one for one in choice.singles if one.helps == key]
        for key in ("enough", "not enough", "no help", "cannot say")
    }
    return by["enough"], by["not enough"], by["no help"], by["cannot say"]


def _part(single: Single) -> str:
    return (
        f"{single.name}: {single.words} brings the worst margin to {_share(single.best_share)} times what is asked for,"
        " no more"
    )


def _doubted(single: Single) -> str:
    return f"{single.name}: {single.words} would meet the margins, but {_doubt(single).rstrip('.')}"


NO_HELP = "No help to the worst margin alone, however far it was taken: "


def choice_lines(choice: Choice) -> list[str]:
    """The answer for the terminal, cautions last."""
    out = textwrap.wrap(f"{choice.design.name}. {_present(choice)}", WIDTH)
    enough, part, none, unsure = _groups(choice)
    if not choice.meets:
        out += ["", "One change that is enough, at its least:" if enough else "No single change is enough."]
        for one in enough:
            said = (
                f"{one.name}: {one.words}. Fill, tube, wire, weight: {', '.join(_cost(choice, one.cost))}. {one.note}"
            )
            out += textwrap.wrap(said, WIDTH, initial_indent="  + ", subsequent_indent="    ")
        if unsure:
            out += ["", "Cannot say:"]
            for one in unsure:
                out += textwrap.wrap(_doubted(one) + ".", WIDTH, initial_indent="  ? ", subsequent_indent="    ")
        if part:
            out += ["", "Helps, but is not enough however far it was taken:"]
            for one in part:
                out += textwrap.wrap(_part(one), WIDTH, initial_indent="  ~ ", subsequent_indent="    ")
        if none:
            out += ["", *textwrap.wrap(NO_HELP + ", ".join(one.name for one in none) + ".", WIDTH)]
        out += ["", "Two changes together:" if choice.pairs else "No pair of changes is enough where neither is alone."]
        for pair in choice.pairs[:MOST_PAIRS]:
            out += textwrap.wrap(
                f"{pair.words[0]} and {pair.words[1]}. Fill, tube, wire, weight: {', '.join(_cost(choice, pair.cost))}",
                WIDTH,
                initial_indent="  + ",
                subsequent_indent="    ",
            )
    out += ["", *textwrap.wrap(_reverse(choice), WIDTH)]
    for text in (*_block_model(choice), _tried(), NO_VERDICT, "Caution. " + ENGINEER):
        out += ["", *textwrap.wrap(text, WIDTH)]
    return out


def _single_table(choice: Choice, enough: list[Single]) -> Block:
    columns = [
        Column("Change", right=False, share=1.2),
        Column("At least", right=False, share=2.6),
        Column("Fill"),
        Column("Tube"),
        Column("Wire"),
        Column("Weight"),
    ]
    return table(
        columns, [[one.name, one.words, *_cost(choice, one.cost)] for one in enough], "One change that is enough", 8
    )


def _pair_table(choice: Choice) -> Block:
    columns = [
        Column("One", right=False, share=2.0),
        Column("and the other", right=False, share=2.0),
        Column("Fill"),
        Column("Tube"),
        Column("Wire"),
        Column("Weight"),
    ]
    rows = [[*pair.words, *_cost(choice, pair.cost)] for pair in choice.pairs[:MOST_PAIRS]]
    return table(columns, rows, "Two changes together, the smallest pairs first", 7.5)


def choice_document(choice: Choice) -> Document:
    """One or two pages."""
    enough, part, none, unsure = _groups(choice)
    now = ", ".join(_cost(choice, choice.cost))
    blocks: list[Block] = [
        heading(f"{choice.design.name}: what would make it meet?"),
        caution(ENGINEER),
        paragraph(_present(choice)),
        paragraph(f"It takes now (fill, tube, wire, weight): {now}."),
        paragraph(_reverse(choice)),
    ]
    pictures = {}
    if not choice.meets:
        blocks += [heading("One change at a time", 2)]
        blocks += [_single_table(choice, enough)] if enough else [paragraph("No single change is enough.")]
        if unsure:
            blocks += [paragraph("Cannot say:"), bullets([_doubted(one) + "." for one in unsure])]
        if part:
            blocks += [
                paragraph("Helps, but is not enough however far it was taken:"),
                bullets([_part(one) + "." for one in part]),
            ]
        if none:
            blocks += [paragraph(NO_HELP + ", ".join(one.name for one in none) + ".")]
        if any(len(one.curve) > 1 for one in choice.singles):
            pictures["curves.svg"] = change_curves(choice)
            blocks += [
                picture(
                    "curves.svg",
                    "The worst margin against the amount of each change, with the line of what is asked for",
                ),
                small(
                    "Line: asked for; dashed: the least amount that is enough; crosses: cannot be built. Each point is"
                    " the worst margin of all counted cases."
                ),
            ]
        blocks += [heading("Two changes together", 2)]
        blocks += (
            [_pair_table(choice)]
            if choice.pairs
            else [paragraph("No pair of changes is enough where neither is alone.")]
        )
    named = {name for pair in choice.pairs for name in pair.names} | {one.name for one in enough}
    notes = [f"{one.name[0].upper()}{one.name[1:]}: {one.note}" for one in choice.singles if one.name in named]
    blocks += [heading("To be known", 2), bullets([*_block_model(choice), _tried(), NO_VERDICT, *notes])]
    name = choice.design.name
    return Document(
        title=f"{name}: what would make it meet?",
        footer=f"{name}. A calculation, not a permit: a licensed structural engineer must check it.",
        blocks=tuple(blocks),
        pictures=pictures,
        paper="us-letter" if choice.design.unit_system == "imperial" else "a4",
    )


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(f"{value:.9g}")


def _cost_data(cost: Amounts | None) -> dict[str, Any] | None:
    if cost is None:
        return None
    return {
        "fill_m3": _number(cost.fill),
        "tube_length_m": _number(cost.tube),
        "wire_length_m": _number(cost.wire),
        "weight_kN": _number(cost.weight),
        "courses": cost.courses,
    }


def choice_json(choice: Choice) -> str:
    """Everything as data, SI numbers; moistures as fractions."""
    largest = choice.largest
    data = {
        "format": 1,
        "design": choice.design.name,
        "answer": choice.now.verdict,
        "why": _why(choice),
        "now": _cost_data(choice.cost),
        "worst": {
            "check": choice.now.least.check,
            "share_of_asked": _number(choice.now.least.share),
            "case": choice.now.least.case_id,
        },
        "singles": [
            {
                "change": one.name,
                "outcome": one.helps,
                "words": one.words,
                "doubt": _doubt(one),
                "least": _number(one.least),
                "best": _number(one.best),
                "best_share_of_asked": _number(one.best_share),
                "cost": _cost_data(one.cost),
                "curve": [[_number(amount), _number(share)] for amount, share in one.curve],
            }
            for one in choice.singles
        ],
        "pairs": [
            {
                "changes": list(pair.names),
                "words": list(pair.words),
                "effort": _number(pair.effort),
                "cost": _cost_data(pair.cost),
            }
            for pair in choice.pairs
        ],
        "largest_diameter": (
            None
            if largest is None
            else {
                "all_up_to_m": _number(largest.all_up_to),
                "largest_m": _number(largest.largest),
                "tried_to_m": _number(largest.tried_to),
            }
        ),
        "block_model_must_confirm": choice.block_model,
    }
    return json.dumps(data, indent=1) + "\n"
