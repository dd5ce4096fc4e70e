"""A comparison in words, as a table for the terminal, as CSV and as pages."""

from __future__ import annotations

import csv
import io
import math

from shellcheck_earth.basics.texts import wrapped
from shellcheck_earth.design.variation import Variation
from shellcheck_earth.safety.checks import LABELS
from shellcheck_earth.safety.worst import WorstMargin
from shellcheck_earth.studies.compare import Answer, Comparison
from shellcheck_earth.views.export.workbook import Cell, DataTable, text_cell, workbook
from shellcheck_earth.views.figures.comparison.curves import comparison_figures
from shellcheck_earth.views.figures.comparison.facets import not_drawn
from shellcheck_earth.views.figures.comparison.maps import not_mapped
from shellcheck_earth.views.report.layout import (
    Column,
    Document,
    bullets,
    caution,
    heading,
    paper_of,
    picture,
    reviewed,
    small,
)
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import ENGINEER, STRENGTH_ASIDE
from shellcheck_earth.views.text.compare import (
    FACTORS,
    NO_VERDICT,
    NOT_DRAWN,
    PICTURES,
    compared_title,
    count_words,
    decides_words,
    design_named,
    key_sentence,
    not_mapped_words,
    note_sentences,
    summary_sentences,
)
from shellcheck_earth.views.text.language import _, mark, review_sentences, spoken

__all__ = [
    "MOST_LINES",
    "comparison_csv",
    "comparison_document",
    "comparison_lines",
    "comparison_table",
    "comparison_xlsx",
]

MOST_LINES = 40
"""Rows shown in the terminal; the CSV has all."""

MOST_ROWS = 240
"""Rows of the table in the PDF."""

SHORT_NAMES = {
    "bed friction": mark("friction"),
    "geometric factor": mark("geom."),
    "strength": mark("strength"),
    "strength while building": mark("building"),
    "wire tension": mark("wire"),
    "overall reserve": mark("reserve"),
    "combined factors": mark("combined"),
    "standing without wire": mark("no wire"),
    "base sliding": mark("sliding"),
    "ground bearing": mark("bearing"),
}

NARROWEST = 8
"""Columns of the screen for the factors of a check, or more where its name is longer."""

MARKS: dict[Answer, str] = {
    "meets": "(*)",
    "falls short": "/_\\",
    "cannot say": "[?]",
    "not buildable": " x ",
    "holds, strength set aside": "(o)",
}


def _cell(margin: WorstMargin | None) -> str:
    if margin is None or not margin.known:
        text = "-"
    elif math.isinf(margin.factor):
        text = "inf"
    elif margin.factor == 0.0:
        return _("none!")
    else:
        text = f"{margin.factor:.3g}" if margin.factor < 100 else ">100"
    return f"{text}!" if margin is not None and not margin.meets else text


def _required(comparison: Comparison, check: str) -> str:
    """What is required; both where tested and untested fill stand side by side."""
    found = {margin.required for point in comparison.points for margin in point.margins if margin.check == check}
    return _("of {required}", required="/".join(f"{required:g}" for required in sorted(found)))


def comparison_lines(comparison: Comparison) -> list[str]:
    """A table of factors; those that fall short carry a `!`."""
    checks = comparison.checks
    head = [[_(SHORT_NAMES[check]) for check in checks], [_required(comparison, check) for check in checks]]
    names = [variation.path.split(".")[-1] for variation in comparison.variations]
    several = len(comparison.designs) > 1
    lead_head = [*([_("design")] if several else []), *names]
    leads = [
        [*([design_named(point.design)] if several else []), *comparison.values(point)] for point in comparison.points
    ]
    widths = [max(len(text) for text in column) for column in zip(lead_head, *leads, strict=True)] if lead_head else []
    shown = comparison.points if len(comparison.points) <= MOST_LINES else comparison.points[:MOST_LINES]

    rooms = [max(NARROWEST, len(name)) for name in head[0]]

    def line(lead: list[str], cells: list[str], tail: str) -> str:
        return (
            "  ".join(
                [
                    *(text.ljust(width) for text, width in zip(lead, widths, strict=True)),
                    *(cell.rjust(room) for cell, room in zip(cells, rooms, strict=True)),
                ]
            )
            + f"  {tail}"
        ).rstrip()

    out = [line(lead_head, head[0], _("answer")), line([""] * len(lead_head), head[1], "")]
    for lead, point in zip(leads, shown, strict=False):
        cells = [_cell(point.margin(check)) for check in checks]
        out.append(
            line(
                lead,
                cells,
                f"{MARKS[point.answer]} {': '.join(filter(None, (said_below(point.answer), decides_words(point))))}",
            )
        )
    if len(shown) < len(comparison.points):
        out.append(
            _("... and {count} more: --out FOLDER writes all of them", count=len(comparison.points) - len(shown))
        )
    counts = comparison.counts()
    out += [
        "",
        "  ".join(f"{MARKS[answer]} {said_below(answer)}: {count}" for answer, count in counts.items()),
        _(FACTORS),
    ]
    out += note_sentences(comparison)
    if comparison.strength_aside:
        out = [*wrapped(_(STRENGTH_ASIDE)), "", *out, "", *wrapped(_(STRENGTH_ASIDE))]
    out += [*wrapped(_(NO_VERDICT)), "", *wrapped(f"{_('Caution.')} {_(ENGINEER)}")]
    return [*out, *(line for text in review_sentences() for line in wrapped(text))]


def _margin_cells(margin: WorstMargin | None) -> tuple[Cell, ...]:
    """Factor, required, meets, case, course; the factor is empty where there is no finite number to give."""
    if margin is None:
        return None, None, None, None, None
    if not margin.known:
        meets = "cannot say"
    else:
        meets = "none needed" if math.isinf(margin.factor) else ("yes" if margin.meets else "no")
    factor = float(f"{margin.factor:.6g}") if margin.known and math.isfinite(margin.factor) else None
    return factor, margin.required, meets, margin.case_id, margin.course


def _head(variation: Variation) -> str:
    return f"{variation.path} ({variation.unit})" if variation.unit else variation.path


def comparison_table(comparison: Comparison) -> DataTable:
    """One row a design: numbers as numbers, their unit in the head; the first column is `design`."""
    heads = ["design", *(_head(variation) for variation in comparison.variations), "answer", "decides"]
    for check in LABELS:
        name = check.replace(" ", "_")
        heads += [f"{name}_factor", f"{name}_required", f"{name}_meets", f"{name}_case", f"{name}_course"]
    digests = dict(zip(comparison.designs, comparison.digests, strict=True))
    rows = []
    for point in comparison.points:
        varied = (
            variation.labels[at] if variation.numbers is None else variation.numbers[at]
            for variation, at in zip(comparison.variations, point.chosen, strict=True)
        )
        margins = (cell for check in LABELS for cell in _margin_cells(point.margin(check)))
        rows.append((point.design, *varied, point.answer, decides_words(point), *margins, digests[point.design]))
    return DataTable("comparison", (*heads, "file_sha256"), tuple(rows))


def comparison_csv(comparison: Comparison) -> str:
    """The table as CSV; its last column is the digest of all that was compared."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    made = comparison_table(comparison)
    writer.writerow([*made.heads, "design_sha256"])
    for name, *cells in made.rows:
        written = ("" if cell is None else f"{cell:.12g}" if isinstance(cell, float) else cell for cell in cells)
        writer.writerow([text_cell(str(name)), *written, comparison.digest])
    return out.getvalue()


def comparison_xlsx(comparison: Comparison) -> bytes:
    """The table as a spreadsheet."""
    return workbook([comparison_table(comparison)], f"{compared_title(comparison)}: compared", comparison.digest)


def _rows(comparison: Comparison) -> list[list[str]]:
    several = len(comparison.designs) > 1
    return [
        [
            *([design_named(point.design)] if several else []),
            *comparison.values(point),
            *(_cell(point.margin(check)) for check in comparison.checks),
            said_below(point.answer),
            decides_words(point),
        ]
        for point in comparison.points[:MOST_ROWS]
    ]


def comparison_document(comparison: Comparison) -> Document:
    """The answer and the pictures first, then the table."""
    pictures = comparison_figures(comparison)
    blocks = [
        heading(_("{title}: compared", title=compared_title(comparison))),
        *([caution(_(STRENGTH_ASIDE), _("No verdict."))] if comparison.strength_aside else []),
        bullets(summary_sentences(comparison)),
        small(_(NO_VERDICT)),
        caution(_(ENGINEER)),
        *reviewed(),
    ]
    blocks += [picture(name, _(PICTURES[name.split(".")[0].split("-")[0]])) for name in pictures]
    if comparison.variations and pictures:
        blocks.append(small(key_sentence(comparison)))
    blocks += [small(text) for text in not_mapped_words(not_mapped(comparison))]
    left = not_drawn(comparison)
    if left > 0:
        blocks.append(small(count_words(left, *NOT_DRAWN)))
    lead = [Column(_("Design"), right=False, share=1.6)] if len(comparison.designs) > 1 else []
    lead += [
        Column(variation.path.replace(".", ". ").replace("_", " "), share=1.2) for variation in comparison.variations
    ]
    columns = [
        *lead,
        *(Column(_(SHORT_NAMES[check]), share=1.0) for check in comparison.checks),
        Column(_("Answer"), right=False, share=1.1 if spoken().language == "en" else 1.5),
        Column(_("Decides"), right=False, share=3.6),
    ]
    blocks += [
        heading(_("The numbers")),
        *told_once(columns, _rows(comparison), _("Factor of each margin in its worst counted case; ! falls short")),
    ]
    if len(comparison.points) > MOST_ROWS:
        blocks.append(
            small(
                _(
                    "The first {first} of {count} designs; all are in compare.csv.",
                    first=MOST_ROWS,
                    count=len(comparison.points),
                )
            )
        )
    return Document(
        title=_("{title}: compared", title=compared_title(comparison)),
        footer=(
            _(
                "{title}, compared. A calculation, not a permit: a licensed structural engineer must check it.",
                title=compared_title(comparison),
            )
        ),
        blocks=tuple(blocks),
        pictures=pictures,
        digest=comparison.digest,
        paper=paper_of(comparison.unit_system),
        language=spoken().language,
    )
