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
from shellcheck_earth.views.figures.compare import comparison_figures, not_drawn, not_mapped
from shellcheck_earth.views.report.layout import (
    Column,
    Document,
    bullets,
    caution,
    heading,
    picture,
    small,
)
from shellcheck_earth.views.report.sameness import told_once
from shellcheck_earth.views.text.cautions import ENGINEER, STRENGTH_ASIDE
from shellcheck_earth.views.text.compare import (
    NO_VERDICT,
    PICTURES,
    compared_title,
    count_words,
    decides_words,
    key_sentence,
    not_mapped_words,
    note_sentences,
    summary_sentences,
)

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
    "bed friction": "friction",
    "geometric factor": "geom.",
    "strength": "strength",
    "strength while building": "building",
    "wire tension": "wire",
    "overall reserve": "reserve",
    "combined factors": "combined",
    "standing without wire": "no wire",
    "base sliding": "sliding",
    "ground bearing": "bearing",
}

MARKS: dict[Answer, str] = {
    "meets": "(*)",
    "falls short": "/_\\",
    "cannot say": "[?]",
    "not buildable": " x ",
    "holds, strength set aside": "(o)",
}


def _factor(margin: WorstMargin | None) -> str:
    if margin is None or not margin.known:
        return "-"
    if math.isinf(margin.factor):
        return "no demand"
    if margin.factor == 0.0:
        return "no line"
    return f"{margin.factor:.3g}" if margin.factor < 100 else "over 100"


def _cell(margin: WorstMargin | None) -> str:
    text = {"no demand": "inf", "no line": "none", "over 100": ">100"}.get(_factor(margin), _factor(margin))
    return f"{text}!" if margin is not None and not margin.meets else text


def _required(comparison: Comparison, check: str) -> str:
    """What is required; both where tested and untested fill stand side by side."""
    found = {margin.required for point in comparison.points for margin in point.margins if margin.check == check}
    return f"of {'/'.join(f'{required:g}' for required in sorted(found))}"


def comparison_lines(comparison: Comparison) -> list[str]:
    """A table of factors; those that fall short carry a `!`."""
    checks = comparison.checks
    head = [[SHORT_NAMES[check] for check in checks], [_required(comparison, check) for check in checks]]
    names = [variation.path.split(".")[-1] for variation in comparison.variations]
    several = len(comparison.designs) > 1
    lead_head = [*(["design"] if several else []), *names]
    leads = [[*([point.design] if several else []), *comparison.values(point)] for point in comparison.points]
    widths = [max(len(text) for text in column) for column in zip(lead_head, *leads, strict=True)] if lead_head else []
    shown = comparison.points if len(comparison.points) <= MOST_LINES else comparison.points[:MOST_LINES]

    def line(lead: list[str], cells: list[str], tail: str) -> str:
        return (
            "  ".join(
                [
                    *(text.ljust(width) for text, width in zip(lead, widths, strict=True)),
                    *(cell.rjust(8) for cell in cells),
                ]
            )
            + f"  {tail}"
        ).rstrip()

    out = [line(lead_head, head[0], "answer"), line([""] * len(lead_head), head[1], "")]
    for lead, point in zip(leads, shown, strict=False):
        cells = [_cell(point.margin(check)) for check in checks]
        out.append(
            line(
                lead,
                cells,
                f"{MARKS[point.answer]} {point.answer}{': ' + decides_words(point) if decides_words(point) else ''}",
            )
        )
    if len(shown) < len(comparison.points):
        out.append(f"... and {len(comparison.points) - len(shown)} more: --out FOLDER writes all of them")
    counts = comparison.counts()
    out += [
        "",
        "  ".join(f"{MARKS[answer]} {answer}: {count}" for answer, count in counts.items()),
        ("Factors are capacity over demand, in the worst counted case; ! falls short; inf: no demand; none: no line."),
    ]
    out += note_sentences(comparison)
    if comparison.strength_aside:
        out = [*wrapped(STRENGTH_ASIDE), "", *out, "", *wrapped(STRENGTH_ASIDE)]
    return [*out, *wrapped(NO_VERDICT), "", *wrapped("Caution. " + ENGINEER)]


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
            *([point.design] if several else []),
            *comparison.values(point),
            *(_cell(point.margin(check)) for check in comparison.checks),
            point.answer,
            decides_words(point),
        ]
        for point in comparison.points[:MOST_ROWS]
    ]


def comparison_document(comparison: Comparison) -> Document:
    """The answer and the pictures first, then the table."""
    pictures = comparison_figures(comparison)
    blocks = [
        heading(f"{compared_title(comparison)}: compared"),
        *([caution(STRENGTH_ASIDE, "No verdict.")] if comparison.strength_aside else []),
        bullets(summary_sentences(comparison)),
        small(NO_VERDICT),
        caution(ENGINEER),
    ]
    blocks += [picture(name, PICTURES[name.split(".")[0].split("-")[0]]) for name in pictures]
    if comparison.variations and pictures:
        blocks.append(small(key_sentence(comparison)))
    blocks += [small(text) for text in not_mapped_words(not_mapped(comparison))]
    left = not_drawn(comparison)
    if left > 0:
        blocks.append(small(f"{count_words(left, 'more is', 'more are')} not drawn; their numbers are in the CSV."))
    lead = [Column("Design", right=False, share=1.6)] if len(comparison.designs) > 1 else []
    lead += [
        Column(variation.path.replace(".", ". ").replace("_", " "), share=1.2) for variation in comparison.variations
    ]
    columns = [
        *lead,
        *(Column(SHORT_NAMES[check], share=1.0) for check in comparison.checks),
        Column("Answer", right=False, share=1.1),
        Column("Decides", right=False, share=3.6),
    ]
    blocks += [
        heading("The numbers"),
        *told_once(columns, _rows(comparison), "Factor of each margin in its worst counted case; ! falls short"),
    ]
    if len(comparison.points) > MOST_ROWS:
        blocks.append(small(f"The first {MOST_ROWS} of {len(comparison.points)} designs; all are in compare.csv."))
    return Document(
        title=f"{compared_title(comparison)}: compared",
        footer=(
            f"{compared_title(comparison)}, compared. A calculation, not a permit: a licensed structural "
            "engineer must check it."
        ),
        blocks=tuple(blocks),
        pictures=pictures,
        digest=comparison.digest,
        paper="us-letter" if comparison.unit_system == "imperial" else "a4",
    )
