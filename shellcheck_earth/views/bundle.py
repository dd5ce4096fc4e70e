"""All the files that `check` hands over, as bytes, before any of them is written."""

from __future__ import annotations

from shellcheck_earth.statics.certificate import bundle_json
from shellcheck_earth.verdict.assessment import Assessment

from . import section, sheets
from .document import report_document
from .pdf import document_pdf
from .three_d_pages import three_d_files

__all__ = ["output_files"]


def output_files(assessment: Assessment) -> dict[str, bytes]:
    """Name -> content: the report, the data, the build sheet, the section and the proofs."""
    texts = {
        "assessment.json": sheets.assessment_json(assessment),
        "courses.csv": sheets.courses_csv(assessment),
        "section.svg": section.section_svg(assessment),
        "certificate.json": bundle_json(assessment.design.name, assessment.certificates),
    }
    written = {name: text.encode() for name, text in texts.items()}
    return {"report.pdf": document_pdf(report_document(assessment))} | written | three_d_files(assessment)
