"""Sentences on joined domes and straight walls: cautions, what each question found, what joining gives or takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shellcheck_earth.basics.units import both
from shellcheck_earth.design.design import Design
from shellcheck_earth.studies.joined.ask import Held, held_to
from shellcheck_earth.studies.joined.given import Pair, WallGiven
from shellcheck_earth.studies.joined.told import LEANT_ON, Answer, Body, Question, Told
from shellcheck_earth.views.text.below import said_below
from shellcheck_earth.views.text.cautions import ENGINEER, UNSTABILISED
from shellcheck_earth.views.text.language import _, mark
from shellcheck_earth.views.text.numbers import capital, factor_words, listed, lower, required_words

__all__ = [
    "NO_VERDICT",
    "answer_name",
    "body_name",
    "bounds_words",
    "cautions",
    "ground_words",
    "headline",
    "joined_words",
    "joining_words",
    "left_out_words",
    "moving_words",
    "relied_words",
    "said_of",
    "state_name",
    "what_words",
]

NO_VERDICT = mark(
    "This is a study and gives no verdict: unlike an answer of `check` nothing of it is proven, no stage of building is"
    " asked, and how tubes of two buildings bond where they meet is known to nobody here. A licensed structural"
    " engineer has to judge the whole; check each dome by itself as well."
)

WALL_ENGINEER = mark(
    "This is a calculation, not a permit. Before anyone builds this wall or sits in its lee, have a licensed structural"
    " engineer check it and ask the local building authority."
)

LEFT_OUT_PAIR = mark(
    "The passage: courses of one tube from end to end, arches side by side on them, no wire; all of it cut to the domes"
    " and touching the widest course at its level only. Each number is the least of dry, damp and, where nothing keeps"
    " the rain out, soaked; of two cuts; and with friction without dilation, of which {share:.0f} % is relied on under"
    " a load from one side. Alone: the neighbours absent, the passage with square ends. Leant on: the bags of the vault"
    " that are cut to the dome hang on its face, and all that the load pushes of the passage towards it arrives there."
    " Left out: stages, forms, every capacity divided at once under loads from one side, snow on one half, wind that"
    " finds one dome in the lee of the other, settlement of one against the other, rain that runs into the valley"
    " between them (keep it out)."
)

LEFT_OUT_WALL = mark(
    "Blocks in line from joint to joint, no wire, no bond between wall and buttress: they press and neither pull nor rub. Wind by"
    " EN 1991-1-4, 7.4.1, Table 7.9 (recalled, to be confirmed by the engineer), the coefficients of a long wall"
    " without return corners; the earthquake with its vertical share. Each number is the least of dry, damp and, where"
    " no plaster is said, soaked; of two cuts; and with friction without dilation, of which {share:.0f} % is relied on"
    " under a load from one side. Left out: stages, loads along the wall, earth or water against it, wind on the"
    " buttresses, the bending of a lintel."
)

WAYS: Mapping[str, str] = {
    "front": mark("towards the front"),
    "back": mark("towards the back"),
    "first": mark("along the passage, towards the first dome"),
    "second": mark("along the passage, towards the second dome"),
    "left": mark("across the passage, to the left seen from the first dome"),
    "right": mark("across the passage, to the right seen from the first dome"),
}

QUESTIONS: Mapping[Question, str] = {
    "dead": mark("Dead load, overall reserve"),
    "wind": mark("Wind"),
    "earthquake": mark("Earthquake"),
}

STATES: Mapping[str, str] = {
    "service": mark("dry"),
    "placed": mark("as damp as placed"),
    "saturated": mark("soaked through"),
    "service, snow": mark("dry, snow all around"),
    "placed, snow": mark("as damp as placed, snow all around"),
}


def body_name(told: Told, body: Body) -> str:
    """What is asked, by the names of the designs."""
    if not isinstance(told.given, Pair):
        return _("the wall as it is built") if body == "wall" else _("each length of it by itself")
    first, second = (design.name for design in told.given.designs)
    return {
        "joined": _("joined, as one"),
        "first dome": _("first dome alone ({name})", name=first),
        "second dome": _("second dome alone ({name})", name=second),
        "passage": _("passage alone"),
        LEANT_ON[0]: _("first dome, leant on"),
        LEANT_ON[1]: _("second dome, leant on"),
    }[body]


def state_name(answer: Answer) -> str:
    """The state of moisture that decides."""
    return _(STATES[answer.state])


def answer_name(answer: Answer) -> str:
    """The question, and which way the load pushes."""
    question = _(QUESTIONS[answer.question])
    return f"{question} {_(WAYS[answer.way])}" if answer.way else question


def relied_words(held: Held) -> str:
    """What is relied on."""
    if held.relied is None:
        return _("cannot say")
    said = factor_words(held.relied, held.required)
    return _("at least {number}", number=said) if held.at_least else said


def said_of(held: Held) -> str:
    """In a word."""
    if held.relied is None:
        return _("cannot say")
    return _("reaches it") if held.enough else _("falls short")


def _asked(told: Told) -> Iterator[list[Answer]]:
    """Answers by question and way, in their order."""
    for key in dict.fromkeys((one.question, one.way) for one in told.answers):
        yield [one for one in told.answers if (one.question, one.way) == key]


def _question_words(told: Told, answers: list[Answer]) -> str:
    """One question: every body, what is relied on, what is required."""
    parts = [f"{body_name(told, one.body)} {relied_words(one.held)}" for one in answers]
    needed = sorted({required_words(one.held.required) for one in answers})
    return _("{question}: {parts}. Required {needed}.", question=answer_name(answers[0]), parts="; ".join(parts),
             needed=listed(needed))  # fmt: skip


def headline(told: Told) -> str:
    """The one answer that decides."""
    one = told.decides
    of = {"body": body_name(told, one.body), "question": lower(answer_name(one)), "state": state_name(one)}
    if one.held.relied is None:
        why = said_below(one.held.why)
        return _("Cannot say: {question}, {body} ({state}) could not be established: {why}.", why=why, **of)
    shown = {"relied": relied_words(one.held), "needed": required_words(one.held.required)}
    if one.held.enough:
        return _(
            "Every question reaches what is required; the least is that of {question}, {body} ({state}): {relied} for the"
            " {needed} required. No verdict.",
            **of,
            **shown,
        )
    return _("Falls short: {question}, {body} ({state}): {relied} for the {needed} required.", **of, **shown)


def bounds_words(told: Told) -> str:
    """Both bounds of what decides, with ordinary friction."""
    held = told.decides.held
    if held.ordinary is None:
        return ""
    below, above = factor_words(held.ordinary), None if held.above is None else factor_words(held.above)
    blocks = max((cut.blocks for cut in held.cuts), default=0)
    if above is None:
        return _(
            "With ordinary friction forces that hold {below} of it were found ({blocks} blocks), and no mechanism as"
            " far as was looked.",
            below=below,
            blocks=blocks,
        )
    return _(
        "With ordinary friction forces that hold {below} of it were found, and a mechanism at {above} ({blocks}"
        " blocks).",
        below=below,
        above=above,
        blocks=blocks,
    )


def _joining(told: Told, answers: list[Answer]) -> str:
    """What joining gives or takes away, of one question; empty where it was not established."""
    of = {one.body: one for one in answers}
    alone = [of[body] for body in ("first dome", "second dome", "passage") if body in of]
    whole = of.get("joined")
    if whole is None or whole.held.relied is None or any(one.held.relied is None for one in alone):
        return ""
    least = min(alone, key=lambda one: held_to(one.held))
    apart, joined = least.held.relied or 0.0, whole.held.relied
    said = {
        "question": answer_name(whole),
        "joined": relied_words(whole.held),
        "apart": relied_words(least.held),
        "body": body_name(told, least.body),
    }
    if abs(joined - apart) <= 0.02 * max(joined, apart):
        return _("{question}: joining changes little ({joined} joined, {apart} {body}).", **said)
    if joined > apart:
        return _("{question}: joined {joined}, apart {apart} ({body}): joining gives, do not count on it.", **said)
    return _("{question}: joined {joined}, apart {apart} ({body}): joining takes away.", **said)


def joining_words(told: Told) -> list[str]:
    """What joining gives or takes away, question by question; [] for a wall."""
    if not isinstance(told.given, Pair):
        return []
    return [text for one in _asked(told) if (text := _joining(told, one))]


def moving_words(told: Told) -> str:
    """Which blocks move first in the answer that decides; empty where nothing does."""
    drawn = told.drawn
    if not drawn.motions:
        return ""
    sizes = [sum(v * v for v in row[:3]) ** 0.5 for row in drawn.motions]
    most = max(sizes, default=0.0)
    if most <= 0.0:
        return ""
    moving: dict[str, int] = {}
    for size, label in zip(sizes, drawn.labels, strict=True):
        if size >= MOVES * most:
            kind = _kind(label)
            moving[kind] = moving.get(kind, 0) + 1
    ranked = sorted(moving.items(), key=lambda pair: (-pair[1], pair[0]))[:3]
    parts = [_("{what} ({count} blocks)", what=_(what), count=count) for what, count in ranked]
    return _("What moves first: {parts}.", parts=listed(parts))


MOVES = 0.4
"""A block counts as moving from this share of the largest motion."""

KINDS = {
    "first dome": mark("the first dome"),
    "second dome": mark("the second dome"),
    "vault": mark("the vault of the passage"),
    "passage wall": mark("the walls of the passage"),
    "buttress": mark("buttresses"),
    "lintel": mark("lintels"),
    "wall": mark("the wall"),
}


def _kind(label: str) -> str:
    return next(said for start, said in KINDS.items() if label.startswith(start))


def ground_words(told: Told) -> str:
    """What the dead load asks of the ground, of each part alone."""
    if told.on_the_ground is None:
        return _("Whether the ground holds and bears the dead load with what is required could not be established.")
    if told.on_the_ground:
        return _("The ground holds and bears the dead load with what is required of it.")
    return _("The ground does not hold and bear the dead load with all that is required of it, as far as it is known.")


def left_out_words(told: Told, share: float) -> str:
    """How it was asked, and what was not. share: of the number without dilation that is relied on."""
    return _(LEFT_OUT_PAIR if isinstance(told.given, Pair) else LEFT_OUT_WALL, share=100 * share)


def cautions(told: Told) -> list[str]:
    """What comes before any number."""
    found = [_(ENGINEER if isinstance(told.given, Pair) else WALL_ENGINEER), _(NO_VERDICT)]
    if any(design.fill.stabiliser == "none" for design in _designs(told)):
        found.append(_(UNSTABILISED))
    return found


def _designs(told: Told) -> tuple[Design, ...]:
    return told.given.designs if isinstance(told.given, Pair) else (told.given.design,)


def what_words(told: Told) -> str:
    """What was asked about, with its sizes."""
    given, system = told.given, told.given.unit_system
    if isinstance(given, WallGiven):
        said = _(
            "{name}: a straight wall {length} long, {height} high and {width} wide.",
            name=given.name,
            length=both(given.length, "length", system),
            height=both(given.height, "length", system),
            width=both(given.filled_width, "length", system),
        )
        if given.buttress is None:
            return said
        more = _(
            "Buttresses of {projection} at no more than {spacing}.",
            projection=both(given.buttress.projection, "length", system),
            spacing=both(given.buttress.spacing, "length", system),
        )
        return f"{said} {more}"
    first, second = given.designs
    return _(
        "{name}: {first} and {second}, joined by a passage {width} wide; {blocks} blocks in the finer cut.",
        name=given.name,
        first=first.name,
        second=second.name,
        width=both(given.passage.width, "length", system),
        blocks=told.blocks[1],
    )


def joined_words(told: Told, share: float) -> list[str]:
    """All paragraphs of the screen, cautions first."""
    asked = list(_asked(told))
    first, *rest = cautions(told)
    found = [
        f"{_('Caution.')} {first}",
        *rest,
        what_words(told),
        headline(told),
        bounds_words(told),
        *(capital(_question_words(told, one)) for one in asked),
        *joining_words(told),
        moving_words(told),
        ground_words(told),
        left_out_words(told, share),
    ]
    return [text for text in found if text]
