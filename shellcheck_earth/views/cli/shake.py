"""`shellcheck-earth shake`: the blocks of a dome moved in time, on a ground that shakes or slowly leans."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from cyclopts import Parameter

from shellcheck_earth.views.cli.options import OutFolder, Spoken
from shellcheck_earth.views.cli.quantities import quantity_option

if TYPE_CHECKING:
    from shellcheck_earth.studies.shake.ground import Told

__all__ = ["shake"]

State = Literal["dry", "damp", "soaked"]
Shape = Literal["sine", "half-sine", "lean"]


@dataclass(frozen=True)
class Motion:
    """How the ground moves.

    Parameters
    ----------
    peak
        Largest acceleration of the ground as a share of gravity, such as 0.2 or "20 %".
    shape
        One sine, half of one, or a lean that grows over the period and stays, as on a ground that slowly tilts.
    period
        Of the whole sine, or over which the lean grows.
    record
        A record instead of a pulse: CSV with `time_s` and `acceleration_g` or `acceleration_m_s2`, or `along_g`,
        `across_g`, `up_g`.
    towards
        Bearing of the motion on plan, clockwise from the entrance; where the blocks of a leaning dome are drawn to.
    """

    peak: str | None = None
    shape: Shape = "sine"
    period: str = "0.5 s"
    record: Path | None = None
    towards: str = "0 deg"


STILL = Motion()


def _ground(motion: Motion, bearing: float) -> Told:
    from shellcheck_earth.basics.errors import InputError, Problem
    from shellcheck_earth.studies.shake import ground

    if (motion.peak is None) == (motion.record is None):
        found = "neither" if motion.peak is None else "both"
        raise InputError([Problem("--peak or --record", "one of the two", found)])
    if motion.record is not None:
        return ground.record(motion.record, bearing)
    share = quantity_option("--peak", motion.peak or "", "share", 0.001, ground.MOST_SHARE)
    seconds = 3600 * quantity_option("--period", motion.period, "duration", 0.05 / 3600, 20 / 3600)
    if motion.shape == "lean":
        return ground.lean(share, seconds, bearing)
    return ground.pulse("sine" if motion.shape == "sine" else "half sine", share, seconds, bearing)


def shake(
    design: Path,
    *,
    motion: Annotated[Motion, Parameter(name="*")] = STILL,
    state: State = "dry",
    out: OutFolder = None,
    language: Spoken = "en",
) -> int:
    """Move the blocks of a dome in time on a ground that shakes or leans: a film and numbers. A study of a model;
    exit code 0 says that it is done, it is no verdict.

    Parameters
    ----------
    design
        The design file (TOML).
    motion
        How the ground moves.
    state
        Moisture of the finished dome.
    out
        Folder for shake.svg (a film), shake.csv and shake.json. Without it nothing is written, only said.
    """
    import math

    from shellcheck_earth.basics.texts import wrapped
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.studies.shake.study import shake_design
    from shellcheck_earth.views.export.output import check_folder, write_outputs
    from shellcheck_earth.views.export.shake import shake_files
    from shellcheck_earth.views.render.progress import progress_bar
    from shellcheck_earth.views.render.screen import say
    from shellcheck_earth.views.text.language import _, review_sentences, speaking, words
    from shellcheck_earth.views.text.shake import shake_words

    spoken = words(language)
    bearing = quantity_option("--towards", motion.towards, "angle", -2 * math.pi, 2 * math.pi)
    ground = _ground(motion, bearing)
    read = read_design(design)
    if out is not None:
        check_folder(out, "shake.json", "shake.csv", "shake.svg")
    leftovers = None
    with progress_bar(shown=True) as progress:
        told = shake_design(read, ground, bearing, state, progress)
        if out is not None:
            leftovers = write_outputs(out, shake_files(told, spoken), design_sha256(read))
    with speaking(spoken):
        say([line for text in (*shake_words(told), *review_sentences()) for line in [*wrapped(text), ""]])
        if leftovers is None:
            say(wrapped(_("Nothing was written: add --out FOLDER for the film.")))
        else:
            written = _("Written to {folder}:", folder=out)
            say([f"{written} shake.json, shake.csv, shake.svg", *leftovers.lines()])
    return 0
