"""Ask for a proof of every counted case and margin, have each checked by code that shares nothing with the solver, and
keep them for the certificate.

The proofs are about the design file's text, which the checker reads and rebuilds by itself: a fault in the program's
own reading, cutting or weighing shows here as a proof that does not come about.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from shellcheck_earth.basics.errors import InputError
from shellcheck_earth.design.design import Design
from shellcheck_earth.design.write import source_text
from shellcheck_earth.loads.cases import Case as SolverCase
from shellcheck_earth.mechanics.proof.block_cases import block_faults
from shellcheck_earth.mechanics.proof.certify import certify_case
from shellcheck_earth.mechanics.proof.check import FORMAT, certificate_text, changed_cases
from shellcheck_earth.mechanics.proof.doubts import doubts, trials
from shellcheck_earth.mechanics.proof.exclude import find_none
from shellcheck_earth.mechanics.proof.reading import RefusedError, read
from shellcheck_earth.mechanics.proof.rebuild import STANDS, Case, Rebuilt, rebuild
from shellcheck_earth.mechanics.proof.statics import Known, line_fault
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.safety.result import CaseResult, Margin, Verdict

__all__ = ["CaseProof", "Prover", "prove_worst", "question_of"]


@dataclass(frozen=True)
class CaseProof:
    """What is proven of a case. `said`: one sentence. `met`, `short`: the checks shown to be met, and not to be.

    `established`: True when it is proven whether a thrust line exists, False when neither was, None when not asked for.
    """

    said: str
    established: bool | None
    met: frozenset[str] = frozenset()
    short: frozenset[str] = frozenset()

    def confirms(self, check: str, meets: bool) -> bool:
        """Whether the answer to a check is proven; where no line exists, every check falls short."""
        return check in self.met if meets else check in self.short or STANDS in self.short


class Prover:
    """Collects the proofs of one design, which has to be one that a design file can say."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.rebuilt: Rebuilt | None = None
        self.cases: Mapping[str, Case] = {}
        self.entries: dict[str, dict[str, Any]] = {}
        self.tried: list[dict[str, Any]] = []
        self.blocks: list[dict[str, Any]] = []
        self.known: Known = {}
        self.text, self.why = "", ""
        try:
            self.text = source_text(design)
        except InputError:
            self.why = "the design cannot be written as a design file: nothing is proven"
        if not self.why:
            try:
                self.rebuilt = rebuild(read(self.text))
                self.cases = {case.id: case for case in self.rebuilt.cases}
            except RefusedError as refused:
                self.why = f"the checker refuses the design: {refused}"

    def case(self, case_id: str, admissible: bool) -> CaseProof:
        """Prove a case: each of its checks that is met, or that no line exists; checked before it is believed."""
        case = self.cases.get(case_id)
        if case is None:
            return CaseProof(self.why, None)
        self.entries[case_id] = certify_case(case, () if admissible else (STANDS,), self.known)
        found = self.found(case_id)
        stands, falls = STANDS in found.met, STANDS in found.short
        if not stands and not falls:
            return CaseProof("neither a line nor its impossibility could be proven", False, found.met, found.short)
        if stands != admissible:
            # The solver's set uses chords inside what a ring can do; the proof uses the whole of it.
            return CaseProof("the proof and the solver disagree: too close to decide", False, found.met, found.short)
        said = f"proven in exact arithmetic: {'a thrust line exists' if stands else 'no thrust line exists'}"
        return CaseProof(said, True, found.met, found.short)

    def found(self, case_id: str) -> CaseProof:
        """What has been proven of a case so far."""
        entry = self.entries.get(case_id, {"lines": [], "none": []})
        met, short = (frozenset(one for proof in entry[kind] for one in proof["shows"]) for kind in ("lines", "none"))
        return CaseProof("", None, met, short)

    def margin(self, case_id: str, check: str, meets: bool) -> str:
        """One sentence on a margin: proven as the criteria ask for it, or not."""
        case = self.cases.get(case_id)
        if case is None:
            return f"{check}, in {case_id}: not proven"
        if not meets and not self.found(case_id).confirms(check, meets):
            entry = next(
                (find_none(case.beds, question) for question in case.questions if question.name == check), None
            )
            if entry is not None:
                self.entries[case_id]["none"].append(entry)
        if not self.found(case_id).confirms(check, meets):
            return f"{check}, in {case_id}: not proven either way"
        return f"{check}, in {case_id}: proven in exact arithmetic that it {'meets' if meets else 'falls short'}"

    def hold_blocks(self, found: Iterable[BlockResult]) -> tuple[str, ...]:
        """Keep the proofs of block cases for the certificate; what the checker still misses of them."""
        if self.rebuilt is None:
            return ()
        self.blocks = [json.loads(text) for result in found for text in result.proofs]
        try:
            return tuple(block_faults(self.rebuilt.design, self.blocks, wanted=True))
        except RefusedError as refused:
            return (str(refused),)

    def missing(self) -> tuple[str, ...]:
        """Why the checker would not confirm a "meets": what is not proven, what in the design speaks against it, what
        is not proven with an untested value at its bad end. Empty only when nothing is missing; the trials' proofs are
        then kept for the certificate.
        """
        if self.rebuilt is None:
            return (self.why,)
        self.tried = []
        out = [
            f"{question.name} of {case.id} is not proven"
            for case in self.rebuilt.cases
            if case.counts
            for question in case.questions
            if question.name not in self.found(case.id).met
        ]
        out += doubts(self.rebuilt.design)
        if not out:
            for name, design in trials(self.rebuilt.design):
                out += self._try(name, changed_cases(self.rebuilt, design))
        return tuple(out)

    def _try(self, name: str, cases: Iterable[Case]) -> list[str]:
        entries, missing = [], []
        for case in cases:
            entries.append(self._as_before(case) or certify_case(case, known=self.known))
            met = {one for proof in entries[-1]["lines"] for one in proof["shows"]}
            missing += [
                f"with {name}, {question.name} of {case.id} is not proven"
                for question in case.questions
                if question.name not in met
            ]
        self.tried.append({"trial": name, "cases": entries})
        return missing

    def _as_before(self, case: Case) -> dict[str, Any] | None:
        """The lines of the design's own case where they show all that a trial asks of the same beds; None where not."""
        own, lines = self.cases[case.id], self.entries[case.id]["lines"]
        if case.beds is not own.beds or self.found(case.id).met != {question.name for question in case.questions}:
            return None
        changed = [question for question in case.questions if question not in own.questions]
        for line in lines:
            asked = [question for question in changed if question.name in line["shows"]]
            if line_fault(case.beds, asked, line, self.known):
                return None
        return {"case": case.id, "lines": lines, "none": []}

    def certificate(self, verdict: Verdict) -> str:
        """The certificate's text; "" where nothing could be proven."""
        if self.rebuilt is None:
            return ""
        from shellcheck_earth import __version__

        design = self.rebuilt.design
        nothing: dict[str, Any] = {"lines": [], "none": []}
        return certificate_text(
            {
                "format": FORMAT,
                "program": __version__,
                "design_sha256": hashlib.sha256(self.text.encode()).hexdigest(),
                "design": self.text,
                "required": {check: str(value) for check, value in design.required.items()},
                "cases": [self.entries.get(case.id, nothing | {"case": case.id}) for case in self.rebuilt.cases],
                "trials": self.tried if verdict == "meets" else [],
                "blocks": self.blocks if verdict == "meets" else [],
                "verdict": verdict,
            }
        )


def question_of(margin: Margin) -> str:
    """The name of a margin's question in the certificate."""
    return f"{margin.check}, {margin.combination}" if margin.combination else margin.check


class ExaminedCase(Protocol):
    """What is known of a case once it was examined."""

    @property
    def case(self) -> SolverCase: ...
    @property
    def result(self) -> CaseResult: ...


def prove_worst(prover: Prover, examined: Iterable[ExaminedCase]) -> tuple[str, ...]:
    """For each check, the counted and established case that comes closest to what is required, or falls shortest: one
    sentence on its proof.
    """
    worst: dict[str, tuple[Margin, str]] = {}
    for one in examined:
        for margin in one.result.margins if one.case.counts and one.result.status != "cannot say" else ():
            name = question_of(margin)
            if margin.meets is not None and (name not in worst or margin.share < worst[name][0].share):
                worst[name] = (margin, one.case.id)
    return tuple(prover.margin(case_id, name, bool(margin.meets)) for name, (margin, case_id) in worst.items())
