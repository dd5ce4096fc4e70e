"""Why a design that falls short of nothing still gets no "meets", one sentence a reason."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.basics.values import defaults
from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.assumptions import beyond_range
from shellcheck_earth.safety.result import Doubt
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
    return {
        "load not stated": (
            f"{doubt.path} is not stated: add a line such as {STATE_IT.get(doubt.path, key)}, or {none} with the reason"
            " why this site has none."
        ),
        "past its range": (
            f"{doubt.path} is {doubt.value}, past the end of the range of such values, {doubt.bound}, and no test"
            " settles it: no verdict may rest on it."
            if _decided(doubt.path)
            else f"{doubt.path} is {doubt.value}, not measured, and past the end of the range of such values,"
            f" {doubt.bound}: no verdict may rest on it until it is measured."
        ),
        "its range overturns": (
            f"{doubt.path} was not measured, and at {doubt.value}, an end of its own range, the design falls short:"
            " test this first."
        ),
        "criteria lowered": (
            f"The design file requires {doubt.value} for {doubt.path} where its set of criteria requires {doubt.bound}."
        ),
        "earth pressure": "The floor lies below the ground outside: the earth that presses on the wall is not in here.",
        "not established": f"{doubt.path}: neither answer could be established ({doubt.value}).",
        "not proven": f"Not proven either way: {doubt.path.rstrip('.')}.",
        "blocks not asked": (
            "Openings and loads from one side need the block model: run the command check on this design."
        ),
        "blocks not established": f"{doubt.path}: the block model could not establish an answer ({doubt.value}).",
        "proofs not asked": "No proofs were asked for, and nothing is said to meet without one.",
    }[doubt.kind]


ONE_BY_ONE = 3
"""More doubts of one kind than this are said in one sentence."""

NAMED = 6
"""Of these, so many are named."""


def _together(doubts: Sequence[Doubt]) -> str:
    """Many doubts of one kind, which have only their number and their names to say."""
    names = "; ".join(doubt.path.rstrip(".") for doubt in doubts[:NAMED])
    more = f"; and {len(doubts) - NAMED} more" if len(doubts) > NAMED else ""
    said = {
        "not established": "neither answer could be established for",
        "not proven": "not proven either way for",
        "blocks not established": "the block model could not establish an answer for",
    }[doubts[0].kind]
    return f"{capital(said)} {len(doubts)}: {names}{more}."


def doubt_sentences(doubts: Sequence[Doubt]) -> list[str]:
    """Every doubt, most important first; those of one kind that are many and alike in one sentence."""
    kinds = {kind: [one for one in doubts if one.kind == kind] for kind in dict.fromkeys(one.kind for one in doubts)}
    out = []
    for kind, alike in kinds.items():
        many = len(alike) > ONE_BY_ONE and kind in ("not established", "not proven", "blocks not established")
        out += [_together(alike)] if many else [doubt_sentence(one) for one in alike]
    return out


def beyond_range_doubts(design: Design) -> list[str]:
    """A sentence for each stated value that is past its range and was not measured."""
    return [doubt_sentence(Doubt("past its range", one.path, one.value, one.end)) for one in beyond_range(design)]
