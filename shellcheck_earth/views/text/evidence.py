"""Sentences on what was read, and on what was measured."""

from __future__ import annotations

import re

from shellcheck_earth.basics.evidence import Evidence
from shellcheck_earth.basics.measured import ARCH, measured
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital

__all__ = [
    "READ",
    "bearing_words",
    "known_words",
    "measured_sentence",
    "passage",
    "reading_words",
    "source_name",
    "value_name",
]

READ = mark(
    "The passages behind the numbers above in their own words, rows of a table side by side. Where a passage goes"
    " against a number, that stands here too; what is not listed was not read. Where each was"
    " found stands in the program's own basics/evidence.toml."
)

_KNOWN = {"memory": mark("recalled, to be confirmed by the engineer"), "abstract": mark("read, abstract only")}

_BEARS = {
    "prints": mark("prints it"),
    "brackets": mark("numbers around it"),
    "contradicts": mark("goes against it"),
}


def known_words(known: str) -> str:
    """How a value is known, as the report says it."""
    return _(_KNOWN[known]) if known in _KNOWN else said_below(known)


def bearing_words(one: Evidence) -> str:
    """What a passage says of its values."""
    return f"{capital(_(_BEARS[one.bears]))}: {said_below(one.says)}."


def passage(one: Evidence) -> str:
    """The words that were read, or what was noted from them."""
    return (
        f"\N{LEFT DOUBLE QUOTATION MARK}{one.quote}\N{RIGHT DOUBLE QUOTATION MARK}"
        if one.quote
        else _("Noted: {noted}.", noted=said_below(one.noted))
    )


def source_name(one: Evidence) -> str:
    """The source without the tables and remarks that its place says again."""
    return re.split(r"[:(]|,? (?:Tables?|Figures?|Fig\.|Annex) (?=[0-9A-Z])| A1\.2", one.source.text)[0].strip(" ,")


def value_name(key: str) -> str:
    """A key without the name of the set that it stands in: the report's criteria and rows of factors are of one set."""
    group, _, rest = key.partition(".")
    return rest.partition(".")[2] if group in ("criteria", "combination") else key


def reading_words(one: Evidence) -> str:
    """How and when it was read."""
    return f"{said_below(one.how)}, {one.read.isoformat()}"


def measured_sentence() -> str:
    """How many measured tests this method was held against."""
    count = len(measured())
    if not count:
        return _(
            "Validated by measurement: 0. No collapse test of a dome or of a dry wall of bags whose dimensions,"
            " friction and result could be read has been compared with this method. Of two arches of blocks that"
            " others built until they fell, as books and notes retell them, one fell at 0.57 of the sideways load that"
            " the block model holds, and one needed piers a seventh thicker: real joints hold less than drawn ones. A"
            " bench protocol that a workshop can follow ({arch}, corbelled ring, two-course pull, wire, cubes) is kept"
            " with the validation.",
            arch=said_below(ARCH),
        )
    return _(
        "Validated by measurement: {count} tests, each with the scatter of its readings, in validation/RESULTS.md.",
        count=count,
    )
