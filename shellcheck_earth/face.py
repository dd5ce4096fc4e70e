"""The functions of the public face that ask one design, `shellcheck_earth.check` and its sisters: thin, over the floors
below. Those that ask it many times are in `face_studies`.

Each imports what it needs when it is called, so that reading a design does not wait for the solver.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shellcheck_earth.basics.progress import Progress
    from shellcheck_earth.design.design import Design
    from shellcheck_earth.mechanics.proof.check import Report
    from shellcheck_earth.safety.result import Result

__all__ = ["as_design", "check", "parse", "read", "recheck"]


def read(path: str | Path) -> Design:
    """Read a design file and refuse what cannot be built.

    Parameters
    ----------
    path
        A design file (TOML, under 1 MB). The command `shellcheck-earth new FILE` writes one to start from.

    Returns
    -------
    Design
        In SI units (m, kN, kPa, kg/m3), whatever units the file uses.

    Raises
    ------
    InputError
        The file cannot be read, or a value in it cannot be used; every fault at once, each with its path, what was
        expected and what was found.
    UnbuildableError
        Every value is well formed, but no such dome can be built.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> design = se.read("reports/tool-store/design.toml")
    >>> design.dome.inside_diameter  # 8 ft, in metres
    2.4384
    """
    from shellcheck_earth.geometry.reading import read_design

    return read_design(Path(path))


def parse(text: str) -> Design:
    """The design in a text, as `read` takes it from a file.

    Parameters
    ----------
    text
        What a design file would hold (TOML). Only `[dome]` and `[wall]` are needed; what is left out is assumed, and
        listed as assumed in every report.

    Returns
    -------
    Design

    Raises
    ------
    InputError, UnbuildableError
        As `read`.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> text = '''
    ... [dome]
    ... inside_diameter = "3 m"
    ... [wall]
    ... filled_width = "40 cm"
    ... course_height = "13 cm"
    ... '''
    >>> se.parse(text).wall.filled_width
    0.4
    >>> try:
    ...     se.parse(text.replace('"40 cm"', '"-40 cm"'))
    ... except se.InputError as error:
    ...     error.problems[0].path
    'wall.filled_width'
    """
    from shellcheck_earth.geometry.reading import parse_design

    return parse_design(text)


def check(
    design: Design | str | Path,
    *,
    cache: str | Path | None = None,
    progress: Progress | None = None,
    blocks: bool = True,
    proofs: bool = True,
    explore: bool = True,
) -> Result:
    """The answer of the command `check`: every force path that can hold the dome up, for every stage of building, every
    moisture and every load, and what is left over what is required.

    Parameters
    ----------
    design
        A design, or the path of its file.
    cache
        Folder in which finished cases of the block model are kept, so that a second run reads them.
    progress
        Called with what is being done, how many steps are done, and how many there are. None: nothing is said.
    blocks
        False leaves out the block model, which a design with openings or with loads from one side needs (half a minute
        and more). Such a design is then never said to meet.
    proofs
        False leaves out the proofs in exact arithmetic. Nothing is then said to meet.
    explore
        False leaves out the calendar of the work and the search through the ranges of what was not measured.

    Returns
    -------
    Result
        `verdict` is "meets", "falls short" or "cannot say", which is never a pass; `margins` has the governing margin
        of each check, `cases` every case, `doubts` what stands in the way of a "meets", `cautions` what could hurt.

    Raises
    ------
    InputError, UnbuildableError
        As `read`; also for a design made in code.

    Notes
    -----
    One radian of the dome is cut into flat rings. From the crown down, a bed's thrust H and moment G = x V + z H are
    those of the bed above plus what the ring may take (0 <= C <= f h t, closed rings only), less what the wire holds
    (0 <= T <= T_max), and V grows by the weight. The bed holds (H, G) where the contact x_a <= (G - z H) / V <= x_b
    lies within the bed, its edge does not crush at the strength f, and ``|H| <= mu V + c A``. All of it is linear in
    (H, G) for a known V, so what can be reached stays a convex polygon, carried down exactly. A dome with a point left
    at its lowest bed has a thrust line: by the lower bound theorem it stands under the model's assumptions. A margin is
    capacity over demand: the largest factor by which the capacities may be divided with a line still left.

    References
    ----------
    Heyman, J. (1966), "The stone skeleton", International Journal of Solids and Structures 2 (from memory): the lower
    bound theorem for masonry. The set of (H, G) is derived from statics in DEVELOPERS.md, "Equilibrium of a lune".
    `result.workings` names the source of each number.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> result = se.check("reports/garden-classroom/design.toml", blocks=False, proofs=False, explore=False)
    >>> result.verdict
    'falls short'
    >>> worst = min(result.margins, key=lambda margin: margin.share)
    >>> worst.meets
    False
    """
    from shellcheck_earth.basics.progress import quiet
    from shellcheck_earth.safety import check as spine

    return spine.check(
        as_design(design),
        cache=None if cache is None else Path(cache),
        progress=progress or quiet,
        blocks=blocks,
        proofs=proofs,
        explore=explore,
    )


def recheck(certificate: str | Path, design: Design | str | Path) -> Report:
    """Prove a verdict again from the certificate and the design file, with none of the code that found it.

    Parameters
    ----------
    certificate
        The certificate.json that `Result.save` or the command `check` wrote.
    design
        The design file it is about, or the design.

    Returns
    -------
    Report
        `lines`, one a finding; `verdict`; `code`, the exit code that goes with it. A certificate that is refused
        ends in "cannot say".

    Raises
    ------
    InputError
        A design in hand that no design file can say.

    Notes
    -----
    Each proof is a thrust line, or Farkas multipliers that no thrust line exists, in whole numbers; the dome and its
    cases are rebuilt from the text of the design file in exact arithmetic. `mechanics/proof/STATEMENT.md` has the
    equations.

    References
    ----------
    Farkas, J. (1902), "Theorie der einfachen Ungleichungen" (from memory): of two systems of linear inequalities
    exactly one has a solution.

    Examples
    --------
    >>> import shellcheck_earth as se
    >>> design = se.read("reports/examples/narrow-store.toml")
    >>> result = se.check(design, explore=False)
    >>> files = result.save("out/narrow-store")
    >>> se.recheck("out/narrow-store/certificate.json", design).verdict
    'falls short'
    """
    from shellcheck_earth.mechanics.proof import check as checker

    if isinstance(design, str | Path):
        return checker.recheck(Path(certificate), Path(design))
    from shellcheck_earth.design.write import source_text

    return checker.recheck_against(Path(certificate), source_text(design).encode())


def as_design(given: Design | str | Path) -> Design:
    """A design, or the one of the file at a path."""
    return read(given) if isinstance(given, str | Path) else given
