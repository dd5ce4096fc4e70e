"""Paragraphs of the report that no other subject owns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import both, feet_inches
from shellcheck_earth.geometry.courses import TUBE_END_ALLOWANCE, Dome
from shellcheck_earth.safety.result import CaseResult, Result

__all__ = [
    "ASSUMED",
    "CHECKS_IN_WORDS",
    "FACTORS",
    "FIXED",
    "FOR_BUILDER",
    "FOR_ENGINEER",
    "FOR_RECORD",
    "FOR_SITE",
    "HOLDS_IT_UP",
    "LIMITS",
    "SECTION_ALT",
    "STAGES",
    "WHAT_IFS",
    "case_paragraph",
    "compass_paragraph",
    "proof_sentences",
    "working_paragraph",
]

CHECKS_IN_WORDS: Mapping[str, str] = {
    "bed friction": "bed friction",
    "strength": "strength in service",
    "strength while building": "strength while building",
    "geometric factor": "wall thickness (geometric factor)",
    "overall reserve": "all capacities together (overall reserve)",
    "combined factors": "combined factors",
    "wire tension": "wire",
    "standing without wire": "standing without wire",
    "base sliding": "sliding on the ground",
    "ground bearing": "pressure on the ground",
}
"""The checks in words that need no glossary."""

SECTION_ALT = (
    "Section of the dome with its courses, the band between the least and the greatest thrust line, and the bed that"
    " governs"
)
FOR_BUILDER = "For the owner and the builder"
FOR_SITE = "For the site"
FOR_ENGINEER = "For the engineer"
FOR_RECORD = "For the record"
"""Who reads the pages that begin there."""

FACTORS = "Factors: capacity over demand, of the factor required, in the worst case that counts."
HOLDS_IT_UP = (
    "Friction in the beds and tension of the wire share the work of holding the courses that step in. The curve is the"
    " demand for friction, finished and dry, for each tension of the wire that is counted on; under it no thrust line"
    " exists. Slender means more friction or more wire, long before the line leaves the wall."
)
STAGES = (
    "Every stage with the top ring closed and nothing above it, fill as damp as placed, bare and with a crew on the top"
    " ring (one worker's weight on every radian of it; one person alone on one side is a question in three dimensions)."
    " Friction, strength and wire are the demand; the reserve is what all capacities may be divided by."
)
WHAT_IFS = (
    "Questions beyond what the verdict asks, to show how far the answer is from worse. None of them counts, whichever"
    " way it comes out."
)
FIXED = (
    "Numbers that the method rests on and that no design file changes. An engineer who disagrees with one should not"
    " rely on what follows from it."
)
ASSUMED = "Every input that was not measured. Measure those that decide first."
LIMITS = (
    "Rings are taken as perfectly round and level, loads as the same all around; a lopsided dome is weaker.",
    (
        "Fill is rigid up to its strength, beds are level, friction is dry friction; joints take no tension. For the"
        " symmetric dead load the internal forces are taken as unique enough to rely on (D'Ayala & Casapulla 2001,"
        " first page read); with friction, limit analysis may overestimate (Drucker 1954, recalled; Livesley 1978,"
        " abstract read)."
    ),
    (
        "Ring compression is capped by the strength of the fill; the lowest ring takes none, and nothing that needs"
        " prestress is reported as standing."
    ),
    (
        "Settlement, creep and shrinkage are in no verdict (a study: the command settle); frost and decay of fabric are"
        " not checked."
    ),
)
"""What the calculation does not see."""


def case_paragraph(case: CaseResult) -> str:
    """Whether a thrust line exists, where it fails first, whether it counts, and its proof."""
    said = [
        {
            "admissible": "A thrust line exists.",
            "inadmissible": "No thrust line exists.",
            "cannot say": "Neither a thrust line nor its impossibility could be established: cannot say.",
        }[case.status]
    ]
    if case.failing_course is not None:
        said.append(f"The first bed that no thrust line crosses is the one under course {case.failing_course}.")
    if case.proof:
        said.append(f"Proof: {case.proof}.")
    return " ".join(said)


def _setting(length: float, system: str) -> str:
    """A compass length, the user's own system first."""
    shown = [f"{1000 * length:.0f} mm", feet_inches(length)]
    first, second = shown[::-1] if system == "imperial" else shown
    return f"{first} ({second})"


def compass_paragraph(dome: Dome) -> str:
    """What to set the compasses to, and what the tube to cut holds."""
    shape, system = dome.design.dome, dome.design.unit_system
    closing = both(TUBE_END_ALLOWANCE, "length", system) if system == "imperial" else f"{TUBE_END_ALLOWANCE:.2f} m"
    fixed = (
        ""
        if shape.profile == "measured"
        else (
            f"The fixed compass is {_setting(dome.fixed_compass, system)} long, from its pivot on the springing plane,"
            f" {both(dome.pivot_radius, 'length', system)} beyond the axis on the far side, to the inner face. "
        )
    )
    return (
        f"{fixed}Before each row set the centre compass, which turns on the axis of the dome"
        f" ({both(shape.centre_pivot_above_springing, 'length', system)} above the springing plane), to its"
        f" setting; it must touch the inner face at half the course's height. The tube to cut holds {closing} for"
        " closing and overlapping its two ends (common practice, no source). Lowest course first."
    )


def working_paragraph(system: str) -> str:
    """How to read the working."""
    in_si = " All in SI units: 1 m is 3.2808 ft, 1 kN is 224.81 lbf, 1 kPa is 0.14504 psi, 1 kN/m3 is 6.3659 lbf/ft3."
    return (
        "The bed that governs the friction, finished and dry, with the numbers put in. H is outward, V down, both per"
        " radian of circumference; z is above the springing plane; x is the radius where the resultant crosses the"
        f" bed.{in_si if system == 'imperial' else ''}"
    )


def proof_sentences(assessment: Result) -> Sequence[str]:
    """What is proven, how to check it, and what carries no proof."""
    shown = [case for case in assessment.cases if case.proof]
    if not shown:
        return ()
    proven = sum(case.proof.startswith("proven") for case in shown)
    said = [
        f"{proven} of {len(shown)} cases carry a proof of their status in exact arithmetic; certificate.json holds them"
        ' and those of the margins, and "shellcheck-earth recheck certificate.json" with the design file rebuilds the'
        " cases and checks them with code that shares nothing with the solver."
    ]
    if assessment.blocks:
        said.append(
            "The cases with openings or sideways loads carry no such proof: the forces of the block model are checked"
            " again for equilibrium and friction by plain arithmetic, and two or three discretisations are compared."
        )
    return [*said, *(f"{text}." for text in assessment.proofs)]
