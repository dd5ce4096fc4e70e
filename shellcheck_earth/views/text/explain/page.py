"""What the teaching report says of itself."""

from __future__ import annotations

from collections.abc import Mapping

from shellcheck_earth.design.design import Design
from shellcheck_earth.views.text.language import _, mark

__all__ = [
    "COLLAPSES",
    "COVERS",
    "HELD",
    "HERE",
    "MAP_ALT",
    "NOT_SEEN",
    "NO_VERDICT",
    "POINTED",
    "ROUND",
    "left_out_words",
    "no_wire_sentence",
]

NO_VERDICT = mark(
    "This report explains; it gives no verdict. Whether the dome meets what is required is the"
    " question of the command check, which examines every moisture, the rain, the ground and the"
    " openings; a thrust line alone is not enough to build on."
)

MAP_ALT = mark("Demand for friction and geometric factor over wall width and pivot, with this dome as a dot")

HELD = mark(
    "Held while the width of the wall changes: the inner face as the compass draws it, the"
    " height of the courses and the pivot's distance beyond the inner face (a pivot on the outer"
    " face would otherwise move with the wall)."
)

COLLAPSES = mark(
    "How it collapses is read from the multipliers of the linear programme (duality of statics"
    " and kinematics, derived). A computed bed that slides also lifts a little, by the ordinary"
    " rule of friction; real beds slide nearly flat (Drucker 1954, recalled)."
)

COVERS = mark(
    "Falls short in: the finished dome and every stage of building, without rain, openings, sideways loads"
    " or one person on one side."
)

NOT_SEEN = mark("Nothing in this report sees them.")

HERE, ROUND, POINTED = mark("This dome"), mark("Round, same tube"), mark("Pointed, same tube")


def left_out_words(maps: Mapping[str, str]) -> list[str]:
    """Which maps are not drawn, each with where all of it lies; [] where all are drawn."""
    if not maps:
        return []
    said = "; ".join(f"{title}: {where}" for title, where in maps.items())
    return [
        _(
            "Maps that their limit does not cross are left out: all they hold lies on one side of it ({said}).",
            said=said,
        )
    ]


def no_wire_sentence(design: Design) -> str:
    """Why no wire is taken away."""
    none = (
        _("None of the wire in its beds is counted on")
        if design.beds.wire_strands
        else _("This dome has 0 strands of wire in its beds")
    )
    return _("{none}: there is none to take away, and the friction above is all that holds it.", none=none)
