"""`shellcheck-earth problem`: a block case as an open problem with solution and certificate, and back."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.views.cli.options import OutFolder

__all__ = ["problem"]

LARGEST = 64_000_000
"""Bytes of a problem that is read."""

SAME = 1e-6
"""Relative: what is solved again on another machine may differ by the solver's tolerance."""


def problem(
    file: Path,
    *,
    case: str = "",
    out: OutFolder = None,
    cuts: int = 18,
    reserve: Annotated[float | None, Parameter(name="--reserve")] = None,
) -> int:
    """Write a case of the block model as an open problem of limit analysis: blocks, faces, weights, loads, friction,
    strength and ties in plain JSON, with its solution and a certificate; or read such a problem, solve it again and
    check it. Exit code 0 says that it is written, or that solution and certificate hold; it is no verdict on a dome.

    Parameters
    ----------
    file
        A design file (TOML), or a problem (JSON) to solve again and to check.
    case
        Name of the case to write. Without it the names of the design's cases are listed.
    out
        Folder for the problem.
    cuts
        Blocks a ring, 8 to 144.
    reserve
        What every capacity is divided by under a dead load; without it, what is required.
    """
    if file.suffix.lower() == ".json":
        return _again(file)
    from shellcheck_earth.geometry.courses import build_dome
    from shellcheck_earth.geometry.openings import check_openings
    from shellcheck_earth.geometry.reading import read_design
    from shellcheck_earth.safety.blocks.written import state_data, states
    from shellcheck_earth.views.render.screen import say

    dome = build_dome(read_design(file))
    check_openings(dome, str(file))
    known = states(dome)
    if not case:
        say([f"Cases of {dome.design.name}, for --case:", *(f"  {name}" for name in known)])
        return 0
    if case not in known:
        raise InputError([Problem("--case", "a name that `problem DESIGN` lists", case)])
    if out is None:
        raise InputError([Problem("--out", "a folder for the problem", "nothing")])
    from shellcheck_earth.design.digest import design_sha256
    from shellcheck_earth.mechanics.blocks.written import solved_text
    from shellcheck_earth.mechanics.proof.block_problem import check_problem
    from shellcheck_earth.views.export.output import check_folder, write_outputs

    check_folder(out)
    data = state_data(dome, known[case], cuts, reserve)
    text = solved_text(data)
    name = f"problem-{re.sub('[^a-z0-9]+', '-', case.lower()).strip('-')}.json"
    leftovers = write_outputs(out, {name: text.encode()}, design_sha256(dome.design))
    shown = check_problem(text).proven
    said = f"{float(shown):.6g} times its live load is held and proven" if shown is not None else "not proven"
    say([f"Wrote {name} to {out}: {len(data['blocks'])} blocks, {said}. No verdict.", *leftovers.lines()])
    return 0


def _again(file: Path) -> int:
    """Check the file as it stands, with the checker alone; then solve its problem again."""
    from shellcheck_earth.basics.reading import read_text
    from shellcheck_earth.mechanics.blocks.conic import solve_cone
    from shellcheck_earth.mechanics.blocks.rows import assemble
    from shellcheck_earth.mechanics.blocks.written import problem_of
    from shellcheck_earth.mechanics.proof.block_places import RefusedError
    from shellcheck_earth.mechanics.proof.block_problem import check_problem, parse_problem
    from shellcheck_earth.views.render.screen import say

    text = read_text(file, "a problem of blocks (JSON)", LARGEST)
    try:
        read, data = parse_problem(text)
        posed = problem_of(read, data)
    except (RefusedError, ValueError) as refused:
        raise InputError([Problem(str(file), "a problem of blocks", str(refused))]) from None
    good, lines = True, [f"{data['name']}: {len(read.blocks)} blocks, {len(read.faces)} faces, {len(read.ties)} ties"]
    if "certificate" in data:
        finding = check_problem(text)
        good = finding.proven is not None
        told = (
            f"{float(finding.proven):.9g} times its live load is proven" if finding.proven is not None else finding.why
        )
        lines.append(f"Certificate: {'holds, ' if good else 'REFUSED, '}{told}.")
    answer = solve_cone(assemble(posed))
    if not answer.solved:
        say([*lines, f"Solved again: none, the solver ended as {answer.status}."])
        return 2
    lines.append(f"Solved again: {answer.multiplier:.9g} times its live load.")
    if "solution" in data and good:
        stated = float(data["solution"]["multiple"])
        same = abs(answer.multiplier - stated) <= SAME * max(abs(stated), 1.0)
        good = same
        lines.append(f"Its solution says {stated:.9g}: {'the same' if same else 'ANOTHER ANSWER'}.")
    say([*lines, "A problem of the model; no verdict on a dome."])
    return 0 if good else 2
