"""What a notebook shows of a design and of a result: the same words, marks and drawing as the report."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.texts import clean
from shellcheck_earth.basics.units import UNITS, Dimension, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import CaseResult, Margin, Result
from shellcheck_earth.views.figures.section import design_svg, section_svg
from shellcheck_earth.views.render.terminal import MARKS
from shellcheck_earth.views.text.cautions import ENGINEER, caution_sentence
from shellcheck_earth.views.text.doubts import doubt_sentences
from shellcheck_earth.views.text.margins import why_words
from shellcheck_earth.views.text.verdict import VERDICT_WORDS, deciding_line, headline

__all__ = ["design_picture", "result_html"]

HEADS = ("check", "case", "at", "capacity", "demand", "factor", "required", "outcome")
MOST_DOUBTS = 6
"""Reasons for "cannot say" that are shown; the report has them all."""

LEFT = ' style="text-align:left"'


def design_picture(design: Design) -> str | None:
    """The section of a design as SVG; None where no such dome can be built, so that the notebook shows its text."""
    try:
        return design_svg(design)
    except InputError:
        return None


def _said(text: str) -> str:
    return escape(clean(text))


def _paragraph(text: str, head: str = "") -> str:
    bold = f"<strong>{_said(head)}</strong> " if head else ""
    return f"<p>{bold}{_said(text)}</p>"


def _quantity(value: float | None, unit: str, system: str) -> str:
    if value is None:
        return "-"
    dimension: Dimension | None = {"kPa": "stress", "kN": "force", "m": "length"}.get(unit)  # type: ignore[assignment]
    if dimension is None or unit not in UNITS[dimension]:
        return f"{value:.3g} {unit}".strip()
    return format_quantity(value, dimension, system)


def _outcome(meets: bool | None) -> str:
    return "cannot say" if meets is None else "meets" if meets else "falls short"


def _margin_row(case: CaseResult, margin: Margin, system: str) -> tuple[str, ...]:
    check = f"{margin.check} ({margin.combination})" if margin.combination else margin.check
    return (
        check,
        case.title,
        "-" if margin.course is None else f"bed under course {margin.course}",
        _quantity(margin.available, margin.unit, system),
        _quantity(margin.needed, margin.unit, system),
        why_words(margin) or "-" if margin.factor is None else f"{margin.factor:.3g}",
        f"{margin.required:.3g}",
        _outcome(margin.meets),
    )


def _block_row(one: BlockResult) -> tuple[str, ...]:
    relied = "-" if one.relied is None else f"{'at least ' if one.at_least else ''}{one.relied:.3g}"
    outcome = _outcome(None if one.status == "cannot say" else one.meets)
    return (one.criterion, f"blocks: {one.title}", "-", "-", "-", relied, f"{one.required:.3g}", outcome)


def _table(rows: Iterable[tuple[str, ...]]) -> str:
    head = "".join(f"<th{LEFT}>{name}</th>" for name in HEADS)
    body = "".join(f"<tr>{''.join(f'<td{LEFT}>{_said(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def result_html(result: Result) -> str:
    """A result as HTML: mark and verdict in words, caution, section, and the margin of each check that governs."""
    system, verdict = result.design.unit_system, result.verdict
    parts = [
        _paragraph(headline(result)),
        _paragraph(deciding_line(result), f"{MARKS[verdict]} {VERDICT_WORDS[verdict]}."),
        _paragraph(ENGINEER, "Caution."),
    ]
    doubts = doubt_sentences(result.doubts) if verdict == "cannot say" else []
    parts += [_paragraph(said, "In doubt.") for said in doubts[:MOST_DOUBTS]]
    if len(doubts) > MOST_DOUBTS:
        parts.append(_paragraph(f"{len(doubts) - MOST_DOUBTS} more reasons are in result.doubts."))
    rows = [_margin_row(case, margin, system) for case, margin in result.governing().values()]
    rows += [_block_row(one) for one in result.blocks]
    others = (caution_sentence(one) for one in result.cautions if one.key != "engineer")
    more = "".join(f"<li>{_said(text)}</li>" for text in others)
    parts += [section_svg(result), _table(rows), f"<p><strong>Cautions.</strong></p><ul>{more}</ul>"]
    return f'<div class="shellcheck-earth">{"".join(parts)}</div>'
