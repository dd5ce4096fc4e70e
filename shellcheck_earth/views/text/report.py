"""Paragraphs of the report that no other subject owns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import feet_inches
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.geometry.courses import TUBE_END_ALLOWANCE, Dome
from shellcheck_earth.safety.result import CaseResult, Result
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.survey.lengths import on_tape

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
    "fill_paragraph",
    "proof_sentences",
    "working_paragraph",
]

CHECKS_IN_WORDS: Mapping[str, str] = {
    "bed friction": mark("bed friction"),
    "strength": mark("strength in service"),
    "strength while building": mark("strength while building"),
    "geometric factor": mark("wall thickness (geometric factor)"),
    "overall reserve": mark("all capacities together (overall reserve)"),
    "combined factors": mark("combined factors"),
    "wire tension": mark("wire"),
    "standing without wire": mark("standing without wire"),
    "base sliding": mark("sliding on the ground"),
    "ground bearing": mark("pressure on the ground"),
}
"""The checks in words that need no glossary."""

SECTION_ALT = mark(
    "Section of the dome with its courses, the band between the least and the greatest thrust line, and the bed that"
    " governs"
)
FOR_BUILDER = mark("For the owner and the builder")
FOR_SITE = mark("For the site")
FOR_ENGINEER = mark("For the engineer")
FOR_RECORD = mark("For the record")
"""Who reads the pages that begin there."""

FACTORS = mark("Factors: capacity over demand, of the factor required, in the worst case that counts.")
HOLDS_IT_UP = mark(
    "Friction in the beds and tension of the wire share the work of holding the courses that step in. The curve is the"
    " demand for friction, finished and dry, for each tension of the wire that is counted on; under it no thrust line"
    " exists. Slender means more friction or more wire, long before the line leaves the wall."
)
STAGES = mark(
    "Every stage with the top ring closed and nothing above it, fill as damp as placed, bare and with a crew on the top"
    " ring (one worker's weight on every radian of it; one person alone on one side is a question in three dimensions)."
    " Friction, strength and wire are the demand; the reserve is what all capacities may be divided by."
)
WHAT_IFS = mark(
    "Questions beyond what the verdict asks, to show how far the answer is from worse. None of them counts, whichever"
    " way it comes out."
)
FIXED = mark(
    "Numbers that the method rests on and that no design file changes. An engineer who disagrees with one should not"
    " rely on what follows from it."
)
ASSUMED = mark("Every input that was not measured. Measure those that decide first.")
LIMITS = (
    mark("Rings are taken as perfectly round and level, loads as the same all around; a lopsided dome is weaker."),
    mark(
        "Fill is rigid up to its strength, beds are level, friction is dry friction; joints take no tension. For the"
        " symmetric dead load the internal forces are taken as unique enough to rely on (D'Ayala & Casapulla 2001,"
        " first page read); with friction, limit analysis may overestimate (Drucker 1954, recalled; Livesley 1978,"
        " abstract read)."
    ),
    mark(
        "Ring compression is capped by the strength of the fill; the lowest ring takes none, and nothing that needs"
        " prestress is reported as standing."
    ),
    mark(
        "Settlement, creep and shrinkage are in no verdict (a study: the command settle); frost and decay of fabric are"
        " not checked."
    ),
)
"""What the calculation does not see, in English as everything above; said with `_`."""


STATUS: Mapping[str, str] = {
    "admissible": mark("A thrust line exists."),
    "inadmissible": mark("No thrust line exists."),
    "cannot say": mark("Neither a thrust line nor its impossibility could be established: cannot say."),
}


def case_paragraph(case: CaseResult) -> str:
    """Whether a thrust line exists, where it fails first, whether it counts, and its proof."""
    said = [_(STATUS[case.status])]
    if case.failing_course is not None:
        said.append(
            _("The first bed that no thrust line crosses is the one under course {course}.", course=case.failing_course)
        )
    if case.proof:
        said.append(_("Proof: {proof}.", proof=said_below(case.proof)))
    return " ".join(said)


def _setting(length: float, system: str) -> str:
    """A compass length, the user's own system first."""
    shown = [f"{1000 * length:.0f} mm", feet_inches(length)]
    first, second = shown[::-1] if system == "imperial" else shown
    return f"{first} ({second})"


def compass_paragraph(dome: Dome) -> str:
    """What to set the compasses to, and what the tube to cut holds."""
    shape, system = dome.design.dome, dome.design.unit_system
    said = []
    if shape.profile != "measured":
        said.append(
            _(
                "The fixed compass is {fixed} long, from its pivot on the springing plane, {pivot} beyond the axis on"
                " the far side, to the inner face.",
                fixed=_setting(dome.fixed_compass, system),
                pivot=_setting(dome.pivot_radius, system),
            )
        )
    said.append(
        _(
            "Before each row set the centre compass, which turns on the axis of the dome ({pivot} above the springing"
            " plane), to its setting; it must touch the inner face at half the course's height. The tube to cut holds"
            " {closing} for closing and overlapping its two ends (common practice, no source). Lowest course first.",
            pivot=_setting(shape.centre_pivot_above_springing, system),
            closing=on_tape(TUBE_END_ALLOWANCE, system),
        )
    )
    return " ".join(said)


def working_paragraph(system: str) -> str:
    """How to read the working."""
    said = _(
        "Of each check the bed that governs it in the case that does, with the numbers put in: each result is worked"
        " out from the digits printed, and is used as printed by the lines below it. A state of forces is shown that"
        " just stands when what the check divides is divided by its factor q (of friction: that of least friction, and"
        " beside it the middlemost line, which takes more of it). Ring compression and wire are those of that state,"
        " found by computer; that they hold is what the lines show. H is outward, V down, both per radian of"
        " circumference; z is above the springing plane; x is the radius where the resultant crosses the bed; k is a"
        " factor on a load."
    )
    if system != "imperial":
        return said
    in_si = _("All in SI units: 1 m is 3.2808 ft, 1 kN is 224.81 lbf, 1 kPa is 0.14504 psi, 1 kN/m3 is 6.3659 lbf/ft3.")
    return f"{said} {in_si}"


def fill_paragraph() -> str:
    """How unit weight, strength and friction follow from the stated values, so that they too can be worked out."""
    dry, wet = (f"{100 * fixed(key):g} %" for key in ("fill.dry_below", "fill.wet_from"))
    return _(
        "What is put in for the fill follows from the stated values by its moisture w, by weight. Unit weight in"
        " kN/m3: dry density times (1 + w) times 0.00980665; voids are full at w_s = 1000/dry density - 1000/density"
        " of the grains, in kg/m3. Strength of fill that has dried: the dry value up to w = {dry}, or up to half of the"
        " placing moisture where that is less; the value as placed at the placing moisture; the wet value from {wet} of"
        " w_s. Hardened with a stabiliser: the dry value up to w = {dry}, or up to the placing moisture where that is"
        " less, and the wet one from {wet} of w_s. Fresh: the value as placed up to the placing moisture. Between two"
        " of these the logarithm of strength goes in a straight line over w; strength itself where one of them is 0."
        " Friction goes in a straight line from the placing moisture to {wet} of w_s. In an outer band that rain has"
        " wetted the wet values count.",
        dry=dry,
        wet=wet,
    )


def _block_proofs(assessment: Result) -> list[str]:
    """What of the block model is proven, where that stands, and what of it is not."""
    count = sum(len(result.proofs) for result in assessment.blocks)
    if not count:
        first = _("Of the block model nothing is proven in exact arithmetic here.")
    elif assessment.verdict == "meets":
        first = _(
            "Of the block model, states of forces that are proven in exact arithmetic: {count}. With ordinary friction"
            " the blocks as drawn carry in them what is relied on; certificate.json holds them, and the same command"
            " rebuilds the blocks from the design file and checks them.",
            count=count,
        )
    else:
        first = _(
            "Of the block model, states of forces that are proven in exact arithmetic: {count}. With ordinary friction"
            " the blocks as drawn carry in them what is relied on; certificate.json leaves them out where the answer is"
            ' not "meets".',
            count=count,
        )
    rest = _(
        "Friction without dilation is proven of no case: there the forces of the block model are checked again for"
        " equilibrium and friction by plain arithmetic, and two or three discretisations are compared."
    )
    return [first, rest]


def proof_sentences(assessment: Result) -> Sequence[str]:
    """What is proven, how to check it, and what carries no proof."""
    shown = [case for case in assessment.cases if case.proof]
    if not shown:
        return ()
    proven = sum(case.proof.startswith("proven") for case in shown)
    said = [
        _(
            "{proven} of {count} cases carry a proof of their status in exact arithmetic; certificate.json holds them"
            ' and those of the margins, and "shellcheck-earth recheck certificate.json" with the design file rebuilds'
            " the cases and checks them with code that shares nothing with the solver.",
            proven=proven,
            count=len(shown),
        )
    ]
    if assessment.blocks:
        said += _block_proofs(assessment)
    return [*said, *(f"{said_below(text)}." for text in assessment.proofs)]
