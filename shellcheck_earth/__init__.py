"""shellcheck_earth: will a dome of coiled earth-filled tubes stand, at every stage, moisture and load?

    >>> import shellcheck_earth as se
    >>> result = se.check("reports/garden-classroom/design.toml", blocks=False, proofs=False, explore=False)
    >>> result.verdict
    'falls short'

A calculation, not a permit: have a licensed structural engineer check a design, and ask the local building authority,
before anyone builds or stands under a dome. "Cannot say" is never a pass.

The folders, in alphabetical order, are the order of the work and of the imports:
basics, design, geometry, loads, mechanics, safety, studies, views. Everything named in `__all__` is for others to use;
nothing is imported before it is asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from shellcheck_earth.basics.renderers import register

if TYPE_CHECKING:
    from shellcheck_earth.basics.errors import (
        InputError,
        OutputError,
        Problem,
        RunError,
        ShellcheckError,
        UnbuildableError,
        UndecidedError,
    )
    from shellcheck_earth.design.design import Design
    from shellcheck_earth.face import check, parse, read, recheck
    from shellcheck_earth.face_studies import choose, compare, explain, sample, survey
    from shellcheck_earth.mechanics.proof.check import Report
    from shellcheck_earth.safety.result import CaseResult, Margin, Result, Verdict
    from shellcheck_earth.studies.choice import Choice
    from shellcheck_earth.studies.compare import Comparison
    from shellcheck_earth.studies.explain.lesson import Teaching
    from shellcheck_earth.studies.sample.study import Chance
    from shellcheck_earth.studies.survey.survey import SurveyAnswer

__version__ = "0.1.0"

__all__ = [
    "CaseResult",
    "Chance",
    "Choice",
    "Comparison",
    "Design",
    "InputError",
    "Margin",
    "OutputError",
    "Problem",
    "Report",
    "Result",
    "RunError",
    "ShellcheckError",
    "SurveyAnswer",
    "Teaching",
    "UnbuildableError",
    "UndecidedError",
    "Verdict",
    "check",
    "choose",
    "compare",
    "explain",
    "parse",
    "read",
    "recheck",
    "sample",
    "survey",
]

_HOMES = {
    "basics.errors": (
        "InputError",
        "OutputError",
        "Problem",
        "RunError",
        "ShellcheckError",
        "UnbuildableError",
        "UndecidedError",
    ),
    "design.design": ("Design",),
    "face": ("check", "parse", "read", "recheck"),
    "face_studies": ("choose", "compare", "explain", "sample", "survey"),
    "mechanics.proof.check": ("Report",),
    "safety.result": ("CaseResult", "Margin", "Result", "Verdict"),
    "studies.choice": ("Choice",),
    "studies.compare": ("Comparison",),
    "studies.explain.lesson": ("Teaching",),
    "studies.sample.study": ("Chance",),
    "studies.survey.survey": ("SurveyAnswer",),
}
"""Where each name of the face lives."""

register(
    {
        ("Design", "with value"): "shellcheck_earth.geometry.reading:design_with_value",
        ("Design", "text"): "shellcheck_earth.design.write:source_text",
        ("Design", "svg"): "shellcheck_earth.views.render.notebook:design_picture",
        ("Result", "html"): "shellcheck_earth.views.render.notebook:result_html",
        ("Result", "data"): "shellcheck_earth.views.export.sheets:assessment_data",
        ("Result", "files"): "shellcheck_earth.views.export.bundle:save_result",
    }
)


def __getattr__(name: str) -> Any:
    for home, names in _HOMES.items():
        if name in names:
            found = getattr(import_module(f"shellcheck_earth.{home}"), name)
            globals()[name] = found
            return found
    raise AttributeError(f"module 'shellcheck_earth' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
