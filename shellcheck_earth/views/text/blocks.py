"""The block model's answers in sentences: what decides, what moves first, what presses where."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.geometry.openings import opening_label
from shellcheck_earth.safety.blocks.result import BlockResult, Mechanism, Press
from shellcheck_earth.views.text.numbers import factor_words, listed, lower, required_words

__all__ = ["block_sentence", "mechanism_sentence", "press_named"]

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
    held = (
        f"the dome holds this load {factor} times over"
        if result.directions
        else f"every capacity can be divided by {factor} at once"
    )
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
