"""Finished block cases kept between runs: what a file says is believed only as far as it can be recomputed.

A file's name holds a digest of everything its numbers come from: the values of the design, the dome and the case made
of them, the sources of the block model, and the versions of the solvers. What is read is bounded, held to the numbers
that are known without it (what is asked for, the ring-symmetric reserve, the cuts, the directions), and judged anew.
Whatever does not fit is solved again; a folder that cannot be read or written never fails a check.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, replace
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any, get_args, get_type_hints

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.basics.whole import write_whole
from shellcheck_earth.design.digest import design_content
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.footing import asked_weight
from shellcheck_earth.loads.side_loads import DIRECTIONS
from shellcheck_earth.safety.blocks.cuts import still_finer
from shellcheck_earth.safety.blocks.jobs import Job
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, Outcome, Press, RowFound, outcome
from shellcheck_earth.safety.blocks.sideways import REFINED

__all__ = ["SOURCES", "read_result", "source_digest", "write_result"]

PACKAGE = Path(__file__).parents[2]
SOURCES = (
    "basics/fixed.toml",
    "design/criteria.py",
    "geometry/blocks.py",
    "geometry/footing.py",
    "geometry/heads.py",
    "geometry/layout.py",
    "geometry/meridians.py",
    "geometry/openings.py",
    "loads/combinations.py",
    "loads/footing.py",
    "loads/joint.py",
    "loads/side_loads.py",
    "mechanics/blocks",
    "safety/blocks",
)
"""Where the block model is written. What is made below it (courses, cases, loads) goes into the key as numbers, and the
ring-symmetric reserve is computed anew whenever a file is read."""

SOLVERS = ("clarabel", "numpy", "scipy")

MOST_BYTES, MOST_TEXT = 50_000_000, 2_000
NEAR = 1e-6
"""Relative difference up to which two ways to one number agree."""

NUMBERS = ("associated", "non_associated")


class _RefusedError(ValueError):
    """A kept case that does not fit."""


@cache
def source_digest() -> str:
    """Of every source file of the block model, by name and content (line ends apart)."""
    found = hashlib.sha256()
    for place in SOURCES:
        path = PACKAGE / place
        for one in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            found.update(f"{one.relative_to(PACKAGE).as_posix()}\0".encode())
            found.update(one.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return found.hexdigest()


@cache
def _solvers() -> tuple[str, ...]:
    out = []
    for name in SOLVERS:
        try:
            out.append(f"{name} {version(name)}")
        except PackageNotFoundError:
            out.append(f"{name} unknown")
    return tuple(out)


def key_of(dome: Dome, job: Job, cuts: tuple[int, ...]) -> str:
    """Digest of all that a case's numbers come from."""
    said = (
        source_digest(),
        _solvers(),
        cuts,
        design_content(dome.design, "bases"),
        dome.courses,
        (dome.floor, dome.ground),
        asked_weight(dome.design) if dome.design.footing else (),
        job,
    )
    return hashlib.sha256(repr(said).encode()).hexdigest()


def _path(cache_dir: Path, job_id: str, key: str) -> Path:
    return cache_dir / f"{job_id}-{key[:20]}.json"


def _digest(content: dict[str, Any], key: str) -> str:
    text = json.dumps(content, sort_keys=True, allow_nan=False)
    return hashlib.sha256(f"{key}\n{text}".encode()).hexdigest()


def read_result(
    cache_dir: Path | None, dome: Dome, job: Job, cuts: tuple[int, ...], ring: Callable[[], float]
) -> BlockResult | None:
    """A finished case from an earlier run, judged anew; None where there is none or anything about it does not fit.

    ring: the ring-symmetric overall reserve of the job's case, computed today; asked for only where there is a file.
    """
    if cache_dir is None:
        return None
    key = key_of(dome, job, cuts)
    try:
        path = _path(cache_dir, job.id, key)
        if not path.is_file():
            return None
        raw = json.loads(read_text(path, "a finished case", MOST_BYTES), parse_constant=_not_finite)
        if set(raw) != {"key", "digest", "case"} or raw["key"] != key or raw["digest"] != _digest(raw["case"], key):
            return None
        return _Read(raw["case"], dome, job, cuts).result(ring())
    except (InputError, OSError, ValueError, TypeError, LookupError, AttributeError, ArithmeticError, RecursionError):
        return None  # cut short by a stop, edited, or from elsewhere: solved again


def _not_finite(name: str) -> float:
    raise _RefusedError(name)


def _number(value: Any, low: float, high: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _RefusedError("a number")
    if not (math.isfinite(value) and low <= value <= high):
        raise _RefusedError("a number in range")
    return float(value)


def _text(value: Any) -> str:
    if not isinstance(value, str) or len(value) > MOST_TEXT or not value.isprintable():
        raise _RefusedError("a line of text")
    return value


class _Read:
    """One kept case against what is known without it; ValueError and its like where they differ."""

    def __init__(self, raw: dict[str, Any], dome: Dome, job: Job, cuts: tuple[int, ...]) -> None:
        self.raw, self.dome, self.job, self.cuts = raw, dome, job, cuts
        self.required = job.required(dome.design)
        row = next((row for row in job.rows if raw["title"] == job.titled(row)), job.rows[0])
        self.most = job.most(dome.design, row)

    def _multiplier(self, value: Any) -> float | None:
        return None if value is None else _number(value, 0.0, self.most * (1 + NEAR))

    def _convergence(self) -> tuple[CutResult, ...]:
        lines = []
        for line in self.raw["convergence"]:
            blocks = _number(line["blocks"], 1, 1e7)
            at_least = line["at_least"]
            if set(line) != {"cuts", "blocks", "multiplier", "at_least", "fails"} or not isinstance(at_least, bool):
                raise _RefusedError("a line of the convergence table")
            held, fails = (self._multiplier(line[name]) for name in ("multiplier", "fails"))
            if fails is not None and held is not None and fails < held:
                raise _RefusedError("a mechanism below what is held")
            lines.append(CutResult(int(line["cuts"]), int(blocks), held, at_least, fails))
        asked = (*self.cuts, *still_finer(self.cuts))
        if lines and [line.cuts for line in lines] != list(asked[: len(lines)]):
            raise _RefusedError("the cuts")
        return tuple(lines)

    def _directions(self, relied: float | None) -> tuple[tuple[float, float], ...]:
        found = tuple(
            (_number(b, -1e3, 1e3), _number(m, 0.0, self.most * (1 + NEAR))) for b, m in self.raw["directions"]
        )
        asked = [load.bearing for load in self.job.loads]
        # one may lie between those of the design: where the step between them was halved about the worst
        part = math.pi / DIRECTIONS / 2 ** (REFINED - 1)
        off = [min(abs(math.remainder(b - other, part)) for other in asked) for b, _ in found]
        between = [b for b, _ in found if all(abs(math.remainder(b - other, 2 * math.pi)) > NEAR for other in asked)]
        if any(way > NEAR for way in off) or len(set(between)) > 1:
            raise _RefusedError("a direction that is not asked for")
        if relied is not None and found and (relied > min(m for _, m in found) or len(found) < len(asked)):
            raise _RefusedError("relied on is more than one direction holds, or a direction is left out")
        return found

    def _places(self, found: Any, of: int) -> tuple[int, ...]:
        if any(isinstance(place, bool) or not isinstance(place, int) or not 0 <= place < of for place in found):
            raise _RefusedError("a place in the design file")
        return tuple(found)

    def _press(self, raw: dict[str, Any]) -> Press:
        design = self.dome.design
        of = len(design.buttresses if raw["place"] == "buttress" else design.openings)
        if raw["place"] not in get_args(get_type_hints(Press)["place"]) or set(raw) != {"place", "index", "force"}:
            raise _RefusedError("a place")
        (index,) = self._places([raw["index"]], of)
        return Press(raw["place"], index, _number(raw["force"], 0.0, 1e9))

    def _mechanism(self) -> Mechanism | None:
        raw, design = self.raw["mechanism"], self.dome.design
        if raw is None:
            return None
        (ways,) = (get_args(get_args(get_type_hints(Mechanism)["ways"])[0]),)
        if any(way not in ways for way in raw["ways"]):
            raise _RefusedError("a way to move")
        courses, span, towards = raw["courses"], raw["span"], raw["towards"]
        if courses is not None and not all(isinstance(number, int) for number in courses):
            raise _RefusedError("numbers of courses")
        low, high = (self.dome.course(number).number for number in courses) if courses else (0, 0)
        angle = 2 * math.pi + NEAR
        start, end = (_number(bearing, 0.0, angle) for bearing in span) if span else (0.0, 0.0)
        return Mechanism(
            (low, high) if courses else None,
            (start, end) if span else None,
            tuple(raw["ways"]),
            None if towards is None else _number(towards, 0.0, angle),
            self._places(raw["openings"], len(design.openings)),
            self._places(raw["buttresses"], len(design.buttresses)),
        )

    def result(self, ring: float) -> BlockResult:
        raw, job = self.raw, self.job
        if raw["id"] != job.id or raw["course_top"] != len(job.case.states):
            raise _RefusedError("another case")
        associated, non_associated = (self._multiplier(raw[name]) for name in NUMBERS)
        table = self._convergence()
        known = [line.multiplier for line in table if line.multiplier is not None]
        if associated:
            self._consistent(associated, table, known, ring)
        elif associated == 0.0 and known and min(known) > 0.0:
            raise _RefusedError("nothing held beside cuts that hold")
        found = outcome(
            associated,
            non_associated,
            known,
            self.required,
            sideways=bool(job.loads),
            why=_text(raw["why"]),
            most=self.most,
        )
        directions = self._directions(found.relied)
        if job.loads and found.relied and not directions:
            raise _RefusedError("no directions")
        return BlockResult(
            id=job.id,
            title=_text(raw["title"]),
            criterion=job.criterion,
            associated=associated,
            non_associated=non_associated,
            relied=found.relied,
            required=self.required,
            status=found.status,
            why=found.why,
            at_least=found.at_least,
            mechanism=self._mechanism(),
            forces=tuple(self._press(one) for one in raw["forces"]),
            convergence=table,
            directions=directions,
            motions=tuple(tuple(_number(v, -1e6, 1e6) for v in row) for row in raw["motions"]),
            course_top=len(job.case.states),
            drawn=self._drawn(table),
            between=self._between(directions),
            rows=self._rows(found),
            wetting=job.case.wetting,
            building=job.case.building,
        )

    def _between(self, directions: tuple[tuple[float, float], ...]) -> tuple[tuple[str, str, int], ...]:
        """The directions between those of the design, each with its load, row and steps; none is left out."""
        loads = {load.id: load.bearing for load in self.job.loads}
        rows, part = [row.name for row in self.job.rows], math.pi / DIRECTIONS / 2 ** (REFINED - 1)
        out = []
        for load, row, steps in self.raw["between"]:
            whole = isinstance(steps, int) and not isinstance(steps, bool) and 0 < abs(steps) < 2**REFINED
            if load not in loads or row not in rows or not whole:
                raise _RefusedError("a direction that is not asked for")
            out.append((load, row, steps))
        found = [loads[load] + part * steps for load, _, steps in out]
        for bearing, _ in directions:
            alike = [*loads.values(), *found]
            if all(abs(math.remainder(bearing - other, 2 * math.pi)) > NEAR for other in alike):
                raise _RefusedError("a direction without its load")
        return tuple(out)

    def _rows(self, found: Outcome) -> tuple[RowFound, ...]:
        """Every row that was asked, first the one that the case relies on, judged anew; none left out, none less."""
        asked, of = {row.name: row for row in self.job.rows}, bool(self.job.loads)
        out: list[RowFound] = []
        for raw in self.raw["rows"]:
            if set(raw) != {"row", "title", "bearing", "loads", "relied", "at_least"} or raw["row"] not in asked:
                raise _RefusedError("a row that is not asked for")
            most = self.job.most(self.dome.design, asked[raw["row"]]) * (1 + NEAR)
            bearing, held, loads, at_least = (raw[name] for name in ("bearing", "relied", "loads", "at_least"))
            bearing = None if bearing is None else _number(bearing, -1e3, 1e3)
            held = None if held is None else _number(held, 0.0, most)
            whole = type(loads) is int and 0 < loads <= (2 * len(self.job.loads) if of else 1)
            if not whole or type(at_least) is not bool or (bearing is not None) != of:
                raise _RefusedError("a row of another kind")
            out.append(RowFound(raw["row"], _text(raw["title"]), bearing, loads, held, at_least))
        if not out:
            return ()
        first = replace(out[0], relied=found.relied, at_least=found.at_least)
        least, names = found.relied or 0.0, [row.row for row in out]
        if first.title != self.raw["title"] or len(set(names)) < len(names):
            raise _RefusedError("rows that are not those of the case")
        if any(row.relied is not None and row.relied < least - NEAR * self.required for row in out[1:]):
            raise _RefusedError("a row that holds less than the case")
        if least > 0.0 and set(names) != self._fitting():
            raise _RefusedError("a row is left out")
        return (first, *out[1:])

    def _fitting(self) -> set[str]:
        """Names of the rows at which the case is asked anything."""
        return {row.name for _, row in self.job.asked()} if self.job.loads else {row.name for row in self.job.rows}

    def _drawn(self, table: tuple[CutResult, ...]) -> int:
        drawn, there = self.raw["drawn"], bool(self.raw["motions"])
        if isinstance(drawn, bool) or drawn not in ([line.cuts for line in table] if there else [0]):
            raise _RefusedError("cuts that were not asked")
        return int(drawn)

    def _consistent(self, associated: float, table: tuple[CutResult, ...], known: list[float], ring: float) -> None:
        """A case that holds something: what its parts say together."""
        if len(known) < len(table) or len(known) < len(self.cuts):
            raise _RefusedError("a cut is left out")
        least = min(known) if self.job.loads or self.job.joint else min(*known, ring)
        # a row of partial factors has a ring-symmetric reserve of its own, which may be the lesser one
        low = -math.inf if self.job.joint and not self.job.loads else -NEAR * least
        if not low <= associated - least <= NEAR * least:
            raise _RefusedError("the cuts do not give this number")
        if self.job.loads and ring < 1.0:
            raise _RefusedError("the dead load alone is not held")


def write_result(cache_dir: Path | None, dome: Dome, job: Job, cuts: tuple[int, ...], result: BlockResult) -> None:
    """Keep a finished case, whole or not at all; nothing without a folder, or where the folder cannot be written."""
    if cache_dir is None:
        return
    key = key_of(dome, job, cuts)
    derived = ("criterion", "relied", "required", "meets", "status", "at_least", "proofs", "below", "above", "question")
    case = {name: value for name, value in asdict(result).items() if name not in derived}
    with suppress(OSError, ValueError):  # it is solved again next time
        text = json.dumps({"key": key, "digest": _digest(case, key), "case": case}, allow_nan=False)
        write_whole(_path(cache_dir, job.id, key), text.encode())
