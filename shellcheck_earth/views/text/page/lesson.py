"""The lesson: a question on each slide, and the answer that follows it. Numbers are of this dome."""

from __future__ import annotations

from shellcheck_earth.design.design import Design
from shellcheck_earth.mechanics.rings.collapse import Collapse
from shellcheck_earth.studies.explain.alone import Alone
from shellcheck_earth.studies.explain.ways import Kind, Step, Way
from shellcheck_earth.views.text.explain.shown import share_shown, value_shown, width_shown
from shellcheck_earth.views.text.explain.ways import mechanism_words, title, way_words
from shellcheck_earth.views.text.language import _, mark, review_sentences

__all__ = [
    "DOING",
    "FIRST_QUESTION",
    "FIRST_TITLE",
    "LAST_TITLE",
    "MOVES",
    "alone_answer",
    "alone_question",
    "alone_title",
    "alone_words",
    "answer_of",
    "first_answer",
    "last_answer",
    "moves_answer",
    "step_words",
    "way_question",
    "way_title",
]

FIRST_TITLE = mark("What holds it up?")
FIRST_QUESTION = mark(
    "The weight of the courses has to find a way down to the ground inside the wall. Where can it run, and what"
    " would push"
    " the foot of the wall outward if nothing held it?"
)
LAST_TITLE = mark("What it is not")
MOVES = mark("it goes")
DOING = "taking away, step by step"

QUESTIONS: dict[Kind, str] = {
    "wall": mark(
        "The wall gets thinner; the inner face, the courses and the fill stay. At which width is the last thrust"
        " line lost?"
    ),
    "friction": mark("The beds get smoother, and nothing else changes. How much friction does the dome need?"),
    "wire": mark("Strand by strand the wire is taken out. How much wire does the dome need?"),
    "friction without wire": mark("All the wire is gone. How much friction in the beds does the dome need then?"),
}
RISING: dict[Kind, str] = {
    "wall": mark("This dome has no thrust line as it is drawn. How wide would its wall have to be?"),
    "friction": mark("This dome has no thrust line as it is drawn. How much friction would it need?"),
    "wire": mark("This dome has no thrust line as it is drawn. Would more wire help?"),
    "friction without wire": mark("Without any wire this dome has no thrust line. How much friction would it need?"),
}


def first_answer(step: Step) -> str:
    """Where the lines run in the dome as it is."""
    if not step.stands:
        return _(
            "Nowhere: no path crosses the bed under course {course}. The dashed shape shows how far the paths come from"
            " the top.",
            course=step.failing_course,
        )
    return _(
        "Anywhere in the dark band: it holds every thrust line there is. Friction in the beds, the wire and the closed"
        " rings hold what pushes outward. As long as one line is left, the dome can stand, under the assumptions of"
        " the check."
    )


def way_title(way: Way) -> str:
    """What is done to the dome."""
    return title(way)


def way_question(way: Way) -> str:
    """Before the answer."""
    return _((RISING if way.outcome in ("rises", "never stands") else QUESTIONS)[way.kind])


def moves_answer(found: Collapse | None) -> list[str]:
    """How it goes; [] where nothing moves."""
    return [] if found is None else [" ".join([_("Then it moves like this."), mechanism_words(found)])]


def step_words(design: Design, way: Way, step: Step) -> str:
    """The value under a picture."""
    return f"{value_shown(design, way.kind, step.value, short=True)}: {_line(step)}"


def _line(step: Step) -> str:
    return _("a line is left") if step.stands else _("no line is left")


def alone_title(found: Alone) -> str:
    """What is looked at by itself."""
    return _("Slenderness alone, strength set aside") if found.kind == "width" else _("A wetter fill")


def alone_question(found: Alone) -> str:
    """Before the answer."""
    if found.kind == "width":
        return _("Suppose that no fill is ever crushed. Does a dome then stand however thin its wall?")
    return _(
        "The fill gets wetter: heavier, weaker and slicker at once. At which moisture is the last thrust line of the"
        " finished dome lost?"
    )


def _alone_value(design: Design, found: Alone, value: float) -> str:
    if found.kind == "width":
        return _(
            "{width}, {share} of the inside diameter",
            width=width_shown(design, value),
            share=share_shown(design, value),
        )
    return _("{moisture:.3g} % of the dry mass", moisture=100 * value)


def alone_words(design: Design, found: Alone, step: Step) -> str:
    """The value under a picture."""
    shown = (
        value_shown(design, "wall", step.value, short=True) if found.kind == "width" else f"{100 * step.value:.3g} %"
    )
    return f"{shown}: {_line(step)}"


def alone_answer(design: Design, found: Alone) -> str:
    """Where the line is lost."""
    if not found.stands:
        return _("This dome has no thrust line even as it is drawn, so there is nothing to take away.")
    if found.edge is None:
        end = _alone_value(design, found, found.end)
        if found.kind == "width":
            return _(
                "It does down to {end}, where the courses hardly overlap any more. With a fill that is never crushed,"
                " slenderness alone takes the last line away only there.",
                end=end,
            )
        return _(
            "A line is left even with every void full, {end}. Whether its factors still meet what is required is"
            " another question.",
            end=end,
        )
    stands = _alone_value(design, found, found.edge[0])
    if found.kind == "width":
        return _(
            "No: under {width} no line is left, however strong the fill. A thin wall runs out of friction, wire and"
            " room long before anything is crushed.",
            width=stands,
        )
    return _(
        "At {moisture}; this dome is drawn with {designed}. Rain and a wet base belong to the check.",
        moisture=stands,
        designed=_alone_value(design, found, found.designed),
    )


def last_answer() -> list[str]:
    """What a lesson does not say."""
    return [
        _(
            "These pictures take one thing away at a time from the finished dome. A real dome meets all of them"
            " together, while it is being built, in the rain, and with people on it: that is what the whole check asks."
        ),
        _(
            "Nothing in this lesson is a verdict. Before anyone builds or stands under such a dome, have a licensed"
            " structural engineer check it and ask the local building authority."
        ),
        *review_sentences(),
    ]


def answer_of(design: Design, way: Way) -> str:
    """Where the line is lost, or won."""
    return way_words(design, way)
