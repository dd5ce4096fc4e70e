"""The block model's answers in sentences: what decides, what moves first, what presses where."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shellcheck_earth.basics.units import both, format_quantity
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import Dome
from shellcheck_earth.loads.combinations import combinations
from shellcheck_earth.loads.joint import COMBINED, Row, ground_limits
from shellcheck_earth.loads.side_loads import INSIDE_OPEN, inside_coefficients
from shellcheck_earth.mechanics.blocks.assembly import ANCHORAGE
from shellcheck_earth.mechanics.blocks.nonassociated import OVERSTATED
from shellcheck_earth.safety.blocks.result import BlockResult, CutResult, Mechanism, Press
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital, factor_words, listed, lower, required_words
from shellcheck_earth.views.text.openings import opening_named

__all__ = [
    "BOUNDS",
    "FOOTPRINT",
    "NO_FOOTPRINT",
    "PRESS",
    "apart_words",
    "block_paragraphs",
    "block_sentence",
    "bounds_words",
    "buttress_named",
    "load_paragraph",
    "mechanism_sentence",
    "press_named",
]

PRESS = mark(
    "Greatest press in the state that was found for each case under the load itself, not its multiple; other states may"
    " carry the load too."
)

BOUNDS = mark(
    "With ordinary friction: forces that the checker confirms hold so much of what is asked about (from below), and a"
    " mechanism of the blocks moves at so much (from above). Without dilation blocks may move earlier; what is relied"
    " on allows for that."
)


WAYS = {
    "outward": mark("slide outward"),
    "inward": mark("slide inward"),
    "sink": mark("sink"),
    "lift": mark("lift"),
    "tip": mark("tip"),
}


def _degrees(bearing: float) -> str:
    return _("{bearing:.0f} deg", bearing=math.degrees(bearing) % 360)


def _buttresses(design: Design, indices: Sequence[int]) -> str:
    places = [
        _("{number} (at {bearing})", number=index + 1, bearing=_degrees(design.buttresses[index].bearing))
        for index in indices
    ]
    if len(places) == 1:
        return _("buttress {places}", places=places[0])
    return _("buttresses {places}", places=listed(places))


BUTTRESS_MOVES = {
    (True, True): mark(
        "What fails first is no part of the dome: {which} moves while the wall still stands, tipping on its own beds."
    ),
    (True, False): mark(
        "What fails first is no part of the dome: {which} moves while the wall still stands, sliding on its own beds."
    ),
    (False, True): mark(
        "What fails first is no part of the dome: {which} move while the wall still stands, tipping on their own beds."
    ),
    (False, False): mark(
        "What fails first is no part of the dome: {which} move while the wall still stands, sliding on their own beds."
    ),
}
"""By whether it is one, and whether it tips."""


def _courses(dome: Dome, courses: tuple[int, int]) -> str:
    low, high = (said_below(dome.course(number).label) for number in courses)
    if high != low:
        return _("Courses {low} to {high}", low=low, high=high)
    return _("Blocks of course {course}", course=low)


def _goes_along(design: Design, found: Mechanism) -> Iterator[str]:
    """The heads and buttresses that go with what moves."""
    if found.openings:
        heads = listed([opening_named(design, index) for index in found.openings])
        one = len(found.openings) == 1
        yield _(
            mark("The head of {heads} goes with them.") if one else mark("The heads of {heads} go with them."),
            heads=heads,
        )
    if found.buttresses:
        one = len(found.buttresses) == 1
        yield _(
            mark("{which} goes with them.") if one else mark("{which} go with them."),
            which=capital(_buttresses(design, found.buttresses)),
        )


def mechanism_sentence(dome: Dome, found: Mechanism) -> str:
    """Which courses, which side, which way, and what goes with them."""
    design = dome.design
    if found.courses is None:
        how = BUTTRESS_MOVES[len(found.buttresses) == 1, "tip" in found.ways]
        return _(how, which=_buttresses(design, found.buttresses))
    where = _("all around")
    if found.span is not None:
        where = _("between bearings {low} and {high}", low=_degrees(found.span[0]), high=_degrees(found.span[1]))
    ways = [
        _("move sideways towards {bearing}", bearing=_degrees(found.towards or 0.0))
        if way == "sideways"
        else _(WAYS[way])
        for way in found.ways
    ]
    moves = listed(ways) if ways else _("shift against each other")
    return " ".join([f"{_courses(dome, found.courses)}, {where}, {moves}.", *_goes_along(design, found)])


def block_sentence(dome: Dome, result: BlockResult) -> str:
    """What the block model says of one load, where that decides the verdict."""
    if result.relied is None:
        return _(
            "{title}: the block model could not establish an answer ({why}).",
            title=said_below(result.title),
            why=said_below(result.why),
        )
    if result.at_least:
        held = mark(
            "{title} comes nearest to what is required: at least {factor} is held, {required} is required; it was not"
            " looked further."
        )
    elif result.criterion == COMBINED:
        held = mark("{title} governs: what is asked is held {factor} times over; {required} is required.")
    elif result.directions:
        held = mark("{title} governs: the dome holds this load {factor} times over; {required} is required.")
    else:
        held = mark("{title} governs: every capacity can be divided by {factor} at once; {required} is required.")
    text = _(
        held,
        title=said_below(result.title),
        factor=factor_words(result.relied, result.required),
        required=required_words(result.required),
    )
    return text if result.mechanism is None else f"{text} {_first_to_move(dome, result.mechanism)}"


def _first_to_move(dome: Dome, found: Mechanism) -> str:
    return _("First to move: {what}", what=lower(mechanism_sentence(dome, found)))


def buttress_named(design: Design, index: int) -> str:
    """One buttress with its bearing."""
    return _buttresses(design, [index])


def press_named(design: Design, press: Press) -> str:
    """The place of one press."""
    if press.place == "buttress":
        return _("thrust on buttress {number}", number=press.index + 1)
    return _(PLACES[press.place], opening=opening_named(design, press.index))


PLACES = {
    "jambs": mark("jambs of {opening}, one bed"),
    "head": mark("over the head of {opening}, one face"),
    "ring above": mark("ring above {opening}"),
}


THEORY = mark(
    "Rings are divided into blocks that press, slide and turn on each other. With ordinary friction a block that slides"
    " must also rise, which real beds do not do, so the number can be too high (Drucker 1954, recalled; Livesley 1978,"
    " abstract read); it is therefore also found for friction without dilation by a sequential scheme (Gilbert,"
    " Casapulla & Ahmed 2006, recalled), whose answer need not be the least of several that are possible: on published"
    " walls with windows (Ferris & Tin-Loi 2001, recalled) it lies up to 22 % above a mechanism that a second method"
    " finds, blocks moved in time and pushed slowly from rest; so pushed, a dome with a high window lost blocks of its"
    " head past 0.54 of the scheme's number, the lowest of ten cases, so {share:.0%} of it is relied on under loads"
    " from one side. The lower number is relied on, less what a finer discretisation takes,"
    " never more than the ring-symmetric check gives, and forces are re-checked by plain arithmetic."
)
WIND = mark(
    "Wind is an envelope: pressure coefficients +0.8 to windward and 0 or -0.5 on the lee (walls of a building, ASCE 7,"
    " read), -1.2 over the crown (recalled, to be confirmed by the engineer), and inside {inside}{why}. The push"
    " to windward falls off from the foot on, or only where the wall leans in by more than 25 deg: both cases of"
    " published charts of domes (ASCE 7-05, Figure 6-7, read)."
    " Published charts stop at a rise of half the diameter; a dome as tall as it is wide lies outside them. What the"
    " wind does to the leaf of a door or a window is left out."
)
RAIN = mark(
    "Water in one half weighs there, and that half has the friction and strength of soaked fill from the start"
    " (proposed); the other half stays as it is in service."
)
HANDED = mark(
    "What is handed in ({names}) is shared over the blocks of its course that it bears on by their angle, beside"
    " every load from one side, and an earthquake shakes what of it weighs. Each state of it is a row of its own;"
    " where its weight and its thrust keep their direction, the end at which both are least lies between rows that are"
    " asked."
)
EARTH = mark(
    "Earth against the wall presses on every block by its angle, and on nothing where an opening keeps it off: what is"
    " missing there pushes the dome towards the opening. Blocks are asked the whole, heaviest earth with what may stand"
    " on it, at its most and its least; lighter earth, and earth dug away in part, the rings alone. Nothing that holds"
    " the earth off an opening may lean on the dome."
)
ON_ONE_SIDE = mark(
    "Earth against one side of the wall, from bearing {start:.4g} to {end:.4g} deg: no ring knows it, so only blocks"
    " say what it does, and with the ground under them whether the dome slides or turns over as a whole. Nothing"
    " presses back from the other side. Of a load from one side {share:.0%} is relied on: its greatest pressure counts"
    " {times:.3g} times. Blocks are asked the whole, heaviest earth with what may stand on it, at its most and its"
    " least, beside every load; dug away to three quarters, a half and a quarter, and without what stands on it, beside"
    " the dead load. Not asked: lighter earth, earth dug away from one end, and ends that slope."
)
FOOTPRINT = mark(
    "How each buttress stands on the ground under it, in the states whose proof is kept: the stress at its pressed"
    " edge (linear along it, without tension), the friction it needs, and half its length over how far the resultant"
    " lies off its middle, which is 1 where it turns over. A state is one way to stand, not the only one; the verdict"
    " holds the ground under every buttress to its friction and pressure by itself. Settlement and what lies deeper"
    " are not looked at."
)
NO_FOOTPRINT = mark(
    "No state of the blocks is proven, so nothing is said of how the buttresses stand on the ground: their bearing,"
    " sliding and overturning are for the engineer to find."
)
FORMS = mark(
    "Forms come out of a head once a ring is closed above it: each such stage at which no other opening is half built"
    " is a row of its own. Where an opening is half built the courses lean on its form, which the blocks do not have:"
    " keep it in. A stage with its forms out is asked in the rain too: a wetted band has its own friction and strength,"
    " and what nobody measured of how deep rain goes is taken at the bad end of its range. Rain that is driven onto"
    " jambs and into heads is not computed: cover them."
)


JOINT = mark(
    "Every capacity at once: {how} The multiple of a load that is required follows where this holds it as often."
)
GLOBAL = mark(
    "friction, strength, wire and the width of every face divided by what the load's criterion requires at strength"
    " level; a wind or an earthquake that is stated as a characteristic value, or not said to be more, is raised by"
    " what is required of it beyond that."
)
PARTIAL = mark(
    "weights, loads, friction, strength and wire with all factors of each row, with the snow or the wind that stands"
    " beside the load in it; cohesion is not counted in blocks. Of rows that differ in the load's factor alone the"
    " greatest is asked."
)


GROUND = mark(
    "On the ground every jamb, wall and buttress is held to friction {friction:.3g} and a pressure of {bearing}: what"
    " the ground has when wet, at the low end of its range where nobody measured it. What it bears is asked with the"
    " loads as they are."
)


def _ground(design: Design) -> str:
    limits = ground_limits(design, Row(bearing=design.criteria.required["ground bearing"]), sideways=True)
    return _(GROUND, friction=limits.friction, bearing=both(limits.bearing, "stress", design.unit_system))


def _joint(design: Design) -> str:
    return _(JOINT, how=_(PARTIAL if combinations(design.criteria) else GLOBAL))


def _wind(design: Design) -> str:
    presses, sucks = inside_coefficients(design)
    why = mark(", as with the door open") if presses == INSIDE_OPEN else mark(", as with everything shut")
    inside = _("{presses:+g} or {sucks:+g}", presses=presses, sucks=sucks)
    return _(WIND, inside=inside, why=_(why))


def _ties(design: Design) -> Iterator[str]:
    tied = [
        f"{opening_named(design, index)} ({format_quantity(opening.tie, 'force', design.unit_system)})"
        for index, opening in enumerate(design.openings)
        if opening.tie > 0
    ]
    if tied:
        yield _(
            "Lintels that are tied into the wall: {tied}. The pull is counted across both ends of the lintel and fades"
            " out over {anchorage:g} m of wall (proposed; no test known). Whether lintel, bars and anchors can hold it"
            " is for an engineer to show; dividing capacities for the reserve divides the tie too.",
            tied=", ".join(tied),
            anchorage=ANCHORAGE,
        )


def block_paragraphs(design: Design, results: Sequence[BlockResult]) -> Iterator[str]:
    """What the block model is, and what its loads stand for."""
    yield _(THEORY, share=OVERSTATED)
    if any(result.criterion == "storm" for result in results):
        yield _wind(design)
    if any(result.criterion == COMBINED for result in results):
        yield _joint(design)
        yield _ground(design)
    if any(result.id == "three-d-rain" for result in results):
        yield _(RAIN)
    if any(result.id.startswith("three-d-forms-out") for result in results):
        yield _(FORMS)
    if any("-carrying-" in result.id for result in results):
        names = [load.name for of in (design.ring_loads, design.bearing_loads) for load in of]
        yield _(HANDED, names=listed(names))
    if any("-earth-" in result.id for result in results):
        yield _earth(design)
    yield from _ties(design)


def _earth(design: Design) -> str:
    """Of the earth against the wall, all around or on one side."""
    earth = design.backfill
    if earth is None or earth.from_bearing is None or earth.to_bearing is None:
        return _(EARTH)
    start, end = (math.degrees(bearing) % 360 for bearing in (earth.from_bearing, earth.to_bearing))
    return _(ON_ONE_SIDE, start=start, end=end, share=OVERSTATED, times=1 / OVERSTATED)


def apart_words(result: BlockResult) -> str:
    """How far both bounds of a case lie apart."""
    apart = result.apart
    if apart is None:
        return "-"
    share = f"{abs(100 * apart):.1f} %"
    return share if apart >= 0 else _("{share} lower, with finer cuts", share=share)


def bounds_words(result: BlockResult) -> str:
    """Both bounds of a case beside each other and how far they lie apart; "" where no mechanism is known."""
    if result.above is None:
        return ""
    above = _held(result.above)
    if result.below is None or result.apart is None:
        return _("with ordinary friction {above} from above", above=above)
    said = mark("with ordinary friction {below} from below, {above} from above: {apart} apart")
    if result.apart < 0:
        said = mark("with ordinary friction {below} from below, {above} from above: {apart}")
    return _(said, below=_held(result.below), above=above, apart=apart_words(result))


def _held(value: float | None, at_least: bool = False) -> str:
    if value is None:
        return "-"
    return _("at least {value}", value=format(value, ".3g")) if at_least else f"{value:.3g}"


def _converged(line: CutResult) -> str:
    found = _(
        "{cuts} a ring ({blocks} blocks) {held}",
        cuts=line.cuts,
        blocks=line.blocks,
        held=_held(line.multiplier, line.at_least),
    )
    if line.fails is None:
        return found
    fails = _("with a mechanism at {value:.3g}", value=line.fails)
    return f"{found} {fails}"


def load_paragraph(dome: Dome, result: BlockResult) -> str:
    """One load: why nothing is said, what moves first, every direction examined, and how the answer converges."""
    said = [_("Why: {why}.", why=said_below(result.why))] if result.why else []
    if result.at_least and not result.convergence:
        said.append(_("At least {held} times the load follows from the row below.", held=_held(result.relied)))
    elif result.at_least and result.directions:
        said.append(
            _("Nothing moves up to {held} times the load, the most that was examined.", held=_held(result.associated))
        )
    elif result.at_least:
        said.append(_("It was asked whether {held} is held, and no further.", held=_held(result.associated)))
    if result.mechanism is not None:
        said.append(_first_to_move(dome, result.mechanism))
    if result.directions:
        least: dict[float, float] = {}
        for bearing, multiplier in result.directions:
            least[bearing] = min(multiplier, least.get(bearing, math.inf))
        examined = ", ".join(f"{_degrees(bearing)} {multiplier:.3g}" for bearing, multiplier in least.items())
        said.append(_("Directions examined, the least of each with ordinary friction: {examined}.", examined=examined))
    if result.convergence:
        lines = ", ".join(map(_converged, result.convergence))
        said.append(_("Convergence with the discretisation (finer ones only add joints): {lines}.", lines=lines))
    return " ".join(said)
