"""Up to which ring one person on one side is held, in sentences."""

from __future__ import annotations

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.geometry.courses import build_dome
from shellcheck_earth.studies.choice import Choice
from shellcheck_earth.studies.scaffold import Asked
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.choose import share_words
from shellcheck_earth.views.text.doubts import doubt_sentence
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import listed, lower

__all__ = ["OTHERS", "scaffold_paste", "scaffold_sentences"]

OTHERS = mark(
    "Nothing but one person on one side falls short, and rings cannot say how much of another change would hold that"
    " person: none was looked at. A change that is named (--change) is asked of the block model too, in minutes;"
    " pairs are not."
)
HOLDS = mark(
    "One person on one side is held on course {course}, the highest that the crew stands on as the design is: {share}"
    " of what is required. No scaffold is needed for that."
)
UP_TO = mark(
    "One person on one side is held up to course {course}, {top} above the floor ({share} of what is required), but not"
    " on course {next} ({short}). A scaffold that stands free of the wall has to take the crew from {above} above the"
    " floor on: building.scaffold_above."
)
NO_HEIGHT = mark(
    "No height is enough for one person on one side: not even course {course}, {top} above the floor and the lowest"
    " that is stood on, holds one ({share}). As the design is nobody may stand on this wall at all, which is"
    " building.scaffold_above at 0: everyone works off a scaffold, while it is laid, while it is plastered and ever"
    " after."
)
ASKED = mark(
    "Asked of blocks, each as the highest ring that is stood on: {asked}. The rings between were not: the search is"
    " halved, for a lower ring is wider and steps in less."
)
LEFT = {
    "meets": mark("With it every margin examined here is met."),
    "falls short": mark("With it the design still falls short in {short}: it is needed beside another change."),
    "cannot say": mark("With it the check cannot say whether the design meets what is required: {doubt}."),
}


def _share(one: Asked) -> str:
    """What a ring holds of what is required."""
    if one.share is None:
        return _("the blocks cannot say")
    return _("at least {value}", value=share_words(one.share)) if one.at_least else share_words(one.share)


def _top(design: Design, course: int) -> str:
    dome = build_dome(design)
    return both(dome.course(course).z_top - dome.floor, "length", design.unit_system)


def _found(choice: Choice) -> str:
    """Up to where one person is held."""
    found, design = choice.scaffold, choice.design
    assert found is not None
    by, highest = {one.course: one for one in found.asked}, found.asked[0]
    if not found.needed:
        return _(HOLDS, course=highest.course, share=_share(highest))
    if found.course is None:
        lowest = found.asked[-1]
        return _(NO_HEIGHT, course=lowest.course, top=_top(design, lowest.course), share=_share(lowest))
    after = min(number for number in by if number > found.course)
    return _(
        UP_TO,
        course=found.course,
        top=_top(design, found.course),
        share=_share(by[found.course]),
        next=after,
        short=_share(by[after]),
        above=both(found.above or 0.0, "length", design.unit_system),
    )


def _left(choice: Choice) -> list[str]:
    """What the design with the scaffold is."""
    then = choice.with_scaffold
    if then is None:
        return []
    doubt = lower(doubt_sentence(then.doubts[0])).rstrip(".") if then.doubts else ""
    short = listed([said_below(margin.check) for margin in then.shortest]) if then.shortest else ""
    return [_(LEFT[then.verdict], short=short, doubt=doubt)]


def scaffold_sentences(choice: Choice) -> list[str]:
    """Up to which ring one person is held, what was asked, and what is left with a scaffold; [] where it was not asked
    or nobody stands on a ring."""
    found = choice.scaffold
    if found is None:
        return []
    rings = sorted(found.asked, key=lambda one: -one.course)
    said = ", ".join(_("course {course}: {share}", course=one.course, share=_share(one)) for one in rings)
    asked = [_(ASKED, asked=said)] if found.needed else []
    return [" ".join([_found(choice), *asked, *_left(choice)])]


def scaffold_paste(choice: Choice) -> list[str]:
    """The scaffold as lines of a design file; [] where none is needed, or no height is enough."""
    found = choice.scaffold
    if found is None or found.course is None:
        return []
    said = _("# nobody stands on a higher ring: everyone works off a scaffold that stands free of the wall")
    return [said, "[building]", f'scaffold_above = "{found.written}"']
