"""Words on the drawings."""

from __future__ import annotations

from collections.abc import Sequence

from shellcheck_earth.views.text.language import _, mark

__all__ = ["DRAWING_CAUTION", "DRAWN_AT", "ELEVATION_NOTE", "PLAN_BEARINGS", "level_words"]

DRAWN_AT = {
    "metric": mark("Drawn at full size; dimensions in millimetres, heights over the finished floor."),
    "imperial": mark("Drawn at full size in inches; dimensions in feet and inches, heights over the finished floor."),
}
DRAWING_CAUTION = (
    mark("Geometry alone: whether it stands is said by the report of `check`, and by nothing here."),
    mark("Not a permit: a licensed structural engineer checks the design before anyone builds or stands under it."),
)
PLAN_BEARINGS = mark(
    "Bearings clockwise from the entrance, which is up; the base course and the crown opening are thin."
)
ELEVATION_NOTE = mark(
    "Openings seen square on, as they are carried straight through the wall; courses behind are thin."
)
LEVELS = {
    "top": mark("top of the wall"),
    "springing": mark("springing"),
    "floor": mark("finished floor"),
    "ground": mark("ground"),
    "earth": mark("earth against the wall"),
}


def level_words(names: Sequence[str], height: float, shown: str) -> str:
    """The names of one level (of `LEVELS`) with its height over the floor."""
    sign = "+" if height > 0 else "-" if height < 0 else ""
    return f"{' = '.join(_(LEVELS[name]) for name in reversed(names))}  {sign}{shown}"
