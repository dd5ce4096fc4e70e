"""All the files that `check` hands over, as bytes, before any of them is written."""

from __future__ import annotations

from pathlib import Path

from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.safety.result import Result
from shellcheck_earth.views.export import sheets
from shellcheck_earth.views.export.output import check_folder, write_outputs
from shellcheck_earth.views.figures import section
from shellcheck_earth.views.render.pdf import document_pdf
from shellcheck_earth.views.report.block_pages import three_d_files
from shellcheck_earth.views.report.document import report_document
from shellcheck_earth.views.report.layout import Print
from shellcheck_earth.views.text.language import speaking, words

__all__ = ["data_files", "output_files", "report_pdf", "save_result"]


def output_files(assessment: Result, printed: Print | None = None) -> dict[str, bytes]:
    """Name -> content: the report, the data, the build sheet, the section and the proofs. The report and the section
    are in the language that is asked for; what programs read is in English.
    """
    return {"report.pdf": report_pdf(assessment, printed)} | data_files(assessment, printed)


def report_pdf(assessment: Result, printed: Print | None = None) -> bytes:
    """The report."""
    asked = printed or Print()
    with speaking(words(asked.language)):
        return document_pdf(report_document(assessment, asked.paper, large=asked.large), printed)


def data_files(assessment: Result, printed: Print | None = None) -> dict[str, bytes]:
    """All the others."""
    texts = {
        "assessment.json": sheets.assessment_json(assessment),
        "courses.csv": sheets.courses_csv(assessment),
    }
    if assessment.certificate:
        texts["certificate.json"] = assessment.certificate
    written = {name: text.encode() for name, text in texts.items()}
    with speaking(words((printed or Print()).language)):
        written["section.svg"] = section.section_svg(assessment).encode()
        written["section-phone.svg"] = section.section_svg(assessment, phone=True).encode()
    written["courses.xlsx"] = sheets.courses_xlsx(assessment)
    return written | three_d_files(assessment)


def save_result(result: Result, folder: Path) -> tuple[Path, ...]:
    """Write them all into a folder, or none of them; errors as `views.export.output.write_outputs`."""
    check_folder(folder)
    contents = output_files(result)
    write_outputs(folder, contents, design_sha256(result.design))
    return tuple(folder / name for name in contents)
