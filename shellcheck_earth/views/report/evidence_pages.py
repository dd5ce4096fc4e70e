"""What was read behind the numbers that the report prints, and what was measured."""

from __future__ import annotations

from collections.abc import Iterator

from shellcheck_earth.basics.evidence import backing
from shellcheck_earth.basics.values import combination_rows, criteria_set, sourced_values
from shellcheck_earth.safety.result import Assumption, Result
from shellcheck_earth.views.report.layout import Block, Column, heading, paragraph, table
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.evidence import (
    READ,
    bearing_words,
    measured_sentence,
    passage,
    reading_words,
    source_name,
    value_name,
)
from shellcheck_earth.views.text.language import _

__all__ = ["evidence_blocks", "printed_keys"]


def _key_of(assumption: Assumption) -> str | None:
    """The key of the value behind an assumed input: its own path, or its circumstance's (``beds.wired.friction``)."""
    group, leaf = assumption.path.split(".")[0], assumption.path.rsplit(".", 1)[-1]
    for key, row in sourced_values().items():
        same = key.split(".")[0] == group and key.rsplit(".", 1)[-1] == leaf
        if same and assumption.source.startswith(row.source.text) and row.note in assumption.source:
            return key
    return None


def printed_keys(assessment: Result) -> tuple[str, ...]:
    """Keys of the values that the report prints: fixed numbers, assumed inputs, criteria and rows of factors."""

    def found() -> Iterator[str]:
        yield from (one.key for one in assessment.fixed)
        yield from (key for one in assessment.assumptions if one.basis == "assumed" and (key := _key_of(one)))
        criteria = assessment.design.criteria
        said = {*criteria.overridden, *(one.check for one in (criteria.own_set.required if criteria.own_set else ()))}
        yield from (row.key for check, row in criteria_set(criteria.set_name).items() if check not in said)
        yield from (row.key for row in combination_rows(criteria.set_name))

    return tuple(dict.fromkeys(found()))


def evidence_blocks(assessment: Result) -> list[Block]:
    """The passages that bear on a printed number, and how many tests were measured."""
    keys = printed_keys(assessment)
    columns = [
        Column(_("Source and place"), right=False, share=1.6),
        Column(_("Words read"), right=False, share=2.6),
        Column(_("Of"), right=False, share=1.7),
        Column(_("What it says of it"), right=False, share=2.1),
        Column(_("How and when"), right=False, share=0.9),
    ]
    rows = [
        [
            f"{source_name(one)}. {said_below(one.place)}",
            passage(one),
            ", ".join(said_below(value_name(key)) for key in one.values if key in keys),
            bearing_words(one),
            reading_words(one),
        ]
        for one in backing(keys)
    ]
    return [
        heading(_("What was read")),
        paragraph(_(READ)),
        table(columns, rows, _("Passages behind the numbers"), 7.5),
        heading(_("What was measured"), 2),
        paragraph(measured_sentence()),
    ]
