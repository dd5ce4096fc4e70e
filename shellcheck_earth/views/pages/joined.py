"""Pages on joined domes or a straight wall: cautions, the answer, the picture, every question in a table."""

from __future__ import annotations

from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.studies.joined.given import digest_of
from shellcheck_earth.studies.joined.told import Answer, Told
from shellcheck_earth.views.figures.joined import joined_svg
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    caution,
    heading,
    paper_of,
    paragraph,
    picture,
    reviewed,
    small,
    table,
)
from shellcheck_earth.views.text.joined import (
    along_words,
    answer_name,
    body_name,
    bounds_words,
    cautions,
    ground_words,
    headline,
    joining_words,
    left_out_words,
    moving_words,
    relied_words,
    said_of,
    state_name,
    what_words,
)
from shellcheck_earth.views.text.language import _, spoken
from shellcheck_earth.views.text.numbers import capital, factor_words, required_words

__all__ = ["joined_document"]


def _row(told: Told, answer: Answer) -> list[str]:
    held = answer.held
    return [
        answer_name(answer),
        capital(body_name(told, answer.body)),
        state_name(answer),
        relied_words(held),
        required_words(held.required),
        "-" if held.ordinary is None else factor_words(held.ordinary),
        "-" if held.above is None else factor_words(held.above),
        "-" if held.without is None else factor_words(held.without),
        said_of(held),
    ]


def joined_document(told: Told) -> Document:
    """The pages; all they show is in `told`."""
    name = told.given.name
    engineer, no_verdict, *more = cautions(told)
    columns = [
        Column(_("Question"), right=False, share=2.2),
        Column(_("Of what"), right=False, share=2.2),
        Column(_("State"), right=False, share=1.2),
        Column(_("Relied on"), share=1.0),
        Column(_("Required"), share=0.9),
        Column(_("Held up to"), share=0.9),
        Column(_("Mechanism at"), share=1.0),
        Column(_("Without dilation"), share=1.0),
        Column(_("Says"), right=False, share=1.1),
    ]
    note = _(
        "Held up to, mechanism at: from below and from above, with ordinary friction, least of the cuts. Required: of"
        " the designs' criteria. A multiple of the stated load, or what every capacity can be divided by under the dead"
        " load."
    )
    blocks: list[Block] = [
        heading(name),
        caution(engineer),
        caution(no_verdict, _("No verdict.")),
        *(caution(text, _("Beyond the tests.")) for text in more),
        *reviewed(),
        paragraph(what_words(told)),
        paragraph(headline(told)),
        *(
            paragraph(text)
            for text in (along_words(told), bounds_words(told), moving_words(told), ground_words(told))
            if text
        ),
        picture("joined.svg", _("Plan and elevation of the blocks, with what moves first")),
        heading(_("Every question")),
        *(paragraph(text) for text in joining_words(told)),
        table(columns, [_row(told, answer) for answer in told.answers], size=8),
        small(note),
        small(left_out_words(told, OVERSTATED)),
    ]
    footer = _(
        "{name}. A study, not a verdict and not a permit: a licensed structural engineer must check it.", name=name
    )
    return Document(
        title=_("{name}: joined, as blocks", name=name),
        footer=footer,
        blocks=tuple(blocks),
        pictures={"joined.svg": joined_svg(told)},
        digest=digest_of(told.given),
        paper=paper_of(told.given.unit_system),
        language=spoken().language,
    )
