"""What could hurt someone, in plain words: each caution says what could happen, when, and whom to ask."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from shellcheck_earth.safety.findings import Caution, CautionKey
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import listed, required_words

__all__ = [
    "ENGINEER",
    "OPENINGS",
    "STRENGTH_ASIDE",
    "UNSTABILISED",
    "bearing_loads_sentence",
    "caution_sentence",
    "earth_sentence",
    "left_out_sentence",
    "ring_loads_sentence",
    "scaffold_line",
    "scaffold_sentence",
    "stated_none_sentence",
]

ENGINEER = mark(
    "This is a calculation, not a permit. Before anyone builds or stands under this dome, have a licensed structural "
    "engineer check it and ask the local building authority. No building code read or recalled for this program rules "
    "on unstabilised earthbag domes."
)
UNSTABILISED = mark(
    "The fill is not stabilised. Tests support plastic limit analysis only for stabilised fill; unstabilised fill"
    " showed large plastic deformation before collapse (Pelly 2009, abstract read). The margins of this report are"
    " outside what tests support: ask the engineer to judge them by tests of this fill."
)
OPENINGS = mark(
    "Doors and windows cut the rings that hold the dome. The ring-symmetric margins do not see them: a dome can slide"
    " in over a door that the rings alone would hold. Leave forms in until the ring above is closed."
)
STRENGTH_ASIDE = mark(
    "STRENGTH SET ASIDE: this study asks what shape and slenderness do, as if the fill could not be crushed. It is"
    " never a verdict of a dome: one that holds here may be crushed all the same. What falls short in friction, width"
    " or wire here does so with its strength as well. For an answer ask the command check."
)
SAID: Mapping[CautionKey, str] = {
    "engineer": ENGINEER,
    "unstabilised": UNSTABILISED,
    "openings": OPENINGS,
    "separate bags": mark(
        "Separate bags were drawn as a continuous tube: each bag has to be longer than the shortest piece that stands"
        " by itself, and laid in bond; the friction between bag ends is not counted."
    ),
    "friction": mark(
        "Without a test of two loaded courses the bed friction is assumed. Tilt-table values of barbed wire at almost"
        " no pressure (1.5 and more) are interlock, not a friction coefficient for a dome; do not put them in."
    ),
    "rain": mark(
        "Rain on bare fill makes it heavier, weaker and slicker. Cover the work every evening and before rain; stay out"
        " from under a bare dome that has been rained on, and ask the engineer before going back in."
    ),
    "building": mark(
        "The top third is where courses step in most and loose lengths tip inward. Nobody stands inside below the row"
        " being laid, and nobody takes forms out before the ring above is closed."
    ),
    "sideways": mark(
        "Wind, earthquake and uneven ground push sideways; an engineer has to choose these loads and check them."
    ),
    "footing": mark(
        "The footing is counted in what the base asks of the ground alone: its weight, and a pressure spread 2 down to"
        " 1 across under the middle of the lowest bed, with all the thrust that the ground may hold tipping it. Under"
        " blocks it is cut as the lowest course is, each piece stands by itself, and the wall slides on it as on the"
        " ground. Whether it is strong enough, drains, and stays where it is put was not looked at."
    ),
    "raised base": mark(
        "The lowest course lies above the ground outside: what carries it there is not part of this check."
    ),
    "ground": mark(
        "Settlement, frost, slopes and groundwater are not checked: ask a ground engineer where any is in doubt."
    ),
    "not looked at": mark(
        "No check here looks at any of this: fire; termites, roots and burrows; splash, floods and years of"
        " weather that wear away the foot of the wall; the blows of tamping and machines nearby; fabric that bursts"
        " or tears under fresh fill, or after weeks in the sun. A leak behind the plaster, creep, shrinkage and a"
        " base that spreads or leans are a study apart, the command settle, which gives no verdict."
    ),
}
"""The cautions that hold no value of the design, in English; said with `_`."""


def left_out_sentence(loads: Sequence[str]) -> str:
    """The loads that the design leaves at nothing; "" when it names them all."""
    if not loads:
        return ""
    return _(
        "Not checked, because the design gives none: {loads}. The answer says nothing about them; the local code and an"
        " engineer say which of them there are on this site.",
        loads=listed([said_below(load) for load in loads]),
    )


def stated_none_sentence(loads: Sequence[tuple[str, str]]) -> str:
    """The loads that the site is said not to have, with the reasons given; "" where there are none."""
    if not loads:
        return ""
    return _(
        "The design says that this site has none of these, and why: {loads}. The answer says nothing about them.",
        loads="; ".join(f"{said_below(load)} ({reason})" for load, reason in loads),
    )


def scaffold_sentence(height: str, course: str) -> str:
    """Where nobody may stand, the highest course that was asked with somebody on it ("": none); "" for no height."""
    if not height:
        return ""
    if not course:
        return _(
            "Nobody stands on the wall. The design says that from {height} above the floor on everyone works off a"
            " scaffold that stands free of it, while it is laid, while it is plastered and ever after: one person on"
            " one side was asked of no ring; a crew's weight all around was, as rings are tamped and leaned on.",
            height=height,
        )
    return _(
        "Nobody stands on the wall above course {course}. The design says that from {height} above the floor on"
        " everyone works off a scaffold that stands free of it, while it is laid, while it is plastered and ever after:"
        " one person on one side was asked on course {course}, and on none higher; there a crew's weight all around"
        " was, as rings are tamped and leaned on.",
        height=height,
        course=course,
    )


def scaffold_line(height: str, course: str) -> str:
    """The same in one line, for a screen."""
    if not height:
        return ""
    if not course:
        return _("The answer rests on it that nobody ever stands on the wall: scaffold.")
    return _(
        "The answer rests on it that nobody ever stands on the wall above course {course} ({height}): scaffold.",
        course=course,
        height=height,
    )


def _past_sentence(course: str, left_out: Sequence[str]) -> str:
    left = listed([said_below(one) for one in left_out]) if left_out else ""
    return _(
        "The design says that the courses up to {course} stand: no stage of building below course {course} was"
        " asked{more}. That a wall stood yesterday is no margin for it today.",
        course=course,
        more=_(", and neither was {left}", left=left) if left else "",
    )


def ring_loads_sentence(names: Sequence[str]) -> str:
    """What was asked of the loads handed into a ring, by their names, and what was not; "" where there are none."""
    if not names:
        return ""
    return _(
        "Loads handed into a ring all around ({names}) were asked on the finished dome, with them at the ends of their"
        " ranges and without them. Whether what hands them in stands by itself, and what it does while it is put on,"
        " was not looked at: a licensed engineer has to give these forces and how they spread around the ring.",
        names=listed(list(names)),
    )


def bearing_loads_sentence(names: Sequence[str]) -> str:
    """What was asked of the loads at one bearing, by their names, and what was not; "" where there are none."""
    if not names:
        return ""
    return _(
        "Loads handed in at one bearing ({names}) were asked of the blocks of the finished dome, with them at the ends"
        " of their ranges and without them; no ring knows of them, nor does the dome whose wire is gone or whose base"
        " is soaked. Whether the tubes under them are crushed, what pad or plate spreads them, how they are anchored"
        " and what hands them in was not looked at: a licensed engineer has to give these forces and design the"
        " bearing.",
        names=listed(list(names)),
    )


def earth_sentence(height: str, *side: str) -> str:
    """What was asked of earth against the wall, up to how high above the ground it lies (and from which bearing to
    which, where it lies on one side), and what was not; "" for none."""
    if not height:
        return ""
    if side:
        return _(
            "Earth against one side of the wall, from bearing {start} to {end}, up to {height} above the ground"
            " outside: the finished dome was asked without it and with it, pressing the least and the most, by blocks"
            " alone. No stage of building was asked with it: lay it when the dome is closed, in lifts. Not looked at:"
            " water in it, a slope above or below the dome that may move as a whole, machines beside the wall, soil"
            " that swells, frost, roots, and what keeps the wall dry behind it.",
            start=side[0],
            end=side[1],
            height=height,
        )
    return _(
        "Earth against the wall, up to {height} above the ground outside: the finished dome was asked without it, as"
        " earth dries, shrinks or is dug away, with a part of it, and with it pressing the least and the most. No stage"
        " of building was asked with it: lay it when the dome is closed, in even lifts all around. Not looked at: water"
        " in it, earth higher on one side, machines beside the wall, soil that swells, frost, roots, and what keeps the"
        " wall dry behind it.",
        height=height,
    )


def _lowered_sentence(lowered: Sequence[tuple[str, float, float]]) -> str:
    said = [
        _("{check} {here} instead of {by}", check=said_below(check), here=required_words(here), by=required_words(by))
        for check, here, by in lowered
    ]
    return _(
        "The design file requires less than its set of criteria: {lowered}. Whoever lowered it has to answer for it.",
        lowered=", ".join(said),
    )


def caution_sentence(caution: Caution) -> str:
    """The words of one caution."""
    values: Any = caution.values
    if caution.key == "loads left out":
        return left_out_sentence(values)
    if caution.key == "loads stated none":
        return stated_none_sentence(values)
    if caution.key == "scaffold":
        return scaffold_sentence(*values)
    if caution.key == "stages past":
        return _past_sentence(values[0], values[1:])
    if caution.key == "ring loads":
        return ring_loads_sentence(values)
    if caution.key == "bearing loads":
        return bearing_loads_sentence(values)
    if caution.key == "earth":
        return earth_sentence(*values)
    return _lowered_sentence(values) if caution.key == "lowered criteria" else _(SAID[caution.key])
