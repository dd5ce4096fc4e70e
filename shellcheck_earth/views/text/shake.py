"""Sentences on a dome that is moved in time: cautions, what was asked, what came of it, what the model leaves out."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.shake.study import AFTER, SLID, STATES, TILT, Shaking
from shellcheck_earth.views.text.cautions import ENGINEER
from shellcheck_earth.views.text.language import _, mark

__all__ = ["LEFT_OUT", "NO_VERDICT", "asked_words", "found_words", "shake_words"]

NO_VERDICT = mark(
    "This is a study of a model and gives no verdict. That the blocks still stand after one motion says nothing of"
    " another motion, another direction, a wetter dome or a dome built a little otherwise; what may be relied on under"
    " an earthquake is the question of the command check, and of a licensed engineer."
)

LEFT_OUT = mark(
    "Rigid blocks that press, slide and turn on each other with friction that does not dilate, moved by small steps in"
    " time (Moreau 1988, memory); impacts do not rebound. Left out: what falls is not followed, faces do not wear,"
    " crushed fill comes back when unloaded, wire and ties pull as in the unmoved dome, the ground does not give, and"
    " the fill does not shake loose. The rings are cut at 18 meridians and at the openings; a tube can part anywhere."
)

STATE_WORDS = {
    "finished-dry": mark("The finished dome, dry"),
    "finished-damp": mark("The finished dome, damp"),
    "soaked-through": mark("The finished dome, soaked through"),
}


def _short(metres: float, system: str) -> str:
    """A short way in millimetres and inches, the user's own first."""
    metric, imperial = f"{1000 * metres:.2g} mm", f"{metres / 0.0254:.2g} in"
    return f"{imperial} ({metric})" if system == "imperial" else f"{metric} ({imperial})"


def _bearing(bearing: float) -> str:
    return _("{angle:.3g} deg", angle=round(math.degrees(bearing) % 360))


def asked_words(told: Shaking) -> str:
    """What the ground does, and to which dome."""
    ground, towards = told.ground, _bearing(told.bearing)
    dome = _(STATE_WORDS[told.case.id])
    if ground.kind == "lean":
        return _(
            "{dome}, pulled towards {towards} by a share of its weight that grows to {peak:.3g}, as on a ground that"
            " tilts slowly.",
            dome=dome,
            towards=towards,
            peak=ground.peak,
        )
    if ground.kind == "record":
        return _(
            "{dome}, on the ground motion of {name}: {seconds:.3g} s, a peak of {peak:.3g} times gravity, its first"
            " axis towards {towards}.",
            dome=dome,
            name=ground.name,
            seconds=ground.seconds,
            peak=ground.peak,
            towards=towards,
        )
    return _(
        "{dome}, on a ground that moves as {shape} of {seconds:.3g} s with a peak of {peak:.3g} times gravity, first"
        " towards {towards}.",
        dome=dome,
        shape=_("one sine") if ground.kind == "sine" else _("half a sine"),
        seconds=ground.seconds,
        peak=ground.peak,
        towards=towards,
    )


def _limit_words(told: Shaking, why: str) -> str:
    """Past which limit a block went."""
    if why == "moved":
        limit = both(told.limits.moved, "length", told.design.unit_system)
        return _("had moved by more than half the width of the wall ({limit})", limit=limit)
    if why == "tilt":
        return _("had tilted by more than {angle:.0f} deg", angle=math.degrees(TILT))
    return _("had slid by more than {share:.0%} of a face", share=SLID)


def found_words(told: Shaking) -> str:
    """How the run ended."""
    found, system = told.found, told.design.unit_system
    if found.how == "not at rest":
        return _("Before the ground moves at all these blocks do not come to rest under their own weight.")
    if found.how == "limit" and found.reached is not None:
        why, block = found.reached
        return _(
            "After {time:.2f} s a block of course {course} {why}. There the run stops: beyond it this model says"
            " nothing, and the dome has to be taken as coming down.",
            time=found.times[-1],
            course=told.course(block),
            why=_limit_words(told, why),
        )
    size, when, number = told.largest
    return _(
        "The blocks still stood {after:g} s after the ground had stopped. The largest displacement was {size}, in"
        " course {course} at {when:.2f} s. At the end the block furthest off stood {left} from its place, and the"
        " fastest moved at {speed:.3g} mm/s.",
        after=AFTER,
        size=_short(size, system),
        course=number,
        when=when,
        left=_short(told.left, system),
        speed=1000 * found.speed,
    )


def shake_words(told: Shaking) -> list[str]:
    """All paragraphs, cautions first."""
    return [f"{_('Caution.')} {_(ENGINEER)}", _(NO_VERDICT), asked_words(told), found_words(told), _(LEFT_OUT)]


assert set(STATE_WORDS) == set(STATES.values())
