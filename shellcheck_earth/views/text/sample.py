"""The study of uncertain inputs, in sentences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import CourseGroup
from shellcheck_earth.loads.drawn import place_in_file
from shellcheck_earth.studies.sample.margins import Margins
from shellcheck_earth.studies.sample.orders import Orders
from shellcheck_earth.studies.sample.statistics import Share
from shellcheck_earth.studies.sample.study import Chance, LeftOut
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital

__all__ = [
    "FAMILIES",
    "FOOTER",
    "INDICES",
    "MARGIN",
    "MOST_DRAWN",
    "ORDERS",
    "OUTCOME",
    "OWN_DRAWS",
    "SHARES",
    "SHARES_ALT",
    "STUDY",
    "TITLE",
    "UNCERTAIN",
    "crown_sentence",
    "ends_sentence",
    "group_sentences",
    "hangs_on_sentence",
    "hopeless_sentence",
    "how_margins_sentence",
    "how_sentence",
    "input_words",
    "left_out_sentences",
    "limits_sentence",
    "limits_shown",
    "per_cent",
    "same_answer_sentence",
    "spread_sentence",
    "total_sentence",
]

MOST_DRAWN = mark("Only the largest {most} are drawn; every one is in chance.csv.")
STUDY = mark(
    "This is a sensitivity study of the model with stated, not known, distributions. It is no failure probability of"
    " the real building."
)
SHARES: Mapping[str, str] = {
    "no_line": mark("no thrust line in some case with its wire"),
    "short": mark("some margin short"),
    "unbuildable": mark("courses no longer overlap"),
}
OUTCOME: Mapping[str, str] = {
    "no_line": mark("whether a thrust line exists, the wire being there"),
    "short": mark("whether every margin is met"),
}
MARGIN: Mapping[str, str] = {
    "reserve": mark("the overall reserve"),
    "share": mark("the least share of what is required"),
}
MARGIN_SAID: Mapping[str, str] = {
    "reserve": mark(
        "what friction, strength, wire and bed width may all be divided by together, in the worst case with its wire"
    ),
    "share": mark(
        "the least factor over required factor of all checks and cases; a dome without any thrust line has none"
    ),
}
INPUT: Mapping[str, str] = {
    "dry_density": mark("dry density"),
    "placing_moisture": mark("moisture as placed"),
    "service_moisture": mark("moisture in service"),
    "strength": mark("strength, common factor"),
    "strength_own:dry": mark("strength dry, its own"),
    "strength_own:placed": mark("strength as placed, its own"),
    "strength_own:wet": mark("strength wet, its own"),
    "friction": mark("bed friction"),
    "friction_wet_own": mark("wet friction, its own"),
    "wire": mark("counted wire tension"),
    "filled_width": mark("filled width"),
    "compass errors": mark("compass errors of all courses"),
}
OF_A_GROUP: Mapping[str, str] = {
    **{name: INPUT[name] for name in ("dry_density", "placing_moisture", "service_moisture")},
    "strength": mark("strength"),
}
"""What can be drawn for a group alone, in few words."""
FAMILIES: Mapping[str, str] = {
    "lognormal": mark("lognormal"),
    "normal": mark("normal"),
    "two-sided": mark("two-sided"),
    "limit": mark("limit"),
}
SHARES_ALT = mark(
    "Bars of the shares of domes without a line, with a margin short, and short in each check, with 95 % limits"
)
INDICES = mark(
    "Share of the variance of a yes or no that one input explains alone (index of first order), with its standard error"
    " over the scramblings. The rest is explained by several inputs together. An index within two errors of nothing is"
    " not told from nothing."
)
ORDERS = mark(
    "Alone: share of the variance of the margin that the input explains by itself (first order, Saltelli and others"
    " 2010). With others: its part in what several inputs explain together is added (total order, Jansen 1999). Both"
    " from domes in which one input at a time is exchanged for that of another dome; formulas recalled, and compared"
    " with a published program and with a function of known indices. Standard errors over the scramblings. Totals may"
    " add up to more than 100 %, for what two inputs do together counts for both."
)
UNCERTAIN = mark(
    "Lognormal: the design's value is the median, the spread its coefficient of variation. Values the design marks as"
    " measured take the smaller spread. Values that cannot be together are brought together: moisture at most fills the"
    " voids, strength as placed at most the dry one, wet strength and wet friction at most the dry ones."
)
OWN_DRAWS = mark(
    "A value that a group of courses takes over from [fill] (the same number, of the same kind of fill, known in the"
    " same way) is one draw for both. A value of its own is a draw of its own, independent of the wall's, for nothing"
    " is known that ties the two. Of strengths that is cautious: some course is weak more often than if one factor held"
    " for all. Of weights it is not: that all courses are heavy at once is rarer. Where two fills meet, the lesser"
    " strength and friction of the two count."
)
TITLE = mark("{name}: what uncertain inputs do")
FOOTER = mark("{name}: a sensitivity study of the model, no failure probability of the building.")


def per_cent(value: float) -> str:
    """A share in per cent, three figures."""
    return f"{100 * value:.3g} %"


def input_words(name: str) -> str:
    """An uncertain input, as a reader calls it; that of a group of courses with the group's number."""
    group, inside = place_in_file(name)
    said = _(INPUT[inside])
    return _("{input}, group {number}", input=said, number=group) if group else said


def group_sentences(chance: Chance) -> list[str]:
    """Which courses each group with a fill of its own is, and what is drawn for it alone; none where there is none."""
    said = []
    for number, group in enumerate(chance.design.groups, 1):
        own = [inside for key in chance.scatter for at, inside in (place_in_file(key),) if at == number]
        inputs = ", ".join(_(OF_A_GROUP[inside]) for inside in own if inside in OF_A_GROUP)
        said.append(
            _(
                "Group {number} (wall.courses[{number}]): {courses}. Drawn for it alone: {inputs}.",
                number=number,
                courses=_courses(group),
                inputs=inputs or _("nothing"),
            )
        )
    return said


def _courses(group: CourseGroup) -> str:
    """The courses of a group."""
    if group.lowest is None and group.highest is None:
        return _("all courses")
    if group.lowest is None:
        return _("courses up to {high}", high=group.highest)
    if group.highest is None:
        return _("courses from {low} on", low=group.lowest)
    return _("courses {low} to {high}", low=group.lowest, high=group.highest)


def limits_shown(share: Share) -> str:
    """The 95 % limits of a share."""
    return _("{low} to {high}", low=per_cent(share.low), high=per_cent(share.high))


def how_sentence(chance: Chance) -> str:
    """How many domes, and how they were drawn."""
    return _(
        "{samples:,} domes of the design, scrambled Sobol points in {scramblings} scramblings, seed {seed}. A dome"
        " whose courses no longer overlap counts in both shares.",
        samples=chance.samples,
        scramblings=chance.scramblings,
        seed=chance.seed,
    )


def how_margins_sentence(margins: Margins) -> str:
    """How many domes the margins are from."""
    return _(
        "Margins as numbers, from a sample of their own: {points:,} base points, {domes:,} domes, each found to 0.4 %.",
        points=margins.points,
        domes=margins.domes,
    )


def hopeless_sentence(chance: Chance) -> str:
    """Which cases the margins are not of; "" where they are of all."""
    if not chance.hopeless:
        return ""
    return _(
        "In no dome is anything held in: {cases}. A course has no strength at all there, whatever is drawn. The margins"
        " are those of the other cases.",
        cases="; ".join(said_below(title) for title in chance.hopeless),
    )


def spread_sentence(name: str, chance: Chance) -> str:
    """How a margin spreads, what it is, and what is required of it."""
    margins = chance.margins
    one, required = margins.spread[name], chance.design.criteria.required["overall reserve"] if name == "reserve" else 1

    def told(value: float) -> str:
        least, most = margins.ends
        if least < value < most:
            return f"{value:.2f}"
        return _("{value:g} or less", value=value) if value == least else _("{value:g} or more", value=value)

    return _(
        "{margin} ({what}): at most {low} in 5 %, at most {middle} in half, at least {high} in 5 % of the domes;"
        " required: {required:g}.",
        margin=capital(_(MARGIN[name])),
        what=_(MARGIN_SAID[name]),
        low=told(one.low),
        middle=told(one.middle),
        high=told(one.high),
        required=required,
    )


def ends_sentence(name: str, margins: Margins) -> str:
    """Which domes stand at an end of what is told; empty where none does."""
    one, (least, most) = margins.spread[name], margins.ends
    said = []
    if one.at_least > 0:
        why = _("courses no longer overlap")
        if name == "share":
            why = _("no thrust line, or courses that no longer overlap")
        share = per_cent(one.at_least)
        said.append(
            _("{share} of the domes count as {least:g} ({why}, or so little)", share=share, least=least, why=why)
        )
    if one.at_most > 0:
        said.append(_("{share} count as {most:g} (so much or more)", share=per_cent(one.at_most), most=most))
    if not said:
        return ""
    weak = "" if margins.speaks(name) else " " + _("So many at one end say nothing of what it hangs on.")
    return f"{capital(_(' and ').join(said))}.{weak}"


def hangs_on_sentence(name: str, found: Sequence[Orders]) -> str:
    """Which inputs a margin hangs on most, in plain words."""
    margin = _(MARGIN[name])
    if not found:
        return _(
            "{margin} is the same in every sampled dome, so nothing can be said of what it hangs on.",
            margin=capital(margin),
        )
    told = [one for one in found if one.total > 2 * one.total_error][:3]
    if not told:
        return _("What {margin} hangs on cannot be told from so few domes.", margin=margin)
    first = told[0]
    said = _(
        "{margin} hangs most on {input}: {alone} of its variance alone, {total} with others",
        margin=capital(margin),
        input=input_words(first.name),
        alone=_about(first.first),
        total=_about(first.total),
    )
    rest = [
        _(
            "{input} ({alone} alone, {total} with others)",
            input=input_words(one.name),
            alone=_about(one.first),
            total=_about(one.total),
        )
        for one in told[1:]
    ]
    then = _("; then {inputs}", inputs=", ".join(rest)) if rest else ""
    return f"{said}{then}."


def total_sentence(outcome: str, found: Sequence[Orders]) -> str:
    """The total order of a yes or no; empty where the smaller sample has one answer only, or tells nothing."""
    told = [one for one in found if one.total > 2 * one.total_error][:4]
    if not told:
        return ""
    parts = ", ".join(f"{input_words(one.name)} {one.total:.2f} +- {one.total_error:.2f}" for one in told)
    return _(
        "For {outcome}, alone and with others (index of total order, from the smaller sample): {parts}.",
        outcome=_(OUTCOME[outcome]),
        parts=parts,
    )


def _about(value: float) -> str:
    """A share of variance in whole per cent; a little below nothing is scatter."""
    return f"{max(round(100 * value), 0)} %"


def crown_sentence(chance: Chance) -> str:
    """What an error in the centre compass does near the crown."""
    parts = ", ".join(
        _("{ratio:.2g} times at course {course}", ratio=ratio, course=said_below(str(label)))
        for label, ratio in chance.crown
    )
    return _(
        "An error in the centre compass moves the ring by more than itself: {parts} (dr = c/r dc). Near the crown the"
        " centre compass hardly holds the ring. A ring farther off than {limit} is taken to be noticed and set back to"
        " that.",
        parts=parts,
        limit=both(chance.scatter["noticed"].spread, "length", chance.design.unit_system),
    )


def limits_sentence(chance: Chance) -> str:
    """Where the 95 % limits come from."""
    limits = {one.limits_from for one in (*chance.shares.values(), *chance.checks.values())}
    return _(
        "Limits: the wider of those of independent domes (Clopper & Pearson 1934, recalled) and of the spread of the"
        " scramblings (Student); here: {limits}.",
        limits=", ".join(sorted(said_below(one) for one in limits)),
    )


def same_answer_sentence(outcome: str) -> str:
    """Why nothing is said of what decides an answer that all sampled domes share."""
    return _(
        "For {outcome}: every sampled dome has the same answer, so nothing can be said.", outcome=_(OUTCOME[outcome])
    )


def left_out_sentences(left_out: LeftOut) -> list[str]:
    """What this study leaves out of what the design's own check examines."""
    said = [
        _(
            "Only ring-symmetric dead-load cases are examined: the finished dome, also with its base soaked, without"
            " its wire and, where nothing keeps the rain out, soaked through, and every stage of building, bare and"
            " with the crew."
        )
    ]
    if left_out.openings:
        said.append(_("Openings and buttresses of this design are not seen."))
    if left_out.sideways:
        said.append(_("Wind and earthquake of this design are not seen."))
    if left_out.crew:
        said.append(_("One person on one side of the top ring is not seen."))
    if left_out.factors:
        said.append(_("Factors on loads and capacities at once, row by row of the criteria, are not asked."))
    cases = "; ".join([*(said_below(one) for one in left_out.cases), _("every stage after rain")])
    return [*said, _("Cases that count in the check and are not examined here: {cases}.", cases=cases)]
