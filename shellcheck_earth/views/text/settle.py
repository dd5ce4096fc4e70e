"""Sentences on a dome that settles: cautions, what each movement may reach, what was stated, what is left out."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.settle.moved import Movement
from shellcheck_earth.studies.settle.study import KINDS, NO_HEIGHT, Reached, Settling, Short
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.explain.shown import width_shown
from shellcheck_earth.views.text.numbers import capital, listed

__all__ = ["LEFT_OUT", "NO_VERDICT", "TITLES", "amount_words", "settle_words"]

NO_VERDICT = (
    "This is a study of the rings of the finished dome and gives no verdict: no proofs are made of it, openings, wind"
    " and earthquake are not in it, and what a soil will really do is for a ground engineer to say. Unstabilised fill"
    " deforms before it fails: watch the wall, and let nobody in where it moves."
)

LEFT_OUT = (
    'Rigid turns of the first order, weights as they were (derived; DEVELOPERS.md, "A dome that moves"). A dome that'
    " spreads comes down with the cap that leaves it the most; its lower rings have opened and bear nothing. Left out:"
    " one side that sinks more than the other (for a ground that leans see `shake --shape lean`), a part soaked behind"
    " the plaster, fill that flows, wire that stretches or pulls out as its ring opens."
)

TITLES = {
    "shortening": "Courses shorten",
    "opened rings": "Rings open, from the lowest up",
    "spread": "The base spreads",
    "spread, no wire": "The base spreads, no wire",
    "beds askew": "Beds tamped askew",
    "lasting load": "Strength lost under a lasting load",
}


def amount_words(kind: str, amount: float, told: Settling) -> str:
    """An amount in the words of its movement, in the user's units first."""
    if kind == "shortening":
        return f"{width_shown(told.design, amount * told.height)}, {100 * amount:.3g} % of the height"
    if kind == "opened rings":
        return f"{amount:.0f} of {told.rings} rings"
    if kind == "beds askew":
        return f"{math.degrees(amount):.3g} deg"
    if kind == "lasting load":
        return f"{100 * amount:.3g} % of the strength"
    return width_shown(told.design, amount)


def _short_words(short: Short) -> str:
    if short.check == NO_HEIGHT:
        return f"no such fall of the dome is left ({short.case_id})"
    at = "" if short.course is None else f" at course {short.course}"
    return f"{short.check}{at} ({short.case_id})"


def _reached_words(told: Settling, one: Reached) -> str:
    title = TITLES[one.kind]
    if one.stands_to is None:
        return f"{title}: no line holds this dome even unmoved."
    stands = (
        f"some line is left as far as was looked, {amount_words(one.kind, one.most, told)}"
        if one.stands_to >= one.most
        else f"past {amount_words(one.kind, one.stands_to, told)} no line is left"
    )
    if one.first is None:
        return f"{title}: no margin falls short as far as was looked, {amount_words(one.kind, one.most, told)}."
    short = _short_words(one.first)
    if one.meets_to is None:
        return f"{title}: short unmoved, of {short}; {stands}."
    if one.meets_to == 0.0:
        return f"{title}: any of it leaves the dome short, of {short}; {stands}."
    return f"{title}: margins are met up to {amount_words(one.kind, one.meets_to, told)}, then {short}; {stands}."


def _stiffness_words(told: Settling) -> str:
    one = next(one for one in told.reached if one.kind == "shortening")
    if not one.meets_to:
        return ""
    least = told.mean_stress / one.meets_to
    system = told.design.unit_system
    return (
        f"The mean stress of its height is {both(told.mean_stress, 'stress', system)}: a stiffness of"
        f" {both(least, 'stress', system)}, creep taken off, shortens the dome by that much."
    )


def _stated_words(told: Settling) -> str:
    movement = told.stated
    if movement == Movement():
        return (
            "Nothing was stated of what this dome will do. Silence says nothing for it: measure how far a tamped sample"
            ' sinks under the stress of the wall and state it (`--sample "4 mm of 130 mm under 60 kPa"`), with a creep.'
        )
    parts = []
    if movement.compliance:
        shortening = movement.compliance * told.mean_stress
        parts.append(f"courses shortened by {amount_words('shortening', shortening, told)}")
    if movement.opened:
        parts.append(f"{movement.opened} rings open")
    if movement.spread:
        parts.append(f"the base moved out by {width_shown(told.design, movement.spread)}")
    if movement.bed_tilt:
        parts.append(f"beds askew by {math.degrees(movement.bed_tilt):.3g} deg")
    if movement.sustained < 1.0:
        parts.append(f"{100 * movement.sustained:.3g} % of the strength left")
    if not movement.wire:
        parts.append("no wire counted in open rings")
    found = "no margin of the rings falls short" if told.together is None else f"short of {_short_words(told.together)}"
    left = "" if told.stands_together else ", and no line is left in some state"
    return f"All that was stated together, {listed(parts)}: {found}{left}."


def settle_words(told: Settling) -> list[str]:
    """All paragraphs, cautions first."""
    each = [_reached_words(told, one) for one in told.reached]
    return [
        f"Caution. {ENGINEER}",
        NO_VERDICT,
        capital(_stated_words(told)),
        *each,
        *([said] if (said := _stiffness_words(told)) else []),
        LEFT_OUT,
    ]


assert set(TITLES) == set(KINDS)
