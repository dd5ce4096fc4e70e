"""`shellcheck-earth settle`: how much a finished dome may settle, spread, open or tire before a margin falls short."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from shellcheck_earth.views.cli.options import OutFolder, Spoken
from shellcheck_earth.views.cli.quantities import quantity_option

if TYPE_CHECKING:
    from shellcheck_earth.studies.settle.moved import Movement

__all__ = ["settle"]


@dataclass(frozen=True)
class Stated:
    """What is known or feared of this dome; all of it is asked at once, besides each movement by itself.

    Parameters
    ----------
    stiffness
        Stress over strain of a tamped course, such as "3 MPa".
    sample
        A tamped sample in its place: what it sank, its height, under which pressure: "4 mm of 130 mm under 60 kPa".
    creep
        How many times its first shortening a course adds in the long run.
    spread
        How far the base moves outward, such as "20 mm".
    bed_tilt
        Slope of beds tamped askew, such as "3 deg".
    sustained
        Share of its strength that the fill keeps under a lasting load, such as 0.6.
    opened_rings
        How many rings, from the lowest up, have shrunk away from each other.
    rusted
        Count no wire in rings that have opened.
    sunk
        How far one side of the base lies below the other, such as "40 mm". The blocks are asked then, which takes a
        minute or two; it is not added to the rest.
    soaked
        How wide a sector of the wall has soaked behind its plaster, from the ground to the crown, such as "60 deg". The
        blocks are asked then, which takes some minutes where there are openings; it is not added to the rest.
    """

    stiffness: str | None = None
    sample: str | None = None
    creep: float = 0.0
    spread: str | None = None
    bed_tilt: str | None = None
    sustained: float = 1.0
    opened_rings: int = 0
    rusted: bool = False
    sunk: str | None = None
    soaked: str | None = None


NOTHING = Stated()
SAMPLE = re.compile(r"\s*(.+?)\s+of\s+(.+?)\s+under\s+(.+?)\s*")


def _compliance(stated: Stated) -> float:
    """[1/kPa], creep included; 0 where nothing is stated. InputError naming the option."""
    from shellcheck_earth.basics.errors import InputError, Problem

    if not 0.0 <= stated.creep <= 20.0:
        raise InputError([Problem("--creep", "0 to 20", f"{stated.creep:g}")])
    if stated.stiffness is not None and stated.sample is not None:
        raise InputError([Problem("--stiffness or --sample", "one of the two", "both")])
    if stated.stiffness is not None:
        return (1.0 + stated.creep) / quantity_option("--stiffness", stated.stiffness, "stress", 50.0, 1e7)
    if stated.sample is None:
        if stated.creep > 0.0:
            raise InputError([Problem("--creep", "a --stiffness or a --sample that it multiplies", "neither")])
        return 0.0
    found = SAMPLE.fullmatch(stated.sample)
    if found is None:
        raise InputError([Problem("--sample", 'such as "4 mm of 130 mm under 60 kPa"', repr(stated.sample))])
    sank = quantity_option("--sample", found[1], "length", 0.0, 1.0)
    height = quantity_option("--sample", found[2], "length", 0.02, 2.0)
    pressure = quantity_option("--sample", found[3], "stress", 1.0, 1e4)
    if sank >= height / 2:
        raise InputError([Problem("--sample", "less than half of its height", found[1])])
    return (1.0 + stated.creep) * sank / height / pressure


def _movement(stated: Stated) -> Movement:
    from shellcheck_earth.basics.errors import InputError, Problem
    from shellcheck_earth.studies.settle.moved import Movement

    if not 0.0 < stated.sustained <= 1.0:
        raise InputError([Problem("--sustained", "a share over 0 and up to 1", f"{stated.sustained:g}")])
    if not 0 <= stated.opened_rings <= 300:
        raise InputError([Problem("--opened-rings", "0 to 300", f"{stated.opened_rings}")])
    spread = 0.0 if stated.spread is None else quantity_option("--spread", stated.spread, "length", 0.0, 2.0)
    tilt = stated.bed_tilt
    return Movement(
        compliance=_compliance(stated),
        spread=spread,
        bed_tilt=0.0 if tilt is None else quantity_option("--bed-tilt", tilt, "angle", 0.0, math.radians(30.0)),
        sustained=stated.sustained,
        opened=stated.opened_rings,
        wire=not stated.rusted,
    )


def _sunk(stated: Stated) -> float:
    """[m]; 0 where nothing is stated."""
    return 0.0 if stated.sunk is None else quantity_option("--sunk", stated.sunk, "length", 0.001, 2.0)


def _soaked(stated: Stated) -> float:
    """[rad]; 0 where nothing is stated."""
    from shellcheck_earth.studies.settle.soaked import LEAST_SECTOR

    if stated.soaked is None:
        return 0.0
    return quantity_option("--soaked", stated.soaked, "angle", LEAST_SECTOR, 2 * math.pi)


def settle(
    design: Path,
    *,
    stated: Annotated[Stated, Parameter(name="*")] = NOTHING,
    out: OutFolder = None,
    language: Spoken = "en",
) -> int:
    """How much the finished dome may settle, spread, open or tire before a margin falls short, and before no line is
    left. A study of the rings; exit code 0 says that it is done, it is no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    stated
        What is known or feared of this dome.
    out
        Folder for settle.svg, settle.csv and settle.json. Without it nothing is written, only said.
    """
    from shellcheck_earth.basics.errors import InputError, Problem
    from shellcheck_earth.basics.texts import wrapped
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.studies.settle.study import refuse_lean, settle_design
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.export.settle import settle_files
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import _, review_sentences, speaking, words
    from shellcheck_earth.views.text.settle import settle_words

    spoken, movement, read = words(language), _movement(stated), read_design(design)
    sunk, soaked = _sunk(stated), _soaked(stated)
    refuse_lean(read, sunk)
    if out is not None:
        check_folder(out, "settle.json", "settle.csv", "settle.svg")
    leftovers = None
    with progress_bar(shown=True) as progress:
        told = settle_design(read, movement, progress, sunk=sunk, soaked=soaked)
        if movement.opened >= told.rings:
            most = f"fewer than the {told.rings} rings of this dome"
            raise InputError([Problem("--opened-rings", most, f"{movement.opened}")])
        if out is not None:
            leftovers = write_outputs(out, settle_files(told, spoken), design_sha256(read))
    with speaking(spoken):
        say([line for text in (*settle_words(told), *review_sentences()) for line in [*wrapped(text), ""]])
        if leftovers is None:
            say(wrapped(_("Nothing was written: add --out FOLDER for the chart.")))
        else:
            written = _("Written to {folder}:", folder=out)
            say([f"{written} settle.json, settle.csv, settle.svg", *leftovers.lines()])
    return 0
