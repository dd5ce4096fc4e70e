"""Inputs that were not measured, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.safety.result import Sensitivity
from shellcheck_earth.views.text.numbers import listed

__all__ = ["NONE_DECIDES", "deciding_input_sentence", "tried_sentence"]

NONE_DECIDES = (
    "None of these inputs, one at a time and anywhere in its range, changes whether the ring-symmetric margins meet"
    " what is required."
)


def deciding_input_sentence(found: Sensitivity) -> str:
    """What an input at an end of its range does to the answer."""
    there = "changes to cannot say" if found.verdict == "cannot say" else found.verdict
    return f"{found.path} at {found.at}: the ring-symmetric check then {there}."


def tried_sentence(found: Sequence[Sensitivity]) -> str:
    """Which inputs were tried, where no end of a range changes the answer."""
    return f"Each was tried at the ends of its range: {listed(list(dict.fromkeys(one.path for one in found)))}."
