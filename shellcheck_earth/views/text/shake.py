"""Sentences on a dome that is moved in time: cautions, what was asked, what came of it, what the model leaves out."""

from __future__ import annotations

import math

from shellcheck_earth.basics.units import both
from shellcheck_earth.studies.shake.study import AFTER, SLID, STATES, TILT, Shaking
from shellcheck_earth.views.text.cautions import ENGINEER

__all__ = ["LEFT_OUT", "NO_VERDICT", "asked_words", "found_words", "shake_words"]

NO_VERDICT = (
    "This is a study of a model and gives no verdict. That the blocks still stand after one motion says nothing of"
    " another motion, another direction, a wetter dome or a dome built a little otherwise; what may be relied on under"
    " an earthquake is the question of the command check, and of a licensed engineer."
)

LEFT_OUT = (
    "Rigid blocks that press, slide and turn on each other with friction that does not dilate, moved by small steps in"
    " time (Moreau 1988, memory); impacts do not rebound. Left out: what falls is not followed, faces do not wear,"
    " crushed fill comes back when unloaded, wire and ties pull as in the unmoved dome, the ground does not give, and"
    " the fill does not shake loose. The rings are cut at 18 meridians and at the openings; a tube can part anywhere."
)

STATE_WORDS = {"finished-dry": "dry", "finished-damp": "damp", "soaked-through": "soaked through"}


def _short(metres: float, system: str) -> str:
    """A short way in millimetres and inches, the user's own first."""
    metric, imperial = f"{1000 * metres:.2g} mm", f"{metres / 0.0254:.2g} in"
    return f"{imperial} ({metric})" if system == "imperial" else f"{metric} ({imperial})"


def _bearing(bearing: float) -> str:
    return f"{math.degrees(bearing) % 360:.0f} deg"


def asked_words(told: Shaking) -> str:
    """What the ground does, and to which dome."""
    ground, towards = told.ground, _bearing(told.bearing)
    dome = f"The finished dome, {STATE_WORDS[told.case.id]}"
    if ground.kind == "lean":
        return (
            f"{dome}, pulled towards {towards} by a share of its weight that grows to {ground.peak:.3g}, as on a ground"
            f" that tilts slowly."
        )
    if ground.kind == "record":
        return (
            f"{dome}, on the ground motion of {ground.name}: {ground.seconds:.3g} s, a peak of {ground.peak:.3g} times"
            f" gravity, its first axis towards {towards}."
        )
    return (
        f"{dome}, on a ground that moves as {'one sine' if ground.kind == 'sine' else 'half a sine'} of"
        f" {ground.seconds:.3g} s with a peak of {ground.peak:.3g} times gravity, first towards {towards}."
    )


def found_words(told: Shaking) -> str:
    """How the run ended."""
    found, system = told.found, told.design.unit_system
    if found.how == "not at rest":
        return "Before the ground moves at all these blocks do not come to rest under their own weight."
    if found.how == "limit" and found.reached is not None:
        why, block = found.reached
        words = {
            "moved": f"had moved by more than half the width of the wall ({both(told.limits.moved, 'length', system)})",
            "tilt": f"had tilted by more than {math.degrees(TILT):.0f} deg",
            "slid": f"had slid by more than {SLID:.0%} of a face",
        }
        return (
            f"After {found.times[-1]:.2f} s a block of course {told.course(block)} {words[why]}. There the run stops:"
            " beyond it this model says nothing, and the dome has to be taken as coming down."
        )
    size, when, number = told.largest
    return (
        f"The blocks still stood {AFTER:g} s after the ground had stopped. The largest displacement was"
        f" {_short(size, system)}, in course {number} at {when:.2f} s. At the end the block furthest off"
        f" stood {_short(told.left, system)} from its place, and the fastest moved at"
        f" {1000 * found.speed:.3g} mm/s."
    )


def shake_words(told: Shaking) -> list[str]:
    """All paragraphs, cautions first."""
    return [f"Caution. {ENGINEER}", NO_VERDICT, asked_words(told), found_words(told), LEFT_OUT]


assert set(STATE_WORDS) == set(STATES.values())
