"""The study of uncertain inputs: on the screen, as data, and as pages."""

from __future__ import annotations

import csv
import io
import json
import math

from shellcheck_earth.basics.texts import wrapped
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.loads.drawn import place_in_file
from shellcheck_earth.loads.scatter import LENGTHS, Scatter
from shellcheck_earth.studies.sample.statistics import Index
from shellcheck_earth.studies.sample.study import Chance
from shellcheck_earth.views.export.sheets import plain
from shellcheck_earth.views.figures.sample import MOST_INPUTS, index_chart, orders_chart, share_chart
from shellcheck_earth.views.report.layout import (
    Block,
    Column,
    Document,
    bullets,
    caution,
    heading,
    paragraph,
    picture,
    reviewed,
    small,
    table,
)
from shellcheck_earth.views.text.below import said_below, source_named
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.language import _, review_sentences, spoken
from shellcheck_earth.views.text.sample import (
    FAMILIES,
    FOOTER,
    INDICES,
    MARGIN,
    MOST_DRAWN,
    ORDERS,
    OUTCOME,
    OWN_DRAWS,
    SHARES,
    SHARES_ALT,
    STUDY,
    TITLE,
    UNCERTAIN,
    crown_sentence,
    ends_sentence,
    group_sentences,
    hangs_on_sentence,
    hopeless_sentence,
    how_margins_sentence,
    how_sentence,
    input_words,
    left_out_sentences,
    limits_sentence,
    limits_shown,
    per_cent,
    same_answer_sentence,
    spread_sentence,
    total_sentence,
)

__all__ = ["chance_csv", "chance_document", "chance_json", "chance_lines"]

FORMAT = 1


def _stays(index: Index) -> str:
    """An index that is not told from nothing says so."""
    told = math.isfinite(index.value) and index.value > 2 * index.error
    return "" if told else "  " + _("not told from 0")


def chance_lines(chance: Chance) -> list[str]:
    """One screen and a half of 80 columns."""
    lines = [
        _(TITLE, name=chance.design.name),
        *wrapped(_(STUDY)),
        *wrapped(how_sentence(chance)),
        *(line for said in group_sentences(chance) for line in wrapped(said)),
        "",
    ]
    share, limits = _("share of domes"), _("95 % limits")
    lines.append(f"  {share:42} {'':>8}  {limits}")
    lines += [
        f"  {_(SHARES[name]):42} {per_cent(one.value):>8}  {limits_shown(one)}" for name, one in chance.shares.items()
    ]
    check_head, share, first_head = _("falls short in"), _("domes"), _("most often in; course")
    lines += ["", f"  {check_head:28} {share:>8}  {first_head}"]
    for check, one in chance.checks.items():
        first = chance.first_in[check][0][0] if chance.first_in[check] else "-"
        course = said_below(str(chance.first_course[check][0][0])) if chance.first_course[check] else "-"
        lines.append(f"  {said_below(check):28} {per_cent(one.value):>8}  {first}; {course}")
    lines += ["", *wrapped(how_margins_sentence(chance.margins)), *wrapped(hopeless_sentence(chance))]
    for name in MARGIN:
        for said in _margin_sentences(chance, name):
            lines += wrapped(said)
    for name, found in chance.indices.items():
        head = _("What matters most for {outcome} (share of variance +- error; rank):", outcome=_(OUTCOME[name]))
        lines += ["", *wrapped(head)]
        wide = max([32, *(len(input_words(i.name)) for i in found[:5])])
        lines += [
            f"  {input_words(i.name):{wide}} {i.value:z6.3f} +- {i.error:.3f}  {_rank(i):>6}{_stays(i)}"
            for i in found[:5]
        ]
        if not found:
            lines.append("  " + _("nothing: every dome has the same answer"))
        else:
            lines += wrapped(total_sentence(name, chance.margins.orders[name]))
    lines += ["", *wrapped(crown_sentence(chance))]
    for note in left_out_sentences(chance.left_out):
        lines += wrapped(note)
    lines += ["", *wrapped(f"{_('Caution.')} {_(ENGINEER)}")]
    return [*lines, *(line for text in review_sentences() for line in wrapped(text))]


def _margin_sentences(chance: Chance, name: str) -> list[str]:
    """How a margin spreads and what it hangs on."""
    margins = chance.margins
    said = [spread_sentence(name, chance), ends_sentence(name, margins)]
    if margins.speaks(name):
        said.append(hangs_on_sentence(name, margins.orders[name]))
    return [one for one in said if one]


def _rank(index: Index) -> str:
    return f"{index.rank:+z.2f}" if math.isfinite(index.rank) else "-"


def chance_json(chance: Chance) -> str:
    """Everything as data."""
    data = {
        "format": FORMAT,
        "kind": "chance",
        "design": chance.design.name,
        "design_sha256": design_sha256(chance.design),
        "what_it_is": STUDY,
        "samples": chance.samples,
        "scramblings": chance.scramblings,
        "seed": chance.seed,
        "shares": plain(chance.shares),
        "checks": plain(chance.checks),
        "first_in": plain(chance.first_in),
        "first_course": plain(chance.first_course),
        "indices": plain(chance.indices),
        "margins": plain(chance.margins),
        "scatter": plain(chance.scatter),
        "radial_error_per_compass_error": plain(chance.crown),
        "notes": [
            *left_out_sentences(chance.left_out),
            *([_(OWN_DRAWS)] if chance.design.groups else []),
            *([hopeless_sentence(chance)] if chance.hopeless else []),
        ],
    }
    return json.dumps(data, indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def chance_csv(chance: Chance) -> str:
    """Shares and indices, one a row."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    digest = design_sha256(chance.design)
    writer.writerow(
        ["chance_of", "name", "value", "low", "high", "standard_error", "rank_correlation", "design_sha256"]
    )
    for kind, shares in (("share", chance.shares), ("check short", chance.checks)):
        for name, one in shares.items():
            writer.writerow([kind, name, f"{one.value:.9g}", f"{one.low:.9g}", f"{one.high:.9g}", "", "", digest])
    for outcome, found in chance.indices.items():
        for i in found:
            writer.writerow(
                [
                    f"index of {outcome}",
                    i.name,
                    f"{i.value:.9g}",
                    "",
                    "",
                    f"{i.error:.9g}",
                    f"{i.rank:.9g}" if math.isfinite(i.rank) else "",
                    digest,
                ]
            )
    for number, orders in chance.margins.orders.items():
        for of in orders:
            for kind, value, error in (("first", of.first, of.first_error), ("total", of.total, of.total_error)):
                shown = f"{error:.9g}" if math.isfinite(error) else ""
                writer.writerow(
                    [f"{kind} order of {number}, exchanged", of.name, f"{value:.9g}", "", "", shown, "", digest]
                )
    return out.getvalue()


def _spread(one: Scatter) -> str:
    if one.key in LENGTHS:
        return f"{1000 * one.spread:.3g} mm"
    link = f", {1000 * one.link:.3g} mm" if one.link else ""
    return f"{100 * one.spread:.3g} %{link}"


def _tables(chance: Chance) -> list[Block]:
    rows = [[_(SHARES[name]), per_cent(one.value), limits_shown(one)] for name, one in chance.shares.items()]
    checks = [
        [
            said_below(check),
            per_cent(one.value),
            limits_shown(one),
            ", ".join(f"{name} ({count:,})" for name, count in chance.first_in[check]) or "-",
            ", ".join(f"{said_below(str(name))} ({count:,})" for name, count in chance.first_course[check]) or "-",
        ]
        for check, one in chance.checks.items()
    ]
    return [
        table(
            [Column(_("Of the sampled domes"), right=False, wide=True), Column(_("Share")), Column(_("95 % limits"))],
            rows,
            _("Shares"),
        ),
        table(
            [
                Column(_("Falls short"), right=False),
                Column(_("Share")),
                Column(_("95 % limits")),
                Column(_("Found in (domes)"), right=False, share=1.5),
                Column(_("Course (domes)"), right=False, share=1.0),
            ],
            checks,
            _(
                "Which checks, in which case and at which course: the finished dome is examined first, then the stages"
                " from the last one back"
            ),
            7.5,
        ),
        small(limits_sentence(chance)),
    ]


def _index_blocks(chance: Chance, pictures: dict[str, str]) -> list[Block]:
    """What each input explains, a picture an outcome."""
    blocks: list[Block] = [heading(_("Which input matters most"), 1), paragraph(_(INDICES))]
    for name, found in chance.indices.items():
        if not found:
            blocks.append(paragraph(same_answer_sentence(name)))
            continue
        file = f"indices-{name.replace('_', '-')}.svg"
        pictures[file] = index_chart(found, _(OUTCOME[name]))
        alt = _("Bars of the indices of first order for {outcome} with their standard errors", outcome=_(OUTCOME[name]))
        blocks.append(picture(file, alt))
        if len(found) > MOST_INPUTS:
            blocks.append(small(_(MOST_DRAWN, most=MOST_INPUTS)))
        total = total_sentence(name, chance.margins.orders[name])
        if total:
            blocks.append(paragraph(total))
    return blocks


def _margin_blocks(chance: Chance, pictures: dict[str, str]) -> list[Block]:
    """What the margins are and hang on, a picture a margin."""
    blocks: list[Block] = [heading(_("What the margin hangs on"), 1), paragraph(how_margins_sentence(chance.margins))]
    blocks += [paragraph(said) for said in [hopeless_sentence(chance)] if said]
    for name in MARGIN:
        blocks += [paragraph(said) for said in _margin_sentences(chance, name)]
        found = chance.margins.orders[name]
        if found and chance.margins.speaks(name):
            file = f"orders-{name}.svg"
            pictures[file] = orders_chart(found, _(MARGIN[name]))
            alt = _(
                "Bars of what {margin} hangs on: each input alone, and with others, with standard errors",
                margin=_(MARGIN[name]),
            )
            blocks.append(picture(file, alt))
    return [*blocks, small(_(ORDERS))]


def _key(name: str) -> str:
    """The key of `scatter.toml`, with the number of its group of courses."""
    group, key = place_in_file(name)
    return _("{input}, group {number}", input=key, number=group) if group else key


def _scatter_table(chance: Chance) -> Block:
    rows = [
        [
            _key(key),
            said_below(one.what),
            _(FAMILIES[one.family]),
            _spread(one),
            said_below(one.known),
            source_named(one.source),
        ]
        for key, one in chance.scatter.items()
    ]
    columns = [
        Column(_("Input"), right=False),
        Column(_("What"), right=False, share=1.4),
        Column(_("Family"), right=False),
        Column(_("Spread")),
        Column(_("Known"), right=False),
        Column(_("Source"), right=False, share=1.6),
    ]
    return table(columns, rows, _("Distributions"), 7.5)


def _groups(chance: Chance) -> list[Block]:
    """Which courses have a fill of their own, and what is drawn for them alone."""
    if not chance.design.groups:
        return []
    return [paragraph(_(OWN_DRAWS)), bullets(group_sentences(chance))]


def chance_document(chance: Chance) -> Document:
    """Three or four pages."""
    pictures = {"shares.svg": share_chart(chance, [_(SHARES[name]) for name in chance.shares])}
    title = _(TITLE, name=chance.design.name)
    blocks: list[Block] = [
        heading(title),
        caution(_(STUDY), _("What this is.")),
        paragraph(how_sentence(chance)),
        picture("shares.svg", _(SHARES_ALT)),
        *_tables(chance),
        *_margin_blocks(chance, pictures),
        *_index_blocks(chance, pictures),
        paragraph(crown_sentence(chance)),
        heading(_("What was taken as uncertain"), 1),
        paragraph(_(UNCERTAIN)),
        *_groups(chance),
        _scatter_table(chance),
        heading(_("What is left out"), 1),
        bullets(left_out_sentences(chance.left_out)),
        caution(_(ENGINEER)),
        *reviewed(),
    ]
    return Document(
        title,
        _(FOOTER, name=chance.design.name),
        tuple(blocks),
        pictures,
        digest=design_sha256(chance.design),
        language=spoken().language,
    )
