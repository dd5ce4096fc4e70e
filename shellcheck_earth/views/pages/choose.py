"""What would make a design meet, in words: for the terminal, as pages and as data."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from typing import Any

from shellcheck_earth.basics.texts import wrapped
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.studies.choice import Amounts, Choice, Pair, Single
from shellcheck_earth.views.figures.choose import change_curves
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    bullets,
    caution,
    heading,
    paper_of,
    paragraph,
    picture,
    reviewed,
    small,
    table,
)
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.choose import (
    HELPS,
    NAMES,
    NO_HELP,
    NO_VERDICT,
    NOTES,
    PASTE,
    change_words,
    cost_words,
    doubted_words,
    limits_of_answer,
    no_pair_sentence,
    partial_words,
    paste_lines,
    present_sentence,
    reverse_sentence,
    strength_sentence,
    tried_sentence,
)
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import _, review_sentences, spoken
from shellcheck_earth.views.text.numbers import capital
from shellcheck_earth.views.text.scaffold import OTHERS, scaffold_paste, scaffold_sentences

__all__ = ["choice_document", "choice_json", "choice_lines"]

MOST_PAIRS = 12


def _words(choice: Choice, single: Single) -> str:
    """The change in the amount that is to be said."""
    assert single.amount is not None
    return change_words(choice.design, single.name, single.amount)


def _pair_words(choice: Choice, pair: Pair) -> tuple[str, ...]:
    return tuple(
        change_words(choice.design, name, amount) for name, amount in zip(pair.names, pair.amounts, strict=True)
    )


def _groups(choice: Choice) -> tuple[list[Single], list[Single], list[Single], list[Single]]:
    by = {
        key: [one for one in choice.singles if one.helps == key]
        for key in ("enough", "not enough", "no help", "cannot say")
    }
    return by["enough"], by["not enough"], by["no help"], by["cannot say"]


def _item(text: str, mark: str) -> list[str]:
    return wrapped(text, f"  {mark} ", "    ")


def _no_help(none: Sequence[Single]) -> str:
    return _(NO_HELP, changes=", ".join(_(NAMES[one.name]) for one in none))


def _takes(choice: Choice, cost: Amounts | None) -> str:
    return _("Fill, tube, wire, weight: {costs}", costs=", ".join(cost_words(choice, cost)))


def _change_lines(choice: Choice) -> Iterator[str]:
    """What is enough, what would be, what helps and what does not; then the pairs."""
    enough, part, none, unsure = _groups(choice)
    yield from ("", _("One change that is enough, at its least:") if enough else _("No single change is enough."))
    for one in enough:
        yield from _item(
            f"{_(NAMES[one.name])}: {_words(choice, one)}. {_takes(choice, one.cost)}. {_(NOTES[one.name])}", "+"
        )
    if unsure:
        yield from ("", _("Cannot say:"))
        for one in unsure:
            yield from _item(doubted_words(choice.design, one) + ".", "?")
    if part:
        yield from ("", *wrapped(_(HELPS)))
        for one in part:
            yield from _item(partial_words(choice.design, one), "~")
    if none:
        yield from ("", *wrapped(_no_help(none)))
    yield from ("", _("Two changes together:") if choice.pairs else no_pair_sentence(choice))
    for pair in choice.pairs[:MOST_PAIRS]:
        together = _(" and ").join(_pair_words(choice, pair))
        yield from _item(f"{together}. {_takes(choice, pair.cost)}", "+")


def _blocks_to_paste(choice: Choice) -> Iterator[list[str]]:
    """Every answer that is enough as lines of a design file: the scaffold, single changes, pairs."""
    if scaffold := scaffold_paste(choice):
        yield scaffold
    for one in _groups(choice)[0]:
        assert one.least is not None
        yield paste_lines(choice, (one.name,), (one.least,))
    for pair in choice.pairs[:MOST_PAIRS]:
        yield paste_lines(choice, pair.names, pair.amounts)


def _of_crew(choice: Choice) -> list[str]:
    """Up to which ring one person is held, and why nothing else was looked at where nothing was."""
    return [*scaffold_sentences(choice), *([_(OTHERS)] if choice.crew_alone and not choice.singles else [])]


def _tried(choice: Choice) -> list[str]:
    """How far each change was taken; [] where none was looked at."""
    return [tried_sentence()] if choice.singles else []


def choice_lines(choice: Choice) -> list[str]:
    """The answer for the terminal, cautions last."""
    out = wrapped(f"{choice.design.name}. {present_sentence(choice)}")
    for text in _of_crew(choice):
        out += ["", *wrapped(text)]
    if choice.singles:
        out += _change_lines(choice)
    blocks = list(_blocks_to_paste(choice))
    out += ["", *wrapped(_(PASTE))] if blocks else []
    for block in blocks:
        out += ["", *(f"    {line}" for line in block)]
    out += ["", *wrapped(strength_sentence(choice.design)), "", *wrapped(reverse_sentence(choice))]
    for text in (
        *limits_of_answer(choice),
        *_tried(choice),
        _(NO_VERDICT),
        f"{_('Caution.')} {_(ENGINEER)}",
        *review_sentences(),
    ):
        out += ["", *wrapped(text)]
    return out


def _single_table(choice: Choice, enough: list[Single]) -> Block:
    columns = [
        Column(_("Change"), right=False, share=1.2),
        Column(_("At least"), right=False, share=2.6),
        Column(_("Fill")),
        Column(_("Tube")),
        Column(_("Wire")),
        Column(_("Weight")),
    ]
    return table(
        columns,
        [[_(NAMES[one.name]), _words(choice, one), *cost_words(choice, one.cost)] for one in enough],
        _("One change that is enough"),
        8,
    )


def _pair_table(choice: Choice) -> Block:
    columns = [
        Column(_("One"), right=False, share=2.0),
        Column(_("and the other"), right=False, share=2.0),
        Column(_("Fill")),
        Column(_("Tube")),
        Column(_("Wire")),
        Column(_("Weight")),
    ]
    rows = [[*_pair_words(choice, pair), *cost_words(choice, pair.cost)] for pair in choice.pairs[:MOST_PAIRS]]
    return table(columns, rows, _("Two changes together, the smallest pairs first"), 7.5)


def choice_document(choice: Choice) -> Document:
    """One or two pages."""
    enough, part, none, unsure = _groups(choice)
    now = ", ".join(cost_words(choice, choice.cost))
    blocks: list[Block] = [
        heading(_("{name}: what would make it meet?", name=choice.design.name)),
        caution(_(ENGINEER)),
        *reviewed(),
        paragraph(present_sentence(choice)),
        paragraph(_("It takes now (fill, tube, wire, weight): {now}.", now=now)),
        paragraph(strength_sentence(choice.design)),
        *(paragraph(text) for text in (reverse_sentence(choice), *_of_crew(choice))),
    ]
    pictures = {}
    if choice.singles:
        blocks += [heading(_("One change at a time"), 2)]
        blocks += [_single_table(choice, enough)] if enough else [paragraph(_("No single change is enough."))]
        if unsure:
            blocks += [
                paragraph(_("Cannot say:")),
                bullets([doubted_words(choice.design, one) + "." for one in unsure]),
            ]
        if part:
            blocks += [
                paragraph(_(HELPS)),
                bullets([partial_words(choice.design, one) + "." for one in part]),
            ]
        if none:
            blocks += [paragraph(_no_help(none))]
        if any(len(one.curve) > 1 for one in choice.singles):
            pictures["curves.svg"] = change_curves(choice)
            blocks += [
                picture(
                    "curves.svg",
                    _("The worst margin against the amount of each change, with the line of what is required"),
                ),
                small(
                    _(
                        "Line: required; dashed: the least amount that is enough; crosses: cannot be built. Each"
                        " point is the worst margin of all counted cases."
                    )
                ),
            ]
        blocks += [heading(_("Two changes together"), 2)]
        blocks += [_pair_table(choice)] if choice.pairs else [paragraph(no_pair_sentence(choice))]
    named = {name for pair in choice.pairs for name in pair.names} | {one.name for one in enough}
    notes = [f"{capital(_(NAMES[one.name]))}: {_(NOTES[one.name])}" for one in choice.singles if one.name in named]
    blocks += [
        heading(_("To be known"), 2),
        bullets([*limits_of_answer(choice), *_tried(choice), _(NO_VERDICT), *notes]),
    ]
    name = choice.design.name
    return Document(
        title=_("{name}: what would make it meet?", name=name),
        footer=_("{name}. A calculation, not a permit: a licensed structural engineer must check it.", name=name),
        blocks=tuple(blocks),
        pictures=pictures,
        digest=design_sha256(choice.design),
        paper=paper_of(choice.design.unit_system),
        language=spoken().language,
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


def _scaffold_data(choice: Choice) -> dict[str, Any] | None:
    found, then = choice.scaffold, choice.with_scaffold
    if found is None:
        return None
    return {
        "words": " ".join(scaffold_sentences(choice)),
        "needed": found.needed,
        "highest_course": found.course if found.needed else found.asked[0].course,
        "above_floor_m": _number(found.above),
        "asked": [
            {
                "course": one.course,
                "share_of_required": _number(one.share),
                "at_least": one.at_least,
                "held": one.held,
            }
            for one in found.asked
        ],
        "answer_with_it": None if then is None else then.verdict,
        "to_paste": scaffold_paste(choice),
    }


def choice_json(choice: Choice) -> str:
    """Everything as data, SI numbers; moistures as fractions."""
    largest = choice.largest
    data = {
        "format": 1,
        "design": choice.design.name,
        "design_sha256": design_sha256(choice.design),
        "answer": choice.now.verdict,
        "why": doubt_sentence(choice.now.doubts[0]) if choice.now.doubts else "",
        "now": _cost_data(choice.cost),
        "strength": strength_sentence(choice.design),
        "worst": {
            "check": choice.now.least.check,
            "share_of_required": _number(choice.now.least.share),
            "case": choice.now.least.case_id,
        },
        "singles": [
            {
                "change": one.name,
                "outcome": one.helps,
                "words": "" if one.amount is None else _words(choice, one),
                "doubt": "" if one.doubt is None else doubt_sentence(one.doubt),
                "least": _number(one.least),
                "best": _number(one.best),
                "best_share_of_required": _number(one.best_share),
                "cost": _cost_data(one.cost),
                "to_paste": [] if one.least is None else paste_lines(choice, (one.name,), (one.least,)),
                "curve": [[_number(amount), _number(share)] for amount, share in one.curve],
            }
            for one in choice.singles
        ],
        "pairs": [
            {
                "changes": list(pair.names),
                "words": list(_pair_words(choice, pair)),
                "effort": _number(pair.effort),
                "cost": _cost_data(pair.cost),
                "to_paste": paste_lines(choice, pair.names, pair.amounts),
            }
            for pair in choice.pairs
        ],
        "scaffold": _scaffold_data(choice),
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
