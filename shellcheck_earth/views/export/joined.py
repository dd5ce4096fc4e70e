"""Files of joined domes or a straight wall: numbers, picture, pages, and its problems in the open format."""

from __future__ import annotations

import json
import math
from typing import Any

from shellcheck_earth.basics.errors import RunError
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.mechanics.blocks.written import Heading, solved_text, unsolved
from shellcheck_earth.studies.joined.given import Pair, digest_of
from shellcheck_earth.studies.joined.told import Answer, Told, Written
from shellcheck_earth.views.figures.joined import joined_svg
from shellcheck_earth.views.pages.joined import joined_document
from shellcheck_earth.views.render.pdf import document_pdf
from shellcheck_earth.views.report.layout import Print
from shellcheck_earth.views.text.joined import NO_VERDICT, screen_words
from shellcheck_earth.views.text.language import speaking, words

__all__ = ["NAMES", "joined_files", "joined_json"]

FORMAT = 1

NAMES = ("joined.json", "joined.svg", "joined.pdf")

MOST_MULTIPLE = 10.0
"""Multiples of the live load that are looked for in a written problem, so many at most."""


def _number(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(f"{float(value):.6g}")


def _answer(answer: Answer) -> dict[str, Any]:
    held = answer.held
    return {
        "of": answer.body,
        "question": answer.question,
        "towards": answer.way,
        "state": answer.state,
        "variant": answer.load,
        "relied_on": _number(held.relied),
        "at_least": held.at_least,
        "required": _number(held.required),
        "held_with_ordinary_friction": _number(held.ordinary),
        "mechanism_at": _number(held.above),
        "held_without_dilation": _number(held.without),
        "why_not_established": held.why,
        "cuts": [{"blocks": c.blocks, "held": _number(c.below), "mechanism_at": _number(c.above)} for c in held.cuts],
    }


def joined_json(told: Told) -> str:
    """What was asked and found, multiples and reserves as plain numbers; same file and designs, same bytes."""
    given = told.given
    designs = given.designs if isinstance(given, Pair) else (given.design,)
    decides = told.decides
    data = {
        "format": FORMAT,
        "kind": "joined domes" if isinstance(given, Pair) else "straight wall",
        "name": given.name,
        "design_sha256": digest_of(given),
        "designs": [{"name": design.name, "sha256": design.sha256} for design in designs],
        "no_verdict": NO_VERDICT,
        "blocks": list(told.blocks),
        "relied_share_without_dilation": OVERSTATED,
        "decides": {"of": decides.body, "question": decides.question, "towards": decides.way},
        "reaches_what_is_required": told.reaches,
        "beyond_the_range_of_validation": told.beyond,
        "ground_holds_and_bears": told.on_the_ground,
        "answers": [_answer(answer) for answer in told.answers],
        "in_words": [text for part in screen_words(told) for text in part],
    }
    return json.dumps(data, indent=1, ensure_ascii=False) + "\n"


def _problem(told: Told, written: Written) -> bytes | None:
    """None where no forces hold it, or none that the checker accepts."""
    about = f"{written.about} Ordinary (associated) friction. A problem of the model, no verdict on a building."
    head = Heading(f"{told.given.name}: {written.name}", about, told.given.name, digest_of(told.given), written.width)
    problem = written.problem
    data = unsolved(problem, head, written.labels)
    try:
        return solved_text({**data, "most": f"{MOST_MULTIPLE:g}"}).encode()
    except RunError:
        return None


def joined_files(told: Told, how: Print) -> dict[str, bytes]:
    """All of them; pages and picture alone are said in the language asked for. A problem that nothing holds has no
    certificate and is left out."""
    files = {"joined.json": joined_json(told).encode()}
    for written in told.written:
        text = _problem(told, written)
        files |= {} if text is None else {f"problem-{written.name}.json": text}
    with speaking(words(how.language)):
        document = joined_document(told)
        return files | {"joined.svg": joined_svg(told).encode(), "joined.pdf": document_pdf(document, how)}
