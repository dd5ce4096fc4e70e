"""What an assessment is: frozen data, complete or absent. Every view reads this and nothing else.

Units as in the names' comments: m, kN, kPa, per radian where said. `None` is "no finite value", with a reason in `why`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from shellcheck_earth.design.design import Basis, Design
from shellcheck_earth.geometry.courses import Dome

if TYPE_CHECKING:
    from shellcheck_earth.safety.blocks.solve import ThreeDResult
    from shellcheck_earth.safety.weather import Weather

__all__ = [
    "Assessment",
    "Assumption",
    "CaseResult",
    "ChartPoint",
    "Margin",
    "Sensitivity",
    "Status",
    "ThrustLine",
    "Totals",
    "Verdict",
    "Working",
]

Status = Literal["admissible", "inadmissible", "cannot say"]
Verdict = Literal["meets", "falls short", "cannot say"]


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
    """`factor` is available over needed; `required` is what the criteria ask for. factor None: cannot say or no
    finite value.
    """

    check: str
    available: float | None
    needed: float | None
    unit: str
    factor: float | None
    required: float
    meets: bool
    course: int | None  # the bed (under this course) or the course that governs
    basis: Basis
    why: str = ""
    source: str = ""  # where the required factor comes from and how it is known


@dataclass(frozen=True)
class CaseResult:
    """One case: a stage, a moisture, a load. `counts` is False for a what-if that the verdict leaves out."""

    id: str
    title: str
    stage: int
    wetting: str
    counts: bool
    building: bool  # a stage of the work, or weather during it
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


@dataclass(frozen=True)
class Totals:
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
class Working:
    """One line of the working: what, the formula in words, the formula with the numbers put in, the result, the
    source.
    """

    what: str
    formula: str
    numbers: str
    result: str
    source: str


@dataclass(frozen=True)
class Assessment:
    """The whole answer for one design."""

    design: Design
    dome: Dome
    ring_weights: tuple[float, ...]  # kN, whole ring with its plaster, service moisture, lowest course first
    totals: Totals
    cases: tuple[CaseResult, ...]
    verdict: Verdict
    decisive: str  # one sentence: what decides the verdict
    rule_of_thumb: str
    assumptions: tuple[Assumption, ...]
    sensitivity: tuple[Sensitivity, ...]
    friction_chart: tuple[ChartPoint, ...]
    working: tuple[Working, ...]
    cautions: tuple[str, ...]
    advice: tuple[str, ...] = ()
    certificates: tuple[Mapping[str, Any], ...] = ()  # the proofs, as they go into certificate.json
    weather: Weather | None = None  # the calendar of the work, dry and in the stated rain
    three_d: tuple[ThreeDResult, ...] = ()  # the block model's cases, where the design needs them
    proofs: tuple[str, ...] = ()  # what was proven beyond the status of each case, one sentence each

    def case(self, case_id: str) -> CaseResult:
        """The case of that id; KeyError if there is none."""
        for case in self.cases:
            if case.id == case_id:
                return case
        raise KeyError(case_id)
