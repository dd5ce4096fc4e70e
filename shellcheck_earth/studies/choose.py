"""What would make a design meet its criteria: single changes, pairs of them, the largest diameter for its tube and
soil, and the height up to which one person on one side of a ring is held.

Asked of the ring-symmetric check; a scaffold of the blocks, and so is a change that is named where nothing falls short
but that person. A change is looked for on a scale of amounts a builder can set; the least that meets
is the first one found going up that scale, so that a lucky small amount below a larger one that fails is not missed
where the coarse steps see it.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.parallel import ALL_CORES, Crew
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.basics.sums import added
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256
from shellcheck_earth.design.keys import set_key
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.loads.cases import dead_cases, ring_weight
from shellcheck_earth.loads.model import needs_blocks
from shellcheck_earth.safety.blocks.solve import crew_cases
from shellcheck_earth.safety.doubts import doubts_of, overturned
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.shortfalls import meets_all
from shellcheck_earth.safety.worst import outcome
from shellcheck_earth.studies.choice import Amounts, Choice, Document, Largest, Pair, Single
from shellcheck_earth.studies.given import Given, document_of, name_of
from shellcheck_earth.studies.parts import Parts, kept_or_made, parts_digest, spread_kept
from shellcheck_earth.studies.remedies import STEPS, Remedy, remedies
from shellcheck_earth.studies.scaffold import SCAFFOLD, Scaffold, find_scaffold, with_scaffold

__all__ = ["choose"]


PAIR_STEPS = 5
"""Amounts of the first of a pair that are tried, up to what would be enough alone (or the most)."""

SINGLES, PAIRS, LARGEST, OF_CREW = 0, 1000, 2000, 3000
"""Numbers of the first of each kind of kept parts."""

DIAMETERS = (1.0, 0.1)
"""The search for the largest diameter: from [m], and its steps [m]."""


def _read(document: Document) -> Design | None:
    """The design, or None where no such dome can be built."""
    try:
        design = design_from_document(document)
        check_openings(build_dome(design), design.name)
    except InputError:
        return None
    return design


def _amounts(design: Design) -> Amounts:
    dome = build_dome(design)
    courses = dome.courses
    weight = added(ring_weight(state) for state in dead_cases(dome)[0].states)
    return Amounts(
        added(c.fill_volume for c in courses),
        added(c.tube_length for c in courses),
        added(c.wire_length for c in courses),
        weight,
        len(courses),
    )


Allowed = frozenset[tuple[str, str]]
"""Kind and path of the doubts that the present design has already: a change need not cure them."""


def _allowed(doubts: Sequence[Doubt]) -> Allowed:
    return frozenset((one.kind, one.path) for one in doubts)


def _own_doubt(design: Design, allowed: Allowed) -> Doubt | None:
    return next((one for one in doubts_of(build_dome(design)) if (one.kind, one.path) not in allowed), None)


def _new_doubt(design: Design, allowed: Allowed) -> Doubt | None:
    """Why `check` would not confirm a changed design whose margins are all met; None where nothing new is in doubt."""
    return _own_doubt(design, allowed) or next(iter(overturned(design, first=True)), None)


class _Judge:
    """Says of documents whether every margin is met and nothing new is in doubt: else it would be "cannot say" in
    `check`. What overturned one document is asked first of the next, for it is likely to be the same: no answer
    depends on it. `crew`: one person on one side of a ring is asked of the blocks as well.
    """

    def __init__(self, allowed: Allowed, *, crew: bool = False) -> None:
        self.allowed, self.suspect, self.crew = allowed, "", crew

    def meets(self, document: Document) -> bool:
        design = _read(document)
        if design is None or not meets_all(design) or _own_doubt(design, self.allowed):
            return False
        for one in overturned(design, first=True, suspect=self.suspect):
            self.suspect = one.path
            return False
        return not self.crew or all(one.meets for results in crew_cases(build_dome(design)) for one in results)


def _coarse(count: int) -> list[int]:
    """Positions on a scale of `count` amounts: every one of a short scale, else STEPS of them, the last included."""
    return (
        sorted({round((count - 1) * step / (STEPS - 1)) for step in range(STEPS)})
        if count > STEPS
        else list(range(count))
    )


def _find(remedy: Remedy, document: Document, indices: list[int], met: list[bool], judge: _Judge) -> int | None:
    """Position of the least amount that meets: the first coarse one, then halved down towards the one before it."""
    if True not in met:
        return None
    at = met.index(True)
    low, high = (indices[at - 1] if at else -1), indices[at]
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if judge.meets(remedy.apply(document, remedy.amounts[middle])) else (middle, high)
    return high


@dataclass(frozen=True)
class _Task:
    document: Any
    design: Design
    allowed: Allowed
    now: float  # the least share of what is required, as it stands
    kind: tuple[int, ...]  # positions of the remedies: one or two
    reach: tuple[int, ...] = ()  # how far up each scale a pair is looked for
    crew: bool = False  # whether one person on one side is asked too


def _single(task: _Task) -> Single:
    document, allowed = task.document, task.allowed
    remedy = remedies(task.design)[task.kind[0]]
    indices = _coarse(len(remedy.amounts))
    curve: list[tuple[float, float | None]] = []
    met: list[bool] = []
    best: tuple[float, float | None, str] = (task.now, None, "")
    doubted: tuple[float, Doubt] | None = None  # the first amount whose margins are met by a value past its range
    for position in indices:
        amount = remedy.amounts[position]
        changed = _read(remedy.apply(document, amount))
        found = None if changed is None else outcome(changed, trials=False, crew=task.crew)
        met_all = found is not None and not found.shortest
        doubt = _new_doubt(changed, allowed) if changed is not None and met_all else None
        met.append(met_all and doubt is None)
        curve.append((amount, None if found is None else found.least.share))
        if doubt is not None and doubted is None:
            doubted = amount, doubt
        if found is not None and not doubt and found.least.share > best[0] * (1 + 1e-6):
            best = (found.least.share, amount, found.least.check)
    at = _find(remedy, document, indices, met, _Judge(allowed, crew=task.crew))
    least = None if at is None else remedy.amounts[at]
    doubted = doubted if least is None else None
    changed = None if least is None else _read(remedy.apply(document, least))
    said = least if least is not None else doubted[0] if doubted else best[1]
    return Single(
        remedy.name,
        tuple(curve),
        least,
        said,
        best[1],
        best[0],
        best[2],
        None if changed is None else _amounts(changed),
        doubted[1] if doubted else None,
    )


def _pair(task: _Task) -> Pair | None:
    """The pair with the least effort, among a few amounts of the first and the least of the second that goes with
    each.
    """
    document, judge, reach = task.document, _Judge(task.allowed), task.reach
    one, two = (remedies(task.design)[at] for at in task.kind)
    best: tuple[float, float, float, Document] | None = None
    for position in sorted({max(round(reach[0] * step / PAIR_STEPS), 0) for step in range(PAIR_STEPS)}):
        changed = one.apply(document, one.amounts[position])
        high = reach[1]
        if not judge.meets(two.apply(changed, two.amounts[high])):
            continue
        low = -1
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (low, middle) if judge.meets(two.apply(changed, two.amounts[middle])) else (middle, high)
        effort = (position + 1) / len(one.amounts) + (high + 1) / len(two.amounts)
        if best is None or effort < best[0]:
            best = effort, one.amounts[position], two.amounts[high], two.apply(changed, two.amounts[high])
    if best is None:
        return None
    effort, a, b, both_changed = best
    if judge.meets(one.apply(document, a)) or judge.meets(two.apply(document, b)):
        return None
    return Pair((one.name, two.name), (a, b), effort, _amounts(design_from_document(both_changed)))


def _diameter_meets(task: tuple[Document, float, Allowed]) -> bool:
    document, diameter, allowed = task
    return _Judge(allowed).meets(set_key(document, "dome.inside_diameter", f"{diameter:.9g} m"))


def _largest(task: _Task, crew: Crew, progress: Progress, parts: Parts | None) -> Largest | None:
    design = task.design
    if design.dome.profile == "measured":
        return None
    start, step = DIAMETERS
    end = max(2.0 * design.dome.inside_diameter, 8.0)
    diameters = [round(start + step * index, 6) for index in range(int((end - start) / step + 1.5))]
    met = spread_kept(
        _diameter_meets,
        [(task.document, diameter, task.allowed) for diameter in diameters],
        crew,
        partial(_told, progress, "largest diameter", len(diameters)),
        (parts, LARGEST, bool),
    )
    good = [diameter for diameter, ok in zip(diameters, met, strict=True) if ok]
    if not good:
        return Largest(None, None, diameters[-1], False)
    first_bad = next(
        (diameter for diameter, ok in zip(diameters, met, strict=True) if not ok and diameter > good[0]), None
    )
    below = [diameter for diameter in good if first_bad is None or diameter < first_bad]
    return Largest(below[-1], good[-1], diameters[-1], good[-1] == diameters[-1])


def choose(
    given: Given,
    *,
    changes: Sequence[str] = (),
    pairs: bool = True,
    largest: bool = True,
    crew: Crew = ALL_CORES,
    progress: Progress = quiet,
    keep_in: Path | None = None,
) -> Choice:
    """Everything that would make a design meet what is required.

    Parameters
    ----------
    given
        A design file, or a design in hand.
    changes
        Names of the changes that are looked at, such as ``"wider tube"``, or ``"scaffold"`` for the height up to which
        one person on one side of a ring is held; () for all that make sense for the design.
    pairs, largest
        False leaves out the pairs of changes, or the largest diameter, which take most of the time.
    crew
        Who does the work, which changes no answer.
    progress
        Called with what is being done, how many steps are done, and how many there are.
    keep_in
        Folder that finished parts are kept in, and taken from; None keeps none. Whoever gives one takes the parts away
        once the results are written: `Choice.parts`.

    Returns
    -------
    Choice
        The single changes and the pairs, each with its cost: fill [m3], tube and wire [m], weight [kN]; the largest
        inside diameter [m]; where a scaffold has to take the crew [m]. Where one person on one side alone falls short,
        other changes are looked at only where they are named, and no pairs.

    Raises
    ------
    InputError
        The design cannot be read, or has no change of a name in `changes`.
    UnbuildableError
        It cannot be built as it stands.
    RunError
        The cluster or a worker process was lost, or a part could not be kept.

    Notes
    -----
    Asked of the ring-symmetric check alone, but for that person; `Choice.block_model` says whether an answer also needs
    the block model.
    """
    document = document_of(given)
    design = design_from_document(document, name_of(given))
    check_openings(build_dome(design), design.name)
    rings, doubts = outcome(design), doubts_of(build_dome(design))
    now = rings if rings.shortest else outcome(design, crew=True)
    alone = bool(now.shortest) and not rings.shortest
    task = _Task(document, design, _allowed(doubts), now.least.share, (), crew=alone)
    wanted = _wanted(remedies(design), changes)
    parts = None if keep_in is None else Parts(keep_in, parts_digest("choose", design_sha256(design), document, wanted))
    scaffold = _scaffold(task, progress, parts) if not changes or SCAFFOLD in changes else None
    # Where that person alone falls short rings say nothing: what is to be asked of blocks has to be named.
    looked_at = now.shortest and (changes or not alone)
    singles = _singles(task, wanted, crew, progress, parts) if looked_at else []
    found = _pairs((task, wanted, singles), crew, progress, parts) if singles and pairs and not alone else []
    return Choice(
        design,
        now,
        _amounts(design),
        tuple(singles),
        tuple(found),
        _largest(task, crew, progress, parts) if largest else None,
        needs_blocks(build_dome(design)),
        doubts,
        (pairs and not alone, largest),
        document,
        scaffold,
        None if scaffold is None else with_scaffold(document, scaffold),
        alone,
        parts,
    )


def _wanted(known: Sequence[Remedy], changes: Sequence[str]) -> list[int]:
    """Positions of the remedies of these names, or of all; InputError for a name that none of them has."""
    names = [remedy.name for remedy in known]
    unknown = [name for name in changes if name not in (*names, SCAFFOLD)]
    if unknown:
        raise InputError([Problem("--change", f"any of {', '.join((*names, SCAFFOLD))}", f"{unknown[0]!r}")])
    return [at for at, name in enumerate(names) if not changes or name in changes]


def _scaffold(task: _Task, progress: Progress, parts: Parts | None) -> Scaffold | None:
    """Up to which ring one person on one side is held."""

    def make() -> Scaffold | None:
        return find_scaffold(task.design, task.document, progress)

    return kept_or_made(parts, OF_CREW, Scaffold | None, make)


def _singles(task: _Task, wanted: Sequence[int], crew: Crew, progress: Progress, parts: Parts | None) -> list[Single]:
    tasks = [replace(task, kind=(index,)) for index in wanted]
    done = partial(_told, progress, "single changes", len(tasks))
    return spread_kept(_single, tasks, crew, done, (parts, SINGLES, Single))


def _pairs(
    of: tuple[_Task, Sequence[int], Sequence[Single]], crew: Crew, progress: Progress, parts: Parts | None
) -> list[Pair]:
    """Pairs of changes, neither of them as large as what is enough alone."""
    task, wanted, singles = of
    known, reach = remedies(task.design), {}
    for at, single in zip(wanted, singles, strict=True):
        amounts = known[at].amounts
        reach[at] = (len(amounts) if single.least is None else amounts.index(single.least)) - 1
    tasks = [
        replace(task, kind=(a, b), reach=(reach[a], reach[b]))
        for a, b in itertools.combinations(wanted, 2)
        if reach[a] >= 0 and reach[b] >= 0
    ]
    done = partial(_told, progress, "pairs of changes", len(tasks))
    found = spread_kept(_pair, tasks, crew, done, (parts, PAIRS, Pair | None))
    return sorted((one for one in found if one is not None), key=lambda pair: (round(pair.effort, 9), pair.names))


def _told(progress: Progress, what: str, of: int, done: int) -> None:
    progress(what, done, of)
