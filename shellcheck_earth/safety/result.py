"""What a check found: frozen data, complete or absent. Every view reads this and nothing else.

Units as in the names' comments: m, kN, kPa, per radian where said. `None` is "no finite value", with a reason in `why`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal

from shellcheck_earth.basics.renderers import render
from shellcheck_earth.design.design import Basis, Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import Advice
from shellcheck_earth.loads.cases import Kind
from shellcheck_earth.loads.model import Model
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.findings import BedWorking, Caution
from shellcheck_earth.safety.weather_result import Weather

__all__ = [
    "Assumption",
    "CaseResult",
    "ChartPoint",
    "Doubt",
    "DoubtKind",
    "FixedNumber",
    "Margin",
    "Result",
    "Sensitivity",
    "Status",
    "ThrustLine",
    "Totals",
    "Verdict",
    "Why",
]

Status = Literal["admissible", "inadmissible", "cannot say"]
Verdict = Literal["meets", "falls short", "cannot say"]
DoubtKind = Literal[
    "load not stated",
    "past its range",
    "stabiliser not stated",
    "its range overturns",
    "criteria lowered",
    "load without a row",
    "ground of a row",
    "water against the wall",
    "earth shaken",
    "earth over an opening",
    "not established",
    "not proven",
    "blocks not asked",
    "blocks rest on it",
    "blocks not established",
    "proofs not asked",
]
Why = Literal["", "nothing needed", "none enough", "no line", "not closed"]


@dataclass(frozen=True)
class ThrustLine:
    """The resultant at each bed, top bed first: radius x [m], level z [m], H and V per radian [kN]."""

    kind: Literal["least", "greatest", "middlemost"]
    x: tuple[float, ...]
    z: tuple[float, ...]
    H: tuple[float, ...]
    V: tuple[float, ...]
    ring: tuple[float, ...]  # ring compression C of each course [kN], top first
    wire: tuple[float, ...]  # wire tension T of each bed [kN], top first


@dataclass(frozen=True)
class Margin:
    """One check of one case: capacity over demand.

    factor       available over needed; None where there is no finite value, with the reason in `why`
    required     the least factor that the criteria accept
    meets        factor at least `required`; None where neither could be established
    course       the bed (under this course) or the course that governs
    why          "", "nothing needed", "none enough", "no line" (reaches the ground), "not closed" (cannot say)
    combination  the row of partial factors it was asked under, "" for none
    """

    check: str
    available: float | None
    needed: float | None
    unit: str
    factor: float | None
    required: float
    meets: bool | None
    course: int | None
    basis: Basis
    why: Why = ""
    combination: str = ""

    @property
    def share(self) -> float:
        """Factor over what is required: 1 just meets; inf where nothing is needed, 0 where nothing is enough."""
        if self.factor is None:
            return math.inf if self.meets else 0.0
        return self.factor / self.required


@dataclass(frozen=True)
class CaseResult:
    """One case: a stage, a moisture, a load. `counts` is False for a what-if that the verdict leaves out."""

    id: str
    title: str
    stage: int
    kind: Kind
    wetting: str
    counts: bool
    crew: bool  # workers stand on the top ring
    status: Status
    failing_course: int | None  # the bed that empties the admissible set, when inadmissible
    least_thrust: float | None  # kN per radian at the lowest bed
    greatest_thrust: float | None
    needed_bed_friction: float | None
    needed_bed_friction_no_wire: float | None
    needed_strength: float | None  # kPa
    needed_wire_tension: float | None  # kN
    geometric_factor: float | None
    overall_reserve: float | None
    vertical: float  # V at the lowest bed, kN per radian
    margins: tuple[Margin, ...]
    governs: Mapping[str, int]  # quantity name -> number of the course whose bed governs
    why: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))  # quantity -> why it is None
    lines: tuple[ThrustLine, ...] = ()
    proof: str = ""  # "" none asked for; else what the independent check established

    @property
    def building(self) -> bool:
        """A stage of the work, or weather during it."""
        return self.kind != "finished"


@dataclass(frozen=True)
class Totals:
    """What the whole dome weighs and takes."""

    weight: float  # kN, finished dry
    tube_length: float  # m
    fill_volume: float  # m3
    wire_length: float  # m
    courses: int


@dataclass(frozen=True)
class Assumption:
    """One input that was not measured: its value as used, its range, and how it is known."""

    path: str
    value: str
    low: str
    high: str
    basis: Basis
    known: str  # measured | read | memory | common practice | proposed | stated
    source: str
    how_to_measure: str


@dataclass(frozen=True)
class FixedNumber:
    """One number behind the answer that no design file changes; `key` as in basics/fixed.toml, `value` as shown."""

    key: str
    value: str
    known: str  # read | memory | common practice | proposed
    source: str
    note: str


@dataclass(frozen=True)
class Sensitivity:
    """The verdict with one assumed input at an end of its range, everything else unchanged."""

    path: str
    at: str  # the value tried, with its unit
    verdict: Verdict
    decides: bool  # True when it differs from the verdict of the design


@dataclass(frozen=True)
class ChartPoint:
    """Needed bed friction (None: none is enough) for a counted wire tension [kN]."""

    wire_tension: float
    needed_friction: float | None


@dataclass(frozen=True)
class Doubt:
    """One reason why a design that falls short of nothing still gets no "meets".

    kind   what kind of reason; `views.text.doubts` has a sentence for each
    path   the key of the design file, the case or the check it is about
    value  what was found there; `bound`: what would do, or what it was compared with
    """

    kind: DoubtKind
    path: str = ""
    value: str = ""
    bound: str = ""


@dataclass(frozen=True)
class Result:
    """The whole answer for one design.

    ring_weights  kN, whole ring with its plaster, service moisture, lowest course first
    doubts        what stands between the design and a "meets", most important first; () where nothing does
    certificate   the text of certificate.json; None where no proofs were asked for
    fixed         numbers of the method that no design file changes, those that this design uses
    workings      of each check the bed that governs it
    weather       the calendar of the work, dry and in the stated rain; None where it was not asked for
    blocks        cases of the block model, where the design needs them
    """

    model: Model
    ring_weights: tuple[float, ...]
    totals: Totals
    cases: tuple[CaseResult, ...]
    verdict: Verdict
    doubts: tuple[Doubt, ...]
    assumptions: tuple[Assumption, ...]
    fixed: tuple[FixedNumber, ...]
    sensitivity: tuple[Sensitivity, ...]
    friction_chart: tuple[ChartPoint, ...]
    workings: tuple[BedWorking, ...]
    cautions: tuple[Caution, ...]
    advice: tuple[Advice, ...] = ()
    certificate: str | None = None
    weather: Weather | None = None
    blocks: tuple[BlockResult, ...] = ()
    proofs: tuple[str, ...] = ()

    @property
    def design(self) -> Design:
        return self.model.design

    @property
    def dome(self) -> Dome:
        return self.model.dome

    @property
    def margins(self) -> tuple[Margin, ...]:
        """The margin of each check that comes closest to what is required, or falls shortest of it, over all
        counted cases.
        """
        return tuple(margin for _, margin in self.governing().values())

    def governing(self) -> dict[str, tuple[CaseResult, Margin]]:
        """For each check the counted and established case with the least share of what is required."""
        worst: dict[str, tuple[CaseResult, Margin]] = {}
        for case in self.cases:
            for margin in case.margins if case.counts and case.status != "cannot say" else ():
                if margin.check not in worst or margin.share < worst[margin.check][1].share:
                    worst[margin.check] = (case, margin)
        return worst

    def case(self, case_id: str) -> CaseResult:
        """The case of that id; KeyError if there is none."""
        for case in self.cases:
            if case.id == case_id:
                return case
        raise KeyError(case_id)

    def save(self, folder: str | Path) -> tuple[Path, ...]:
        """Write the files that the command `check` writes: report.pdf, assessment.json, courses.csv, courses.xlsx,
        section.svg, section-phone.svg, certificate.json (where proofs were asked for) and mechanism.glb (where blocks
        move).

        Parameters
        ----------
        folder
            Where to; made where it does not exist. Older results are replaced, those of another design removed; a file
            of another kind is never touched.

        Returns
        -------
        tuple of Path
            What was written.

        Raises
        ------
        OutputError
            The place is taken or closed; nothing was written.
        RunError
            The disk failed; nothing was written.
        """
        written: tuple[Path, ...] = render(self, "files", Path(folder))
        return written

    def to_dict(self) -> dict[str, Any]:
        """The data of assessment.json as plain dictionaries, lists, texts and numbers: SI, keys with their unit.

        `views/export/assessment.schema.json` says what each key holds.
        """
        data: dict[str, Any] = render(self, "data")
        return data

    def _repr_html_(self) -> str:
        """For a notebook: verdict, caution, section, margins."""
        return str(render(self, "html"))

    def __repr__(self) -> str:
        said = ", ".join(
            f"{m.check} {m.share:.2f} of required" for m in sorted(self.margins, key=lambda m: m.share)[:3]
        )
        return f"<Result {self.design.name!r}: {self.verdict}; {len(self.cases)} cases; least margins: {said}>"
