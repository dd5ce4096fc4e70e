"""A survey on the screen, as pages, as a table of settings and as data."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from shellcheck_earth.basics.texts import wrapped
from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.settings import Setting, settings
from shellcheck_earth.safety.result import Result
from shellcheck_earth.studies.survey.answer import least_of
from shellcheck_earth.studies.survey.survey import SurveyAnswer
from shellcheck_earth.views.export.sheets import plain
from shellcheck_earth.views.figures.survey import WIDTH, off_curve_drawing, wall_drawing
from shellcheck_earth.views.pages.card import Card, Paper, build_card
from shellcheck_earth.views.render.pdf import room_left
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    bullets,
    caution,
    heading,
    page_break,
    paragraph,
    picture,
    small,
    table,
)
from shellcheck_earth.views.text.language import REVIEW, Words, speaking
from shellcheck_earth.views.text.survey.answer import (
    ANSWERS,
    CAUTION,
    MARKS,
    answer_sentence,
    assessed_lines,
    behind_sentence,
    order_sentences,
)
from shellcheck_earth.views.text.survey.found import found_sentences, rain_sentences, reading_sentences
from shellcheck_earth.views.text.survey.lengths import chain, height_change, signed, tolerance_words

__all__ = [
    "answer_lines",
    "behind_lines",
    "card_of",
    "crew_scatter",
    "setting_table",
    "settings_csv",
    "settings_of",
    "survey_document",
    "survey_files",
    "survey_json",
    "survey_lines",
]

FORMAT = 1

LEAST_RINGS = 6
"""Rings above the springing from which a crew's scatter is said."""

MOST_LINES = 8
"""Settings on the screen; the pages have all."""


def settings_of(answer: SurveyAnswer) -> tuple[Setting, ...]:
    """The settings of the way that the answer goes; none where nothing more is to be laid."""
    if answer.decision.answer in ("stop", "cannot say") or answer.decision.then in ("stop", "cannot say"):
        return ()
    return settings(answer.planned, answer.way.path)


def setting_table(answer: SurveyAnswer, _: Words) -> tuple[list[str], list[list[str]]]:
    """(heads, rows) of the next settings, as a reader on site is shown them."""
    return _heads(answer, _), _setting_rows(answer)


def _setting_rows(answer: SurveyAnswer) -> list[list[str]]:
    system = answer.design.unit_system
    return [
        [
            chain(one.height, system),
            chain(one.compass, system),
            height_change(one, system),
            str(one.number),
            chain(one.step_in, system),
            *tolerance_words(answer.next_courses.get(one.number), system),
        ]
        for one in settings_of(answer)
    ]


def _heads(answer: SurveyAnswer, _: Words) -> list[str]:
    more = _("1/2 in higher") if answer.design.unit_system == "imperial" else _("10 mm higher")
    return [_("wall height"), _("set compass"), more, _("course"), _("step-in"), _("in by"), _("out by")]


def answer_lines(answer: SurveyAnswer, _: Words) -> list[str]:
    """The answer and the margin behind it; known before the tolerances are."""
    decision = answer.decision
    lines = [f"{MARKS[decision.answer]} {_(ANSWERS[decision.answer]).upper()}"]
    return [*lines, *wrapped(answer_sentence(answer, _), "    "), *wrapped(behind_sentence(answer, _), "    ")]


def survey_lines(answer: SurveyAnswer, _: Words) -> list[str]:
    """The answer first, then what stands behind it, the next settings, the rain, what was found."""
    return [*answer_lines(answer, _), *behind_lines(answer, _)]


def behind_lines(answer: SurveyAnswer, _: Words) -> list[str]:
    """What follows the answer: the three assessments, the next settings, the rain, what was found."""
    lines = [""]
    for name, said in assessed_lines(answer, _):
        lines += wrapped(f"{name}: {said}", "  ", "      ")
    rows = _setting_rows(answer)
    if rows:
        lines += ["", *wrapped(order_sentences(answer, _)[0])]
        heads = _heads(answer, _)
        shown = rows[:MOST_LINES]
        widths = [max(len(head), *(len(row[i]) for row in shown)) for i, head in enumerate(heads)]
        lines += [
            "  " + "  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in (heads, *shown)
        ]
        if len(rows) > MOST_LINES:
            lines.append(
                "  " + _("... and {count} more: --out FOLDER writes all of them", count=len(rows) - MOST_LINES)
            )
        lines += wrapped(_("In by, out by: how far a course may stand off its setting before a margin falls short."))
    texts = [*rain_sentences(answer, _), *reading_sentences(answer, _), *found_sentences(answer, _)]
    texts += order_sentences(answer, _)[1:]
    lines += ["", *(line for text in texts for line in wrapped(text))]
    lines += ["", *wrapped(_("Caution.") + " " + _(CAUTION))]
    return lines if _.language == "en" else [*lines, *wrapped(_(REVIEW))]


def settings_csv(answer: SurveyAnswer) -> str:
    """The table of settings, one line a course; metres and millimetres, feet and inches beside them."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    heads = ("wall_height_m", "wall_height_ft_in", "compass_mm", "compass_ft_in", "change_mm_per_10_mm", "course")
    writer.writerow([*heads, "inner_radius_m", "step_in_mm", "in_by_mm", "out_by_mm", "design_sha256"])
    digest = design_sha256(answer.design)
    for one in settings_of(answer):
        found = answer.next_courses.get(one.number)
        ends = ["", ""] if found is None else [f"{1000 * found.inward:.0f}", f"{1000 * found.outward:.0f}"]
        writer.writerow(
            [
                f"{one.height:.4f}", feet_inches(one.height), f"{1000 * one.compass:.1f}", feet_inches(one.compass),
                f"{10 * one.change:.2f}", one.number, f"{one.radius:.4f}", f"{1000 * one.step_in:.1f}", *ends, digest,
            ]
        )  # fmt: skip
    return out.getvalue()


def _margin_data(result: Result | None) -> dict[str, Any] | None:
    found = None if result is None else least_of(result, rain=True)
    if result is None or found is None:
        return None
    case, margin = found
    return {
        "verdict": result.verdict,
        "case": case.id,
        "check": margin.check,
        "course": margin.course,
        "factor": margin.factor,
        "required": margin.required,
    }


def survey_json(answer: SurveyAnswer) -> str:
    """Everything as data: SI, keys with their unit."""
    decision = answer.decision
    behind = decision.behind
    data = {
        "format": FORMAT,
        "design": answer.design.name,
        "design_sha256": design_sha256(answer.design),
        "survey_sha256": answer.digest,
        "survey_on": answer.wall.survey.on.isoformat(),
        "answer": decision.answer,
        "reason": decision.reason,
        "then": decision.then,
        "behind": None
        if behind is None
        else {
            "case": behind[0].id,
            "check": behind[1].check,
            "course": behind[1].course,
            "factor": behind[1].factor,
            "required": behind[1].required,
        },
        "now": _margin_data(answer.now),
        "plan_goes_on": _margin_data(answer.plan.result),
        "corrected": _margin_data(answer.corrected.result),
        "taken_down": answer.way.taken_down,
        "out_of_round": [
            {"case": one.case_id, "blocks": one.blocks, "rings": one.rings, "required": one.required}
            for one in answer.shape.asked
        ],
        "cover_before_hours": answer.cover_before,
        "courses": [
            {
                "number": one.number,
                "top_m": one.top,
                "planned_top_m": one.planned_top,
                "inner_radius_m": one.mean,
                "off_curve_m": one.off_curve,
                "shift_m": one.shift,
                "oval_m": one.oval,
            }
            for one in answer.deviations
        ],
        "wet_depth_m": {str(one.number): one.counted for one in answer.wall.wet},
        "settings": [
            {
                "course": one.number,
                "wall_height_m": one.height,
                "compass_m": one.compass,
                "change": one.change,
                "inner_radius_m": one.radius,
                "step_in_m": one.step_in,
                "in_by_m": None if (found := answer.next_courses.get(one.number)) is None else found.inward,
                "out_by_m": None if found is None else found.outward,
            }
            for one in settings_of(answer)
        ],
    }
    return json.dumps(plain(data), indent=1, ensure_ascii=False) + "\n"


def _found_table(answer: SurveyAnswer, _: Words) -> Block:
    system = answer.design.unit_system
    columns = [
        Column(_("course"), right=False), Column(_("top")), Column(_("planned top")), Column(_("inner radius")),
        Column(_("off the curve")), Column(_("to one side")), Column(_("oval")), Column(_("wet depth")),
    ]  # fmt: skip
    wet = {one.number: one.counted for one in answer.wall.wet}
    rows = [
        [
            str(one.number),
            chain(one.top, system),
            chain(one.planned_top, system),
            chain(one.mean, system),
            signed(one.off_curve, system),
            chain(one.shift, system),
            chain(one.oval, system),
            chain(wet.get(one.number, 0.0), system),
        ]
        for one in reversed(answer.deviations)
    ]
    return table(
        columns, rows, _("As found, top course first; off the curve: + outside it at the course's own height"), 10
    )


def survey_document(answer: SurveyAnswer, _: Words) -> Document:
    """Page 1: the answer, what stands behind it, the wall, the next settings. Page 2: what was found, what it says."""
    decision = answer.decision
    kinds = {"go on": "meets", "cannot say": "cannot say"}
    title = _("{name}: survey of {day}", name=answer.design.name, day=answer.wall.survey.on.isoformat())
    blocks: list[Block] = [
        heading(title),
        {
            "kind": "verdict",
            "verdict": kinds.get(decision.answer, "falls short"),
            "word": _(ANSWERS[decision.answer]),
            "sentence": f"{answer_sentence(answer, _)} {behind_sentence(answer, _)}",
        },
        bullets([f"{name}: {said}" for name, said in assessed_lines(answer, _)]),
    ]
    rows = _setting_rows(answer)
    if rows:
        blocks.append(paragraph(" ".join(order_sentences(answer, _))))
        caption = _("Next settings. In by, out by: how far a course may stand off before a margin falls short")
        blocks.append(table([Column(head) for head in _heads(answer, _)], rows, caption, 10))
    blocks += [caution(_(CAUTION), _("Caution.")), page_break(), heading(_("What was found")), _found_table(answer, _)]
    said = [*found_sentences(answer, _), *rain_sentences(answer, _), *reading_sentences(answer, _)]
    blocks.append(bullets(said))
    if _.language != "en":
        blocks.append(small(_(REVIEW)))
    plain = Document(
        title=title,
        footer=_("A calculation, not a permit: a licensed structural engineer must check it."),
        blocks=tuple(blocks),
        pictures={},
        digest=design_sha256(answer.design),
        paper=_paper(answer),
        language=_.language,
    )
    return _drawn(answer, plain, _)


TEXT_WIDTH: Mapping[Paper, float] = {"a4": 174.0, "us-letter": 179.9}
BESIDE_PICTURE = 15.0
"""Width of the text of a page, and the room over and under a picture, with its caption [mm]."""

AFTER_ANSWER = 3
"""Blocks on the first page before its picture: the title, the answer, what stands behind it."""


def _drawn(answer: SurveyAnswer, plain: Document, _: Words) -> Document:
    """The pages with a picture on each, as high as what they leave blank; a page with no room stays without."""
    scale = TEXT_WIDTH[_paper(answer)] / WIDTH
    first, second = ((left - BESIDE_PICTURE) / scale for left in room_left(plain))
    blocks, pictures = list(plain.blocks), dict[str, str]()
    with speaking(_):
        off = off_curve_drawing(answer.deviations, answer.design.unit_system, second)
        wall = _wall_drawing(answer, first)
    if off is not None:
        pictures["off-curve.svg"] = off
        alt = _("Bars of how far each course stands inside or outside its curve, with the numbers of the table above")
        blocks.append(picture("off-curve.svg", alt, _("How far does each course stand off its curve?")))
    if wall is not None:
        pictures["wall.svg"] = wall
        alt = _("Section of the wall to scale: the courses that stand, those to come dashed, the compass to the next")
        blocks.insert(AFTER_ANSWER, picture("wall.svg", alt, _("The wall as it stands; dashed: courses to come")))
    return replace(plain, blocks=tuple(blocks), pictures=pictures)


def _wall_drawing(answer: SurveyAnswer, room: float) -> str | None:
    """The wall with the courses of the way that the answer goes; what stands alone where nothing more is to be laid."""
    wet, rows = {one.number: one.counted for one in answer.wall.wet}, settings_of(answer)
    if not rows or answer.way.design is None:
        return wall_drawing(answer.now.dome, answer.wall.number, None, wet, room)
    laid = answer.wall.number - answer.way.taken_down
    return wall_drawing(build_dome(answer.way.design), laid, rows[0].number, wet, room)


def crew_scatter(answer: SurveyAnswer) -> str:
    """What this crew's own rings say, as a file of spreads for `chance --scatter`; "" with under six rings.

    The root mean square off the curve stands for the reading of the compass: never less than its scatter, for a ring's
    radius is the shorter side of the chain's triangle. That of the shifts stands for the lopsided ring.
    """
    rings = [one for one in answer.deviations if one.number >= 1]
    if len(rings) < LEAST_RINGS:
        return ""
    off = math.sqrt(sum(one.off_curve**2 for one in rings) / len(rings))
    shift = math.sqrt(sum(one.shift**2 for one in rings) / len(rings))
    lines = [
        f"# From {len(rings)} rings read on {answer.wall.survey.on.isoformat()}, for: chance DESIGN --scatter THIS",
        f'[compass_reading]\nspread = "{max(1000 * off, 1.0):.1f} mm"',
        f'[lopsided_ring]\nspread = "{max(1000 * shift, 1.0):.1f} mm"',
    ]
    return "\n".join((*lines, ""))


def _paper(answer: SurveyAnswer) -> Paper:
    return "us-letter" if answer.design.unit_system == "imperial" else "a4"


def card_of(answer: SurveyAnswer) -> Card | None:
    """The build card of the way that the answer goes; None where nothing more is to be laid."""
    table = settings_of(answer)
    laid = answer.wall.number - answer.way.taken_down
    return Card(answer.planned, table, answer.next_courses, laid, answer.wall.survey.on) if table else None


def survey_files(answer: SurveyAnswer, _: Words) -> dict[str, bytes]:
    """Everything that the command writes: pages, settings, data, and each assessment's design file with its proof."""
    from shellcheck_earth.views.render.pdf import document_pdf

    out = {
        "survey.pdf": document_pdf(survey_document(answer, _)),
        "survey.json": survey_json(answer).encode(),
        "settings.csv": settings_csv(answer).encode(),
    }
    spreads = crew_scatter(answer)
    if spreads:
        out["crew-scatter.toml"] = spreads.encode()
    card = card_of(answer)
    if card is not None:
        out["build-card.pdf"] = build_card(card, _paper(answer), _)
    named = (("now", answer.now), ("plan", answer.plan.result), ("corrected", answer.corrected.result))
    for name, result in named:
        if result is not None:
            out[f"as-built-{name}.toml"] = result.design.source_text.encode()
            if result.certificate:
                out[f"certificate-{name}.json"] = result.certificate.encode()
    return out
