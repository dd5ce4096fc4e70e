"""Sentences on a dome that settles: cautions, what each movement may reach, what was stated, what is left out."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.settle.lean import Lean
from shellcheck_earth.studies.settle.moved import Movement
from shellcheck_earth.studies.settle.soaked import Soaked
from shellcheck_earth.studies.settle.study import KINDS, NO_HEIGHT, Reached, Settling, Short
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.explain.shown import width_shown
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital, listed

__all__ = ["LEFT_OUT", "NO_VERDICT", "TITLES", "amount_words", "settle_words"]

NO_VERDICT = mark(
    "This is a study of the rings of the finished dome and gives no verdict: no proofs are made of it, openings, wind"
    " and earthquake are not in it, and what a soil will really do is for a ground engineer to say. Unstabilised fill"
    " deforms before it fails: watch the wall, and let nobody in where it moves."
)

LEFT_OUT = mark(
    'Rigid turns as they are, weights as they were (derived; DEVELOPERS.md, "A dome that moves"). A dome that spreads'
    " comes down with the cap that leaves it the most, turning in the middle of the bed under it; its lower rings have"
    " opened and bear nothing. Left out:"
    " one side that sinks more than the other, but for a base that leans as one (`--sunk`; in time `shake --shape"
    " lean`), a part soaked behind the plaster, but for a sector asked by itself (`--soaked`), fill that flows, wire"
    " that stretches or pulls out as its ring opens."
)

TITLES = {
    "shortening": mark("Courses shorten"),
    "opened rings": mark("Rings open, from the lowest up"),
    "spread": mark("The base spreads"),
    "spread, no wire": mark("The base spreads, no wire"),
    "beds askew": mark("Beds tamped askew"),
    "lasting load": mark("Strength lost under a lasting load"),
}


def amount_words(kind: str, amount: float, told: Settling) -> str:
    """An amount in the words of its movement, in the user's units first."""
    if kind == "shortening":
        return _(
            "{way}, {share:.3g} % of the height", way=width_shown(told.design, amount * told.height), share=100 * amount
        )
    if kind == "opened rings":
        return _("{count:.0f} of {rings} rings", count=amount, rings=told.rings)
    if kind == "beds askew":
        return _("{angle:.3g} deg", angle=math.degrees(amount))
    if kind == "lasting load":
        return _("{share:.3g} % of the strength", share=100 * amount)
    return width_shown(told.design, amount)


def _short_words(short: Short) -> str:
    if short.check == NO_HEIGHT:
        return _("no such fall of the dome is left ({case})", case=short.case_id)
    check = said_below(short.check)
    if short.course is None:
        return f"{check} ({short.case_id})"
    return _("{check} at course {course} ({case})", check=check, course=short.course, case=short.case_id)


def _reached_words(told: Settling, one: Reached) -> str:
    title = _(TITLES[one.kind])
    if one.stands_to is None:
        return _("{title}: no line holds this dome even unmoved.", title=title)
    most = amount_words(one.kind, one.most, told)
    if one.stands_to >= one.most:
        stands = _("some line is left as far as was looked, {amount}", amount=most)
    else:
        stands = _("past {amount} no line is left", amount=amount_words(one.kind, one.stands_to, told))
    if one.first is None:
        return _("{title}: no margin falls short as far as was looked, {amount}.", title=title, amount=most)
    short = _short_words(one.first)
    if one.meets_to is None:
        return _("{title}: short unmoved, of {short}; {stands}.", title=title, short=short, stands=stands)
    if one.meets_to == 0.0:
        return _(
            "{title}: any of it leaves the dome short, of {short}; {stands}.", title=title, short=short, stands=stands
        )
    return _(
        "{title}: margins are met up to {amount}, then {short}; {stands}.",
        title=title,
        amount=amount_words(one.kind, one.meets_to, told),
        short=short,
        stands=stands,
    )


def _stiffness_words(told: Settling) -> str:
    one = next(one for one in told.reached if one.kind == "shortening")
    if not one.meets_to:
        return ""
    system = told.design.unit_system
    return _(
        "The mean stress of its height is {mean}: a stiffness of {least}, creep taken off, shortens the dome by that"
        " much.",
        mean=both(told.mean_stress, "stress", system),
        least=both(told.mean_stress / one.meets_to, "stress", system),
    )


def _stated_parts(told: Settling) -> Iterator[str]:
    movement = told.stated
    if movement.compliance:
        shortening = movement.compliance * told.mean_stress
        yield _("courses shortened by {amount}", amount=amount_words("shortening", shortening, told))
    if movement.opened:
        yield _("{count} rings open", count=movement.opened)
    if movement.spread:
        yield _("the base moved out by {way}", way=width_shown(told.design, movement.spread))
    if movement.bed_tilt:
        yield _("beds askew by {angle:.3g} deg", angle=math.degrees(movement.bed_tilt))
    if movement.sustained < 1.0:
        yield _("{share:.3g} % of the strength left", share=100 * movement.sustained)
    if not movement.wire:
        yield _("no wire counted in open rings")


def _stated_words(told: Settling) -> str:
    if told.stated == Movement():
        return _(
            "Nothing was stated of what this dome will do. Silence says nothing for it: measure how far a tamped sample"
            ' sinks under the stress of the wall and state it (`--sample "4 mm of 130 mm under 60 kPa"`), with a creep.'
        )
    found = _("no margin of the rings falls short")
    if told.together is not None:
        found = _("short of {short}", short=_short_words(told.together))
    left = "" if told.stands_together else _(", and no line is left in some state")
    return _(
        "All that was stated together, {parts}: {found}{left}.",
        parts=listed(list(_stated_parts(told))),
        found=found,
        left=left,
    )


def _lean_words(told: Settling, lean: Lean) -> str:
    """What a base that leans as one leaves of the blocks."""
    way = _(
        "One side of the base {way} below the other, a lean of {angle:.2g} deg",
        way=width_shown(told.design, lean.way),
        angle=math.degrees(lean.angle),
    )
    if lean.meets is None or lean.stands is None:
        return _("{way}: cannot say of the blocks, {why}.", way=way, why=said_below(lean.why))
    held = _HELD[lean.meets, lean.stands]
    return _(
        "{way}, {blocks}, not proven: {held} Margins are met up to {meets}, and forces that hold it"
        " are found up to {stands} ({case}, low side towards {towards:.0f} deg).",
        way=way,
        blocks=_as_blocks(told),
        held=_(held),
        meets=_lean_amount(lean.meets_to, lean),
        stands=_lean_amount(lean.stands_to, lean),
        case=lean.case_id,
        towards=math.degrees(lean.towards) % 360,
    )


def _as_blocks(told: Settling) -> str:
    return _("with its openings, as blocks") if told.design.openings else _("as blocks")


_HELD = {
    (True, True): mark("the overall reserve that is required is left."),
    (False, True): mark("it falls short of the overall reserve that is required."),
    (False, False): mark("no forces hold it."),
}


def _lean_amount(angle: float | None, lean: Lean) -> str:
    if not angle:
        return _("no lean at all")
    degrees = math.degrees(angle)
    return _("at least {angle:.2g} deg", angle=degrees) if _ends(angle, lean) else _("{angle:.2g} deg", angle=degrees)


def _ends(angle: float, lean: Lean) -> bool:
    """Whether the looking ended there."""
    return angle >= lean.looked_to * (1 - 1e-3)


def _soaked_words(told: Settling, soaked: Soaked) -> str:
    """What a soaked sector leaves of the blocks."""
    way = _("A sector of {angle:.0f} deg of the wall soaked behind its plaster", angle=math.degrees(soaked.width))
    if soaked.reserve is None or soaked.meets_to is None:
        return _("{way}: cannot say of the blocks, {why}.", way=way, why=said_below(soaked.why))
    held = _HELD[bool(soaked.meets), bool(soaked.stands)]
    widest = _("no sector that was looked at leaves what is required")
    if soaked.meets_to >= 2 * math.pi * (1 - 1e-9):
        widest = _("the whole wall soaked leaves what is required")
    elif soaked.meets_to > 0:
        widest = _("sectors of up to {angle:.0f} deg leave what is required", angle=math.degrees(soaked.meets_to))
    return _(
        "{way}, {blocks}, not proven: {held} All capacities may be divided by {reserve:.2f} of"
        " {required:.2f} ({case}, about {towards:.0f} deg, {water}); in that state, by ordinary friction, {widest}.",
        way=way,
        blocks=_as_blocks(told),
        held=_(held),
        reserve=soaked.reserve,
        required=soaked.required,
        case=soaked.case_id,
        towards=math.degrees(soaked.towards) % 360,
        water=_("with the water's weight") if soaked.water else _("drained again, still weak"),
        widest=widest,
    )


def settle_words(told: Settling) -> list[str]:
    """All paragraphs, cautions first."""
    each = [_reached_words(told, one) for one in told.reached]
    return [
        f"{_('Caution.')} {_(ENGINEER)}",
        _(NO_VERDICT),
        capital(_stated_words(told)),
        *each,
        *([said] if (said := _stiffness_words(told)) else []),
        *([_lean_words(told, told.lean)] if told.lean else []),
        *([_soaked_words(told, told.soaked)] if told.soaked else []),
        _(LEFT_OUT),
    ]


assert set(TITLES) == set(KINDS)
