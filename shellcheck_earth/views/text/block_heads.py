"""How the pages of the block model are headed, and what its proofs leave open: by what the design has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.design.design import Design
from shellcheck_earth.loads.model import needs_more_than_crew
from shellcheck_earth.safety.blocks.result import BlockResult
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital, listed

__all__ = ["UNPROVEN", "UNPROVEN_WHOLE", "blocks_heading", "unproven_sentence"]

UNPROVEN = mark(
    "Proven of doors, windows and loads from one side is that the blocks as drawn can carry what is asked; not proven"
    " are friction without dilation, cuts finer than the last, directions between those examined, the shapes of the"
    " bags in a head, rain driven onto jambs and into heads, and that a dome of tubes behaves like its blocks."
)
UNPROVEN_WHOLE = mark(
    "Proven of loads from one side is that the blocks as drawn can carry what is asked; not proven are friction without"
    " dilation, cuts finer than the last, directions between those examined, and that a dome of tubes behaves like its"
    " blocks."
)
"""Of a dome without openings."""

OPENINGS: Mapping[str, tuple[str, str]] = {
    "door": (mark("door"), mark("doors")),
    "window": (mark("window"), mark("windows")),
    "vent": (mark("vent"), mark("vents")),
}
"""By the kind of an opening: one, several."""


def unproven_sentence(design: Design) -> str:
    """What a proof of blocks says, and what it does not."""
    return _(UNPROVEN if design.openings else UNPROVEN_WHOLE)


def blocks_heading(design: Design, results: Sequence[BlockResult]) -> str:
    """What of the design rings cannot be asked, and nothing that it does not have."""
    kinds = [opening.kind for opening in design.openings]
    parts = [_(words[kinds.count(kind) > 1]) for kind, words in OPENINGS.items() if kind in kinds]
    if design.buttresses:
        parts.append(_("buttress") if len(design.buttresses) == 1 else _("buttresses"))
    if design.bearing_loads:
        parts.append(_("loads at one bearing"))
    if _pressed_from_one_side(design, results):
        parts.append(_("loads from one side"))
    elif any("-worker" in result.id for result in results):
        parts.append(_("one person on one side"))
    return capital(listed(parts)) if parts else _("The dome as blocks")


def _pressed_from_one_side(design: Design, results: Sequence[BlockResult]) -> bool:
    """Whether anything but a person presses on one side."""
    if not needs_more_than_crew(design):
        return False
    site, earth = design.site, design.backfill
    aside = earth is not None and not earth.all_around
    stated = site.wind_pressure > 0 or site.earthquake > 0 or site.snow > 0
    return aside or stated or any(result.directions and "-worker" not in result.id for result in results)
