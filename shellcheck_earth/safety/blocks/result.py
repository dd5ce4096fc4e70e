"""What the block model found for one kind of load, and how finished cases are kept between runs."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any, Literal

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.basics.reading import read_text
from shellcheck_earth.design.design import Design

__all__ = ["CutResult", "Mechanism", "Press", "Status", "ThreeDResult", "read_result", "write_result"]

VERSION = 12
"""Of the calculation: results kept by another version are solved again."""

LARGEST_CASE = 20_000_000
"""Bytes of a finished case; the largest seen has 30 kB."""

Status = Literal["solved", "cannot say"]


@dataclass(frozen=True)
class CutResult:
    """One line of the convergence table; multiplier None: not established. at_least: not looked for further up."""

    cuts: int
    blocks: int
    multiplier: float | None
    at_least: bool = False


@dataclass(frozen=True)
class Mechanism:
    """What moves first. `courses`: numbers of the lowest and the highest course that move (None: buttresses alone);
    `span`: from and to on plan [rad] (None: all around); `ways`, with `towards` the bearing of a sideways drift [rad];
    `openings` whose head goes too, and `buttresses`, by their place in the design file counted from 0.
    """

    courses: tuple[int, int] | None
    span: tuple[float, float] | None
    ways: tuple[Literal["sideways", "outward", "inward", "sink", "lift", "tip"], ...]
    towards: float | None
    openings: tuple[int, ...]
    buttresses: tuple[int, ...]


@dataclass(frozen=True)
class Press:
    """The greatest force [kN] at one place: on a bed of the jambs or a face of the head of an opening, in the ring
    above it, or all that leans on a buttress; `index` is its place in the design file counted from 0.
    """

    place: Literal["jambs", "head", "ring above", "buttress"]
    index: int
    force: float


@dataclass(frozen=True)
class ThreeDResult:
    """One kind of load on one state of the dome.

    associated, non_associated  with ordinary friction (least over the cuts) and without dilation (coarser cut)
    relied, required            relied on and required; at_least: `relied` is only what was looked for
    mechanism                   what moves first; forces: at jambs, over heads, on buttresses
    directions                  (bearing [rad], least multiplier with ordinary friction) of everything tried, the
        governing one first
    motions                     of the coarser cut's blocks (n, 6), for pictures; course_top: how many courses stand
    """

    id: str
    title: str
    criterion: str
    associated: float | None
    non_associated: float | None
    relied: float | None
    required: float
    meets: bool
    status: Status
    why: str
    at_least: bool
    mechanism: Mechanism | None
    forces: tuple[Press, ...]
    convergence: tuple[CutResult, ...]
    directions: tuple[tuple[float, float], ...]
    motions: tuple[tuple[float, ...], ...]
    course_top: int


def _key(design: Design, case_id: str, cuts: tuple[int, ...]) -> str:
    said = repr(
        (
            VERSION,
            cuts,
            case_id,
            replace(design, bases={}, criteria=replace(design.criteria, required={})),
            sorted(design.criteria.required.items()),
        )
    )
    return hashlib.sha256(said.encode()).hexdigest()[:20]


def read_result(cache_dir: Path | None, design: Design, case_id: str, cuts: tuple[int, ...]) -> ThreeDResult | None:
    """A finished case from an earlier run; None where there is none or it cannot be read."""
    path = cache_dir / f"{case_id}-{_key(design, case_id, cuts)}.json" if cache_dir else None
    if path is None or not path.is_file():
        return None
    try:
        raw = json.loads(read_text(path, "a finished case", LARGEST_CASE))
        raw["convergence"] = tuple(CutResult(**line) for line in raw["convergence"])
        raw["forces"] = tuple(Press(**press) for press in raw["forces"])
        raw["mechanism"] = _read_mechanism(raw["mechanism"])
        raw["directions"] = tuple((float(a), float(b)) for a, b in raw["directions"])
        raw["motions"] = tuple(tuple(float(v) for v in row) for row in raw["motions"])
        return ThreeDResult(**raw)
    except (InputError, ValueError, TypeError, KeyError, RecursionError):
        return None  # a file cut short by a stop: the case is solved again


def _read_mechanism(raw: dict[str, Any] | None) -> Mechanism | None:
    if raw is None:
        return None
    tuples: dict[str, Any] = {key: tuple(value) if isinstance(value, list) else value for key, value in raw.items()}
    return Mechanism(**tuples)


def write_result(cache_dir: Path | None, design: Design, cuts: tuple[int, ...], result: ThreeDResult) -> None:
    """Keep a finished case, whole or not at all; nothing without a folder."""
    if cache_dir is None:
        return
    cache_dir.mkdir(parents=True, exist_ok=True)
    path = cache_dir / f"{result.id}-{_key(design, result.id, cuts)}.json"
    part = path.with_suffix(".part")
    part.write_text(json.dumps(asdict(result)), encoding="utf-8")
    part.replace(path)
