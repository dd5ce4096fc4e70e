"""The answer of the command `survey` to the readings of a tab, with the same files byte for byte."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.progress import Progress
from shellcheck_earth.views.text.language import REVIEW, Language, words

__all__ = ["AskedSurvey", "Surveyed", "run_survey"]


@dataclass(frozen=True)
class AskedSurvey:
    """A design file, a sheet of readings (CSV) and the language of the answer."""

    text: str
    sheet: str
    language: Language


@dataclass(frozen=True)
class Surveyed:
    """What was answered, in the order of the command's screen; `kind`: the answer's own word, in English; `files`:
    those of the command."""

    asked: AskedSurvey
    kind: str
    mark: str
    answer: str
    order: str
    behind: str
    assessed: tuple[tuple[str, str], ...]
    heads: tuple[str, ...]
    settings: tuple[tuple[str, ...], ...]
    use: tuple[str, ...]
    tolerances: str
    found: tuple[str, ...]
    caution: tuple[str, ...]
    title: str
    digest: str
    files: Mapping[str, bytes]

    def shown(self) -> dict[str, Any]:
        """For the browser: everything but what was asked and the files themselves."""
        without = replace(self, files={})
        out = {name: value for name, value in vars(without).items() if name not in ("asked", "files", "digest", "kind")}
        return out | {"kind_of": self.kind, "files": [[name, len(content)] for name, content in self.files.items()]}


def run_survey(asked: AskedSurvey, cache: Path | None, progress: Progress) -> Surveyed:
    """Exactly what the command `survey` does with files that hold these texts; errors as there."""
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.geometry.reading import parse_design
    from shellcheck_earth.studies.survey.sheet import sheet_survey
    from shellcheck_earth.studies.survey.survey import survey_answer

    del cache
    design = parse_design(asked.text)
    answer = survey_answer(design, sheet_survey(asked.sheet, build_dome(design)), progress=progress)
    return _surveyed(answer, asked)


def _surveyed(answer: Any, asked: AskedSurvey) -> Surveyed:
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.views.pages.survey import setting_table, survey_files
    from shellcheck_earth.views.text.survey import answer as said
    from shellcheck_earth.views.text.survey import found

    _ = words(asked.language)
    kind = answer.decision.answer
    heads, rows = setting_table(answer, _)
    return Surveyed(
        asked=asked,
        kind=kind,
        mark=said.MARKS[kind],
        answer=_(said.ANSWERS[kind]),
        order=said.answer_sentence(answer, _),
        behind=said.behind_sentence(answer, _),
        assessed=tuple(said.assessed_lines(answer, _)),
        heads=tuple(heads),
        settings=tuple(map(tuple, rows)),
        use=tuple(said.order_sentences(answer, _)) if rows else (),
        tolerances=_("In by, out by: how far a course may stand off its setting before a margin falls short."),
        found=tuple(
            (*found.rain_sentences(answer, _), *found.reading_sentences(answer, _), *found.found_sentences(answer, _))
        ),
        caution=(_(said.CAUTION), *([] if _.language == "en" else [_(REVIEW)])),
        title=_("{name}: survey of {day}", name=answer.design.name, day=answer.wall.survey.on.isoformat()),
        digest=design_sha256(answer.design),
        files=survey_files(answer, _),
    )
