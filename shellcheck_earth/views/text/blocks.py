"""The block model's answers in sentences: what decides, what moves first, what presses where."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import opening_label
from shellcheck_earth.loads.combinations import combinations
from shellcheck_earth.loads.joint import COMBINED
from shellcheck_earth.loads.side_loads import INSIDE_OPEN, inside_coefficients
from shellcheck_earth.mechanics.blocks.assembly import ANCHORAGE
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks.result import BlockResult, Mechanism, Press
from shellcheck_earth.views.text.numbers import factor_words, listed, lower, required_words

__all__ = [
    "PRESS",
    "UNPROVEN",
    "block_paragraphs",
    "block_sentence",
    "load_paragraph",
    "mechanism_sentence",
    "press_named",
]

PRESS = (
    "Greatest press in the state that was found for each case under the load itself, not its multiple; other states may"
    " carry the load too."
)

UNPROVEN = (
    "Proven of doors, windows and loads from one side is that the blocks as drawn can carry what is asked; not proven"
    " are friction without dilation, cuts finer than the last, directions between those examined, the shapes of the"
    " bags in a head, and that a dome of tubes behaves like its blocks."
)


WAYS = {
    "outward": "slide outward",
    "inward": "slide inward",
    "sink": "sink",
    "lift": "lift",
    "tip": "tip",
}


def _degrees(bearing: float) -> str:
    return f"{math.degrees(bearing) % 360:.0f} deg"


def _buttresses(design: Design, indices: Sequence[int]) -> str:
    places = [f"{index + 1} (at {_degrees(design.buttresses[index].bearing)})" for index in indices]
    return ("buttress " if len(places) == 1 else "buttresses ") + listed(places)


def mechanism_sentence(dome: Dome, found: Mechanism) -> str:
    """Which courses, which side, which way, and what goes with them."""
    design = dome.design
    if found.courses is None:
        one = len(found.buttresses) == 1
        return (
            f"What fails first is no part of the dome: {_buttresses(design, found.buttresses)}"
            f" {'moves' if one else 'move'} while the wall still stands,"
            f" {'tipping' if 'tip' in found.ways else 'sliding'} on {'its' if one else 'their'} own beds."
        )
    low, high = (dome.course(number).label for number in found.courses)
    which = f"Courses {low} to {high}" if high != low else f"Blocks of course {low}"
    where = (
        "all around"
        if found.span is None
        else f"between bearings {_degrees(found.span[0])} and {_degrees(found.span[1])}"
    )
    ways = [
        f"move sideways towards {_degrees(found.towards or 0.0)}" if way == "sideways" else WAYS[way]
        for way in found.ways
    ]
    text = f"{which}, {where}, {listed(ways) if ways else 'shift against each other'}."
    if found.openings:
        heads = listed([opening_label(design, index) for index in found.openings])
        text += f" The {'head' if len(found.openings) == 1 else 'heads'} of {heads}"
        text += f" {'goes' if len(found.openings) == 1 else 'go'} with them."
    if found.buttresses:
        named = _buttresses(design, found.buttresses)
        text += f" {named[0].upper()}{named[1:]} {'goes' if len(found.buttresses) == 1 else 'go'} with them."
    return text


def block_sentence(dome: Dome, result: BlockResult) -> str:
    """What the block model says of one load, where that decides the verdict."""
    if result.relied is None:
        return f"{result.title}: the block model could not establish an answer ({result.why})."
    factor = factor_words(result.relied, result.required)
    if result.criterion == COMBINED:
        held = f"what is asked is held {factor} times over"
    elif result.directions:
        held = f"the dome holds this load {factor} times over"
    else:
        held = f"every capacity can be divided by {factor} at once"
    text = f"{result.title} governs: {held}; {required_words(result.required)} is required."
    if result.mechanism is None:
        return text
    return f"{text} First to move: {lower(mechanism_sentence(dome, result.mechanism))}"


def press_named(design: Design, press: Press) -> str:
    """The place of one press."""
    if press.place == "buttress":
        return f"thrust on buttress {press.index + 1}"
    label = opening_label(design, press.index)
    return {
        "jambs": f"jambs of {label}, one bed",
        "head": f"over the head of {label}, one face",
        "ring above": f"ring above {label}",
    }[press.place]


THEORY = (
    "Rings are divided into blocks that press, slide and turn on each other. With ordinary friction a block that slides"
    " must also rise, which real beds do not do, so the number can be too high (Drucker 1954, recalled; Livesley 1978,"
    " abstract read); it is therefore also found for friction without dilation by a sequential scheme (Gilbert,"
    " Casapulla & Ahmed 2006, recalled), whose answer need not be the least of several that are possible: on published"
    " walls with windows (Ferris & Tin-Loi 2001, recalled) it lies up to 22 % above a mechanism that a second method"
    " finds, blocks moved in time and pushed slowly from rest; so pushed, a dome with a high window lost blocks of its"
    " head past 0.54 of the scheme's number, the lowest of ten cases, so {share:.0%} of it is relied on under loads"
    " from one side. The lower number is relied on, less what a finer discretisation takes,"
    " never more than the ring-symmetric check gives, and forces are re-checked by plain arithmetic."
)
WIND = (
    "Wind is an envelope: pressure coefficients +0.8 to windward and 0 or -0.5 on the lee (walls of a building, ASCE 7,"
    " read), -1.2 over the crown (recalled, to be confirmed by the engineer), and inside {inside}{why}. The push"
    " to windward falls off from the foot on, or only where the wall leans in by more than 25 deg: both cases of"
    " published charts of domes (ASCE 7-05, Figure 6-7, read)."
    " Published charts stop at a rise of half the diameter; a dome as tall as it is wide lies outside them. What the"
    " wind does to the leaf of a door or a window is left out."
)
RAIN = (
    "Water in one half weighs there, and that half has the friction and strength of soaked fill from the start"
    " (proposed); the other half stays as it is in service."
)
FORMS = (
    "Forms come out of a head once a ring is closed above it: each such stage at which no other opening is half built"
    " is a row of its own. Where an opening is half built the courses lean on its form, which the blocks do not have:"
    " keep it in."
)


JOINT = "Every capacity at once: {how} The multiple of a load that is required follows where this holds it as often."
GLOBAL = (
    "the load as it is, with friction, strength, wire and the width of every face divided by what its criterion"
    " requires."
)
PARTIAL = (
    "weights, loads, friction, strength and wire with all factors of each row of the set; cohesion is not counted in"
    " blocks."
)


def _joint(design: Design) -> str:
    return JOINT.format(how=PARTIAL if combinations(design.criteria.set_name) else GLOBAL)


def _wind(design: Design) -> str:
    presses, sucks = inside_coefficients(design)
    why = ", as with the door open" if presses == INSIDE_OPEN else ", as with everything shut"
    return WIND.format(inside=f"{presses:+g} or {sucks:+g}", why=why)


def _ties(design: Design) -> Iterator[str]:
    tied = [
        f"{opening_label(design, index)} ({format_quantity(opening.tie, 'force', design.unit_system)})"
        for index, opening in enumerate(design.openings)
        if opening.tie > 0
    ]
    if tied:
        yield (
            f"Lintels that are tied into the wall: {', '.join(tied)}. The pull is counted across both ends of the"
            f" lintel and fades out over {ANCHORAGE:g} m of wall (proposed; no test known). Whether lintel, bars and"
            " anchors can hold it is for an engineer to show; dividing capacities for the reserve divides the tie too."
        )


def block_paragraphs(design: Design, results: Sequence[BlockResult]) -> Iterator[str]:
    """What the block model is, and what its loads stand for."""
    yield THEORY.format(share=OVERSTATED)
    if any(result.criterion == "storm" for result in results):
        yield _wind(design)
    if any(result.criterion == COMBINED for result in results):
        yield _joint(design)
    if any(result.id == "three-d-rain" for result in results):
        yield RAIN
    if any(result.id.startswith("three-d-forms-out") for result in results):
        yield FORMS
    yield from _ties(design)


def _held(value: float | None, at_least: bool = False) -> str:
    return "-" if value is None else f"{'at least ' if at_least else ''}{value:.3g}"


def _fails(value: float | None) -> str:
    return "" if value is None else f" with a mechanism at {value:.3g}"


def load_paragraph(dome: Dome, result: BlockResult) -> str:
    """One load: why nothing is said, what moves first, every direction examined, and how the answer converges."""
    said = [f"Why: {result.why}."] if result.why else []
    if result.at_least and not result.convergence:
        said.append(f"At least {_held(result.relied)} times the load follows from the row below.")
    elif result.at_least:
        said.append(f"Nothing moves up to {_held(result.associated)} times the load, the most that was examined.")
    if result.mechanism is not None:
        said.append(f"First to move: {lower(mechanism_sentence(dome, result.mechanism))}")
    if result.directions:
        least: dict[float, float] = {}
        for bearing, multiplier in result.directions:
            least[bearing] = min(multiplier, least.get(bearing, math.inf))
        examined = ", ".join(f"{_degrees(bearing)} {multiplier:.3g}" for bearing, multiplier in least.items())
        said.append(f"Directions examined, the least of each with ordinary friction: {examined}.")
    if result.convergence:
        lines = ", ".join(
            f"{line.cuts} a ring ({line.blocks} blocks) {_held(line.multiplier, line.at_least)}{_fails(line.fails)}"
            for line in result.convergence
        )
        said.append(f"Convergence with the discretisation (finer ones only add joints): {lines}.")
    return " ".join(said)
