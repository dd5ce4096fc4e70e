"""Why a design that falls short of nothing still gets no "meets", one sentence a reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.values import defaults
from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.assumptions import beyond_range
from shellcheck_earth.safety.result import Doubt, DoubtKind
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital

__all__ = ["beyond_range_doubts", "doubt_sentence", "doubt_sentences"]

STATE_IT = {
    "site.snow": 'snow = "0.5 kPa"',
    "site.wind_pressure": 'wind_pressure = "0.8 kPa"',
    "site.earthquake": "earthquake = 0.10",
}
"""The line to add to the design file for a load that it does not state."""


def _decided(path: str) -> bool:
    """Whether the builder or the site decides it, and no test."""
    row = defaults().get(path)
    return row is not None and bool(row.extra.get("decided"))


def doubt_sentence(doubt: Doubt) -> str:
    """What is missing or in doubt, and what would settle it."""
    key = doubt.path.partition(".")[2]
    none = f'{key} = {{ value = "none", reason = "..." }}'
    decided = doubt.kind == "past its range" and _decided(doubt.path)
    return _(
        PAST_AND_UNTESTABLE if decided else SAID[doubt.kind],
        path=doubt.path,
        value=said_below(doubt.value),
        bound=doubt.bound,
        named=said_below(doubt.path.rstrip(".")),
        line=STATE_IT.get(doubt.path, key),
        none=none,
    )


PAST_AND_UNTESTABLE = mark(
    "{path} is {value}, past the end of the range of such values, {bound}, and no test settles it: no verdict may rest"
    " on it."
)
SAID: Mapping[DoubtKind, str] = {
    "blocks rest on it": mark(
        "{path} was not measured. The block model was asked with {value} and not with {bound}, the bad end of its"
        " range: test it, or write the bad end into the design file."
    ),
    "load not stated": mark(
        "{path} is not stated: add a line such as {line}, or {none} with the reason why this site has none."
    ),
    "past its range": mark(
        "{path} is {value}, not measured, and past the end of the range of such values, {bound}: no verdict may rest on"
        " it until it is measured."
    ),
    "stabiliser not stated": mark(
        "{path} is {value}: strengths that were not measured are those of a mix with at least {bound} of stabiliser."
        " State how much goes into the mix, or test its strengths."
    ),
    "its range overturns": mark(
        "{path} was not measured, and at {value}, an end of its own range, the design falls short: test this first."
    ),
    "criteria lowered": mark(
        "The design file requires {value} for {named} where its set of criteria requires {bound}."
    ),
    "load without a row": mark(
        "{path} is stated, and no row of the set of factors that the design names has that load: the set is not whole."
    ),
    "ground of a row": mark(
        "The row {named} divides what the ground holds. Rows ask that of blocks, which this design does not need: say"
        " it in criteria.ground_bearing and criteria.base_sliding instead."
    ),
    "water against the wall": mark(
        "Water in the earth against the wall would press beside the earth, and is not in here: drain it, and say in"
        " {path} why no water can stand there."
    ),
    "earth shaken": mark("What an earthquake does to the earth against the wall is not in here."),
    "earth over an opening": mark(
        "The earth against the wall reaches what carries an opening ({path}), on which it is not computed: it has to"
        " end a course below where the head begins."
    ),
    "not established": mark("{path}: neither answer could be established ({value})."),
    "not proven": mark("Not proven either way: {named}."),
    "blocks not asked": mark(
        "Openings, loads from one side and one person on one side of the top ring need the block model: run the command"
        " check on this design."
    ),
    "blocks not established": mark("{path}: the block model could not establish an answer ({value})."),
    "proofs not asked": mark("No proofs were asked for, and nothing is said to meet without one."),
}
"""Each kind of doubt, in English; said with `_`."""


ONE_BY_ONE = 3
"""More doubts of one kind than this are said in one sentence."""

NAMED = 6
"""Of these, so many are named."""


def _together(doubts: Sequence[Doubt]) -> str:
    """Many doubts of one kind, which have only their number and their names to say."""
    names = "; ".join(said_below(doubt.path.rstrip(".")) for doubt in doubts[:NAMED])
    more = _("; and {count} more", count=len(doubts) - NAMED) if len(doubts) > NAMED else ""
    return f"{capital(_(TOGETHER[doubts[0].kind], count=len(doubts)))}: {names}{more}."


TOGETHER: Mapping[DoubtKind, str] = {
    "not established": mark("neither answer could be established for {count}"),
    "not proven": mark("not proven either way for {count}"),
    "blocks not established": mark("the block model could not establish an answer for {count}"),
}


def doubt_sentences(doubts: Sequence[Doubt]) -> list[str]:
    """Every doubt, most important first; those of one kind that are many and alike in one sentence."""
    kinds = {kind: [one for one in doubts if one.kind == kind] for kind in dict.fromkeys(one.kind for one in doubts)}
    out = []
    for kind, alike in kinds.items():
        many = len(alike) > ONE_BY_ONE and kind in TOGETHER
        out += [_together(alike)] if many else [doubt_sentence(one) for one in alike]
    return out


def beyond_range_doubts(design: Design) -> list[str]:
    """A sentence for each stated value that is past its range and was not measured."""
    return [doubt_sentence(Doubt("past its range", one.path, one.value, one.end)) for one in beyond_range(design)]
