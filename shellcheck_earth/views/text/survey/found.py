"""What was found, in sentences: courses against their plan, rain, tilt, rod and moisture."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from shellcheck_earth.basics.units import format_quantity
from shellcheck_earth.basics.values import fixed
from shellcheck_earth.studies.survey.survey import SurveyAnswer
from shellcheck_earth.views.text.language import Words, mark
from shellcheck_earth.views.text.numbers import required_words
from shellcheck_earth.views.text.survey.lengths import chain, level

if TYPE_CHECKING:
    from shellcheck_earth.safety.blocks.out_of_round import OutOfRound

__all__ = [
    "check_named",
    "found_sentences",
    "hours_of_rain",
    "rain_sentences",
    "reading_sentences",
    "ring_words",
]

CHECKS: Mapping[str, str] = {
    "bed friction": mark("friction in the beds"),
    "geometric factor": mark("width of the wall"),
    "strength": mark("strength of the fill"),
    "strength while building": mark("strength of the fill"),
    "wire tension": mark("tension of the wire"),
    "overall reserve": mark("the reserve of everything together"),
    "combined factors": mark("the combination of partial factors"),
    "standing without wire": mark("standing without its wire"),
    "base sliding": mark("sliding on the ground"),
    "ground bearing": mark("pressure on the ground"),
}


def check_named(check: str, _: Words) -> str:
    """What a check is about, as a reader on site says it."""
    return _(CHECKS.get(check, check))


def hours_of_rain(hours: float, _: Words) -> str:
    """How long rain may fall before the wall has to be covered."""
    minutes = int(hours * 60 / 5) * 5  # down: never later than the margin allows
    if minutes < 5:
        return _("at once, before any more rain")
    if minutes < 60:
        return _("within the first {minutes} minutes of rain", minutes=minutes)
    return _("within the first {hours} h {minutes:02d} min of rain", hours=minutes // 60, minutes=minutes % 60)


def ring_words(one: OutOfRound, _: Words) -> str:
    """What rings that are not round leave, beside what their mean shows."""
    where = _("in the finished dome") if one.case_id.startswith("finished") else _("of what stands")
    found, mean = "-" if one.blocks is None else f"{one.blocks:.3g}", f"{one.rings:.3g}"
    governs = _("the blocks govern") if one.governs else _("the mean governs")
    return _(
        "the whole reserve {where} is {blocks} with the rings as they are (blocks, not proven), {rings} with their mean"
        " radii, {required} required: {governs}.",
        where=where,
        blocks=found,
        rings=mean,
        required=required_words(one.required),
        governs=governs,
    )


def found_sentences(answer: SurveyAnswer, _: Words) -> list[str]:
    """What was measured, against what was drawn."""
    system, top = answer.design.unit_system, answer.deviations[-1]
    planned = answer.design.wall.course_height
    low = top.planned_top - top.top
    side = _("outside") if top.off_curve > 0 else _("inside")
    out = [
        _(
            "Found on {day}: {count} courses above the springing, the top of the wall at {level}; planned: {planned}.",
            day=answer.wall.survey.on.isoformat(),
            count=answer.wall.number,
            level=level(top.top, system),
            planned=level(top.planned_top, system),
        ),
        _(
            "The courses are {height} high in the mean, {planned} in the plan; course {number} stands {off} {side} the"
            " curve at its own height.",
            height=chain(answer.wall.height, system),
            planned=chain(planned, system),
            number=top.number,
            off=chain(abs(top.off_curve), system),
            side=side,
        ),
    ]
    if abs(low) > 0.5 * planned:
        out.append(
            _(
                "The wall is more than half a course away from its plan: settings belong to heights, not to course"
                " numbers."
            )
        )
    aside = max(answer.deviations, key=lambda one: one.shift)
    oval = max(answer.deviations, key=lambda one: one.oval)
    for one, size, what in ((aside, aside.shift, _("to one side")), (oval, oval.oval, _("oval"))):
        if size >= fixed("survey.shift_counts"):
            out.append(_("Course {number} is {size} {what}.", number=one.number, size=chain(size, system), what=what))
    out += [_("Out of round: {ring}", ring=ring_words(one, _)) for one in answer.shape.asked]
    if max(ring.bearings for ring in answer.wall.rings) < 3:
        out.append(_("With fewer than three bearings a course, a ring to one side or out of round is not seen."))
    return out


def rain_sentences(answer: SurveyAnswer, _: Words) -> list[str]:
    """Rain to come and rain that fell."""
    rain, out = answer.design.site, []
    shown = format_quantity(rain.rain_intensity, "speed", answer.design.unit_system)
    if answer.cover.hours is None:
        out.append(
            _(
                "Rain to come: {hours:g} h at {rate} would leave every margin of what stands met, uncovered.",
                hours=rain.rain_hours,
                rate=shown,
            )
        )
    elif answer.cover.short is not None:
        out.append(
            _(
                "Rain to come, {rate}: uncovered, {check} falls short {when}.",
                rate=shown,
                check=check_named(answer.cover.short.check, _),
                when=hours_of_rain(answer.cover.hours, _),
            )
        )
    if answer.now.design.openings:
        out.append(
            _(
                "That is of its rings alone. Its openings were asked of the block model in all of this rain until the"
                " cover that the design states, and at no other hour: cover it before it rains."
            )
        )
    system, wet = answer.design.unit_system, max(answer.wall.wet, key=lambda one: one.counted)
    if wet.counted > 0.0:
        out.append(
            _(
                "Rain so far: course {number} counts as wet {depth} deep, the most of all.",
                number=wet.number,
                depth=chain(wet.counted, system),
            )
        )
        out.append(_dry_sentence(answer, _))
    elif answer.wall.survey.rains:
        out.append(_("Rain so far has left nothing wet."))
    return out


def _dry_sentence(answer: SurveyAnswer, _: Words) -> str:
    dry, system = answer.dry, answer.design.unit_system
    if dry is None:
        return _("As wet as it is, what stands keeps every margin: no drying has to be waited for.")
    deepest = max(answer.wall.depths)
    depth = chain(math.floor(1000 * dry.share * deepest) / 1000, system)
    text = _("It is dry enough to go on when a rod goes in no deeper than {depth} anywhere.", depth=depth)
    if dry.days is not None:
        return text + " " + _("In the climate stated that takes {days} days of dry weather.", days=dry.days)
    return text + " " + _("No drying is counted on: only readings can say when.")


def reading_sentences(answer: SurveyAnswer, _: Words) -> list[str]:
    """What tilt, rod and moisture readings say."""
    wall, system, out = answer.wall, answer.design.unit_system, []
    if wall.tilt > 0.0:
        beds = answer.design.beds
        left = math.tan(math.atan(beds.friction) - wall.tilt)
        out.append(
            _(
                "Tilt: a bed that slopes by {angle:.1f} deg holds like one with less friction: {left:.2f} is counted in"
                " every bed instead of {full:.2f}.",
                angle=math.degrees(wall.tilt),
                left=left,
                full=beds.friction,
            )
        )
    for wet in wall.wet:
        if wet.read is None:
            continue
        size = {"number": wet.number, "read": chain(wet.read, system), "computed": chain(wet.computed, system)}
        if wet.read > wet.computed:
            out.append(
                _(
                    "Rod: course {number} is soft {read} deep, more than the {computed} computed: the reading counts.",
                    **size,
                )
            )
        elif wet.counted < wet.computed:
            out.append(
                _(
                    "Rod: course {number} is soft {read} deep, less than the {computed} computed: the reading counts.",
                    **size,
                )
            )
        else:
            out.append(
                _(
                    "Rod: course {number} is soft {read} deep, less than the {computed} computed, at {spots} places:"
                    " not enough places to count on it.",
                    spots=wet.spots,
                    **size,
                )
            )
    damp = [one for one in wall.survey.courses if one.moisture is not None]
    placed = answer.design.fill.placing_moisture
    over = [one.number for one in damp if (one.moisture or 0.0) > placed]
    if over:
        out.append(_("Moisture: course {number} is damper than it was placed and counts as wet.", number=over[-1]))
    elif damp:
        out.append(_("Moisture: no course read is damper than it was placed; drying beyond the plan is not counted."))
    return out
