"""The functions of the public face that ask a design many times: `shellcheck_earth.compare` and its sisters.

Each imports what it needs when it is called, as in `face`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from shellcheck_earth.face import as_design

if TYPE_CHECKING:
    from shellcheck_earth.basics.progress import Progress
    from shellcheck_earth.design.design import Design
    from shellcheck_earth.studies.choice import Choice
    from shellcheck_earth.studies.compare import Comparison
    from shellcheck_earth.studies.explain.lesson import Teaching
    from shellcheck_earth.studies.sample.study import Chance
    from shellcheck_earth.studies.survey.survey import SurveyAnswer

__all__ = ["choose", "compare", "explain", "sample", "survey"]


def compare(
    designs: Design | str | Path | Sequence[Design | str | Path],
    vary: str | Sequence[str] = (),
    *,
    workers: int = 0,
    progress: Progress | None = None,
    strength_aside: bool = False,
) -> Comparison:
    """Many designs side by side: every combination of the varied keys, for one design or several. No verdict.

    Parameters
    ----------
    designs
        One design (or the path of its file), or several of them.
    vary
        ``KEY=FIRST..LAST:HOW MANY`` or ``KEY=ONE,TWO,...`` for any key of the design file, or several such texts for
        every combination. A number without a unit takes the unit the file writes for that key.
    workers
        How many processes share the work; 0: as many as this machine has cores. Never changes an answer.
    progress
        As for `check`.
    strength_aside
        True sets the strength of the fill aside, so that shape and slenderness show. Nothing is then said to meet.

    Returns
    -------
    Comparison
        `points`, design by design, the last key running fastest: the answer ("not buildable" apart from "falls short",
        and both from "cannot say") and the worst margin of each check.

    Raises
    ------
    InputError
        A design that cannot be read as it stands, an unknown key, an empty range, too many points, or not one point
        that can be built.

    Notes
    -----
    Asked of the ring-symmetric check alone: a point that needs the block model is never said to meet.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> found = se.compare("reports/examples/seed-store.toml", "dome.inside_diameter=2.4,3.6 m", workers=1)
    >>> found.points[1].answer
    'falls short'
    >>> found.points[0].least.share > 1 > found.points[1].least.share  # 1 just meets what is required
    True
    """
    from shellcheck_earth.basics.progress import quiet
    from shellcheck_earth.studies import compare as comparing

    several = [designs] if not isinstance(designs, Sequence) or isinstance(designs, str) else list(designs)
    texts = [vary] if isinstance(vary, str) else list(vary)
    return comparing.compare(
        list(map(_given, several)),
        texts,
        workers=workers,
        progress=progress or quiet,
        strength_aside=strength_aside,
    )


def choose(
    design: Design | str | Path,
    *,
    changes: Sequence[str] = (),
    pairs: bool = True,
    largest: bool = True,
    workers: int = 0,
    progress: Progress | None = None,
) -> Choice:
    """What would make a design meet what is required: single changes, pairs of them, and the largest diameter. No
    verdict.

    Parameters
    ----------
    design
        A design, or the path of its file.
    changes
        Names of the changes that are looked at, such as ``["wider tube"]``; empty: all that make sense for the design.
    pairs, largest
        False leaves out the pairs of changes, or the largest diameter, which take most of the time.
    workers, progress
        As for `compare`.

    Returns
    -------
    Choice
        `singles`: each change with the least amount that is enough, or how near it comes; `pairs`; `largest`: the
        largest inside diameter [m] for this tube and soil; `cost`: fill [m3], tube [m], wire [m], weight [kN].

    Raises
    ------
    InputError, UnbuildableError
        As `read`.

    Notes
    -----
    Asked of the ring-symmetric check alone; `block_model` says whether an answer also needs `check` with its blocks.
    A change is "enough" only when every margin is met and no value was taken past the range it may be assumed in.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> design = se.read("reports/examples/narrow-store.toml")
    >>> found = se.choose(design, changes=["more wire"], pairs=False, largest=False, workers=1)
    >>> [(change.name, change.helps) for change in found.singles]
    [('more wire', 'no help')]
    """
    from shellcheck_earth.basics.parallel import Crew
    from shellcheck_earth.basics.progress import quiet
    from shellcheck_earth.studies import choose as choosing

    return choosing.choose(
        _given(design),
        changes=changes,
        pairs=pairs,
        largest=largest,
        crew=Crew(workers),
        progress=progress or quiet,
    )


def explain(
    design: Design | str | Path,
    *,
    workers: int = 0,
    progress: Progress | None = None,
    strength_aside: bool = False,
) -> Teaching:
    """What holds a dome, and how it gives way when the wall gets thinner, the friction lower or the wire less. No
    verdict.

    Parameters
    ----------
    design
        A design, or the path of its file.
    workers, progress, strength_aside
        As for `compare`.

    Returns
    -------
    Teaching
        `ways`: each capacity taken away step by step, with the last value that has a thrust line (wall [m], friction
        [-], wire [kN]) and the mechanism; `map`: wall width over pivot; `other`: the round dome beside the pointed one.

    Raises
    ------
    InputError, UnbuildableError
        As `read`.
    UndecidedError
        A linear programme did not answer.

    Notes
    -----
    The edge is bisected on the exact set of `check`; the mechanism is read from the multipliers of the programme of
    least relaxation, and its virtual work balances to 1e-9.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> lesson = se.explain("reports/examples/seed-store.toml", workers=1)
    >>> sorted({way.kind for way in lesson.ways})
    ['friction', 'friction without wire', 'wall', 'wire']
    """
    from shellcheck_earth.basics.parallel import Crew
    from shellcheck_earth.basics.progress import quiet
    from shellcheck_earth.studies.explain.lesson import teach

    return teach(as_design(design), progress or quiet, Crew(workers), aside=strength_aside)


def sample(
    design: Design | str | Path,
    samples: int,
    seed: int = 1,
    *,
    scatter: str | Path | None = None,
    workers: int = 0,
    progress: Progress | None = None,
) -> Chance:
    """Very many domes of one design with uncertain inputs: how often a margin falls short, and which input matters
    most. A study of the model, no failure probability of a building, and no verdict.

    Parameters
    ----------
    design
        A design, or the path of its file.
    samples
        How many domes at least, 1 to 10,000,000; rounded up so that 16 to 32 scramblings are of one power of two.
    seed
        0 to 2^63 - 1; the same seed gives the same numbers.
    scatter
        File (TOML) of your own spreads, such as ``[dry_density]`` with ``spread = 0.05``; None: those of this program.
    workers, progress
        As for `compare`; threads here.

    Returns
    -------
    Chance
        `shares`: the share of domes without a thrust line, or short of a margin, with 95 % limits; `indices`: which
        input explains how much of it.

    Raises
    ------
    InputError
        As `read`; also for a number of samples or a seed that cannot be used.

    References
    ----------
    Clopper & Pearson (1934) for the limits, Sobol' points with Owen's scrambling, Jansen (1999) for the index of a
    group: all from memory. The spreads are in `basics/scatter.toml`, each with its source.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> found = se.sample("reports/examples/seed-store.toml", 64, seed=3, workers=1)
    >>> found.shares["no_line"].of
    64
    """
    from shellcheck_earth.basics.parallel import Crew
    from shellcheck_earth.basics.progress import quiet
    from shellcheck_earth.loads.scatter import read_scatter, stated_scatter
    from shellcheck_earth.studies.sample.study import make_study, run_study

    spreads = stated_scatter() if scatter is None else read_scatter(Path(scatter))
    study = make_study(as_design(design), spreads, samples, seed)
    return run_study(study, progress or quiet, Crew(workers))


def survey(
    design: Design | str | Path,
    readings: str | Path,
    *,
    blocks: bool = True,
    progress: Progress | None = None,
) -> SurveyAnswer:
    """May the crew of a dome that is being built go on? The answer of the command `survey`.

    Parameters
    ----------
    design
        The dome as planned: a design, or the path of its file.
    readings
        Sheet of readings (CSV): height of each course's top, inner radius at one or more bearings, days, moisture, tilt
        and rod where they were read, and the rain that fell. ``shellcheck-earth survey DESIGN --starter FILE`` writes
        the one to fill in.
    blocks, progress
        As for `check`; the block model is also asked of rings that are not round.

    Returns
    -------
    SurveyAnswer
        `decision.answer` is "go on", "cover first", "correct", "stop" or "cannot say", which is never a go on;
        `now`, `plan.result` and `corrected.result` the assessments behind it, each a `Result` (None where no such dome
        can be built); `way.path.steps` the courses to come [m], `next_courses` how far the next of them may stand off
        [m]; `cover_before` which hour of the stated rain what stands has to be covered.

    Raises
    ------
    InputError
        As `read`; also for a sheet that cannot be read or believed: every fault at once, with its line.

    Notes
    -----
    What stands, the plan as it goes on, and the way back to the design curve are each a design with a measured profile,
    checked and proven like any other. The mean radii go through the ring-symmetric check; a ring shifted or oval goes
    through the block model as well, which can take a "go on" away and never give one.

    References
    ----------
    The setting that belongs to a height, c = hypot(r(z), z - z_p), and what the rings' readings say, the first terms of
    a Fourier series by least squares: both derived, in `geometry/settings` and `geometry/survey`.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> found = se.survey("reports/orchard-dome/plan.toml", "reports/orchard-dome/day-4.csv")
    >>> found.decision.answer
    'correct'
    >>> found.way.path.steps[0].number
    13
    """
    from shellcheck_earth.basics.progress import quiet
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.studies.survey.sheet import read_sheet
    from shellcheck_earth.studies.survey.survey import survey_answer

    planned = as_design(design)
    found = read_sheet(Path(readings), build_dome(planned))
    return survey_answer(planned, found, blocks=blocks, progress=progress or quiet)


def _given(given: Design | str | Path) -> Design | Path:
    return Path(given) if isinstance(given, str) else given
