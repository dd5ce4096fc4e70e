"""Many designs side by side: every combination of the varied keys, for one design file or several.

Each point goes through the reading and all the checks of a design file, then through `safety.worst`. What cannot be
built is kept apart from what falls short, and both from "cannot say".
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, Literal, get_args

from shellcheck_earth.basics.errors import InputError, Problem
from shellcheck_earth.basics.parallel import NOTHING_KEPT, Crew, each
from shellcheck_earth.basics.progress import Progress, quiet
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.digest import design_sha256, joint_sha256
from shellcheck_earth.design.keys import set_key, written_value
from shellcheck_earth.design.variation import Variation, parse_variation
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.geometry.openings import check_openings
from shellcheck_earth.geometry.reading import design_from_document
from shellcheck_earth.safety.checks import LABELS
from shellcheck_earth.safety.result import Doubt
from shellcheck_earth.safety.worst import Outcome, WorstMargin, outcome
from shellcheck_earth.studies.given import Given, document_of, name_of
from shellcheck_earth.studies.parts import Parts, parts_digest
from shellcheck_earth.studies.strength_aside import ASIDE, geometric_margins

__all__ = ["MOST_POINTS", "PART", "Answer", "Comparison", "Point", "compare", "replaced_keys", "thumb_axes"]

MOST_POINTS = 20_000

PART = 16
"""Points in a part that is kept: what a broken run loses is no more than a moment's work."""

Answer = Literal["meets", "falls short", "cannot say", "not buildable", "holds, strength set aside"]
"""The last is of a study with strength set aside: nothing but strength was found short, and that is no verdict."""

Document = dict[str, Any]


@dataclass(frozen=True)
class Point:
    """One design of the comparison. `chosen`: position in each variation. `why`: why it cannot be built; `doubts`:
    why the answer is "cannot say".
    """

    design: str
    chosen: tuple[int, ...]
    answer: Answer
    why: str
    margins: tuple[WorstMargin, ...]
    doubts: tuple[Doubt, ...] = ()

    def margin(self, check: str) -> WorstMargin | None:
        return next((margin for margin in self.margins if margin.check == check), None)

    @property
    def least(self) -> WorstMargin | None:
        """The margin with the least share of what is required."""
        return min(self.margins, key=lambda margin: (margin.known, margin.share), default=None)


@dataclass(frozen=True)
class Comparison:
    """`designs`: their names, in the order given; `points`: design by design, the last variation running fastest.
    `replaced`: keys of the files that a variation takes the place of; `digests`: of the designs as the files give them;
    `parts`: what is kept of it."""

    designs: tuple[str, ...]
    variations: tuple[Variation, ...]
    points: tuple[Point, ...]
    unit_system: str
    replaced: tuple[str, ...] = ()
    digests: tuple[str, ...] = ()
    strength_aside: bool = False
    parts: Parts | None = field(default=None, compare=False)

    @property
    def digest(self) -> str:
        """One for all the designs compared."""
        return joint_sha256(self.digests)

    @property
    def checks(self) -> tuple[str, ...]:
        return tuple(check for check in LABELS if any(point.margin(check) for point in self.points))

    def values(self, point: Point) -> tuple[str, ...]:
        return tuple(variation.labels[at] for variation, at in zip(self.variations, point.chosen, strict=True))

    def without_effect(self) -> tuple[str, ...]:
        """Keys whose values change no margin anywhere."""
        out = []
        for axis, variation in enumerate(self.variations):
            groups: dict[tuple[str, tuple[int, ...]], set[tuple[Any, ...]]] = {}
            for point in self.points:
                rest = (point.design, (*point.chosen[:axis], *point.chosen[axis + 1 :]))
                groups.setdefault(rest, set()).add((point.answer, point.margins))
            if len(variation.values) > 1 and all(len(found) == 1 for found in groups.values()):
                out.append(variation.path)
        return tuple(out)

    def counts(self) -> dict[Answer, int]:
        """How many points have each answer."""
        out: dict[Answer, int] = {"meets": 0, "falls short": 0, "cannot say": 0, "not buildable": 0}
        if self.strength_aside:
            out = {"holds, strength set aside": 0, "falls short": 0, "cannot say": 0, "not buildable": 0}
        for point in self.points:
            out[point.answer] += 1
        return out

    def __repr__(self) -> str:
        said = ", ".join(f"{count} {answer}" for answer, count in self.counts().items() if count)
        keys = ", ".join(variation.path for variation in self.variations) or "nothing"
        return f"<Comparison of {', '.join(map(repr, self.designs))}, varying {keys}: {said}>"


@dataclass(frozen=True)
class _Piece:
    design: str
    document: Document
    settings: tuple[tuple[str, Any], ...]
    chosen: tuple[int, ...]
    strength_aside: bool = False


WIDTHS = ("wall.flat_width", "wall.filled_width")
"""Two ways to say how wide the tube is: whoever varies one of them means another tube, and the other no longer holds.
"""


def thumb_axes(comparison: Comparison) -> tuple[int, int] | None:
    """Positions of diameter and filled width among the first two keys: where the rule of thumb is a line on the map."""
    paths = [variation.path for variation in comparison.variations[:2] if variation.numbers]
    if set(paths) != {"dome.inside_diameter", "wall.filled_width"}:
        return None
    return paths.index("dome.inside_diameter"), paths.index("wall.filled_width")


def replaced_keys(document: Mapping[str, Any], varied: Sequence[str]) -> tuple[str, ...]:
    """Keys of the file that a variation takes the place of."""
    return tuple(
        other
        for path, other in (WIDTHS, WIDTHS[::-1])
        if path in varied and other not in varied and written_value(document, other) is not None
    )


def _without(document: Mapping[str, Any], paths: Sequence[str]) -> Mapping[str, Any]:
    out = dict(document)
    for path in paths:
        table, key = path.split(".")
        out[table] = {name: value for name, value in out[table].items() if name != key}
    return out


def _work(piece: _Piece) -> Point:
    document: Mapping[str, Any] = _without(
        piece.document, replaced_keys(piece.document, [path for path, _ in piece.settings])
    )
    try:
        for path, value in piece.settings:
            document = set_key(document, path, value)
        design = design_from_document(document)
        check_openings(build_dome(design), design.name)
    except InputError as error:
        return Point(piece.design, piece.chosen, "not buildable", "; ".join(map(str, error.problems)), ())
    if piece.strength_aside:
        margins = geometric_margins(design)
        return Point(piece.design, piece.chosen, _geometric_answer(margins), "", margins)
    found: Outcome = outcome(design, crew=True)
    return Point(piece.design, piece.chosen, found.verdict, "", found.margins, found.doubts)


def _geometric_answer(margins: Sequence[WorstMargin]) -> Answer:
    if any(margin.known and not margin.meets for margin in margins):
        return "falls short"
    return "holds, strength set aside" if all(margin.known for margin in margins) else "cannot say"


def _part(data: Any, pieces: Sequence[_Piece]) -> list[Point] | None:
    """The points of a kept part; None where it is not about these pieces."""
    try:
        points = [
            Point(
                one["design"],
                tuple(one["chosen"]),
                one["answer"],
                one["why"],
                tuple(WorstMargin(**margin) for margin in one["margins"]),
                tuple(Doubt(**doubt) for doubt in one["doubts"]),
            )
            for one in data
        ]
    except (KeyError, TypeError):
        return None
    asked = [(piece.design, piece.chosen) for piece in pieces]
    fits = [(point.design, point.chosen) for point in points] == asked
    return points if fits and all(point.answer in get_args(Answer) for point in points) else None


def _points(pieces: Sequence[_Piece], crew: Crew, progress: Progress, parts: Parts | None) -> list[Point]:
    """The points of all pieces in order: those of kept parts as they are, the rest computed and kept part by part."""
    cut = [pieces[first : first + PART] for first in range(0, len(pieces), PART)]
    known = {} if parts is None else {n: _part(parts.read(n), own) for n, own in enumerate(cut)}
    found = {n: points for n, points in known.items() if points is not None}
    missing = [n for n in range(len(cut)) if n not in found]
    done = sum(len(points) for points in found.values())
    progress("comparing designs", done, len(pieces))
    kept = NOTHING_KEPT if parts is None else parts.kept
    answers = each(_work, [piece for n in missing for piece in cut[n]], crew, kept=kept)
    for n in missing:
        found[n] = []
        for point in itertools.islice(answers, len(cut[n])):
            found[n].append(point)
            done += 1
            progress("comparing designs", done, len(pieces))
        if parts is not None:
            parts.write(n, [asdict(point) for point in found[n]])
    return [point for n in range(len(cut)) for point in found[n]]


def _same_variations(texts: Sequence[str], documents: Sequence[Document]) -> tuple[Variation, ...]:
    """The variations read for every design; InputError when two files would read one of them differently."""
    read = [tuple(parse_variation(text, document) for text in texts) for document in documents]
    for one in read[1:]:
        for first, other in zip(read[0], one, strict=True):
            if first != other:
                raise InputError(
                    [
                        Problem(
                            f"--vary {first.path}",
                            "a unit, since the files write this key in different ones",
                            f"{first.unit} and {other.unit}",
                        )
                    ]
                )
    paths = [variation.path for variation in read[0]]
    twice = {path for path in paths if paths.count(path) > 1}
    if twice:
        raise InputError([Problem("--vary", "each key once", f"{', '.join(sorted(twice))} more than once")])
    return read[0]


def _names(given: Sequence[Given], documents: Sequence[Document]) -> tuple[str, ...]:
    names = [
        str(document.get("design", {}).get("name", one.name if isinstance(one, Design) else one.stem))
        for one, document in zip(given, documents, strict=True)
    ]
    if len(set(names)) < len(names):
        names = [
            f"{name} ({number if isinstance(one, Design) else one})"
            for number, (name, one) in enumerate(zip(names, given, strict=True), 1)
        ]
    return tuple(names)


def compare(
    given: Sequence[Given],
    vary: Sequence[str] = (),
    *,
    workers: int = 0,
    cluster: str = "",
    progress: Progress = quiet,
    keep_in: Path | None = None,
    strength_aside: bool = False,
) -> Comparison:
    """All combinations of the varied keys for each design.

    Parameters
    ----------
    given
        Design files, or designs in hand.
    vary
        ``KEY=FIRST..LAST:HOW MANY UNIT`` or ``KEY=ONE,TWO,...``, one text for each key.
    workers, cluster
        Processes (0: all cores), or the address of a dask scheduler that does it all. Neither changes an answer.
    progress
        Called with what is being done, how many steps are done, and how many there are.
    keep_in
        Folder that finished parts are kept in, and taken from; None keeps none. Whoever gives one takes the parts away
        once the results are written: `Comparison.parts`.
    strength_aside
        The strength of the fill is set aside, so that shape and slenderness show: no point is then said to meet.

    Returns
    -------
    Comparison
        Design by design, the last key running fastest. Margins are shares of what is required [-].

    Raises
    ------
    InputError
        A design that cannot be read as it stands or is there twice, an unknown key, an empty range, more than
        MOST_POINTS points, or not a single point that can be built.
    RunError
        The cluster or a worker process was lost, or a part could not be kept.

    Notes
    -----
    Asked of the ring-symmetric check alone (`safety.worst`), and of blocks where one person on one side of the top ring
    is all that needs them: what needs them for more is never said to meet.

    Examples
    --------
    >>> file = Path("reports/examples/seed-store.toml")
    >>> found = compare([file], ["dome.inside_diameter=2.4,3.6 m"], workers=1)
    >>> [found.values(point) for point in found.points]
    [('2.4 m',), ('3.6 m',)]
    """
    files = [one.resolve() for one in given if isinstance(one, Path)]
    if len(set(files)) < len(files):
        raise InputError([Problem("DESIGN", "each design file once", "one of them twice")])
    documents = [document_of(one) for one in given]
    designs = [design_from_document(document, name_of(one)) for one, document in zip(given, documents, strict=True)]
    if not designs:
        raise InputError([Problem("compare", "at least one design", "none")])
    variations = _same_variations(vary, documents)
    count = len(designs) * math.prod(len(variation.values) for variation in variations)
    if count > MOST_POINTS:
        raise InputError([Problem("--vary", f"at most {MOST_POINTS} designs in all", str(count))])
    names = _names(given, documents)
    names = tuple(f"{name} ({ASIDE})" for name in names) if strength_aside else names
    paths = [variation.path for variation in variations]
    pieces = [
        _Piece(
            name,
            document,
            tuple(zip(paths, (v.values[at] for v, at in zip(variations, chosen, strict=True)), strict=True)),
            chosen,
            strength_aside,
        )
        for name, document in zip(names, documents, strict=True)
        for chosen in itertools.product(*(range(len(variation.values)) for variation in variations))
    ]
    digests = tuple(design_sha256(design) for design in designs)
    parts = (
        None
        if keep_in is None
        else Parts(keep_in, parts_digest(names, digests, documents, variations, PART, strength_aside))
    )
    points = _points(pieces, Crew(workers, cluster), progress, parts)
    if all(point.answer == "not buildable" for point in points):
        if parts is not None:
            parts.clear()
        raise InputError([Problem("--vary", "at least one design that can be built", points[0].why)])
    replaced = sorted({path for document in documents for path in replaced_keys(document, paths)})
    return Comparison(
        designs=names,
        variations=variations,
        points=tuple(points),
        unit_system=designs[0].unit_system,
        replaced=tuple(replaced),
        digests=digests,
        strength_aside=strength_aside,
        parts=parts,
    )
