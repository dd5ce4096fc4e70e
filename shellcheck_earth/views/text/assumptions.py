"""Inputs that were not measured, in sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.safety.result import Sensitivity, Verdict
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import listed

__all__ = ["NONE_DECIDES", "deciding_input_sentence", "tried_sentence"]

NONE_DECIDES = mark(
    "None of these inputs, one at a time and anywhere in its range, changes whether the ring-symmetric margins meet"
    " what is required."
)


def deciding_input_sentence(found: Sensitivity) -> str:
    """What an input at an end of its range does to the answer."""
    return _(DECIDES[found.verdict], path=found.path, at=said_below(found.at))


DECIDES: Mapping[Verdict, str] = {
    "meets": mark("{path} at {at}: the ring-symmetric check then meets."),
    "falls short": mark("{path} at {at}: the ring-symmetric check then falls short."),
    "cannot say": mark("{path} at {at}: the ring-symmetric check then changes to cannot say."),
}


def tried_sentence(found: Sequence[Sensitivity]) -> str:
    """Which inputs were tried, where no end of a range changes the answer."""
    paths = listed(list(dict.fromkeys(one.path for one in found)))
    return _("Each was tried at the ends of its range: {paths}.", paths=paths)
