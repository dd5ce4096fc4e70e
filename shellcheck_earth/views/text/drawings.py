"""Words on the drawings."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["DRAWING_CAUTION", "DRAWN_AT", "ELEVATION_NOTE", "PLAN_BEARINGS", "level_words"]

DRAWN_AT = {
    "metric": "Drawn at full size; dimensions in millimetres, heights over the finished floor.",
    "imperial": "Drawn at full size in inches; dimensions in feet and inches, heights over the finished floor.",
}
DRAWING_CAUTION = (
    "Geometry alone: whether it stands is said by the report of `check`, and by nothing here.",
    "Not a permit: a licensed structural engineer checks the design before anyone builds or stands under it.",
)
PLAN_BEARINGS = "Bearings clockwise from the entrance, which is up; the base course and the crown opening are thin."
ELEVATION_NOTE = "Openings seen square on, as they are carried straight through the wall; courses behind are thin."


def level_words(names: Sequence[str], height: float, shown: str) -> str:
    """The names of one level with its height over the floor."""
    sign = "+" if height > 0 else "-" if height < 0 else ""
    return f"{' = '.join(reversed(names))}  {sign}{shown}"
