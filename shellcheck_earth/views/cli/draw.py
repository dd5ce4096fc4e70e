"""`shellcheck-earth draw`: dimensioned drawings and a body to print."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.views.cli.options import Spoken

__all__ = ["draw"]

LEAST, MOST = 1.0, 1000.0


def draw(
    design: Path,
    *,
    out: Annotated[Path, Parameter(name=["--out", "-o"])],
    what: Literal["all", "dxf", "solid", "ifc"] = "all",
    scale: float = 50.0,
    language: Spoken = "en",
) -> int:
    """Write drawings for other programs: section.dxf, plan.dxf and elevations.dxf with dimensions at full size, and
    dome.stl and dome.3mf to print; or dome.ifc, a building model. Exit code 0 says they are written; it is no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    out
        Folder for the drawings.
    what
        all: drawings and bodies; dxf: the drawings alone; solid: the bodies alone; ifc: a building model (IFC4), which
        needs the extra "ifc" besides.
    scale
        Of the printed bodies, 1 to so many; 1 is full size in millimetres.
    """
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.geometry.openings import check_openings
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import _, review_sentences, speaking, words

    if not LEAST <= scale <= MOST:
        raise InputError([Problem("--scale", f"a number from {LEAST:g} to {MOST:g}: 50 for 1 to 50", f"{scale:g}")])
    dome = build_dome(read_design(design))
    check_openings(dome, str(design))
    check_folder(out)
    try:
        from shellcheck_earth.views.export.drawings.bundle import drawing_files

        with speaking(words(language)):
            files = drawing_files(dome, what, scale)
    except ModuleNotFoundError as missing:
        extra = "ifc" if (missing.name or "").startswith("ifcopenshell") else "drawings"
        wanted = f'the extra "{extra}": pip install "shellcheck_earth[{extra}]"'
        raise InputError([Problem("draw", wanted, f"no {missing.name}")]) from None
    with speaking(words(language)):
        leftovers = write_outputs(out, files, design_sha256(dome.design))
        told = _("Geometry alone: `check` says whether it stands.")
        written = _("Written to {folder}:", folder=out)
        say([f"{written} {', '.join(files)}", told, *review_sentences(), *leftovers.lines()])
    return 0
