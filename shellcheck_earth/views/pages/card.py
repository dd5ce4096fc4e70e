"""The build card: one page, A4 or Letter whatever the units, nothing under 10 pt."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.settings import Setting
from shellcheck_earth.studies.survey.tolerance import Tolerance
from shellcheck_earth.views.figures.card import card_drawing
from shellcheck_earth.views.render.pdf import card_pdf
from shellcheck_earth.views.text.card import (
    CARD_CAUTION,
    card_heads,
    card_lines,
    card_subtitle,
    card_title,
    card_words,
    two_pages,
)
from shellcheck_earth.views.text.language import REVIEW, Words
from shellcheck_earth.views.text.survey.lengths import chain, height_change, tolerance_words

__all__ = ["Card", "Paper", "build_card"]

Paper = Literal["a4", "us-letter"]

HEIGHTS: Mapping[Paper, float] = {"a4": 277.0, "us-letter": 259.0}
"""Room between the margins [mm]."""

LEAST, MOST = 32.0, 118.0
"""Least and greatest height of the drawing [mm]."""

FRAME, LINE, LETTERS = 30.0, 4.9, 90
"""Room of title, head of the table and gaps [mm]; of a line of words [mm]; letters in a line, counted low."""

ROWS, INSETS = (5.25, 4.55), (2.3, 1.3)
"""Height of one line of the table [mm], and the room above and under its words [pt]: as a rule, and where many courses
are to come."""


@dataclass(frozen=True)
class Card:
    """What the card shows: the dome as planned, settings of the courses to come, how far each may stand off; `laid`:
    number of the top course that stands (0: none above the springing)."""

    dome: Dome
    table: tuple[Setting, ...]
    tolerances: Mapping[int, Tolerance]
    laid: int = 0
    day: date | None = None


def _rows(card: Card) -> list[list[str]]:
    """Top course first, as on the wall."""
    system = card.dome.design.unit_system
    return [
        [
            str(one.number),
            chain(one.height, system),
            chain(one.compass, system),
            height_change(one, system),
            *tolerance_words(card.tolerances.get(one.number), system),
            "[]",
            "",
            "",
        ]
        for one in reversed(card.table)
    ]


def _column(index: int, title: str) -> Mapping[str, Any]:
    """Columns are as wide as their figures: long heads go on two lines. Those for what was built share the rest."""
    head = title if len(title) < 11 else "\n".join(title.rsplit(" ", 1))
    return {"title": head, "right": 1 <= index <= 5, "blank": index > 6, "share": 1.0 if index > 6 else 0.0}


def build_card(card: Card, paper: Paper, _: Words) -> bytes:
    """The PDF: both chains, then one line a course: height, setting, tolerance, a box, room for what was built.

    Parameters
    ----------
    card
        Settings of the courses to come [m].
    paper
        "a4" or "us-letter".
    """
    imperial = card.dome.design.unit_system == "imperial"
    rows = _rows(card)
    lines: Sequence[str] = card_lines(card.dome, _, tolerated=bool(card.tolerances))
    if _.language != "en":
        lines = [*lines, _(REVIEW)]
    words = [card_title(card.dome, card.day, _), card_subtitle(_), *lines, _("Caution.") + " " + _(CARD_CAUTION)]
    left = HEIGHTS[paper] - FRAME - LINE * sum(len(text) // LETTERS + 1 for text in words)
    tight = left - ROWS[0] * len(rows) < LEAST
    if left - ROWS[1] * len(rows) < LEAST:
        lines = [two_pages(_), *lines]
    drawn = min(max(left - ROWS[tight] * len(rows), LEAST), MOST)
    return card_pdf(
        {
            "title": card_title(card.dome, card.day, _),
            "subtitle": card_subtitle(_),
            "author": "",
            "keywords": [f"design_sha256:{design_sha256(card.dome.design)}"],
            "paper": paper,
            "language": _.language,
            "picture": "card.svg",
            "alt": card_words(card.dome, _).described,
            "columns": [_column(i, head) for i, head in enumerate(card_heads(imperial, _))],
            "key": 2,
            "rows": rows,
            "inset": INSETS[tight],
            "lines": lines,
            "caution_title": _("Caution."),
            "caution": _(CARD_CAUTION),
        },
        {"card.svg": card_drawing(card.dome, card.table, card_words(card.dome, _), drawn, card.laid)},
    )
